findings_parts-the-part = das Teil { $part }
findings_parts-waste = ein Stück Abfall
findings_parts-core = der Kern der Öffnung { $number } des Teils { $part }
findings_parts-outline = die Außenkontur des Teils { $part }
findings_parts-chamfer = Fase { $number } des Teils { $part }
findings_parts-core-again = Er wird noch einmal gefräst, sobald er frei ist
findings_parts-core-early = Er wird frei, bevor sein Schnitt fertig ist, sodass der Fräser neben ihm weiterläuft
findings_parts-core-last = Er wird mit der letzten Bewegung der Datei frei, und der Fräser bleibt neben ihm
findings_parts-core-not-up = Er wird frei, und der Fräser hebt nicht senkrecht von ihm ab
findings_parts-core-met = Er liegt lose, wenn der Fräser in Zeile { $line } zu ihm zurückkommt
findings_parts-certificate-too-large = es ist größer als { $size } Byte
findings_parts-certificate-not-one = "pathkit" ist nicht "certificate"
findings_parts-cut-early-asked = So verlangt es der Auftrag
findings_parts-cut-early-finish = Er nimmt ab, was jener an der Wand stehen lässt
findings_parts-cut-early-within = Jener liegt in dem Stück, das der Schnitt löst
findings_parts-cut-early-opened = Jener ist eine Tasche, die der durchgehende Schnitt öffnet
findings_parts-cut-early-floor = Jener räumt den Boden neben dieser Wand
findings_parts-one-file = die eine Datei
findings_parts-other-file = die andere
findings_parts-boards-uneven-through = ganz durch
findings_parts-path-rapid = ein Eilgang nach { $place }
findings_parts-path-line = eine Gerade nach { $place }
findings_parts-path-arc = ein Bogen nach { $place }
findings_parts-signal-beam = der Strahl { $mode ->
    [off] aus
    [dynamic] an, der Geschwindigkeit folgend
    [constant] an, auch wo die Maschine steht
   *[other] { $mode }
 }
findings_parts-named-of-part = { $name } des Teils { $part }
findings_parts-named-of-named = '{ $name }' von '{ $part }'
findings_parts-in-copy = { $name } in Kopie { $number }
findings_parts-down-to = bis z = { FIGURE($z) } hinunter
findings_parts-the-top = die Oberseite
findings_parts-no-stepdown = keine Zustellung
findings_parts-a-stepdown = eine Zustellung von { FIGURE($stepdown) } mm
findings_parts-at-z = z = { FIGURE($z) }
findings_parts-boards-of-copies = { $count }-mal { $copies } Kopien
findings_parts-several-of = { $count } von '{ $part }'
findings_parts-place = ({ FIGURE($x) }; { FIGURE($y) })
findings_parts-the-one-at = die bei ({ FIGURE($x) }; { FIGURE($y) })
findings_parts-named-at = { $name } bei ({ FIGURE($x) }; { FIGURE($y) })
findings_parts-the-one-there = das bei ({ FIGURE($x) }; { FIGURE($y) })
findings_parts-crossing-itself = kreuzt sich selbst: { $why }
findings_parts-crossing-empty = schließt nichts ein
findings_parts-far-more = weit mehr
findings_parts-drawn-in-inches = ist die Zeichnung in Zoll
findings_parts-drawn-in-mm = ist die Zeichnung in mm, wurde aber als Zoll gelesen
findings_parts-job-as-cut = der Auftrag, wie er gefräst wird
findings_parts-a-folder = Es ist ein Ordner
findings_parts-a-pipe = Es ist eine Pipe
findings_parts-a-device = Es ist ein Gerät
findings_parts-a-socket = Es ist ein Socket
findings_parts-tip-first-level = Seine erste Ebene ist nicht tiefer als die Spitze
findings_parts-tip-centre = { $bit } schneidet nicht in der Mitte und kann daher nicht senkrecht in das Loch gehen, das für ihn gebohrt ist
findings_parts-tip-shallow = Er ist nur { FIGURE($depth) } mm tief, sodass die { FIGURE($tip) } mm lange, nach oben schneidende Spitze ihn allein fräst
findings_parts-tip-stepdown = Seine Zustellung von { FIGURE($stepdown) } mm geht nicht über die { FIGURE($tip) } mm lange, nach oben schneidende Spitze hinaus ({ FIGURE($reach) } mm mit der Dickentoleranz)
findings_parts-tip-no-parts = Der Auftrag hat keine Teile, also ist nicht bekannt, welche Seite davon Abfall ist
findings_parts-tip-no-waste = Kein Abfall daneben hat Platz für ein Loch zum Eintauchen
findings_parts-one-of-type = ein { $type }
findings_parts-this-board = dieser Platte
findings_parts-reader-failed = ist gescheitert: { $error }
findings_parts-reader-failed-in = ist in { $function }, Zeile { $line } von { $file }, gescheitert: { $error }
findings_parts-reader-value = einen Wert vom Typ { $type }
findings_parts-reader-returned = hat kein Reading zurückgegeben, sondern { $why }
findings_parts-reader-program = hat ein Reading zurückgegeben, das kein Program enthält, sondern { $why }
findings_parts-reader-frame = hat ein Programm im System { $frame } zurückgegeben
findings_parts-reader-findings = hat unter seinen Befunden { $why } zurückgegeben
findings_parts-makes-program = lower(job, machine) macht eines aus einem Auftrag
findings_parts-makes-posted = post(program, machine) macht eines
findings_parts-makes-machine = load_machine(path_or_name), oder Machine.from_toml(text)
findings_parts-makes-setup = etwa Setup(turn=1)
findings_parts-makes-problem = Problem.from_points(points), oder Problem.from_items(items)
