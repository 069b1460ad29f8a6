# What the library's checks say, as far as it may stand on a page or in a letter. Each English text is the pattern by
# which a finding is recognised: it must be the sentence as it stands in the code, word for word. In the values of
# $what and $why other messages of this file are recognised, too. Names come in quotes.

# --- what no proof of a text can show (pathkit.proof.certificate) -------------------------------------------------
findings-open-board = that the board is the material, the size and the flatness that the job says
findings-open-machine = that the machine is in order and moves as its profile says
findings-open-bit = that the bit is the one named, whole and sharp
findings-open-hold = that the board and its parts are held well enough
findings-open-feeds = that feeds, speeds and depths suit bit, material and machine

# --- why a check was not run, or what it leaves open ---------------------------------------------------------------
findings-missing-program = no program (or job) to compare with
findings-missing-board = the board is not known
findings-missing-job = no job was given
findings-missing-parts = the job draws no parts
findings-missing-files = the other files of the job are not at hand
findings-by-hand = the spindle is switched by hand: nothing in the file can prove that it turns
findings-by-hand-fix = switch it on at the first pause, at the speed that it names, and off at the last
findings-by-hand-speed = the spindle is switched by hand: that it turns, and how fast, is not proved
findings-spins-up = { $waited } s from the spindle's start to this cut; it needs { $wanted } s to spin up
findings-dwell = a dwell of { $seconds } s
findings-practice = common practice, no source

# --- what looks like inches (pathkit.jobs.wrong_unit, pathkit.machine.limits) ----------------------------------------
findings-inches = { $names } = { $given } looks like { $inch } ({ $meant } { $plain }), and a plain number is { $unit }
findings-inches-fix = if so, write { $inches }; if it is right, { $right }
findings-inches-part = the part { $part } measures { $given } mm, which looks like inches ({ $meant } mm)
findings-inches-part-fix = if so, write its lengths as "1.5in", or units = "inch" for a drawing; if it is right, write one as "1.5mm"
findings-inches-travel = it moves { $travel } mm, which looks like inches; those would be { $inches } mm
findings-inches-travel-fix = look at travel in its profile: { $values } if inches were meant

# --- what a job leaves out or changes ---------------------------------------------------------------------------------
findings-left-out-operation = the operation { $operation } of { $part } is left out, as asked: the part is not finished when the file ends
findings-left-out-operation-fix = make this cut by other means
findings-left-out = left out, as asked: { $operations }; these parts are not finished
findings-left-out-drawn = { $name } is left out: { $why }
findings-left-out-inner = it is a drawing within the drawing
findings-left-out-text = turn it into a path first
findings-left-out-no-shape = it is not a shape
findings-left-out-symbol = its symbol has a viewBox of its own; ungroup it
findings-left-out-invisible = it has neither stroke nor fill, so it is not visible
findings-left-out-not-cut = it is not a shape that can be cut
findings-left-out-block = it cannot be placed as the block asks
findings-turned-board = { $machine } takes the board of { $taken }; the larger one of { $larger } fits if it is turned by a quarter
findings-turned-board-fix = to use it, set turn = { $turn } for this machine in [[machine]], or give --turn { $given }
findings-other-bit = built for a bit of { $diameter } mm in place of { $name } ({ $before } mm): offsets, tabs and pockets are adapted; feeds are scaled with the diameter and are starting points
findings-other-bit-fix = check flutes, length and reach of the bit; only its diameter is known

# --- rehearsal, zero, changes of the bit -------------------------------------------------------------------------------
findings-not-rehearsed = { $machine } has not been rehearsed: nobody has seen whether its axes run as the profile says
findings-not-rehearsed-fix = rehearse it: { $command }
findings-rehearsed-before = axes, corner or words of { $machine } have changed since it was rehearsed
findings-zero-where-it-starts = its files take as zero the place where the bit is when they start
findings-zero-jog-front-left = before each start jog it to the front left corner of the board, its tip on the top; the air cut as well
findings-zero-jog-front-right = before each start jog it to the front right corner of the board, its tip on the top; the air cut as well
findings-zero-jog-back-left = before each start jog it to the back left corner of the board, its tip on the top; the air cut as well
findings-zero-jog-back-right = before each start jog it to the back right corner of the board, its tip on the top; the air cut as well
findings-zero-jog-centre = before each start jog it to the middle of the board, its tip on the top; the air cut as well
findings-files = { $count } files, one for each bit: run them in their order, and set Z again after each change
findings-change = the bit changes to { $bit }: set Z again unless both stick out equally far
findings-change-perhaps = the bit changes to { $bit }: set Z again, if the control lets you, unless both stick out equally far
findings-change-no-jog = while it waits for { $bit } this controller takes no jog and no zero
findings-change-no-jog-fix = make every bit stick out equally far, or have a file for each: [output] tool_change = "files"
findings-pause-off = the spindle is switched off before a pause and on again after it
findings-chords = { $count } arcs are written as chords
findings-arcs-in-parts = { $count } arcs are written in parts

# --- order, tabs, stepdowns ----------------------------------------------------------------------------------------------
findings-inside-later = { $before } before { $after }, as the job says, although { $inner } lies inside it or prepares for it
findings-inside-later-fix = make sure that the piece is held after its outline is cut
findings-contradicts = need not wait for { $before }, though { $why }: the order that the job asks for contradicts it
findings-contradicts-fix = make sure that the piece is held meanwhile
findings-narrow-tabs = its tabs are only { $width } mm wide, since it has no room for { $asked } mm
findings-narrow-tabs-several = its tabs are only { $width } mm wide, since it has no room for { $asked } mm ({ $count } toolpaths, the narrowest tab has { $least } mm)
findings-weak-tabs = by estimate a dull bit pushes { $part } with { $push } N and lifts it with { $lift } N, more than { $count } tabs can hold
findings-weak-tabs-tape = by estimate a dull bit pushes { $part } with { $push } N and lifts it with { $lift } N, more than { $count } tabs and the tape can hold
findings-weak-hold = by estimate a dull bit pushes { $part } with { $push } N and lifts it with { $lift } N, more than nothing but the board around it can hold
findings-weak-tape = by estimate a dull bit pushes { $part } with { $push } N and lifts it with { $lift } N, more than nothing but the board around it and the tape can hold
findings-weak-tabs-fix = hold_tabs = {"{"} count = "auto" {"}"} takes as many tabs as the estimate asks; or put tape under it
findings-given-order = the given order does not keep precedence, so the travel before it cannot be compared with that after
findings-capped = the cap of { $seconds } s ended the search or its bound; another run may find others
findings-capped-fix = lower effort, or drop seconds
findings-joined = joined with { $toolpaths }
findings-steady = steady load: { $before } s become { $after } s, and the thickest chip of { $thick } mm a tooth becomes one of { $thicker } mm (both are estimates)
findings-slivers = { $what } keeps slivers in corners too sharp for a bit of { $diameter } mm: { $places }
findings-slivers-fix = a smaller bit reaches further
findings-recess-of-part = recess { $number } of the part { $part }
findings-hole-of-part = hole { $number } of the part { $part }
findings-kept-order = cuts in the order of the earlier build: { $kept } of { $there }; new cuts: { $new }, cuts no longer there: { $gone }
findings-ordered-anew = it was not in the earlier build whose order is kept, so it is ordered anew
findings-no-earlier-build = no earlier build of { $names } in { $folder }
findings-no-earlier-build-fix = name the folder that was built, or keep no order
findings-travel-not-ordered = the job says that its travel is not ordered
findings-travel-not-ordered-fix = drop order_travel = false, or keep no order

# --- the machine's room and feeds --------------------------------------------------------------------------------------------
findings-beyond = the bit reaches beyond the board's edges: { $where }, as you face the machine
findings-beyond-fix = keep clamps, rails and fingers out of there
findings-too-fast = { $count } moves ask for up to { $asked } mm/min, and { $machine } moves { $limits }: { $why }. Where it slows down, chips are thinner than intended; the run time is computed with the limit
findings-slows-down = the controller slows the whole move down until every axis keeps its limit
findings-slows-unknown = what this controller does then is not known here; it may slow down, stop, or lose its place
findings-value-works = { $value } works
findings-value-works-share = { $value } works; for this machine alone, if it has no share yet: { $share } in [[machine]]
findings-room = the board needs { $size } mm along { $axis }, but { $machine } moves { $room } mm
findings-room-fix = take a board that measures at most { $room } mm there (width, depth), or turn it
findings-no-units = { $dialect } takes no dimensions in { $units }

# --- chips and speeds ------------------------------------------------------------------------------------------------------------
findings-start-feeds = feeds for { $bit } in { $material } are a starting point (common practice, no source): try it on waste first
findings-counted = { $what } ({ $count } toolpaths)
findings-rubs = { $bit } takes { $chip } mm a tooth, and usual in { $material } is { $low } to { $high } mm: it rubs and burns
findings-rubs-deep = { $bit } takes { $chip } mm a tooth, and usual in { $material } is { $low } to { $high } mm at { $depth } mm deep: it rubs and burns
findings-rubs-partly = { $bit } takes { $chip } mm a tooth with { $width } mm of it in the wood, and usual in { $material } is { $low } to { $high } mm: it rubs and burns
findings-rubs-partly-deep = { $bit } takes { $chip } mm a tooth with { $width } mm of it in the wood, and usual in { $material } is { $low } to { $high } mm at { $depth } mm deep: it rubs and burns
findings-rubs-limited = { $bit } takes { $chip } mm a tooth at the { $feed } mm/min that { $machine } can move, and usual in { $material } is { $low } to { $high } mm: it rubs and burns
findings-rubs-limited-deep = { $bit } takes { $chip } mm a tooth at the { $feed } mm/min that { $machine } can move, and usual in { $material } is { $low } to { $high } mm at { $depth } mm deep: it rubs and burns
findings-rubs-partly-limited = { $bit } takes { $chip } mm a tooth with { $width } mm of it in the wood at the { $feed } mm/min that { $machine } can move, and usual in { $material } is { $low } to { $high } mm: it rubs and burns
findings-rubs-partly-limited-deep = { $bit } takes { $chip } mm a tooth with { $width } mm of it in the wood at the { $feed } mm/min that { $machine } can move, and usual in { $material } is { $low } to { $high } mm at { $depth } mm deep: it rubs and burns
findings-rubs-fix = feed faster, or turn slower
findings-breaks = { $bit } takes { $chip } mm a tooth, and usual in { $material } is { $low } to { $high } mm: it may break
findings-breaks-deep = { $bit } takes { $chip } mm a tooth, and usual in { $material } is { $low } to { $high } mm at { $depth } mm deep: it may break
findings-breaks-limited = { $bit } takes { $chip } mm a tooth at the { $feed } mm/min that { $machine } can move, and usual in { $material } is { $low } to { $high } mm: it may break
findings-breaks-limited-deep = { $bit } takes { $chip } mm a tooth at the { $feed } mm/min that { $machine } can move, and usual in { $material } is { $low } to { $high } mm at { $depth } mm deep: it may break
findings-breaks-fix = feed slower, or turn faster
findings-rubs-down = { $bit } takes { $chip } mm a tooth on its way down, and usual is { $low } to { $high } mm: it rubs and burns
findings-rubs-down-fix = plunge faster, or turn slower
findings-breaks-down = { $bit } takes { $chip } mm a tooth on its way down, and usual is { $high } mm at most: it may break
findings-breaks-down-fix = plunge slower, or turn faster
findings-rubs-short = { $bit } is to feed at { $asked } mm/min and reaches { $reached } at most on average: its moves are short, and { $machine } accelerates by { $acceleration } mm/s². Its chips are { $chip } mm a tooth, and usual in { $material } is { $low } mm or more: it rubs and burns
findings-rubs-short-fix = turn slower, or take a bit with fewer flutes
findings-packs = { $bit } goes { $depth } mm down at once, and the chips pack beyond { $diameters } diameters
findings-packs-fix = peck = { $peck }, which clears them
findings-cone = { $bit } cuts { $depth } mm deep at once, and its cone ends { $cone } mm above its tip
findings-cone-fix = stepdown = { $stepdown }, or a wider bit
findings-deep = { $bit } cuts { $depth } mm deep at once, and usual in { $material } is up to { $usual } mm
findings-deep-fix = stepdown = { $stepdown }, or less
findings-edge = the edge of { $bit } runs at { $speed } m/min, and usual in { $material } is { $usual } at most: it burns or melts
findings-edge-fix = spindle = { $speed }, or less
findings-turns = the spindle turns at { $speed } rpm; usual is { $low } to { $high }
findings-turns-fix = choose a speed in that range, and a feed to match
findings-not-judged = chips of a cut in space are not judged: how deep it is at each place is not known here
findings-material-caution = { $material }: { $why } (common practice, no source)
findings-melts = it melts on a bit that rubs: use a sharp bit with few flutes, cut thick chips and blow them out
findings-pvc-foam = make sure that it is not PVC foam, which must not be cut

# --- a file and what lies beside it ----------------------------------------------------------------------------------------------------
findings-file-as-sent = the file as sent
findings-file-returned = the returned file
findings-file-changed = the file was changed since it was proved: nothing in it is proved any more
findings-file-changed-fix = do not run it; take the file as it was sent, or build it again
findings-no-certificate = no certificate lies beside the file: toolpaths and board are not known, and nothing is proved
findings-no-certificate-fix = put the file back beside its certificate
findings-air-cut = this is the air cut: the same motion, raised above the board, with the spindle off
findings-came-back-changed = the file that came back is not the one that was sent: nothing that was proved holds for it
findings-came-back-changed-fix = do not run it; send the file again, best packed or with its SHA-256
findings-later-files = it ends where its bit does; the files of { $count } later bits follow it
findings-later-files-fix = run those of the folder after it, in order
findings-starts-with = it starts with the bit { $bit }
findings-starts-with-fix = put it in, and set Z
findings-taken-as-cut = what comes before it ({ $count } toolpaths) is taken to be cut already: { $toolpaths }
findings-taken-as-cut-fix = look at the board; start earlier if one of them is not done

# --- two files compared --------------------------------------------------------------------------------------------------------------------
findings-cuts-away = { $what } cuts away { $area } mm² near x { $x }, y { $y } at z { $z } (bench), and { $why } leaves it
findings-which-bit = which bit makes some of its cuts is not known
findings-feed-as-sent = cuts at F{ $got }, as sent at F{ $wanted }
findings-feed-unset-as-sent = cuts at a feed that nothing has set, as sent at F{ $wanted }
findings-signal-spindle-on-clockwise = the spindle on, clockwise, { $speed } rpm
findings-signal-spindle-on-counter = the spindle on, counter-clockwise, { $speed } rpm
findings-signal-spindle-off = the spindle off
findings-signal-pause = a pause
findings-signal-end = the program's end
findings-signal-tool = tool { $number }
findings-signal-offset = offset { $name }
findings-signal-coolant = coolant { $kind }
findings-signal-lift = a move up in machine coordinates, to { $z }

# --- what a controller refuses, or a careful reader cannot rely on (pathkit.readback) -------------------------------------------------------
findings-refused = { $what }; nothing in this block is done
findings-refused-word = { $what } ('{ $word }'); nothing in this block is done
findings-letter-expected = a word must begin with a letter here
findings-letter-expected-fix = remove the characters before it
findings-bad-number = this word has no number that can be read
findings-bad-number-fix = write digits with at most one point, no exponent
findings-system-command = a command to the controller's settings, not a block
findings-system-command-fix = take it out of the file
findings-negative = this word may not be negative
findings-negative-fix = write a value of 0 or more
findings-long-line = the line is longer than the controller takes
findings-long-line-fix = split the block, or shorten it
findings-unsupported = the controller does not have this
findings-unsupported-fix = remove it, or choose the dialect the file was written for
findings-group-twice = two codes of one modal group in a block
findings-two-blocks-fix = put them into two blocks
findings-no-feed = a feed move without a feed
findings-no-feed-fix = give an F word above 0 first
findings-not-whole = this word needs a whole number
findings-not-whole-fix = write it without decimals
findings-axis-conflict = two codes claim the axis words of one block
findings-word-twice = a word appears twice in a block
findings-word-twice-fix = remove one of them
findings-no-axis = this code needs an X, Y or Z word
findings-no-axis-fix = add one, even where it repeats the position
findings-line-number = a line number that cannot be
findings-line-number-fix = number lines at the front, with small whole numbers
findings-value-missing = a word is missing that this code needs
findings-value-missing-fix = add it
findings-no-offset = there is no work offset of that number
findings-no-offset-fix = use the numbers the controller has
findings-machine-coordinates = G53 goes only with G0 or G1
findings-machine-coordinates-fix = set G0 or G1 in the same block
findings-axis-left = axis words, though G80 ended the motion mode
findings-set-motion-fix = set G0, G1, G2 or G3 first
findings-no-plane-axis = an arc needs an axis word of its plane
findings-no-plane-axis-fix = add X or Y
findings-arc-target = the end of the arc does not lie on its circle
findings-arc-target-fix = correct the end or the centre
findings-arc-radius = the radius is too small to reach the end
findings-arc-radius-fix = give the centre by I and J
findings-no-arc-centre = an arc without a centre or a radius
findings-no-arc-centre-fix = add I and J, or R
findings-words-left = a word that nothing in this block uses
findings-remove-fix = remove it
findings-length-axis = a dynamic length offset takes exactly Z
findings-length-axis-fix = write G43.1 with Z alone
findings-tool-number = a tool number beyond what the controller has
findings-tool-number-fix = use a smaller number
findings-open-comment = a comment that is not closed
findings-open-comment-fix = close it with )
findings-nested-comment = a comment inside a comment
findings-nested-comment-fix = leave out the inner brackets
findings-no-motion = axis words, but no motion mode has been set
findings-many-m = more M words than a block may have
findings-off-plane = a centre word that does not lie in the arc's plane
findings-slanting = a rapid that moves Z together with X or Y
findings-slanting-fix = write it as two blocks: up first, or down last
findings-checksum = the line's checksum is missing or wrong
findings-checksum-fix = write the line again: it may have been damaged or edited
findings-frame = the file does not end as the controller asks
findings-frame-fix = end it with M2 or M30, or put it between % lines
findings-acts-at-once = the byte { $byte } acts on the controller the moment it arrives, even in a comment
findings-acts-at-once-several = the byte { $byte } acts on the controller the moment it arrives, even in a comment ({ $count } such bytes in this line)
findings-acts-at-once-fix = take it out: ASCII without such bytes is safe
findings-unset = the file does not say { $what }; read as after switching on, { $code }
findings-unset-fix = write { $code } first
findings-unset-units = in which units it counts
findings-unset-distance = whether its numbers are absolute
findings-unset-offset = which work offset it counts from
findings-unset-feed-mode = what F means
findings-unset-plane = in which plane it lies
findings-unset-motion = which kind of move it is
findings-unset-return = how far a drill cycle retracts
findings-unset-arc-distance = what I and J count from
findings-no-motion-read = { $what }; it is read as no motion
findings-unknown-arc = an arc from or to a place that is not known
findings-unknown-arc-fix = move to a known X and Y first
findings-expression = an expression or a parameter: its value is known to the controller alone
findings-expression-fix = write plain numbers
findings-unknown-cycle = a drill cycle from a place that is not known
findings-unknown-place-fix = move to a known X, Y and Z first
findings-unknown-feed-move = a feed move from a place that is not known
findings-unknown-increment = an increment from a place that is not known
findings-unknown-rapid = a rapid across while the height is not known
findings-unknown-retract = how far this controller retracts after a drill cycle is not known
findings-unknown-retract-fix = begin the cycle at its R plane
findings-weeks = a dwell of weeks
findings-impossible-feed = a feed that no machine reaches
findings-impossible-number = a number that no machine reaches
findings-impossible-speed = a speed that no spindle reaches
findings-impossible-fix = check the decimal point and the units
findings-look-fix = look at the number
findings-whole-turn = a whole turn that this controller's 32-bit floats may take for none: it then skips the turn without an error
findings-two-halves-fix = write it as two halves
findings-probe = probing stops where it touches, which the file does not say
findings-no-speed = the spindle starts at a speed that the file has not set
findings-arcs-g93 = this controller times arcs wrongly under G93
findings-plain-moves-fix = write G0 and G1 moves
findings-cutter-radius = the controller shifts this path by a cutter radius from its own table
findings-cutter-radius-fix = offset the path before it is written
findings-switch = a switch at the controller decides whether this block runs; it is not read
findings-switch-fix = remove the slash or the block
findings-stored-place = { $code } moves to a place stored in the controller
findings-stored-place-rewritten = { $code } rewrites a place stored in the controller
findings-offset-unsaid = { $code } moves the offset in force by an amount that the file does not say
findings-offset-where-it-is = { $code } puts the zero wherever the bit is
findings-offset-rewritten = { $code } rewrites an offset stored in the controller
findings-offset-rewritten-here = { $code } rewrites the offset in force with the bit's position
findings-shift-unsaid = { $code } ends a shift of a size that the file does not say

# Parts of lists ($where, $places, $limits).
findings-at-right = { $mm } mm at the right
findings-at-left = { $mm } mm at the left
findings-at-front = { $mm } mm at the front
findings-at-back = { $mm } mm at the back
findings-sliver-at = { $area } mm² at ({ $x }, { $y })
findings-axis-limit = { $axis } at most { $feed }
findings-part-over = the part { $part } hangs over the board: { $where }
findings-part-over-fix = take a larger board, or move the part
findings-cut-over = the cut round { $part } runs over the board's edge: { $where }
findings-cut-over-fix = leave a margin, or see that nothing holds or stops the board there

findings-fit-slot = fit = { $fit } does not move the walls of { $name }: the slot is as wide as its bit
findings-fit-slot-fix = give it a width to move them
findings-fit-drill = fit = { $fit } does not move the walls of { $name }: a drill makes holes of its own size
findings-fit-drill-fix = take a drill of another size, or mill the holes

# A beam.
findings-beam-on-the-way = travels with the beam on
findings-beam-on-the-way-fix = S0 for every rapid
findings-beam-no-feed = burns at a feed that nothing has set
findings-beam-no-feed-fix = give an F
findings-beam-over = asks for more than full power
findings-beam-over-fix = look at S, and at the profile's [output] speed
findings-beam-constant = from here on the beam also burns where the machine stands (M3)
findings-beam-constant-fix = let the power follow the speed: M4
findings-beam-waits = the machine waits here, and the beam is not switched off
findings-beam-waits-fix = M5 before it
findings-beam-stays = the beam is not switched off where the program ends
findings-beam-stays-fix = M5 before the end
findings-beam-other-power = moves with { $got } of the full power, and the program with { $wanted }
findings-beam-only-bits = it judges a bit in wood, and this is a beam: how deep it burns is not known
findings-beam-unset = the beam is on with a power that the file has not set
findings-beam-length = near x { $x }, y { $y } (bench) { $got } mm are burnt within { $disc } mm, and the job asks for { $wanted } mm
findings-beam-paused = the beam is switched off before a pause and on again after it
findings-beam-no-boards = it is for a beam: how deep that burns is not known, so no boards can be compared
findings-beam-no-boards-fix = prove each file against the job that it was made from

# --- a cut file that was made elsewhere (pathkit.lifting, pathkit.tuning, pathkit.readback.elsewhere) -----------------
findings-lift-bit = the diameter of the bit is not known; cuts that may touch for an inch-wide one keep their order
findings-lift-bit-number = the diameter of bit { $number } is not known; cuts that may touch for an inch-wide one keep their order
findings-lift-down = the file sends the bit straight down into the wood: it must cut at its centre
findings-lift-down-number = the file sends bit { $number } straight down into the wood: it must cut at its centre
findings-lift-rapids = { $count } rapids run below the board's top; they are made at the file's greatest feed, { $feed } mm/min
findings-lift-wait = a wait of { $seconds } s within a cut is left out
findings-lift-coolant = coolant ({ $kind }) is left out
findings-tune-slowed = { $count } cuts are slowed to what the axes of { $machine } can do
findings-skipped-block = a block that a switch at the controller may skip is read as if the switch were off: it runs
findings-skipped-block-fix = take out the slash, or the block
findings-home-increments = this still counts increments: G91 was for the move home before it, and no G90 has followed
findings-home-increments-fix = write G90 after the move home
findings-mixed-units-inches = the file counts in inches from here, and in mm before
findings-mixed-units-mm = the file counts in mm from here, and in inches before
findings-mixed-units-fix = is that meant? the same number is 25.4 times as long in inches
findings-begins-increments = the file begins with increments: it is read as if the bit stood at 0 at first, along these axes
findings-begins-increments-fix = put the bit there before it starts, or begin with G90
findings-unset-assumed = the file does not say { $what }; it is read as if it said { $code }
findings-unset-after = the file does not say { $what }; it is read as after switching on, { $code }
findings-after-the-end = the file goes on after its end; nothing from here on is read
findings-after-the-end-fix = is it two files in one?
findings-cut-short = no M2, M30 or % ends this file, and { $why }: it may be cut short
findings-cut-short-fix = hold it against the original
findings-cut-short-line = its last line has no end
findings-cut-short-cut = it ends with a cut
findings-cut-short-spindle = the spindle is left on
findings-cut-short-tape = a % opens it and none ends it
findings-cut-short-needed = this controller asks for M2 or M30
findings-loose-fix = leave tabs on it, or put tape under it
findings-tune-no-bit = { $option } is given without its bit; give --bit for the same number too
findings-tune-flutes = --flutes is { $given }; give how many cutting edges the bit has, 1 to 16: --flutes 2
findings-tune-bit-number = { $option } names { $number }, a number that no cut of the file has; it has { $there }
findings-tune-underlay = --underlay is { $given }; give a thickness in mm up to { $most }, as in --underlay 3
findings-tune-corner = --source-zero is { $given }; one of: { $names }
findings-tune-fit = --fit is { $given }; give none, or mm above 0 and up to { $most }, as in --fit 0.01
findings-tune-needs-bit = { $option } needs to know the bit; give it too, as in --bit 6
findings-tune-needs-thickness = --tabs needs to know how thick the board is; give it too, as in --board 300x200x6
findings-tune-needs-board = { $option } needs the board's size; give it too, as in --board 300x200x6
findings-tune-more-faults = and { $count } more faults like these
findings-tune-would-replace = { $source } is the file that was read, and { $name } would replace it
findings-tune-would-replace-fix = choose another folder with --out
findings-tune-of-another = holds what was made of another file, or for another machine
findings-tune-of-another-fix = choose another folder, or use --force, which replaces files of the same name
findings-lift-not-below = the file never cuts below its zero, so zero is not on the board's top
findings-lift-both-sides = the file cuts on both sides of its zero along { $axis }, so zero is not at the { $corner } corner
findings-lift-above = a cut runs at z = { $z } mm, above zero: is zero on the board's top?
findings-lift-nothing = nothing is cut
findings-lift-nothing-fix = give a file with moves at a feed
findings-lift-turned = the board is turned, and its size is not known
findings-lift-offsets = cuts in two work offsets, { $what } and { $other }
findings-lift-waits-between = the machine waits between two cuts, perhaps for another bit
findings-lift-counter-clockwise = a cut with the spindle turning counter-clockwise (M4)
findings-lift-changes-within = the bit, its speed or the work offset changes within a cut
findings-lift-waits-within = the machine waits, or lifts in its own coordinates, within a cut
findings-lift-one-for-all = the file changes bits, and one bit is given for all
findings-tune-never-higher = the file never goes higher than z = { $z } mm, and the board's top is at { $top } mm
findings-tune-never-higher-fix = is the board as thick as you said?
findings-tune-other-corner = the file has its zero at the { $corner } corner, { $machine } at the { $own } one
findings-tune-bit = --bit is { $given }; { $why }
findings-tune-bit-wide = { $option } is { $given }; give a diameter up to { $most } mm: { $one } 6, { $two } 1/4in, { $three } 1=6
findings-tune-axes = --source-axes is { $given }; say where the bit goes as X, Y and Z grow: { $why }
findings-tune-axes-fix = X and Y run { $ways }, Z { $up }: --source-axes right,away,up
findings-tune-contradicts = { $option } { $given } contradicts another { $other }; { $why }
findings-tune-contradicts-fix = give one for all, { $one }, or one for each number: { $each }
findings-tune-number = { $option } is { $given }; give the bit's number in the file: { $example }
findings-lift-bit-fix = say which bit it is
findings-lift-each-fix = give a bit for each number
findings-lift-corner-fix = say which corner has the zero, or { $why }
findings-lift-board-fix = give the board: its width, depth and thickness, and whether zero is on its top or on the bed
findings-tune-other-corner-fix = give the board's size, so that the one can be found from the other
findings-tune-option-fix = { $why }; as in { $option }
findings-lift-board = the board is not known; assumed: { $width } x { $depth } x { $thickness } mm, the smallest that holds all cuts, zero on its top at the { $corner } corner

# What a file cuts (pathkit.lifting).
findings-lift-offsets-fix = where these lie to one another is not in the file: split it
findings-lift-pause-fix = split the file there
findings-lift-spindle = a cut while the spindle is off, or at no speed
findings-lift-spindle-fix = switch it on first (S18000 M3, say), or say how fast it turns when it is switched on by hand
findings-lift-sense-fix = bits for routers cut clockwise: write M3
findings-lift-within-fix = lift it clear of the board first

# What it was proved against (pathkit.proof).
findings-bite = { $bit } cuts { $now } mm deep at once here, in the file { $was } mm at most
findings-bite-fix = keep the order of the file
findings-same-cuts = { $who } cuts at x { $x }, y { $y } down to z { $z } (bench), and { $whoever } does not
findings-same-cuts-fix = keep the file as it was
findings-same-cuts-file = the file
findings-same-cuts-made = what was made of it

# How a file was read (pathkit.readback.elsewhere).
findings-elsewhere-byte = the byte 0x{ $byte } stands among the words, and some controllers drop it
findings-elsewhere-byte-fix = write plain ASCII words
findings-elsewhere-offset = { $now } is another work offset than { $then }: where it lies, the file does not say
findings-elsewhere-offset-fix = post it with one work offset
findings-elsewhere-absolute-centre = a centre that is absolute (G90.1) needs { $one } and { $two }; { $missing } is missing
findings-elsewhere-increments = G91 is left on at the end: whatever is sent next would count increments
findings-elsewhere-increments-fix = end with G90
findings-elsewhere-shift = the shift of G92 is left on at the end: whatever is sent next would count from there
findings-elsewhere-shift-fix = end with G92.1
findings-elsewhere-no-spindle = the bit moves at a feed, and nothing in this file ever starts the spindle
findings-elsewhere-no-spindle-fix = start it by hand, or say so in the file (M3 S…)
findings-elsewhere-change-down = the bit is changed while it is down, at Z{ $z }
findings-elsewhere-change-down-fix = retract before the change
findings-elsewhere-dwell = this waits { $seconds } s; a controller that counts in milliseconds would wait { $less } s
findings-elsewhere-name-it = name the controller that it was written for (--from, or dialect=…)
findings-elsewhere-name-it-of = name the controller that it was written for (--from, or dialect=…): { $names }
findings-elsewhere-name-it-or = { $why }, or look at this line
findings-elsewhere-no-points = no length in this file has a decimal point: it is read as whole units, and some controllers count thousandths of a mm instead
findings-elsewhere-no-points-fix = is the part as large as this says? else post it with decimal points
findings-elsewhere-from-zero = I and J are read as counted from zero: from the start of each arc they fit no circle, from zero all do
findings-elsewhere-from-zero-fix = write G90.1 first
findings-elsewhere-two-bytes = this text has two bytes for each letter (UTF-16)
findings-elsewhere-two-bytes-fix = save it as plain text (ASCII or UTF-8)
findings-elsewhere-size = { $what }: { $size }; in inches it would be { $inches }
findings-elsewhere-stops = { $why }; the file stops in this line, so it may be cut short
findings-elsewhere-as-by = it is read as by { $names }; others refuse this line: { $what }
findings-elsewhere-no-block = there is no block in this text
findings-elsewhere-no-block-fix = is it the right file?
findings-elsewhere-short-lines = an arc that would become more than { $most } short lines
findings-elsewhere-short-lines-fix = check its radius
findings-elsewhere-short-lines-in-all = the arcs outside the XY plane would become more than { $most } short lines
findings-elsewhere-known-first = move to a known { $one } and { $two } first
findings-elsewhere-length-unsaid = { $code } ends a length offset of a size that the file does not say
findings-differ = controllers differ here: { $who }: { $what }; { $whoever }: { $why }
findings-differ-usual = a usual one
findings-differ-arcs = one that counts I and J from zero
findings-differ-dwells = one that counts dwells in milliseconds
findings-differ-home = one that moves only the axes that are named
findings-differ-feed = one that takes F before the units of its line
findings-differ-no-move = makes no further move
findings-differ-rapid = goes to { $place } at rapid
findings-differ-line = cuts straight to { $place } at { $feed } mm/min
findings-differ-line-unfed = cuts straight to { $place } at a feed that is not known
findings-differ-arc = cuts an arc of { $turn } degrees about { $about } to { $place } at { $feed } mm/min
findings-differ-arc-unfed = cuts an arc of { $turn } degrees about { $about } to { $place } at a feed that is not known
findings-differ-wait = waits { $seconds } s
findings-differ-turn = turns the spindle at { $speed } rpm
findings-differ-stop = stops the spindle
findings-differ-lift = goes up to Z{ $z } in machine coordinates
findings-differ-change = changes the bit
findings-differ-coolant-off = switches coolant off
findings-differ-coolant-on = switches { $kind } coolant on
findings-differ-offset = counts from { $name }
findings-differ-nothing = does nothing of the kind

# Arcs fitted (pathkit.curves.fitting, pathkit.passes.fit_arcs).
findings-fitted-tolerance = a tolerance of { $given } mm can never be kept; give one above 0, such as { $such }
findings-fitted-option = FitArcs: tolerance is { $given } mm; give one above 0, such as { $such }
findings-fitted-arcs = FitArcs: arcs is { $given }; give True or False
findings-fitted = { $before } lines and arcs became { $after }, within { $deviation } mm
findings-beam-weak = a power of { $power } of the full: with S up to { $most } it rounds to S0
findings-beam-weak-fix = give more power, or a finer S in the profile's [output] speed
findings-beam-by-hand = the beam: { $machine } says that it is switched by hand
findings-beam-by-hand-fix = let the file do it: [spindle] control = "words"
findings-beam-diameter = --bit gives only a diameter, but { $name } is a { $kind }, which needs more than that
findings-beam-burns = { $name } is no beam, and only a beam burns
findings-beam-burns-fix = set kind = "beam" in its table, or let it engrave: kind = "engrave"
findings-beam-burns-only = { $name } is a beam: it has no depth, so it only burns
findings-beam-obstacle = something stands on the board, and a beam travels at the height at which it burns
findings-beam-obstacle-fix = hold the board from its edges or its underside, and leave the zone out
findings-beam-no-power = a beam without a power
findings-beam-no-beam = a power for { $name }, which is no beam
findings-beam-cutting = a beam, and only a beam, takes Cutting.by_beam(feed=…, power=…)
findings-beam-depth = a beam has no depth: it neither steps down, nor clears, nor drills
findings-beam-depth-fix = let it follow lines, by operations.burn
findings-beam-heights = a beam at changing heights
findings-beam-heights-fix = it is focused at one height
findings-beam-alone = the beam { $name } together with { $others }
findings-beam-alone-fix = a beam's job is a job of its own, for one beam
findings-beam-several-heights = a beam at several heights
findings-beam-several-heights-fix = it is focused at one; let all its lines lie there
findings-beam-and-spindle = a beam's power together with a spindle speed or a range of feeds
findings-beam-and-spindle-fix = take Cutting.by_beam(feed=…, power=…)
findings-beam-height = burns at z = { $z } mm (bench); the job's lines lie at { $height } mm
findings-beam-height-fix = set the job's height
findings-beam-strange = burns with { $power } of the full power at { $feed } mm/min, as no line of the job
findings-beam-again = post the program again, and do not edit the file
findings-beam-in-twin = the beam burns in the twin
findings-beam-on-in-twin = the beam is switched on in the twin
findings-spindle-on-in-twin = the spindle is switched on in the twin
findings-twin-fix = make the twin again

# Other.
findings-span-arc = span { $number } is an arc that begins and ends above one place
findings-turned-around = it is run from its end to its beginning: what was laid out as climb is cut conventional
findings-turned-around-fix = check the spindle's sense and the machine's handedness, and post the job again
findings-feed-out-of-turn = cuts at { $feed } mm/min, out of the turn of its { $count } feeds
findings-feed-post-again = post the job again
findings-lift-offset-in-force = that in force
findings-tune-longer = it takes { $seconds } s longer than the file: the bit goes down at a feed where the file goes at rapid
findings-tune-steady-longer = it takes { $seconds } s longer than the file: feeds are lower where the bit is in more wood, as you asked
findings-tour-patience = patience is { $given }; give 1 stage or more, or None
findings-tune-no-tabs = no cut of the file frees a piece that tabs could hold; leave out --tabs
findings-bite-at-rapid = { $who } itself goes through { $deep } mm of wood at rapid, in line { $line }
findings-bite-at-rapid-fix = look at it there: is the board lower?
findings-tune-no-load = no level cut of the file has one feed that could follow the load; leave out --steady
findings-tune-steady-shares = --steady is { $given }; give the least share of the file's own feeds, from { $least } on, as in --steady 0.7; or that and the greatest, up to { $most }, as in --steady 0.7-1.2
findings-tune-vee = --vee is { $given }; give its diameter up to { $wide } mm and its full angle up to { $angle } degrees: --vee 12x60, --vee 1/2inx60, --vee 1=12x60
