# How a finding is laid out in a line (see findings.ftl for what they say).

finding-remedy = { $what } ({ $fix })
finding-code = { $what } [{ $code }]
finding-line = line { $line }
finding-toolpath = toolpath { $name }
finding-placed = { $where }: { $what }
finding-severity = { $severity ->
    [error] error
    [warning] warning
   *[note] note
 }: { $what }
finding-more = { $what } (and { $count } more)
finding-more-named = { $what } (and { $count } more: { $names })
