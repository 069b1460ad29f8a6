"""Something to read: a small site from docstrings, guides and the forms of files. ``python -m pathkit.docs OUT``."""
