# The setup sheet. Lengths, heights and places come with their units; bits and files by their names.

sheet-title = { $job }: { $machine }
sheet-running = <strong>{ $job }</strong> · job <code>{ $mark }</code> · { $machine }
sheet-for = Setup sheet for <strong>{ $machine }</strong>.
sheet-mark = Job <code>{ $mark }</code>: the first lines of the cut file must have the same mark.
sheet-cut-times = Cut this board <strong>{ $count ->
    [one] once
   *[other] { $count } times
 }</strong>.

# --- what people look for first ---------------------------------------------------------------------------------
sheet-fact-board = Board
sheet-fact-cut-file = Cut file
sheet-fact-zero-xy = Zero X, Y
sheet-fact-zero-z = Zero Z
sheet-fact-run-time = Run time
sheet-fact-bit = Bit
sheet-fact-parts = Parts
sheet-fact-lies = Board lies

sheet-board-of = { $material }, { $size }
sheet-material = { $material ->
    [softwood] softwood
    [hardwood] hardwood
    [plywood] plywood
    [mdf] mdf
    [hdf] hdf
    [bamboo] bamboo
    [cork] cork
    [acrylic] acrylic
    [hdpe] hdpe
   *[foam] foam
 }
sheet-then = { $first }, then { $next }
sheet-corner-of-board = { $corner ->
    [front-left] the front left corner
    [front-right] the front right corner
    [back-left] the back left corner
    [back-right] the back right corner
   *[centre] the middle
 } of the board
sheet-zero-on-top = top of the board
sheet-zero-on-bed = the bed itself
sheet-about-time = about { $time }
sheet-cuts = { $count } cuts
sheet-turned = { $turn ->
    [0] as drawn
    [1] a quarter turn to the left
    [2] half a turn
   *[3] a quarter turn to the right
 }

sheet-least = For any machine that has at least
sheet-least-why = Run the rehearsal files first, as the page on which you chose this sheet says. Run times are from the quickest machine to one that just meets this list.
sheet-look-first = Look at these first
sheet-cautions = Cautions

# --- the board on the bed ---------------------------------------------------------------------------------------
sheet-key-tape = tape
sheet-key-clamps = screws and clamps: keep off
sheet-key-depth = down to { $depth }
sheet-key-tabs = tabs
sheet-board-left = The board, as the cut file leaves it
sheet-board-measures = The board with its measures
sheet-measured = Measures in { $unit ->
    [inch] inches
   *[mm] mm
 } from the board's { $across ->
    [left] left
   *[right] right
 } edge and its { $along ->
    [front] front
   *[back] back
 } edge: parts to where they begin{ $tape ->
    [yes] , tape from edge to edge
   *[no] {""}
 }{ $screw ->
    [yes] , screws to their middle
   *[no] {""}
 }{ $clamp ->
    [yes] , clamps from edge to edge
   *[no] {""}
 }.
sheet-from-edge = From the { $edge ->
    [left] left
    [right] right
    [front] front
   *[back] back
 } edge: { $measures }.
sheet-zone-mark = { $kind ->
    [tape] tape
    [screw] screw
   *[clamp] clamp
 } { $number }
sheet-drawn-to = Drawn to { $length }.
sheet-no-room = Not all measures have room.
sheet-no-room-in-picture = Not all measures have room in the picture.
sheet-bed-known = The bed reaches { $across } to the side and { $away } away from you. The board is drawn where the job says that it lies.
sheet-bed-free = The bed reaches { $across } to the side and { $away } away from you. The board is drawn in its middle; lay it wherever the bit can reach all of it.
sheet-side-title = The board from the side: { $heights }
sheet-side-height = { $names } at { $height }

# A close-up of one part of each kind. Measures are numbers in the unit of the file.
sheet-parts = { $count ->
    [one] The part
   *[other] The parts
 }
sheet-part-measures = Measures in mm; places are (from the left, from the front) of the part as it lies.
sheet-part-measures-inch = Measures in inches; places are (from the left, from the front) of the part as it lies.
sheet-lettered = { $letter }: { $text }
sheet-part-like = { $name }, and { $count } like it
sheet-part-told = { $title }: { $across } wide and { $away } deep. { $lines }.
sheet-point = ({ $x },{"\u00A0"}{ $y })
sheet-form = { $kind ->
    [hole] hole ⌀ { $width }
    [slot] slot { $width } wide and { $length } long
    [opening] opening { $width } × { $length }
   *[recess] recess { $width } × { $length }
 }, { $depth ->
    [through] right through
   *[deep] { $depth } deep
 }{ $core ->
    [keep] , its core is held
    [drop] , its core lies loose
   *[clear] {""}
 }
sheet-detail = { $count ->
    [one] { $form }
   *[other] { $count } × { $form }
 }, { $round ->
    [yes] middle at
   *[no] begins at
 } { $places }{ $more ->
    [0] {""}
   *[other] {" "}and { $more } more
 }
sheet-part-tabs = { $count ->
    [one] { $count } tab
   *[other] { $count } tabs
 }, { $width } wide and { $height } high, at { $places }
sheet-part-chamfer = chamfered edges, { $width } wide
sheet-part-engraving = engraving, { $depth } deep
sheet-plan-title = { $job } on the bed of { $machine }, seen from where you stand
sheet-grain = grain
sheet-stand-here = you stand here
sheet-zero-label = zero
sheet-side-top = top
sheet-side-deepest = deepest
sheet-side-zero = zero

# --- zero ---------------------------------------------------------------------------------------------------------
sheet-zero = Zero
sheet-zero-corner = X0 Y0 is { $corner ->
    [front-left] the front left corner
    [front-right] the front right corner
    [back-left] the back left corner
    [back-right] the back right corner
   *[centre] the middle
 } of the board as it lies (the black mark).
sheet-zero-z-bed = Z0 is the bed: not the board. Touch off on the bed, clear of everything that lies on it.
sheet-zero-z-bed-underlay = Z0 is the bed: not the waste sheet and not the board. Touch off on the bed, clear of everything that lies on it.
sheet-zero-top-then = The board's top is then at { $height }. If the board covers the whole bed, measure how thick the board is, touch off on the board, and set Z to that.
sheet-zero-top-then-underlay = The board's top is then at { $height }. If the board covers the whole bed, measure how thick the waste sheet and the board are together, touch off on the board, and set Z to that.
sheet-zero-z-top = Z0 is the top of the board. Touch off on the board, where nothing is cut.
sheet-ways = As X grows the bit goes { $x ->
    [right] to the right
    [left] to the left
    [away] away from you
   *[toward] toward you
 }, as Y grows { $y ->
    [right] to the right
    [left] to the left
    [away] away from you
   *[toward] toward you
 }, as Z grows { $z ->
    [up] up
   *[down] down
 }, seen from the front and relative to the board. If the table moves instead, it goes the other way.
sheet-in-inches = The cut file is written in inches.
sheet-start-height = Before you start a file, see that the bit stands no higher than { $height }: its first move goes there.
sheet-start-place = The files take as X0 Y0 Z0 the place where the bit is when they start. Jog it there each time before you start a file: its tip on the top of the board, at { $corner ->
    [front-left] the front left corner
    [front-right] the front right corner
    [back-left] the back left corner
    [back-right] the back right corner
   *[centre] the middle
 }.

# --- hold-down ------------------------------------------------------------------------------------------------------
sheet-hold-down = Hold-down
sheet-underlay = Under the board lie { $thickness } of waste or tape.
sheet-underlay-cut = Under the board lie { $thickness } of waste or tape; through cuts go { $depth } into it.
sheet-measure-underlay = Measure the waste sheet: it must have that thickness all over.
sheet-tape = Two-sided tape under the { $count } shaded places, pressed down well.
sheet-screws = { $count ->
    [one] { $count } screw
   *[other] { $count } screws
 } where drawn, at most { $height } above the board; the path keeps off them.
sheet-clamps = { $count ->
    [one] { $count } clamp
   *[other] { $count } clamps
 } where drawn, at most { $height } above the board; the path keeps off them.
sheet-no-clamps = The job lists no screws or clamps. Keep the bit's way clear of anything that sticks up above the board.
sheet-nothing-holds = The job does not say what holds the board. Hold it so that no part moves as it comes free.
sheet-travel = The bit travels { $height } above the thickest board that the job allows, and as far above anything taller that it crosses.

# An estimate, never called proved. Figures come with their units but for percent.
sheet-estimate = Estimate, not proved: a dull bit pushes { $count ->
    [one] { $name }
   *[other] each of { $count } parts like { $name }
 } ({ $weight } heavy) with { $push } and lifts it with { $lift }.
sheet-estimate-tabs = That takes { $percent } % of what its { $count } tabs, { $width } wide and { $height } high, may be asked (safety { $safety }; { $alike ->
    [yes] strength of { $material } and cutting force: { $strength }
   *[no] strength of { $material }: { $strength }; cutting force: { $force }
 }).
sheet-estimate-tape = Tape under { $area } of it may be asked for { $newton } ({ $strength }, safety { $safety }; { $source }).

# --- bits and feeds --------------------------------------------------------------------------------------------------
sheet-bits = Bits and feeds
sheet-bits-bit = bit
sheet-bits-kind = kind
sheet-bits-number = number
sheet-bits-diameter = diameter
sheet-bits-flutes = flutes
sheet-bits-length = cutting length
sheet-bits-deepest = deepest cut
sheet-bits-pass = a pass
sheet-bits-feed = feed
sheet-bits-plunge = plunge
sheet-bits-rpm = rpm
sheet-bits-chip = chip
sheet-bits-time = time
sheet-bit-kind = { $kind ->
    [flat] flat
    [ball] ball
    [vee] vee
    [compression] compression
    [drill] drill
    [beam] beam
   *[other] { $kind }
 }
sheet-feed-limited = { $feed } (machine: { $limit })
sheet-share = This machine is asked for a share of what the job file says: <strong>{ $strength }</strong>. The table shows what is left.
sheet-feeds-mm = mm, mm a minute; chip: mm a tooth. Feeds are starting points: listen, and go slower on a less stiff machine.
sheet-feeds-inch = Inches, inches a minute; chip: inches a tooth. Feeds are starting points: listen, and go slower on a less stiff machine.

# --- what is seen of the cuts, in their order -------------------------------------------------------------------------
sheet-see = What you will see
sheet-see-from = from
sheet-see-what = what
sheet-see-bit = bit
sheet-see-cuts = cuts
sheet-see-depth = down to
sheet-see-time = time
sheet-see-it = it …
sheet-see-more = and { $count } more rows.
sheet-stage = { $stage ->
    [shallow] Recesses and engraving
    [chamfers] Chamfers
    [through] Holes and slots
    [burnt] Lines of a beam
    [outlines] Outlines
    [none] Cuts of no part
   *[other] Other cuts
 }
# Each goes on from "it …" in the table's head.
sheet-seen-down = { $entry ->
    [peck] goes straight down in pecks, up each time
    [helix] winds down on a helix
    [ramp] ramps down back and forth
    [spiral] goes round and round, always moving down
   *[plunge] goes straight down
 }
sheet-seen = { sheet-seen-down }, and { $role ->
    [pocket] clears the ground, level by level
    [finish] goes once round the wall
    [slot] runs along the slot
    [outline] goes round the part
    [engrave] follows the lines
    [chamfer] follows the edge
   *[other] follows its line
 }
sheet-seen-tabs-each = { $seen }; it hops over tabs, { $count ->
    [one] once
   *[other] { $count } times
 } on each
sheet-seen-tabs = { $seen }; it hops over tabs, { $count ->
    [one] once
   *[other] { $count } times
 } in all
sheet-chamfer = Chamfers { $width } wide.
sheet-chamfer-range = Chamfers { $width } wide on a board as thick as the job says: { $low } where its top lies lowest, { $high } where it lies highest, of all the boards that the job allows.

# --- step by step -------------------------------------------------------------------------------------------------------
sheet-steps = Step by step
sheet-step-cautions = Read the cautions above, and put on eye and ear protection.
sheet-step-measure = Measure the board: { $size } or more, { $thickness } thick, flat, free of nails and loose knots. Outside these bounds do not cut: ask for files for your board.
sheet-step-underlay = Lay the waste sheet, { $thickness } thick, on the bed, and the board on it.
sheet-step-fix = Fix the board as drawn above, its edges along the machine's axes. Pull on it: nothing may move.
sheet-step-fit = Fit { $bit }. Below the collet it must reach at least { $reach }.
sheet-step-directions = Check the directions: jog a little along X+ and Y+, and see that the bit goes where the arrows point.
sheet-step-zero = Set zero as described under Zero, X and Y first, then Z.
sheet-step-air = Air cut: take the bit out, leave the spindle off, and run { $file } to its end. Watch that it stays over the board and clear of everything.
sheet-step-cut = Put the bit back, set Z zero again, start the dust extraction, and run { $file }.
sheet-step-cut-manual = Put the bit back, set Z zero again, start the dust extraction, and run { $file }. When it pauses for the spindle, start it by hand at the speed in the table.
sheet-step-watch = Watch the bit enter the wood for the first time, with a hand at the stop button; stay for the rest.
sheet-step-end-manual = When the file pauses at its end, switch the spindle off, and let the file go on.
sheet-step-park = At the end the bit parks at { $place }.
sheet-step-stopped = Wait until the spindle has stopped. Remove the dust before you touch anything.
sheet-step-sand = Sand the edges where tabs were.
sheet-step-keep = Keep this sheet with the parts.
sheet-step-next-board = Lay the next board and start again at the second step, { $count } boards in all.
sheet-step-no-tabs = Take the parts out: no tabs hold them.
sheet-step-tabs = Each part is held by { $count ->
    [one] { $count } tab
   *[other] { $count } tabs
 }, { $width } wide and { $height } high. Cut them with a chisel or a fine saw from the top, with the board held down and your other hand out of the way, and push the part out from the top face downward.
sheet-step-tabs-sloped = Each part is held by { $count ->
    [one] { $count } tab
   *[other] { $count } tabs
 }, { $width } wide at the top, wider below, and { $height } high. Cut them with a chisel or a fine saw from the top, with the board held down and your other hand out of the way, and push the part out from the top face downward.
sheet-step-skin = A skin of { $thickness } joins the parts to the board. Lift the board off whole, turn it over, and slice or sand the skin away from below, with the work held flat and your other hand out of the way.
sheet-step-cores-held = { $count ->
    [one] { $count } opening leaves
   *[other] { $count } openings leave
 } a core, held as the parts are: take it out like a part.
sheet-step-cores-loose = { $count ->
    [one] { $count } opening leaves
   *[other] { $count } openings leave
 } a core that lies loose from the moment it is cut free. Do not reach for it while the spindle turns; if it lifts or wanders, stop the machine.

# A change of bit: each of these is a sentence, or several, of one step.
sheet-change = Change { $number } of { $count }. { $step }
sheet-change-ended = When { $file } has ended, the bit is up.
sheet-change-ended-at = When { $file } has ended, the bit is up, at { $place }.
sheet-change-waits = { $file } waits before its line { $line }, the bit up.
sheet-change-waits-at = { $file } waits before its line { $line }, the bit up, at { $place }.
sheet-change-still = The spindle is off: wait until it stands still.
sheet-change-still-manual = Switch the spindle off, and wait until it stands still.
sheet-change-air = Without a bit and with the spindle off, run the air cut { $file }.
sheet-change-jog = Jog it to the zero again.
sheet-change-z-bed = Set Z zero again, on the bed; X and Y stay as they are.
sheet-change-z-top = Set Z zero again, on top of the board, where nothing is cut; X and Y stay as they are.
sheet-change-run = Then run { $file } from its first line.
sheet-change-no-jog = While it waits the controller takes no jog and no zero: do not try. So the bit must stick out exactly as far as the one before it.
sheet-change-perhaps-bed = If your control takes a jog and a zero while it waits, do this now: Set Z zero again, on the bed; X and Y stay as they are. If it does not, the bit must stick out exactly as far as the one before it.
sheet-change-perhaps-top = If your control takes a jog and a zero while it waits, do this now: Set Z zero again, on top of the board, where nothing is cut; X and Y stay as they are. If it does not, the bit must stick out exactly as far as the one before it.
sheet-change-go-on = Let the file go on: it does so with line { $line }.

# --- what was proved ------------------------------------------------------------------------------------------------------
sheet-proved = What was proved
sheet-proved-controller = This controller takes every word of the file.
sheet-proved-room = It stays within what this machine moves, and how fast.
sheet-proved-shapes = It cuts every shape of the job, to its place and depth, and nothing goes into a part.
sheet-proved-entries = The bit enters the wood as the job asks, and never moves fast through it.
sheet-proved-holding = By the job's tape, screws and tabs no part comes loose while it is cut.
sheet-proved-order = The cuts come in the order that the job needs.
sheet-proved-air = The air cut makes the same moves above the board, with the spindle off.
sheet-read-back = The cut file was read back by an independent reader; its path differs from the job by at most { $deviation }.
sheet-read-back-unknown = The cut file was read back by an independent reader; its path differs from the job by at most an unknown amount.
sheet-checks-passed = { $count ->
    [one] { $count } check passed
   *[other] { $count } checks passed
 }
sheet-not-proved = What was not proved
sheet-not-proved-check = { $check }: { $why }
sheet-and-more = { $what } (and { $count } more like it)

# --- files ------------------------------------------------------------------------------------------------------------------
sheet-files = Files
sheet-file-cut = the cut file
sheet-file-air = the air cut: the same motion above the board, spindle off
sheet-file-job = the job as it is cut, to prove the file again or start again after a break
sheet-file-report = the certificate: what was proved, of which bytes
sheet-file-preview = the preview: watch the cut before it is made
sheet-file-letter = a rehearsal in the air: it draws a letter
sheet-file-frame = a rehearsal in the air: it goes round the board
sheet-file-measure = a rehearsal in the air: it goes a known way, to be measured
sheet-file-further-cut = the cut file for bit { $number }
sheet-file-further-air = its air cut
sheet-file-further-report = its certificate
sheet-file-input = inputs of the build, to check the job again
sheet-sha-only = SHA-256 of the cut file: <code>{ $sha }</code>
sheet-sha = SHA-256 of <code>{ $file }</code>: <code>{ $sha }</code>
sheet-strength = { $value ->
    [feed] feed
    [plunge] plunge
    [spindle] spindle
    [stepdown] stepdown
   *[stepover] stepover
 } { $percent } %

sheet-fit = Fit: { $fit }.
sheet-fit-wider = openings { $by } wider than drawn, parts as much narrower, but nothing that is as wide as its bit
sheet-fit-narrower = openings { $by } narrower than drawn, parts as much wider, but nothing that is as wide as its bit
sheet-test-piece = Test piece: fit from { $least } at the − to { $most } at the +, in steps of { $step }.
sheet-step-no-parts = Lift the board off: no parts are cut free of it, and no tabs hold them.
sheet-more-kinds = { $count } more kinds of parts are not drawn close up.
sheet-stored-once = What several choices have in common is stored once. The page on which you chose this sheet leads to all of it.

# A beam in place of a bit.
sheet-beam-start = Before you start a file, see that the head stands no higher than { $height }: its first move goes there.
sheet-beam-flat = The head travels at the height at which it burns: nothing may stand above the board.
sheet-beam-grate = Lay nothing under the board that shines or burns; what falls through must not touch anything hot.
sheet-beam-cautions = Read the cautions above, and put on the eye protection for this beam.
sheet-beam-material = See what the board is made of, glue and coating too. If you do not know it, do not burn it.
sheet-beam-settings = See in the controller's settings that the power follows the moves (GRBL: $32 = 1), and that it is full at S { $full } (GRBL: $30 = { $full }).
sheet-beam-directions = Check the directions, the beam locked off: jog a little along X+ and Y+, and see that the head goes where the arrows point.
sheet-beam-focus = Focus the beam on the top of the board as the machine's manual says; the head is then at { $height }.
sheet-beam-air = Air cut: lock the beam off, and run { $file } to its end. Watch that the head stays over the board and clear of everything.
sheet-beam-trial = Try power and feed on a piece of the same material: how deep they burn is not known here.
sheet-beam-run = Close the enclosure, start the extraction, unlock the beam, and run { $file }.
sheet-beam-watch = Watch for flames and stay, with a hand at the stop button, until the end.
sheet-beam-park = At the end the head parks at { $place }.
sheet-beam-open = Wait until the beam is off, locked, and the fumes are gone. Then open, and look at the work until it is cold.
sheet-beam-not-run = Judged only of a bit in wood, since how deep a beam burns is not known: { $checks }.
sheet-proved-beam = The beam follows every line of the job, as often and with the power that it asks for, and no other; it is off on the way, in pauses and at the end.
sheet-beam-power = { $percent } % of full power
sheet-beam-seen = burns along the lines
sheet-part-burnt = lines that a beam burns
