# The comments of files to begin from (pathkit.starters): word for word as they stand in the code, which finds them by that.

starters-job = A job file: what is cut, from which boards, with which bits, on which machines. It builds as it is: change what is yours. Lengths are in mm, feeds in mm/min; "1/4in" and "100in/min" in quotes are taken too. What a key means: pathkit schema KEY, as in pathkit schema stepdown.
starters-language = What language sheets and pages are in, for whoever receives the files.
starters-name = What the cut files, sheets and folders are called by.
starters-material = What the board is made of: feeds are held against what is usual for it.
starters-thickness = How thick the board is, mm. Measure it: plywood is often thinner than it is called.
starters-tolerance = By how much a board may be thicker or thinner and still be cut right, mm.
starters-z-zero = Where the height 0 is: "bed" (under the waste sheet), since cuts go right through; or "top" of the board.
starters-underlay = A sheet of waste under the board, mm: the bit goes a little into it, and never into the bed.
starters-grain = Which way the grain runs, degrees from x: 0 is along the width.
starters-board = A size of board. With several [[board]] tables each machine takes the largest that fits its bed.
starters-width = From left to right, mm.
starters-depth = Away from you, mm.
starters-bit = The bit. Its name is your own.
starters-diameter = How wide it cuts, mm. Measure a resharpened bit.
starters-flutes = Cutting edges: feeds are reckoned with them.
starters-centre-cutting = true only for a bit that cuts in the middle of its end: then it may go straight down.
starters-cut-length = Length of the flutes, mm. Measure it and take the # away: too deep a cut is then refused.
starters-feeds = Feeds and speeds. The manual of your machine and the figures of whoever made your bit come first. These are a starting point, reckoned from the usual chips of such a bit: try them on waste, and listen.
starters-feed = Along the cut, mm/min.
starters-plunge = Straight down, mm/min.
starters-spindle = Turns of the spindle, rpm.
starters-copies = "fill": as many as fit on one board; or a number, on as many boards as it takes.
starters-web = Wood that stays between the cuts of two parts, mm.
starters-margin = What stays free along the edges of the board, mm.
starters-align = Where all the copies lie on the board: in the "corner" at its zero, or in its "centre".
starters-tabs = Tabs hold each part until you cut them by hand: how many, how wide and how high, mm.
starters-effort = How hard to search for short travel: 1 is usual, 0 takes the first order that is found.
starters-tape = Two-sided tape under each part, clear of every cut: nothing is clamped.
starters-tag = A key tag for the keys of the makerspace. It is drawn in its own frame: x to the right, y away from you.
starters-part-name = What the part is called on the sheet.
starters-tag-edge = The edge: its width and depth, and the radius that rounds its corners, mm.
starters-tag-hole = The hole for the ring: centre and radius, mm.
starters-tag-tape = Where the tape is: corner is its front left one.
starters-order = What is inside a part is cut before the outline that frees it, whatever the order here.
starters-tag-kind = What is done: "drill" makes a hole, wider ones round and round. Others: "contour" follows a line, "pocket" clears an area; also "slot", "engrave", "chamfer".
starters-shape = Which shape is cut.
starters-bottom = How deep: true is right through, {"{"} from_top = 2 {"}"} would be 2 mm deep. See pathkit schema bottom.
starters-stepdown = How much deeper at a time, mm.
starters-side = Where the bit runs: "outside" of the part (this frees it), "inside" of an opening, or "on" the line itself.
starters-part = The part, as it is drawn: x to the right, y away from you.
starters-drawing = The drawing, beside this file. layer = "…" or colour = "…" choose from it; size = [width, depth] is what it must measure, mm: write it down, and a drawing in the wrong unit is refused.
starters-drawn-kind = What is done: "contour" follows a line, "pocket" clears an area; also "slot", "drill", "engrave", "chamfer".
starters-drawn-side = Where the bit runs: "outside" of what is drawn (and inside of the holes in it), "inside", or "on" the line itself.
starters-drawn-tape = Where the tape is, well within the outline: centre and radius, mm.
starters-machines = The machines to build for: a profile beside this file (pathkit machine new), or a name (pathkit machines).
starters-turned = quarter turns of the board, counter-clockwise: it fits this bed only so
starters-no-machine = No machine that is installed has a bed for this board. Describe yours (pathkit machine new --out mine.toml), then take the # away here, or name it with --machine.

# Of machine profiles.
starters-origin = The corner of the board that the controller calls X0 Y0, as you stand at the front.
starters-axes = Where the bit goes over the board as each number grows; a table that moves goes the other way.
starters-travel = How far each axis moves, mm.
starters-motion = Careful guesses for X, Y and Z. Put in your controller's settings: run times depend on them, the path does not.
starters-control = "words": the file starts the spindle. "manual": it has its own switch, and the file pauses for it.
starters-unit-feed = mm/min
starters-unit-acceleration = mm/s2
starters-unit-speed = rpm
starters-unit-time = seconds
starters-park = Where the bit stands at the end, X and Y from the zero, mm: beside the board, so that its corner is free.
starters-change = Where bits are changed by hand, X and Y from the zero, mm; the bit waits there with the spindle off.
starters-change-height = mm higher than it travels anywhere on the board
