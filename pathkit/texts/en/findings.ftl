# What the library's checks say, of what may stand on a page. Each English text is also the pattern by which the
# finding is recognised: it must be the sentence as it is written in the code, word for word.

findings-not-proved-board = that the board is the material, the size and the flatness that the job says
findings-file-as-sent = the file as sent
findings-file-returned = the returned file
