"""Numpy on polylines and arcs; knows no wood."""
