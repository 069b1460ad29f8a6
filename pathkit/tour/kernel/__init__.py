"""Shared by all searches: the compiled problem, its costs, and lists of candidates."""
