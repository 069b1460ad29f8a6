# What passes and lowering refuse or remark (pathkit.passes, lowering, feeds).

# Tabs.
findings_passes-tabs-count = HoldTabs: count is { $given }; give a whole number, at least 1, or "auto"
findings_passes-tabs-material = HoldTabs: count is "auto", but what tabs of { $material } bear is not known; give a number, as in count = 4, or one of these materials: { $names }
findings_passes-tabs-length = HoldTabs: { $field } is { $given }; give mm above 0
findings_passes-tabs-least = HoldTabs: least_width is { $given }; give mm above 0, and no more than width = { $width }
findings_passes-tabs-shape = HoldTabs: shape is { $given }; one of: { $names }
findings_passes-tabs-role = HoldTabs: no role is called { $name }; there are: { $names }
findings_passes-tabs-push = how hard the bit pushes cannot be estimated without a spindle speed
findings_passes-tabs-push-fix = give its cutting a spindle speed, or set the number of tabs: count = 4
findings_passes-tabs-bear = the { $count } tabs { $width } mm wide and { $height } mm high that it has room for bear { $percent } % of what they must bear in { $material }, by estimate (safety { $safety }, a dull bit: { $push } N along, { $lift } N up)
findings_passes-tabs-bear-fix = make them wider or higher, cut with a smaller stepdown or feed, or set their number: count = 4
findings_passes-tabs-no-room = a contour of { $length } mm has no room for { $count } tabs { $width } mm wide
findings_passes-tabs-each-piece = { $what } on each of the { $count } pieces into which its core falls
findings_passes-tabs-one-side = { $what }, but on one side of it
findings_passes-tabs-needs = { $what } (each needs { $gap } mm free of corners, of the entry and of other cuts)
findings_passes-tabs-smaller-fix = give hold_tabs a smaller width or count, or hold the part by tape (zones)
findings_passes-tabs-core-fix = { $what }, or clear the core (core = "clear")
findings_passes-tabs-high = tabs { $height } mm high in { $wood } mm of wood (the least allowed) would leave it uncut
findings_passes-tabs-lower-fix = make them lower: height = { $height } in hold_tabs
findings_passes-tabs-point = a single point has no contour to leave tabs on
findings_passes-tabs-point-fix = give it another role
findings_passes-tabs-sloped = { $bit } does not cut at its centre, but would go down steeply behind a sloped tab
findings_passes-tabs-sloped-fix = set shape = "square" in hold_tabs, or centre_cutting = true if the bit does cut there
findings_passes-tabs-square-fix = make its tabs square, or set centre_cutting = true if the bit does cut there
findings_passes-tab-start = it starts within the gap of the tab at { $at } mm, where it could not reach its depth
findings_passes-tab-start-fix = start elsewhere, or move the tab
findings_passes-tab-gap = no room for a tab of { $width } mm at { $at } mm: the gap would be { $gap } mm
findings_passes-tab-gap-fix = make the tab narrower, move it to a straight stretch, or hold the part otherwise
findings_passes-tabs-nothing = its tabs leave nothing to cut
findings_passes-tabs-nothing-fix = ask for fewer or narrower tabs

# The bit's way down.
findings_passes-plunge = { $bit } does not cut at its centre, so it must not go straight down into wood
findings_passes-plunge-fix = enter by Ramp, Spiral or Helix, or set centre_cutting = true if the bit does cut there
findings_passes-helix-post = a helix of { $diameter } mm leaves a post: the bit is only { $width } mm wide
findings_passes-helix-post-fix = make the helix no wider than the bit
findings_passes-helix-stands = a helix of { $diameter } mm with a bit of { $width } mm leaves a post standing
findings_passes-helix-stands-fix = make it at most the bit's diameter
findings_passes-ramp-short = a ramp of { $angle }° has only { $length } mm of the curve to go down { $drop } mm
findings_passes-ramp-short-fix = start further from a tab, use a helix, or a bit that cuts at its centre
findings_passes-ramp-slot = a ramp of { $angle }° has only { $length } mm of the curve to go down
findings_passes-ramp-slot-fix = use a bit that cuts at its centre, or a smaller one
findings_passes-helix-turns = a helix of { $diameter } mm at { $angle }° takes { $turns } turns for { $drop } mm
findings_passes-helix-turns-fix = make it wider or steeper, or go straight down
findings_passes-spiral-laps = a spiral of { $angle }° round { $length } mm would need { $laps } laps
findings_passes-spiral-laps-fix = use a steeper angle, a helix, or a smaller bit on a longer contour
findings_passes-trace-steep = point { $number } of the trace is reached straight down or steeper than 45°, but { $bit } does not cut at its centre
findings_passes-trace-steep-fix = begin above the wood and go down at an angle, or use a centre-cutting bit
findings_passes-ramp-rubs = { $bit } does not cut at its centre, and round { $length } mm of contour at { $angle } degrees it would rub its way down
findings_passes-ramp-rubs-fix = take a narrower bit, or one that cuts at its centre (centre_cutting = true), or a drill
findings_passes-ramp-point = { $bit } does not cut at its centre, and on a single point it cannot go down at an angle
findings_passes-ramp-point-fix = take a drill or a centre-cutting bit, or bore the hole with a helix (Helix as its entry) and a smaller bit
findings_passes-ramp-helix = RampEntries: helix_diameter is { $given }; give mm above 0, or None
findings_passes-ramp-angle = RampEntries: angle is { $given }; give degrees above 0 and at most { $most }

# The top edge.
findings_passes-torn = { $length } mm of its top edge is first cut no deeper than the { $tip } mm up-cut tip
findings_passes-torn-fix = make its first level deeper than { $tip } mm and enter in waste, or take another bit
findings_passes-tip = the up-cut tip of its compression bit may tear its top edge: { $why }
findings_passes-tip-fix = cut it with another bit, or with a stepdown deeper than the tip

# Order, load, spindle.
findings_passes-order-option = OrderTravel: { $field } is { $given }; one of: { $names }
findings_passes-order-effort = OrderTravel: effort is { $given }; give a number, at least 0
findings_passes-order-seed = OrderTravel: seed is { $given }; give a whole number, at least 0
findings_passes-order-seconds = OrderTravel: seconds is { $given }; give seconds above 0, or None
findings_passes-load-shares = slowest = { $slowest }, fastest = { $fastest }: shares of the feed on either side of it; give slowest up to 1 and fastest from 1 on, such as 0.6 and 1.6
findings_passes-load-material = no chip loads are known for { $material }; there are: { $names }
findings_passes-stopped-before = stopped before: { $names }
findings_passes-stopped-before-fix = run them before the job is cut
findings_passes-lowering-stopped = lowering was stopped before the program was complete
findings_passes-spindle-stopped = it would cut with the spindle stopped
findings_passes-spindle-stopped-fix = give its cutting a spindle speed
findings_passes-spindle = its spindle speed is { $speed } rpm, but { $machine } turns { $low } to { $high } rpm
findings_passes-spindle-fix = choose a speed that the machine has, and a feed to go with it

# Passes in a row.
findings_passes-pipeline-list = Pipeline takes a list of passes and was given { $why }; put it into a list: [...]
findings_passes-pass-class = pass { $number } is the class { $name }; give an instance: { $call }
findings_passes-pass-given = pass { $number } is { $given }; give an object with name, promises and __call__

# Promises that a pass has broken.
findings_passes-promise-board = the job's { $field } changed
findings_passes-promise-toolpaths = toolpaths lost: { $lost }, added: { $added }
findings_passes-promise-order = the order of the toolpaths changed
findings_passes-promise-field = { $field } of { $path } changed from { $before } to { $after }
findings_passes-promise-cutting = { $field } of { $path } changed
findings_passes-promise-pairs = pairs lost or added: { $pairs }
findings_passes-promise-early = { $path } is cut before { $other }
findings_passes-promise-tab = the tab of { $path } at x { $x } y { $y } moved or vanished
findings_passes-promise-tabs-through = { $path } was given tabs, but does not cut through
findings_passes-promise-tab-high = a tab of { $path } is as high as the board is thick
findings_passes-promise-lost = { $path } from its wood to z = { $z } is no longer cut
findings_passes-promise-new = { $path } from its wood to z = { $z } was not asked for
findings_passes-promise-level = a level of { $path } takes { $bite } mm, more than its stepdown of { $stepdown } mm
findings_passes-promise-plunge = { $path } would go straight down with { $bit }, which does not cut at its centre
findings_passes-promise-opened = { $path } was opened or closed
findings_passes-promise-vertices = { $path } has vertices that it did not have, or lost an end
findings_passes-promise-feed = { $path } is cut at another feed
findings_passes-promise-strays = { $path } strays by { $by } mm from what it was
findings_passes-promise-tabs-other = { $path } has other tabs, or narrower ones
findings_passes-promise-entry-other = { $path } has another way in, or a shorter one
findings_passes-promise-tab-room = { $path } has a tab without room
findings_passes-promise-elsewhere = { $path } has a tab, a start or a way in that ends { $by } mm from where it did
findings_passes-promise-stretch = { $path } has a tab, a start or a way in on another stretch
findings_passes-promise-edge = more of the top edge of { $path } is first cut by the tip alone

# Materials that are refused (pathkit.feeds.materials), after a colon.
findings_passes-refused-pvc = a bit that rubs heats it until it gives off hydrogen chloride, which harms the lungs and corrodes the machine (chemistry of polymers, from memory)
findings_passes-refused-carbon = its dust conducts and gets into motors and electronics, and its fibres harm lungs and skin; it is cut wet or in an enclosure (common practice, no source)
findings_passes-refused-glass = its dust harms lungs, eyes and skin (fibrous glass dust, NIOSH Pocket Guide to Chemical Hazards, from memory); circuit boards are made of it
findings_passes-refused-cement = its dust contains crystalline silica, which causes cancer (IARC Monographs, volume 100C, from memory); old boards may contain asbestos
findings_passes-refused-treated = its dust contains what protects it from rot: arsenic and chromium in older wood, which cause cancer (IARC Monographs, volume 100C, from memory)
findings_passes-refused-unknown = what its dust and its smoke do is not known; find its safety data sheet first
