choose-stand-here = Sie stehen hier
choose-corner = Wo auf der Platte liegt der Nullpunkt? Es ist die Ecke, an der X und Y den Wert 0 haben.
choose-x = Verfahren Sie X von Hand, sodass der Wert wächst. Wohin bewegt sich der Fräser über der Platte?
choose-y = Verfahren Sie nun Y, sodass der Wert wächst. Wohin bewegt sich der Fräser?
choose-z = Verfahren Sie Z, sodass der Wert wächst; lassen Sie dabei nach oben und unten Platz. Wohin bewegt sich der Fräser?
choose-dialect = Welche Steuerung hat Ihre Maschine? Das steht in der Anleitung oder beim Einschalten auf dem Bildschirm.
choose-units = In welcher Einheit zeigt Ihre Steuerung Positionen an?
choose-board = Welche Platte fräsen Sie?
choose-bit = Welcher Fräser steckt in der Spindel? Messen Sie nach.
choose-question = { $number }. { $question }

choose-corner-front-left = vorne links
choose-corner-front-right = vorne rechts
choose-corner-back-left = hinten links
choose-corner-back-right = hinten rechts
choose-x-right = X wächst nach rechts
choose-x-left = X wächst nach links
choose-x-away = X wächst von Ihnen weg
choose-x-toward = X wächst auf Sie zu
choose-y-right = Y wächst nach rechts
choose-y-left = Y wächst nach links
choose-y-away = Y wächst von Ihnen weg
choose-y-toward = Y wächst auf Sie zu
choose-z-up = Z wächst nach oben
choose-z-down = Z wächst nach unten
choose-units-mm = Millimeter
choose-units-inch = Zoll
choose-board-named = { $name }: { $size }

choose-not-offered = Nicht im Angebot
choose-no-file = Für diese Wahl gibt es keine Datei: { $why }.
choose-not-made = sie wurde nicht erzeugt
choose-ask = Fragen Sie die Person, von der Sie diesen Ordner haben. Nehmen Sie nicht die Datei einer anderen Maschine.

choose-least = Das muss Ihre Maschine mindestens haben
choose-least-why = Die Dateien sind für jede Maschine nachgewiesen, die mindestens das hat. Eine kleinere kann Schritte verlieren, stehen bleiben oder an ihr Ende fahren.
choose-has-least = Meine Maschine hat mindestens all das.

choose-rehearse = Zuerst in der Luft proben
choose-prepare = Nehmen Sie den Fräser heraus, lassen Sie die Spindel aus, setzen Sie den Nullpunkt dort, wo Sie ihn für den Schnitt setzen, und räumen Sie die Maschine frei. Behalten Sie eine Hand am Not-Aus-Taster. Die Spannzange muss zuerst nach oben fahren. Fährt sie nach unten, halten Sie an: Dann wächst Z in die andere Richtung.
choose-letter-file = Die Buchstaben-Datei: Sie zeichnet einen Buchstaben über der Platte
choose-how-seen = Stellen Sie sich vor die Maschine. Wie sieht der Buchstabe aus?
choose-seen = So sah der Buchstabe aus
choose-seen-reads = ein lesbares F
choose-seen-left = eine Vierteldrehung nach links
choose-seen-upside-down = auf dem Kopf
choose-seen-right = eine Vierteldrehung nach rechts
choose-seen-mirrored-across = gespiegelt, links und rechts vertauscht
choose-seen-mirrored-away = gespiegelt, vorn und hinten vertauscht
choose-seen-mirrored-left = gespiegelt und nach links gedreht
choose-seen-mirrored-right = gespiegelt und nach rechts gedreht
choose-measure-file = Die Mess-Datei: Sie fährt zweimal eine bekannte Strecke hin und zurück
choose-measured = Sie fuhr { $across } zur Seite und { $away } von mir weg. Ich habe beides nachgemessen.
choose-frame-file = Die Rahmen-Datei: Sie fährt außerhalb der Kanten um die Platte
choose-frame-watch = . Achten Sie darauf, dass nichts im Weg ist.

choose-other-right-away = Dann ist das nicht die Datei für Ihre Maschine: X wächst nach rechts, Y wächst von Ihnen weg. Fräsen Sie nicht.
choose-other-right-toward = Dann ist das nicht die Datei für Ihre Maschine: X wächst nach rechts, Y wächst auf Sie zu. Fräsen Sie nicht.
choose-other-left-away = Dann ist das nicht die Datei für Ihre Maschine: X wächst nach links, Y wächst von Ihnen weg. Fräsen Sie nicht.
choose-other-left-toward = Dann ist das nicht die Datei für Ihre Maschine: X wächst nach links, Y wächst auf Sie zu. Fräsen Sie nicht.
choose-other-away-right = Dann ist das nicht die Datei für Ihre Maschine: X wächst von Ihnen weg, Y wächst nach rechts. Fräsen Sie nicht.
choose-other-away-left = Dann ist das nicht die Datei für Ihre Maschine: X wächst von Ihnen weg, Y wächst nach links. Fräsen Sie nicht.
choose-other-toward-right = Dann ist das nicht die Datei für Ihre Maschine: X wächst auf Sie zu, Y wächst nach rechts. Fräsen Sie nicht.
choose-other-toward-left = Dann ist das nicht die Datei für Ihre Maschine: X wächst auf Sie zu, Y wächst nach links. Fräsen Sie nicht.
choose-other-no-file = Dafür wird keine Datei angeboten.
choose-other-directions = Stattdessen diese Richtungen wählen

choose-files = Ihre Dateien
choose-about = Teile aus einer Platte: { $parts }. Laufzeit: { $time } auf einer Maschine, die die Liste oben gerade erfüllt, und nie unter { $quickest }.
choose-about-boards = Teile aus einer Platte: { $parts }. Fräsen Sie damit { $times } Platten. Laufzeit: { $time } auf einer Maschine, die die Liste oben gerade erfüllt, und nie unter { $quickest }.
choose-sheet = Das Einrichteblatt: Lesen Sie es ganz und folgen Sie ihm
choose-preview = Die Vorschau: Sehen Sie sich den Schnitt auf dem Bildschirm an
choose-air = Der Luftschnitt, derselbe Weg über der Platte: { $name }
choose-cut = Die Fräsdatei: { $name }
choose-proved = Nachgewiesen ist die Datei: dass diese Steuerung sie annimmt, dass sie auf einer solchen Maschine bleibt und dass sie diese Teile fräst. Ihr Fräser, Ihre Platte, Ihre Aufspannung und Ihre Maschine sind es nicht.

choose-fit = Müssen Teile ineinanderpassen? Fräsen Sie zuerst das Probestück
choose-fit-picture = Das Probestück von vorn: { $steps } mm von links nach rechts; links ist das Minuszeichen gefräst, rechts das Pluszeichen.
choose-fit-why = Fräser sind nie ganz so breit, wie sie angeben. Dieses Stück hat für jede Stufe der Passung eine Tasche und einen Schlitz, in mm, von eng beim − bis locker beim +. Wo die Passung 0 ist, sollen die Taschen { $recess } weit sein und die Schlitze { $slot }.
choose-fit-take = Nehmen Sie ein Stück derselben Platte, mindestens { $board }, und denselben Fräser.
choose-fit-sheet = Folgen Sie seinem eigenen Einrichteblatt
choose-fit-air = Fahren Sie seinen Luftschnitt: { $name }
choose-fit-cut = Fräsen Sie es: { $name }
choose-fit-find = Stecken Sie hinein, was hineingehört, oder messen Sie: Suchen Sie die Stelle, an der es passt, wie Sie es wollen, oder die das Maß hat, das sie haben soll.
choose-fit-tell = Nennen Sie der Person, von der Sie diesen Ordner haben, die Zahl an dieser Stelle und was Sie probiert haben. Sie erzeugt für Sie Dateien mit dieser Passung.

# Dasselbe, wo der Auftrag für einen Strahl ist.
choose-x-beam = Verfahren Sie X von Hand, sodass der Wert wächst. Wohin bewegt sich der Kopf über der Platte?
choose-y-beam = Verfahren Sie nun Y, sodass der Wert wächst. Wohin bewegt sich der Kopf?
choose-z-beam = Verfahren Sie Z, sodass der Wert wächst; lassen Sie dabei nach oben und unten Platz. Wohin bewegt sich der Kopf?
choose-board-beam = Welche Platte brennen Sie?
choose-bit-beam = Welchen Strahl hat Ihre Maschine? Messen Sie nach, wie breit eine Linie ist, die er brennt.
choose-prepare-beam = Sperren Sie den Strahl, setzen Sie den Nullpunkt dort, wo Sie ihn für den Auftrag setzen, und räumen Sie die Maschine frei. Behalten Sie eine Hand am Not-Aus-Taster. Der Kopf muss zuerst nach oben fahren. Fährt er nach unten, halten Sie an: Dann wächst Z in die andere Richtung.
choose-about-boards-beam = Teile aus einer Platte: { $parts }. Brennen Sie damit { $times } Platten. Laufzeit: { $time } auf einer Maschine, die die Liste oben gerade erfüllt, und nie unter { $quickest }.
choose-preview-beam = Die Vorschau: Sehen Sie sich den Auftrag auf dem Bildschirm an
choose-air-beam = Der Luftschnitt, derselbe Weg mit ausgeschaltetem Strahl: { $name }
choose-cut-beam = Die Datei, die brennt: { $name }
choose-proved-beam = Nachgewiesen ist die Datei: dass diese Steuerung sie annimmt, dass sie auf einer solchen Maschine bleibt und dass sie mit dem verlangten Vorschub und der verlangten Leistung an diesen Linien entlang brennt. Ihr Strahl, Ihr Material, Ihre Aufspannung und Ihre Maschine sind es nicht.
