checks-job = Auftrag
