rehearse-ready = Setzen Sie den Nullpunkt wie für den Schnitt, nehmen Sie den Fräser heraus, lassen Sie die Spindel aus und räumen Sie alles andere von der Maschine.
rehearse-letter = Buchstabe: Stellen Sie sich vor die Maschine. Zeichnet die Spindel ein lesbares F, aufrecht und nicht gespiegelt?
rehearse-rectangle = Rechteck: Fährt sie um die Platte, um den Radius des Fräsers außerhalb der Kanten, ohne auf etwas zu treffen?
rehearse-write-down = Schreiben Sie die Antworten auf: { $command }

rehearse-piece-cut = Fräsen Sie es aus derselben Platte mit demselben Fräser: von { $least } beim − bis { $most } beim +.
rehearse-piece-find = Stecken Sie hinein, was hineingehört, oder messen Sie quer: Suchen Sie die Stelle, die passt, wie Sie es wollen, oder das Maß hat, das sie haben soll.
rehearse-piece-write = Schreiben Sie ihre Zahl als fit in die Auftragsdatei; die Hälfte davon, wenn dieser Auftrag auch fräst, was Sie hineingesteckt haben: Das verschiebt sich mit.
