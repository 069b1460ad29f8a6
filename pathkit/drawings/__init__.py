"""Shapes from SVG and DXF drawings: in millimetres, y upward, with arcs kept as arcs."""
