# What the script of the chooser says. Its placeholders are filled in the browser: choose by no value here but the first
# word of a message's own name.

choose-stand-here = you stand here
choose-corner = Where is zero on the board? It is the corner where X and Y are 0.
choose-x = Jog X so that its number grows. Which way does the bit go over the board?
choose-y = Now jog Y so that its number grows. Which way does the bit go?
choose-z = Jog Z so that its number grows, with room above and below. Which way does the bit go?
choose-dialect = Which controller does your machine have? Its manual says so, or its screen when it starts.
choose-units = In which units does your controller show places?
choose-board = Which board do you cut?
choose-bit = Which bit is in your spindle? Measure it.
choose-question = { $number }. { $question }

choose-corner-front-left = front left
choose-corner-front-right = front right
choose-corner-back-left = back left
choose-corner-back-right = back right
choose-x-right = X grows to the right
choose-x-left = X grows to the left
choose-x-away = X grows away from you
choose-x-toward = X grows toward you
choose-y-right = Y grows to the right
choose-y-left = Y grows to the left
choose-y-away = Y grows away from you
choose-y-toward = Y grows toward you
choose-z-up = Z grows up
choose-z-down = Z grows down
choose-units-mm = millimetres
choose-units-inch = inches
choose-board-named = { $name }: { $size }

choose-not-offered = Not offered
choose-no-file = There is no file for this choice: { $why }.
choose-not-made = it was not made
choose-ask = Ask whoever gave you this folder; do not take the file of another machine.

choose-least = Your machine must have at least
choose-least-why = The files are proved for any machine that has at least this. A smaller one may lose steps, stop, or hit its end.
choose-has-least = My machine has at least all of this.

choose-rehearse = Rehearse in the air first
choose-prepare = Take the bit out, keep the spindle off, set zero where you will set it for the cut, and clear the machine. Keep a hand at the stop button. The bit's holder must first go up. If it goes down, stop: then Z grows the other way.
choose-letter-file = The letter file: it draws a letter over the board
choose-how-seen = Stand at the front of the machine. How does the letter look?
choose-seen = The letter looked
choose-seen-reads = as an F that you can read
choose-seen-left = turned a quarter to the left
choose-seen-upside-down = upside down
choose-seen-right = turned a quarter to the right
choose-seen-mirrored-across = mirrored, left for right
choose-seen-mirrored-away = mirrored, front for back
choose-seen-mirrored-left = mirrored and turned to the left
choose-seen-mirrored-right = mirrored and turned to the right
choose-measure-file = The measure file: it goes a known way and back, twice
choose-measured = It went { $across } to the side, and { $away } away from me. I have measured both.
choose-frame-file = The frame file: it goes round the board, outside its edges
choose-frame-watch = . Watch that nothing is in its way.

choose-other-right-away = Then this is not the file for your machine: X grows to the right and Y grows away from you. Do not cut.
choose-other-right-toward = Then this is not the file for your machine: X grows to the right and Y grows toward you. Do not cut.
choose-other-left-away = Then this is not the file for your machine: X grows to the left and Y grows away from you. Do not cut.
choose-other-left-toward = Then this is not the file for your machine: X grows to the left and Y grows toward you. Do not cut.
choose-other-away-right = Then this is not the file for your machine: X grows away from you and Y grows to the right. Do not cut.
choose-other-away-left = Then this is not the file for your machine: X grows away from you and Y grows to the left. Do not cut.
choose-other-toward-right = Then this is not the file for your machine: X grows toward you and Y grows to the right. Do not cut.
choose-other-toward-left = Then this is not the file for your machine: X grows toward you and Y grows to the left. Do not cut.
choose-other-no-file = No file is offered for that.
choose-other-directions = Choose these directions instead

choose-files = Your files
choose-about = Parts from a board: { $parts }. Run time: { $time } on a machine that just meets the list above, and never less than { $quickest }.
choose-about-boards = Parts from a board: { $parts }. Cut { $times } boards with it. Run time: { $time } on a machine that just meets the list above, and never less than { $quickest }.
choose-sheet = The setup sheet: read it all, and follow it
choose-preview = The preview: watch the cut on the screen
choose-air = The air cut, the same way above the board: { $name }
choose-cut = The cut file: { $name }
choose-proved = Proved was the file: that this controller takes it, that it stays on such a machine, and that it cuts these parts. Your bit, board, hold-down and machine were not.

choose-fit = Do parts have to fit into each other? Cut the test piece first
choose-fit-picture = The test piece from the front: { $steps } mm from left to right; the minus sign is cut at the left, the plus sign at the right.
choose-fit-why = Bits are never quite as wide as they say. This piece has a recess and a slot for each step of fit, in mm, from tight at the − to loose at the +. Where the fit is 0 the recesses are meant to be { $recess } across, and the slots { $slot }.
choose-fit-take = Take a piece of the same board, at least { $board }, and the same bit.
choose-fit-sheet = Follow its own setup sheet
choose-fit-air = Run its air cut: { $name }
choose-fit-cut = Cut it: { $name }
choose-fit-find = Push in what is to go in, or measure: find the place where it fits as you want, or that has the size it is meant to have.
choose-fit-tell = Tell whoever gave you this folder the number at that place, and what you tried. They make files with that fit for you.

# The same where the job is for a beam.
choose-x-beam = Jog X so that its number grows. Which way does the head go over the board?
choose-y-beam = Now jog Y so that its number grows. Which way does the head go?
choose-z-beam = Jog Z so that its number grows, with room above and below. Which way does the head go?
choose-board-beam = Which board do you burn?
choose-bit-beam = Which beam does your machine have? Measure how wide a line it burns.
choose-prepare-beam = Lock the beam off, set zero where you will set it for the job, and clear the machine. Keep a hand at the stop button. The head must first go up. If it goes down, stop: then Z grows the other way.
choose-about-boards-beam = Parts from a board: { $parts }. Burn { $times } boards with it. Run time: { $time } on a machine that just meets the list above, and never less than { $quickest }.
choose-preview-beam = The preview: watch the job on the screen
choose-air-beam = The air cut, the same way with the beam off: { $name }
choose-cut-beam = The file that burns: { $name }
choose-proved-beam = Proved was the file: that this controller takes it, that it stays on such a machine, and that it burns along these lines, at the feed and the power asked for. Your beam, material, hold-down and machine were not.
