preview-title = { $title }: Vorschau für { $machine }
preview-of = Vorschau des Schnitts auf <strong>{ $machine }</strong>, aus dem Text der Fräsdatei.
preview-of-job = Vorschau des Schnitts auf <strong>{ $machine }</strong>, aus dem Text der Fräsdatei. Auftrag <code>{ $mark }</code>.
preview-cut-nothing = Fräsen Sie nichts aus dieser Datei
preview-wrong = Die Prüfung hat darin { $count ->
    [one] { $count } Fehler
   *[other] { $count } Fehler
 } gefunden; unten sind alle aufgeführt.
preview-no-script = Diese Seite braucht einen Browser, der Skripte ausführt.
preview-watch = Der Schnitt
preview-over = Die Platte von oben; die Zeilen darunter sagen dasselbe in Worten
preview-known = Die Platte von oben, wie sie vor Ihnen liegt: Sie stehen unterhalb des Bildes.
preview-unknown = Die Bewegungen von oben. Die Platte ist nicht bekannt: Die Tönung zählt ab Z 0 nach unten.
preview-side = Die Platte im Schnitt, dort wo der Fräser zuletzt gefräst hat, von vorn gesehen
preview-play = Abspielen
preview-time-in-cut = Zeit im Schnitt
preview-line-back = Eine Zeile zurück
preview-line-on = Eine Zeile weiter
preview-back = ‹ Zeile
preview-on = Zeile ›
preview-speed = Tempo
preview-travel = Leerwege
preview-time = Zeit
preview-line = Zeile
preview-bit = Fräser
preview-depth = Tiefe
preview-feed = Vorschub
preview-doing = Vorgang
preview-code = Die Datei um die laufende Zeile
preview-keys = Tasten und Berührung
preview-keys-do = Die <kbd>Leertaste</kbd> startet und hält an. <kbd>←</kbd> <kbd>→</kbd> gehen eine Zeile zurück und weiter, <kbd>Bild auf</kbd> <kbd>Bild ab</kbd> ein Zwanzigstel der Zeit, <kbd>Pos 1</kbd> zum Anfang, <kbd>Ende</kbd> zum Ende. Eine Berührung der Platte führt zu dem Augenblick, in dem der Fräser dort schneidet, eine weitere zum nächsten.
preview-times = Die Zeiten sind die der Bahnplanung der Steuerung. Höhen gelten für eine Platte mit Nenndicke. Die Tönung zeigt, wie tief bisher gefräst ist; Haltestege und alles, was sich biegt, abhebt oder ausbricht, werden hier nicht beurteilt.

preview-event-file = Nächste Datei: { $name }
preview-event-bit = Fräser: { $name }
preview-event-bit-number = Fräser T{ $number }
preview-event-pause-for = Pause: { $message }
preview-event-pause = Pause
preview-event-waits = Wartet { $seconds } s
preview-event-spindle-on = Spindel an, { $speed } U/min
preview-event-spindle-off = Spindel aus
preview-event-coolant = Kühlung { $kind ->
    [flood] (Flut)
    [mist] (Nebel)
   *[off] aus
 }
preview-event-end = Ende der Datei
preview-rehearsal = Probe von { $machine }
preview-event-beam = { $mode ->
    [off] Strahl aus
   *[other] Strahl bereit
 }

# Dasselbe von einem Strahl, dessen Leistung dort steht, wo bei einem Fräser die Tiefe steht.
preview-bit-beam = Strahl
preview-depth-beam = Leistung
preview-unknown-beam = Die Bewegungen von oben. Die Platte ist nicht bekannt.
preview-keys-do-beam = Die <kbd>Leertaste</kbd> startet und hält an. <kbd>←</kbd> <kbd>→</kbd> gehen eine Zeile zurück und weiter, <kbd>Bild auf</kbd> <kbd>Bild ab</kbd> ein Zwanzigstel der Zeit, <kbd>Pos 1</kbd> zum Anfang, <kbd>Ende</kbd> zum Ende. Eine Berührung der Platte führt zu dem Augenblick, in dem der Strahl dort brennt, eine weitere zum nächsten.
preview-times-beam = Die Zeiten sind die der Bahnplanung der Steuerung. Die Tönung zeigt, mit welchem Anteil seiner vollen Leistung der Strahl über eine Stelle ging, wie die Datei es verlangt; was das verbrennt und wie tief, wird hier nicht beurteilt.
