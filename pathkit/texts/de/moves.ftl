# Satzteile zu „Zeile 40 …“ (explain-line); jeder beginnt mit dem gebeugten Verb.

moves-nowhere-known = fährt an eine Stelle, die die Datei nicht nennt
moves-already = fährt nirgendwohin: Der Fräser ist schon bei { $place }
moves-speed = { $speed ->
    [full] im Eilgang
    [unset] mit einem Vorschub, den die Datei nicht gesetzt hat
   *[feed] mit { $feed }
 }
moves-slope = { $slope ->
    [rising] {""} und steigt dabei um { $rise }
    [sinking] {""} und sinkt dabei um { $rise }
   *[level] {""}
 }
moves-upright = { $does ->
    [cuts] fräst
    [burns] brennt
   *[moves] fährt
 } { $way ->
    [up] senkrecht nach oben
    [down] senkrecht nach unten
   *[either] senkrecht nach oben oder unten
 } auf { $place } { moves-speed }
moves-straight = { $does ->
    [cuts] fräst
    [burns] brennt
   *[moves] fährt
 } { $axis ->
    [several] geradeaus
   *[one] in Richtung { $axis }
 } nach { $place } { moves-speed }{ moves-slope }
moves-arc = { $does ->
    [cuts] fräst einen Bogen
    [burns] brennt einen Bogen
   *[moves] fährt einen Bogen
 } ({ $sense ->
    [counter] von oben gesehen gegen den Uhrzeigersinn
   *[clock] von oben gesehen im Uhrzeigersinn
 }, Radius { $radius }, { $degrees } Grad) nach { $place } { moves-speed }{ moves-slope }
moves-circle = { $does ->
    [cuts] fräst einen Vollkreis
    [burns] brennt einen Vollkreis
   *[moves] fährt einen Vollkreis
 } ({ $sense ->
    [counter] von oben gesehen gegen den Uhrzeigersinn
   *[clock] von oben gesehen im Uhrzeigersinn
 }, Radius { $radius }) nach { $place } { moves-speed }{ moves-slope }
moves-over = { $move }, { $height }
moves-drills = bohrt { $count ->
    [one] ein Loch
   *[other] { $count } Löcher, das letzte
 } bei { $place } bis { $bottom }{ $peck ->
    [none] {""}
   *[other] {" "}in Schritten von { $peck }
 } mit { $feed }

moves-height = { $side ->
    [level] auf Höhe der Plattenoberseite
    [above] { $length } über der Plattenoberseite
   *[below] { $length } unter der Plattenoberseite
 }
moves-height-under = { $height }, { $length } unter der Plattenunterseite
moves-right = { $length } nach rechts
moves-away = { $length } nach hinten
moves-feed-inches = { $inches } in/min ({ $mm } mm/min)
moves-feed = { $mm } mm/min

moves-spindle-off = schaltet die Spindel aus
moves-spindle-set = stellt die laufende Spindel auf { $speed } U/min
moves-spindle-on = schaltet die Spindel ein ({ $sense ->
    [counter] gegen den Uhrzeigersinn
   *[clock] im Uhrzeigersinn
 }, { $speed } U/min)
moves-dwell = steht { $seconds } s still
moves-pause-if = hält an, bis Zyklus-Start gedrückt wird, falls der Schalter dafür an ist
moves-pause = hält an, bis Zyklus-Start gedrückt wird
moves-bit-change = lässt den Fräser wechseln
moves-bit-change-number = lässt den Fräser wechseln: auf Nummer { $number }
moves-coolant = schaltet { $kind ->
    [flood] die Flut ein (Kühlmittel; an manchen Maschinen Luft oder Absaugung)
    [mist] den Nebel ein (Luft oder Kühlmittel)
   *[off] Kühlmittel und Luft aus
 }
moves-offset = nimmt den Werkstück-Nullpunkt { $name }
moves-lift = fährt im Eilgang senkrecht nach oben auf Z { $z } in Maschinenkoordinaten
moves-end = beendet das Programm
moves-beam = { $mode ->
    [off] schaltet den Strahl aus
    [constant] macht den Strahl bereit; er brennt auch, wo die Maschine steht
   *[dynamic] macht den Strahl bereit, mit einer Leistung, die der Geschwindigkeit folgt
 }
