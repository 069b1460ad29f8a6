# FIGURE() schreibt eine Zahl mit Dezimalkomma.

findings-open-board = dass Material, Maße und Ebenheit der Platte dem Auftrag entsprechen
findings-open-machine = dass die Maschine in Ordnung ist und fährt, wie ihr Profil sagt
findings-open-bit = dass der Fräser der genannte ist, ganz und scharf
findings-open-hold = dass Platte und Teile fest genug gehalten werden
findings-open-feeds = dass Vorschub, Drehzahl und Tiefe zu Fräser, Material und Maschine passen

findings-missing-program = es gibt kein Programm (und keinen Auftrag) zum Vergleichen
findings-missing-board = die Platte ist nicht bekannt
findings-missing-job = es wurde kein Auftrag angegeben
findings-missing-parts = der Auftrag zeichnet keine Teile
findings-missing-files = die anderen Dateien des Auftrags sind nicht zur Hand
findings-by-hand = die Spindel wird von Hand geschaltet: Nichts in der Datei kann nachweisen, dass sie dreht
findings-by-hand-fix = schalten Sie sie bei der ersten Pause mit der genannten Drehzahl ein und bei der letzten aus
findings-by-hand-speed = die Spindel wird von Hand geschaltet: Dass sie dreht und wie schnell, ist nicht nachgewiesen
findings-spins-up = { FIGURE($waited) } s vom Start der Spindel bis zu diesem Schnitt; sie braucht { FIGURE($wanted) } s zum Hochlaufen
findings-dwell = eine Wartezeit von { FIGURE($seconds) } s
findings-practice = Praxiswert ohne Quelle

findings-inches = { $names } = { $given } sieht nach { $inch } aus ({ $meant } { $plain }), und eine Zahl ohne Einheit zählt in { $unit }
findings-inches-fix = wenn ja, schreiben Sie { $inches }; wenn die Zahl stimmt, { $right }
findings-inches-part = das Teil { $part } misst { FIGURE($given) } mm, was nach Zoll aussieht ({ FIGURE($meant) } mm)
findings-inches-part-fix = wenn ja, schreiben Sie die Längen als "1.5in", oder units = "inch" für eine Zeichnung; wenn sie stimmen, schreiben Sie eine als "1.5mm"
findings-inches-travel = sie fährt { FIGURE($travel) } mm, was nach Zoll aussieht; das wären { FIGURE($inches) } mm
findings-inches-travel-fix = sehen Sie im Profil unter travel nach: { $values }, falls Zoll gemeint waren

findings-left-out-operation = die Bearbeitung { $operation } von { $part } ist auf Wunsch weggelassen: Das Teil ist nicht fertig, wenn die Datei endet
findings-left-out-operation-fix = machen Sie diesen Schnitt auf andere Weise
findings-left-out = auf Wunsch weggelassen: { $operations }; diese Teile sind nicht fertig
findings-left-out-drawn = { $name } ist weggelassen: { $why }
findings-left-out-inner = es ist eine Zeichnung in der Zeichnung
findings-left-out-text = wandeln Sie es zuerst in einen Pfad um
findings-left-out-no-shape = es ist keine Form
findings-left-out-symbol = das Symbol hat eine eigene viewBox; lösen Sie die Gruppierung auf
findings-left-out-invisible = es hat weder Kontur noch Füllung und ist daher nicht sichtbar
findings-left-out-not-cut = es ist keine Form, die sich fräsen lässt
findings-left-out-block = es lässt sich nicht so platzieren, wie der Block es verlangt
findings-turned-board = { $machine } nimmt die Platte { FIGURE($taken) }; die größere { FIGURE($larger) } passt, wenn sie um eine Vierteldrehung gedreht wird
findings-turned-board-fix = um sie zu nehmen, setzen Sie turn = { $turn } für diese Maschine unter [[machine]], oder geben Sie --turn { $given } an
findings-other-bit = erzeugt für einen Fräser von { FIGURE($diameter) } mm anstelle von { $name } ({ FIGURE($before) } mm): Versatz, Haltestege und Taschen sind angepasst; Vorschübe sind mit dem Durchmesser umgerechnet und sind Ausgangswerte
findings-other-bit-fix = prüfen Sie Zähne, Länge und Reichweite des Fräsers; nur sein Durchmesser ist bekannt

findings-not-rehearsed = { $machine } wurde nicht geprobt: Niemand hat gesehen, ob die Achsen laufen, wie das Profil sagt
findings-not-rehearsed-fix = proben Sie: { $command }
findings-rehearsed-before = Achsen, Ecke oder Wörter von { $machine } haben sich seit der Probe geändert
findings-zero-where-it-starts = ihre Dateien nehmen als Nullpunkt die Stelle, an der der Fräser beim Start steht
findings-zero-jog-front-left = fahren Sie ihn vor jedem Start von Hand an die vordere linke Ecke der Platte, die Spitze auf der Oberseite; ebenso vor dem Luftschnitt
findings-zero-jog-front-right = fahren Sie ihn vor jedem Start von Hand an die vordere rechte Ecke der Platte, die Spitze auf der Oberseite; ebenso vor dem Luftschnitt
findings-zero-jog-back-left = fahren Sie ihn vor jedem Start von Hand an die hintere linke Ecke der Platte, die Spitze auf der Oberseite; ebenso vor dem Luftschnitt
findings-zero-jog-back-right = fahren Sie ihn vor jedem Start von Hand an die hintere rechte Ecke der Platte, die Spitze auf der Oberseite; ebenso vor dem Luftschnitt
findings-zero-jog-centre = fahren Sie ihn vor jedem Start von Hand in die Mitte der Platte, die Spitze auf der Oberseite; ebenso vor dem Luftschnitt
findings-files = { $count } Dateien, eine für jeden Fräser: Fahren Sie sie der Reihe nach und setzen Sie Z nach jedem Wechsel neu
findings-change = der Fräser wechselt auf { $bit }: Setzen Sie Z neu, außer beide ragen gleich weit heraus
findings-change-perhaps = der Fräser wechselt auf { $bit }: Setzen Sie, wenn die Steuerung es zulässt, Z neu, außer beide ragen gleich weit heraus
findings-change-no-jog = solange sie auf { $bit } wartet, nimmt diese Steuerung kein Verfahren von Hand und keinen Nullpunkt an
findings-change-no-jog-fix = lassen Sie alle Fräser gleich weit herausragen, oder nehmen Sie für jeden eine eigene Datei: [output] tool_change = "files"
findings-pause-off = die Spindel wird vor einer Pause ausgeschaltet und danach wieder ein
findings-chords = { $count ->
    [one] { $count } Bogen ist
   *[other] { $count } Bögen sind
 } als Sehnen geschrieben
findings-arcs-in-parts = { $count ->
    [one] { $count } Bogen ist
   *[other] { $count } Bögen sind
 } in Stücken geschrieben

findings-inside-later = { $before } vor { $after }, wie der Auftrag es sagt, obwohl { $inner } darin liegt oder ihn vorbereitet
findings-inside-later-fix = sorgen Sie dafür, dass das Stück gehalten wird, nachdem seine Außenkontur gefräst ist
findings-contradicts = muss nach der Reihenfolge, die der Auftrag verlangt, nicht auf { $before } warten, obwohl eines dafür spricht: { $why }
findings-contradicts-fix = sorgen Sie dafür, dass das Stück solange gehalten wird
findings-narrow-tabs = seine Haltestege sind nur { FIGURE($width) } mm breit, weil für { FIGURE($asked) } mm kein Platz ist
findings-narrow-tabs-several = seine Haltestege sind nur { FIGURE($width) } mm breit, weil für { FIGURE($asked) } mm kein Platz ist ({ $count } Werkzeugwege, der schmalste Haltesteg hat { FIGURE($least) } mm)
findings-weak-tabs = geschätzt schiebt ein stumpfer Fräser { $part } mit { $push } N und hebt es mit { $lift } N, mehr als { $count ->
    [one] { $count } Haltesteg halten kann
   *[other] { $count } Haltestege halten können
 }
findings-weak-tabs-tape = geschätzt schiebt ein stumpfer Fräser { $part } mit { $push } N und hebt es mit { $lift } N, mehr als { $count ->
    [one] { $count } Haltesteg
   *[other] { $count } Haltestege
 } und das Klebeband halten können
findings-weak-hold = geschätzt schiebt ein stumpfer Fräser { $part } mit { $push } N und hebt es mit { $lift } N, mehr als die Platte ringsum allein halten kann
findings-weak-tape = geschätzt schiebt ein stumpfer Fräser { $part } mit { $push } N und hebt es mit { $lift } N, mehr als die Platte ringsum und das Klebeband halten können
findings-weak-tabs-fix = hold_tabs = {"{"} count = "auto" {"}"} nimmt so viele Haltestege, wie die Schätzung verlangt; oder legen Sie Klebeband darunter
findings-given-order = die gegebene Reihenfolge hält den Vorrang nicht ein, daher lassen sich die Leerwege davor und danach nicht vergleichen
findings-capped = die Grenze von { FIGURE($seconds) } s hat die Suche oder ihre Schranke beendet; ein anderer Lauf findet vielleicht andere
findings-capped-fix = senken Sie effort, oder lassen Sie seconds weg
findings-joined = verbunden mit { $toolpaths }
findings-steady = gleichmäßige Last: { $before } s werden { $after } s, und der dickste Span von { FIGURE($thick) } mm je Zahn wird einer von { FIGURE($thicker) } mm (beides geschätzt)
findings-slivers = { $what } behält Reste in Ecken, die für einen Fräser von { FIGURE($diameter) } mm zu spitz sind: { $places }
findings-slivers-fix = ein kleinerer Fräser kommt weiter hinein
findings-recess-of-part = Tasche { $number } des Teils { $part }
findings-hole-of-part = Öffnung { $number } des Teils { $part }
findings-kept-order = Schnitte in der Reihenfolge des früheren Baus: { $kept } von { $there }; neue Schnitte: { $new }, weggefallene: { $gone }
findings-ordered-anew = es war nicht in dem früheren Bau, dessen Reihenfolge bleiben soll, daher ist es neu geordnet
findings-no-earlier-build = kein früherer Bau von { $names } in { $folder }
findings-no-earlier-build-fix = nennen Sie den Ordner, der gebaut wurde, oder behalten Sie keine Reihenfolge
findings-travel-not-ordered = der Auftrag sagt, dass seine Leerwege nicht geordnet werden
findings-travel-not-ordered-fix = lassen Sie order_travel = false weg, oder behalten Sie keine Reihenfolge

findings-beyond = der Fräser reicht über die Kanten der Platte hinaus (von vorn gesehen): { $where }
findings-beyond-fix = halten Sie Spanner, Anschläge und Finger von dort fern
findings-too-fast = { $count ->
    [one] { $count } Bewegung verlangt
   *[other] { $count } Bewegungen verlangen
 } bis zu { $asked } mm/min, und { $machine } fährt { $limits }: { $why }. Wo sie langsamer wird, sind die Späne dünner als beabsichtigt; die Laufzeit ist mit der Grenze gerechnet
findings-slows-down = die Steuerung verlangsamt die ganze Bewegung, bis jede Achse ihre Grenze einhält
findings-slows-unknown = was diese Steuerung dann tut, ist hier nicht bekannt; sie kann langsamer werden, anhalten oder ihre Position verlieren
findings-value-works = { $value } geht
findings-value-works-share = { $value } geht; nur für diese Maschine, falls sie noch keinen Anteil hat: { $share } unter [[machine]]
findings-room = die Platte braucht { FIGURE($size) } mm entlang { $axis }, aber { $machine } fährt { FIGURE($room) } mm
findings-room-fix = nehmen Sie eine Platte, die dort höchstens { FIGURE($room) } mm misst (Breite, Tiefe), oder drehen Sie sie
findings-no-units = { $dialect } nimmt keine Maße in { $units } an

findings-start-feeds = Vorschübe für { $bit } in { $material } sind ein Ausgangswert (übliche Praxis, ohne Quelle): Probieren Sie sie zuerst an einem Reststück
findings-counted = { $what } ({ $count } Werkzeugwege)
findings-rubs = { $bit } nimmt { FIGURE($chip) } mm je Zahn, und üblich in { $material } sind { FIGURE($low) } bis { FIGURE($high) } mm: Er reibt und hinterlässt Brandspuren
findings-rubs-deep = { $bit } nimmt { FIGURE($chip) } mm je Zahn, und üblich in { $material } sind { FIGURE($low) } bis { FIGURE($high) } mm bei { FIGURE($depth) } mm Tiefe: Er reibt und hinterlässt Brandspuren
findings-rubs-partly = { $bit } nimmt { FIGURE($chip) } mm je Zahn, während { FIGURE($width) } mm von ihm im Holz sind, und üblich in { $material } sind { FIGURE($low) } bis { FIGURE($high) } mm: Er reibt und hinterlässt Brandspuren
findings-rubs-partly-deep = { $bit } nimmt { FIGURE($chip) } mm je Zahn, während { FIGURE($width) } mm von ihm im Holz sind, und üblich in { $material } sind { FIGURE($low) } bis { FIGURE($high) } mm bei { FIGURE($depth) } mm Tiefe: Er reibt und hinterlässt Brandspuren
findings-rubs-limited = { $bit } nimmt { FIGURE($chip) } mm je Zahn bei den { FIGURE($feed) } mm/min, die { $machine } fahren kann, und üblich in { $material } sind { FIGURE($low) } bis { FIGURE($high) } mm: Er reibt und hinterlässt Brandspuren
findings-rubs-limited-deep = { $bit } nimmt { FIGURE($chip) } mm je Zahn bei den { FIGURE($feed) } mm/min, die { $machine } fahren kann, und üblich in { $material } sind { FIGURE($low) } bis { FIGURE($high) } mm bei { FIGURE($depth) } mm Tiefe: Er reibt und hinterlässt Brandspuren
findings-rubs-partly-limited = { $bit } nimmt { FIGURE($chip) } mm je Zahn, während { FIGURE($width) } mm von ihm im Holz sind, bei den { FIGURE($feed) } mm/min, die { $machine } fahren kann, und üblich in { $material } sind { FIGURE($low) } bis { FIGURE($high) } mm: Er reibt und hinterlässt Brandspuren
findings-rubs-partly-limited-deep = { $bit } nimmt { FIGURE($chip) } mm je Zahn, während { FIGURE($width) } mm von ihm im Holz sind, bei den { FIGURE($feed) } mm/min, die { $machine } fahren kann, und üblich in { $material } sind { FIGURE($low) } bis { FIGURE($high) } mm bei { FIGURE($depth) } mm Tiefe: Er reibt und hinterlässt Brandspuren
findings-rubs-fix = schneller vorschieben oder langsamer drehen
findings-breaks = { $bit } nimmt { FIGURE($chip) } mm je Zahn, und üblich in { $material } sind { FIGURE($low) } bis { FIGURE($high) } mm: Er kann brechen
findings-breaks-deep = { $bit } nimmt { FIGURE($chip) } mm je Zahn, und üblich in { $material } sind { FIGURE($low) } bis { FIGURE($high) } mm bei { FIGURE($depth) } mm Tiefe: Er kann brechen
findings-breaks-limited = { $bit } nimmt { FIGURE($chip) } mm je Zahn bei den { FIGURE($feed) } mm/min, die { $machine } fahren kann, und üblich in { $material } sind { FIGURE($low) } bis { FIGURE($high) } mm: Er kann brechen
findings-breaks-limited-deep = { $bit } nimmt { FIGURE($chip) } mm je Zahn bei den { FIGURE($feed) } mm/min, die { $machine } fahren kann, und üblich in { $material } sind { FIGURE($low) } bis { FIGURE($high) } mm bei { FIGURE($depth) } mm Tiefe: Er kann brechen
findings-breaks-fix = langsamer vorschieben oder schneller drehen
findings-rubs-down = { $bit } nimmt { FIGURE($chip) } mm je Zahn auf dem Weg nach unten, und üblich sind { FIGURE($low) } bis { FIGURE($high) } mm: Er reibt und hinterlässt Brandspuren
findings-rubs-down-fix = schneller eintauchen oder langsamer drehen
findings-breaks-down = { $bit } nimmt { FIGURE($chip) } mm je Zahn auf dem Weg nach unten, und üblich sind höchstens { FIGURE($high) } mm: Er kann brechen
findings-breaks-down-fix = langsamer eintauchen oder schneller drehen
findings-rubs-short = { $bit } soll mit { FIGURE($asked) } mm/min vorschieben und erreicht im Mittel höchstens { FIGURE($reached) }: Seine Bewegungen sind kurz, und { $machine } beschleunigt mit { FIGURE($acceleration) } mm/s². Seine Späne sind { FIGURE($chip) } mm je Zahn, und üblich in { $material } sind { FIGURE($low) } mm oder mehr: Er reibt und hinterlässt Brandspuren
findings-rubs-short-fix = langsamer drehen, oder einen Fräser mit weniger Zähnen nehmen
findings-packs = { $bit } geht { FIGURE($depth) } mm auf einmal nach unten, und die Späne stauen sich jenseits von { FIGURE($diameters) } Durchmessern
findings-packs-fix = peck = { $peck }, das räumt sie aus
findings-cone = { $bit } fräst { FIGURE($depth) } mm tief auf einmal, und sein Kegel endet { FIGURE($cone) } mm über seiner Spitze
findings-cone-fix = stepdown = { $stepdown }, oder ein breiterer Fräser
findings-deep = { $bit } fräst { FIGURE($depth) } mm tief auf einmal, und üblich in { $material } sind bis zu { FIGURE($usual) } mm
findings-deep-fix = stepdown = { $stepdown } oder weniger
findings-edge = die Schneide von { $bit } läuft mit { FIGURE($speed) } m/min, und üblich in { $material } sind höchstens { FIGURE($usual) }: Das Material verbrennt oder schmilzt
findings-edge-fix = spindle = { $speed } oder weniger
findings-turns = die Spindel dreht mit { FIGURE($speed) } U/min; üblich sind { FIGURE($low) } bis { FIGURE($high) }
findings-turns-fix = wählen Sie eine Drehzahl in diesem Bereich und einen passenden Vorschub
findings-not-judged = die Späne eines Schnitts im Raum sind nicht beurteilt: Wie tief er an jeder Stelle ist, ist hier nicht bekannt
findings-material-caution = { $material }: { $why } (übliche Praxis, ohne Quelle)
findings-melts = es schmilzt an einem Fräser, der reibt: Nehmen Sie einen scharfen Fräser mit wenigen Zähnen, fräsen Sie dicke Späne und blasen Sie sie aus
findings-pvc-foam = vergewissern Sie sich, dass es kein PVC-Schaum ist: Der darf nicht gefräst werden

findings-file-as-sent = die gesendete Datei
findings-file-returned = die zurückgekommene Datei
findings-file-changed = die Datei wurde geändert, seit sie geprüft wurde: Nichts darin ist mehr nachgewiesen
findings-file-changed-fix = fahren Sie sie nicht; nehmen Sie die Datei, wie sie gesendet wurde, oder lassen Sie sie neu erzeugen
findings-no-certificate = neben der Datei liegt kein Zertifikat: Werkzeugwege und Platte sind nicht bekannt, und nichts ist nachgewiesen
findings-no-certificate-fix = legen Sie die Datei wieder neben ihr Zertifikat
findings-air-cut = das ist der Luftschnitt: dieselbe Bewegung, über die Platte gehoben, bei ausgeschalteter Spindel
findings-came-back-changed = die zurückgekommene Datei ist nicht die gesendete: Nichts, was nachgewiesen war, gilt für sie
findings-came-back-changed-fix = fahren Sie sie nicht; senden Sie die Datei noch einmal, am besten gepackt oder mit ihrem SHA-256
findings-later-files = sie endet, wo ihr Fräser endet; es folgen die Dateien von { $count ->
    [one] { $count } späteren Fräser
   *[other] { $count } späteren Fräsern
 }
findings-later-files-fix = fahren Sie danach die des Ordners, der Reihe nach
findings-starts-with = sie beginnt mit dem Fräser { $bit }
findings-starts-with-fix = spannen Sie ihn ein und setzen Sie Z
findings-taken-as-cut = was davor kommt ({ $count ->
    [one] { $count } Werkzeugweg
   *[other] { $count } Werkzeugwege
 }), gilt als schon gefräst: { $toolpaths }
findings-taken-as-cut-fix = sehen Sie auf der Platte nach; beginnen Sie früher, wenn einer davon nicht fertig ist

findings-cuts-away = { $what } fräst { FIGURE($area) } mm² nahe x { FIGURE($x) }, y { FIGURE($y) } bei z { FIGURE($z) } (Werkbank) weg, und { $why } lässt sie stehen
findings-which-bit = welcher Fräser einige ihrer Schnitte macht, ist nicht bekannt
findings-feed-as-sent = fräst mit F{ $got }, gesendet mit F{ $wanted }
findings-feed-unset-as-sent = fräst mit einem Vorschub, den nichts gesetzt hat, gesendet mit F{ $wanted }
findings-signal-spindle-on-clockwise = Spindel an, im Uhrzeigersinn, { FIGURE($speed) } U/min
findings-signal-spindle-on-counter = Spindel an, gegen den Uhrzeigersinn, { FIGURE($speed) } U/min
findings-signal-spindle-off = Spindel aus
findings-signal-pause = eine Pause
findings-signal-end = das Ende des Programms
findings-signal-tool = Fräser { $number }
findings-signal-offset = Nullpunkt { $name }
findings-signal-coolant = Kühlung { $kind }
findings-signal-lift = eine Bewegung nach oben in Maschinenkoordinaten, auf { FIGURE($z) }

findings-refused = { $what }; nichts in diesem Satz wird ausgeführt
findings-refused-word = { $what } („{ $word }“); nichts in diesem Satz wird ausgeführt
findings-letter-expected = hier muss ein Wort mit einem Buchstaben beginnen
findings-letter-expected-fix = entfernen Sie die Zeichen davor
findings-bad-number = dieses Wort hat keine lesbare Zahl
findings-bad-number-fix = schreiben Sie Ziffern mit höchstens einem Punkt, ohne Exponent
findings-system-command = ein Befehl an die Einstellungen der Steuerung, kein Satz
findings-system-command-fix = nehmen Sie ihn aus der Datei heraus
findings-negative = dieses Wort darf nicht negativ sein
findings-negative-fix = schreiben Sie einen Wert von 0 oder mehr
findings-long-line = die Zeile ist länger, als die Steuerung annimmt
findings-long-line-fix = teilen Sie den Satz, oder kürzen Sie ihn
findings-unsupported = das hat die Steuerung nicht
findings-unsupported-fix = entfernen Sie es, oder wählen Sie den Dialekt, für den die Datei geschrieben wurde
findings-group-twice = zwei Codes derselben Gruppe in einem Satz
findings-two-blocks-fix = verteilen Sie sie auf zwei Sätze
findings-no-feed = eine Vorschubbewegung ohne Vorschub
findings-no-feed-fix = geben Sie vorher ein F-Wort über 0 an
findings-not-whole = dieses Wort braucht eine ganze Zahl
findings-not-whole-fix = schreiben Sie es ohne Nachkommastellen
findings-axis-conflict = zwei Codes beanspruchen die Achswörter desselben Satzes
findings-word-twice = ein Wort steht zweimal in einem Satz
findings-word-twice-fix = entfernen Sie eines davon
findings-no-axis = dieser Code braucht ein X-, Y- oder Z-Wort
findings-no-axis-fix = fügen Sie eines hinzu, auch wenn es die Position wiederholt
findings-line-number = eine Zeilennummer, die es nicht geben kann
findings-line-number-fix = nummerieren Sie Zeilen am Anfang, mit kleinen ganzen Zahlen
findings-value-missing = es fehlt ein Wort, das dieser Code braucht
findings-value-missing-fix = fügen Sie es hinzu
findings-no-offset = eine Verschiebung mit dieser Nummer gibt es nicht
findings-no-offset-fix = nehmen Sie die Nummern, die die Steuerung hat
findings-machine-coordinates = G53 geht nur mit G0 oder G1
findings-machine-coordinates-fix = setzen Sie G0 oder G1 in denselben Satz
findings-axis-left = Achswörter, obwohl G80 die Bewegungsart beendet hat
findings-set-motion-fix = setzen Sie vorher G0, G1, G2 oder G3
findings-no-plane-axis = ein Bogen braucht ein Achswort seiner Ebene
findings-no-plane-axis-fix = fügen Sie X oder Y hinzu
findings-arc-target = das Ende des Bogens liegt nicht auf seinem Kreis
findings-arc-target-fix = berichtigen Sie das Ende oder die Mitte
findings-arc-radius = der Radius ist zu klein, um das Ende zu erreichen
findings-arc-radius-fix = geben Sie die Mitte mit I und J an
findings-no-arc-centre = ein Bogen ohne Mitte und ohne Radius
findings-no-arc-centre-fix = fügen Sie I und J hinzu, oder R
findings-words-left = ein Wort, das nichts in diesem Satz braucht
findings-remove-fix = entfernen Sie es
findings-length-axis = eine dynamische Längenkorrektur nimmt genau Z
findings-length-axis-fix = schreiben Sie G43.1 nur mit Z
findings-tool-number = eine Werkzeugnummer, die über die der Steuerung hinausgeht
findings-tool-number-fix = nehmen Sie eine kleinere Nummer
findings-open-comment = ein Kommentar, der nicht geschlossen ist
findings-open-comment-fix = schließen Sie ihn mit )
findings-nested-comment = ein Kommentar in einem Kommentar
findings-nested-comment-fix = lassen Sie die inneren Klammern weg
findings-no-motion = Achswörter, aber keine Bewegungsart ist gesetzt
findings-many-m = mehr M-Wörter, als ein Satz haben darf
findings-off-plane = ein Mittelpunktswort, das nicht in der Ebene des Bogens liegt
findings-slanting = ein Eilgang, der Z zusammen mit X oder Y bewegt
findings-slanting-fix = schreiben Sie ihn als zwei Sätze: zuerst nach oben, oder zuletzt nach unten
findings-checksum = die Prüfsumme der Zeile fehlt oder ist falsch
findings-checksum-fix = schreiben Sie die Zeile neu: Sie kann beschädigt oder geändert worden sein
findings-frame = die Datei endet nicht so, wie die Steuerung es verlangt
findings-frame-fix = beenden Sie sie mit M2 oder M30, oder setzen Sie sie zwischen %-Zeilen
findings-acts-at-once = das Byte { $byte } wirkt auf die Steuerung, sobald es ankommt, selbst in einem Kommentar
findings-acts-at-once-several = das Byte { $byte } wirkt auf die Steuerung, sobald es ankommt, selbst in einem Kommentar ({ $count } solche Bytes in dieser Zeile)
findings-acts-at-once-fix = nehmen Sie es heraus: ASCII ohne solche Bytes ist sicher
findings-unset = die Datei sagt nicht, { $what }; gelesen wie nach dem Einschalten, { $code }
findings-unset-fix = schreiben Sie vorher { $code }
findings-unset-units = in welcher Einheit sie zählt
findings-unset-distance = ob ihre Zahlen absolut sind
findings-unset-offset = von welcher Verschiebung sie zählt
findings-unset-feed-mode = was F bedeutet
findings-unset-plane = in welcher Ebene sie liegt
findings-unset-motion = welche Art von Bewegung es ist
findings-unset-return = wie weit ein Bohrzyklus zurückzieht
findings-unset-arc-distance = wovon I und J zählen
findings-no-motion-read = { $what }; es wird als keine Bewegung gelesen
findings-unknown-arc = ein Bogen von oder zu einer Stelle, die nicht bekannt ist
findings-unknown-arc-fix = fahren Sie vorher an ein bekanntes X und Y
findings-expression = ein Ausdruck oder ein Parameter: Seinen Wert kennt nur die Steuerung
findings-expression-fix = schreiben Sie einfache Zahlen
findings-unknown-cycle = ein Bohrzyklus von einer Stelle, die nicht bekannt ist
findings-unknown-place-fix = fahren Sie vorher an ein bekanntes X, Y und Z
findings-unknown-feed-move = eine Vorschubbewegung von einer Stelle, die nicht bekannt ist
findings-unknown-increment = ein Schritt von einer Stelle, die nicht bekannt ist
findings-unknown-rapid = ein Eilgang quer, während die Höhe nicht bekannt ist
findings-unknown-retract = wie weit diese Steuerung nach einem Bohrzyklus zurückzieht, ist nicht bekannt
findings-unknown-retract-fix = beginnen Sie den Zyklus in seiner R-Ebene
findings-weeks = eine Wartezeit von Wochen
findings-impossible-feed = ein Vorschub, den keine Maschine erreicht
findings-impossible-number = eine Zahl, die keine Maschine erreicht
findings-impossible-speed = eine Drehzahl, die keine Spindel erreicht
findings-impossible-fix = prüfen Sie Dezimalpunkt und Einheiten
findings-look-fix = sehen Sie sich die Zahl an
findings-whole-turn = eine ganze Drehung, die die 32-Bit-Gleitkommazahlen dieser Steuerung für keine halten können: Sie lässt die Drehung dann ohne Fehler aus
findings-two-halves-fix = schreiben Sie sie als zwei Hälften
findings-probe = Antasten endet, wo es berührt; das sagt die Datei nicht
findings-no-speed = die Spindel startet mit einer Drehzahl, die die Datei nicht gesetzt hat
findings-arcs-g93 = diese Steuerung berechnet die Zeit von Bögen unter G93 falsch
findings-plain-moves-fix = schreiben Sie Bewegungen mit G0 und G1
findings-cutter-radius = die Steuerung verschiebt diese Bahn um einen Fräserradius aus ihrer eigenen Tabelle
findings-cutter-radius-fix = versetzen Sie die Bahn, bevor sie geschrieben wird
findings-switch = ein Schalter an der Steuerung entscheidet, ob dieser Satz läuft; er wird nicht gelesen
findings-switch-fix = entfernen Sie den Schrägstrich oder den Satz
findings-stored-place = { $code } fährt an eine Stelle, die in der Steuerung gespeichert ist
findings-stored-place-rewritten = { $code } überschreibt eine Stelle, die in der Steuerung gespeichert ist
findings-offset-unsaid = { $code } verschiebt die geltende Verschiebung um einen Betrag, den die Datei nicht sagt
findings-offset-where-it-is = { $code } setzt den Nullpunkt dorthin, wo der Fräser gerade ist
findings-offset-rewritten = { $code } überschreibt eine Verschiebung, die in der Steuerung gespeichert ist
findings-offset-rewritten-here = { $code } überschreibt die geltende Verschiebung mit der Position des Fräsers
findings-shift-unsaid = { $code } beendet eine Verschiebung, deren Größe die Datei nicht sagt

findings-at-right = { FIGURE($mm) } mm rechts
findings-at-left = { FIGURE($mm) } mm links
findings-at-front = { FIGURE($mm) } mm vorn
findings-at-back = { FIGURE($mm) } mm hinten
findings-sliver-at = { FIGURE($area) } mm² bei ({ FIGURE($x) }; { FIGURE($y) })
findings-axis-limit = { $axis } höchstens { FIGURE($feed) }
findings-part-over = das Teil { $part } ragt über die Platte: { $where }
findings-part-over-fix = nehmen Sie eine größere Platte, oder verschieben Sie das Teil
findings-cut-over = der Schnitt um { $part } läuft über die Plattenkante: { $where }
findings-cut-over-fix = lassen Sie einen Rand, oder sorgen Sie dafür, dass dort nichts die Platte hält oder anschlägt

findings-fit-slot = fit = { $fit } verschiebt die Wände von { $name } nicht: Der Schlitz ist so breit wie sein Fräser
findings-fit-slot-fix = geben Sie ihm eine Breite, damit sie sich verschieben
findings-fit-drill = fit = { $fit } verschiebt die Wände von { $name } nicht: Ein Bohrer macht Löcher von seiner eigenen Größe
findings-fit-drill-fix = nehmen Sie einen anderen Bohrer, oder fräsen Sie die Löcher

findings-beam-on-the-way = fährt mit eingeschaltetem Strahl
findings-beam-on-the-way-fix = S0 für jeden Leerweg
findings-beam-no-feed = brennt mit einem Vorschub, den nichts gesetzt hat
findings-beam-no-feed-fix = geben Sie ein F an
findings-beam-over = verlangt mehr als die volle Leistung
findings-beam-over-fix = prüfen Sie S und im Profil [output] speed
findings-beam-constant = ab hier brennt der Strahl auch, wo die Maschine steht (M3)
findings-beam-constant-fix = lassen Sie die Leistung der Geschwindigkeit folgen: M4
findings-beam-waits = hier wartet die Maschine, und der Strahl ist nicht ausgeschaltet
findings-beam-waits-fix = M5 davor
findings-beam-stays = der Strahl ist nicht ausgeschaltet, wo das Programm endet
findings-beam-stays-fix = M5 vor dem Ende
findings-beam-other-power = bewegt sich mit { FIGURE($got) } der vollen Leistung, das Programm mit { FIGURE($wanted) }
findings-beam-only-bits = beurteilt wird ein Fräser im Holz, und dies ist ein Strahl: Wie tief er brennt, ist nicht bekannt
findings-beam-unset = der Strahl ist an, mit einer Leistung, die die Datei nicht gesetzt hat
findings-beam-length = nahe x { FIGURE($x) }, y { FIGURE($y) } (Werkbank) werden innerhalb von { FIGURE($disc) } mm { FIGURE($got) } mm gebrannt, und der Auftrag verlangt { FIGURE($wanted) } mm
findings-beam-paused = der Strahl wird vor einer Pause ausgeschaltet und danach wieder eingeschaltet
findings-beam-no-boards = sie ist für einen Strahl: Wie tief er brennt, ist nicht bekannt, also lassen sich keine Platten vergleichen
findings-beam-no-boards-fix = prüfen Sie jede Datei gegen den Auftrag, aus dem sie gemacht wurde

# --- eine Fräsdatei, die anderswo entstand (pathkit.lifting, pathkit.tuning, pathkit.readback.elsewhere) --------------
findings-lift-bit = der Durchmesser des Fräsers ist nicht bekannt; Schnitte, die sich bei einem Zoll Breite berühren könnten, behalten ihre Reihenfolge
findings-lift-bit-number = der Durchmesser von Fräser { $number } ist nicht bekannt; Schnitte, die sich bei einem Zoll Breite berühren könnten, behalten ihre Reihenfolge
findings-lift-down = die Datei schickt den Fräser senkrecht ins Holz: Er muss in der Mitte schneiden
findings-lift-down-number = die Datei schickt Fräser { $number } senkrecht ins Holz: Er muss in der Mitte schneiden
findings-lift-rapids = { $count ->
    [one] { $count } Eilgang verläuft
   *[other] { $count } Eilgänge verlaufen
 } unter der Oberseite der Platte; gefahren wird dort mit dem größten Vorschub der Datei, { FIGURE($feed) } mm/min
findings-lift-wait = eine Wartezeit von { FIGURE($seconds) } s in einem Schnitt ist weggelassen
findings-lift-coolant = Kühlung ({ $kind }) ist weggelassen
findings-tune-slowed = { $count ->
    [one] { $count } Schnitt ist
   *[other] { $count } Schnitte sind
 } auf das verlangsamt, was die Achsen von { $machine } können
findings-skipped-block = ein Satz, den ein Schalter an der Steuerung überspringen kann, ist gelesen, als wäre der Schalter aus: Er läuft
findings-skipped-block-fix = den Schrägstrich entfernen, oder den Satz
findings-home-increments = hier wird noch inkremental gezählt: G91 galt der Fahrt zum Referenzpunkt davor, und kein G90 folgte
findings-home-increments-fix = nach der Fahrt zum Referenzpunkt G90 schreiben
findings-mixed-units-inches = die Datei zählt ab hier in Zoll und davor in mm
findings-mixed-units-mm = die Datei zählt ab hier in mm und davor in Zoll
findings-mixed-units-fix = ist das gemeint? dieselbe Zahl ist in Zoll 25,4-mal so lang
findings-begins-increments = die Datei beginnt inkremental: Sie ist gelesen, als stünde der Fräser auf diesen Achsen zuerst bei 0
findings-begins-increments-fix = den Fräser vor dem Start dorthin stellen, oder mit G90 beginnen
findings-unset-assumed = die Datei sagt nicht, { $what }; sie ist gelesen, als stünde darin { $code }
findings-unset-after = die Datei sagt nicht, { $what }; sie ist gelesen wie nach dem Einschalten, { $code }
findings-after-the-end = die Datei geht nach ihrem Ende weiter; ab hier ist nichts gelesen
findings-after-the-end-fix = sind es zwei Dateien in einer?
findings-cut-short = weder M2 noch M30 noch % beendet diese Datei, und { $why }: Sie könnte abgeschnitten sein
findings-cut-short-fix = mit dem Original vergleichen
findings-cut-short-line = ihre letzte Zeile hat kein Ende
findings-cut-short-cut = sie endet mit einem Schnitt
findings-cut-short-spindle = die Spindel bleibt an
findings-cut-short-tape = ein % öffnet sie und keines beendet sie
findings-cut-short-needed = diese Steuerung verlangt M2 oder M30
findings-loose-fix = Haltestege daran lassen, oder Klebeband darunter
findings-tune-no-bit = { $option } steht ohne ihren Fräser da; --bit mit derselben Nummer angeben
findings-tune-flutes = --flutes ist { $given }; angeben, wie viele Schneiden der Fräser hat, 1 bis 16: --flutes 2
findings-tune-bit-number = { $option } nennt { $number }, eine Nummer, die kein Schnitt der Datei hat; sie hat { $there }
findings-tune-underlay = --underlay ist { $given }; eine Dicke in mm bis { $most } angeben, wie in --underlay 3
findings-tune-corner = --source-zero ist { $given }; eines von: { $names }
findings-tune-fit = --fit ist { $given }; none angeben, oder mm über 0 und bis { $most }, wie in --fit 0.01
findings-tune-needs-bit = { $option } muss den Fräser kennen; auch ihn angeben, wie in --bit 6
findings-tune-needs-thickness = --tabs muss wissen, wie dick die Platte ist; auch sie angeben, wie in --board 300x200x6
findings-tune-needs-board = { $option } braucht die Größe der Platte; auch sie angeben, wie in --board 300x200x6
findings-tune-more-faults = und { $count ->
    [one] { $count } weiterer solcher Fehler
   *[other] { $count } weitere solche Fehler
 }
findings-tune-would-replace = { $source } ist die gelesene Datei, und { $name } würde sie ersetzen
findings-tune-would-replace-fix = mit --out einen anderen Ordner wählen
findings-tune-of-another = enthält, was aus einer anderen Datei oder für eine andere Maschine gemacht wurde
findings-tune-of-another-fix = einen anderen Ordner wählen, oder --force, das Dateien desselben Namens ersetzt
findings-lift-not-below = die Datei fräst nie unter ihrem Nullpunkt, also liegt er nicht auf der Oberseite der Platte
findings-lift-both-sides = die Datei fräst längs { $axis } auf beiden Seiten ihres Nullpunkts, also liegt er nicht an der Ecke { $corner }
findings-lift-above = ein Schnitt verläuft bei z = { FIGURE($z) } mm, über dem Nullpunkt: Liegt der auf der Oberseite der Platte?
findings-lift-nothing = nichts wird gefräst
findings-lift-nothing-fix = eine Datei mit Vorschubbewegungen angeben
findings-lift-turned = die Platte ist gedreht, und ihre Größe ist nicht bekannt
findings-lift-offsets = Schnitte in zwei Verschiebungen, { $what } und { $other }
findings-lift-waits-between = die Maschine wartet zwischen zwei Schnitten, vielleicht auf einen anderen Fräser
findings-lift-counter-clockwise = ein Schnitt, bei dem die Spindel gegen den Uhrzeigersinn dreht (M4)
findings-lift-changes-within = Fräser, Drehzahl oder Verschiebung wechseln mitten in einem Schnitt
findings-lift-waits-within = die Maschine wartet in einem Schnitt, oder hebt in ihren eigenen Koordinaten ab
findings-lift-one-for-all = die Datei wechselt Fräser, und einer ist für alle angegeben
findings-tune-never-higher = die Datei geht nie höher als z = { FIGURE($z) } mm, und die Oberseite der Platte liegt bei { FIGURE($top) } mm
findings-tune-never-higher-fix = ist die Platte so dick, wie Sie gesagt haben?
findings-tune-other-corner = die Datei hat ihren Nullpunkt an der Ecke { $corner }, { $machine } an der Ecke { $own }
findings-tune-bit = --bit ist { $given }; { $why }
findings-tune-bit-wide = { $option } ist { $given }; einen Durchmesser bis { $most } mm angeben: { $one } 6, { $two } 1/4in, { $three } 1=6
findings-tune-axes = --source-axes ist { $given }; angeben, wohin der Fräser geht, wenn X, Y und Z wachsen: { $why }
findings-tune-axes-fix = X und Y laufen { $ways }, Z { $up }: --source-axes right,away,up
findings-tune-contradicts = { $option } { $given } widerspricht einem anderen { $other }; { $why }
findings-tune-contradicts-fix = eines für alle angeben, { $one }, oder eines für jede Nummer: { $each }
findings-tune-number = { $option } ist { $given }; die Nummer des Fräsers in der Datei angeben: { $example }
findings-lift-bit-fix = sagen, welcher Fräser es ist
findings-lift-each-fix = für jede Nummer einen Fräser angeben
findings-lift-corner-fix = sagen, an welcher Ecke der Nullpunkt liegt, oder { $why }
findings-lift-board-fix = die Platte angeben: Breite, Tiefe und Dicke, und ob der Nullpunkt auf ihrer Oberseite liegt oder auf dem Maschinentisch
findings-tune-other-corner-fix = die Größe der Platte angeben, damit sich die eine aus der anderen ergibt
findings-tune-option-fix = { $why }; wie in { $option }
findings-lift-board = die Platte ist nicht bekannt; angenommen: { FIGURE($width) } x { FIGURE($depth) } x { FIGURE($thickness) } mm, die kleinste, die alle Schnitte fasst, Nullpunkt auf ihrer Oberseite an der Ecke { $corner }

findings-lift-offsets-fix = wie diese zueinander liegen, steht nicht in der Datei: Teilen Sie sie
findings-lift-pause-fix = teilen Sie die Datei dort
findings-lift-spindle = ein Schnitt bei ausgeschalteter Spindel, oder ohne Drehzahl
findings-lift-spindle-fix = schalten Sie sie vorher ein (etwa S18000 M3), oder geben Sie an, wie schnell sie dreht, wenn sie von Hand eingeschaltet wird
findings-lift-sense-fix = Fräser für solche Maschinen schneiden im Uhrzeigersinn: Schreiben Sie M3
findings-lift-within-fix = heben Sie den Fräser vorher von der Platte ab
findings-bite = { $bit } fräst hier { FIGURE($now) } mm tief auf einmal, in der Datei höchstens { FIGURE($was) } mm
findings-bite-fix = behalten Sie die Reihenfolge der Datei bei
findings-same-cuts = { $who } fräst bei x { FIGURE($x) }, y { FIGURE($y) } bis hinunter auf z { FIGURE($z) } (Werkbank), { $whoever } aber nicht
findings-same-cuts-fix = behalten Sie die Datei, wie sie war
findings-same-cuts-file = die Datei
findings-same-cuts-made = was daraus gemacht wurde
findings-elsewhere-byte = zwischen den Wörtern steht das Byte 0x{ $byte }, und manche Steuerungen lassen es weg
findings-elsewhere-byte-fix = schreiben Sie Wörter in einfachem ASCII
findings-elsewhere-offset = { $now } ist eine andere Verschiebung als { $then }: Wo sie liegt, sagt die Datei nicht
findings-elsewhere-offset-fix = lassen Sie sie mit nur einer Verschiebung schreiben
findings-elsewhere-absolute-centre = ein absoluter Mittelpunkt (G90.1) braucht { $one } und { $two }; { $missing } fehlt
findings-elsewhere-increments = G91 gilt am Ende noch: Was als Nächstes gesendet wird, würde inkremental zählen
findings-elsewhere-increments-fix = enden Sie mit G90
findings-elsewhere-shift = die Verschiebung durch G92 gilt am Ende noch: Was als Nächstes gesendet wird, würde von dort aus zählen
findings-elsewhere-shift-fix = enden Sie mit G92.1
findings-elsewhere-no-spindle = der Fräser bewegt sich im Vorschub, und nichts in dieser Datei startet die Spindel
findings-elsewhere-no-spindle-fix = starten Sie sie von Hand, oder schreiben Sie es in die Datei (M3 S…)
findings-elsewhere-change-down = der Fräser wird gewechselt, während er unten ist, bei Z{ FIGURE($z) }
findings-elsewhere-change-down-fix = heben Sie ihn vor dem Wechsel ab
findings-elsewhere-dwell = hier wird { FIGURE($seconds) } s gewartet; eine Steuerung, die in Millisekunden zählt, würde { FIGURE($less) } s warten
findings-elsewhere-name-it = nennen Sie die Steuerung, für die sie geschrieben wurde (--from, oder dialect=…)
findings-elsewhere-name-it-of = nennen Sie die Steuerung, für die sie geschrieben wurde (--from, oder dialect=…): { $names }
findings-elsewhere-name-it-or = { $why }, oder sehen Sie sich diese Zeile an
findings-elsewhere-no-points = keine Länge in dieser Datei hat einen Dezimalpunkt: Gelesen sind ganze Einheiten, und manche Steuerungen zählen stattdessen Tausendstel mm
findings-elsewhere-no-points-fix = ist das Teil so groß, wie es hier steht? sonst lassen Sie die Datei mit Dezimalpunkten schreiben
findings-elsewhere-from-zero = I und J sind als vom Nullpunkt gezählt gelesen: Vom Anfang jedes Bogens aus passen sie auf keinen Kreis, vom Nullpunkt aus passen alle
findings-elsewhere-from-zero-fix = schreiben Sie vorher G90.1
findings-elsewhere-two-bytes = dieser Text hat zwei Bytes für jeden Buchstaben (UTF-16)
findings-elsewhere-two-bytes-fix = speichern Sie ihn als einfachen Text (ASCII oder UTF-8)
findings-elsewhere-size = { $what }: { FIGURE($size) }; in Zoll wären es { FIGURE($inches) }
findings-elsewhere-stops = { $why }; die Datei bricht in dieser Zeile ab, könnte also abgeschnitten sein
findings-elsewhere-as-by = gelesen wie von { $names }; andere lehnen diese Zeile ab: { $what }
findings-elsewhere-no-block = in diesem Text steht kein Satz
findings-elsewhere-no-block-fix = ist es die richtige Datei?
findings-elsewhere-short-lines = ein Bogen, aus dem mehr als { $most } kurze Linien würden
findings-elsewhere-short-lines-fix = prüfen Sie seinen Radius
findings-elsewhere-short-lines-in-all = aus den Bögen außerhalb der XY-Ebene würden mehr als { $most } kurze Linien
findings-elsewhere-known-first = fahren Sie vorher an ein bekanntes { $one } und { $two }
findings-elsewhere-length-unsaid = { $code } beendet eine Längenkorrektur, deren Größe die Datei nicht sagt
findings-differ = hier tun Steuerungen Verschiedenes: { $who }: { $what }; { $whoever }: { $why }
findings-differ-usual = eine übliche
findings-differ-arcs = eine, die I und J vom Nullpunkt zählt
findings-differ-dwells = eine, die Wartezeiten in Millisekunden zählt
findings-differ-home = eine, die nur die genannten Achsen bewegt
findings-differ-feed = eine, die F vor den Einheiten derselben Zeile nimmt
findings-differ-no-move = bewegt sich nicht weiter
findings-differ-rapid = fährt im Eilgang nach { $place }
findings-differ-line = fräst gerade nach { $place } mit { FIGURE($feed) } mm/min
findings-differ-line-unfed = fräst gerade nach { $place } mit einem Vorschub, der nicht bekannt ist
findings-differ-arc = fräst einen Bogen von { FIGURE($turn) } Grad um { $about } nach { $place } mit { FIGURE($feed) } mm/min
findings-differ-arc-unfed = fräst einen Bogen von { FIGURE($turn) } Grad um { $about } nach { $place } mit einem Vorschub, der nicht bekannt ist
findings-differ-wait = wartet { FIGURE($seconds) } s
findings-differ-turn = dreht die Spindel mit { FIGURE($speed) } U/min
findings-differ-stop = hält die Spindel an
findings-differ-lift = fährt in Maschinenkoordinaten nach oben auf Z{ FIGURE($z) }
findings-differ-change = wechselt den Fräser
findings-differ-coolant-off = schaltet die Kühlung aus
findings-differ-coolant-on = schaltet die Kühlung ein ({ $kind })
findings-differ-offset = zählt von { $name }
findings-differ-nothing = tut nichts dergleichen
findings-fitted-tolerance = eine Toleranz von { FIGURE($given) } mm lässt sich nie einhalten; geben Sie eine über 0 an, etwa { $such }
findings-fitted-option = FitArcs: tolerance ist { FIGURE($given) } mm; geben Sie eine über 0 an, etwa { $such }
findings-fitted-arcs = FitArcs: arcs ist { $given }; geben Sie True oder False an
findings-fitted = aus { $before } Linien und Bögen wurden { $after }, auf { FIGURE($deviation) } mm genau
findings-beam-weak = eine Leistung von { FIGURE($power) } der vollen: Bei S bis { FIGURE($most) } wird sie auf S0 gerundet
findings-beam-weak-fix = geben Sie mehr Leistung an, oder im Profil unter [output] speed ein feineres S
findings-beam-by-hand = der Strahl: { $machine } sagt, dass er von Hand geschaltet wird
findings-beam-by-hand-fix = lassen Sie das die Datei tun: [spindle] control = "words"
findings-beam-diameter = --bit gibt nur einen Durchmesser an, aber { $name } ist von der Art { $kind } und braucht mehr als das
findings-beam-burns = { $name } ist kein Strahl, und nur ein Strahl brennt
findings-beam-burns-fix = setzen Sie kind = "beam" in seiner Tabelle, oder lassen Sie ihn gravieren: kind = "engrave"
findings-beam-burns-only = { $name } ist ein Strahl: Er hat keine Tiefe, also brennt er nur
findings-beam-obstacle = auf der Platte steht etwas, und ein Strahl fährt in der Höhe, in der er brennt
findings-beam-obstacle-fix = halten Sie die Platte an den Kanten oder von unten, und lassen Sie die Zone weg
findings-beam-no-power = ein Strahl ohne Leistung
findings-beam-no-beam = eine Leistung für { $name }, was kein Strahl ist
findings-beam-cutting = ein Strahl, und nur er, nimmt Cutting.by_beam(feed=…, power=…)
findings-beam-depth = ein Strahl hat keine Tiefe: Er stellt nicht zu, räumt nicht aus und bohrt nicht
findings-beam-depth-fix = lassen Sie ihn Linien folgen: operations.burn
findings-beam-heights = ein Strahl in wechselnden Höhen
findings-beam-heights-fix = er ist auf eine Höhe eingestellt
findings-beam-alone = der Strahl { $name } zusammen mit { $others }
findings-beam-alone-fix = ein Strahl braucht einen eigenen Auftrag, für ihn allein
findings-beam-several-heights = ein Strahl in mehreren Höhen
findings-beam-several-heights-fix = er ist auf eine eingestellt; legen Sie alle seine Linien dorthin
findings-beam-and-spindle = die Leistung eines Strahls zusammen mit einer Drehzahl oder einem Bereich von Vorschüben
findings-beam-and-spindle-fix = nehmen Sie Cutting.by_beam(feed=…, power=…)
findings-beam-height = brennt bei z = { FIGURE($z) } mm (Werkbank); die Linien des Auftrags liegen bei { FIGURE($height) } mm
findings-beam-height-fix = stellen Sie die Höhe des Auftrags ein
findings-beam-strange = brennt mit { FIGURE($power) } der vollen Leistung bei { FIGURE($feed) } mm/min, wie keine Linie des Auftrags
findings-beam-again = schreiben Sie das Programm neu, und ändern Sie die Datei nicht
findings-beam-in-twin = im Luftschnitt brennt der Strahl
findings-beam-on-in-twin = im Luftschnitt ist der Strahl eingeschaltet
findings-spindle-on-in-twin = im Luftschnitt ist die Spindel eingeschaltet
findings-twin-fix = schreiben Sie den Luftschnitt neu
findings-span-arc = Stück { $number } ist ein Bogen, der über derselben Stelle beginnt und endet
findings-turned-around = er läuft von seinem Ende zu seinem Anfang: Was als Gleichlauf angelegt war, wird im Gegenlauf gefräst
findings-turned-around-fix = prüfen Sie den Drehsinn der Spindel und die Händigkeit der Maschine, und schreiben Sie den Auftrag neu
findings-feed-out-of-turn = fräst mit { FIGURE($feed) } mm/min, außer der Reihe seiner { $count } Vorschübe
findings-feed-post-again = schreiben Sie den Auftrag neu
findings-lift-offset-in-force = der geltenden
findings-tune-longer = es dauert { FIGURE($seconds) } s länger als die gelesene Datei: Der Fräser geht mit Vorschub hinunter, wo die Datei im Eilgang hinuntergeht
findings-tune-steady-longer = es dauert { FIGURE($seconds) } s länger als die gelesene Datei: Wo der Fräser in mehr Holz ist, sind die Vorschübe niedriger, wie gewünscht
findings-tour-patience = patience ist { $given }; geben Sie 1 Stufe oder mehr an, oder None
findings-tune-no-tabs = kein Schnitt der Datei löst ein Stück, das Haltestege halten könnten; --tabs weglassen
findings-bite-at-rapid = { $who } fährt selbst im Eilgang durch { FIGURE($deep) } mm Holz, in Zeile { $line }
findings-bite-at-rapid-fix = sehen Sie dort nach: Liegt die Platte tiefer?
findings-tune-no-load = kein waagerechter Schnitt der Datei hat einen einzigen Vorschub, der dem Eingriff folgen könnte; --steady weglassen
findings-tune-steady-shares = --steady ist { $given }; geben Sie den kleinsten Anteil der Vorschübe der Datei an, ab { $least }, etwa --steady 0.7; oder ihn und den größten, bis { $most }, etwa --steady 0.7-1.2
findings-tune-vee = --vee ist { $given }; geben Sie den Durchmesser bis { $wide } mm und den vollen Winkel bis { $angle } Grad an: --vee 12x60, --vee 1/2inx60, --vee 1=12x60
