"""Starting points: a plugin project for a new dialect, a profile with a picture for a new machine."""
