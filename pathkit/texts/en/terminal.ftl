# What the command line says besides findings, as the code has it; German is found by it (pathkit.texts.findings).

# Any command.
terminal-fault = error: this is a fault in pathkit itself; please report it with the lines above
terminal-warning = warning: { $what }
terminal-before-you-cut = Before you cut:
terminal-before-you-start = Before you start:

# Compiling (pathkit.cli.ahead, pathkit.warming).
terminal-compiling = compiling for the first time, once, takes about a minute: { $names }
terminal-compiled = compiled: { $name }
terminal-nothing-to-compile = nothing to compile

# A build (pathkit.cli.building).
terminal-unproved = nothing was written: not every file could be proved
terminal-variants = { $out }: { $built } built, { $before } finished before, { $failed } failed
terminal-built = { $folder }: built
terminal-finished-before = { $folder }: finished before
terminal-failed = { $folder }: failed
terminal-variant = proved: { $verdict }, deviation { $far } mm, run time { $time }, { $files }
terminal-zipped = { $archive }: all of { $out } in one file
terminal-written = { $out }: { $new } new, { $changed } changed, { $same } as before
terminal-changed = changed: { $name }
terminal-removed = removed: { $name }
terminal-kept = kept: { $name }
terminal-verdict-yes = yes
terminal-verdict-no = NO
terminal-verdict-but = all but { $where }

# What a build does, and a check (pathkit.handover.build, recheck, comparing, pathkit.passes).
terminal-step-improving = improving the job
terminal-step-lowering = lowering
terminal-step-writing = writing
terminal-step-proving = proving
terminal-step-proving-twin = proving the air cut
terminal-step-reading = reading
terminal-step-job-file = job file
terminal-step-air-cut = air cut
terminal-step-reading-file = reading { $file }
terminal-step-comparing = comparing what they leave

# A check, a comparison, a time (pathkit.cli.checking, pathkit.handover.recheck).
terminal-check-ok = { $file }: ok
terminal-check-failed = { $file }: FAILED
terminal-check-of = machine { $machine }, job { $job }
terminal-check-of-no-job = machine { $machine }, job none
terminal-check-counts = { $count } checks: { $counts }
terminal-check-passed = { $count } passed
terminal-check-counts-failed = { $count } failed
terminal-check-not-proved = { $count } not proved
terminal-check-not-run = { $count } not run
terminal-check-verdict = proved: { $verdict }
terminal-check-deviation = largest deviation { $far } mm
terminal-check-left-not-proved = { $what }: not proved ({ $why })
terminal-check-left-not-run = { $what }: not run ({ $why })
terminal-time = { $file }: { $time } ({ $moving } s moving, { $standing } s standing)
terminal-compare-same = { $file } and { $other } cut the same board
terminal-compare-not = { $file } and { $other } are NOT proved to cut the same board
terminal-compare-within = { $count } heights, within { $far } mm

# At the machine, and pages (pathkit.cli.at_the_machine, watching).
terminal-resumed = { $out }: { $count } toolpaths from { $name } on, proved; air cut { $air }
terminal-rehearsal = { $out }: { $letter } and { $rectangle }, proved to stay in the air; { $page } shows them
terminal-test-piece = { $out }: { $file }, proved: { $verdict }; its sheet is { $sheet }
terminal-rehearsed = { $machine }: the answer is stored in [rehearsed]
terminal-preview = { $out }: open it in a browser. A preview is not a proof of the machine; run the air cut first.

# Starting (pathkit.cli.new, new_job).
terminal-dialect = Now: { $command }, then open README.md
terminal-machine = { $out }: X+ { $x }, Y+ { $y }, zero at the board's { $corner }
terminal-machine-picture = { $picture }: look at it beside the machine. Do the arrows point where X+ and Y+ go?
terminal-machine-rehearse = Then rehearse in the air: { $command }
terminal-machine-left-handed = X { $x }, Y { $y }, Z { $z } make a left-handed frame, which is rare: a wrong one mirrors the parts
terminal-machine-right-handed = X { $x }, Y { $y }, Z { $z } make a right-handed frame
terminal-job-file = { $file }: a job file to change as you like; the lines with # say what each key means
terminal-job-build = Now: { $command }, which is for { $names }
terminal-job-no-machine = No machine here has a bed for this board. Now: { $command }

# Questions (pathkit.cli.new).
terminal-ask-dialect = Which dialect does its controller speak?
terminal-ask-name = What do you call the machine?
terminal-ask-corner = Stand at the front. Which corner of the board is zero?
terminal-ask-way = Jog { $axis }+ a little. Where does the bit go, over the board?
terminal-ask-left-handed = Jog X+, Y+ and Z+ once more. Is it left-handed?
terminal-ask-right-handed = Jog X+, Y+ and Z+ once more. Is it right-handed?
terminal-ask-units = Does its controller count in mm or in inches?
terminal-ask-bed = How far does it move along X, Y and Z, in { $unit }?
terminal-ask-bed-inches = How far does it move along X, Y and Z, in inches?
terminal-ask-spindle = Who switches the spindle: the file, by words, or you, by its own switch (manual)?
terminal-ask-rpm = How slow and how fast does the spindle turn, in rpm?
terminal-ask-park = Where shall it park at the end, X,Y from the zero in { $unit } (beside the board, to free its corner)?
terminal-ask-park-inches = Where shall it park at the end, X,Y from the zero in inches (beside the board, to free its corner)?
terminal-ask-change = Where do you change bits by hand, X,Y from the zero in { $unit } (none: where it parks)?
terminal-ask-change-inches = Where do you change bits by hand, X,Y from the zero in inches (none: where it parks)?
terminal-yes-or-no = yes/no
terminal-answer-yes-or-no = answer { $yes } or { $no }

# A file that was made elsewhere (pathkit.cli.tuning).
terminal-tune-nothing = nothing was written: what was made of the file could not be proved
terminal-tune-kept = No faster order was found: the file's own is kept.
terminal-tune-waits = Both run times hold { $seconds } s that the spindle needs to come up to speed.
terminal-tune-proved = Proved: { $what }
terminal-tune-altered = the file is safe by its own job; it was changed as you asked, so it does not cut the same as before
terminal-tune-safe = the file is safe by its own job; that it cuts the same as before is not proved
terminal-tune-same = it cuts what the file cuts
terminal-tune-same-no-deeper = it cuts what the file cuts, no bit deeper at once than there
terminal-tune-not-proved = Not proved: { $where }
terminal-tune-clamps = clamps
terminal-tune-hold-down = hold-down
terminal-tune-bit = the bit
terminal-tune-written = { $out }: { $files }; air cut { $air }; { $sheet } to print; { $job }, and what was proved
terminal-tune-chip = chip, { $bit }
