"""Lower bounds on the length of a tour."""
