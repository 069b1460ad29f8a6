# What is wrong with a dialect, and with a program that it is to write; findings.ftl tells how it is recognised.

# What a dialect claims and cannot do (pathkit.dialect.claims).
findings_dialect-unusable = the dialect { $name } cannot be used: { $what }
findings_dialect-unusable-fix = declare what the controller's documents say, the same in capabilities, words and grammar
findings_dialect-no-dialect = { $name } is not an instance of Dialect
findings_dialect-declares-nothing = it declares no capabilities or no words
findings_dialect-lacks = it declares no { $lacking }
findings_dialect-no-reader = it has neither a grammar nor a reader of its own
findings_dialect-claims-arcs = it claims arcs = { $arcs }, but its words have { $names }
findings_dialect-claims-arcs-none = it claims arcs = { $arcs }, but its words have none
findings_dialect-claims-no-word = it claims { $group } { $names }, but has no word for it
findings_dialect-claims-units = it counts in { $units }, but declares no decimals for that
findings_dialect-claims-line-numbers = it claims line numbers, but has no word for them
findings_dialect-claims-line-numbers-opening = it claims line numbers, but each line begins with a text of its own
findings_dialect-claims-first-line = it numbers lines from { $first }, but its controller reads 0 to { $last }
findings_dialect-claims-line-steps = it numbers lines in steps of { $step }
findings_dialect-claims-full-power = it has a beam, but does not say what S is at full power
findings_dialect-claims-beam-spindle = it has a beam, and claims that a spindle turns
findings_dialect-claims-beam-drills = it claims drill cycles for a beam
findings_dialect-claims-fastest = its fastest speed is S{ $speed }
findings_dialect-claims-unread = it claims { $capability }, but its grammar does not read { $codes }
findings_dialect-claims-any-length = it writes lines of any length, but its grammar reads { $limit } characters
findings_dialect-claims-length = it writes lines of { $count } characters, but its grammar reads { $limit } characters
findings_dialect-claims-comments = it writes comments by { $marks }, but its grammar does not read them
findings_dialect-claims-not-read = { $what }, but its grammar does not read that
findings_dialect-claims-modal = it leaves out motion words that stay the same
findings_dialect-claims-modal-feed = it leaves out feeds that stay the same
findings_dialect-claims-slanting = its rapids move Z together with X or Y
findings_dialect-claims-checksums = it writes { $what }, but its grammar reads { $why }
findings_dialect-claims-no-checksums = no checksums
findings_dialect-claims-checksums-by = checksums by { $kind } after { $mark }
findings_dialect-claims-full-circles = it claims full circles, but its grammar computes turns in 32-bit floats, which may lose them
findings_dialect-claims-tape-marks = it writes tape marks, but its grammar does not read them

# What a program, or a dialect's own code, makes impossible to write (pathkit.dialect).
findings_dialect-line-numbers-opening = line_numbers = true, but in this dialect each line begins with a text of its own
findings_dialect-line-numbers-no-word = line_numbers = true, but this dialect has no word for them
findings_dialect-line-numbers-fix = leave it out
findings_dialect-long-block = a block of { $count } characters; the controller reads { $most }
findings_dialect-between = the dialect { $name }: { $between } between words, not one plain character
findings_dialect-strange-word = the dialect { $name }: the word for { $field } is { $word }
findings_dialect-strange-word-fix = take at most { $most } characters of printable ASCII without ! ? ~
findings_dialect-strange-line = the dialect { $name }: { $hook } returned the line { $line }
findings_dialect-strange-line-fix = write lines of printable ASCII without ! ? ~, none empty; pass outside text through context.comment
findings_dialect-no-block = the dialect { $name }: { $hook } returned { $line }, which is no block of a program
findings_dialect-hook-failed = the dialect { $name }: { $hook } failed: { $error }
findings_dialect-rewritten = the dialect { $name }: rewrite returned no text of as many plain lines
findings_dialect-rewritten-ends = { $name }: rewrite changed the line ends
findings_dialect-rewritten-fix = return printable ASCII without ! ? ~, with the { $count } lines that were given, none empty, and their ends
findings_dialect-bench-frame = the program is in the bench frame; orient it to the controller's axes first
findings_dialect-arcs = arcs = { $arcs }, which this dialect cannot write
findings_dialect-power = moves with the power of a beam: this dialect has no beam
findings_dialect-post-for-beam = post for the machine with the beam
findings_dialect-first-not-rapid = the first move is not a rapid along Z
findings_dialect-first-not-rapid-fix = rise to travel height first
findings_dialect-first-sideways = the first move goes sideways, below the program's greatest height
findings_dialect-first-sideways-fix = begin with Z alone, to travel height: the bit may be beside the board
findings_dialect-row-more = { $what } (and { $count } more)
findings_dialect-row-no-feed = row { $row } cuts without a feed
findings_dialect-row-no-feed-fix = give it one
findings_dialect-row-lit = row { $row } is a rapid with the beam on
findings_dialect-row-lit-fix = give rapids a power of 0
findings_dialect-row-over = row { $row } has more than full power
findings_dialect-row-over-fix = 1 is full power
findings_dialect-row-nowhere = row { $row } cuts from or to a place that the program does not give
findings_dialect-row-nowhere-fix = move there first
findings_dialect-row-own-start = row { $row } is an arc about its own start
findings_dialect-row-own-start-fix = give the centre
findings_dialect-row-disagrees = row { $row } is an arc whose start, end, centre and sweep disagree
findings_dialect-feed-rounds = feed { $feed } mm/min: with { $decimals } decimals it rounds to 0
findings_dialect-feed-rounds-fix = give a faster feed
findings_dialect-digits = a number of { $number } needs more than the { $digits } digits that the controller reads
findings_dialect-digits-fix = bring the zero nearer to the work
findings_dialect-early-stop = a stop before the last move: moves after the program's end
findings_dialect-early-stop-fix = cut the program there
findings_dialect-no-beam = the beam: this dialect has none
findings_dialect-constant = the beam at constant power: it would burn on where the machine stands
findings_dialect-constant-fix = make it dynamic
findings_dialect-no-spindle = spindle { $speed } rpm: this dialect has a beam and no spindle
findings_dialect-no-spindle-fix = post for the machine with the spindle
findings_dialect-sense = spindle sense { $sense }: this dialect has { $senses }
findings_dialect-no-speed = spindle { $speed } rpm: a speed must be more than 0
findings_dialect-no-speed-fix = give the cut a spindle speed
findings_dialect-speed = spindle { $speed } rpm: { $machine } turns between { $low } and { $high } rpm
findings_dialect-speed-fix = change the cut's speed or the profile's [spindle]
findings_dialect-tool-number = tool number { $number }: the controller counts to { $most }
findings_dialect-tool-number-fix = give it a smaller one
findings_dialect-dwell = a dwell of { $seconds } s: a time is 0 or more
findings_dialect-coolant = coolant { $kind }: this dialect has { $names }
findings_dialect-coolant-none = coolant { $kind }: this dialect has none
findings_dialect-offset-set-up = work offset { $name }: the set-up has { $other }
findings_dialect-offset-set-up-fix = make the two agree
findings_dialect-offset-later = work offset { $name } after others: the place of the bit would be unknown
findings_dialect-offset-later-fix = one file for each
findings_dialect-offset = work offset { $name }: this dialect has { $names }
findings_dialect-offset-none = work offset { $name }: this dialect has none

# Which dialect a text is in (pathkit.api).
findings_dialect-posted-in = this was posted in the dialect { $written }, and is to be read as { $name }
findings_dialect-posted-in-fix = give dialect={ $written }, or the dialect itself
findings_dialect-start-said = files of the dialect { $name } say where the bit begins; leave start out
findings_dialect-twin-files = the twin has { $count } files, and what it is to be a twin of { $other }
