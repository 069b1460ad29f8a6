# What a proof finds in a cut file (pathkit.proof).

# The certificate.
findings_proof-certificate-not = not a certificate: { $why }
findings_proof-certificate-version = certificate version { $given } is not known here; this library reads version { $version }
findings_proof-certificate-machine = the machine in the certificate is not the one that was sealed
findings_proof-certificate-files = its list of files does not fit the file itself

# One board or underlay of those that the job accepts.
findings_proof-on-thinnest-board = { $what } in the thinnest board ({ $size } mm)
findings_proof-on-thickest-board = { $what } in the thickest board ({ $size } mm)
findings_proof-on-thinnest-underlay = { $what } over the thinnest underlay ({ $size } mm)
findings_proof-on-thickest-underlay = { $what } over the thickest underlay ({ $size } mm)

# Chamfers, recesses, holes and outlines.
findings_proof-chamfer-fix = check that it is cut, with which vee, how deep and along which line
findings_proof-chamfer-foot = { $who } has its foot at z = { $foot } mm, and the top of the thinnest board lies at { $top } mm
findings_proof-chamfer-left = { $who } is not all cut: { $area } mm² are left at z = { $z } mm, the most about ({ $x }, { $y })
findings_proof-shape-fix = check that it is cut, with which bit, how deep and on which side
findings_proof-shape-not-through = { $who } is not cut right through
findings_proof-shape-not-down = { $who } is not cut down to z = { $z } mm
findings_proof-shape-left = { $who } is not all cut: { $area } mm² are left at z = { $z } mm, the largest piece about ({ $x }, { $y })
findings_proof-part-off-board = { $area } mm² of the part { $part } lie off the board
findings_proof-part-off-board-fix = move it onto the board
findings_proof-shape-outside = { $who } lies outside it
findings_proof-shape-outside-fix = move it into the part
findings_proof-shape-floor = { $who } has its floor at z = { $floor } mm, and the underside lies at { $underside } mm
findings_proof-shape-floor-fix = leave a floor, or go right through
findings_proof-parts-on-each-other-fix = move one of them
findings_proof-gouge = cuts { $depth } mm into the part { $part } at z = { $z } mm
findings_proof-gouge-fix = check side, bit and depth of the cut, and the part's shape

# Bits that are changed.
findings_proof-change-no-stop = goes on with another bit without a stop to change it
findings_proof-change-low = the bit is changed at { $z } mm; to be above everything it must be at { $wanted } mm
findings_proof-change-low-fix = go up before the stop
findings_proof-change-elsewhere = the bit is changed at X{ $a } Y{ $b }, and the profile asks for X{ $c } Y{ $d }
findings_proof-change-elsewhere-fix = go there before the stop
findings_proof-change-turning = the spindle turns while the bit is changed
findings_proof-change-turning-fix = switch it off before the stop
findings_proof-change-after = after the bit is changed: { $what }
findings_proof-change-after-fix = Z alone first, then X and Y: the bit may have been moved

# Rapids, plunges, tabs.
findings_proof-rapid-low = a rapid at { $z } mm, below the top of the wood at { $top } mm, where nothing is cut yet
findings_proof-retract-fix = retract before it
findings_proof-plunge = { $bit } goes straight down to { $z } mm, and does not cut at its centre
findings_proof-enter-fix = enter by a ramp, spiral or helix
findings_proof-tab-cut = cuts the tab of { $path } at ({ $x }, { $y }), whose top is at { $top } mm
findings_proof-tab-cut-fix = hop over it, or move the tab
findings_proof-tab-section = the tab at ({ $x }, { $y }) keeps { $area } mm² of the { $drawn } drawn
findings_proof-tab-section-fix = keep other cuts off it, or move it

# What holds the pieces.
findings_proof-dropped = { $who }, about ({ $x }, { $y }), { $why }
findings_proof-dropped-fix = keep the core (core = "keep"), or clear it (core = "clear")
findings_proof-loose-waste = a piece of waste of { $area } mm² about ({ $x }, { $y }) comes loose
findings_proof-loose-core = the core of hole { $number } of the part { $part } of { $area } mm² about ({ $x }, { $y }) comes loose
findings_proof-loose-piece = { $who } of { $area } mm² about ({ $x }, { $y }) comes loose
findings_proof-loose = { $what }: neither tabs nor tape hold it
findings_proof-loose-again = { $what }: neither tabs nor tape hold it and it is cut again
findings_proof-loose-again-line = { $what }: neither tabs nor tape hold it and it is cut again up to line { $line }
findings_proof-loose-core-fix = leave tabs on it, or put tape under it, or clear it (core = "clear")

# The job and its program.
findings_proof-job-count = this is not the job's program: the job has { $moves } moves, the program { $count }
findings_proof-job-from = this is not the job's program: from move { $number } on they differ
findings_proof-job-otherwise = this is not the job's program: its places are the same, but feeds, arcs, events or names differ
findings_proof-job-fix = pass the job after its passes, and the set-up that was used
findings_proof-never-cut = is never cut
findings_proof-never-cut-fix = post the whole job
findings_proof-cut-early = is cut before { $path } is done
findings_proof-cut-early-why = is cut before { $path } is done: { $why }
findings_proof-order-fix = order the job again
findings_proof-cut-late = is cut after toolpaths that come later in the job

# Path mode.
findings_proof-path-mode-rounds = G64 lets the controller round corners off
findings_proof-path-mode-overrides = M49 takes feed and speed overrides out of the operator's hand
findings_proof-path-mode-late = moves before the exact path (G61) is asked for: the controller may round corners off

# What is taken away, and by how long a bit.
findings_proof-removal-rapid = a rapid meets { $depth } mm of wood
findings_proof-removal-straight = a bit that does not cut at its centre goes straight down into { $depth } mm of wood
findings_proof-removal-flutes = wood stands { $height } mm above its flutes
findings_proof-removal-flutes-fix = a smaller stepdown, or a longer bit
findings_proof-removal-shank = its shank meets { $depth } mm of wood
findings_proof-removal-holder = its holder meets { $depth } mm of wood
findings_proof-removal-body-fix = a longer bit, or wood cleared beside it first
findings_proof-removal-bite = cuts { $depth } mm deep at once, and its levels allow { $allowed } mm
findings_proof-removal-bite-fix = first cut what must come before it, or give it more levels

# The machine's room, and heights.
findings_proof-first-motion-fix = begin with Z alone, up to travel height
findings_proof-first-motion-not-alone = the first motion is not Z alone
findings_proof-first-motion-low = the first motion goes to { $z } mm, below the travel height of { $safe } mm
findings_proof-first-motion-not-homed = the first motion goes to { $z } mm in the coordinates of a machine which is not homed
findings_proof-first-motion-other-top = the first motion goes to { $z } mm in the coordinates of a machine whose bit goes up to { $u }
findings_proof-first-motion-other-top-fix = post it again for this machine
findings_proof-first-motion-sideways = the first motion down goes sideways
findings_proof-first-motion-down-low = the first motion down goes to { $z } mm, below the travel height of { $safe } mm
findings_proof-first-motion-down-fix = come straight down to travel height
findings_proof-travel-high-fix = retract higher before it
findings_proof-travel-path = the path needs { $span } mm along { $axis }, and the machine moves { $room } mm
findings_proof-travel-path-fix = turn the board, or split the job
findings_proof-travel-beyond = goes { $by } mm beyond the { $end } end of { $axis }
findings_proof-travel-beyond-fix = set the zero elsewhere, or turn the board
findings_proof-travel-board = the board needs { $size } mm along { $axis }, and the machine moves { $reach } mm
findings_proof-travel-board-beyond = the board lies { $by } mm beyond the { $end } end of { $axis }
findings_proof-travel-board-fix = lay it elsewhere, turn it, or take a smaller one
findings_proof-bed = goes to { $z } mm, and the bed lies at { $bed } mm
findings_proof-bed-thinnest = goes to { $z } mm, and the bed lies at { $bed } mm under the thinnest board and underlay
findings_proof-bed-fix = cut less deep, or put an underlay under the board
findings_proof-travel-height = a rapid sideways at { $z } mm; over the board it must be at { $safe } mm
findings_proof-travel-over = a rapid at { $z } mm crosses a { $kind } at ({ $x }, { $y }); it must be at { $u }
findings_proof-zone-met = at { $z } mm the { $body } meets a { $kind } at ({ $x }, { $y }) whose top is at { $u }
findings_proof-zone-met-fix = move the clamp or screw, or the part

# Spindle and end.
findings_proof-spindle-off = cuts with the spindle off
findings_proof-spindle-off-fix = switch it on before this
findings_proof-spindle-range = cuts at { $speed } rpm; the spindle runs from { $low } to { $high }
findings_proof-spindle-range-fix = choose a speed in that range
findings_proof-end-not = the file does not end with its own end
findings_proof-end-not-word = the file does not end with { $code }
findings_proof-end-goes-on = moves after the program's end
findings_proof-end-turning = the spindle still turns at { $speed } rpm where the program ends
findings_proof-end-turning-fix = switch it off before the end

# What is held together.
findings_proof-both-fix = post both from one job
findings_proof-give-job-fix = give the job it was made from
findings_proof-no-stock = the program carries no stock, so its datum corner is unknown; give Program(stock=…) or a job
findings_proof-several-files = there are { $count } files ({ $names }); prove them one by one, each with its program
findings_proof-files-for-machine = { $count } files, and for this machine the program has { $shares }; build it again
findings_proof-not-compared = not compared: there is no program or job to hold the file against
findings_proof-not-compared-fix = give the job, or ask for the rules only
findings_proof-plugin-failed = the check { $check } of a plugin failed: { $error } ({ $place }, line { $line })
findings_proof-plugin-failed-fix = repair or remove that plugin

# What the job asks for.
findings_proof-boards-uneven = ends at z = { $z } mm: { $why }, and leaves { $rest } mm
findings_proof-boards-uneven-fix = cut past the lowest underside, leave a floor above the highest, or accept fewer boards
findings_proof-boards-above = ends at z = { $z } mm, and the top of the thinnest board lies at { $top } mm
findings_proof-boards-above-fix = cut deeper, accept fewer boards, or set zero on the top
findings_proof-depth = goes down to z = { $z } mm, and the job asks for { $asked } mm
findings_proof-bite = cuts { $depth } mm deep at once, and the job asks for { $asked } mm at most
findings_proof-bite-fix = give it more levels, or first cut what lies above it
findings_proof-level = has a level { $drop } mm below the one before, and its stepdown is { $stepdown } mm
findings_proof-level-fix = give it more levels
findings_proof-peck = pecks { $depth } mm deep, and the job asks for { $asked } mm at most
findings_proof-peck-nothing = has a peck that takes nothing
findings_proof-against = { $length } mm of it run against its curve: what was laid out as climb is cut conventional
findings_proof-stray = reaches { $by } mm beyond what it clears itself, beside its curve at ({ $x }, { $y })
findings_proof-steep = goes into wood at { $angle } degrees, and the job asks for { $asked } at most
findings_proof-straight-down = goes straight down through { $depth } mm of wood, and the job asks to clear that ground first
findings_proof-feed = cuts at { $feed } mm/min, and the job asks for { $asked }
findings_proof-feed-range = cuts at { $feed } mm/min, and the job asks for { $low } to { $high }
findings_proof-load = takes { $volume } cm³ a minute at { $feed } mm/min, and at its own feed of { $own } mm/min it would take { $most } at most
findings_proof-speed = cuts at { $speed } rpm { $sense }, and the job asks for { $asked } rpm clockwise
findings_proof-hurried = { $waited } s from a rise in spindle speed to this cut; the spindle needs { $wanted } s
findings_proof-tab-asked = { $what }; the job asks for { $asked } mm
findings_proof-tab-wide = the tab at ({ $x }, { $y }) is { $width } mm wide
findings_proof-tab-wide-above = the tab at ({ $x }, { $y }) is { $width } mm wide at { $height } mm above the underside
findings_proof-tab-stands = the tab at ({ $x }, { $y }) stands up to z = { $z } mm
findings_proof-tab-slopes = the tab at ({ $x }, { $y }) is { $width } mm wide at z = { $z } mm; its slopes of { $angle } degrees ask for { $wanted } mm there
findings_proof-tabs-together = all its { $count } tabs stand on one quarter of its contour
findings_proof-tabs-together-fix = spread them round the contour
findings_proof-not-asked = cuts at ({ $x }, { $y }), z = { $z } mm, where the job asks for nothing
findings_proof-partly-never = about { $length } mm of it are not cut as asked; at ({ $x }, { $y }) never
findings_proof-partly-down = about { $length } mm of it are not cut as asked; at ({ $x }, { $y }) only down to z = { $z } mm
findings_proof-not-round = the bit goes only { $turned } of 360 degrees round the hole at its bottom
findings_proof-bit-unnamed = nothing before this cut names the bit { $bit }
findings_proof-bit-unnumbered = nothing before this cut names the number { $number } of the bit { $bit }
findings_proof-bit-misnumbered = the file calls for T{ $given }, and the bit has the number { $number }

# The map of what is left.
findings_proof-map-memory = a map of { $nx } × { $ny } points at { $grid } mm would not fit into memory; take a grid of { $coarser } mm or more
findings_proof-map-frame = stock removal works in the bench frame; this program has the controller's numbers
findings_proof-map-board = stock removal needs the board; give a job or stock
findings_proof-map-bits = stock removal needs the bits; give a job or tools
findings_proof-map-grid = a grid of { $grid } mm is impossible; give one above 0

# File and program compared.
findings_proof-path-missing = the program goes on with { $what }, and the file does not
findings_proof-path-extra = the file has { $what }, and the program has no more moves here
findings_proof-path-kind = the file has { $what }, and the program { $why }
findings_proof-path-sense = the arc to { $place } runs the other way round than the program's
findings_proof-path-strays = the file has { $what }, which strays from the program's { $why }
findings_proof-path-place = the file goes to { $place }, and the program to { $wanted }
findings_proof-path-apart = the two do not meet again; { $count } more moves before the next event were not compared
findings_proof-path-again = post the program again
findings_proof-path-feed = cuts at F{ $got }, and the program at F{ $wanted }
findings_proof-path-feed-unset = cuts at a feed that nothing has set, and the program at F{ $wanted }
findings_proof-path-feeds-more = { $count } more moves have another feed
findings_proof-path-powers-more = { $count } more moves have another power
findings_proof-path-signal-missing = the program has { $what } before this, and the file does not
findings_proof-path-signal-extra = the file has { $what } before this, and the program does not

# The air cut and the rehearsal.
findings_proof-air-low = goes to { $z } mm; it must stay above { $needed } mm
findings_proof-rehearse-again = make the rehearsal again
findings_proof-air-spindle = the spindle is started
findings_proof-twin-moves = the twin has { $moves } moves, and the file { $count }
findings_proof-twin-otherwise = moves otherwise than the file
findings_proof-twin-missing = { $event } of the file is missing before this
findings_proof-twin-extra = { $event } that the file does not have
findings_proof-twin-not-raised = the twin is not raised
findings_proof-twin-not-raised-fix = make it again
findings_proof-twin-low = comes down to { $z } mm; it must stay above { $needed } mm
findings_proof-twin-no-board = the board is not known, so neither is the height that the twin needs; give the stock
findings_proof-twin-instead = { $mine } instead of { $theirs } (line { $line } of the file)
findings_proof-twin-ends = the twin ends here, but the file goes on with line { $line }: { $block }
findings_proof-twin-goes-on = the twin goes on after the file's end
findings_proof-twin-rise = Z is raised by { $rise } here, and by { $before } before (line { $line } of the file)
findings_proof-twin-spindle-word = a spindle word in the twin

# What checks leave open that stand in no list of their own.
findings_proof-open-air = It trusts that zero is set as for the cut, and that only drawn clamps stand up.
findings_proof-open-spindle = A spindle switched by hand stays the operator's affair.
findings_proof-open-bites = It compares the deepest bite of each bit within { $step } mm of its way in both files, on a map of points: it needs the bit and the board that were given.
findings_proof-open-same-cuts = It compares where the bit goes below the board's top, not in which order or how fast; on straight cuts it looks every { $step } mm.
findings_proof-open-same-board = It compares what is cut away in the end, not how: order, feeds and tabs' hops may differ as long as the wood left is the same. Between flat levels it looks every { $step } mm or nearer, at { $heights } heights at the most.
findings_proof-open-rules = It knows the controller by its published rules.
