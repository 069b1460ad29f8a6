# A move of a cut file, and what happens between moves: clauses of "Line 40 …" (explain-line), without the line.
# $does says whether wood is cut. Places and feeds come with their axes and units.

moves-nowhere-known = moves to a place that the file does not say
moves-already = moves nowhere: the bit is at { $place } already
moves-speed = { $speed ->
    [full] at full speed
    [unset] at a feed that the file has not set
   *[feed] at { $feed }
 }
moves-slope = { $slope ->
    [rising] , rising by { $rise } on the way
    [sinking] , sinking by { $rise } on the way
   *[level] {""}
 }
moves-upright = { $does ->
    [cuts] cuts
    [burns] burns
   *[moves] moves
 } { $way ->
    [up] straight up
    [down] straight down
   *[either] straight up or down
 } to { $place } { moves-speed }
moves-straight = { $does ->
    [cuts] cuts
    [burns] burns
   *[moves] moves
 } { $axis ->
    [several] in a straight line
   *[one] along { $axis }
 } to { $place } { moves-speed }{ moves-slope }
moves-arc = { $does ->
    [cuts] cuts
    [burns] burns along
   *[moves] moves along
 } an arc, { $sense ->
    [counter] counter-clockwise
   *[clock] clockwise
 } seen from above, of radius { $radius } through { $degrees } degrees to { $place } { moves-speed }{ moves-slope }
moves-circle = { $does ->
    [cuts] cuts
    [burns] burns along
   *[moves] moves along
 } a full circle, { $sense ->
    [counter] counter-clockwise
   *[clock] clockwise
 } seen from above, of radius { $radius }, to { $place } { moves-speed }{ moves-slope }
moves-over = { $move }, { $height }
moves-drills = drills { $count ->
    [one] a hole
   *[other] { $count } holes, the last
 } at { $place } down to { $bottom }{ $peck ->
    [none] {""}
   *[other] {" "}in pecks of { $peck }
 } at { $feed }

moves-height = { $side ->
    [level] level with the top of the board
    [above] { $length } above the top of the board
   *[below] { $length } below the top of the board
 }
moves-height-under = { $height }, { $length } below its underside
moves-right = { $length } to the right
moves-away = { $length } away
moves-feed-inches = { $inches } in/min ({ $mm } mm/min)
moves-feed = { $mm } mm/min

moves-spindle-off = turns the spindle off
moves-spindle-set = sets the turning spindle to { $speed } rpm
moves-spindle-on = turns the spindle on, { $sense ->
    [counter] counter-clockwise
   *[clock] clockwise
 }, at { $speed } rpm
moves-dwell = stands still for { $seconds } s
moves-pause-if = stops until cycle start is pressed, if the switch for that is on
moves-pause = stops until cycle start is pressed
moves-bit-change = has the bit changed
moves-bit-change-number = has the bit changed for number { $number }
moves-coolant = { $kind ->
    [flood] turns the flood on (coolant; on some machines air or suction)
    [mist] turns the mist on (air or coolant)
   *[off] turns coolant and air off
 }
moves-offset = takes the work zero { $name }
moves-lift = goes straight up at full speed to Z { $z } in machine coordinates
moves-end = ends the program
moves-beam = { $mode ->
    [off] switches the beam off
    [constant] makes the beam ready, and it also burns where the machine stands
   *[dynamic] makes the beam ready, with a power that follows the speed
 }
