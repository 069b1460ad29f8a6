mail-manual = Die Anleitungen der Maschine und der Steuerung gehen diesem Text vor.
mail-line = { $file }, Zeile { $line }:
mail-blank = (leer)
mail-more-bytes = { $text } ... ({ $count } weitere Bytes)
mail-message = { $code } bedeutet: { $means }. Höchstwahrscheinlich:
mail-begins = Sie beginnt bei { $place }.
mail-ends = Sie endet bei { $place }.
mail-unknown-place = einer unbekannten Stelle
mail-axes = { $place } ({ $unit }, Achsen der Datei)
mail-on-board = Auf der Platte ist das { $place }.
mail-word-by-word = Wort für Wort:
mail-finding = { $severity ->
    [error] Fehler
    [warning] Warnung
   *[note] Hinweis
 }: { $what }
mail-finding-of = { $severity ->
    [error] Fehler
    [warning] Warnung
   *[note] Hinweis
 }: { $file }: { $what }
mail-belongs = Sie gehört zum Werkzeugweg { $toolpath }.
mail-belongs-part = Sie gehört zum Werkzeugweg { $toolpath }, Teil { $part }.
mail-between = In dieser Datei kommt { $before ->
    [none] kein Werkzeugweg
   *[one] der Werkzeugweg { $before }
 } davor und { $after ->
    [none] kein Werkzeugweg
   *[one] der Werkzeugweg { $after }
 } danach.
mail-time = Die Steuerung kommt nach etwa { $time } von { $total } dorthin ({ $percent } %), nach dem Laufzeitmodell, Pausen nicht mitgezählt.

mail-as-sent = Wie gesendet: { $file }
mail-as-returned = Wie zurückgekommen: { $file }
mail-same-bytes = Sie sind gleich, Byte für Byte.
mail-only-layout = Sie machen dieselben Bewegungen. Sie unterscheiden sich nur in: { $layout }.
mail-taken-otherwise = Sie tun NICHT dasselbe: Die Bewegungen sind gleich, aber die Steuerung versteht die zurückgekommene Datei anders.
mail-not-the-same = Sie machen NICHT dieselben Bewegungen.
mail-same-moves = Sie machen dieselben Bewegungen, obwohl sich ihr Text unterscheidet.
mail-same-moves-apart = Sie machen dieselben Bewegungen, nirgends weiter auseinander als { $mm } mm, obwohl sich ihr Text unterscheidet.
mail-layout = { $kind ->
    [ends] Zeilenenden
    [trailing] Leerzeichen am Zeilenende
   *[blank] Leerzeilen
 }
mail-places = Die Texte unterscheiden sich an { $count ->
    [one] { $count } Stelle
   *[other] { $count } Stellen
 }:
mail-first-places = Die Texte unterscheiden sich an { $count ->
    [one] { $count } Stelle
   *[other] { $count } Stellen
 }, hier die ersten { $shown }:
mail-moves-changed = Was das an den Bewegungen der zurückgekommenen Datei ändert:
mail-objections = Was ihre Steuerung ablehnen oder anders verstehen würde:
mail-objection = Zeile { $line }: { $what }
mail-objection-code = Zeile { $line } ({ $code }): { $what }

mail-cut-short = Sie ist abgeschnitten: Sie endet { $after ->
    [0] vor ihrer ersten ganzen Zeile
   *[other] nach Zeile { $after } der gesendeten Datei
 }; { $missing ->
    [one] { $missing } Zeile fehlt
   *[other] { $missing } Zeilen fehlen
 } oder { $missing ->
    [one] ist
   *[other] sind
 } nicht ganz.
mail-cut-short-toolpath = Sie ist abgeschnitten: Sie endet { $after ->
    [0] vor ihrer ersten ganzen Zeile
   *[other] nach Zeile { $after } der gesendeten Datei
 }, in oder nach dem Werkzeugweg { $toolpath }; { $missing ->
    [one] { $missing } Zeile fehlt
   *[other] { $missing } Zeilen fehlen
 } oder { $missing ->
    [one] ist
   *[other] sind
 } nicht ganz.
mail-partial = Ihre letzte Zeile ist nur ein Anfang, und eine Zahl darin kann Ziffern verloren haben; sehen Sie auf der Platte nach, wohin sie führt:
mail-again-unknown = Mit welchem Werkzeugweg neu zu beginnen ist, ist nicht bekannt: Dafür muss die gesendete Datei die nachgewiesene Fräsdatei neben ihrem Zertifikat und ihrem Auftrag sein.
mail-again-nothing = Alle Werkzeugwege sind da; nur das Ende fehlt. Es ist nichts noch einmal zu fräsen: Vergewissern Sie sich, dass die Spindel aus ist und der Fräser frei steht.
mail-again-begun = Wenn die Maschine diese Datei ausgeführt hat, wurde der Werkzeugweg { $toolpath } begonnen und nicht beendet. Die Spindel kann noch drehen, und der Fräser kann im Holz stehen.
mail-again-not-begun = Wenn die Maschine diese Datei ausgeführt hat, wurde der Werkzeugweg { $toolpath } nicht begonnen. Die Spindel kann noch drehen, und der Fräser kann im Holz stehen.
mail-again-earlier = Er baut auf dem auf, was davor kommt. Beginnen Sie daher neu mit dem Werkzeugweg { $toolpath }:
mail-again-here = Beginnen Sie neu mit dem Werkzeugweg { $toolpath }, mit einer eigenen Datei:
mail-again-never-in-the-middle = Starten Sie die Datei niemals in der Mitte: Was vor einer Zeile steht, bestimmt, wie sie gelesen wird, und der Fräser würde in der Höhe, in der er steht, quer über die Platte fahren.

mail-at-line = bei Zeile { $line } der gesendeten Datei:
mail-at-line-toolpath = bei Zeile { $line } der gesendeten Datei (Werkzeugweg { $toolpath }):
mail-sent-line = gesendet { $line }: { $text }
mail-sent-nothing = gesendet: nichts
mail-sent-more = gesendet: und { $count ->
    [one] { $count } weitere Zeile
   *[other] { $count } weitere Zeilen
 }
mail-back-line = zurück { $line }: { $text }
mail-back-nothing = zurück: nichts
mail-back-more = zurück: und { $count ->
    [one] { $count } weitere Zeile
   *[other] { $count } weitere Zeilen
 }

mail-board-not-compared = Was von der Platte bleibt, wurde nicht verglichen: Dafür braucht es den Auftrag neben der gesendeten Datei und zwei Dateien, die sich bis zum Ende lesen lassen.
mail-board-same = Am Ende ändert sich auf der Platte nichts: Beide fräsen dasselbe Holz weg. Wie sie es tun, unterscheidet sich: Zustellung, Geschwindigkeiten, Reihenfolge oder Leerwege. Auch das kann einen Fräser brechen.
mail-board = Auf der Platte (x nach rechts, y nach hinten):
mail-board-line = { $what } (sie fräst dort in ihrer Zeile { $line })

mail-alien = { $count } ihrer { $all } Bewegungen stehen nicht in der gesendeten Datei
mail-power = { $count } ihrer Bewegungen brennen mit anderer Leistung, die erste in ihrer Zeile { $line }
mail-lacking = { $count } der { $all } gesendeten Bewegungen fehlen in ihr
mail-part-at = die Bewegungen trennen sich bei ihrer Zeile { $line }
mail-part-at-toolpath = die Bewegungen trennen sich bei ihrer Zeile { $line }, Werkzeugweg { $toolpath }
mail-lacks = ihr fehlt: { $what }
mail-has = sie enthält, was die gesendete Datei nicht hat: { $what }
mail-order = { $count } Unterschiede in der Reihenfolge der Bewegungen
mail-feed = ihre Zeile { $line } { $what }
mail-feed-more = ihre Zeile { $line } { $what } (und { $count } weitere Bewegungen)
