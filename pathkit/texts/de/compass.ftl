# Das Bild einer Maschine von oben; $hand ist left oder right.

compass-title = { $name }: X+ { $x ->
    [right] nach rechts
    [left] nach links
    [away] von Ihnen weg
   *[toward] auf Sie zu
}, Y+ { $y ->
    [right] nach rechts
    [left] nach links
    [away] von Ihnen weg
   *[toward] auf Sie zu
}, Nullpunkt { $corner ->
    [front-left] vorne links
    [front-right] vorne rechts
    [back-left] hinten links
    [back-right] hinten rechts
   *[centre] in der Mitte
}
compass-seen = von oben gesehen
compass-bed = Tisch
compass-board = Platte
compass-you = hier stehen Sie, vor der Maschine
compass-way = So fährt der Fräser über der Platte. Z+ ist { $z ->
    [up] oben
   *[down] unten
}. { $hand ->
    [left] Linkshändig: selten, bitte prüfen.
   *[right] Rechtshändig.
}
