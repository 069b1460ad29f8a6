# Values of a job that are impossible (pathkit.model, geometry, curves).

# A job in JSON.
findings_model-json = not JSON: { $error }
findings_model-json-fix = pass a job as written by pathkit
findings_model-json-not-job = this is not a pathkit job: "pathkit" is not "job"
findings_model-json-not-job-fix = pass a job file
findings_model-json-version = job version { $given } is not known here
findings_model-json-version-fix = this library reads version { $version }

# Curves.
findings_model-points-fix = every number must be finite and within ±{ $far } mm
findings_model-points-not-numbers = points are not numbers
findings_model-points-not-numbers-fix = pass an (n, 2) or (n, 3) array
findings_model-points-shape = points have the shape { $shape }
findings_model-points-shape-fix = pass (n, 2), or (n, 3) for a trace, n at least 1
findings_model-point-given = point { $number } is { $shown }
findings_model-sweeps-not-numbers = sweeps are not numbers
findings_model-sweeps-fix = one angle in radians for each span
findings_model-sweeps-count = { $count } sweeps for { $spans } spans
findings_model-sweeps-count-fix = one angle in radians for each span, 0 a line
findings_model-sweep-given = sweep { $number } is { $shown }
findings_model-sweep-given-fix = it must lie between −2π and 2π
findings_model-angles = angles are { $shown }, not numbers
findings_model-angles-fix = one angle in degrees for each span
findings_model-closed-point = a closed curve of one point
findings_model-closed-point-fix = pass at least two points
findings_model-same-place = points { $one } and { $other } are the same place
findings_model-same-place-closed-fix = a closed curve does not repeat its first point
findings_model-same-place-fix = drop one of them
findings_model-whole-turn-fix = give a whole turn as two halves
findings_model-centre-fix = two finite numbers
findings_model-shapely-not = from_shapely was given a { $type }; pass a shapely geometry
findings_model-shapely-empty = an empty { $type } has no curve; pass a shape with points
findings_model-shapely-holes = a Polygon with holes is several curves; pass its rings one by one
findings_model-shapely-closed = a LineString that ends where it begins may be meant open or closed; pass a LinearRing or Polygon, or Curve(points) for an open cut
findings_model-shapely-several = a { $type } is not one curve; pass a Point, LineString, LinearRing or Polygon
findings_model-tolerance = a tolerance of { $given } mm can never be kept; give one above 0
findings_model-radius-fix = at most half the shorter side, { $most }
findings_model-ends-alike = both ends are at { $given }
findings_model-ends-alike-fix = give two places, or use a circle
findings_model-region-plane = { $shape } is not a closed plane curve
findings_model-region-plane-fix = close it: Curve.polyline(…, closed=True)
findings_model-region-geometry-fix = pass a Curve or a shapely geometry
findings_model-region-inside-fix = pass a shape with an inside
findings_model-region-coordinates = { $shape } has coordinates that are not finite
findings_model-region-no-inside = { $shape } is a { $type }, which has no inside
findings_model-region-no-inside-fix = pass a closed Curve, Polygon or MultiPolygon
findings_model-region-crosses = { $shape } crosses itself: { $place }
findings_model-region-crosses-fix = mend the drawing there
findings_model-region-empty = { $shape } encloses nothing
findings_model-region-islands = its islands cover all of it
findings_model-region-islands-fix = make them smaller

# Parts of a job.
findings_model-not-closed = not a closed plane curve
findings_model-not-closed-fix = pass a closed Curve
findings_model-island-open = island { $number } is not a closed curve
findings_model-outline-open = the outline is not a closed plane curve
findings_model-top-below = top { $top } is not above bottom { $bottom }
findings_model-z-fix = z grows upward
findings_model-finishes = { $path } finishes { $other }, which is no other toolpath of the job
findings_model-finishes-fix = name the one that leaves the allowance
findings_model-bits-alike = two different bits are called { $name }
findings_model-bits-number = two bits have the number { $number }
findings_model-below-bed = { $path } goes to z = { $z }, below the bed at z = { $u }
findings_model-bottom-high = { $path } has its bottom at z = { $z }, not below its wood
findings_model-bottom-high-fix = the wood's top is at z = { $z }
findings_model-bites-many = { $path } would go down in more than { $count } bites of { $bite } mm
findings_model-bites-many-fix = take deeper ones
findings_model-no-toolpath = no toolpath is called { $name }
findings_model-no-toolpath-fix = check its spelling
findings_model-cycle = a cycle of precedence: { $names }
findings_model-cycle-fix = drop a pair

# The board and its zones.
findings_model-zone-shape-fix = pass a shapely Polygon
findings_model-zone-crosses = shape is empty or crosses itself
findings_model-zone-crosses-fix = pass a valid polygon
findings_model-tolerance-board = thickness_tolerance leaves no board
findings_model-tolerance-board-fix = give less than the thickness, say { $such }
findings_model-tolerance-underlay = underlay_tolerance is more than the underlay
findings_model-tolerance-underlay-fix = give at most { $most }
findings_model-through = right through takes { $past } mm past the underside
findings_model-through-thinnest = { $what }, and { $more } mm more where the board is thinnest
findings_model-through-under = { $what }; under it lies { $least } mm at least
findings_model-through-nothing = { $what }; under it lies nothing
findings_model-through-fix = lay more than { $more } mm under the board (underlay)

# Bits and feeds.
findings_model-vee = a vee without its angle
findings_model-vee-fix = give its full angle in degrees, angle = 60, say
findings_model-compression = a compression bit without its tip_length
findings_model-compression-fix = give the length of its up-cut tip, tip_length = 5, say
findings_model-plunge = plunge { $plunge } mm/min is faster than feed { $feed } mm/min
findings_model-plunge-fix = a bit goes down slower than along, or as fast; are the two exchanged?
findings_model-range-half = a range of feeds without its { $key }
findings_model-range-half-fix = give { $key } too, in mm/min
findings_model-range-outside = the feed { $feed } mm/min lies outside its range, { $low } to { $high } mm/min
findings_model-range-outside-fix = choose slowest { $sign } feed { $sign } fastest

# Toolpaths.
findings_model-entry-fix = pass a Plunge, Ramp, …
findings_model-trace-with = a trace with a { $key }
findings_model-trace-with-fix = a trace is cut at its own heights; leave it out
findings_model-trace-fix = a trace is cut at its own heights
findings_model-no-bottom = no bottom
findings_model-no-bottom-fix = give the z where the cut ends, or levels
findings_model-bottom-above = bottom { $bottom } is not below top { $top }
findings_model-levels-numbers = levels are not finite numbers
findings_model-levels-numbers-fix = give at least one z
findings_model-levels-up = levels { $levels } do not go down
findings_model-levels-up-fix = each must be below the one before
findings_model-levels-first = first level { $level } is not below top { $top }
findings_model-levels-last = last level { $level } is not the bottom { $bottom }
findings_model-levels-last-fix = make them agree
findings_model-tab-given = tab { $number } is { $shown }
findings_model-tab-beyond = tab at { $at } on a curve of { $length } mm
findings_model-tabs-shapes = tabs of several shapes on one toolpath
findings_model-tabs-shapes-fix = give all of them one shape
findings_model-tabs-on-trace = tabs on a trace or a point
findings_model-tabs-on-trace-fix = tabs belong on the plan of a through cut
findings_model-spiral-open = a spiral on an open curve
findings_model-peck-curve = a peck on a curve
findings_model-peck-curve-fix = pecking is for holes: single points, or the role drill
findings_model-descent = a descent on a curve without a lead
findings_model-descent-fix = lead it on, or use another entry
findings_model-angled-trace = an angled entry on a trace
findings_model-ramp-point = a ramp on a point
findings_model-ramp-point-fix = use Plunge, Peck or Helix
findings_model-point-role = a single point as { $role }
findings_model-point-role-fix = a point is a drill's
findings_model-start-open = a start on an open curve
findings_model-start-open-fix = open curves begin at an end; use backward
findings_model-start-beyond = start { $at } on a curve of { $length } mm
findings_model-start-beyond-fix = it must lie on it
findings_model-backward = backward, but not reversible
findings_model-backward-fix = reversal turns climb into conventional
findings_model-feeds-no-trace = feeds span by span on what is no trace
findings_model-feeds-no-trace-fix = its cutting has the feed
findings_model-feeds-start = a start on a trace with feeds of its own
findings_model-feeds-start-fix = leave the start out
findings_model-feeds-pairs = feeds are not pairs of a span and mm/min
findings_model-feeds-pairs-fix = ((0, 900.0), (12, 600.0)), say
findings_model-feeds-count = the spans of feeds do not count up from 0
findings_model-feeds-count-fix = begin with span 0, then go on
findings_model-feeds-span = feeds name span { $number } of { $count }
findings_model-feeds-span-fix = count spans from 0
findings_model-beam-entry = a { $entry } for a beam
findings_model-beam-entry-fix = a beam enters nothing; leave the entry out
findings_model-beam-role = a beam in the role { $role }
findings_model-beam-role-fix = the role "engrave" or "cut"
findings_model-beam-tabs = tabs or an allowance for a beam
findings_model-beam-tabs-fix = a beam leaves no wood that it has not passed
