# The page on which a cut is watched, without its script (see watch.ftl).

preview-title = { $title }: preview for { $machine }
preview-of = Preview of the cut on <strong>{ $machine }</strong>, from the text of the cut file.
preview-of-job = Preview of the cut on <strong>{ $machine }</strong>, from the text of the cut file. Job <code>{ $mark }</code>.
preview-cut-nothing = Cut nothing from this file
preview-wrong = The proof found { $count ->
    [one] { $count } error
   *[other] { $count } errors
 } in it; they are listed below.
preview-no-script = This page needs a browser that runs scripts.
preview-watch = The cut
preview-over = The board from above; the lines under it say the same in words
preview-known = The board from above, as it lies before you: you stand below the picture.
preview-unknown = The moves from above. The board is not known: shading counts from Z 0 down.
preview-side = The board cut through where the bit last cut, seen from the front
preview-play = Play
preview-time-in-cut = Time in the cut
preview-line-back = One line back
preview-line-on = One line on
preview-back = ‹ line
preview-on = line ›
preview-speed = Speed
preview-travel = travel
preview-time = Time
preview-line = Line
preview-bit = Bit
preview-depth = Depth
preview-feed = Feed
preview-doing = Doing
preview-code = The file around the line that runs
preview-keys = Keys and touch
preview-keys-do = <kbd>Space</kbd> plays and pauses. <kbd>←</kbd> <kbd>→</kbd> go one line back and on, <kbd>Page Up</kbd> <kbd>Page Down</kbd> a twentieth of the time, <kbd>Home</kbd> to the start, <kbd>End</kbd> to the end. A touch of the board leads to the moment when the bit cuts there, another touch to the next.
preview-times = Times are those of the controller's planner. Heights are for a board of nominal thickness. Shading shows how deep the wood is cut so far; tabs, and what bends, lifts or breaks off, are not judged here.

# What happens between moves and takes a person's attention.
preview-event-file = Next file: { $name }
preview-event-bit = Bit: { $name }
preview-event-bit-number = Bit T{ $number }
preview-event-pause-for = Pause: { $message }
preview-event-pause = Pause
preview-event-waits = Waits { $seconds } s
preview-event-spindle-on = Spindle on, { $speed } rpm
preview-event-spindle-off = Spindle off
preview-event-coolant = Coolant { $kind ->
    [flood] flood
    [mist] mist
   *[off] off
 }
preview-event-end = End of the file
preview-rehearsal = rehearsal of { $machine }
preview-event-beam = { $mode ->
    [off] Beam off
   *[other] Beam ready
 }

# The same of a beam, whose power stands where a bit's depth does.
preview-bit-beam = Beam
preview-depth-beam = Power
preview-unknown-beam = The moves from above. The board is not known.
preview-keys-do-beam = <kbd>Space</kbd> plays and pauses. <kbd>←</kbd> <kbd>→</kbd> go one line back and on, <kbd>Page Up</kbd> <kbd>Page Down</kbd> a twentieth of the time, <kbd>Home</kbd> to the start, <kbd>End</kbd> to the end. A touch of the board leads to the moment when the beam burns there, another touch to the next.
preview-times-beam = Times are those of the controller's planner. Shading shows with which share of its full power the beam went over a place, as the file asks for it; what that burns, and how deep, is not judged here.
