findings_audit-build-again = bauen Sie den Auftrag noch einmal; fräsen Sie diese Dateien nicht
findings_audit-more = { $what }; und { $count } weitere

findings_audit-bit = wird mit { $bit } gefräst, und die Auftragsdatei verlangt { $asked }
findings_audit-bit-field = { $field } von { $bit } ist { $made }, und in der Auftragsdatei steht { $asked }
findings_audit-feed = hat { $field } { $made }, und die Auftragsdatei verlangt { $asked }
findings_audit-range = hat slowest, fastest { $made }, und die Auftragsdatei verlangt { $asked }
findings_audit-range-shares = hat slowest, fastest { $made }, und die Auftragsdatei verlangt { $asked } oder das { FIGURE($low) }- bis { FIGURE($high) }-Fache des Vorschubs

findings_audit-board-field = { $field } ist { $made }, und in der Auftragsdatei steht { $asked }
findings_audit-board-none = die Platte misst { FIGURE($width) } × { FIGURE($depth) } mm und ist damit keine der Auftragsdatei
findings_audit-board-open = die Maschine ist nicht bekannt, also ist nicht beurteilt, welche der Platten sie nimmt
findings_audit-board-asked = die verlangte Platte steht nicht in der Auftragsdatei
findings_audit-board-other = die Platte misst { FIGURE($width) } × { FIGURE($depth) } mm, und diese Maschine müsste die Platte von { FIGURE($u) } × { FIGURE($v) } mm nehmen
findings_audit-zone-missing = im Auftrag fehlt { $kind ->
    [tape] das Klebeband
    [screw] die Schraube
    [clamp] der Spanner
   *[other] { $kind }
 }, { FIGURE($height) } mm hoch, bei ({ FIGURE($x) }; { FIGURE($y) })
findings_audit-zone-extra = der Auftrag hat etwas bei { $spot }, das die Auftragsdatei nicht nennt: { $kind ->
    [tape] Klebeband
    [screw] eine Schraube
    [clamp] einen Spanner
   *[other] { $kind }
 }

findings_audit-copy-number = Kopie { $count } hat die Nummer { $number }
findings_audit-copy-margin = Kopie { $number } liegt weniger als { FIGURE($margin) } mm von der Plattenkante
findings_audit-copies-near = die Kopien { $one } und { $other } liegen { FIGURE($gap) } mm auseinander, und verlangt sind { FIGURE($asked) } mm
findings_audit-copy-on-clamp = Kopie { $number } und ihre Schnittfuge liegen auf einer Schraube oder einem Spanner
findings_audit-copies-many = neben Schrauben oder Spannern liegen zu viele Kopien, um nach Lücken zwischen ihnen zu suchen
findings_audit-copy-fits = bei ({ FIGURE($x) }; { FIGURE($y) }) passt noch eine Kopie
findings_audit-copies-board = das Zertifikat zählt keine Platte mit { $count } Kopien, die { $times }-mal gefräst wird
findings_audit-copies-boards = es sind { $count } Platten, und verlangt ist eine
findings_audit-copies-full = es sind { $count } Kopien, und auf die Platte passen { $most }
findings_audit-copies-all = auf allen Platten zusammen sind { $count } Kopien, und verlangt sind { $asked }
findings_audit-copies-split = die Platten sind { $limits }, und verlangt sind { $every }
findings_audit-copies-no-outline = die Teile haben keine Außenkontur, die zeigt, wo eine Kopie liegt
findings_audit-job-name = der Auftrag heißt { $name }, und in der Auftragsdatei steht { $asked }
findings_audit-copy-over = { $part } ragt über die Plattenkante
findings_audit-off-board = läuft über die Platte hinaus
findings_audit-off-board-fix = verschieben Sie es, oder nehmen Sie eine größere Platte
findings_audit-part-margin = { $part } liegt weniger als { FIGURE($margin) } mm von der Plattenkante
findings_audit-part-on-clamp = { $part } und seine Schnittfuge liegen auf einer Schraube oder einem Spanner
findings_audit-part-corner = die vordere linke Ecke von { $part } liegt bei ({ FIGURE($x) }; { FIGURE($y) }), und verlangt ist ({ FIGURE($u) }; { FIGURE($v) })
findings_audit-part-turned = { $part } liegt um { $count ->
    [one] eine Vierteldrehung
   *[other] { $count } Vierteldrehungen
 } gedreht, was nicht erlaubt ist
findings_audit-parts-overlap = { $one } und { $other } überdecken sich
findings_audit-parts-near = { $one } und { $other } liegen { FIGURE($gap) } mm auseinander, und verlangt sind { FIGURE($asked) } mm
findings_audit-parts-board = das Zertifikat zählt keine Platte mit { $where }, die { $times }-mal gefräst wird
findings_audit-parts-uncounted = das Zertifikat zählt nicht die Kopien jedes Teils
findings_audit-parts-all = auf allen Platten zusammen gibt es { $count } von { $part }, und verlangt sind { $asked }
findings_audit-parts-numbers = Kopien von { $part } haben falsche Nummern: { $numbers }

findings_audit-not-cut = { $part } { $operation } ist nicht gefräst
findings_audit-not-cut-in-copy = { $part } { $operation } ist in Kopie { $number } nicht gefräst
findings_audit-entry-hole = ist ein Loch, durch das kein Schnitt der Auftragsdatei eintaucht
findings_audit-nothing-cut = nichts von dem, was die Auftragsdatei verlangt, ist gefräst
findings_audit-off-line = { $who } läuft { FIGURE($off) } mm neben der Linie, der er folgen muss, bei ({ FIGURE($x) }; { FIGURE($y) })
findings_audit-line-left = { $who } lässt eine Linie aus: Der nächste Schnitt ist { FIGURE($off) } mm entfernt, bei ({ FIGURE($x) }; { FIGURE($y) })
findings_audit-line-none = { $who } ist gefräst, und dort ist nichts zu fräsen
findings_audit-line-sense = { $who } läuft { $way ->
    [clockwise] im Uhrzeigersinn
    [counter-clockwise] gegen den Uhrzeigersinn
   *[other] { $way }
 }, und verlangt ist { $asked ->
    [clockwise] im Uhrzeigersinn
    [counter-clockwise] gegen den Uhrzeigersinn
   *[other] { $asked }
 }
findings_audit-line-open = { $who } ist ein offener Schnitt, und seine Form ist geschlossen
findings_audit-line-lead = { $who } hat einen { FIGURE($length) } mm langen Anfahrbogen, und verlangt ist einer mit Radius { FIGURE($radius) } mm
findings_audit-line-inches-large = { $what } (er ist 25,4-mal zu groß: Zoll und Millimeter sind verwechselt)
findings_audit-line-inches-small = { $what } (er ist 25,4-mal zu klein: Zoll und Millimeter sind verwechselt)
findings_audit-line-turned = { $what } (er ist gedreht)
findings_audit-line-mirrored = { $what } (er ist gespiegelt)
findings_audit-line-elsewhere = { $what } (er liegt anderswo)
findings_audit-line-beside = { $who } fräst in eine Form daneben, die stehen bleiben soll, bei ({ FIGURE($x) }; { FIGURE($y) })
findings_audit-hole-extra = { $who } hat bei ({ FIGURE($x) }; { FIGURE($y) }) ein Loch, das nicht verlangt ist
findings_audit-hole-several = { $who } hat bei ({ FIGURE($x) }; { FIGURE($y) }) { $count } Löcher, und verlangt ist eines
findings_audit-hole-none = { $who } hat bei ({ FIGURE($x) }; { FIGURE($y) }) kein Loch, und verlangt ist eines
findings_audit-hole-diameter = { $who } macht bei ({ FIGURE($x) }; { FIGURE($y) }) ein Loch von { FIGURE($made) } mm, und verlangt sind { FIGURE($asked) } mm
findings_audit-hole-turns = { $who } wird in Umläufen geräumt, die mehr als { FIGURE($most) } mm auseinander liegen
findings_audit-hole-sense = { $who } läuft im Uhrzeigersinn, und verlangt ist gegen den Uhrzeigersinn
findings_audit-hole-wall = { $who } läuft nicht ganz an seiner Wand herum: Er bleibt { FIGURE($off) } mm von ({ FIGURE($x) }; { FIGURE($y) }) entfernt
findings_audit-burn-passes = { $who } folgt { FIGURE($made) } mm Linien, und verlangt sind { FIGURE($asked) } mm in { $passes } Durchgängen
findings_audit-finish-extra = { $who } hat einen letzten Umlauf, und verlangt ist keiner
findings_audit-floor-left = { $who } lässt einen seiner Böden ungefräst
findings_audit-cuts-extra = { $who } fräst, wo nichts verlangt ist
findings_audit-pocket-rings = { $who } räumt in Ringen, die mehr als { FIGURE($most) } mm auseinander liegen, bei ({ FIGURE($x) }; { FIGURE($y) })
findings_audit-pocket-standing = { $who } lässt Holz stehen, das zu räumen ist, bei ({ FIGURE($x) }; { FIGURE($y) })
findings_audit-pocket-open-edge = { $who } läuft { FIGURE($by) } mm zu weit über seine offene Kante hinaus, bei ({ FIGURE($x) }; { FIGURE($y) })
findings_audit-pocket-wall = { $who } räumt { FIGURE($by) } mm zu nahe an seiner Wand, bei ({ FIGURE($x) }; { FIGURE($y) })
findings_audit-pocket-at-once = { $who } geht entlang einer Wand auf einmal hinunter, wo vorher nichts geräumt war
findings_audit-pocket-angle = { $who } hat in einem Stück seines Bodens keine Bahnen unter { FIGURE($angle) } Grad
findings_audit-pocket-lines = { $who } räumt in Bahnen, die bis zu { FIGURE($apart) } mm auseinander liegen, und verlangt sind { FIGURE($asked) } mm
findings_audit-pocket-many-lines = { $who } räumt in { $count } Bahnen, zu vielen für die verlangten { FIGURE($asked) } mm dazwischen
findings_audit-pocket-short-lines = { $who } räumt in Bahnen, die nicht von Wand zu Wand laufen
findings_audit-rest-lead = { $who } hat einen { FIGURE($length) } mm langen Anfahrbogen seines zweiten Fräsers, und verlangt ist einer mit Radius { FIGURE($radius) } mm
findings_audit-rest-at-once = { $who } geht mit seinem zweiten Fräser auf einmal hinunter, wo noch Holz steht
findings_audit-rest-far = { $who } führt seinen zweiten Fräser { FIGURE($by) } mm zu weit weg von Holz, das der erste stehen lässt, bei ({ FIGURE($x) }; { FIGURE($y) })
findings_audit-rest-standing = { $who } lässt Holz stehen, das sein zweiter Fräser erreicht, bei ({ FIGURE($x) }; { FIGURE($y) })
findings_audit-rest-wall-left = { $who } lässt eine Wand aus, die sein zweiter Fräser fräsen muss, bei ({ FIGURE($x) }; { FIGURE($y) })
findings_audit-rest-wall = { $who } räumt mit seinem zweiten Fräser { FIGURE($by) } mm zu nahe an seiner Wand, bei ({ FIGURE($x) }; { FIGURE($y) })
findings_audit-rest-rings = { $who } hat Ringe seines zweiten Fräsers, die mehr als { FIGURE($most) } mm auseinander liegen, bei ({ FIGURE($x) }; { FIGURE($y) })
findings_audit-rest-lines = { $who } hat unter { FIGURE($angle) } Grad Bahnen seines zweiten Fräsers, die mehr als { FIGURE($most) } mm auseinander liegen, bei ({ FIGURE($x) }; { FIGURE($y) })
findings_audit-rest-extra = { $who } hat Schnitte seines zweiten Fräsers, wo nichts verlangt ist
findings_audit-rest-first-reaches = { $who } hat Schnitte seines zweiten Fräsers, und der erste reicht ebenso weit
findings_audit-rest-off-line = { $who } führt seinen zweiten Fräser { FIGURE($off) } mm neben der Linie an der Wand, der er folgen muss, bei ({ FIGURE($x) }; { FIGURE($y) })
findings_audit-rest-sense = { $who } führt seinen zweiten Fräser verkehrt herum an einer Wand entlang
findings_audit-uncut = { $part } { $operation } bleibt bei { $spot } ungefräst, wo der eigene Fräser des Auftrags fräsen würde
findings_audit-uncut-fix = bauen Sie den Auftrag für einen schmaleren Fräser

findings_audit-role = ist ein Schnitt der Art { $role }, und verlangt ist { $kind }
findings_audit-depth = geht hinunter auf z = { FIGURE($made) }, und die Auftragsdatei verlangt z = { FIGURE($asked) }
findings_audit-begins = hat als Anfang { $what }, und die Auftragsdatei verlangt { $why }
findings_audit-stepdown = hat { $what }, und die Auftragsdatei verlangt { $why }
findings_audit-stepdown-other = hat { $what }, und die Auftragsdatei verlangt { FIGURE($asked) } mm
findings_audit-no-levels = hat keine Ebenen, und merge_stepdowns gibt ihm welche
findings_audit-levels-astray = hat Ebenen { $levels }, die nicht bis zu seinem Grund hinunterführen
findings_audit-bite = nimmt { FIGURE($bite) } mm auf einmal, und seine Zustellung ist { FIGURE($stepdown) } mm
findings_audit-levels-many = geht in { $count } Ebenen hinunter, und { $fewest } genügen für die verlangte Zustellung
findings_audit-finish-depth = nimmt sein Aufmaß { FIGURE($given) } mm tief auf einmal ab, und die Auftragsdatei verlangt die volle Tiefe auf einmal
findings_audit-burn-height = läuft bei z = { $z }, und die Oberseite der Platte liegt bei { FIGURE($top) }
findings_audit-burn-field = hat { $field } { $made }, und ein Strahl hat nichts dergleichen
findings_audit-entry = taucht mit { $entry } ein, und die Auftragsdatei verlangt { $either }
findings_audit-tabs-count = hat { $count ->
    [one] einen Haltesteg
   *[other] { $count } Haltestege
 }, und verlangt sind { $either }
findings_audit-tabs-size = hat einen { FIGURE($width) } mm breiten und { FIGURE($height) } mm hohen Haltesteg, und verlangt sind { FIGURE($u) } mm und { FIGURE($v) } mm
findings_audit-tabs-shape = hat Haltestege der Form { $shape }, und verlangt sind solche der Form { $asked }
findings_audit-tabs-two = hat { $count ->
    [one] einen Haltesteg
   *[other] { $count } Haltestege
 }, und mindestens zwei sind nötig
findings_audit-tabs-load = hat { $count } Haltestege, und nach der Schätzung ist die Last { $percent } % dessen, was sie tragen
findings_audit-tabs-open = nicht beurteilt ist, ob die Haltestege halten: Die Maschine oder das Material ist nicht bekannt

findings_audit-part-missing = { $part } ist nicht unter den fertigen Teilen
findings_audit-part-extra = { $part } ist ein fertiges Teil, das die Auftragsdatei nicht verlangt
findings_audit-part-no-edge = { $part } hat keine Kante, und die Auftragsdatei gibt ihm eine
findings_audit-part-edge = { $part } hat eine Kante, die nicht verlangt ist
findings_audit-part-edge-off = die Kante von { $part } liegt { FIGURE($off) } mm neben dem Gezeichneten
findings_audit-part-skin = das fertige Teil { $part } hat unter dem Schnitt um es herum eine Haut von { FIGURE($made) } mm, und die Auftragsdatei verlangt { FIGURE($asked) } mm
findings_audit-part-recess = { $part } hat bei { $spot } eine Tasche oder Öffnung, die kein Arbeitsgang verlangt
findings_audit-part-chamfer = { $part } hat um { $spot } eine gefaste Kante, die kein Arbeitsgang verlangt
findings_audit-shape-missing = { $who } ist nicht unter den fertigen Formen des Teils
findings_audit-shape-core = der Kern von { $who } ist { $made }, und die Auftragsdatei verlangt { $either }
findings_audit-shape-depth = { $who } geht im fertigen Teil { $what }, und die Auftragsdatei verlangt: { $why }
findings_audit-edge-missing = { $who } ist nicht unter den gefasten Kanten des Teils
findings_audit-edge-side = { $who } ist auf der anderen Seite seiner Linie zugesagt
findings_audit-edge-bottom = { $who } ist bis z = { FIGURE($made) } hinunter zugesagt, und seine Breite verlangt z = { FIGURE($asked) }
findings_audit-edge-slope = { $who } ist { FIGURE($made) } mm breit je mm Höhe zugesagt, und der Winkel des Fräsers ergibt { FIGURE($asked) }
findings_audit-edge-top = { $who } ist bis zu einer anderen Höhe als der seiner Kante zugesagt

findings_audit-pair = verlangt ist { $one } vor { $other }, und der Auftrag sagt das nicht
findings_audit-pair-bits = verlangt ist { $one } mit dem ersten Fräser vor { $other }, und der Auftrag sagt das nicht

findings_audit-unread-keys = die Gegenprüfung versteht diese Schlüssel der Auftragsdatei nicht: { $keys }
findings_audit-unread-pass = die Gegenprüfung weiß nicht, was der Durchgang { $pass } tut
findings_audit-unread-compare = Auftragsdatei und Auftrag lassen sich nicht vergleichen
findings_audit-unread-compare-why = Auftragsdatei und Auftrag lassen sich nicht vergleichen ({ $error })
findings_audit-unread-shape = die Form { $shape } von { $part } liest die Gegenprüfung nicht
findings_audit-unread-shape-why = Form { $shape } von { $part }: { $known }
findings_audit-unread-corners = für die Gegenprüfung ist nicht klar, wo eine Zeichnung Ecken hat, die Platz für Zapfen brauchen
findings_audit-unread-layers = Ebenen und Farben in den Blöcken einer DXF liest die Gegenprüfung nicht
findings_audit-unread-size = weder die Zeichnung noch die Auftragsdatei (units) sagt, wie groß die Zeichnung ist
findings_audit-unread-not-svg = die Datei ist keine SVG
findings_audit-unread-svg-size = eine SVG ohne viewBox, oder deren Breite keine Länge ist, liest die Gegenprüfung nicht
findings_audit-unread-svg-element = eine SVG, die { $name } enthält, liest die Gegenprüfung nicht
findings_audit-unread-svg-attribute = { $name } = { $value } in einer SVG liest die Gegenprüfung nicht
findings_audit-unread-dxf-pieces = ein DXF-Objekt aus mehreren Stücken liest die Gegenprüfung nicht
findings_audit-unread-transform = die Transformation { $name } mit { $count } Zahlen liest die Gegenprüfung nicht
findings_audit-unread-extra = das Extra { $name } ist nicht installiert
findings_audit-unread-hole = ein Loch, das kein Kreis ist, beurteilt die Gegenprüfung nicht
findings_audit-unread-operation = kein Arbeitsgang der Auftragsdatei verlangt es
findings_audit-no-job-file = es gab keine Auftragsdatei: Der Auftrag war als Werkzeugwege gegeben
findings_audit-no-job-file-middle = die Datei beginnt mitten in einem Auftrag: Was die Auftragsdatei verlangt, wird nur für den ganzen Auftrag beurteilt
findings_audit-no-job-file-elsewhere = es gibt keine Auftragsdatei: Der Auftrag ist aus einer Fräsdatei verstanden, die anderswo entstand
findings_audit-no-job-file-older = von einer älteren Version gemacht: Was die Auftragsdatei verlangt, ist nicht beurteilt
findings_audit-no-job-file-given = Auftrag, Maschine oder Lage sind nicht die, mit denen der Ordner gebaut wurde
findings_audit-no-job-file-named = das Zertifikat nennt keine Auftragsdatei
findings_audit-no-job-file-unread = die Auftragsdatei oder die Fräsertabelle lässt sich nicht lesen
findings_audit-no-job-file-changed = seit dem Bau geändert: { $names }
findings_audit-no-job-file-missing = es fehlt: { $where }
