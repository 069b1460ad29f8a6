# Was zu tun ist, bevor eine Datei startet, die mitten in einem Auftrag beginnt.

resume-where-they-were = Platte und Nullpunkt müssen liegen, wo sie lagen: Wurde die Platte bewegt oder hat die Steuerung ihren Ort verloren, setzen Sie den Nullpunkt neu und fahren Sie zuerst den Luftschnitt.
resume-new-bit = Ein neuer Fräser ragt anders weit heraus: Setzen Sie Z neu.
resume-air-cut = Fahren Sie zuerst den Luftschnitt der neuen Datei; er beginnt über der Bahn, die Sie genannt haben.
