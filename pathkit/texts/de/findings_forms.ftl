findings_forms-given-class = { $field } ist die Klasse { $name }
findings_forms-given-a = { $field } ist vom Typ { $type }
findings_forms-given-an = { $field } ist vom Typ { $type }
findings_forms-given-a-value = { $field } ist { $shown }, vom Typ { $type }
findings_forms-given-an-value = { $field } ist { $shown }, vom Typ { $type }
findings_forms-number-fix = übergeben Sie eine Zahl
findings_forms-whole-number-fix = übergeben Sie eine ganze Zahl
findings_forms-pass-a = übergeben Sie { $either }
findings_forms-pass-an = übergeben Sie { $either }
findings_forms-pass-a-made = übergeben Sie { $either }: { $why }
findings_forms-pass-an-made = übergeben Sie { $either }: { $why }

findings_forms-value = { $field } ist { $shown }
findings_forms-value-not-text = { $field } ist { $shown }, kein Text
findings_forms-value-not-number = { $field } ist { $shown }, keine Zahl
findings_forms-value-empty = { $field } ist leer
findings_forms-value-finite-fix = geben Sie eine endliche Zahl an
findings_forms-value-more-fix = es muss mehr als { $limit } sein
findings_forms-value-least-fix = es muss mindestens { $limit } sein
findings_forms-value-most-fix = es darf höchstens { $limit } sein
findings_forms-value-less-fix = es muss weniger als { $limit } sein
findings_forms-value-tuple-fix = übergeben Sie ein Tupel
findings_forms-value-members-fix = übergeben Sie { $count } Werte in einem Tupel
findings_forms-value-dict-fix = übergeben Sie ein dict
findings_forms-value-whole-fix = eine ganze Zahl
findings_forms-value-either-fix = true oder false
findings_forms-value-python-fix = True oder False
findings_forms-value-finite = eine endliche Zahl
findings_forms-value-whole-unquoted = eine ganze Zahl ohne Anführungszeichen
findings_forms-value-number-unquoted = eine Zahl ohne Anführungszeichen
findings_forms-value-quoted = Text in Anführungszeichen
findings_forms-value-list = eine Liste in eckigen Klammern
findings_forms-value-whole-range = eine ganze Zahl von { $low } bis { $high }
findings_forms-value-finite-every = jede Zahl muss endlich sein
findings_forms-value-length = mm ohne Anführungszeichen, oder ein Text mit seiner Einheit, wie "5.5in", "1/4in" oder "140mm"
findings_forms-value-feed = mm/min ohne Anführungszeichen, oder ein Text mit seiner Einheit, wie "100in/min" oder "2500mm/min"
findings_forms-controls-fix = lassen Sie Steuerzeichen wie Tabulatoren und Zeilenenden weg
findings_forms-names-differ-fix = die Namen müssen sich unterscheiden
findings_forms-numbers-differ-fix = die Nummern müssen sich unterscheiden
findings_forms-called-twice = zwei heißen { $shown } ({ $things })

findings_forms-field-wrong = { $field }: { $known }
findings_forms-field-wrong-given = { $field }: { $known }, nicht { $shown }
findings_forms-known-here = hier bekannt: { $names }
findings_forms-renamed-fix = schreiben Sie { $field } = { $shown }
findings_forms-nested-deep = Werte sind zu tief verschachtelt
findings_forms-nested-more = Werte sind mehr als { $count } tief verschachtelt

findings_forms-file-not-there = { $file } ist nicht da und lässt sich daher nicht lesen
findings_forms-file-unreadable = { $file } lässt sich nicht lesen: { $why }
findings_forms-file-not-text = { $file } lässt sich nicht lesen: kein Text in UTF-8 (Byte { $byte })
findings_forms-file-large = { $file } ist größer als { $size } Byte, und mehr wird nicht gelesen
findings_forms-file-name-fix = prüfen Sie den Namen
findings_forms-file-within-fix = nennen Sie eine Datei darin
findings_forms-file-pipe-fix = schreiben Sie ihren Inhalt in eine Datei, und nennen Sie diese
findings_forms-file-fix = nennen Sie eine Datei
findings_forms-file-utf8-fix = speichern Sie sie als UTF-8

findings_forms-dialect-there = { $package } stellt schon einen Dialekt namens { $name } bereit
findings_forms-dialect-there-fix = geben Sie Ihrem einen anderen Namen, oder übergeben Sie ihn mit post(…, dialect=…)
findings_forms-plugin-left-out = die Erweiterung { $name } von { $package } ist weggelassen: { $error }
findings_forms-plugin-failed = { $package }: { $hook } ist gescheitert: { $error }
findings_forms-plugin-unusable = die Erweiterung von { $package } ist nicht zu gebrauchen: { $error }
findings_forms-plugin-fix = reparieren oder entfernen Sie dieses Paket
findings_forms-provided-twice = zwei Pakete stellen { $kind ->
    [dialect] einen Dialekt
    [pass] einen Durchgang
    [machine] eine Maschine
    [check] eine Prüfung
   *[other] { $kind }
 } namens { $name } bereit: { $every }; entfernen Sie eines davon
findings_forms-none = { $kind ->
    [dialect] kein Dialekt
    [pass] kein Durchgang
    [machine] keine Maschine
    [check] keine Prüfung
   *[other] kein { $kind }
 } heißt { $shown }
findings_forms-and-plugin-left-out = { $what }; die Erweiterung { $name } von { $package } ist weggelassen: { $error }
findings_forms-and-plugin-failed = { $what }; { $package }: { $hook } ist gescheitert: { $error }
findings_forms-no-language = in der Sprache { $language } gibt es keine Texte; wählen Sie eine von { $names }

findings_forms-must-greater = { $field }: muss größer als { $limit } sein, nicht { $shown }
findings_forms-must-least = { $field }: muss mindestens { $limit } sein, nicht { $shown }
findings_forms-must-less = { $field }: muss kleiner als { $limit } sein, nicht { $shown }
findings_forms-must-most = { $field }: darf höchstens { $limit } sein, nicht { $shown }
findings_forms-must-number = { $field }: muss eine Zahl sein, nicht { $shown }
findings_forms-must-whole = { $field }: muss eine ganze Zahl sein, nicht { $shown }
findings_forms-must-whole-fraction = { $field }: muss eine ganze Zahl ohne Nachkommastellen sein, nicht { $shown }
findings_forms-must-finite = { $field }: muss eine endliche Zahl sein, nicht { $shown }
findings_forms-must-text = { $field }: muss ein Text sein, nicht { $shown }
findings_forms-must-list = { $field }: muss eine Liste sein, nicht { $shown }
findings_forms-must-either = { $field }: muss true oder false sein, nicht { $shown }
findings_forms-must-choice = { $field }: muss { $either } sein, nicht { $shown }
findings_forms-must-items = { $field }: Die Liste muss mindestens { $least } Einträge haben, nicht { $count }
findings_forms-must-item = { $field }: Die Liste muss mindestens 1 Eintrag haben, nicht { $count }
findings_forms-must-few-items = { $field }: Die Liste darf höchstens { $most } Einträge haben, nicht { $count }
findings_forms-must-character = { $field }: Der Text muss mindestens 1 Zeichen haben, nicht { $shown }
findings_forms-must-characters = { $field }: Der Text darf höchstens { $most } Zeichen haben, nicht { $shown }
findings_forms-must-pattern = { $field }: Der Text muss dem Muster { $pattern } entsprechen, nicht { $shown }

findings_forms-two = { $known }; { $also }
