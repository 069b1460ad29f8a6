# The picture of a cut file: labels in it, its key, and what it shows in words.

draw-what-file = { $name }: what the cut file does, seen from above
draw-what-files = { $name }: what the cut files do, seen from above
draw-for = { $file } for { $machine }
draw-before-after = before: { $before }; after: { $after }
draw-stand-here = you stand on this side
draw-zero = zero
draw-start = { $number }
draw-start-line = { $number }: line { $line }
draw-start-named = { $number }: { $name }
draw-start-named-line = { $number }: { $name }, line { $line }
draw-unknown-board = The board is not known
draw-drawn-to = Drawn to { $length }
draw-zero-outside = X0 Y0 lies outside the picture

draw-depths = Depth of the cuts
draw-below-top = down to, below the top of the board
draw-down-to = down to
draw-marks = Marks
draw-mark-bit = the bit’s width about its path
draw-mark-travel = travel
draw-mark-start = a toolpath begins, in order
draw-mark-tab = tab: the cut rises
draw-mark-zero = X0 Y0 of the file
draw-mark-tape = tape
draw-mark-clamp = clamps and screws: keep off

draw-travel = travel { $travel }
draw-travel-less = travel { $travel }, { $percent } % less
draw-travel-more = travel { $travel }, { $percent } % more
draw-is-before = before: { $caption }
draw-is-after = after: { $caption }
draw-cuts = cuts { $cuts }, { $toolpaths ->
    [one] { $toolpaths } toolpath
   *[other] { $toolpaths } toolpaths
 }

# For those who cannot see the picture.
draw-told = { $file } for { $machine }:{ $board ->
    [unknown] {""}
   *[known] {" "}a board of { $across } by { $away },
 } { $cuts ->
    [none] no cuts,
   *[some] { $cuts } of cuts in { $toolpaths ->
        [one] { $toolpaths } toolpath
       *[other] { $toolpaths } toolpaths
    }, the deepest at { $deepest },{ $depth ->
        [unknown] {""}
       *[known] {" "}{ $depth } below the top of the board,
    }
 } { $tabs ->
    [one] { $tabs } tab
   *[other] { $tabs } tabs
 }, and { $travel } of travel.
draw-not-drawn = { $count } moves are not drawn: the file does not say from where they go.
