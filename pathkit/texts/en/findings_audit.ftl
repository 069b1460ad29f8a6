# What the finished job says that the job file does not ask for (pathkit.jobs.audit).
findings_audit-build-again = build the job again; do not cut these files
findings_audit-more = { $what }; and { $count } more

# Bits and feeds.
findings_audit-bit = is cut with { $bit }, and the job file asks for { $asked }
findings_audit-bit-field = { $field } of { $bit } is { $made }, and the job file says { $asked }
findings_audit-feed = has { $field } { $made }, and the job file asks for { $asked }
findings_audit-range = has slowest, fastest { $made }, and the job file asks for { $asked }
findings_audit-range-shares = has slowest, fastest { $made }, and the job file asks for { $asked } or { $low } to { $high } of the feed

# The board.
findings_audit-board-field = { $field } is { $made }, and the job file says { $asked }
findings_audit-board-none = the board is { $width } × { $depth } mm, which is none of the job file's boards
findings_audit-board-open = the machine is not known, so it is not judged which of the boards it takes
findings_audit-board-asked = the board that was asked for is not in the job file
findings_audit-board-other = the board is { $width } × { $depth } mm, and this machine should take the board of { $u } × { $v } mm
findings_audit-zone-missing = the { $kind } { $height } mm high at ({ $x }, { $y }) is not in the job
findings_audit-zone-extra = the job has a { $kind } at { $spot }, which the job file does not name

# Copies.
findings_audit-copy-number = copy { $count } is numbered { $number }
findings_audit-copy-margin = copy { $number } lies less than { $margin } mm from the board's edge
findings_audit-copies-near = copies { $one } and { $other } lie { $gap } mm apart, and { $asked } mm are asked for
findings_audit-copy-on-clamp = copy { $number } and its kerf lie on a screw or clamp
findings_audit-copies-many = there are too many copies beside screws or clamps to look for gaps between them
findings_audit-copy-fits = one more copy fits at ({ $x }, { $y })
findings_audit-copies-board = the certificate counts no board of { $count } copies that is cut { $times } times
findings_audit-copies-boards = there are { $count } boards, and one is asked for
findings_audit-copies-full = there are { $count } copies, and the board holds { $most }
findings_audit-copies-all = there are { $count } copies on all boards together, and { $asked } are asked for
findings_audit-copies-split = the boards are { $limits }, and { $every } are asked for
findings_audit-copies-no-outline = the parts have no outline that shows where a copy lies
findings_audit-job-name = the job is called { $name }, and the job file says { $asked }
findings_audit-copy-over = { $part } hangs over the edge of the board
findings_audit-off-board = runs off the board
findings_audit-off-board-fix = move it, or take a larger board
findings_audit-part-margin = { $part } lies less than { $margin } mm from the board's edge
findings_audit-part-on-clamp = { $part } and its kerf lie on a screw or clamp
findings_audit-part-corner = the front left corner of { $part } lies at ({ $x }, { $y }), and ({ $u }, { $v }) is asked for
findings_audit-part-turned = { $part } lies turned by { $count } quarters, which is not allowed
findings_audit-parts-overlap = { $one } and { $other } overlap
findings_audit-parts-near = { $one } and { $other } lie { $gap } mm apart, and { $asked } mm are asked for
findings_audit-parts-board = the certificate counts no board of { $where } that is cut { $times } times
findings_audit-parts-uncounted = the certificate does not count the copies of each part
findings_audit-parts-all = there are { $count } of { $part } on all boards together, and { $asked } are asked for
findings_audit-parts-numbers = copies of { $part } have wrong numbers: { $numbers }

# Cuts.
findings_audit-not-cut = { $part } { $operation } is not cut
findings_audit-not-cut-in-copy = { $part } { $operation } is not cut in copy { $number }
findings_audit-entry-hole = is a hole through which no cut of the job file is entered
findings_audit-nothing-cut = nothing that the job file asks for is cut
findings_audit-off-line = { $who } runs { $off } mm off the line that it has to follow, at ({ $x }, { $y })
findings_audit-line-left = { $who } leaves out a line: the nearest cut is { $off } mm away, at ({ $x }, { $y })
findings_audit-line-none = { $who } is cut, and nothing is to be cut there
findings_audit-line-sense = { $who } runs { $way }, and { $asked } is asked for
findings_audit-line-open = { $who } is an open cut, and its shape is closed
findings_audit-line-lead = { $who } has a lead { $length } mm long, and one of radius { $radius } mm is asked for
findings_audit-line-inches-large = { $what } (it is 25.4 times too large: inches and millimetres are mixed up)
findings_audit-line-inches-small = { $what } (it is 25.4 times too small: inches and millimetres are mixed up)
findings_audit-line-turned = { $what } (it is turned)
findings_audit-line-mirrored = { $what } (it is mirrored)
findings_audit-line-elsewhere = { $what } (it lies elsewhere)
findings_audit-line-beside = { $who } cuts into a shape beside it that is to stay, at ({ $x }, { $y })
findings_audit-hole-extra = { $who } has a hole at ({ $x }, { $y }) that is not asked for
findings_audit-hole-several = { $who } has { $count } holes at ({ $x }, { $y }), and one is asked for
findings_audit-hole-none = { $who } has no holes at ({ $x }, { $y }), and one is asked for
findings_audit-hole-diameter = { $who } makes a hole of { $made } mm at ({ $x }, { $y }), and { $asked } mm are asked for
findings_audit-hole-turns = { $who } is cleared by turns more than { $most } mm apart
findings_audit-hole-sense = { $who } runs clockwise, and counter-clockwise is asked for
findings_audit-hole-wall = { $who } does not go all the way round its wall: it stays { $off } mm away from ({ $x }, { $y })
findings_audit-burn-passes = { $who } follows { $made } mm of lines, and { $asked } mm are asked for in { $passes } passes
findings_audit-finish-extra = { $who } has a finishing lap, and none is asked for
findings_audit-floor-left = { $who } leaves one of its floors uncut
findings_audit-cuts-extra = { $who } cuts where nothing is asked for
findings_audit-pocket-rings = { $who } clears by rings more than { $most } mm apart, at ({ $x }, { $y })
findings_audit-pocket-standing = { $who } leaves wood standing that is to be cleared, at ({ $x }, { $y })
findings_audit-pocket-open-edge = { $who } runs { $by } mm too far past its open edge, at ({ $x }, { $y })
findings_audit-pocket-wall = { $who } clears { $by } mm too near its wall, at ({ $x }, { $y })
findings_audit-pocket-at-once = { $who } goes down at once along a wall where nothing was cleared before it
findings_audit-pocket-angle = { $who } has no lines at { $angle } degrees in a piece of its floor
findings_audit-pocket-lines = { $who } clears by lines up to { $apart } mm apart, and { $asked } mm are asked for
findings_audit-pocket-many-lines = { $who } clears by { $count } lines, too many for the { $asked } mm between them that are asked for
findings_audit-pocket-short-lines = { $who } clears by lines that do not run from wall to wall
findings_audit-rest-lead = { $who } has a lead of its second bit { $length } mm long, and one of radius { $radius } mm is asked for
findings_audit-rest-at-once = { $who } goes down at once with its second bit where wood is left
findings_audit-rest-far = { $who } takes its second bit { $by } mm too far from wood that the first leaves, at ({ $x }, { $y })
findings_audit-rest-standing = { $who } leaves wood standing that its second bit reaches, at ({ $x }, { $y })
findings_audit-rest-wall-left = { $who } leaves out a wall that its second bit has to cut, at ({ $x }, { $y })
findings_audit-rest-wall = { $who } clears { $by } mm too near its wall with its second bit, at ({ $x }, { $y })
findings_audit-rest-rings = { $who } has rings of its second bit more than { $most } mm apart, at ({ $x }, { $y })
findings_audit-rest-lines = { $who } has lines at { $angle } degrees of its second bit more than { $most } mm apart, at ({ $x }, { $y })
findings_audit-rest-extra = { $who } has cuts of its second bit where nothing is asked for
findings_audit-rest-first-reaches = { $who } has cuts of its second bit, and the first reaches as far
findings_audit-rest-off-line = { $who } runs its second bit { $off } mm off the line along the wall that it has to follow, at ({ $x }, { $y })
findings_audit-rest-sense = { $who } runs its second bit along a wall the wrong way round
findings_audit-uncut = { $part } { $operation } stays uncut at { $spot }, where the job's own bit would cut
findings_audit-uncut-fix = build it for a narrower bit

# Depths, entries and tabs.
findings_audit-role = is a { $role }, and a { $kind } is asked for
findings_audit-depth = goes down to z = { $made }, and the job file asks for z = { $asked }
findings_audit-begins = begins at { $what }, and the job file asks for { $why }
findings_audit-stepdown = has { $what }, and the job file asks for { $why }
findings_audit-stepdown-other = has { $what }, and the job file asks for { $asked } mm
findings_audit-no-levels = has no levels, and merge_stepdowns gives it some
findings_audit-levels-astray = has levels { $levels } that do not lead down to its bottom
findings_audit-bite = takes { $bite } mm at once, and its stepdown is { $stepdown } mm
findings_audit-levels-many = goes down in { $count } levels, and { $fewest } are enough for the stepdown asked for
findings_audit-finish-depth = takes off its allowance { $given } mm deep at a time, and the job file asks for full depth at once
findings_audit-burn-height = runs at z = { $z }, and the board's top is at { $top }
findings_audit-burn-field = has { $field } { $made }, and a beam has none
findings_audit-entry = is entered by { $entry }, and the job file asks for { $either }
findings_audit-tabs-count = has { $count } tabs, and { $either } are asked for
findings_audit-tabs-size = has a tab { $width } mm wide and { $height } mm high, and { $u } mm and { $v } mm are asked for
findings_audit-tabs-shape = has { $shape } tabs, and { $asked } ones are asked for
findings_audit-tabs-two = has { $count } tabs, and at least two are needed
findings_audit-tabs-load = has { $count } tabs, and by the estimate the load is { $percent } % of what they bear
findings_audit-tabs-open = it is not judged whether the tabs hold: the machine or the material is not known

# The finished parts.
findings_audit-part-missing = { $part } is not among the finished parts
findings_audit-part-extra = { $part } is a finished part that the job file does not ask for
findings_audit-part-no-edge = { $part } has no edge, and the job file gives it one
findings_audit-part-edge = { $part } has an edge that is not asked for
findings_audit-part-edge-off = the edge of { $part } lies { $off } mm beside what is drawn
findings_audit-part-skin = the finished part { $part } has a skin of { $made } mm under the cut round it, and the job file asks for { $asked } mm
findings_audit-part-recess = { $part } has a recess or hole at { $spot } that no operation asks for
findings_audit-part-chamfer = { $part } has a chamfered edge round { $spot } that no operation asks for
findings_audit-shape-missing = { $who } is not among the part's finished shapes
findings_audit-shape-core = the core of { $who } is { $made }, and the job file asks for { $either }
findings_audit-shape-depth = { $who } goes { $what } in the finished part, and the job file asks for it { $why }
findings_audit-edge-missing = { $who } is not among the part's chamfered edges
findings_audit-edge-side = { $who } is promised on the other side of its line
findings_audit-edge-bottom = { $who } is promised down to z = { $made }, and its width asks for z = { $asked }
findings_audit-edge-slope = { $who } is promised { $made } mm wide for each mm of height, and the bit's angle makes it { $asked }
findings_audit-edge-top = { $who } is promised up to another height than that of its edge

# Order.
findings_audit-pair = { $one } before { $other } is asked for, and the job does not say so
findings_audit-pair-bits = { $one } with the first bit before { $other } is asked for, and the job does not say so

# What could not be compared.
findings_audit-unread-keys = the audit does not understand these keys of the job file: { $keys }
findings_audit-unread-pass = the audit does not know what the pass { $pass } does
findings_audit-unread-compare = job file and job cannot be compared
findings_audit-unread-compare-why = job file and job cannot be compared ({ $error })
findings_audit-unread-shape = shape { $shape } of { $part } is not read by the audit
findings_audit-unread-shape-why = shape { $shape } of { $part }: { $known }
findings_audit-unread-corners = it is not clear to the audit where a drawing has corners to be relieved
findings_audit-unread-layers = layers and colours within the blocks of a DXF are not read by the audit
findings_audit-unread-size = neither the drawing nor the job file (units) says how large the drawing is
findings_audit-unread-not-svg = the file is not an SVG
findings_audit-unread-svg-size = an SVG without a viewBox, or whose width is not a length, is not read by the audit
findings_audit-unread-svg-element = an SVG with { $name } in it is not read by the audit
findings_audit-unread-svg-attribute = { $name } = { $value } in an SVG is not read by the audit
findings_audit-unread-dxf-pieces = a DXF object in several pieces is not read by the audit
findings_audit-unread-transform = the transform { $name } with { $count } numbers is not read by the audit
findings_audit-unread-extra = the extra { $name } is not installed
findings_audit-unread-hole = a hole that is not a circle is not judged by the audit
findings_audit-unread-operation = no operation of the job file asks for it
findings_audit-no-job-file = there was no job file: the job was given as toolpaths
findings_audit-no-job-file-middle = the file begins in the middle of a job: what the job file asks is judged only for the whole job
findings_audit-no-job-file-elsewhere = there is no job file: the job was understood from a cut file that was made elsewhere
findings_audit-no-job-file-older = made by an older version: what the job file asks is not judged
findings_audit-no-job-file-given = the job, machine or set-up given is not the one that the folder was built with
findings_audit-no-job-file-named = the certificate names no job file
findings_audit-no-job-file-unread = the job file or tool table cannot be read
findings_audit-no-job-file-changed = changed since the build: { $names }
findings_audit-no-job-file-missing = missing: { $where }
