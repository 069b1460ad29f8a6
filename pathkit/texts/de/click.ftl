# Was die Bibliothek der Befehlszeile zu Wörtern sagt, die sie nicht annehmen kann.

click-no-option = Die Option { $option } gibt es nicht.
click-no-option-like = Die Option { $option } gibt es nicht. Meinten Sie { $other }?
click-no-option-like-several = Die Option { $option } gibt es nicht. (Meinten Sie eine von { $others }?)
click-no-command = Den Befehl { $command } gibt es nicht.
click-no-command-like = Den Befehl { $command } gibt es nicht. Meinten Sie { $other }?
click-no-command-like-several = Den Befehl { $command } gibt es nicht. (Meinten Sie einen von { $others }?)
click-missing-argument = Das Argument { $name } fehlt.
click-missing-option = Die Option { $name } fehlt.
click-missing-option-choose = Die Option { $name } fehlt. Eines davon: { $choices }
click-missing-command = Der Befehl fehlt.
click-extra = Ein Argument zu viel ({ $words })
click-extra-several = Argumente zu viel ({ $words })
click-needs-value = Die Option { $name } braucht einen Wert.
click-no-value = Die Option { $name } nimmt keinen Wert an.
click-invalid = Ungültiger Wert für { $name }: { $why }
click-invalid-choice = Ungültiger Wert für { $name }: { $given } ist keines von { $choices }.
click-invalid-only-choice = Ungültiger Wert für { $name }: { $given } ist nicht { $choice }.
click-invalid-integer = Ungültiger Wert für { $name }: { $given } ist keine ganze Zahl.
click-invalid-integer-range = Ungültiger Wert für { $name }: { $given } ist keine ganze Zahl.
click-invalid-float = Ungültiger Wert für { $name }: { $given } ist keine Zahl.
click-invalid-float-range = Ungültiger Wert für { $name }: { $given } ist keine Zahl.
click-invalid-range = Ungültiger Wert für { $name }: { $given } liegt nicht im Bereich { $range }.
