"""Pages for people: the words of the sheet, the pictures, and the HTML around them."""
