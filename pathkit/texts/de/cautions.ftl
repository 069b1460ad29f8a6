# Was Menschen vor dem Fräsen gesagt wird. Vollständig und ebenso streng wie das Englische.

cautions-manual = Die Anleitung der Maschine, die Regeln der Werkstatt und an der Maschine ausgebildete Personen gehen dieser Liste vor.
cautions-wear = Tragen Sie Schutzbrille und Gehörschutz. Saugen Sie den Staub am Fräser ab, tragen Sie eine Staubmaske: Feiner Holzstaub schädigt die Lunge.
cautions-loose = Binden Sie Haare, Ärmel und Kordeln zurück. Tragen Sie niemals Handschuhe nahe einem drehenden Fräser.
cautions-hold = Prüfen Sie die Aufspannung: Weder Platte noch frei werdende Teile dürfen sich verschieben, abheben oder schwingen.
cautions-bit = Prüfen Sie den Fräser: der von der Datei verlangte, scharf, sauber, fest in der Spannzange, lang genug für den tiefsten Schnitt.
cautions-zero = Setzen Sie den Nullpunkt dort, wo die Datei ihn erwartet. Prüfen Sie Ecke und Richtungen von X und Y durch Verfahren von Hand.
cautions-air = Fahren Sie zuerst die Luftschnitt-Datei: ohne Fräser, Spindel aus, nichts im Weg. Achten Sie darauf, dass die Maschine dorthin fährt, wo Sie es erwarten.
cautions-fire = Staub und Späne können unbemerkt glimmen: Halten Sie einen Feuerlöscher bereit, und sehen Sie in den Staubbeutel, bevor Sie gehen.
cautions-stay = Bleiben Sie neben der laufenden Maschine, eine Hand nahe am Not-Aus-Taster. Machen Sie sich klar, was er anhält.
cautions-wrong = Wenn etwas falsch klingt, riecht oder aussieht: zuerst anhalten, dann nachdenken.
cautions-parts = Nehmen Sie Teile erst heraus, wenn die Spindel steht. Trennen Sie Haltestege bei festgespanntem Werkstück, von der Hand weg.

cautions-preview-manual = Die Anleitung Ihrer Maschine hat Vorrang.
cautions-preview-not-a-proof = Diese Seite zeigt, was in der Datei steht. Sie weiß nichts über Ihre Maschine, Ihre Spanner, Ihren Fräser oder Ihre
    Platte: Eine Vorschau ist kein Nachweis für die Maschine.
cautions-preview-air = Fahren Sie zuerst den Luftschnitt, ohne Fräser und bei ausgeschalteter Spindel, und bleiben Sie neben der Maschine,
    eine Hand in der Nähe des Not-Aus-Tasters.
cautions-preview-rest = Was vor dieser Datei gefräst wurde, ist nicht zu sehen: Die Platte beginnt unberührt.
cautions-beam-eyes = Blicken Sie nie in den Strahl, auch nicht dorthin, wo er auf Glänzendes trifft. Alle im Raum brauchen eine Schutzbrille für Wellenlänge und Leistung dieses Strahls; jede andere schützt nicht.
cautions-beam-enclosure = Betreiben Sie ihn in einem Gehäuse, dessen Tür den Strahl abschaltet, und überbrücken Sie diesen Schalter nie. Ohne Gehäuse nur in einem Raum, den niemand sonst betreten kann.
cautions-beam-material = Bearbeiten Sie nur, was Sie kennen. Niemals PVC, Vinyl oder Kunstleder: Sie setzen Chlorwasserstoff frei, der Lunge und Maschine schädigt. Nichts Unbekanntes, kein behandeltes Holz, nichts Glänzendes.
cautions-beam-fumes = Leiten Sie den Rauch ins Freie oder durch einen dafür gebauten Filter: Rauch schädigt die Lunge, auch der von Holz.
cautions-beam-fire = Ein Strahl setzt Dinge in Brand. Lassen Sie ihn nie allein, auch nicht für einen Augenblick; Feuerlöscher in Reichweite, nichts Brennbares in der Nähe.
cautions-beam-air = Fahren Sie zuerst die Luftschnitt-Datei, den Strahl gesperrt. Achten Sie darauf, dass der Kopf dorthin fährt, wo Sie es erwarten.
cautions-beam-open = Öffnen Sie das Gehäuse erst, wenn der Strahl aus und der Rauch abgezogen ist. Beobachten Sie das Werkstück, bis es kalt ist: Kanten glimmen nach.
