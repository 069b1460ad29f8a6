"""The command line: `main` runs it, and each other file has the commands for one occasion."""
