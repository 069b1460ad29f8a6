"""Two paths held against one another, move by move and event by event."""
