"""One file for each question that the proof asks of a file, of its board or of its parts."""
