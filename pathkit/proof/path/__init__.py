"""Two paths compared, move by move and event by event."""
