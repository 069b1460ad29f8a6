"""Pages for people: the sheet's words, the pictures, and the HTML they stand in."""
