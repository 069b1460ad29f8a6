findings_jobs-it-is = { $what }; gemeint ist { $known }
findings_jobs-asks-for-it = { $what }; verlangt wird es in { $place }
findings_jobs-passes-keys = { $what }; [passes] { $keys }
findings_jobs-passes-keys-or-false = { $what }; [passes] { $keys }; oder false
findings_jobs-layout-keys = { $what }; [layout] web oder spacing
findings_jobs-or-uncut = { $what }; oder lassen Sie es ungefräst: --without { $name }
findings_jobs-fit-moved = { $what }; fit = { $fit } hat seine Wände verschoben

findings_jobs-bit-which = --bit { $bit }: Geben Sie an, welchen Fräser er ersetzt: { $either }
findings_jobs-bit-unused = --bit nennt den Fräser { $bit }, den dieser Auftrag nicht benutzt; er benutzt: { $names }
findings_jobs-bit-twice = --bit ist zweimal für { $bit } angegeben; geben Sie es einmal an
findings_jobs-bit-diameter = --bit ist { $given }; geben Sie einen Durchmesser über 0 mm und bis { $most } mm an
findings_jobs-bit-entry-fix = ändern Sie seinen Eintrag in [tools]
findings_jobs-bit-not-reached = der Fräser { $bit } erreicht ({ FIGURE($x) }; { FIGURE($y) }) nicht, wo der Fräser { $meant } des Auftrags mit { FIGURE($diameter) } mm fräst
findings_jobs-bit-widest-fix = der breiteste Fräser, der passt, hat { FIGURE($widest) } mm
findings_jobs-bit-widest-tool-fix = tool: Der breiteste Fräser, der passt, hat { FIGURE($widest) } mm
findings_jobs-rest-nothing = { $name } lässt für den Fräser { $bit } nichts übrig: Der Fräser { $wide } erreicht alles
findings_jobs-rest-nothing-fix = nennen Sie nur einen Fräser als tool
findings_jobs-material = { $shown } darf nicht gefräst werden: { $why }
findings_jobs-material-fix = nehmen Sie ein anderes Material
findings_jobs-without-several = --without { $name } passt auf mehrere Arbeitsgänge des Auftrags
findings_jobs-without-none = --without { $name } passt auf keinen Arbeitsgang des Auftrags
findings_jobs-without-frees = --without { $name } ließe das Teil in der Platte: Dieser Arbeitsgang löst es heraus
findings_jobs-without-frees-fix = nehmen Sie einen Fräser, der es fräsen kann
findings_jobs-without-nothing = --without lässt am Teil { $part } nichts zu fräsen übrig; lassen Sie weniger Arbeitsgänge weg
findings_jobs-toolpaths-bit = dieser Auftrag besteht aus Werkzeugwegen, deren Fräser feststehen; --bit braucht eine Auftragsdatei in TOML
findings_jobs-toolpaths-without = dieser Auftrag besteht aus Werkzeugwegen, nicht aus Arbeitsgängen; --without braucht eine Auftragsdatei in TOML

findings_jobs-fits-if-turned = sie passt, wenn sie gedreht wird: Setzen Sie turn = { $turn } für diese Maschine unter [[machine]], oder geben Sie --turn { $given } an
findings_jobs-part-over-width = { $what }, oder nehmen Sie eine Platte mit width = { $width }, depth = { $depth }
findings_jobs-part-over-move = { $what }, oder verschieben Sie seine Formen um [{ $a }, { $b }]
findings_jobs-part-at-fix = geben Sie at einen Wert von [0, 0] bis [{ $a }, { $b }]
findings_jobs-spacing-fix = geben Sie mindestens { $least } an
findings_jobs-zone-closed = eine Zone muss eine geschlossene Form sein
findings_jobs-zone-closed-fix = geben Sie etwa ein Rechteck an

findings_jobs-chamfer-consumed = eine { FIGURE($width) } mm breite Fase lässt nichts von der Oberseite dessen, um das ihre Linie läuft
findings_jobs-width-less-fix = width = weniger als { $width }
findings_jobs-width-less-wider-fix = width = weniger als { $width }, oder ein V-Fräser mit weiterem Winkel
findings_jobs-width-most-fix = width = höchstens { $width }
findings_jobs-width-most-wider-fix = width = höchstens { $width }, oder ein breiterer Fräser
findings_jobs-width-more-fix = width = mehr als { $width }, oder lassen Sie weniger Platten zu (thickness_tolerance), oder setzen Sie z_zero = "top"
findings_jobs-edge-fix = lassen Sie diese Kante, wie sie ist
findings_jobs-chamfer-in-opening = bei z = { FIGURE($z) } mm ist keine Kante: Die Linie liegt in einer Öffnung
findings_jobs-chamfer-in-opening-fix = nennen Sie die Form einer Kante
findings_jobs-chamfer-in-recess = bei z = { FIGURE($z) } mm ist keine Kante: Die Linie liegt in einer Tasche, deren Boden bei z = { FIGURE($floor) } mm liegt
findings_jobs-chamfer-in-skin = ihr Fuß liegt bei z = { FIGURE($foot) } mm, in der Haut, deren Oberseite bei { FIGURE($top) } mm liegt
findings_jobs-chamfer-floor = ihr Fräser geht hinunter auf z = { FIGURE($bottom) } mm und würde in den Boden neben ihrer Linie bei z = { FIGURE($floor) } mm fräsen
findings_jobs-chamfer-wall = ihr Fräser würde in das fräsen, was stehen bleiben soll, bei ({ FIGURE($x) }; { FIGURE($y) }), { FIGURE($off) } mm von ihrer Linie
findings_jobs-chamfer-wall-above = { $what }: Über ihrer Kante ist der Kegel noch breiter
findings_jobs-chamfer-wall-other-side = { $what }, auf der anderen Seite
findings_jobs-chamfer-neighbour = das Holz neben ihrer Linie ist bei ({ FIGURE($x) }; { FIGURE($y) }) nur { FIGURE($gap) } mm breit, dort beginnt eine Tasche oder Öffnung; die Fase ist { FIGURE($width) } mm breit
findings_jobs-chamfer-edge-above = ihre Kante liegt über der Oberseite der Platte
findings_jobs-chamfer-edge-above-fix = lassen Sie top weg, oder geben Sie top.from_top an
findings_jobs-chamfer-cone = ihre Breite wäre auf der dicksten Platte { FIGURE($width) } mm, und der Kegel von { $bit } reicht { FIGURE($radius) } mm nach jeder Seite
findings_jobs-chamfer-thinnest = sie ist { FIGURE($deep) } mm tief, und die Oberseite der dünnsten Platte liegt { FIGURE($lower) } mm tiefer: Diese Platte hätte keine Fase
findings_jobs-chamfer-underside = ihr Fuß liegt bei z = { FIGURE($foot) } mm, und die Unterseite kann bei { FIGURE($underside) } mm liegen
findings_jobs-chamfer-apart = Teile liegen { FIGURE($apart) } mm auseinander, und die Fase einer Außenkontur reicht { FIGURE($reach) } mm darüber hinaus
findings_jobs-chamfer-apart-fix = spacing = mindestens { $spacing }, oder eine schmalere Fase

findings_jobs-skin = eine Haut von { FIGURE($skin) } mm wäre { FIGURE($low) } bis { FIGURE($high) } mm dick
findings_jobs-skin-range = eine Haut von { FIGURE($skin) } mm wäre { FIGURE($low) } bis { FIGURE($high) } mm dick ({ $key } = { $spread })
findings_jobs-skin-thin = { $what }, und eine unter { FIGURE($least) } mm hält nichts
findings_jobs-skin-more-fix = lassen Sie mehr als { FIGURE($least) } mm stehen
findings_jobs-skin-least-fix = lassen Sie mindestens { FIGURE($least) } mm stehen: skin = { $skin }
findings_jobs-skin-boards-fix = { $what }, lassen Sie einen engeren Bereich von Platten zu (thickness_tolerance), oder setzen Sie z_zero = "bed"

findings_jobs-outlines-several = die Form { $shape } hat { $count } getrennte Umrisse, und ein Teil kann nur einen haben
findings_jobs-outlines-several-fix = machen Sie aus jedem ein eigenes [[part]]
findings_jobs-relief-through = relief an der Außenkontur des Teils muss von der Plattenoberseite aus ganz durch gehen; diese Kontur tut das nicht
findings_jobs-relief-through-fix = setzen Sie relief an der Kontur mit bottom.through = true und ohne top, und fräsen Sie damit die ganze Außenkontur
findings_jobs-relief-two-bits = die Außenkontur bekommt Platz für zwei Fräser
findings_jobs-relief-two-bits-fix = setzen Sie relief nur an einer ihrer Konturen
findings_jobs-relief-no-corner = relief = true, aber es gibt keine Ecke dafür: Sie muss zwischen geraden Seiten liegen, höchstens 135° auseinander, wo der Fräser läuft
findings_jobs-relief-no-corner-fix = lassen Sie relief weg
findings_jobs-fit-edge = fit = { $fit } lässt nichts stehen zwischen seiner Kante und einer anderen: { $who }
findings_jobs-fit-edge-fix = setzen Sie fit näher an 0, oder zeichnen Sie sie weiter auseinander
findings_jobs-fit-closes = fit = { $fit } schließt es
findings_jobs-fit-pieces = fit = { $fit } lässt seine Wände aneinanderstoßen: Es fiele in Stücke
findings_jobs-fit-pieces-fix = setzen Sie fit näher an 0, oder zeichnen Sie es dort breiter
findings_jobs-piece-nothing = der Auftrag hat keine Tasche, keinen Schlitz, keine Öffnung und keine Außenkontur, deren Wände ein gerader Fräser macht
findings_jobs-piece-thin = eine Platte von { FIGURE($thickness) } mm, plus oder minus { FIGURE($spread) }, ist zu dünn für ein Probestück

findings_jobs-size = sie misst { FIGURE($x) } × { FIGURE($y) } mm und sollte { FIGURE($u) } × { FIGURE($v) } mm messen
findings_jobs-size-perhaps = { $what }; vielleicht { $why }
findings_jobs-size-fix = berichtigen Sie die Zeichnung oder ihre Einheit, oder setzen Sie scale oder size = [{ $a }, { $b }]
findings_jobs-alike = { $who } und { $whoever } sind ein und dieselbe
findings_jobs-alike-drawn-fix = löschen Sie eine davon, oder wählen Sie eine nach ihrer Ebene oder Farbe aus
findings_jobs-near = { $who } und { $whoever } liegen { FIGURE($gap) } mm auseinander, und der Fräser { $bit } mit { FIGURE($diameter) } mm würde in beide fräsen
findings_jobs-near-fix = tool: ein Fräser von höchstens { FIGURE($most) } mm; oder vergrößern Sie die Form, oder rücken Sie sie auseinander
findings_jobs-open-fix = schließen Sie sie, oder geben Sie ein größeres join (mm) an, wenn die Lücke nur von Rundung kommt
findings_jobs-shape = Form { $shape }: { $known }
findings_jobs-crossing = die Form { $known }
findings_jobs-text-beyond = der Text { $text } mit { FIGURE($x) } × { FIGURE($y) } mm reicht über die Außenkontur seines Teils hinaus
findings_jobs-text-beyond-fix = geben Sie eine kleinere text_height an, oder ein anderes text_at

findings_jobs-core-islands = die Form { $shape } hat Inseln, aber core = { $core } lässt nichts von ihnen stehen
findings_jobs-core-islands-fix = fräsen Sie sie als Tasche, oder lassen Sie core auf "keep"
findings_jobs-hole-narrow = das Loch bei ({ FIGURE($x) }; { FIGURE($y) }) ist { FIGURE($diameter) } mm weit, und der Fräser { $bit } ist { FIGURE($width) } mm breit
findings_jobs-hole-shape = eine seiner Formen ist weder ein Punkt noch ein Kreis
findings_jobs-hole-shape-fix = bohren Sie nur Punkte oder Kreise
findings_jobs-holes-twice = zwei Löcher liegen bei { $spot }
findings_jobs-outside = er liegt außerhalb der Außenkontur des Teils { $part }
findings_jobs-outside-fix = verschieben Sie ihn hinein, oder nennen Sie die Außenkontur des Teils
findings_jobs-beyond = { $name } reicht { FIGURE($area) } mm² über die Außenkontur des Teils { $part } hinaus
findings_jobs-beyond-fix = richtig für eine Kerbe oder ein offenes Ende; sonst verschieben Sie es hinein
findings_jobs-option-moved = { $pass } hat die Angabe { $option } nicht mehr
findings_jobs-option-moved-fix = entfernen Sie sie: Der Durchgang spare_top_edge tut das immer
findings_jobs-option-strict-fix = schreiben Sie spare_top_edge = {"{"} strict = true {"}"}
findings_jobs-options-fix = er hat: { $names }
findings_jobs-number-fix = geben Sie eine Zahl ohne Anführungszeichen an: { $name } = { $such }

findings_jobs-key-none = kein Schlüssel heißt { $key }; { $why }
findings_jobs-key-list = pathkit schema ohne einen Schlüssel listet alle auf
findings_jobs-demo = die Maschinenprofile der Vorführung sind nicht installiert; installieren Sie das Paket pathkit-cam
findings_jobs-machine-other = es ist nicht die Maschine, die das Zertifikat nennt
findings_jobs-exactly-one = genau eines von { $names } ist nötig, nicht { $every }; behalten Sie eines
findings_jobs-exactly-one-missing = genau eines von { $names } ist nötig; geben Sie etwa { $name } an
findings_jobs-part-key-fix = fügen Sie ihn hinzu, oder nennen Sie ein Teil, von dem er kommt: like = …
findings_jobs-bit-none = kein Fräser heißt { $name }
findings_jobs-cutting-none = keine Tabelle [cutting] heißt { $name }
findings_jobs-another-name-fix = geben Sie einem einen anderen Namen, etwa name = { $name }
findings_jobs-quantity-fix = setzen Sie quantity in [[part]], etwa quantity = 10
findings_jobs-layout-copies-fix = entfernen Sie layout.copies, und setzen Sie quantity in jedem [[part]]
findings_jobs-layout-align-fix = entfernen Sie layout.align; at = [x, y] in [[part]] sagt, wo ein Teil liegt
findings_jobs-like-fix = schreiben Sie like = { $name }, und geben Sie an, was anders ist
findings_jobs-there-are-none = es gibt keine
findings_jobs-handout-many = es bietet { $count } Möglichkeiten an
findings_jobs-handout-many-fix = bieten Sie höchstens { $most } an
findings_jobs-handout-nothing = nichts lässt sich anbieten: { $what }
findings_jobs-handout-nothing-fix = beheben Sie das
findings_jobs-handout-unnamed-fix = Platten: keine hat einen Namen
findings_jobs-handout-boards-fix = Platten: '{ $names }'

findings_jobs-photo-outside = { $photo } liegt nicht im Ordner der Auftragsdatei
findings_jobs-photo-outside-fix = kopieren Sie es dorthin, und geben Sie seinen Namen mit / zwischen den Ordnern an
findings_jobs-photo-text = { $photo } ist ein Text wie SVG oder HTML, der Skripte enthalten kann
findings_jobs-photo-text-fix = speichern Sie es als JPEG, PNG oder WebP
findings_jobs-photo-pillow = { $photo } braucht Pillow, um gelesen zu werden
findings_jobs-photo-not = { $photo } ist kein Bild in JPEG, PNG oder WebP
findings_jobs-photo-not-fix = speichern Sie es als eines davon
findings_jobs-photo-broken = { $photo } lässt sich nicht entschlüsseln: Es ist beschädigt oder abgeschnitten ({ $error })
findings_jobs-photo-broken-fix = exportieren Sie es noch einmal
findings_jobs-photo-large = { $photo } hat { $what } Bildpunkte, und höchstens { $most } werden entschlüsselt
findings_jobs-photo-large-fix = machen Sie es kleiner
