# Machines, their controllers and their files (pathkit.machine, posting, motion).

# What a profile may set.
findings_machine-output-may = a profile may set: suffix, { $names }
findings_machine-output-cannot = [output] cannot set { $name }
findings_machine-output = [output] { $field } = { $shown }
findings_machine-output-suffix-fix = a dot and letters or digits, such as ".nc"
findings_machine-output-speed-fix = one of: { $names }, or the S of the fastest speed, such as 1000
findings_machine-output-word-fix = leave it out: this controller needs the word in every block
findings_machine-output-numbers-fix = leave it out: this controller reads no block numbers
findings_machine-output-circle-fix = leave it out: this controller's 32-bit floats may take a whole turn for none

# A controller's grammar.
findings_machine-grammar-mark = { $mark } cannot mark a checksum
findings_machine-grammar-checksum = no checksum is computed by { $kind }
findings_machine-grammar-meaning = { $code } has no meaning to the reader
findings_machine-grammar-meaning-fix = take a code from GROUP_OF
findings_machine-grammar-group = { $code } is not in the modal group { $group }
findings_machine-grammar-fault = { $name } is not the name of a fault
findings_machine-grammar-stand-for = { $code } is not a code that can stand for { $meant }

# Run time.
findings_machine-time-feeds = { $count } cutting moves have no known feed, the first is row { $row }
findings_machine-time-feeds-fix = set F before the first cut
findings_machine-time-far = { $name } holds a place more than { $far } mm away; no machine reaches that far
findings_machine-time-chords = its arcs make { $count } chords of { $tolerance } mm tolerance; that is no cut of a board
findings_machine-time-bytes-shape = line_bytes has the shape { $shape }; give one number for each of the { $count } rows
findings_machine-time-bytes = line_bytes holds a number that is negative or not finite; give the bytes of each line

# Profiles.
findings_machine-datum = the program carries no stock, so the datum corner is unknown; give Program(stock=…)
findings_machine-axes-line = X runs { $x } and Y runs { $y }: the same line
findings_machine-axes-line-fix = one of them runs right or left, the other away or toward
findings_machine-spindle-range = min { $low } is above max { $high }
findings_machine-spindle-range-fix = give at most as much
findings_machine-heights = approach { $approach } is above travel { $travel }
findings_machine-hand = axes x { $x }, y { $y }, z { $z } are { $hand }, but left_handed = { $given }
findings_machine-hand-fix = look at the machine again: the wrong value cuts a mirror image
findings_machine-homed = homed without low in [travel]
findings_machine-homed-fix = give the machine coordinate of each axis' lower end

# Posting.
findings_machine-posted-for = posted for { $one }, not for { $other }
findings_machine-air-cut = the program carries no stock, so the height of the air cut is unknown; give Program(stock=…)
findings_machine-files = { $count } files have no single text; use .files

# A program's columns.
findings_machine-sense-fix = 1 clockwise, -1 counter-clockwise, 0 off
findings_machine-offset-fix = G54 to G59, say
findings_machine-column-holds = { $field } holds { $shown }
findings_machine-column-holds-fix = pass { $field } of { $types }
findings_machine-column-fractions = { $field } holds fractions
findings_machine-column-type = { $field } does not fit { $type }
findings_machine-column-shape = { $field } has the shape { $shape }
findings_machine-column-shape-fix = it must be { $shape }
findings_machine-event-order = event_at must not decrease and must lie between 0 and the number of rows
findings_machine-cycle-rows = cycle { $number } covers missing rows
findings_machine-row-kind = row { $row } is not RAPID, LINE or ARC
findings_machine-row-end = row { $row } has an infinite end
findings_machine-row-centre = row { $row } is an arc without a centre
findings_machine-row-sweep = row { $row } is an arc without a sweep
findings_machine-row-feed = row { $row } has a feed that is not positive
findings_machine-row-feed-infinite = row { $row } has an infinite feed
findings_machine-row-power = row { $row } has a power that is not a share from 0
findings_machine-row-toolpath = row { $row } names no toolpath
