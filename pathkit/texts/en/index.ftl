# The page that lists all machines of a build.

index-title = { $title }: files to hand over
index-take = Take the row of your machine, open its setup sheet, and follow it from the top. Nothing here has been cut yet: the proofs are of the files.
index-mark = Job <code>{ $mark }</code>: every cut file and sheet that belongs to this page has the same mark.
index-marks-of-rows = of each row
index-machines = Machines
index-machine = machine
index-sheet = setup sheet
index-proved = proved
index-board = board
index-boards = boards
index-parts-a-board = parts a board
index-parts = parts
index-waste = waste
index-time-a-board = time a board
index-deviation = largest deviation
index-preview = preview
index-other-revision = another revision of the job ({ $mark }): cut nothing from it, ask for a new build
index-times = Times are those of the controller's planner, without changing bits and boards.
index-every-file = Every file, with its size and SHA-256
index-file = file
index-bytes = bytes

index-verdict-yes = yes
index-verdict-no = NO
index-verdict-but = all but { $checks }
index-deviation-unknown = an unknown amount
index-files = Every file
