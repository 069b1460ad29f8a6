finding-remedy = { $what } ({ $fix })
finding-code = { $what } [{ $code }]
finding-line = Zeile { $line }
finding-toolpath = Werkzeugweg { $name }
finding-placed = { $where }: { $what }
