"""One machine: what its controller takes, how its axes run, how fast and how far it moves."""
