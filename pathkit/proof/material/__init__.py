"""What a file leaves of the board: heights on a map, cross-sections, pieces."""
