finding-remedy = { $what } ({ $fix })
finding-code = { $what } [{ $code }]
finding-line = Zeile { $line }
finding-toolpath = Werkzeugweg { $name }
finding-placed = { $where }: { $what }
finding-severity = { $severity ->
    [error] Fehler
    [warning] Warnung
   *[note] Hinweis
 }: { $what }
finding-more = { $what } (und { $count } weitere)
finding-more-named = { $what } (und { $count } weitere: { $names })
