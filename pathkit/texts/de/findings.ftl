findings-not-proved-board = dass die Platte aus dem Material ist und die Maße und die Ebenheit hat, die der Auftrag nennt
findings-file-as-sent = die gesendete Datei
findings-file-returned = die zurückgekommene Datei
