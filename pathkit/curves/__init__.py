"""Plane curves: where they cross, the regions that they bound, and which of them are the same contour."""
