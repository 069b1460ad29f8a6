# Was an Schnitten falsch ist, und daran, wo Teile liegen.

findings_operations-bore-no-way-in = der Fräser { $bit } von { FIGURE($diameter) } mm schneidet nicht über Mitte: In die Bohrung von { FIGURE($hole) } mm kann er nicht senkrecht hinunter, und auf einer Helix von { FIGURE($helix) } mm würde er nur reiben
findings_operations-bore-no-way-in-fix = geben Sie centre_cutting = true an, falls er es tut, nehmen Sie einen Bohrer von { FIGURE($drill) } mm oder einen Fräser von höchstens { FIGURE($most) } mm, oder machen Sie die Bohrung { FIGURE($hole) } mm weit
findings_operations-bore-narrow = die Bohrung von { FIGURE($hole) } mm ist nicht weiter als der Fräser { $bit } von { FIGURE($diameter) } mm
findings_operations-bore-narrow-fix = bohren Sie sie, oder nehmen Sie einen schmaleren Fräser
findings_operations-bridges-count = count ist { $given }
findings_operations-bridges-count-fix = eine ganze Zahl, mindestens 1
findings_operations-bridges-not-through = sie geht nicht durch die Platte, also löst sich darin nichts
findings_operations-plain-pocket = nehmen Sie eine einfache Tasche
findings_operations-bridges-high = bei { FIGURE($height) } mm hohen Brücken in { FIGURE($wood) } mm Holz (dem dünnsten zugelassenen) bliebe nichts zu fräsen
findings_operations-bridges-high-fix = wählen Sie height kleiner als { $wood }
findings_operations-bridges-no-island = sie hat keine Insel, die zu halten wäre
findings_operations-bridges-no-room = die Insel bei x { FIGURE($x) } y { FIGURE($y) } hat keinen Platz für { $count } gerade Brücken zur äußeren Wand
findings_operations-bridges-no-room-fix = verlangen Sie weniger oder schmalere Brücken, oder halten Sie die Insel auf andere Weise
findings_operations-burn-no-beam = { $name } ist kein Strahl
findings_operations-burn-no-beam-fix = ein Fräser graviert; ein Strahl ist Tool(…, kind="beam")
findings_operations-burn-passes = passes ist { $given }
findings_operations-burn-passes-fix = eine ganze Zahl von 1 bis { $most }
findings_operations-no-cone = der Fräser { $bit } ist von der Art { $kind } und hat keinen Kegel, um eine Fase zu fräsen
findings_operations-no-cone-fix = tool: nennen Sie einen V-Nut-Fräser (etwa kind = "vee", angle = 90)
findings_operations-chamfer-wide = eine { FIGURE($width) } mm breite Fase, und der Kegel von { $bit } reicht { FIGURE($reach) } mm nach jeder Seite
findings_operations-no-wall = der Fräser { $bit } ist von der Art { $kind } und fräst keine senkrechte Wand
findings_operations-no-wall-fix = tool: nennen Sie einen Schaft-, Kugel- oder Kompressionsfräser
findings_operations-drop-straight-down = den Kern fallen zu lassen verlangt einen Schnitt senkrecht nach unten, und der Fräser { $bit } schneidet nicht über Mitte
findings_operations-drop-straight-down-fix = core = "keep", oder ein Fräser, der über Mitte schneidet (centre_cutting = true)
findings_operations-drop-lead = den Kern fallen zu lassen verlangt einen Schnitt, der endet, wo er begann, und dieser hat einen Anfahrbogen
findings_operations-drop-lead-fix = lassen Sie lead weg (lead = 0)
findings_operations-drop-finish = den Kern fallen zu lassen verlangt einen Schnitt, und finish macht zwei
findings_operations-drop-finish-fix = lassen Sie finish weg, oder core = "keep"
findings_operations-allowance = ein Aufmaß von { FIGURE($allowance) } mm lässt dem Fräser keinen Platz herumzufahren
findings_operations-allowance-fix = wählen Sie finish.allowance kleiner, oder lassen Sie finish weg
findings_operations-fits-nowhere = der Fräser { $bit } von { FIGURE($diameter) } mm passt bei ({ FIGURE($x) }; { FIGURE($y) }) nirgends in die Form
findings_operations-fits-nowhere-as-wide = die Form ist so breit wie der Fräser: Bohren Sie sie, oder fräsen Sie einen Schlitz entlang ihrer Mitte
findings_operations-shape-strange = die Form ist { $given }
findings_operations-shape-strange-fix = geben Sie eine Curve an, oder eine Linie oder ein Polygon von shapely
findings_operations-shape-point = die Form ist ein Punkt oder eine räumliche Bahn
findings_operations-shape-point-fix = eine Kontur folgt einer ebenen Linie; Punkte bohren Sie mit drill
findings_operations-copies-first = first ist { $given }
findings_operations-copies-first-fix = eine ganze Zahl, mindestens 0
findings_operations-copies-no-toolpath = layout: Das Stück hat keinen Werkzeugweg namens { $name }; nennen Sie in precedence einen eigenen
findings_operations-copies-turn = turn ist { $given }
findings_operations-copies-turn-fix = Vierteldrehungen: 0, 1, 2 oder 3
findings_operations-copies-placement = Platzierung { $number } ist { $given }
findings_operations-copies-placement-fix = geben Sie Placement(x, y, turn) an
findings_operations-drill-hole = Loch { $number } liegt bei { $place }
findings_operations-drill-repeated = ein früheres Loch liegt an derselben Stelle; lassen Sie eines davon weg
findings_operations-drill-kind = die Löcher sind von der Art { $kind }
findings_operations-drill-kind-fix = geben Sie Punkte an: (n, 2) Zahlen, oder einen MultiPoint
findings_operations-drill-numbers = die Löcher sind keine Zahlen
findings_operations-drill-numbers-fix = geben Sie (n, 2) Zahlen in mm an, oder einen MultiPoint
findings_operations-drill-shape = die Löcher haben die Anordnung { $shape }
findings_operations-drill-shape-fix = geben Sie (n, 2) Zahlen in mm an, n mindestens 1
findings_operations-engrave-lines = die Linien sind { $given }
findings_operations-engrave-line = Linie { $number } ist { $given }
findings_operations-engrave-lines-fix = geben Sie Curves an, oder Linien von shapely
findings_operations-engrave-none = es gibt keine Linie, oder eine davon ist ein Punkt
findings_operations-engrave-none-fix = gravieren Sie Linien; bohren Sie Punkte
findings_operations-finished-several = seine Außenkontur besteht aus { $count } getrennten Formen
findings_operations-finished-several-fix = machen Sie aus jeder ein Teil
findings_operations-text-long = der Text ist { $count } Zeichen lang
findings_operations-text-long-fix = höchstens { $most } werden graviert
findings_operations-text-strokes = für { $characters } gibt es keine Striche
findings_operations-text-strokes-fix = nehmen Sie nur ASCII: Buchstaben, Ziffern und Satzzeichen
findings_operations-text-none = der Text { $text } hat keine Striche
findings_operations-text-none-fix = geben Sie mindestens ein Zeichen an, das kein Leerzeichen ist
findings_operations-text-extra = Text braucht das Extra 'text': pip install 'pathkit-cam[text]'
findings_operations-open-edges-none = kein Stück ihres Randes liegt auf ihren offenen Kanten
findings_operations-open-edges-none-fix = zeichnen Sie offene Kanten auf den Rand der Form
findings_operations-open-edge-strange = eine offene Kante ist { $given }
findings_operations-open-edge-point = eine offene Kante ist ein Punkt oder eine räumliche Bahn
findings_operations-open-edge-point-fix = geben Sie ebene Linien an
findings_operations-open-edge-crosses = die Linie jenseits ihrer offenen Kante schneidet sich selbst
findings_operations-open-edge-crosses-fix = öffnen Sie jedes gerade Stück für sich
findings_operations-open-edge-inward = ihre offene Kante knickt nach innen
findings_operations-open-edge-inward-fix = öffnen Sie jedes Stück für sich, oder begradigen Sie es
findings_operations-open-edge-flat = bei ({ FIGURE($x) }, { FIGURE($y) }) läuft eine Wand in flachem Winkel in ihre offene Kante
findings_operations-open-edge-flat-fix = zeichnen Sie die Kante, an der sie offen ist, weiter außen
findings_operations-open-edge-tight = ihre offene Kante biegt sich für den Fräser zu eng nach innen
findings_operations-narrower-bit = nehmen Sie einen schmaleren Fräser
findings_operations-pocket-angle = weder angle noch stock
findings_operations-pocket-angle-fix = geben Sie den Winkel der Reihen an, oder die Platte, deren Faser sie folgen
findings_operations-stepover-rows = stepover { $stepover } mit einem Aufmaß von { FIGURE($allowance) } mm lässt Holz zwischen den Reihen stehen
findings_operations-stepover-rings = stepover { $stepover } mit einem Aufmaß von { FIGURE($allowance) } mm lässt Holz zwischen den Ringen stehen
findings_operations-stepover-fix = höchstens stepover = { $stepover }
findings_operations-allowance-wide-fix = wall_allowance = { $allowance }, oder ein breiterer Fräser
findings_operations-relief-open = die Öffnung ist keine geschlossene ebene Kurve
findings_operations-relief-run-into = die Freifräsungen ihrer Ecken laufen bei { $place } ineinander
findings_operations-relief-run-into-fix = tool: ein schmalerer Fräser, oder relief = false
findings_operations-relief-short = die Seite von { FIGURE($length) } mm bei ({ FIGURE($x) }; { FIGURE($y) }) ist zu kurz für ihre Freifräsungen, die { FIGURE($wanted) } mm brauchen
findings_operations-relief-short-fix = tool: ein Fräser von höchstens { FIGURE($widest) } mm, oder relief = false
findings_operations-rest = der Fräser { $bit } von { FIGURE($diameter) } mm soll ausräumen, was { $wider } stehen lässt, und ist nicht schmaler als dessen { FIGURE($wide) } mm
findings_operations-rest-fix = nennen Sie den breiteren Fräser zuerst
findings_operations-rings = Ringe im Abstand von { FIGURE($apart) } mm wären mehr als { $most }; wählen Sie stepover größer (üblich ist 0.4)
findings_operations-rows-touch = die Form lässt sich nicht in Reihen unter { FIGURE($angle) } Grad ausräumen, weil ihr Rand sich selbst berührt; ändern Sie angle, schreiben Sie style = "rings", oder bessern Sie die Zeichnung aus
findings_operations-rows-many = Linien im Abstand von { FIGURE($apart) } mm über { FIGURE($depth) } mm wären mehr als { $most }; wählen Sie stepover größer (üblich ist 0.4), oder einen breiteren Fräser
findings_operations-slot-narrow = der Schlitz ab ({ FIGURE($x) }; { FIGURE($y) }) ist { FIGURE($width) } mm breit, und der Fräser { $bit } { FIGURE($diameter) } mm
findings_operations-slot-strange = die Mittellinie ist { $given }
findings_operations-slot-strange-fix = geben Sie eine Curve oder einen LineString von shapely an
findings_operations-slot-point = die Mittellinie ist ein Punkt oder eine räumliche Bahn
findings_operations-slot-point-fix = ein Schlitz folgt einer ebenen Linie; bohren Sie Punkte
findings_operations-spindle-range = die Spindel dreht mit { $low } bis { $high } U/min; üblich in Holz sind 10 000 bis 24 000
findings_operations-chips-guess = Spandicken sind für Fräser von 3 bis 6 mm bekannt; für { FIGURE($diameter) } mm ist das eine Vermutung
findings_operations-thin-chips = die Maschine fährt höchstens { FIGURE($feed) } mm/min, und das ergibt Späne von { FIGURE($chip) } mm; üblich sind { FIGURE($low) } bis { FIGURE($high) } mm
findings_operations-thin-chips-fix = nehmen Sie einen Fräser mit weniger Zähnen, oder eine kleinere Zustellung
findings_operations-feeds-spindle = spindle ist { $given }
findings_operations-feeds-spindle-fix = die langsamste und die schnellste Drehzahl, in U/min
findings_operations-copy-large = eine Kopie von { FIGURE($width) } × { FIGURE($depth) } mm passt nicht auf die Platte von { FIGURE($wide) } × { FIGURE($deep) } mm, die innerhalb ihres Rands von { FIGURE($margin) } mm nur { FIGURE($across) } × { FIGURE($along) } mm hat
findings_operations-copy-large-avoid = eine Kopie von { FIGURE($width) } × { FIGURE($depth) } mm passt nicht auf die Platte von { FIGURE($wide) } × { FIGURE($deep) } mm, die innerhalb ihres Rands von { FIGURE($margin) } mm nur { FIGURE($across) } × { FIGURE($along) } mm hat, abzüglich dessen, was frei bleiben muss
findings_operations-copy-large-fix = nehmen Sie eine Platte mit mindestens width = { $width }, depth = { $depth }
findings_operations-copy-large-margin-fix = nehmen Sie eine Platte mit mindestens width = { $width }, depth = { $depth }, oder margin = { $margin }
findings_operations-copies-kerf = Kopien im Abstand von { FIGURE($apart) } mm lassen keinen Platz für die Schnittfuge von { $bit }, die { FIGURE($wide) } mm breit ist
findings_operations-copies-kerf-fix = mindestens spacing = { $spacing }, oder ein schmalerer Fräser
findings_operations-copies-web = layout: web und spacing sagen beide, wie weit Kopien auseinander liegen; geben Sie eines davon an
findings_operations-copies-many = auf eine Platte würden mehr als { $most } Kopien von { FIGURE($width) } × { FIGURE($depth) } mm passen
findings_operations-copies-many-fix = nehmen Sie eine kleinere Platte, oder einen größeren Abstand (spacing)
findings_operations-part-large = das Teil { $part } von { FIGURE($width) } × { FIGURE($depth) } mm passt nicht auf die Platte von { FIGURE($wide) } × { FIGURE($deep) } mm, die innerhalb ihres Rands von { FIGURE($margin) } mm nur { FIGURE($across) } × { FIGURE($along) } mm hat
findings_operations-part-large-less = das Teil { $part } von { FIGURE($width) } × { FIGURE($depth) } mm passt nicht auf die Platte von { FIGURE($wide) } × { FIGURE($deep) } mm, die innerhalb ihres Rands von { FIGURE($margin) } mm nur { FIGURE($across) } × { FIGURE($along) } mm hat, abzüglich Schrauben und Spannern
findings_operations-part-large-fix = nehmen Sie eine größere Platte oder einen kleineren Rand, oder lassen Sie es drehen (layout.keep_grain = false)
findings_operations-many-asked = { $count } Kopien sind verlangt, und höchstens { $most } werden verteilt
findings_operations-many-asked-fix = verlangen Sie weniger auf einmal
findings_operations-strip = das Packen eines Streifens schlug fehl: { $error }
findings_operations-lie-on-each-other = liegen aufeinander
findings_operations-lie-apart = liegen { FIGURE($gap) } mm auseinander, verlangt sind { FIGURE($wanted) } mm
findings_operations-thin-web = zwischen ihm und { $name } blieben nahe x { FIGURE($x) } y { FIGURE($y) } nur { FIGURE($web) } mm Holz stehen; verlangt sind mindestens { FIGURE($wanted) } mm
findings_operations-thin-web-fix = legen Sie sie weiter auseinander (web oder spacing), nehmen Sie einen schmaleren Fräser, oder lassen Sie einen dünneren Steg zu (least_web)
