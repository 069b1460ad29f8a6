"""Support by mail: what a line of a handed-over file does, and how a file that came back differs."""
