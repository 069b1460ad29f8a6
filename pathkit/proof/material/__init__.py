"""What a file leaves of the board: a map of heights, cross-sections, pieces."""
