# Was an einem Anfang, an der Website oder an einem Befehl an die Prüfhilfen falsch ist.

findings_starters-dialect-name = { $name } kann kein Dialekt heißen: Kleinbuchstaben, Ziffern und einzelne Bindestriche, wie in my-router
findings_starters-dialect-taken = { $package } hat schon einen Dialekt namens { $name }; wählen Sie einen anderen Namen
findings_starters-dialect-title = der Titel { $title }: höchstens { $most } einfache Zeichen, ohne Anführungszeichen, geschweifte Klammern und umgekehrte Schrägstriche
findings_starters-folder-taken = { $path } ist schon da und nicht leer; wählen Sie mit --out einen anderen Ort
findings_starters-machine-name = der Name { $name }: geben Sie einen von 1 bis { $most } Zeichen an
findings_starters-left-handed = X { $x }, Y { $y }, Z { $z } ergeben ein linkshändiges System, und das ist selten: Fahren Sie X+, Y+ und Z+ noch einmal von Hand. Ist es linkshändig, bestätigen Sie mit --left-handed; sonst würden die Teile spiegelverkehrt
findings_starters-right-handed = X { $x }, Y { $y }, Z { $z } ergeben ein rechtshändiges System; lassen Sie --left-handed weg
findings_starters-svg-is = --svg ist { $file }: { $what }
findings_starters-usual-chips = üblich in { $material } sind für diesen Fräser { FIGURE($low) } bis { FIGURE($high) } mm je Zahn (übliche Praxis, ohne Quelle); die Werte darunter nehmen { FIGURE($chip) }
findings_starters-no-guide = die Anleitung { $name } fehlt in dieser Installation; installieren Sie pathkit neu
findings_starters-site-format = als { $kind } wird keine Website gemacht; es gibt: { $names }
findings_starters-site-there = { $path } ist schon da
findings_starters-site-there-fix = nennen Sie einen Ordner, den es noch nicht gibt
findings_starters-site-package = { $name } ist nicht installiert
findings_starters-site-warnings = die Website wurde nicht gemacht: { $warnings }
findings_starters-site-unwritten = die Website lässt sich nicht nach { $path } schreiben: { $why }
findings_starters-boards-most = boards: most ist { $given }; geben Sie 1 bis 6 Platten je Seite an
findings_starters-stocks-zero = stocks: z_zero enthält { $given }; geben Sie top, bed oder beides an
findings_starters-curves-size = curves: size ist { $given }; geben Sie zwei Längen von 2 bis 200 mm an, die kleinere zuerst
findings_starters-toolpaths-role = toolpaths: Keine Rolle heißt { $name }; es gibt: { $names }
findings_starters-jobs-least = jobs: least ist { $least } und most ist { $most }; geben Sie 0 ≤ least ≤ most an
