# Das Blatt zu einer Fräsdatei, die anderswo entstand und für eine andere Maschine geschrieben wurde.

tune-running = <strong>{ $job }</strong> · { $machine }
tune-for = Für <strong>{ $machine }</strong>, aus der Fräsdatei <code>{ $file }</code>, die anderswo entstand.
tune-elsewhere = eine andere Maschine
tune-board-assumed = unbekannt; angenommen { $size }
tune-bit = { $kind ->
    [ball] { $size }-Kugelfräser
    [vee] { $size }-V-Fräser mit { $angle }°
   *[other] { $size }-Fräser
 }
tune-bit-number = { $kind ->
    [ball] { $size }-Kugelfräser ({ $number })
    [vee] { $size }-V-Fräser mit { $angle }° ({ $number })
   *[other] { $size }-Fräser ({ $number })
 }
tune-bit-unknown = unbekannt
tune-bit-unknown-number = Nummer { $number }: unbekannt

tune-changed = Was geändert wurde
tune-what = die Datei
tune-before = vorher
tune-after = nachher
tune-key-travel = Leerweg
tune-row-lines = Zeilen
tune-row-travel = Leerweg, waagrecht
tune-row-vertical = Leerweg, auf und ab
tune-row-retracts = so oft hebt der Fräser ab
tune-row-time = Laufzeit auf dieser Maschine
tune-row-chip = dickster Span je Schneide, { $bit }
tune-kept-order = Es wurde keine schnellere Reihenfolge gefunden: Die Schnitte folgen aufeinander wie in der gelesenen Datei.

tune-assumed = Was angenommen, geändert oder weggelassen wurde
tune-assumed-place = Angenommen ist, dass die gelesene Datei ihren Nullpunkt an der vorderen linken Ecke der Platte hat.
tune-assumed-flat = Angenommen ist, dass Fräser, zu denen keine andere Form angegeben ist, eine flache Stirn haben.
tune-steady = Die Vorschübe folgen wie gewünscht dem Eingriff des Fräsers im Holz, zwischen { $least } und { $most } % der Vorschübe der Datei.
tune-assumed-spindle = Die gelesene Datei gibt der Spindel keine Drehzahl; sie dreht jetzt mit { $speed } U/min, wie Sie gesagt haben.
tune-fitted = Kurze Strecken wurden zu Bögen, und Punkte auf einer Linie fielen weg: Kein Schnitt liegt mehr als { $fit } neben seinem alten Ort.
tune-waits = Die neue Datei wartet { $seconds } s mehr, bis die Spindel ihre Drehzahl hat. Das steckt in beiden Laufzeiten.
tune-finding = { $what }.
tune-finding-line = { $what } (Zeile { $line } der gelesenen Datei).

tune-not-known = Was nicht bekannt ist
tune-unknown-board = Nicht bekannt: wie groß und wie dick die Platte ist.
tune-unknown-material = Nicht bekannt: woraus die Platte besteht, also ob Vorschub und Drehzahl zu ihr passen.
tune-unknown-bit = Nicht bekannt: für welchen Fräser die Datei gemacht wurde: Durchmesser, Form, Schneiden.
tune-unknown-bit-number = Nicht bekannt: welcher Fräser { $number } ist: Durchmesser, Form, Schneiden.
tune-unknown-flutes = Nicht bekannt: wie viele Schneiden der { $bit } hat, also wie dick seine Späne sind.
tune-unknown-loose = Nicht bekannt: ob sich beim Fräsen Stücke lösen. Achten Sie auf Schnitte, die ganz hindurchgehen und sich schließen.
tune-unknown-hold = Nicht bekannt: was die Platte gehalten hat, und wo Spanner oder Schrauben waren.
tune-unknown-maker = Nicht bekannt: wer die Datei gemacht hat, und ob sie je gefräst wurde.

tune-zero-as-before = X0 Y0 ist dort, wo es in der gelesenen Datei war. Alles, was gefräst wird, liegt innerhalb von { $width } mal { $depth } davon: Der Nullpunkt ist { $corner ->
    [front-left] die vordere linke Ecke
    [front-right] die vordere rechte Ecke
    [back-left] die hintere linke Ecke
    [back-right] die hintere rechte Ecke
   *[centre] die Mitte
 } dieser Fläche, die oben als Platte gezeichnet ist.

tune-step-board = Messen Sie die Platte: { $size } oder mehr, und { $thickness } dick. Die Datei ist für diese Dicke geprüft und für keine andere.
tune-step-board-unknown = Wählen Sie eine Platte von mindestens { $size }. Der tiefste Schnitt geht { $thickness } unter ihre Oberseite: Dort darf nichts liegen, was nicht angefräst werden darf.
tune-step-fix = Spannen Sie die Platte auf, ihre Kanten längs der Maschinenachsen, und nichts im Weg des Fräsers. Ziehen Sie daran: Nichts darf sich bewegen.
tune-step-fit = Spannen Sie den { $bit } ein. Unter der Spannzange muss er mindestens { $reach } herausragen.
tune-step-fit-unknown = Setzen Sie den Fräser ein, für den die Datei gemacht wurde. Wenn Sie nicht herausfinden, welcher das ist, fräsen Sie nicht.
tune-step-zero = Setzen Sie den Nullpunkt wie unter Nullpunkt beschrieben, zuerst X und Y, dann Z.
tune-step-changes = Der Auftrag braucht { $count } Fräser: Wenn die Datei auf einen wartet, warten Sie, bis die Spindel steht, wechseln Sie den Fräser und setzen Sie Z neu.
tune-step-files = Der Auftrag braucht { $count } Fräser und für jeden eine Datei: Warten Sie zwischen zwei Dateien, bis die Spindel steht, wechseln Sie den Fräser und setzen Sie Z neu.

tune-proved-same = Die neue Datei fräst alles, was die gelesene Datei fräst, ebenso tief und mit demselben Fräser, und sonst nichts.
tune-proved-bite = Kein Fräser nimmt auf einmal mehr ab als in der gelesenen Datei.
tune-proved-rapids = Kein Eilgang geht durch Holz.
tune-read-back = Die neue Datei wurde von einem unabhängigen Leser zurückgelesen; ihr Weg weicht vom gemeinten um höchstens { $deviation } ab.

tune-not-proved-short = Nicht geprüft: Spanner, Aufspannung, der Fräser.
tune-open-clamps = Spanner: Eine Fräsdatei sagt nichts von ihnen. Zwischen den Schnitten geht der Fräser so hoch wie die höchste Bewegung der gelesenen Datei, { $height }, und nicht über die Fläche hinaus, über die sie fuhr.
tune-open-no-clamps = Spanner: Sie haben gesagt, dass es keine gibt. Der Fräser fährt nur { $height } über der Platte, und überall darüber.
tune-open-hold = Aufspannung: dass die Platte und jedes Stück, das frei wird, fest genug gehalten ist.
tune-open-bit = Der Fräser: dass es der ist, für den die Datei gemacht wurde, heil und scharf.
tune-open-feeds = Vorschub und Drehzahl: dass sie zu Fräser, Material und Maschine passen. Es sind die der gelesenen Datei, nicht schneller, als diese Maschine fährt.
tune-open-altered = Was gefräst wird: Rampen oder Haltestege wurden verlangt, also fräst die neue Datei nicht dasselbe. Sie wurde an ihrem eigenen Auftrag geprüft.
tune-sha-source = SHA-256 von <code>{ $file }</code>, der gelesenen Datei: <code>{ $sha }</code>
