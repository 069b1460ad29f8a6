# The sheet of a cut file that was made elsewhere and written for another machine.

tune-running = <strong>{ $job }</strong> · { $machine }
tune-for = For <strong>{ $machine }</strong>, made from the cut file <code>{ $file }</code>, which was made elsewhere.
tune-elsewhere = another machine
tune-board-assumed = not known; assumed { $size }
tune-bit = { $kind ->
    [ball] { $size } ball-nosed bit
    [vee] { $size } vee bit of { $angle }°
   *[other] { $size } bit
 }
tune-bit-number = { $kind ->
    [ball] { $size } ball-nosed bit ({ $number })
    [vee] { $size } vee bit of { $angle }° ({ $number })
   *[other] { $size } bit ({ $number })
 }
tune-bit-unknown = not known
tune-bit-unknown-number = number { $number }: not known

tune-changed = What was changed
tune-what = the file
tune-before = before
tune-after = after
tune-key-travel = travel
tune-row-lines = lines
tune-row-travel = travel, level
tune-row-vertical = travel, up and down
tune-row-retracts = times the bit is lifted
tune-row-time = run time on this machine
tune-row-chip = thickest chip a tooth, { $bit }
tune-kept-order = No faster order was found: the cuts come in the order of the file that was read.

tune-assumed = What was assumed, changed or left out
tune-assumed-place = The file that was read is taken to have its zero at the front left corner of the board.
tune-assumed-flat = Bits of which no other form was given are taken to have flat ends.
tune-steady = Feeds follow how much wood the bit is in, between { $least } and { $most } % of the file's own, as you asked.
tune-assumed-spindle = The file that was read gives the spindle no speed; it now turns at { $speed } rpm, as you said.
tune-fitted = Short lines became arcs, and points in line were left out: no cut lies more than { $fit } beside where it was.
tune-waits = The new file waits { $seconds } s more for the spindle to come up to speed. Both run times hold that.
tune-finding = { $what }.
tune-finding-line = { $what } (line { $line } of the file that was read).

tune-not-known = What is not known
tune-unknown-board = Not known: how large and how thick the board is.
tune-unknown-material = Not known: what the board is made of, so whether feeds and speeds suit it.
tune-unknown-bit = Not known: which bit the file was made for: its diameter, its shape, its flutes.
tune-unknown-bit-number = Not known: which bit { $number } is: its diameter, its shape, its flutes.
tune-unknown-flutes = Not known: how many flutes the { $bit } has, so how thick its chips are.
tune-unknown-loose = Not known: whether pieces come loose while they are cut. Look for cuts that go right through and close on themselves.
tune-unknown-hold = Not known: what held the board, and where clamps or screws were.
tune-unknown-maker = Not known: who made the file, and whether it was ever cut.

tune-zero-as-before = X0 Y0 is where it was in the file that was read. All that is cut lies within { $width } by { $depth } of it: zero is { $corner ->
    [front-left] the front left corner
    [front-right] the front right corner
    [back-left] the back left corner
    [back-right] the back right corner
   *[centre] the middle
 } of that area, which is drawn as a board above.

tune-step-board = Measure the board: { $size } or more, and { $thickness } thick. The file is proved for that thickness and no other.
tune-step-board-unknown = Choose a board of at least { $size }. The deepest cut goes { $thickness } below its top: see that nothing lies there that must not be cut.
tune-step-fix = Fix the board, its edges along the machine’s axes, with nothing in the bit’s way. Pull on it: nothing may move.
tune-step-fit = Fit the { $bit }. Below the collet it must reach at least { $reach }.
tune-step-fit-unknown = Fit the bit that the file was made for. If you cannot find out which it is, do not cut.
tune-step-zero = Set zero as described under Zero, X and Y first, then Z.
tune-step-changes = The job takes { $count } bits: when the file waits for one, wait until the spindle stands still, change the bit, and set Z zero again.
tune-step-files = The job takes { $count } bits, and a file for each: between two files wait until the spindle stands still, change the bit, and set Z zero again.

tune-proved-same = The new file cuts all that the file that was read cuts, as deep and with the same bit, and nothing else.
tune-proved-bite = No bit takes more at once than in the file that was read.
tune-proved-rapids = No rapid goes through wood.
tune-read-back = The new file was read back by an independent reader; its path differs from what was meant by at most { $deviation }.

tune-not-proved-short = Not proved: clamps, hold-down, the bit.
tune-open-clamps = Clamps: a cut file does not tell of any. Between cuts the bit goes as high as the highest move of the file that was read, { $height }, and not beyond the area that it crossed.
tune-open-no-clamps = Clamps: you said that there are none. The bit travels only { $height } above the board, and anywhere over it.
tune-open-hold = Hold-down: that the board, and every piece that comes free, is held well enough.
tune-open-bit = The bit: that it is the one that the file was made for, whole and sharp.
tune-open-feeds = Feeds and speeds: that they suit bit, material and machine. They are those of the file that was read, no faster than this machine moves.
tune-open-altered = What is cut: ramps or tabs were asked for, so the new file does not cut the same. It was proved against its own job.
tune-sha-source = SHA-256 of <code>{ $file }</code>, which was read: <code>{ $sha }</code>
