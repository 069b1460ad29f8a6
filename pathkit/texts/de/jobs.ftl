# Was an einer Auftragsdatei, einem Ordner oder einem Befehl falsch ist.

jobs-unknown-key = unbekannter Schlüssel { $key }
jobs-did-you-mean = meinten Sie { $names }?
jobs-missing = { $key } fehlt
jobs-add-such = fügen Sie ihn hinzu, etwa { $example }
jobs-table = { $key }: muss eine Tabelle sein, nicht { $given }
jobs-table-below = schreiben Sie [{ $name }] und darunter seine Schlüssel
jobs-braces = geben Sie seine Schlüssel in geschweiften Klammern an
jobs-renamed = { $key }: { $old } heißt jetzt anders
jobs-give-more = geben Sie mehr an; eine Länge ohne Einheit ist in mm
jobs-give-less = geben Sie weniger an; eine Länge ohne Einheit ist in mm
jobs-give-as-many = geben Sie so viele an, in eckigen Klammern; ein Punkt ist [x, y]
jobs-give-name = geben Sie ihm einen Namen
jobs-one-of = eines von: { $names }
jobs-there-are = es gibt: { $names }
jobs-there-is-none = es gibt noch keine
jobs-name-one = nennen Sie eines; { $why }
jobs-no-board = keine Platte heißt { $name }
jobs-no-shape = keine Form heißt { $name }
jobs-no-operation = kein Arbeitsgang heißt { $name }
jobs-no-part = kein anderes Teil heißt { $name }
jobs-bit-twice = der Fräser { $name } steht auch in { $table }
jobs-bit-twice-fix = entfernen Sie ihn oder geben Sie ihm einen anderen Namen, etwa { $other }
jobs-unit-in-quotes = setzen Sie eine Zahl mit ihrer Einheit in Anführungszeichen: { $text }
jobs-at-and-quantity = at sagt, wo ein Teil liegt, aber quantity verlangt { $count }
jobs-at-and-quantity-fix = entfernen Sie at oder quantity; für ein weiteres schreiben Sie ein [[part]] mit like = … und eigenem at
jobs-texts = { $count ->
    [one] { $count } Text
   *[other] { $count } Texte
 } für { $copies } von { $part }
jobs-texts-fix = geben Sie für jedes einen an, oder setzen Sie quantity = { $count }
jobs-number-from = number_from zählt die Kopien eines Teils, aber das Teil hat keine quantity
jobs-layout-together = layout.{ $key } legt alle Teile zusammen, aber { $where } legt sie einzeln
jobs-two-operations = zwei Arbeitsgänge heißen { $name }
jobs-two-tables = zwei Tabellen [[{ $key }]] heißen { $name }
jobs-like-like = das Teil { $name } ist selbst wie { $other }
jobs-board-number = die Auftragsdatei hat keine Platte Nummer { $number }; sie hat { $count }, von 0 an gezählt
jobs-no-machine = keine Maschine, für die gebaut wird: Nennen Sie eine mit --machine oder in einer Tabelle [[machine]] der Auftragsdatei
jobs-no-machine-order = keine Maschine, für die gebaut wird: Nennen Sie eine mit --machine
jobs-machine-twice = { $name } ist zweimal genannt
jobs-remove-one = entfernen Sie eines davon
jobs-no-option = { $name } kennt die Angabe { $option } nicht
jobs-no-number = { $name } ist { $given } und damit keine Zahl
jobs-no-handout = die Auftragsdatei hat keine Tabelle [handout]
jobs-no-handout-fix = schreiben Sie eine Tabelle [handout] mit einer Tabelle [handout.machine] darin, oder nehmen Sie "pathkit build"
jobs-shape-points = die Form { $name } besteht aus Punkten, die kein Inneres haben
jobs-drill-them = bohren Sie sie
jobs-shape-needs-lines = die Form { $name } besteht aus Punkten, und dieser Arbeitsgang braucht Linien
jobs-shape-open = die Form { $name } ist um { FIGURE($gap) } mm offen, von ({ $x }, { $y }) bis ({ $u }, { $v })
jobs-path-empty = der Pfad hat keine Länge; zeichnen Sie mindestens eine Linie, wie in M 0 0 H 20
jobs-drawing-unusable = seine Zeichnung ist nicht zu gebrauchen; beheben Sie, was dazu gemeldet ist
jobs-delete-one = löschen Sie eines davon
jobs-delete-one-drawn = löschen Sie eines davon in der Zeichnung
jobs-in-order = geben Sie seine Punkte der Reihe nach am Umriss entlang an
jobs-web-and-spacing = web und spacing sagen beide, wie weit Teile auseinander liegen
jobs-keep-one = behalten Sie eines davon
jobs-no-kerf = Teile im Abstand von { FIGURE($apart) } mm lassen keinen Platz für eine Schnittfuge von { FIGURE($kerf) } mm
jobs-part-hangs-over = das Teil { $name } ({ FIGURE($size) }) ragt über die Platte von { FIGURE($width) } × { FIGURE($depth) } mm hinaus
jobs-part-on-clamp = das Teil { $name } und seine Schnittfuge liegen auf einer Schraube oder einem Spanner
jobs-change-at = ändern Sie sein at
jobs-parts-on-each-other = die Teile { $first } und { $second } liegen aufeinander
jobs-parts-on-each-other-fix = verschieben Sie eines davon, oder geben Sie jedem mit at = [x, y] einen eigenen Platz
jobs-parts-too-near = die Teile { $first } und { $second } liegen { FIGURE($gap) } mm auseinander; die Schnittfuge ist { FIGURE($kerf) } mm breit
jobs-parts-too-near-fix = legen Sie sie mindestens { FIGURE($kerf) } mm auseinander: ändern Sie at
jobs-layout-places-it = lassen Sie [layout] es legen
jobs-overlap = { $who } und { $whoever } überdecken sich um { FIGURE($area) } mm², bei ({ $x }, { $y })
jobs-unite = vereinigen Sie sie zu einer Form, oder rücken Sie sie auseinander
jobs-unite-only = vereinigen Sie sie, oder rücken Sie sie auseinander
jobs-skin-through = skin ist für einen Schnitt ganz durch die Platte, und dieser geht nicht hindurch
jobs-skin-through-fix = setzen Sie bottom.through = true, oder lassen Sie skin weg
jobs-below-bed = er geht hinunter bis z = { FIGURE($bottom) } mm, und der Tisch kann bis { FIGURE($bed) } mm reichen
jobs-below-bed-fix = fräsen Sie weniger tief, oder nehmen Sie eine dickere Unterlage
jobs-underside = er endet bei z = { FIGURE($bottom) } mm, und die Unterseite kann irgendwo zwischen { FIGURE($low) } und { FIGURE($high) } mm liegen
jobs-underside-fix = setzen Sie bottom.through = true, um durch jede Platte ganz hindurch zu fräsen, oder fräsen Sie weniger tief, damit ein Boden bleibt
jobs-above-top = er endet bei z = { FIGURE($bottom) } mm, und die Oberseite der dünnsten Platte liegt bei { FIGURE($top) } mm
jobs-above-top-fix = fräsen Sie tiefer, lassen Sie einen engeren Bereich von Platten zu (thickness_tolerance), oder setzen Sie z_zero = "top"
jobs-no-certificate = kein Zertifikat neben { $file }; sagen Sie mit --machine, für welche Maschine sie ist
jobs-no-certificate-build = kein Zertifikat neben { $file }; bauen Sie den Ordner noch einmal
jobs-no-certificate-below = kein Zertifikat ({ $pattern }) unter { $folder }; nennen Sie eine Datei und ihre Maschine
jobs-is-the-air-cut = { $file } ist der Luftschnitt; nennen Sie die Fräsdatei { $name }
jobs-changed-since-proved = das sind nicht die Bytes, die nachgewiesen wurden: Die Datei wurde seitdem geändert
jobs-changed-since-made = das sind nicht die Bytes, aus denen die Dateien gemacht wurden: Die Datei wurde seitdem geändert
jobs-build-again = bauen Sie den Ordner noch einmal
jobs-put-back-or-build = legen Sie sie zurück, oder bauen Sie den Ordner noch einmal
jobs-put-back = legen Sie die Auftragsdatei zurück
jobs-broken-off = hier wurde ein Bau abgebrochen: Alte und neue Dateien können vermischt sein, fräsen Sie also keine davon
jobs-broken-off-fix = bauen Sie noch einmal in diesen Ordner; das beendet zuerst den abgebrochenen Bau
jobs-another-build = ein anderer Bau schreibt gerade in diesen Ordner
jobs-another-build-fix = warten Sie, bis er endet, oder nennen Sie einen anderen
jobs-there-already = eine Datei dieses Namens ist schon da
jobs-there-already-fix = wählen Sie einen anderen Ordner, räumen Sie die Datei weg, oder nehmen Sie --force, das Dateien gleichen Namens ersetzt
jobs-choose-or-force = wählen Sie einen anderen Namen, räumen Sie sie weg, oder nehmen Sie --force
jobs-no-folder = { $path } ist kein Ordner; nennen Sie einen anderen, oder räumen Sie die Datei weg
jobs-no-toolpath = kein Werkzeugweg dieses Auftrags heißt { $name }
jobs-start-from = beginnen Sie mit { $name }; noch einmal Luft zu fräsen kostet nur Zeit
jobs-needs-earlier = er geht in das hinunter, was { $name } gefräst hat, und das würde diese Datei nicht fräsen
jobs-other-revision = behalten, aber aus einem anderen Stand des Auftrags gemacht: Der Index nennt keine seiner Dateien
jobs-other-revision-fix = bauen Sie ihn für seine Maschine noch einmal, oder entfernen Sie ihn mit --drop-others
jobs-letter-not-read = der Buchstabe der Probe ist auf { $machine } nicht zu lesen: Sie würde ein gespiegeltes oder gedrehtes Bild fräsen
jobs-letter-not-read-fix = berichtigen Sie [axes] und left_handed im Profil, und proben Sie noch einmal
jobs-rectangle = das Rechteck der Probe passte auf { $machine } nicht zur Platte
jobs-rectangle-fix = prüfen Sie origin im Profil, den Nullpunkt und die Größe der Platte, und proben Sie noch einmal
jobs-no-gcode = { $file } ist kein G-Code; nennen Sie eine Fräsdatei
jobs-not-utf8 = ist nicht zu lesen: kein Text in UTF-8 (Byte { $byte })
jobs-not-toml = kein TOML: { $reason }
jobs-correct-line = berichtigen Sie die Zeile
