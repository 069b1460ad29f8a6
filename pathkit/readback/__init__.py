"""Reading a file back as its controller would: text → Program, sharing nothing with the writers."""
