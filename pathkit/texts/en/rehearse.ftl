# What to do with the files that rehearse a new machine, in this order.

rehearse-ready = Set the zero as for the cut, take the bit out, keep the spindle off, and clear the machine of everything else.
rehearse-letter = Letter: stand at the front of the machine. Does the spindle draw an F that reads, upright and not mirrored?
rehearse-rectangle = Rectangle: does it go round the board, outside its edges by the bit's radius, without meeting anything?
rehearse-write-down = Write the answers down: { $command }
