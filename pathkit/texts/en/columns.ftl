# The names of columns and rows in the tables of the command line.

columns-machine = machine
columns-parts = parts
columns-proved = proved
columns-deviation = deviation
columns-travel-before = travel before
columns-after = after
columns-before = before
columns-up-and-down = up and down
columns-run-time = run time
columns-cut-file = cut file
columns-lines = lines
columns-travel = travel
columns-retracts = retracts
columns-name = name
columns-title = title
columns-suffix = suffix
columns-from = from
columns-dialect = dialect
columns-zero-at = zero at
columns-x-y = X+ Y+
columns-bed-mm = bed (mm)
