"""Shapes out of drawings that somebody made elsewhere: SVG and DXF, in millimetres, y upward, arcs kept as arcs."""
