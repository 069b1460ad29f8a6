# What is wrong with cuts, and with where parts lie; findings.ftl tells how it is recognised.

# What a bit cannot do (pathkit.operations.bore, chamfer, contour, pocket, rest, slot, drill, engrave, burn).
findings_operations-bore-no-way-in = the bit { $bit } of { $diameter } mm does not cut at its centre: it cannot go straight down into the hole of { $hole } mm, and on a helix of { $helix } mm it would only rub
findings_operations-bore-no-way-in-fix = say centre_cutting = true if the bit does, take a drill of { $drill } mm or a bit of at most { $most } mm, or make the hole { $hole } mm wide
findings_operations-bore-narrow = the hole of { $hole } mm is no wider than the bit { $bit } of { $diameter } mm
findings_operations-bore-narrow-fix = drill it, or take a narrower bit
findings_operations-bridges-count = count is { $given }
findings_operations-bridges-count-fix = a whole number, at least 1
findings_operations-bridges-not-through = it does not go through the board, so nothing in it comes loose
findings_operations-plain-pocket = use a plain pocket
findings_operations-bridges-high = bridges { $height } mm high in { $wood } mm of wood (the least allowed) would leave nothing cut
findings_operations-bridges-high-fix = make height less than { $wood }
findings_operations-bridges-no-island = it has no island to hold
findings_operations-bridges-no-room = the island at x { $x } y { $y } has no room for { $count } straight bridges to the outer wall
findings_operations-bridges-no-room-fix = ask for fewer or narrower bridges, or hold the island another way
findings_operations-burn-no-beam = { $name } is no beam
findings_operations-burn-no-beam-fix = a bit engraves; a beam is Tool(…, kind="beam")
findings_operations-burn-passes = passes is { $given }
findings_operations-burn-passes-fix = a whole number from 1 to { $most }
findings_operations-no-cone = the bit { $bit } is a { $kind } bit, which has no cone to cut a bevel with
findings_operations-no-cone-fix = tool: name a vee bit (kind = "vee", angle = 90, say)
findings_operations-chamfer-wide = a chamfer { $width } mm across, and the cone of { $bit } reaches { $reach } mm to each side
findings_operations-no-wall = the bit { $bit } is a { $kind }, which cuts no upright wall
findings_operations-no-wall-fix = tool: name a flat, ball or compression bit
findings_operations-drop-straight-down = dropping the core takes a cut straight down, and the bit { $bit } does not cut at its centre
findings_operations-drop-straight-down-fix = core = "keep", or a bit that cuts at its centre (centre_cutting = true)
findings_operations-drop-lead = dropping the core takes a cut that ends where it began, and this one has a lead
findings_operations-drop-lead-fix = leave out lead (lead = 0)
findings_operations-drop-finish = dropping the core takes one cut, and finish makes two
findings_operations-drop-finish-fix = leave out finish, or core = "keep"
findings_operations-allowance = an allowance of { $allowance } mm leaves the bit no room to go round
findings_operations-allowance-fix = make finish.allowance smaller, or leave finish out
findings_operations-fits-nowhere = the bit { $bit } of { $diameter } mm fits nowhere in the shape near ({ $x }, { $y })
findings_operations-fits-nowhere-as-wide = the shape is as wide as the bit: drill it, or cut a slot along its middle
findings_operations-shape-strange = the shape is { $given }
findings_operations-shape-strange-fix = pass a Curve, or a shapely line or polygon
findings_operations-shape-point = the shape is a point or a trace
findings_operations-shape-point-fix = a contour follows a plane line; use drill for points
findings_operations-copies-first = first is { $given }
findings_operations-copies-first-fix = a whole number, at least 0
findings_operations-copies-no-toolpath = layout: the piece has no toolpath called { $name }; name one of its own in precedence
findings_operations-copies-turn = turn is { $given }
findings_operations-copies-turn-fix = quarter turns: 0, 1, 2 or 3
findings_operations-copies-placement = placement { $number } is { $given }
findings_operations-copies-placement-fix = pass Placement(x, y, turn)
findings_operations-drill-hole = hole { $number } is at { $place }
findings_operations-drill-repeated = an earlier hole is at the same place; leave one of them out
findings_operations-drill-kind = the holes are a { $kind }
findings_operations-drill-kind-fix = pass points: (n, 2) numbers, or a MultiPoint
findings_operations-drill-numbers = the holes are not numbers
findings_operations-drill-numbers-fix = pass (n, 2) numbers in mm, or a MultiPoint
findings_operations-drill-shape = the holes have the shape { $shape }
findings_operations-drill-shape-fix = pass (n, 2) numbers in mm, n at least 1
findings_operations-engrave-lines = the lines are { $given }
findings_operations-engrave-line = line { $number } is { $given }
findings_operations-engrave-lines-fix = pass Curves or shapely lines
findings_operations-engrave-none = there is no line, or one of them is a point
findings_operations-engrave-none-fix = engrave lines; drill points
findings_operations-finished-several = its outline is { $count } separate shapes
findings_operations-finished-several-fix = make a part of each
findings_operations-text-long = the text is { $count } characters long
findings_operations-text-long-fix = at most { $most } are engraved
findings_operations-text-strokes = there are no strokes for { $characters }
findings_operations-text-strokes-fix = use ASCII only: letters, digits and punctuation
findings_operations-text-none = the text { $text } has no strokes
findings_operations-text-none-fix = give at least one character that is not a space
findings_operations-text-extra = text needs the extra 'text': pip install 'pathkit-cam[text]'
findings_operations-open-edges-none = no stretch of its edge lies on its open edges
findings_operations-open-edges-none-fix = draw open edges on the edge of the shape
findings_operations-open-edge-strange = an open edge is { $given }
findings_operations-open-edge-point = an open edge is a point or a trace
findings_operations-open-edge-point-fix = pass plane lines
findings_operations-open-edge-crosses = the line past its open edge crosses itself
findings_operations-open-edge-crosses-fix = open each straight stretch on its own
findings_operations-open-edge-inward = its open edge turns inward
findings_operations-open-edge-inward-fix = open each stretch on its own, or straighten it
findings_operations-open-edge-flat = at ({ $x }, { $y }) a wall runs into its open edge at a flat angle
findings_operations-open-edge-flat-fix = draw the edge past which it is open further out
findings_operations-open-edge-tight = its open edge curves inward too tightly for the bit
findings_operations-narrower-bit = take a narrower bit
findings_operations-pocket-angle = neither angle nor stock
findings_operations-pocket-angle-fix = give the rows' angle, or the stock whose grain they follow
findings_operations-stepover-rows = stepover { $stepover } with an allowance of { $allowance } mm leaves wood standing between the rows
findings_operations-stepover-rings = stepover { $stepover } with an allowance of { $allowance } mm leaves wood standing between the rings
findings_operations-stepover-fix = stepover = { $stepover } at most
findings_operations-allowance-wide-fix = wall_allowance = { $allowance }, or a wider bit
findings_operations-relief-open = the opening is not a closed plane curve
findings_operations-relief-run-into = the bites of its relief run into each other at { $place }
findings_operations-relief-run-into-fix = tool: a narrower bit, or relief = false
findings_operations-relief-short = the side of { $length } mm at ({ $x }, { $y }) is too short for its bites, which take { $wanted } mm
findings_operations-relief-short-fix = tool: a bit of at most { $widest } mm, or relief = false
findings_operations-rest = the bit { $bit } of { $diameter } mm is to clear what { $wider } leaves, and is not narrower than its { $wide } mm
findings_operations-rest-fix = name the wider bit first
findings_operations-rings = rings { $apart } mm apart would be more than { $most }; take a larger stepover (0.4 is usual)
findings_operations-rows-touch = the shape cannot be cleared by rows at { $angle } degrees, because its edge touches itself; change its angle, say style = "rings", or mend the drawing
findings_operations-rows-many = lines { $apart } mm apart over { $depth } mm would be more than { $most }; take a larger stepover (0.4 is usual), or a wider bit
findings_operations-slot-narrow = the slot from ({ $x }, { $y }) is { $width } mm wide, and the bit { $bit } { $diameter } mm
findings_operations-slot-strange = the centre line is { $given }
findings_operations-slot-strange-fix = pass a Curve or a shapely LineString
findings_operations-slot-point = the centre line is a point or a trace
findings_operations-slot-point-fix = a slot follows a plane line; drill points

# Feeds that are suggested or judged (pathkit.operations.feeds, judging).
findings_operations-spindle-range = the spindle turns { $low } to { $high } rpm; usual in wood is 10 000 to 24 000
findings_operations-chips-guess = chip loads are known for bits of 3 to 6 mm; for { $diameter } mm this is a guess
findings_operations-thin-chips = the machine feeds at most { $feed } mm/min, which makes chips of { $chip } mm; usual is { $low } to { $high } mm
findings_operations-thin-chips-fix = take a bit with fewer flutes, or a shallower stepdown
findings_operations-feeds-spindle = spindle is { $given }
findings_operations-feeds-spindle-fix = the slowest and the fastest speed, rpm

# Copies and parts on a board (pathkit.operations.layout, nesting, webs).
findings_operations-copy-large = a copy of { $width } × { $depth } mm does not fit on the board of { $wide } × { $deep } mm, which has { $across } × { $along } mm within its margin of { $margin } mm
findings_operations-copy-large-avoid = a copy of { $width } × { $depth } mm does not fit on the board of { $wide } × { $deep } mm, which has { $across } × { $along } mm within its margin of { $margin } mm, less what has to be avoided
findings_operations-copy-large-fix = take a board of width = { $width }, depth = { $depth } at least
findings_operations-copy-large-margin-fix = take a board of width = { $width }, depth = { $depth } at least, or margin = { $margin }
findings_operations-copies-kerf = copies { $apart } mm apart leave no room for the kerf of { $bit }, { $wide } mm wide
findings_operations-copies-kerf-fix = spacing = { $spacing } at least, or a narrower bit
findings_operations-copies-web = layout: web and spacing both say how far copies lie apart; give one of them
findings_operations-copies-many = a board would hold more than { $most } copies of { $width } × { $depth } mm
findings_operations-copies-many-fix = take a smaller board, or a larger spacing
findings_operations-part-large = the part { $part } of { $width } × { $depth } mm does not fit on the board of { $wide } × { $deep } mm, which has { $across } × { $along } mm within its margin of { $margin } mm
findings_operations-part-large-less = the part { $part } of { $width } × { $depth } mm does not fit on the board of { $wide } × { $deep } mm, which has { $across } × { $along } mm within its margin of { $margin } mm, less screws and clamps
findings_operations-part-large-fix = take a larger board or a smaller margin, or let it be turned (layout.keep_grain = false)
findings_operations-many-asked = { $count } copies are asked for, and at most { $most } are laid out
findings_operations-many-asked-fix = ask for fewer at a time
findings_operations-strip = packing a strip failed: { $error }
findings_operations-lie-on-each-other = lie on each other
findings_operations-lie-apart = lie { $gap } mm apart, and { $wanted } mm is wanted
findings_operations-thin-web = only { $web } mm of wood would stand between it and { $name } near x { $x } y { $y }; at least { $wanted } mm is wanted
findings_operations-thin-web-fix = lay them further apart (web or spacing), take a narrower bit, or accept a thinner web (least_web)
