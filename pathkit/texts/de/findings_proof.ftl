findings_proof-certificate-not = kein Zertifikat: { $why }
findings_proof-certificate-version = die Zertifikatsversion { $given } ist hier nicht bekannt; diese Bibliothek liest Version { $version }
findings_proof-certificate-machine = die Maschine im Zertifikat ist nicht die, für die es versiegelt wurde
findings_proof-certificate-files = seine Liste von Dateien passt nicht zur Datei selbst

findings_proof-on-thinnest-board = { $what } (in der dünnsten Platte, { FIGURE($size) } mm)
findings_proof-on-thickest-board = { $what } (in der dicksten Platte, { FIGURE($size) } mm)
findings_proof-on-thinnest-underlay = { $what } (über der dünnsten Unterlage, { FIGURE($size) } mm)
findings_proof-on-thickest-underlay = { $what } (über der dicksten Unterlage, { FIGURE($size) } mm)

findings_proof-chamfer-fix = prüfen Sie, ob sie gefräst wird, mit welchem V-Fräser, wie tief und auf welcher Linie
findings_proof-chamfer-foot = { $who } hat ihren Fuß bei z = { FIGURE($foot) } mm, und die Oberseite der dünnsten Platte liegt bei { FIGURE($top) } mm
findings_proof-chamfer-left = { $who } ist nicht ganz gefräst: { FIGURE($area) } mm² bleiben bei z = { FIGURE($z) } mm stehen, das meiste bei ({ FIGURE($x) }; { FIGURE($y) })
findings_proof-shape-fix = prüfen Sie, ob sie gefräst wird, mit welchem Fräser, wie tief und auf welcher Seite
findings_proof-shape-not-through = { $who } ist nicht ganz durchgefräst
findings_proof-shape-not-down = { $who } ist nicht bis z = { FIGURE($z) } mm hinunter gefräst
findings_proof-shape-left = { $who } ist nicht ganz gefräst: { FIGURE($area) } mm² bleiben bei z = { FIGURE($z) } mm stehen, das größte Stück bei ({ FIGURE($x) }; { FIGURE($y) })
findings_proof-part-off-board = { FIGURE($area) } mm² des Teils { $part } liegen neben der Platte
findings_proof-part-off-board-fix = verschieben Sie es auf die Platte
findings_proof-shape-outside = { $who } liegt außerhalb davon
findings_proof-shape-outside-fix = verschieben Sie sie in das Teil
findings_proof-shape-floor = { $who } hat ihren Boden bei z = { FIGURE($floor) } mm, und die Unterseite liegt bei { FIGURE($underside) } mm
findings_proof-shape-floor-fix = lassen Sie einen Boden stehen, oder fräsen Sie ganz durch
findings_proof-parts-on-each-other-fix = verschieben Sie eines davon
findings_proof-gouge = fräst { FIGURE($depth) } mm in das Teil { $part } hinein, bei z = { FIGURE($z) } mm
findings_proof-gouge-fix = prüfen Sie Seite, Fräser und Tiefe des Schnitts und die Form des Teils

findings_proof-change-no-stop = geht mit einem anderen Fräser weiter, ohne für den Wechsel anzuhalten
findings_proof-change-low = der Fräser wird bei { FIGURE($z) } mm gewechselt; um über allem zu sein, muss er bei { FIGURE($wanted) } mm stehen
findings_proof-change-low-fix = heben Sie ihn vor dem Halt an
findings_proof-change-elsewhere = der Fräser wird bei X{ $a } Y{ $b } gewechselt, und das Profil verlangt X{ $c } Y{ $d }
findings_proof-change-elsewhere-fix = fahren Sie vor dem Halt dorthin
findings_proof-change-turning = die Spindel dreht, während der Fräser gewechselt wird
findings_proof-change-turning-fix = schalten Sie sie vor dem Halt aus
findings_proof-change-after = nach dem Fräserwechsel: { $what }
findings_proof-change-after-fix = zuerst Z allein, dann X und Y: Der Fräser kann bewegt worden sein

findings_proof-rapid-low = ein Eilgang bei { FIGURE($z) } mm, unter der Oberseite des Holzes bei { FIGURE($top) } mm, wo noch nichts gefräst ist
findings_proof-retract-fix = heben Sie vorher ab
findings_proof-plunge = { $bit } geht senkrecht hinunter auf { FIGURE($z) } mm und schneidet nicht in der Mitte
findings_proof-enter-fix = tauchen Sie auf einer Rampe, Spirale oder Helix ein
findings_proof-tab-cut = fräst in den Haltesteg von { $path } bei ({ FIGURE($x) }; { FIGURE($y) }), dessen Oberseite bei { FIGURE($top) } mm liegt
findings_proof-tab-cut-fix = heben Sie darüber hinweg, oder verschieben Sie den Haltesteg
findings_proof-tab-section = der Haltesteg bei ({ FIGURE($x) }; { FIGURE($y) }) behält { FIGURE($area) } mm² von den gezeichneten { FIGURE($drawn) }
findings_proof-tab-section-fix = halten Sie andere Schnitte davon fern, oder verschieben Sie ihn

findings_proof-dropped = { $who }, bei ({ FIGURE($x) }; { FIGURE($y) }): { $why }
findings_proof-dropped-fix = lassen Sie den Kern halten (core = "keep"), oder räumen Sie ihn aus (core = "clear")
findings_proof-loose-waste = ein Stück Abfall von { FIGURE($area) } mm² bei ({ FIGURE($x) }; { FIGURE($y) }) löst sich
findings_proof-loose-core = der Kern der Öffnung { $number } des Teils { $part } von { FIGURE($area) } mm² bei ({ FIGURE($x) }; { FIGURE($y) }) löst sich
findings_proof-loose-piece = { $who } von { FIGURE($area) } mm² bei ({ FIGURE($x) }; { FIGURE($y) }) löst sich
findings_proof-loose = { $what }: Weder Haltestege noch Klebeband halten das Stück
findings_proof-loose-again = { $what }: Weder Haltestege noch Klebeband halten das Stück, und es wird noch einmal gefräst
findings_proof-loose-again-line = { $what }: Weder Haltestege noch Klebeband halten das Stück, und es wird bis Zeile { $line } noch einmal gefräst
findings_proof-loose-core-fix = lassen Sie Haltestege daran, legen Sie Klebeband darunter, oder räumen Sie ihn aus (core = "clear")

findings_proof-job-count = das ist nicht das Programm des Auftrags: Der Auftrag hat { $moves } Bewegungen, das Programm { $count }
findings_proof-job-from = das ist nicht das Programm des Auftrags: Ab Bewegung { $number } weichen sie voneinander ab
findings_proof-job-otherwise = das ist nicht das Programm des Auftrags: Die Stellen sind gleich, aber Vorschübe, Bögen, Schaltvorgänge oder Namen weichen ab
findings_proof-job-fix = geben Sie den Auftrag nach seinen Durchgängen an, und die Lage, die benutzt wurde
findings_proof-never-cut = wird nie gefräst
findings_proof-never-cut-fix = schreiben Sie den ganzen Auftrag
findings_proof-cut-early = wird gefräst, bevor { $path } fertig ist
findings_proof-cut-early-why = wird gefräst, bevor { $path } fertig ist: { $why }
findings_proof-order-fix = ordnen Sie den Auftrag neu
findings_proof-cut-late = wird nach Werkzeugwegen gefräst, die im Auftrag später kommen

findings_proof-path-mode-rounds = mit G64 darf die Steuerung Ecken abrunden
findings_proof-path-mode-overrides = M49 nimmt der Person an der Maschine die Regler für Vorschub und Drehzahl aus der Hand
findings_proof-path-mode-late = bewegt sich, bevor die genaue Bahn (G61) verlangt ist: Die Steuerung darf Ecken abrunden

findings_proof-removal-rapid = ein Eilgang trifft auf { FIGURE($depth) } mm Holz
findings_proof-removal-straight = ein Fräser, der nicht in der Mitte schneidet, geht senkrecht hinunter in { FIGURE($depth) } mm Holz
findings_proof-removal-flutes = Holz steht { FIGURE($height) } mm über seine Schneiden hinaus
findings_proof-removal-flutes-fix = eine kleinere Zustellung, oder ein längerer Fräser
findings_proof-removal-shank = sein Schaft trifft auf { FIGURE($depth) } mm Holz
findings_proof-removal-holder = sein Halter trifft auf { FIGURE($depth) } mm Holz
findings_proof-removal-body-fix = ein längerer Fräser, oder räumen Sie vorher das Holz daneben aus
findings_proof-removal-bite = fräst { FIGURE($depth) } mm tief auf einmal, und seine Ebenen erlauben { FIGURE($allowed) } mm
findings_proof-removal-bite-fix = fräsen Sie zuerst, was davor kommen muss, oder geben Sie ihm mehr Ebenen

findings_proof-first-motion-fix = beginnen Sie mit Z allein, nach oben auf Leerweghöhe
findings_proof-first-motion-not-alone = die erste Bewegung ist nicht Z allein
findings_proof-first-motion-low = die erste Bewegung geht auf { FIGURE($z) } mm, unter die Leerweghöhe von { FIGURE($safe) } mm
findings_proof-first-motion-not-homed = die erste Bewegung geht auf { FIGURE($z) } mm in den Koordinaten einer Maschine, die keine Referenzfahrt macht
findings_proof-first-motion-other-top = die erste Bewegung geht auf { FIGURE($z) } mm in den Koordinaten einer Maschine, deren Fräser bis { FIGURE($u) } hinaufgeht
findings_proof-first-motion-other-top-fix = schreiben Sie den Auftrag für diese Maschine neu
findings_proof-first-motion-sideways = die erste Bewegung nach unten geht zur Seite
findings_proof-first-motion-down-low = die erste Bewegung nach unten geht auf { FIGURE($z) } mm, unter die Leerweghöhe von { FIGURE($safe) } mm
findings_proof-first-motion-down-fix = kommen Sie senkrecht auf Leerweghöhe herunter
findings_proof-travel-high-fix = heben Sie vorher höher ab
findings_proof-travel-path = die Bahn braucht { FIGURE($span) } mm entlang { $axis }, und die Maschine fährt { FIGURE($room) } mm
findings_proof-travel-path-fix = drehen Sie die Platte, oder teilen Sie den Auftrag
findings_proof-travel-beyond = fährt { FIGURE($by) } mm über das { $end ->
    [lower] untere
    [upper] obere
   *[other] { $end }
 } Ende von { $axis } hinaus
findings_proof-travel-beyond-fix = setzen Sie den Nullpunkt an eine andere Stelle, oder drehen Sie die Platte
findings_proof-travel-board = die Platte braucht { FIGURE($size) } mm entlang { $axis }, und die Maschine fährt { FIGURE($reach) } mm
findings_proof-travel-board-beyond = die Platte liegt { FIGURE($by) } mm über das { $end ->
    [lower] untere
    [upper] obere
   *[other] { $end }
 } Ende von { $axis } hinaus
findings_proof-travel-board-fix = legen Sie sie anders, drehen Sie sie, oder nehmen Sie eine kleinere
findings_proof-bed = geht auf { FIGURE($z) } mm, und der Maschinentisch liegt bei { FIGURE($bed) } mm
findings_proof-bed-thinnest = geht auf { FIGURE($z) } mm, und der Maschinentisch liegt unter der dünnsten Platte und Unterlage bei { FIGURE($bed) } mm
findings_proof-bed-fix = fräsen Sie weniger tief, oder legen Sie eine Unterlage unter die Platte
findings_proof-travel-height = ein Eilgang zur Seite bei { FIGURE($z) } mm; über der Platte muss er bei { FIGURE($safe) } mm liegen
findings_proof-travel-over = ein Eilgang bei { FIGURE($z) } mm quert { $kind ->
    [screw] eine Schraube
    [clamp] einen Spanner
   *[other] { $kind }
 } bei ({ FIGURE($x) }; { FIGURE($y) }); er muss bei { FIGURE($u) } liegen
findings_proof-zone-met = bei { FIGURE($z) } mm trifft { $body ->
    [bit] der Fräser
    [shank] der Schaft
    [holder] der Halter
   *[other] { $body }
 } auf { $kind ->
    [screw] eine Schraube
    [clamp] einen Spanner
   *[other] { $kind }
 } bei ({ FIGURE($x) }; { FIGURE($y) }) (Oberseite bei { FIGURE($u) })
findings_proof-zone-met-fix = verschieben Sie den Spanner oder die Schraube, oder das Teil

findings_proof-spindle-off = fräst bei ausgeschalteter Spindel
findings_proof-spindle-off-fix = schalten Sie sie vorher ein
findings_proof-spindle-range = fräst mit { $speed } U/min; die Spindel läuft von { $low } bis { $high }
findings_proof-spindle-range-fix = wählen Sie eine Drehzahl in diesem Bereich
findings_proof-end-not = die Datei endet nicht mit ihrem eigenen Ende
findings_proof-end-not-word = die Datei endet nicht mit { $code }
findings_proof-end-goes-on = bewegt sich nach dem Ende des Programms
findings_proof-end-turning = die Spindel dreht noch mit { $speed } U/min, wo das Programm endet
findings_proof-end-turning-fix = schalten Sie sie vor dem Ende aus

findings_proof-both-fix = schreiben Sie beide aus einem Auftrag
findings_proof-give-job-fix = geben Sie den Auftrag an, aus dem sie gemacht wurde
findings_proof-no-stock = das Programm trägt keine Platte, also ist die Ecke des Nullpunkts nicht bekannt; geben Sie Program(stock=…) an, oder einen Auftrag
findings_proof-several-files = es sind { $count } Dateien ({ $names }); prüfen Sie eine nach der anderen, jede mit ihrem Programm
findings_proof-files-for-machine = { $count } Dateien, und für diese Maschine hat das Programm { $shares }; bauen Sie neu
findings_proof-not-compared = nicht verglichen: Es gibt weder Programm noch Auftrag, mit denen sich die Datei vergleichen ließe
findings_proof-not-compared-fix = geben Sie den Auftrag an, oder lassen Sie nur die Regeln prüfen
findings_proof-plugin-failed = die Prüfung { $check } einer Erweiterung ist gescheitert: { $error } ({ $place }, Zeile { $line })
findings_proof-plugin-failed-fix = reparieren oder entfernen Sie diese Erweiterung

findings_proof-boards-uneven = endet bei z = { FIGURE($z) } mm: { $why }, und { FIGURE($rest) } mm bleiben stehen
findings_proof-boards-uneven-fix = fräsen Sie bis unter die tiefste Unterseite, lassen Sie einen Boden über der höchsten, oder lassen Sie weniger Platten zu
findings_proof-boards-above = endet bei z = { FIGURE($z) } mm, und die Oberseite der dünnsten Platte liegt bei { FIGURE($top) } mm
findings_proof-boards-above-fix = fräsen Sie tiefer, lassen Sie weniger Platten zu, oder setzen Sie den Nullpunkt auf die Oberseite
findings_proof-depth = geht hinunter auf z = { FIGURE($z) } mm, und der Auftrag verlangt { FIGURE($asked) } mm
findings_proof-bite = fräst { FIGURE($depth) } mm tief auf einmal, und der Auftrag verlangt höchstens { FIGURE($asked) } mm
findings_proof-bite-fix = geben Sie ihm mehr Ebenen, oder fräsen Sie zuerst, was darüber liegt
findings_proof-level = hat eine Ebene { FIGURE($drop) } mm unter der vorigen, und seine Zustellung ist { FIGURE($stepdown) } mm
findings_proof-level-fix = geben Sie ihm mehr Ebenen
findings_proof-peck = bohrt { FIGURE($depth) } mm tief auf einmal, und der Auftrag verlangt höchstens { FIGURE($asked) } mm
findings_proof-peck-nothing = hat einen Bohrschritt, der nichts abnimmt
findings_proof-against = { FIGURE($length) } mm davon laufen gegen seine Kurve: Was als Gleichlauf angelegt war, wird im Gegenlauf gefräst
findings_proof-stray = reicht { FIGURE($by) } mm über das hinaus, was er selbst ausräumt, neben seiner Kurve bei ({ FIGURE($x) }; { FIGURE($y) })
findings_proof-steep = geht mit { FIGURE($angle) } Grad ins Holz, und der Auftrag verlangt höchstens { FIGURE($asked) }
findings_proof-straight-down = geht senkrecht durch { FIGURE($depth) } mm Holz hinunter, und der Auftrag verlangt, diese Stelle zuerst auszuräumen
findings_proof-feed = fräst mit { FIGURE($feed) } mm/min, und der Auftrag verlangt { FIGURE($asked) }
findings_proof-feed-range = fräst mit { FIGURE($feed) } mm/min, und der Auftrag verlangt { FIGURE($low) } bis { FIGURE($high) }
findings_proof-load = nimmt { FIGURE($volume) } cm³ je Minute bei { FIGURE($feed) } mm/min, und bei seinem eigenen Vorschub von { FIGURE($own) } mm/min wären es höchstens { FIGURE($most) }
findings_proof-speed = fräst mit { $speed } U/min { $sense ->
    [clockwise] im Uhrzeigersinn
    [counter-clockwise] gegen den Uhrzeigersinn
    [standing] bei stehender Spindel
   *[other] { $sense }
 }, und der Auftrag verlangt { $asked } U/min im Uhrzeigersinn
findings_proof-hurried = { FIGURE($waited) } s von einer höheren Drehzahl bis zu diesem Schnitt; die Spindel braucht { FIGURE($wanted) } s
findings_proof-tab-asked = { $what }; der Auftrag verlangt { FIGURE($asked) } mm
findings_proof-tab-wide = der Haltesteg bei ({ FIGURE($x) }; { FIGURE($y) }) ist { FIGURE($width) } mm breit
findings_proof-tab-wide-above = der Haltesteg bei ({ FIGURE($x) }; { FIGURE($y) }) ist { FIGURE($height) } mm über der Unterseite { FIGURE($width) } mm breit
findings_proof-tab-stands = der Haltesteg bei ({ FIGURE($x) }; { FIGURE($y) }) steht bis z = { FIGURE($z) } mm
findings_proof-tab-slopes = der Haltesteg bei ({ FIGURE($x) }; { FIGURE($y) }) ist bei z = { FIGURE($z) } mm { FIGURE($width) } mm breit; seine Schrägen von { FIGURE($angle) } Grad verlangen dort { FIGURE($wanted) } mm
findings_proof-tabs-together = alle seine { $count } Haltestege stehen auf einem Viertel seiner Kontur
findings_proof-tabs-together-fix = verteilen Sie sie rund um die Kontur
findings_proof-not-asked = fräst bei ({ FIGURE($x) }; { FIGURE($y) }), z = { FIGURE($z) } mm, wo der Auftrag nichts verlangt
findings_proof-partly-never = etwa { FIGURE($length) } mm davon sind nicht gefräst wie verlangt; bei ({ FIGURE($x) }; { FIGURE($y) }) überhaupt nicht
findings_proof-partly-down = etwa { FIGURE($length) } mm davon sind nicht gefräst wie verlangt; bei ({ FIGURE($x) }; { FIGURE($y) }) nur bis z = { FIGURE($z) } mm hinunter
findings_proof-not-round = der Fräser geht am Grund des Lochs nur { $turned } von 360 Grad herum
findings_proof-bit-unnamed = nichts vor diesem Schnitt nennt den Fräser { $bit }
findings_proof-bit-unnumbered = nichts vor diesem Schnitt nennt die Nummer { $number } des Fräsers { $bit }
findings_proof-bit-misnumbered = die Datei ruft T{ $given } auf, und der Fräser hat die Nummer { $number }

findings_proof-map-memory = ein Raster von { $nx } × { $ny } Punkten im Abstand von { FIGURE($grid) } mm passt nicht in den Speicher; nehmen Sie ein Raster von { FIGURE($coarser) } mm oder mehr
findings_proof-map-frame = der Abtrag rechnet im System der Werkbank; dieses Programm hat die Zahlen der Steuerung
findings_proof-map-board = der Abtrag braucht die Platte; geben Sie einen Auftrag an, oder stock
findings_proof-map-bits = der Abtrag braucht die Fräser; geben Sie einen Auftrag an, oder tools
findings_proof-map-grid = ein Raster von { FIGURE($grid) } mm ist unmöglich; geben Sie eines über 0 an

findings_proof-path-missing = das Programm geht weiter ({ $what }), die Datei nicht
findings_proof-path-extra = die Datei hat noch etwas ({ $what }), und das Programm hat hier keine Bewegungen mehr
findings_proof-path-kind = in der Datei steht { $what }, im Programm { $why }
findings_proof-path-sense = der Bogen nach { $place } läuft anders herum als der des Programms
findings_proof-path-strays = in der Datei steht { $what }; das weicht vom Programm ab: { $why }
findings_proof-path-place = die Datei geht nach { $place }, das Programm nach { $wanted }
findings_proof-path-apart = die beiden treffen sich nicht wieder; { $count ->
    [one] { $count } weitere Bewegung vor dem nächsten Schaltvorgang wurde
   *[other] { $count } weitere Bewegungen vor dem nächsten Schaltvorgang wurden
 } nicht verglichen
findings_proof-path-again = schreiben Sie das Programm neu
findings_proof-path-feed = fräst mit F{ $got }, das Programm mit F{ $wanted }
findings_proof-path-feed-unset = fräst mit einem Vorschub, den nichts gesetzt hat, das Programm mit F{ $wanted }
findings_proof-path-feeds-more = { $count ->
    [one] { $count } weitere Bewegung hat
   *[other] { $count } weitere Bewegungen haben
 } einen anderen Vorschub
findings_proof-path-powers-more = { $count ->
    [one] { $count } weitere Bewegung hat
   *[other] { $count } weitere Bewegungen haben
 } eine andere Leistung
findings_proof-path-signal-missing = das Programm hat davor: { $what }; die Datei nicht
findings_proof-path-signal-extra = die Datei hat davor: { $what }; das Programm nicht

findings_proof-air-low = geht auf { FIGURE($z) } mm und muss über { FIGURE($needed) } mm bleiben
findings_proof-rehearse-again = machen Sie die Probe neu
findings_proof-air-spindle = die Spindel wird gestartet
findings_proof-twin-moves = der Luftschnitt hat { $moves } Bewegungen, die Datei { $count }
findings_proof-twin-otherwise = bewegt sich anders als die Datei
findings_proof-twin-missing = davor fehlt, was die Datei hat: { $event ->
    [dwell] eine Wartezeit
    [pause] eine Pause
    [toolchange] ein Werkzeugwechsel
    [coolant] die Kühlung
    [offset] eine Verschiebung
    [note] ein Hinweis
    [lift] eine Bewegung nach oben in Maschinenkoordinaten
    [stop] das Ende des Programms
   *[other] { $event }
 }
findings_proof-twin-extra = hier steht, was die Datei nicht hat: { $event ->
    [spindle] ein Schalten der Spindel
    [beam] ein Schalten des Strahls
    [dwell] eine Wartezeit
    [pause] eine Pause
    [toolchange] ein Werkzeugwechsel
    [coolant] die Kühlung
    [offset] eine Verschiebung
    [note] ein Hinweis
    [lift] eine Bewegung nach oben in Maschinenkoordinaten
    [stop] das Ende des Programms
   *[other] { $event }
 }
findings_proof-twin-not-raised = der Luftschnitt ist nicht angehoben
findings_proof-twin-not-raised-fix = machen Sie ihn neu
findings_proof-twin-low = kommt auf { FIGURE($z) } mm herunter und muss über { FIGURE($needed) } mm bleiben
findings_proof-twin-no-board = die Platte ist nicht bekannt, also auch nicht die Höhe, die der Luftschnitt braucht; geben Sie stock an
findings_proof-twin-instead = { $mine } statt { $theirs } (Zeile { $line } der Datei)
findings_proof-twin-ends = der Luftschnitt endet hier, aber die Datei geht mit Zeile { $line } weiter: { $block }
findings_proof-twin-goes-on = der Luftschnitt geht nach dem Ende der Datei weiter
findings_proof-twin-rise = Z ist hier um { FIGURE($rise) } angehoben und vorher um { FIGURE($before) } (Zeile { $line } der Datei)
findings_proof-twin-spindle-word = ein Spindelwort im Luftschnitt

findings_proof-open-air = Vertraut wird darauf, dass der Nullpunkt wie für den Schnitt gesetzt ist und dass nur gezeichnete Spanner hervorstehen.
findings_proof-open-spindle = Eine von Hand geschaltete Spindel bleibt Sache der Person an der Maschine.
findings_proof-open-bites = Verglichen wird in beiden Dateien, wie tief jeder Fräser innerhalb von { FIGURE($step) } mm seines Wegs höchstens auf einmal fräst, auf einem Raster von Punkten: Nötig sind der Fräser und die Platte, die angegeben wurden.
findings_proof-open-same-cuts = Verglichen wird, wo der Fräser unter der Oberseite der Platte läuft, nicht in welcher Reihenfolge oder wie schnell; auf geraden Schnitten wird alle { FIGURE($step) } mm nachgesehen.
findings_proof-open-same-board = Verglichen wird, was am Ende weggefräst ist, nicht wie: Reihenfolge, Vorschübe und die Hebungen über Haltestege dürfen abweichen, solange dasselbe Holz stehen bleibt. Zwischen ebenen Flächen wird alle { FIGURE($step) } mm oder enger nachgesehen, in höchstens { $heights } Höhen.
findings_proof-open-rules = Die Steuerung ist durch ihre veröffentlichten Regeln bekannt.
