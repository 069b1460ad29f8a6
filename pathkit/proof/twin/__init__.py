"""The air cut compared with its cut file: its words, then its moves."""
