"""Immutable values that say what is cut. No algorithms live here."""
