"""How the machine moves: programs as columns, and programs for one bit each."""
