# Die Kommentare von Auftragsdateien und Profilen zum Anfangen.

starters-job = Eine Auftragsdatei: was gefräst wird, aus welchen Platten, mit welchen Fräsern, auf welchen Maschinen. Sie lässt sich bauen, wie sie ist: Ändern Sie, was bei Ihnen anders ist. Längen sind in mm, Vorschübe in mm/min; "1/4in" und "100in/min" in Anführungszeichen gehen auch. Was ein Schlüssel bedeutet, sagt pathkit schema SCHLÜSSEL, wie in pathkit schema stepdown.
starters-language = Die Sprache der Blätter und Seiten für alle, die die Dateien bekommen.
starters-name = Wie Fräsdateien, Blätter und Ordner heißen.
starters-material = Woraus die Platte ist: Vorschübe werden an dem gemessen, was dafür üblich ist.
starters-thickness = Wie dick die Platte ist, in mm. Messen Sie nach: Sperrholz ist oft dünner als angegeben.
starters-tolerance = Um wie viel eine Platte dicker oder dünner sein darf, sodass der Schnitt noch stimmt, in mm.
starters-z-zero = Wo die Höhe 0 ist: "bed" (der Tisch, unter der Opferplatte), weil die Schnitte ganz durchgehen; oder "top", die Oberseite der Platte.
starters-underlay = Eine Opferplatte unter der Platte, in mm: Der Fräser geht ein wenig in sie hinein und nie in den Tisch.
starters-grain = Wie die Faser verläuft, in Grad von x aus: 0 ist längs der Breite.
starters-board = Eine Größe von Platte. Gibt es mehrere Tabellen [[board]], nimmt jede Maschine die größte, die auf ihren Tisch passt.
starters-width = Von links nach rechts, in mm.
starters-depth = Von Ihnen weg, in mm.
starters-bit = Der Fräser. Seinen Namen wählen Sie.
starters-diameter = Wie breit er fräst, in mm. Messen Sie einen nachgeschliffenen Fräser nach.
starters-flutes = Zahl der Schneiden: Damit werden die Vorschübe berechnet.
starters-centre-cutting = true nur für einen Fräser, der auch in der Mitte seiner Stirn schneidet: Dann darf er senkrecht eintauchen.
starters-cut-length = Länge der Schneiden, in mm. Messen Sie sie und nehmen Sie das # weg: Ein zu tiefer Schnitt wird dann abgelehnt.
starters-feeds = Vorschübe und Drehzahl. Die Anleitung Ihrer Maschine und die Angaben des Herstellers Ihres Fräsers gehen vor. Dies sind Ausgangswerte, berechnet aus den üblichen Spandicken eines solchen Fräsers: Probieren Sie sie an einem Reststück aus, und hören Sie hin.
starters-feed = Entlang des Schnitts, in mm/min.
starters-plunge = Senkrecht nach unten, in mm/min.
starters-spindle = Drehzahl der Spindel, in U/min.
starters-copies = "fill": so viele, wie auf eine Platte passen; oder eine Zahl, auf so vielen Platten wie nötig.
starters-web = Holz, das zwischen den Schnitten zweier Teile stehen bleibt, in mm.
starters-margin = Was an den Kanten der Platte frei bleibt, in mm.
starters-align = Wo alle Kopien auf der Platte liegen: in der Ecke mit ihrem Nullpunkt ("corner") oder in ihrer Mitte ("centre").
starters-tabs = Haltestege halten jedes Teil, bis Sie sie von Hand durchtrennen: wie viele (count), wie breit und wie hoch, in mm.
starters-effort = Wie gründlich nach kurzen Leerwegen gesucht wird: 1 ist üblich, 0 nimmt die erste Reihenfolge, die sich findet.
starters-tape = Doppelseitiges Klebeband unter jedem Teil, abseits aller Schnitte: Nichts wird festgespannt.
starters-tag = Ein Anhänger für die Schlüssel der Werkstatt. Er ist in eigenen Koordinaten gezeichnet: x nach rechts, y von Ihnen weg.
starters-part-name = Wie das Blatt das Teil nennt.
starters-tag-edge = Der Rand: Breite, Tiefe und der Radius, der die Ecken rundet, in mm.
starters-tag-hole = Das Loch für den Ring: Mitte und Radius, in mm.
starters-tag-tape = Wo das Klebeband liegt: corner ist seine vordere linke Ecke.
starters-order = Was in einem Teil liegt, wird vor der Außenkante gefräst, die es löst, gleich in welcher Reihenfolge es hier steht.
starters-tag-kind = Was getan wird: "drill" macht ein Loch; ist es weiter als der Fräser, kreist er darin. Auch möglich: "contour" folgt einer Linie, "pocket" räumt eine Fläche aus; ferner "slot" (Schlitz), "engrave" (Gravur), "chamfer" (Fase).
starters-shape = Welche Form gefräst wird.
starters-bottom = Wie tief: true ist ganz hindurch, {"{"} from_top = 2 {"}"} wären 2 mm Tiefe. Siehe pathkit schema bottom.
starters-stepdown = Wie viel tiefer jedes Mal (Zustellung), in mm.
starters-side = Wo der Fräser läuft: außen um das Teil ("outside", das löst es), innen in einer Öffnung ("inside") oder auf der Linie selbst ("on").
starters-part = Das Teil, wie es gezeichnet ist: x nach rechts, y von Ihnen weg.
starters-drawing = Die Zeichnung, neben dieser Datei. layer = "…" oder colour = "…" wählen daraus aus; size = [Breite, Tiefe] ist, was sie messen muss, in mm: Schreiben Sie es dazu, dann wird eine Zeichnung in der falschen Einheit abgelehnt.
starters-drawn-kind = Was getan wird: "contour" folgt einer Linie, "pocket" räumt eine Fläche aus; ferner "slot" (Schlitz), "drill" (Loch), "engrave" (Gravur), "chamfer" (Fase).
starters-drawn-side = Wo der Fräser läuft: außen um das Gezeichnete und innen in den Löchern darin ("outside"), innen ("inside") oder auf der Linie selbst ("on").
starters-drawn-tape = Wo das Klebeband liegt, deutlich innerhalb der Außenkante: Mitte und Radius, in mm.
starters-machines = Die Maschinen, für die gebaut wird: ein Profil neben dieser Datei (pathkit machine new) oder ein Name (pathkit machines).
starters-turned = Vierteldrehungen der Platte gegen den Uhrzeigersinn: Nur so passt sie auf diesen Tisch
starters-no-machine = Keine installierte Maschine hat einen Tisch für diese Platte. Beschreiben Sie Ihre (pathkit machine new --out mine.toml) und nehmen Sie dann hier das # weg, oder nennen Sie sie mit --machine.

# In Maschinenprofilen.
starters-origin = Die Ecke der Platte, die für die Steuerung X0 Y0 ist, wenn Sie vor der Maschine stehen.
starters-axes = Wohin der Fräser über der Platte geht, wenn die Zahl einer Achse wächst; ein Tisch, der sich bewegt, geht andersherum.
starters-travel = Wie weit jede Achse fährt, in mm.
starters-motion = Vorsichtige Annahmen für X, Y und Z. Tragen Sie die Einstellungen Ihrer Steuerung ein: Laufzeiten hängen davon ab, der Weg nicht.
starters-control = "words": Die Datei schaltet die Spindel ein. "manual": Sie hat einen eigenen Schalter, und die Datei hält dafür an.
starters-unit-feed = mm/min
starters-unit-acceleration = mm/s²
starters-unit-speed = U/min
starters-unit-time = Sekunden
starters-park = Wo der Fräser am Ende steht, X und Y vom Nullpunkt aus, in mm: neben der Platte, damit ihre Ecke frei ist.
starters-change = Wo Fräser von Hand gewechselt werden, X und Y vom Nullpunkt aus, in mm; der Fräser wartet dort, und die Spindel steht.
starters-change-height = mm höher, als er irgendwo auf der Platte verfährt
