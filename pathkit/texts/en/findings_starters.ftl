# What is wrong with a starting point, the site or an order to the conformance kit; findings.ftl tells how it is recognised.

# Starting points (pathkit.starters).
findings_starters-dialect-name = { $name } cannot be a dialect's name: lower-case letters, digits and single hyphens, such as my-router
findings_starters-dialect-taken = { $package } has a dialect called { $name } already; choose another name
findings_starters-dialect-title = the title { $title }: at most { $most } plain characters, no quotes, braces or backslashes
findings_starters-folder-taken = { $path } is there already and not empty; choose another place with --out
findings_starters-machine-name = the name { $name }: give one of 1 to { $most } letters
findings_starters-left-handed = X { $x }, Y { $y }, Z { $z } make a left-handed frame, which is rare: jog X+, Y+ and Z+ once more. If it is left-handed, confirm with --left-handed; if not, the parts would come out mirrored
findings_starters-right-handed = X { $x }, Y { $y }, Z { $z } make a right-handed frame; leave out --left-handed
findings_starters-svg-is = --svg is { $file }: { $what }
findings_starters-usual-chips = usual in { $material } for this bit is { $low } to { $high } mm a tooth (common practice, no source); the values below take { $chip }

# The site of the documentation (pathkit.docs).
findings_starters-no-guide = the guide { $name } is missing from this installation; install pathkit again
findings_starters-site-format = no site is made as { $kind }; there are: { $names }
findings_starters-site-there = { $path } is there already
findings_starters-site-there-fix = name a folder that is not there yet
findings_starters-site-package = { $name } is not installed
findings_starters-site-warnings = the site was not made: { $warnings }
findings_starters-site-unwritten = the site cannot be written to { $path }: { $why }

# The conformance kit (pathkit.testing).
findings_starters-boards-most = boards: most is { $given }; give 1 to 6 plates a side
findings_starters-stocks-zero = stocks: z_zero has { $given }; give top, bed or both
findings_starters-curves-size = curves: size is { $given }; give two lengths from 2 to 200 mm, the smaller first
findings_starters-toolpaths-role = toolpaths: no role is called { $name }; there are: { $names }
findings_starters-jobs-least = jobs: least is { $least } and most is { $most }; give 0 ≤ least ≤ most
