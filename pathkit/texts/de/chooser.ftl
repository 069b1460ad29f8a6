chooser-title = { $title }: die Datei für Ihre Maschine finden
chooser-say = Sagen Sie, wie Ihre Maschine vor Ihnen steht, und diese Seite nennt die eine Datei dafür. Auftrag <code>{ $mark }</code>. Nichts, was Sie wählen, wird gespeichert oder gesendet.
chooser-no-script = Diese Seite braucht einen Browser, der Skripte ausführt. Fragen Sie sonst die Person, von der Sie diesen Ordner haben, welche Datei Ihre ist. Raten Sie nicht.
chooser-for-the-maker = Für die Person, die das erstellt hat: alle { $count } Ordner
chooser-as-designed = { $bit } (wie entworfen)
chooser-not-built = sie wurde nicht erzeugt
chooser-could-not-be-built = sie konnte nicht erzeugt werden
