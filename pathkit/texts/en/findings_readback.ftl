# What reading a cut file cannot follow (pathkit.readback).

# A line asked for.
findings_readback-line-none-one = there is no line { $number }: { $file } has 1 line
findings_readback-line-none = there is no line { $number }: { $file } has { $count } lines
findings_readback-line-none-fix = give a line from 1 to { $count }
findings_readback-stopped-at = reading stopped at line { $line } after { $count } findings
findings_readback-stopped-here = reading stopped here after { $count } findings
findings_readback-stopped-fix = is this a file for { $controller }?
findings_readback-no-words = this dialect is not made of word addresses: it has no grammar to read a file by
findings_readback-no-words-fix = use the dialect's own reader
findings_readback-no-words-foreign = a file that is not made of words is read by foreign_line
findings_readback-no-words-lenient = a file that is not made of words is read by its dialect's own reader
findings_readback-no-words-here = only what is made of words is read here
findings_readback-start = start is { $given }; give three numbers in mm, NaN where unknown

# Words that cannot be followed.
findings_readback-cycle = a drill cycle with impossible numbers: bottom above R, or too many holes or pecks
findings_readback-cycle-fix = correct R, Z, Q or L
findings_readback-cycle-not-followed = { $code } is not followed
findings_readback-cycle-not-followed-plane = { $code } is not followed outside the XY plane
findings_readback-axis-words = axis words beside { $code } make a separate move
findings_readback-machine-place = G53 moves to a place that only a homed machine knows
findings_readback-arc-plane = an arc in the { $plane } plane: arcs are read in the XY plane only
findings_readback-arc-plane-fix = write it as short lines
findings_readback-length-table = G43 takes a length from the controller's tool table, which the file does not say
findings_readback-length-over = G43.1 over a length offset that the file has not set: the position of Z is not known
findings_readback-shift-restored = G92.3 restores a shift that the file does not say
findings_readback-tool-unchosen = M6 changes to a tool that the file has not chosen
findings_readback-begin-fix = begin with Z alone to a safe height, then a rapid to X and Y, with G90
findings_readback-nothing-moves = nothing moves in this file
findings_readback-nothing-cut = nothing is cut in this file: it holds rapids only
findings_readback-nothing-fix = is it the right one?

# A dialect's own reader.
findings_readback-reader = the reader of the dialect { $dialect } { $what }
findings_readback-reader-failed-fix = let it report what it cannot read as a Finding with its line, and never raise
findings_readback-reader-returned-fix = return Reading(program, findings)
findings_readback-reader-program-fix = give Reading a Program: a row for each move, with the line that it stands in
findings_readback-reader-frame-fix = give Program(…, frame="controller"): the numbers as they stand in the file

# Words of files that were made elsewhere.
findings_readback-name-axes = { $code } turns or tilts the work or the head: only files for X, Y and Z are read
findings_readback-name-axes-fix = post it for three axes
findings_readback-name-second-axis = { $code } is a second axis along X, Y or Z, or a lathe's: only files for X, Y and Z are read
findings_readback-name-lathe = { $code } is a word of lathes
findings_readback-name-lathe-fix = post it for a three-axis mill
findings_readback-name-radius = { $code } shifts the path by a bit's radius that only the controller knows
findings_readback-name-radius-fix = post it with the radius worked out, so that the file holds the bit's own path
findings_readback-name-program = { $code } calls another program, or begins one: what it does is not in these lines
findings_readback-name-program-fix = post it as one program, without subprograms
findings_readback-name-macro = { $code } is a parameter, an expression or a macro: its value is known to the controller alone
findings_readback-name-macro-fix = post it with plain numbers
findings_readback-name-probing = { $code } moves until something is touched, which the file does not say
findings_readback-name-probing-fix = take the probing out
findings_readback-name-curve = { $code } is a curve that is neither a line nor an arc
findings_readback-name-curve-fix = post it with lines and arcs
findings_readback-name-cycle = { $code } is a cycle that controllers run in different ways
findings_readback-name-cycle-fix = post it with G0 and G1, or with G81 to G83
findings_readback-name-turned = { $code } turns, scales or mirrors all that follows, or ends that
findings_readback-name-turned-fix = post it without
findings_readback-name-shift = { $code } shifts the zero in a way that not all controllers share
findings_readback-name-shift-fix = post it without, or with G92
findings_readback-name-per-turn = { $code } feeds by the turn of the spindle
findings_readback-name-per-turn-fix = post it with G94
findings_readback-name-lathe-speed = { $code } is a word of lathes: it says what S means
findings_readback-name-lathe-speed-fix = take it out: S is read as turns a minute
findings_readback-name-signal = { $code } switches or waits for a signal of one machine alone
findings_readback-name-signal-fix = take it out if nothing moves by it
findings_readback-name-printer = { $code } feeds a printer's plastic
findings_readback-name-printer-fix = give a file for a router
findings_readback-name-settings = { $code } is a command to the controller's settings, not a block
