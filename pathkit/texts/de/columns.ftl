# Die Namen der Spalten und Zeilen in den Tabellen der Befehlszeile.

columns-machine = Maschine
columns-parts = Teile
columns-proved = nachgewiesen
columns-deviation = Abweichung
columns-travel-before = Leerweg vorher
columns-after = nachher
columns-before = vorher
columns-up-and-down = auf und ab
columns-run-time = Laufzeit
columns-cut-file = Fräsdatei
columns-lines = Zeilen
columns-travel = Leerweg
columns-retracts = Rückzüge
columns-name = Name
columns-title = Titel
columns-suffix = Endung
columns-from = aus
columns-dialect = Dialekt
columns-zero-at = Nullpunkt
columns-x-y = X+ Y+
columns-bed-mm = Tisch (mm)
