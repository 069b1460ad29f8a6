draw-what-file = { $name }: was die Fräsdatei tut, von oben gesehen
draw-what-files = { $name }: was die Fräsdateien tun, von oben gesehen
draw-for = { $file } für { $machine }
draw-before-after = vorher: { $before }; nachher: { $after }
draw-stand-here = Sie stehen auf dieser Seite
draw-zero = Null
draw-start = { $number }
draw-start-line = { $number }: Zeile { $line }
draw-start-named = { $number }: { $name }
draw-start-named-line = { $number }: { $name }, Zeile { $line }
draw-unknown-board = Die Platte ist nicht bekannt
draw-drawn-to = Auf { $length } genau gezeichnet
draw-zero-outside = X0 Y0 liegt außerhalb des Bildes

draw-depths = Tiefe der Schnitte
draw-below-top = bis, unter der Plattenoberseite
draw-down-to = bis
draw-marks = Zeichen
draw-mark-bit = Breite des Fräsers um seine Bahn
draw-mark-travel = Leerweg
draw-mark-start = Anfang eines Werkzeugwegs, der Reihe nach
draw-mark-tab = Haltesteg: der Schnitt hebt sich
draw-mark-zero = X0 Y0 der Datei
draw-mark-tape = Klebeband
draw-mark-clamp = Spanner und Schrauben: freihalten

draw-travel = Leerweg { $travel }
draw-travel-less = Leerweg { $travel }, { $percent } % weniger
draw-travel-more = Leerweg { $travel }, { $percent } % mehr
draw-is-before = vorher: { $caption }
draw-is-after = nachher: { $caption }
draw-cuts = Schnitte { $cuts }, { $toolpaths ->
    [one] { $toolpaths } Werkzeugweg
   *[other] { $toolpaths } Werkzeugwege
 }

draw-told = { $file } für { $machine }:{ $board ->
    [unknown] {""}
   *[known] {" "}eine Platte von { $across } mal { $away },
 } { $cuts ->
    [none] keine Schnitte,
   *[some] { $cuts } Schnitte in { $toolpaths ->
        [one] { $toolpaths } Werkzeugweg
       *[other] { $toolpaths } Werkzeugwegen
    }, der tiefste bei { $deepest },{ $depth ->
        [unknown] {""}
       *[known] {" "}{ $depth } unter der Plattenoberseite,
    }
 } { $tabs ->
    [one] { $tabs } Haltesteg
   *[other] { $tabs } Haltestege
 } und { $travel } Leerweg.
draw-not-drawn = { $count } Bewegungen sind nicht gezeichnet: Die Datei sagt nicht, woher sie kommen.
