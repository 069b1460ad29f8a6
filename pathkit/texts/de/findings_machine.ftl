findings_machine-output-may = ein Profil darf setzen: suffix, { $names }
findings_machine-output-cannot = [output] kann { $name } nicht setzen
findings_machine-output = unter [output] steht { $field } = { $shown }
findings_machine-output-suffix-fix = ein Punkt und Buchstaben oder Ziffern, etwa ".nc"
findings_machine-output-speed-fix = eines von: { $names }, oder das S der höchsten Drehzahl, etwa 1000
findings_machine-output-word-fix = lassen Sie es weg: Diese Steuerung braucht das Wort in jedem Satz
findings_machine-output-numbers-fix = lassen Sie es weg: Diese Steuerung liest keine Satznummern
findings_machine-output-circle-fix = lassen Sie es weg: Die 32-Bit-Gleitkommazahlen dieser Steuerung können eine ganze Drehung für keine halten

findings_machine-grammar-mark = { $mark } kann keine Prüfsumme kennzeichnen
findings_machine-grammar-checksum = keine Prüfsumme wird mit { $kind } berechnet
findings_machine-grammar-meaning = { $code } hat für das Zurücklesen keine Bedeutung
findings_machine-grammar-meaning-fix = nehmen Sie einen Code aus GROUP_OF
findings_machine-grammar-group = { $code } gehört nicht zur modalen Gruppe { $group }
findings_machine-grammar-fault = { $name } ist nicht der Name eines Fehlers
findings_machine-grammar-stand-for = { $code } ist kein Code, der für { $meant } stehen kann

findings_machine-time-feeds = { $count ->
    [one] { $count } Schnittbewegung hat
   *[other] { $count } Schnittbewegungen haben
 } keinen bekannten Vorschub, die erste ist Reihe { $row }
findings_machine-time-feeds-fix = setzen Sie F vor dem ersten Schnitt
findings_machine-time-far = { $name } enthält eine Stelle, die mehr als { $far } mm entfernt ist; so weit reicht keine Maschine
findings_machine-time-chords = seine Bögen ergeben { $count } Sehnen mit { FIGURE($tolerance) } mm Toleranz; das ist kein Schnitt in einer Platte
findings_machine-time-bytes-shape = line_bytes hat die Form { $shape }; geben Sie für jede der { $count } Reihen eine Zahl an
findings_machine-time-bytes = line_bytes enthält eine Zahl, die negativ oder nicht endlich ist; geben Sie die Bytes jeder Zeile an

findings_machine-datum = das Programm trägt keine Platte, also ist die Ecke des Nullpunkts nicht bekannt; geben Sie Program(stock=…) an
findings_machine-axes-line = X läuft { $x } und Y läuft { $y }: auf derselben Linie
findings_machine-axes-line-fix = eine von beiden läuft right oder left, die andere away oder toward
findings_machine-spindle-range = min { $low } liegt über max { $high }
findings_machine-spindle-range-fix = geben Sie höchstens ebenso viel an
findings_machine-heights = approach { $approach } liegt über travel { $travel }
findings_machine-hand = die Achsen x { $x }, y { $y }, z { $z } sind { $hand ->
    [left-handed] linkshändig
    [right-handed] rechtshändig
   *[other] { $hand }
 }, aber left_handed = { $given }
findings_machine-hand-fix = sehen Sie noch einmal an der Maschine nach: Der falsche Wert fräst ein Spiegelbild
findings_machine-homed = homed ohne low unter [travel]
findings_machine-homed-fix = geben Sie für jede Achse die Maschinenkoordinate ihres unteren Endes an

findings_machine-posted-for = für { $one } geschrieben, nicht für { $other }
findings_machine-air-cut = das Programm trägt keine Platte, also ist die Höhe des Luftschnitts nicht bekannt; geben Sie Program(stock=…) an
findings_machine-files = { $count } Dateien haben keinen gemeinsamen Text; nehmen Sie .files

findings_machine-sense-fix = 1 im Uhrzeigersinn, -1 gegen den Uhrzeigersinn, 0 aus
findings_machine-offset-fix = etwa G54 bis G59
findings_machine-column-holds = { $field } enthält { $shown }
findings_machine-column-holds-fix = übergeben Sie { $field } vom Typ { $types }
findings_machine-column-fractions = { $field } enthält Brüche
findings_machine-column-type = { $field } passt nicht in { $type }
findings_machine-column-shape = { $field } hat die Form { $shape }
findings_machine-column-shape-fix = es muss { $shape } sein
findings_machine-event-order = event_at darf nicht abnehmen und muss zwischen 0 und der Anzahl der Reihen liegen
findings_machine-cycle-rows = Zyklus { $number } umfasst Reihen, die fehlen
findings_machine-row-kind = Reihe { $row } ist weder RAPID noch LINE noch ARC
findings_machine-row-end = Reihe { $row } hat ein unendliches Ende
findings_machine-row-centre = Reihe { $row } ist ein Bogen ohne Mitte
findings_machine-row-sweep = Reihe { $row } ist ein Bogen ohne Winkel
findings_machine-row-feed = Reihe { $row } hat einen Vorschub, der nicht über 0 liegt
findings_machine-row-feed-infinite = Reihe { $row } hat einen unendlichen Vorschub
findings_machine-row-power = Reihe { $row } hat eine Leistung, die kein Anteil von 0 an ist
findings_machine-row-toolpath = Reihe { $row } nennt keinen Werkzeugweg
