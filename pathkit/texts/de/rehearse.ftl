rehearse-ready = Setzen Sie den Nullpunkt wie für den Schnitt, nehmen Sie den Fräser heraus, lassen Sie die Spindel aus und räumen Sie alles andere von der Maschine.
rehearse-letter = Buchstabe: Stellen Sie sich vor die Maschine. Zeichnet die Spindel ein lesbares F, aufrecht und nicht gespiegelt?
rehearse-rectangle = Rechteck: Fährt sie um die Platte, um den Radius des Fräsers außerhalb der Kanten, ohne auf etwas zu treffen?
rehearse-write-down = Schreiben Sie die Antworten auf: { $command }
