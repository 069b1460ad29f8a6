# Values, keys and files that are not what they should be (pathkit.door, forms, files, registry, units).

# What a function was given.
findings_forms-given-class = { $field } is the class { $name }
findings_forms-given-a = { $field } is a { $type }
findings_forms-given-an = { $field } is an { $type }
findings_forms-given-a-value = { $field } is a { $type }, { $shown }
findings_forms-given-an-value = { $field } is an { $type }, { $shown }
findings_forms-number-fix = pass a number
findings_forms-whole-number-fix = pass a whole number
findings_forms-pass-a = pass a { $either }
findings_forms-pass-an = pass an { $either }
findings_forms-pass-a-made = pass a { $either }: { $why }
findings_forms-pass-an-made = pass an { $either }: { $why }

# A value that its place does not take.
findings_forms-value = { $field } is { $shown }
findings_forms-value-not-text = { $field } is { $shown }, not text
findings_forms-value-not-number = { $field } is { $shown }, not a number
findings_forms-value-empty = { $field } is empty
findings_forms-value-finite-fix = give a finite number
findings_forms-value-more-fix = it must be more than { $limit }
findings_forms-value-least-fix = it must be at least { $limit }
findings_forms-value-most-fix = it must be at most { $limit }
findings_forms-value-less-fix = it must be less than { $limit }
findings_forms-value-tuple-fix = pass a tuple
findings_forms-value-members-fix = pass { $count } values in a tuple
findings_forms-value-dict-fix = pass a dict
findings_forms-value-whole-fix = a whole number
findings_forms-value-either-fix = true or false
findings_forms-value-python-fix = True or False
findings_forms-value-finite = a finite number
findings_forms-value-whole-unquoted = a whole number, without quotes
findings_forms-value-number-unquoted = a plain number, without quotes
findings_forms-value-quoted = text in quotes
findings_forms-value-list = a list in square brackets
findings_forms-value-whole-range = a whole number from { $low } to { $high }
findings_forms-value-finite-every = every number must be finite
findings_forms-value-length = mm without quotes, or a text with its unit, as "5.5in", "1/4in" or "140mm"
findings_forms-value-feed = mm/min without quotes, or a text with its unit, as "100in/min" or "2500mm/min"
findings_forms-controls-fix = leave out control characters such as tabs and ends of lines
findings_forms-names-differ-fix = names must differ
findings_forms-numbers-differ-fix = numbers must differ
findings_forms-called-twice = two { $things } are called { $shown }

# Keys of a file.
findings_forms-field-wrong = { $field }: { $known }
findings_forms-field-wrong-given = { $field }: { $known }, not { $shown }
findings_forms-known-here = known here: { $names }
findings_forms-renamed-fix = write { $field } = { $shown }
findings_forms-nested-deep = values are nested too deeply
findings_forms-nested-more = values are nested more than { $count } deep

# Files.
findings_forms-file-not-there = { $file } is not there, so it cannot be read
findings_forms-file-unreadable = { $file } cannot be read: { $why }
findings_forms-file-not-text = { $file } cannot be read: it is not UTF-8 text (byte { $byte })
findings_forms-file-large = { $file } is larger than { $size } bytes, which is the most that is read
findings_forms-file-name-fix = check the name
findings_forms-file-within-fix = name a file in it
findings_forms-file-pipe-fix = write its content to a file, and name that
findings_forms-file-fix = name a file
findings_forms-file-utf8-fix = store it as UTF-8

# Plugins and names.
findings_forms-dialect-there = { $package } already provides a dialect called { $name }
findings_forms-dialect-there-fix = give yours another name, or hand it over as post(…, dialect=…)
findings_forms-plugin-left-out = the plugin { $name } of { $package } was left out: { $error }
findings_forms-plugin-failed = { $package }: { $hook } failed: { $error }
findings_forms-plugin-unusable = the plugin of { $package } cannot be used: { $error }
findings_forms-plugin-fix = repair or remove that package
findings_forms-provided-twice = two packages provide a { $kind } called { $name }: { $every }; remove one of them
findings_forms-none = no { $kind } is called { $shown }
findings_forms-and-plugin-left-out = { $what }; the plugin { $name } of { $package } was left out: { $error }
findings_forms-and-plugin-failed = { $what }; { $package }: { $hook } failed: { $error }
findings_forms-no-language = there are no texts in the language { $language }; choose one of { $names }

# What a form says of a value (by pydantic, reworded in pathkit.forms).
findings_forms-must-greater = { $field }: must be greater than { $limit }, not { $shown }
findings_forms-must-least = { $field }: must be greater than or equal to { $limit }, not { $shown }
findings_forms-must-less = { $field }: must be less than { $limit }, not { $shown }
findings_forms-must-most = { $field }: must be less than or equal to { $limit }, not { $shown }
findings_forms-must-number = { $field }: must be a number, not { $shown }
findings_forms-must-whole = { $field }: must be a whole number, not { $shown }
findings_forms-must-whole-fraction = { $field }: must be a whole number, got a number with a fractional part, not { $shown }
findings_forms-must-finite = { $field }: must be a finite number, not { $shown }
findings_forms-must-text = { $field }: must be a string, not { $shown }
findings_forms-must-list = { $field }: must be a list, not { $shown }
findings_forms-must-either = { $field }: must be a boolean, not { $shown }
findings_forms-must-choice = { $field }: must be { $either }, not { $shown }
findings_forms-must-items = { $field }: List should have at least { $least } items, not { $count }
findings_forms-must-item = { $field }: List should have at least 1 item, not { $count }
findings_forms-must-few-items = { $field }: List should have at most { $most } items, not { $count }
findings_forms-must-character = { $field }: String should have at least 1 character, not { $shown }
findings_forms-must-characters = { $field }: String should have at most { $most } characters, not { $shown }
findings_forms-must-pattern = { $field }: String should match pattern { $pattern }, not { $shown }

# Two sentences in one.
findings_forms-two = { $known }; { $also }
