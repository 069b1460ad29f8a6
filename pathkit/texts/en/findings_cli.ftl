# What is wrong with a command; findings.ftl tells how it is recognised.

# Options that cannot be, or do not go together (pathkit.cli).
findings_cli-missing = { $option } is missing; --json asks no questions
findings_cli-workers = --workers is { $given }; give 0 or 1 for one after the other, or how many processes
findings_cli-url-apart = --out { $url } is a URL, where each machine is put by itself; add --workers 1, or more
findings_cli-url-zip = --out { $url } is a URL; --zip needs a folder of this computer
findings_cli-drop-workers = --drop-others removes folders of a whole build; leave out --workers with it
findings_cli-zero-one = --zero belongs to one machine; build for one machine at a time with it
findings_cli-zero = --zero is { $given }; give three numbers in mm, as in --zero -400,-300,-60
findings_cli-job-rules = --job and --rules-only contradict each other; leave one out
findings_cli-two-files = { $count } machines for two files; give one for each, or one for both
findings_cli-picture = --out { $path } is no name of a picture; let it end with .svg or .png
findings_cli-rehearse = give JOB and --out to make the files, or --letter-reads and --rectangle-fits to store the answer
findings_cli-toml = --out is { $path }; give a name that ends in .toml, as in --out { $such }
findings_cli-taken = { $path } is there already; choose another name with --out, or use --force

# A new machine (pathkit.cli.asking).
findings_cli-place = { $option } is { $given }; give two numbers, as in { $such }, or none
findings_cli-far = { $option } is { $given }, further than any such machine reaches; give numbers in --units
findings_cli-rpm = --rpm is { $given }; give the slowest and the fastest speed, as in { $such }
findings_cli-rpm-order = --rpm is { $given }; give the slowest speed first, up to { $most }, as in { $such }
findings_cli-bed = --bed is { $given }; give three numbers in { $unit }, as in --bed { $such }
findings_cli-bed-inches = --bed is { $given }; give three numbers in inches, as in --bed { $such }
findings_cli-bed-length = --bed is { $given }: { $axis } would move { $length } mm; give { $unit }, or the other --units. Between { $least } and { $most } mm are accepted
findings_cli-bed-length-inches = --bed is { $given }: { $axis } would move { $length } mm; give inches, or the other --units. Between { $least } and { $most } mm are accepted

# A new job (pathkit.cli.new_job).
findings_cli-name = NAME is { $given }; give one of 1 to 80 letters, as in 'key tags'
findings_cli-board = --board is { $given }; give width, depth and thickness in mm, as in --board { $such }, or 12inx8inx1/4in
findings_cli-board-thick = --board is { $given }, thicker than it is wide; the thickness comes last: --board { $such }
findings_cli-board-side = --board is { $given }: { $side } mm is not between { $least } and { $most } mm; as in --board { $such }
findings_cli-bit = --bit is { $given }; give a diameter from { $least } to { $most } mm, as in --bit { $such } or --bit 1/8in
findings_cli-parts = --parts is { $given }; give a whole number from 1 to { $most }, as in --parts 20
findings_cli-material-never = --material is { $given }, which must not be cut: { $why }; as in --material plywood
findings_cli-svg-no-file = --svg is { $path }, which is not a file; give a drawing, as in --svg { $such }
findings_cli-svg-beside = --svg is { $path }, which is not beside the job file; put the job file beside it: --out { $such }

# A command that cannot finish (pathkit.cli.leaving).
findings_cli-unprinted = standard output cannot be written: { $why }; { $what }
findings_cli-unprinted-fix = the result could not be printed; redirect it to a file
findings_cli-refused = the system refused: { $why }; { $what }
findings_cli-unanswered = a question was not answered; { $what }
findings_cli-unanswered-fix = give what it asks for as options; see --help
findings_cli-stopped = stopped; { $what }
findings_cli-nothing-written = nothing was written
findings_cli-written-whole = { $names }: written whole before that
