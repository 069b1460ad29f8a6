sheet-title = { $job }: { $machine }
sheet-running = <strong>{ $job }</strong> · Auftrag <code>{ $mark }</code> · { $machine }
sheet-for = Einrichteblatt für <strong>{ $machine }</strong>.
sheet-mark = Auftrag <code>{ $mark }</code>: Diese Kennung muss am Anfang der Fräsdatei stehen.
sheet-cut-times = Fräsen Sie diese Platte <strong>{ $count ->
    [one] einmal
   *[other] { $count }-mal
 }</strong>.

sheet-fact-board = Platte
sheet-fact-cut-file = Fräsdatei
sheet-fact-zero-xy = Nullpunkt X, Y
sheet-fact-zero-z = Nullpunkt Z
sheet-fact-run-time = Laufzeit
sheet-fact-bit = Fräser
sheet-fact-parts = Teile
sheet-fact-lies = Lage

sheet-board-of = { $material }, { $size }
sheet-material = { $material ->
    [softwood] Weichholz
    [hardwood] Hartholz
    [plywood] Sperrholz
    [mdf] MDF
    [hdf] HDF
    [bamboo] Bambus
    [cork] Kork
    [acrylic] Acrylglas
    [hdpe] HDPE
   *[foam] Schaumstoff
 }
sheet-then = { $first }, dann { $next }
sheet-corner-of-board = { $corner ->
    [front-left] vordere linke Ecke
    [front-right] vordere rechte Ecke
    [back-left] hintere linke Ecke
    [back-right] hintere rechte Ecke
   *[centre] Mitte
 } der Platte
sheet-zero-on-top = Oberseite der Platte
sheet-zero-on-bed = der Maschinentisch
sheet-about-time = etwa { $time }
sheet-cuts = { $count } Schnitte
sheet-turned = { $turn ->
    [0] wie gezeichnet
    [1] eine Vierteldrehung nach links
    [2] eine halbe Drehung
   *[3] eine Vierteldrehung nach rechts
 }

sheet-least = Für jede Maschine mit mindestens
sheet-least-why = Fahren Sie zuerst die Probedateien, wie es auf der Seite steht, auf der Sie dieses Blatt gewählt haben. Die Laufzeiten reichen von der schnellsten Maschine bis zu einer, die diese Liste gerade erfüllt.
sheet-look-first = Sehen Sie sich das zuerst an
sheet-cautions = Sicherheit

sheet-key-tape = Klebeband
sheet-key-clamps = Schrauben und Spanner: freihalten
sheet-key-depth = bis { $depth }
sheet-key-tabs = Haltestege
sheet-board-left = Die Platte, wie die Fräsdatei sie hinterlässt
sheet-board-measures = Die Platte mit ihren Maßen
sheet-measured = Maße in { $unit ->
    [inch] Zoll
   *[mm] mm
 } von der { $across ->
    [left] linken
   *[right] rechten
 } und der { $along ->
    [front] vorderen
   *[back] hinteren
 } Kante der Platte: Teile bis zu ihrem Anfang{ $tape ->
    [yes] , Klebeband von Rand zu Rand
   *[no] {""}
 }{ $screw ->
    [yes] , Schrauben bis zur Mitte
   *[no] {""}
 }{ $clamp ->
    [yes] , Spanner von Rand zu Rand
   *[no] {""}
 }.
sheet-from-edge = Von der { $edge ->
    [left] linken
    [right] rechten
    [front] vorderen
   *[back] hinteren
 } Kante: { $measures }.
sheet-zone-mark = { $kind ->
    [tape] Klebeband
    [screw] Schraube
   *[clamp] Spanner
 } { $number }
sheet-drawn-to = Auf { $length } genau gezeichnet.
sheet-no-room = Nicht alle Maße haben Platz.
sheet-no-room-in-picture = Nicht alle Maße haben im Bild Platz.
sheet-bed-known = Der Tisch reicht { $across } zur Seite und { $away } von Ihnen weg. Die Platte ist dort gezeichnet, wo sie laut Auftrag liegt.
sheet-bed-free = Der Tisch reicht { $across } zur Seite, { $away } von Ihnen weg. Die Platte ist in der Mitte gezeichnet; legen Sie sie dorthin, wo der Fräser sie ganz erreicht.
sheet-side-title = Die Platte von der Seite: { $heights }
sheet-side-height = { $names } bei { $height }

sheet-parts = { $count ->
    [one] Das Teil
   *[other] Die Teile
 }
sheet-part-measures = Maße in mm; Stellen sind (von links; von vorn) des Teils, wie es liegt.
sheet-part-measures-inch = Maße in Zoll; Stellen sind (von links; von vorn) des Teils, wie es liegt.
sheet-lettered = { $letter }: { $text }
sheet-part-like = { $name } und { $count } gleiche
sheet-part-told = { $title }: { $across } breit und { $away } tief. { $lines }.
sheet-point = ({ $x };{"\u00A0"}{ $y })
sheet-form = { $kind ->
    [hole] Bohrung ⌀ { $width }
    [slot] Schlitz { $width } breit und { $length } lang
    [opening] Durchbruch { $width } × { $length }
   *[recess] Tasche { $width } × { $length }
 }, { $depth ->
    [through] ganz durch
   *[deep] { $depth } tief
 }{ $core ->
    [keep] , der Kern wird gehalten
    [drop] , der Kern liegt lose
   *[clear] {""}
 }
sheet-detail = { $count ->
    [one] { $form }
   *[other] { $count } × { $form }
 }, { $round ->
    [yes] Mitte bei
   *[no] beginnt bei
 } { $places }{ $more ->
    [0] {""}
   *[other] {" "}und { $more } weitere
 }
sheet-part-tabs = { $count ->
    [one] { $count } Haltesteg
   *[other] { $count } Haltestege
 }, { $width } breit und { $height } hoch, bei { $places }
sheet-part-chamfer = gefaste Kanten, { $width } breit
sheet-part-engraving = Gravur, { $depth } tief
sheet-plan-title = { $job } auf dem Tisch von { $machine }, von Ihrem Standort aus gesehen
sheet-grain = Faser
sheet-stand-here = Sie stehen hier
sheet-zero-label = Null
sheet-side-top = oben
sheet-side-deepest = Grund
sheet-side-zero = Null

sheet-zero = Nullpunkt
sheet-zero-corner = X0 Y0 ist { $corner ->
    [front-left] die vordere linke Ecke
    [front-right] die vordere rechte Ecke
    [back-left] die hintere linke Ecke
    [back-right] die hintere rechte Ecke
   *[centre] die Mitte
 } der Platte, so wie sie liegt (der schwarze Punkt).
sheet-zero-z-bed = Z0 ist der Maschinentisch, nicht die Platte. Tasten Sie auf dem Tisch an, abseits von allem, was darauf liegt.
sheet-zero-z-bed-underlay = Z0 ist der Maschinentisch, weder Opferplatte noch Platte. Tasten Sie auf dem Tisch an, abseits von allem, was darauf liegt.
sheet-zero-top-then = Die Oberseite der Platte liegt dann bei { $height }. Bedeckt die Platte den ganzen Tisch, messen Sie ihre Dicke, tasten auf der Platte an und setzen Z auf diese Dicke.
sheet-zero-top-then-underlay = Die Oberseite der Platte liegt dann bei { $height }. Bedeckt die Platte den ganzen Tisch, messen Sie Opferplatte und Platte zusammen, tasten auf der Platte an und setzen Z auf diese Dicke.
sheet-zero-z-top = Z0 ist die Oberseite der Platte. Tasten Sie auf der Platte an, wo nichts gefräst wird.
sheet-ways = Wächst X, bewegt sich der Fräser { $x ->
    [right] nach rechts
    [left] nach links
    [away] von Ihnen weg
   *[toward] auf Sie zu
 }; wächst Y, { $y ->
    [right] nach rechts
    [left] nach links
    [away] von Ihnen weg
   *[toward] auf Sie zu
 }; wächst Z, { $z ->
    [up] nach oben
   *[down] nach unten
 } – von vorn gesehen und gegenüber der Platte. Bewegt sich stattdessen der Tisch, fährt er in die Gegenrichtung.
sheet-in-inches = Die Fräsdatei ist in Zoll geschrieben.
sheet-start-height = Vor jedem Start einer Datei: Der Fräser darf nicht höher als { $height } stehen; dorthin fährt er zuerst.
sheet-start-place = Die Dateien nehmen als X0 Y0 Z0 die Stelle, an der der Fräser beim Start steht. Fahren Sie ihn vor jedem Start von Hand dorthin: seine Spitze auf die Oberseite der Platte, an { $corner ->
    [front-left] die vordere linke Ecke
    [front-right] die vordere rechte Ecke
    [back-left] die hintere linke Ecke
    [back-right] die hintere rechte Ecke
   *[centre] die Mitte
 }.

sheet-hold-down = Aufspannung
sheet-underlay = Unter der Platte: { $thickness } Opferplatte oder Klebeband.
sheet-underlay-cut = Unter der Platte: { $thickness } Opferplatte oder Klebeband; durchgehende Schnitte reichen { $depth } hinein.
sheet-measure-underlay = Die Opferplatte muss überall so dick sein: Messen Sie.
sheet-tape = Doppelseitiges Klebeband unter den { $count } getönten Stellen, fest angedrückt.
sheet-screws = { $count ->
    [one] { $count } Schraube
   *[other] { $count } Schrauben
 } wie gezeichnet, höchstens { $height } über der Platte; die Bahn hält Abstand.
sheet-clamps = { $count ->
    [one] { $count } Spanner
   *[other] { $count } Spanner
 } wie gezeichnet, höchstens { $height } über der Platte; die Bahn hält Abstand.
sheet-no-clamps = Der Auftrag nennt keine Schrauben oder Spanner. Halten Sie den Weg des Fräsers frei von allem, was über die Platte ragt.
sheet-nothing-holds = Der Auftrag sagt nicht, was die Platte hält. Spannen Sie sie so, dass sich kein Teil bewegt, wenn es frei wird.
sheet-travel = Leerwege verlaufen { $height } über der dicksten zugelassenen Platte und ebenso weit über allem Höheren, das sie queren.

sheet-estimate = Geschätzt, nicht nachgewiesen: Ein stumpfer Fräser schiebt { $count ->
    [one] { $name }
   *[other] jedes von { $count } Teilen wie { $name }
 } ({ $weight } schwer) mit { $push } und hebt es mit { $lift }.
sheet-estimate-tabs = Das sind { $percent } % dessen, was { $count ->
    [one] seinem Haltesteg
   *[other] seinen { $count } Haltestegen
 }, { $width } breit und { $height } hoch, zuzumuten ist (Sicherheit { $safety }; { $alike ->
    [yes] Festigkeit von { $material } und Schnittkraft: { $strength }
   *[no] Festigkeit von { $material }: { $strength }; Schnittkraft: { $force }
 }).
sheet-estimate-tape = Klebeband unter { $area } davon darf { $newton } tragen ({ $strength }; { $source }; Sicherheit { $safety }).

sheet-bits = Fräser und Vorschübe
sheet-bits-bit = Fräser
sheet-bits-kind = Form
sheet-bits-number = Nr.
sheet-bits-diameter = Ø
sheet-bits-flutes = Zähne
sheet-bits-length = Schneide
sheet-bits-deepest = Tiefe
sheet-bits-pass = Zustellung
sheet-bits-feed = Vorschub
sheet-bits-plunge = Eintauch
sheet-bits-rpm = U/min
sheet-bits-chip = Span
sheet-bits-time = Zeit
sheet-bit-kind = { $kind ->
    [flat] Schaft
    [ball] Kugel
    [vee] V-Nut
    [compression] Kompression
    [drill] Bohrer
    [beam] Strahl
   *[other] { $kind }
 }
sheet-feed-limited = { $feed } (Maschine: { $limit })
sheet-share = Von dieser Maschine wird nur ein Teil dessen verlangt, was der Auftrag sagt: <strong>{ $strength }</strong>. Die Tabelle zeigt, was davon bleibt.
sheet-feeds-mm = mm, mm je Minute; Span: mm je Zahn. Nur Ausgangswerte: Hören Sie hin; weichere Maschinen fahren langsamer.
sheet-feeds-inch = Zoll, Zoll je Minute; Span: Zoll je Zahn. Nur Ausgangswerte: Hören Sie hin; weichere Maschinen fahren langsamer.

sheet-see = Was Sie sehen werden
sheet-see-from = ab
sheet-see-what = was
sheet-see-bit = Fräser
sheet-see-cuts = Schnitte
sheet-see-depth = bis
sheet-see-time = Zeit
sheet-see-it = er …
sheet-see-more = und { $count } weitere Zeilen.
sheet-stage = { $stage ->
    [shallow] Taschen und Gravur
    [chamfers] Fasen
    [through] Bohrungen und Schlitze
    [burnt] Linien eines Strahls
    [outlines] Außenkonturen
    [none] Schnitte an keinem Teil
   *[other] Andere Schnitte
 }
sheet-seen-down = { $entry ->
    [peck] bohrt senkrecht in Schritten und fährt jedes Mal heraus
    [helix] taucht in einer Helix ein
    [ramp] taucht in Rampen hin und her ein
    [spiral] fährt immer rundherum und dabei stetig nach unten
   *[plunge] taucht senkrecht ein
 }
sheet-seen = { sheet-seen-down } und { $role ->
    [pocket] räumt Ebene für Ebene
    [finish] fährt einmal die Wand entlang
    [slot] fährt den Schlitz entlang
    [outline] fährt um das Teil herum
    [engrave] folgt den Linien
    [chamfer] folgt der Kante
   *[other] folgt seiner Linie
 }
sheet-seen-tabs-each = { $seen }; hebt dabei über Haltestege, { $count ->
    [one] einmal
   *[other] { $count }-mal
 } an jedem
sheet-seen-tabs = { $seen }; hebt dabei über Haltestege, { $count ->
    [one] einmal
   *[other] { $count }-mal
 } insgesamt
sheet-chamfer = Fasen { $width } breit.
sheet-chamfer-range = Fasen { $width } breit auf einer Platte, die so dick ist, wie der Auftrag sagt: { $low }, wo ihre Oberseite am tiefsten liegt, { $high }, wo sie am höchsten liegt – über alle Platten, die der Auftrag zulässt.

sheet-steps = Schritt für Schritt
sheet-step-cautions = Lesen Sie die Sicherheitshinweise oben; setzen Sie Schutzbrille und Gehörschutz auf.
sheet-step-measure = Messen Sie die Platte: { $size } oder mehr, { $thickness } dick, eben, ohne Nägel und lose Äste. Fräsen Sie sonst nicht: Bitten Sie um Dateien für Ihre Platte.
sheet-step-underlay = Legen Sie die Opferplatte, { $thickness } dick, auf den Tisch und die Platte darauf.
sheet-step-fix = Spannen Sie die Platte auf wie gezeichnet, die Kanten parallel zu den Achsen. Ziehen Sie daran: Nichts darf sich bewegen.
sheet-step-fit = Spannen Sie { $bit } ein. Unter der Spannzange muss er mindestens { $reach } herausragen.
sheet-step-directions = Prüfen Sie die Richtungen: Fahren Sie von Hand ein wenig in X+ und Y+. Bewegt sich der Fräser, wohin die Pfeile zeigen?
sheet-step-zero = Setzen Sie den Nullpunkt wie oben: zuerst X und Y, dann Z.
sheet-step-air = Luftschnitt: Fräser heraus, Spindel aus, { $file } bis zum Ende fahren. Achten Sie darauf, dass die Maschine über der Platte und frei von allem bleibt.
sheet-step-cut = Setzen Sie den Fräser wieder ein und den Z-Nullpunkt neu, schalten Sie die Absaugung ein und starten Sie { $file }.
sheet-step-cut-manual = Setzen Sie den Fräser wieder ein und den Z-Nullpunkt neu, schalten Sie die Absaugung ein und starten Sie { $file }. Wenn die Datei für die Spindel anhält, schalten Sie diese von Hand ein, mit der Drehzahl aus der Tabelle.
sheet-step-watch = Beobachten Sie das erste Eintauchen, eine Hand am Not-Aus-Taster; bleiben Sie auch danach dabei.
sheet-step-end-manual = Wenn die Datei am Ende anhält, schalten Sie die Spindel aus und lassen die Datei weiterlaufen.
sheet-step-park = Am Ende parkt der Fräser bei { $place }.
sheet-step-stopped = Warten Sie, bis die Spindel steht. Saugen Sie den Staub ab, bevor Sie etwas anfassen.
sheet-step-sand = Schleifen Sie die Kanten, an denen Haltestege waren.
sheet-step-keep = Bewahren Sie dieses Blatt bei den Teilen auf.
sheet-step-next-board = Legen Sie die nächste Platte auf und beginnen Sie wieder beim zweiten Schritt, { $count } Platten insgesamt.
sheet-step-no-tabs = Nehmen Sie die Teile heraus: Keine Haltestege halten sie.
sheet-step-tabs = Jedes Teil wird von { $count ->
    [one] { $count } Haltesteg
   *[other] { $count } Haltestegen
 } gehalten, { $width } breit und { $height } hoch. Trennen Sie sie von oben mit Stechbeitel oder feiner Säge, die Platte festgespannt, die andere Hand außer Reichweite; drücken Sie das Teil nach unten heraus.
sheet-step-tabs-sloped = Jedes Teil wird von { $count ->
    [one] { $count } Haltesteg
   *[other] { $count } Haltestegen
 } gehalten, oben { $width } breit, unten breiter, und { $height } hoch. Trennen Sie sie von oben mit Stechbeitel oder feiner Säge, die Platte festgespannt, die andere Hand außer Reichweite; drücken Sie das Teil nach unten heraus.
sheet-step-skin = Eine Haut von { $thickness } verbindet die Teile mit der Platte. Heben Sie die Platte im Ganzen ab, drehen Sie sie um und schneiden oder schleifen Sie die Haut von unten weg, das Werkstück flach gehalten und die andere Hand außer Reichweite.
sheet-step-cores-held = { $count ->
    [one] { $count } Öffnung lässt
   *[other] { $count } Öffnungen lassen
 } einen Kern stehen, der gehalten wird wie die Teile: Nehmen Sie ihn heraus wie ein Teil.
sheet-step-cores-loose = { $count ->
    [one] { $count } Öffnung lässt
   *[other] { $count } Öffnungen lassen
 } einen Kern, der lose liegt, sobald er freigefräst ist. Greifen Sie nicht danach, solange die Spindel dreht; hebt er sich oder wandert er, halten Sie die Maschine an.

sheet-change = Wechsel { $number } von { $count }. { $step }
sheet-change-ended = Wenn { $file } beendet ist, steht der Fräser oben.
sheet-change-ended-at = Wenn { $file } beendet ist, steht der Fräser oben, bei { $place }.
sheet-change-waits = { $file } wartet vor Zeile { $line }, der Fräser steht oben.
sheet-change-waits-at = { $file } wartet vor Zeile { $line }, der Fräser steht oben, bei { $place }.
sheet-change-still = Die Spindel ist aus: Warten Sie, bis sie stillsteht.
sheet-change-still-manual = Schalten Sie die Spindel aus und warten Sie, bis sie stillsteht.
sheet-change-air = Fahren Sie ohne Fräser und bei ausgeschalteter Spindel den Luftschnitt { $file }.
sheet-change-jog = Fahren Sie ihn von Hand wieder zum Nullpunkt.
sheet-change-z-bed = Setzen Sie den Z-Nullpunkt neu, auf dem Tisch; X und Y bleiben, wie sie sind.
sheet-change-z-top = Setzen Sie den Z-Nullpunkt neu, auf der Oberseite der Platte, wo nichts gefräst wird; X und Y bleiben, wie sie sind.
sheet-change-run = Starten Sie dann { $file } ab der ersten Zeile.
sheet-change-no-jog = Solange sie wartet, nimmt die Steuerung kein Verfahren von Hand und keinen Nullpunkt an: Versuchen Sie es nicht. Der Fräser muss deshalb genau so weit herausragen wie der vorige.
sheet-change-perhaps-bed = Wenn Ihre Steuerung während des Wartens ein Verfahren von Hand und einen Nullpunkt annimmt, tun Sie es jetzt: Setzen Sie den Z-Nullpunkt neu, auf dem Tisch; X und Y bleiben, wie sie sind. Wenn nicht, muss der Fräser genau so weit herausragen wie der vorige.
sheet-change-perhaps-top = Wenn Ihre Steuerung während des Wartens ein Verfahren von Hand und einen Nullpunkt annimmt, tun Sie es jetzt: Setzen Sie den Z-Nullpunkt neu, auf der Oberseite der Platte, wo nichts gefräst wird; X und Y bleiben, wie sie sind. Wenn nicht, muss der Fräser genau so weit herausragen wie der vorige.
sheet-change-go-on = Lassen Sie die Datei weiterlaufen: Sie fährt mit Zeile { $line } fort.

sheet-proved = Was nachgewiesen ist
sheet-proved-controller = Diese Steuerung nimmt jedes Wort der Datei an.
sheet-proved-room = Sie bleibt in dem, wohin und wie schnell diese Maschine fährt.
sheet-proved-shapes = Sie fräst jede Form an ihrem Platz, in ihrer Tiefe, und nichts geht in ein Teil hinein.
sheet-proved-entries = Der Fräser taucht so ins Holz ein, wie der Auftrag es verlangt, nie im Eilgang.
sheet-proved-holding = Mit Klebeband, Schrauben und Stegen des Auftrags löst sich beim Fräsen kein Teil.
sheet-proved-order = Die Reihenfolge der Schnitte ist die, die der Auftrag braucht.
sheet-proved-air = Der Luftschnitt macht dieselben Bewegungen über der Platte, Spindel aus.
sheet-read-back = Die Fräsdatei wurde unabhängig zurückgelesen; ihre Bahn weicht höchstens { $deviation } vom Auftrag ab.
sheet-read-back-unknown = Die Fräsdatei wurde unabhängig zurückgelesen; wie weit ihre Bahn höchstens vom Auftrag abweicht, ist unbekannt.
sheet-checks-passed = { $count ->
    [one] { $count } Prüfung bestanden
   *[other] { $count } Prüfungen bestanden
 }
sheet-not-proved = Was nicht nachgewiesen ist
sheet-not-proved-check = { $check }: { $why }
sheet-and-more = { $what } (und { $count } weitere dieser Art)

sheet-files = Dateien
sheet-file-cut = die Fräsdatei
sheet-file-air = der Luftschnitt: dieselbe Bewegung über der Platte, Spindel aus
sheet-file-job = der Auftrag, wie er gefräst wird, um die Datei erneut zu prüfen oder nach einer Unterbrechung neu zu beginnen
sheet-file-report = das Zertifikat: was nachgewiesen ist und für welche Bytes
sheet-file-preview = die Vorschau: den Schnitt ansehen, bevor er gemacht wird
sheet-file-letter = eine Probe in der Luft: zeichnet einen Buchstaben
sheet-file-frame = eine Probe in der Luft: fährt um die Platte
sheet-file-measure = eine Probe in der Luft: fährt eine bekannte Strecke, zum Nachmessen
sheet-file-further-cut = die Fräsdatei für Fräser { $number }
sheet-file-further-air = sein Luftschnitt
sheet-file-further-report = sein Zertifikat
sheet-file-input = Eingaben der Erzeugung, um den Auftrag erneut zu prüfen
sheet-sha-only = SHA-256 der Fräsdatei: <code>{ $sha }</code>
sheet-sha = SHA-256 von <code>{ $file }</code>: <code>{ $sha }</code>
sheet-strength = { $value ->
    [feed] Vorschub
    [plunge] Eintauchen
    [spindle] Drehzahl
    [stepdown] Zustellung
   *[stepover] seitliche Zustellung
 } { $percent } %

sheet-fit = Passung: { $fit }.
sheet-fit-wider = Öffnungen { $by } weiter als gezeichnet, Teile ebenso viel schmaler, aber nichts, was so breit ist wie sein Fräser
sheet-fit-narrower = Öffnungen { $by } enger als gezeichnet, Teile ebenso viel breiter, aber nichts, was so breit ist wie sein Fräser
sheet-test-piece = Probestück: Passung von { $least } beim − bis { $most } beim +, in Stufen von { $step }.
sheet-step-no-parts = Heben Sie die Platte ab: Keine Teile sind aus ihr freigefräst, und keine Haltestege halten sie.
sheet-more-kinds = { $count } weitere Arten von Teilen sind nicht als Nahaufnahme gezeichnet.
sheet-stored-once = Was mehrere Auswahlen gemeinsam haben, ist nur einmal gespeichert. Die Seite, auf der Sie dieses Blatt gewählt haben, führt zu allem.

sheet-beam-start = Vor jedem Start einer Datei: Der Kopf darf nicht höher als { $height } stehen; dorthin geht die erste Bewegung.
sheet-beam-flat = Der Kopf fährt auf der Höhe, auf der er brennt: Nichts darf über die Platte ragen.
sheet-beam-grate = Legen Sie nichts unter die Platte, was glänzt oder brennt; was durchfällt, darf nichts Heißes berühren.
sheet-beam-cautions = Lesen Sie die Sicherheitshinweise oben; setzen Sie die Schutzbrille für diesen Strahl auf.
sheet-beam-material = Stellen Sie fest, woraus die Platte besteht, auch Leim und Beschichtung. Wenn Sie es nicht wissen, bearbeiten Sie sie nicht.
sheet-beam-settings = Prüfen Sie die Einstellungen der Steuerung: Die Leistung folgt den Bewegungen (GRBL: $32 = 1) und ist bei S { $full } voll (GRBL: $30 = { $full }).
sheet-beam-directions = Prüfen Sie die Richtungen, den Strahl gesperrt: Fahren Sie von Hand ein wenig in X+ und Y+. Bewegt sich der Kopf, wohin die Pfeile zeigen?
sheet-beam-focus = Stellen Sie den Strahl nach der Anleitung der Maschine auf die Oberseite der Platte scharf; der Kopf steht dann auf { $height }.
sheet-beam-air = Luftschnitt: Strahl sperren, { $file } bis zum Ende fahren. Achten Sie darauf, dass der Kopf über der Platte und frei von allem bleibt.
sheet-beam-trial = Erproben Sie Leistung und Vorschub an einem Stück desselben Materials: Wie tief sie brennen, ist hier nicht bekannt.
sheet-beam-run = Schließen Sie das Gehäuse, schalten Sie die Absaugung ein, entsperren Sie den Strahl und starten Sie { $file }.
sheet-beam-watch = Achten Sie auf Flammen und bleiben Sie bis zum Ende dabei, eine Hand am Not-Aus-Taster.
sheet-beam-park = Am Ende parkt der Kopf bei { $place }.
sheet-beam-open = Warten Sie, bis der Strahl aus und gesperrt und der Rauch abgezogen ist. Öffnen Sie dann, und beobachten Sie das Werkstück, bis es kalt ist.
sheet-beam-not-run = Nur für einen Fräser im Holz beurteilt, denn wie tief ein Strahl brennt, ist nicht bekannt: { $checks }.
sheet-proved-beam = Der Strahl folgt jeder Linie des Auftrags, so oft und mit der Leistung, die er verlangt, und keiner anderen; auf dem Weg, in Pausen und am Ende ist er aus.
sheet-beam-power = { $percent } % der vollen Leistung
sheet-beam-seen = brennt die Linien entlang
sheet-part-burnt = Linien, die ein Strahl brennt
