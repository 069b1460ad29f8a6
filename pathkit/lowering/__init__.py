"""From what is cut to how the machine moves."""
