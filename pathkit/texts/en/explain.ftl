# What one line of a cut file does, in a sentence. $does is one clause or several (see moves.ftl), each beginning with
# its verb in the third person.

explain-line = Line { $line } { $does }.
explain-blank = Line { $line } is blank: it does nothing.
explain-mark = Line { $line } marks the beginning or the end of the file; nothing moves.
explain-after-the-end = Line { $line } stands after the end of the program: the controller does not run it.
explain-refused = Line { $line } is refused by the controller: { $what }.
explain-refused-code = Line { $line } is refused by the controller ({ $code }): { $what }.
explain-acts-at-once = Line { $line } holds no block, yet it does something: { $what }.
explain-comment = Line { $line } is a comment for people, and the machine does nothing: { $text }

explain-more = does { $count } more things like these
explain-also-off = { $does }, which also turns the spindle off
explain-settings = sets how it and the lines after it are read ({ $settings })
explain-stores = moves nothing and changes what is stored: { $means }
explain-chooses = chooses for the lines after it: { $means }
explain-sets-feed = sets the feed to { $feed }
explain-sets-speed = sets a speed of { $speed } rpm
explain-sets-speed-for-later = sets a speed of { $speed } rpm for when the spindle is turned on
explain-off-already = turns the spindle off (it is off already)
explain-on-already = turns the spindle on (it is on already)
explain-coolant-off-already = turns coolant and air off (they are off already)
explain-coolant-on-already = leaves on: { $means }
explain-names-bit = names bit { $number }, and moves nothing
explain-left-out-pause = would be a pause, which this controller leaves out
explain-waits = moves nothing: { $means }
explain-number-only = holds only a line number: it does nothing
explain-not-followed = cannot be followed by the reader: { $what }
explain-nothing = moves nothing and switches nothing
