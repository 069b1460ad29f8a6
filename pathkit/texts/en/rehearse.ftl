# What to do with the files that rehearse a new machine, in this order.

rehearse-ready = Set the zero as for the cut, take the bit out, keep the spindle off, and clear the machine of everything else.
rehearse-letter = Letter: stand at the front of the machine. Does the spindle draw an F that reads, upright and not mirrored?
rehearse-rectangle = Rectangle: does it go round the board, outside its edges by the bit's radius, without meeting anything?
rehearse-write-down = Write the answers down: { $command }

rehearse-piece-cut = Cut it from the same board with the same bit: from { $least } at the − to { $most } at the +.
rehearse-piece-find = Push in what is to go in, or measure across: find the place that fits as you want, or has the size it should.
rehearse-piece-write = Write its number into the job file as fit; half of it if this job also cuts what you pushed in: that moves too.
