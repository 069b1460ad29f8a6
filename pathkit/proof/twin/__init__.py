"""The air cut held against its cut file: its words, then its moves."""
