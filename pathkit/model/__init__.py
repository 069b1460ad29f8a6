"""Immutable values that describe what is cut. No algorithms live here."""
