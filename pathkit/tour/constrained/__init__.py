"""Search where some items must come before others, or can be cut in several ways."""
