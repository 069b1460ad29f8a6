"""How the machine moves: programs as columns, and refinements of them."""
