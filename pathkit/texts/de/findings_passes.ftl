findings_passes-tabs-count = HoldTabs: count ist { $given }; geben Sie eine ganze Zahl ab 1 an, oder "auto"
findings_passes-tabs-material = HoldTabs: count ist "auto", aber was Haltestege aus { $material } tragen, ist nicht bekannt; geben Sie eine Zahl an, etwa count = 4, oder eines dieser Materialien: { $names }
findings_passes-tabs-length = HoldTabs: { $field } ist { $given }; geben Sie mm über 0 an
findings_passes-tabs-least = HoldTabs: least_width ist { $given }; geben Sie mm über 0 an, und nicht mehr als width = { $width }
findings_passes-tabs-shape = HoldTabs: shape ist { $given }; eines von: { $names }
findings_passes-tabs-role = HoldTabs: keine Rolle heißt { $name }; es gibt: { $names }
findings_passes-tabs-push = ohne Drehzahl lässt sich nicht schätzen, wie stark der Fräser schiebt
findings_passes-tabs-push-fix = geben Sie seinem cutting eine Drehzahl (spindle), oder setzen Sie die Anzahl der Haltestege: count = 4
findings_passes-tabs-bear = die { $count } Haltestege, { FIGURE($width) } mm breit und { FIGURE($height) } mm hoch, für die Platz ist, tragen geschätzt { $percent } % dessen, was sie in { $material } tragen müssen (Sicherheit { FIGURE($safety) }, ein stumpfer Fräser: { $push } N längs, { $lift } N nach oben)
findings_passes-tabs-bear-fix = machen Sie sie breiter oder höher, fräsen Sie mit kleinerer Zustellung oder kleinerem Vorschub, oder setzen Sie ihre Anzahl: count = 4
findings_passes-tabs-no-room = eine Kontur von { FIGURE($length) } mm hat keinen Platz für { $count } Haltestege von { FIGURE($width) } mm Breite
findings_passes-tabs-each-piece = { $what } an jedem der { $count } Stücke, in die ihr Kern zerfällt
findings_passes-tabs-one-side = { $what }, außer auf einer Seite
findings_passes-tabs-needs = { $what } (jeder braucht { FIGURE($gap) } mm frei von Ecken, vom Eintauchen und von anderen Schnitten)
findings_passes-tabs-smaller-fix = geben Sie hold_tabs eine kleinere width oder count, oder halten Sie das Teil mit Klebeband (zones)
findings_passes-tabs-core-fix = { $what }, oder räumen Sie den Kern aus (core = "clear")
findings_passes-tabs-high = { FIGURE($height) } mm hohe Haltestege in { FIGURE($wood) } mm Holz (dem dünnsten zugelassenen) ließen es ungefräst
findings_passes-tabs-lower-fix = machen Sie sie niedriger: height = { $height } in hold_tabs
findings_passes-tabs-point = ein einzelner Punkt hat keine Kontur, an der Haltestege stehen könnten
findings_passes-tabs-point-fix = geben Sie ihm eine andere Rolle
findings_passes-tabs-sloped = { $bit } schneidet nicht in der Mitte, ginge aber hinter einem schrägen Haltesteg steil hinunter
findings_passes-tabs-sloped-fix = setzen Sie shape = "square" in hold_tabs, oder centre_cutting = true, falls der Fräser dort doch schneidet
findings_passes-tabs-square-fix = machen Sie seine Haltestege eckig, oder setzen Sie centre_cutting = true, falls der Fräser dort doch schneidet
findings_passes-tab-start = er beginnt in der Lücke des Haltestegs bei { FIGURE($at) } mm, wo er seine Tiefe nicht erreichen könnte
findings_passes-tab-start-fix = beginnen Sie anderswo, oder verschieben Sie den Haltesteg
findings_passes-tab-gap = kein Platz für einen Haltesteg von { FIGURE($width) } mm bei { FIGURE($at) } mm: Die Lücke wäre { FIGURE($gap) } mm
findings_passes-tab-gap-fix = machen Sie den Haltesteg schmaler, verschieben Sie ihn auf ein gerades Stück, oder halten Sie das Teil auf andere Weise
findings_passes-tabs-nothing = seine Haltestege lassen nichts zu fräsen übrig
findings_passes-tabs-nothing-fix = verlangen Sie weniger oder schmalere Haltestege

findings_passes-plunge = { $bit } schneidet nicht in der Mitte und darf daher nicht senkrecht ins Holz gehen
findings_passes-plunge-fix = tauchen Sie mit Ramp, Spiral oder Helix ein, oder setzen Sie centre_cutting = true, falls der Fräser dort doch schneidet
findings_passes-helix-post = eine Helix von { FIGURE($diameter) } mm lässt einen Zapfen stehen: Der Fräser ist nur { FIGURE($width) } mm breit
findings_passes-helix-post-fix = machen Sie die Helix nicht breiter als den Fräser
findings_passes-helix-stands = eine Helix von { FIGURE($diameter) } mm mit einem Fräser von { FIGURE($width) } mm lässt einen Zapfen stehen
findings_passes-helix-stands-fix = machen Sie sie höchstens so weit wie der Durchmesser des Fräsers
findings_passes-ramp-short = eine Rampe von { FIGURE($angle) }° hat nur { FIGURE($length) } mm der Kurve, um { FIGURE($drop) } mm hinunterzugehen
findings_passes-ramp-short-fix = beginnen Sie weiter von einem Haltesteg, oder nehmen Sie eine Helix oder einen Fräser, der in der Mitte schneidet
findings_passes-ramp-slot = eine Rampe von { FIGURE($angle) }° hat nur { FIGURE($length) } mm der Kurve, um hinunterzugehen
findings_passes-ramp-slot-fix = nehmen Sie einen Fräser, der in der Mitte schneidet, oder einen kleineren
findings_passes-helix-turns = eine Helix von { FIGURE($diameter) } mm bei { FIGURE($angle) }° braucht { $turns } Umläufe für { FIGURE($drop) } mm
findings_passes-helix-turns-fix = machen Sie sie weiter oder steiler, oder gehen Sie senkrecht hinunter
findings_passes-spiral-laps = eine Spirale von { FIGURE($angle) }° um { FIGURE($length) } mm brauchte { $laps } Umläufe
findings_passes-spiral-laps-fix = nehmen Sie einen steileren Winkel, eine Helix, oder einen kleineren Fräser auf einer längeren Kontur
findings_passes-trace-steep = Punkt { $number } der Bahn im Raum wird senkrecht von oben oder steiler als 45° erreicht, aber { $bit } schneidet nicht in der Mitte
findings_passes-trace-steep-fix = beginnen Sie über dem Holz und gehen Sie schräg hinunter, oder nehmen Sie einen Fräser, der in der Mitte schneidet
findings_passes-ramp-rubs = { $bit } schneidet nicht in der Mitte und würde sich um { FIGURE($length) } mm Kontur unter { FIGURE($angle) } Grad hinunterreiben
findings_passes-ramp-rubs-fix = nehmen Sie einen schmaleren Fräser, oder einen, der in der Mitte schneidet (centre_cutting = true), oder einen Bohrer
findings_passes-ramp-point = { $bit } schneidet nicht in der Mitte und kann an einem einzelnen Punkt nicht schräg hinuntergehen
findings_passes-ramp-point-fix = nehmen Sie einen Bohrer oder einen Fräser, der in der Mitte schneidet, oder fräsen Sie das Loch auf einer Helix (Helix als entry) mit einem kleineren Fräser
findings_passes-ramp-helix = RampEntries: helix_diameter ist { $given }; geben Sie mm über 0 an, oder None
findings_passes-ramp-angle = RampEntries: angle ist { $given }; geben Sie Grad über 0 und bis { $most } an

findings_passes-torn = { FIGURE($length) } mm seiner Oberkante werden zuerst nicht tiefer gefräst als die { FIGURE($tip) } mm lange, nach oben schneidende Spitze
findings_passes-torn-fix = machen Sie seine erste Ebene tiefer als { FIGURE($tip) } mm und tauchen Sie im Abfall ein, oder nehmen Sie einen anderen Fräser
findings_passes-tip = die nach oben schneidende Spitze seines Kompressionsfräsers kann seine Oberkante ausreißen: { $why }
findings_passes-tip-fix = fräsen Sie ihn mit einem anderen Fräser, oder mit einer Zustellung tiefer als die Spitze

findings_passes-order-option = OrderTravel: { $field } ist { $given }; eines von: { $names }
findings_passes-order-effort = OrderTravel: effort ist { $given }; geben Sie eine Zahl ab 0 an
findings_passes-order-seed = OrderTravel: seed ist { $given }; geben Sie eine ganze Zahl ab 0 an
findings_passes-order-seconds = OrderTravel: seconds ist { $given }; geben Sie Sekunden über 0 an, oder None
findings_passes-load-shares = slowest = { $slowest }, fastest = { $fastest }: Anteile des Vorschubs zu beiden Seiten davon; geben Sie slowest bis 1 und fastest ab 1 an, etwa 0.6 und 1.6
findings_passes-load-material = für { $material } sind keine Spandicken bekannt; es gibt: { $names }
findings_passes-stopped-before = angehalten vor: { $names }
findings_passes-stopped-before-fix = lassen Sie sie laufen, bevor der Auftrag gefräst wird
findings_passes-lowering-stopped = die Umsetzung wurde angehalten, bevor das Programm vollständig war
findings_passes-spindle-stopped = er würde bei stehender Spindel fräsen
findings_passes-spindle-stopped-fix = geben Sie seinem cutting eine Drehzahl (spindle)
findings_passes-spindle = seine Drehzahl ist { $speed } U/min, aber { $machine } dreht mit { $low } bis { $high } U/min
findings_passes-spindle-fix = wählen Sie eine Drehzahl, die die Maschine hat, und einen passenden Vorschub

findings_passes-pipeline-list = Pipeline nimmt eine Liste von Durchgängen und hat { $why } bekommen; setzen Sie das in eine Liste: [...]
findings_passes-pass-class = Durchgang { $number } ist die Klasse { $name }; geben Sie eine Instanz an: { $call }
findings_passes-pass-given = Durchgang { $number } ist { $given }; geben Sie ein Objekt mit name, promises und __call__ an

findings_passes-promise-board = beim Auftrag hat sich { $field } geändert
findings_passes-promise-toolpaths = Werkzeugwege verloren: { $lost }, hinzugekommen: { $added }
findings_passes-promise-order = die Reihenfolge der Werkzeugwege hat sich geändert
findings_passes-promise-field = { $field } von { $path } hat sich von { $before } zu { $after } geändert
findings_passes-promise-cutting = { $field } von { $path } hat sich geändert
findings_passes-promise-pairs = Paare verloren oder hinzugekommen: { $pairs }
findings_passes-promise-early = { $path } wird vor { $other } gefräst
findings_passes-promise-tab = der Haltesteg von { $path } bei x { FIGURE($x) } y { FIGURE($y) } ist verschoben oder verschwunden
findings_passes-promise-tabs-through = { $path } hat Haltestege bekommen, fräst aber nicht durch
findings_passes-promise-tab-high = ein Haltesteg von { $path } ist so hoch, wie die Platte dick ist
findings_passes-promise-lost = { $path } von seinem Holz bis z = { FIGURE($z) } wird nicht mehr gefräst
findings_passes-promise-new = { $path } von seinem Holz bis z = { FIGURE($z) } war nicht verlangt
findings_passes-promise-level = eine Ebene von { $path } nimmt { FIGURE($bite) } mm, mehr als seine Zustellung von { FIGURE($stepdown) } mm
findings_passes-promise-plunge = { $path } ginge senkrecht hinunter mit { $bit }, und der schneidet nicht in der Mitte
findings_passes-promise-opened = { $path } wurde geöffnet oder geschlossen
findings_passes-promise-vertices = { $path } hat Eckpunkte, die er nicht hatte, oder hat ein Ende verloren
findings_passes-promise-feed = { $path } wird mit anderem Vorschub gefräst
findings_passes-promise-strays = { $path } weicht um { FIGURE($by) } mm von dem ab, was er war
findings_passes-promise-tabs-other = { $path } hat andere Haltestege, oder schmalere
findings_passes-promise-entry-other = { $path } hat einen anderen Weg ins Holz, oder einen kürzeren
findings_passes-promise-tab-room = { $path } hat einen Haltesteg, für den kein Platz ist
findings_passes-promise-elsewhere = { $path } hat einen Haltesteg, einen Anfang oder einen Weg ins Holz, der { FIGURE($by) } mm von seinem früheren Platz endet
findings_passes-promise-stretch = { $path } hat einen Haltesteg, einen Anfang oder einen Weg ins Holz auf einem anderen Stück
findings_passes-promise-edge = mehr von der Oberkante von { $path } wird zuerst von der Spitze allein gefräst

findings_passes-refused-pvc = Ein Fräser, der reibt, erhitzt es, bis es Chlorwasserstoff abgibt, der die Lunge schädigt und die Maschine angreift (Chemie der Kunststoffe, aus dem Gedächtnis)
findings_passes-refused-carbon = Sein Staub leitet und dringt in Motoren und Elektronik ein, und seine Fasern schädigen Lunge und Haut; gefräst wird es nass oder in einem Gehäuse (übliche Praxis, ohne Quelle)
findings_passes-refused-glass = Sein Staub schädigt Lunge, Augen und Haut (fibrous glass dust, NIOSH Pocket Guide to Chemical Hazards, aus dem Gedächtnis); Leiterplatten bestehen daraus
findings_passes-refused-cement = Sein Staub enthält kristallines Siliciumdioxid, das Krebs erzeugt (IARC Monographs, Band 100C, aus dem Gedächtnis); alte Platten können Asbest enthalten
findings_passes-refused-treated = Sein Staub enthält, was es vor Fäulnis schützt: in älterem Holz Arsen und Chrom, die Krebs erzeugen (IARC Monographs, Band 100C, aus dem Gedächtnis)
findings_passes-refused-unknown = Was sein Staub und sein Rauch anrichten, ist nicht bekannt; besorgen Sie zuerst sein Sicherheitsdatenblatt
