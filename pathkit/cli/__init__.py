"""The command line: `main` is the door, beside it a file for each occasion."""
