"""Curves of lines and arcs as numpy arrays. Nothing here knows about wood."""
