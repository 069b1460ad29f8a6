# Letters about a line of a cut file, and about a file that came back. Names come in quotes.

mail-manual = The machine's and the controller's manual come before this text.
mail-line = { $file }, line { $line }:
mail-blank = (blank)
mail-more-bytes = { $text } ... ({ $count } more bytes)
mail-message = { $code } says: { $means }. Most likely:
mail-begins = It begins at { $place }.
mail-ends = It ends at { $place }.
mail-unknown-place = a place that is not known
mail-axes = { $place } ({ $unit }, the file's axes)
mail-on-board = On the board that is { $place }.
mail-word-by-word = Word by word:
mail-finding = { $severity ->
    [error] error
    [warning] warning
   *[note] note
 }: { $what }
mail-finding-of = { $severity ->
    [error] error
    [warning] warning
   *[note] note
 }: { $file }: { $what }
mail-belongs = It belongs to toolpath { $toolpath }.
mail-belongs-part = It belongs to toolpath { $toolpath }, part { $part }.
mail-between = In this file { $before ->
    [none] no toolpath
   *[one] toolpath { $before }
 } comes before it, and { $after ->
    [none] no toolpath
   *[one] toolpath { $after }
 } after it.
mail-time = The controller comes to it after about { $time } of { $total } ({ $percent } %), by the run-time model, pauses not counted.

mail-as-sent = As sent: { $file }
mail-as-returned = As it came back: { $file }
mail-same-bytes = They are the same, byte for byte.
mail-only-layout = They make the same moves. They differ only in { $layout }.
mail-taken-otherwise = They do NOT do the same: the moves are alike, but the controller takes the returned file otherwise.
mail-not-the-same = They do NOT make the same moves.
mail-same-moves = They make the same moves, though their text differs.
mail-same-moves-apart = They make the same moves, nowhere further apart than { $mm } mm, though their text differs.
mail-layout = { $kind ->
    [ends] line ends
    [trailing] trailing blanks
   *[blank] blank lines
 }
mail-places = The texts differ in { $count ->
    [one] { $count } place
   *[other] { $count } places
 }:
mail-first-places = The texts differ in { $count ->
    [one] { $count } place
   *[other] { $count } places
 }, the first { $shown } of them:
mail-moves-changed = What that does to the moves of the file that came back:
mail-objections = What its controller would refuse or take otherwise:
mail-objection = line { $line }: { $what }
mail-objection-code = line { $line } ({ $code }): { $what }

mail-cut-short = It is cut short: it ends { $after ->
    [0] before its first whole line
   *[other] after line { $after } of the file as sent
 }; { $missing ->
    [one] { $missing } line is
   *[other] { $missing } lines are
 } missing or not whole.
mail-cut-short-toolpath = It is cut short: it ends { $after ->
    [0] before its first whole line
   *[other] after line { $after } of the file as sent
 }, in or after toolpath { $toolpath }; { $missing ->
    [one] { $missing } line is
   *[other] { $missing } lines are
 } missing or not whole.
mail-partial = Its last line is only a beginning, and a number there may have lost digits; look at the board where it leads:
mail-again-unknown = With which toolpath to start again is not known: for that the file as sent must be the proved cut file beside its certificate and its job.
mail-again-nothing = All its toolpaths are there; only the end is missing. Nothing is to be cut again: see that the spindle is off and the bit stands clear.
mail-again-begun = If the machine ran this, toolpath { $toolpath } was begun and not finished. The spindle may still turn, and the bit may stand in the wood.
mail-again-not-begun = If the machine ran this, toolpath { $toolpath } was not begun. The spindle may still turn, and the bit may stand in the wood.
mail-again-earlier = It leans on what comes before it, so start again with toolpath { $toolpath }:
mail-again-here = Start again with toolpath { $toolpath }, by a file of its own:
mail-again-never-in-the-middle = Do not start the file in its middle: what stands before a line decides how it is read, and the bit would go across the board at the height where it stands.

mail-at-line = at line { $line } of the file as sent:
mail-at-line-toolpath = at line { $line } of the file as sent (toolpath { $toolpath }):
mail-sent-line = sent { $line }: { $text }
mail-sent-nothing = sent: nothing
mail-sent-more = sent: and { $count ->
    [one] { $count } more line
   *[other] { $count } more lines
 }
mail-back-line = back { $line }: { $text }
mail-back-nothing = back: nothing
mail-back-more = back: and { $count ->
    [one] { $count } more line
   *[other] { $count } more lines
 }

mail-board-not-compared = What stays of the board was not compared: that needs the job beside the file as sent, and two files that can be read to their end.
mail-board-same = In the end nothing changes on the board: both cut away the same wood. How they do it differs: depth at once, speeds, order or travel. That can still break a bit.
mail-board = On the board (x to the right, y away):
mail-board-line = { $what } (it cuts there in its line { $line })

mail-alien = { $count } of its { $all } moves are not in the file as sent
mail-power = { $count } of its moves burn with another power, the first in its line { $line }
mail-lacking = { $count } of the { $all } moves as sent are not in it
mail-part-at = the moves part at its line { $line }
mail-part-at-toolpath = the moves part at its line { $line }, toolpath { $toolpath }
mail-lacks = it lacks { $what }
mail-has = it has { $what }, which the file as sent has not
mail-order = { $count } differences in the order of moves
mail-feed = its line { $line } { $what }
mail-feed-more = its line { $line } { $what } (and { $count } more moves)
