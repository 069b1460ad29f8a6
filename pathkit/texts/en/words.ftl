# What the words of a line other than its codes mean. $number is as the file has it, $length comes with its unit.

words-feed = feed { $feed }
words-arc-centre = the arc's centre lies { $length } along { $axis } from where the arc begins
words-arc-centre-from-zero = the arc's centre lies { $length } along { $axis } from zero
words-hole-begins = the hole begins at Z { $length }; down to there the bit goes at full speed
words-arc-radius = the arc's radius is { $length }
words-minutes = the move takes 1/{ $number } of a minute
words-feed-for-later = feed { $feed }, for moves at the feed; some controllers travel at it too
words-for = for { $time }
words-speed = spindle speed { $speed } rpm
words-offset-number = number { $number } of the stored offsets
words-line-number = the line's number, for people; it decides nothing
words-bit-number = bit number { $number } of the table
words-length-number = number { $number } of the table of lengths
words-diameter-number = number { $number } of the table of bits
words-peck = each peck is { $length } deep
words-stored-kind = what G10 stores, kind { $number }
words-times = { $number } times
words-unknown = a word that this controller does not know

words-named = the bit's place is called { $axis } { $length } from here on
words-machine = to { $axis } { $length } in machine coordinates
words-stored = the { $axis } of the stored offset: { $length }
words-hole-bottom = the hole's bottom: Z { $length }
words-by-way = by way of { $axis } { $length }
words-by = by { $length } along { $axis } from where the bit is
words-to = to { $axis } { $length }, counted from the work zero
words-power = { $percent } % of the beam's full power
