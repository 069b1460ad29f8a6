# What is wrong with folders, files and orders to be handed over; findings.ftl tells how it is recognised.

# Folders and files that are written (pathkit.handover.atomic_write, archive, claim, journal, remote).
findings_handover-not-built = { $path } was not written by a build; build it first
findings_handover-gone = it is gone
findings_handover-changed = it was changed since it was written
findings_handover-build-again = build again
findings_handover-cannot-write = { $path } cannot be written: { $why }
findings_handover-cannot-write-before = { $path } cannot be written: { $why }; it is as it was before
findings_handover-cannot-write-as-it-was = { $path } cannot be written: { $why }; it is as it was
findings_handover-cannot-write-mixed = { $path } cannot be written: { $why }; old and new files are mixed there: cut none of them, and build into it again, which finishes this build first
findings_handover-cannot-write-manifest = { $path } cannot be written: { $why }; what its manifest names is as it was before
findings_handover-changed-since = was changed since it was written
findings_handover-foreign = was not written by a build, or was changed since
findings_handover-foreign-place-fix = choose another place, move it away, or use --force, which replaces files of the same name
findings_handover-move-or-force = move it away, or use --force, which replaces it
findings_handover-blocked = a link or a folder is in the place of a file or a folder of this build
findings_handover-blocked-fix = move it away, or choose another folder
findings_handover-no-folder = { $path } is not a folder; name another
findings_handover-journal-fix = cut nothing from this folder; build into a new one, and move your own files away
findings_handover-journal-place = this is in the place where a build stages its files
findings_handover-journal-lost = files that a broken off build set aside, and no journal of it
findings_handover-journal-linked = a build was broken off, and a link or a file leads elsewhere now
findings_handover-journal-staged = a build was broken off, and this is not what it staged
findings_handover-journal-changed = a build was broken off here, and this file was changed since
findings_handover-journal-unfinished = the build that was broken off in { $path } cannot be finished: { $why }; old and new files are mixed there: cut none of them
findings_handover-journal-unread = the journal of a build that was broken off cannot be read
findings_handover-url-fsspec = { $url } is a URL, which needs fsspec
findings_handover-url-fsspec-fix = install pathkit-cam[remote], or give a folder of this computer
findings_handover-url-package = { $url } needs another package: { $error }
findings_handover-url-unusable = { $url } cannot be used: { $error }
findings_handover-url-unusable-fix = give a folder, or a URL such as s3://bucket/folder
findings_handover-no-manifest = no manifest ({ $manifest }) at { $url }; name a place that was built
findings_handover-other-bytes = its bytes are not those that were written
findings_handover-other-bytes-fix = build it again
findings_handover-other-build = another build has written there meanwhile

# Why the system refuses, in its own words.
findings_handover-system-no-file = No such file or directory
findings_handover-system-denied = Permission denied
findings_handover-system-not-permitted = Operation not permitted
findings_handover-system-full = No space left on device
findings_handover-system-read-only = Read-only file system
findings_handover-system-is-folder = Is a directory
findings_handover-system-no-folder = Not a directory
findings_handover-system-long-name = File name too long
findings_handover-system-broken = Input/output error
findings_handover-system-busy = Device or resource busy

# Orders, and many of them (pathkit.handover.build, many, chooser).
findings_handover-no-machine = no machine to build for; name at least one
findings_handover-setup-of-none = a setup for { $name }, which is no machine of this build
findings_handover-same-name = two machines have the name { $name }
findings_handover-same-folder = two machines have the folder { $name }
findings_handover-same-fix = give each its own name
findings_handover-stopped = stopped; nothing was written
findings_handover-stopped-after = stopped; { $done } of { $count } variants are done, and a second run skips those finished
findings_handover-worker-died = the worker that built it died, and nothing of it was written
findings_handover-worker-died-fix = run the build again: it skips what is finished
findings_handover-jobs-hold = jobs holds { $value }; give pathkit.Job values, or the orders of a job file
findings_handover-jobs-both = jobs holds both jobs and orders; build them one after the other, into two folders
findings_handover-orders-machines = orders name their machines; give an empty list of machines with them
findings_handover-no-job = no job to build; give at least one
findings_handover-two-variants = two variants have the folder { $folder }: { $job } for { $machine }, { $other } for { $another }
findings_handover-two-variants-fix = give each machine, and each job, its own name
findings_handover-folder-in-folder = the folder { $name } lies in that of another variant
findings_handover-folder-in-folder-fix = build them apart
findings_handover-executor = executor is { $value }, which runs nothing
findings_handover-executor-fix = give a concurrent.futures.Executor, a dask.distributed.Client, or None to build here
findings_handover-handout-url = { $url } is a URL; a hand-out is built in a folder, which can be put anywhere as a whole

# Files that are looked at again (pathkit.handover.recheck, comparing, revision, stale, rehearse, resume).
findings_handover-compare-no-job = the job of { $path } is not beside it; give --job, for the board and its bits
findings_handover-compare-no-certificate = no certificate beside { $path }; say what it is with { $option }
findings_handover-no-job-named = { $path } names no job; build the folder again
findings_handover-of-another = { $path } speaks of { $name }, not of { $file }
findings_handover-twin-no-job = the job is missing, so the height that the twin needs is not known
findings_handover-job-gone = the job file is not there
findings_handover-job-gone-fix = put it back, or name the job with --job
findings_handover-rehearsed-table = [rehearsed] cannot be set in { $path }; remove the table in it and try again
findings_handover-resume-name = the new file's name { $name } holds more than letters, digits and . - _ +; choose another
findings_handover-resume-first = the first is { $name }
findings_handover-revision-no-mark = this folder was made from another revision of the job: it has no mark, and the index { $index }
findings_handover-revision-mark = this folder was made from another revision of the job: it has the mark { $mark }, and the index { $index }
findings_handover-revision-fix = build it again, and cut nothing from it
findings_handover-revision-cut = the cut file belongs to another revision of the job: its certificate has the mark { $mark }, and it has { $other }
findings_handover-revision-cut-none = the cut file belongs to another revision of the job: its certificate has the mark { $mark }, and it has none
findings_handover-revision-air = the air cut belongs to another revision of the job: its certificate has the mark { $mark }, and it has { $other }
findings_handover-revision-air-none = the air cut belongs to another revision of the job: its certificate has the mark { $mark }, and it has none
findings_handover-revision-sheet = the sheet belongs to another revision of the job: its certificate has the mark { $mark }, and it has { $other }
findings_handover-revision-sheet-none = the sheet belongs to another revision of the job: its certificate has the mark { $mark }, and it has none
findings_handover-stale-no-certificate = no certificate ({ $pattern }) below { $path }; name a folder that was built
findings_handover-stale-no-folder = { $path } is a job file; compare it with a folder, which { $other } is not
findings_handover-stale-unread = { $path }: what it says it was made from cannot be read; build the folder again
findings_handover-stale-not-there = the job makes this folder, but it is not there
findings_handover-stale-not-there-fix = build it
findings_handover-stale-no-job-file = it does not say that it was made from a job file
findings_handover-stale-no-longer = the job no longer makes this folder
findings_handover-stale = stale: { $changes }
findings_handover-stale-fix = build again; do not cut from { $files }
findings_handover-stale-boards = { $count } boards instead of { $before }
findings_handover-stale-passes = the passes changed
findings_handover-stale-job = the job changed
findings_handover-stale-name = the job is called { $name }
findings_handover-stale-stock = the stock changed
findings_handover-stale-gone = { $count } cuts are gone ({ $names })
findings_handover-stale-new = { $count } cuts are new ({ $names })
findings_handover-stale-field = { $field } of { $count } cuts changed ({ $names })
findings_handover-stale-parts = the finished parts changed
findings_handover-stale-order = the order, the precedence or how a cut is entered changed
findings_handover-stale-profile = the machine's profile changed

# Pictures and letters (pathkit.handover.pages, support).
findings_handover-picture-tops = the tops of the two boards are at { $tops }, so one key cannot tell their depths; draw each alone
findings_handover-picture-top = z = { $z } mm
findings_handover-picture-extra = pictures in PNG need the extra 'png': pip install 'pathkit-cam[png]', or write an .svg
findings_handover-picture-font = no sans-serif font was found: labels are missing in the PNG; write an .svg
findings_handover-seen-nowhere = { $path } moves the bit to no place that it says; a cut file has moves with X, Y and Z
findings_handover-seen-no-board = { $path } has no board with the parts of { $file }; name the job file that the cut file was built from
findings_handover-zero-on-bed = its files take as zero the place where the bit is when they start, and no bit can reach the bed under the board's corner
findings_handover-zero-on-bed-fix = measure from the top of the board: z_zero = "top"
findings_handover-utf-16 = { $path } was saved as UTF-16, which no controller reads
findings_handover-utf-16-fix = save it as plain text, or send the file packed
findings_handover-two-questions = --message and --alarm are two questions; give one of them
findings_handover-other-messages = --{ $option } tells the numbered messages of GRBL, and { $controller } does not number its messages that way
findings_handover-other-messages-unknown = --{ $option } tells the numbered messages of GRBL, and this file's controller does not number its messages that way
findings_handover-other-messages-fix = look in that controller's manual
findings_handover-message-number = --{ $option } { $number } is not among the numbers of GRBL 1.1 that are known here
findings_handover-message-number-fix = give one from { $low } to { $high }
