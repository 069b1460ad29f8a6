# The picture of a machine from above; $hand is left or right.

compass-title = { $name }: X+ { $x ->
    [right] right
    [left] left
    [away] away
   *[toward] toward
}, Y+ { $y ->
    [right] right
    [left] left
    [away] away
   *[toward] toward
}, zero { $corner ->
    [front-left] front-left
    [front-right] front-right
    [back-left] back-left
    [back-right] back-right
   *[centre] centre
}
compass-seen = seen from above
compass-bed = bed
compass-board = board
compass-you = you stand here, at the front
compass-way = The bit goes this way over the board. Z+ is { $z ->
    [up] up
   *[down] down
}. { $hand ->
    [left] Left-handed: rare, look again.
   *[right] Right-handed.
}
