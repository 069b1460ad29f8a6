"""What every search stands on: the compiled problem, its costs, and lists of candidates."""
