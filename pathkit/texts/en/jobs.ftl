# What is wrong with a job file, a folder or an order, as the library says it; findings.ftl tells how it is recognised.

jobs-unknown-key = unknown key { $key }
jobs-did-you-mean = did you mean { $names }?
jobs-missing = { $key } is missing
jobs-add-such = add it: { $example }, say
jobs-table = { $key }: must be a table, not { $given }
jobs-table-below = write [{ $name }] and its keys below
jobs-braces = give its keys in braces
jobs-renamed = { $key }: { $old } has another name now
jobs-give-more = give more; a plain length is in mm
jobs-give-less = give less; a plain length is in mm
jobs-give-as-many = give as many, in square brackets; a point is [x, y]
jobs-give-name = give it a name
jobs-one-of = one of: { $names }
jobs-there-are = there are: { $names }
jobs-there-is-none = there is none yet
jobs-name-one = name one; { $why }
jobs-no-board = no board is called { $name }
jobs-no-shape = no shape is called { $name }
jobs-no-operation = no operation is called { $name }
jobs-no-part = no other part is called { $name }
jobs-bit-twice = the bit { $name } is in { $table } too
jobs-bit-twice-fix = remove it, or give it another name, such as { $other }
jobs-unit-in-quotes = put a number with its unit in quotes: { $text }
jobs-at-and-quantity = at says where one part lies, but quantity asks for { $count }
jobs-at-and-quantity-fix = remove at or quantity; for one more, add a [[part]] with like = … and its own at
jobs-texts = { $count } texts for { $copies } of { $part }
jobs-texts-fix = give one for each, or set quantity = { $count }
jobs-number-from = number_from counts the copies of a part, but the part has no quantity
jobs-layout-together = layout.{ $key } lays out all parts together, but { $where } lays them out one by one
jobs-two-operations = two operations are called { $name }
jobs-two-tables = two [[{ $key }]] tables are called { $name }
jobs-like-like = the part { $name } is itself like { $other }
jobs-board-number = the job file has no board number { $number }; it has { $count }, counted from 0
jobs-no-machine = no machine to build for: name one with --machine, or in a [[machine]] table of the job file
jobs-no-machine-order = no machine to build for: name one with --machine
jobs-machine-twice = { $name } is listed twice
jobs-remove-one = remove one
jobs-no-option = { $name } has no option { $option }
jobs-no-number = { $name } is { $given }, which is no number
jobs-no-handout = the job file has no [handout]
jobs-no-handout-fix = add a [handout] table with a [handout.machine] table in it, or use "pathkit build"
jobs-shape-points = shape { $name } consists of points, which have no inside
jobs-drill-them = drill them
jobs-shape-needs-lines = shape { $name } consists of points, and this operation needs lines
jobs-shape-open = shape { $name } is open by { $gap } mm, from ({ $x }, { $y }) to ({ $u }, { $v })
jobs-path-empty = the path has no length; draw at least one line, as in M 0 0 H 20
jobs-drawing-unusable = its drawing cannot be used; mend what is reported for it
jobs-delete-one = delete one of them
jobs-delete-one-drawn = delete one of them in the drawing
jobs-in-order = give its points in order along the outline
jobs-web-and-spacing = web and spacing both say how far apart parts lie
jobs-keep-one = keep one of them
jobs-no-kerf = parts { $apart } mm apart leave no room for a kerf of { $kerf } mm
jobs-part-hangs-over = the part { $name } ({ $size }) hangs over the board of { $width } × { $depth } mm
jobs-part-on-clamp = the part { $name } and its kerf lie on a screw or clamp
jobs-change-at = change its at
jobs-parts-on-each-other = the parts { $first } and { $second } lie on each other
jobs-parts-on-each-other-fix = move one of them, or give each a place of its own with at = [x, y]
jobs-parts-too-near = the parts { $first } and { $second } lie { $gap } mm apart; the kerf is { $kerf } mm wide
jobs-parts-too-near-fix = lay them at least { $kerf } mm apart: change at
jobs-layout-places-it = let [layout] place it
jobs-overlap = { $who } and { $whoever } overlap by { $area } mm², at ({ $x }, { $y })
jobs-unite = unite them into one shape, or move them apart
jobs-unite-only = unite them, or move them apart
jobs-skin-through = skin is for a cut right through the board, and this cut does not go through
jobs-skin-through-fix = set bottom.through = true, or leave out skin
jobs-below-bed = it goes down to z = { $bottom } mm, and the bed may be as high as { $bed } mm
jobs-below-bed-fix = cut less deep, or use a thicker underlay
jobs-underside = it ends at z = { $bottom } mm, and the underside may be anywhere from { $low } to { $high } mm
jobs-underside-fix = set bottom.through = true to cut every board right through, or cut less deep to leave a floor
jobs-above-top = it ends at z = { $bottom } mm, and the top of the thinnest board is at { $top } mm
jobs-above-top-fix = cut deeper, accept a narrower range of boards (thickness_tolerance), or set z_zero = "top"
jobs-no-certificate = no certificate beside { $file }; say for which machine it is with --machine
jobs-no-certificate-build = no certificate beside { $file }; build the folder again
jobs-no-certificate-below = no certificate ({ $pattern }) below { $folder }; name a file, and its machine
jobs-is-the-air-cut = { $file } is the air cut; name the cut file { $name }
jobs-changed-since-proved = these are not the bytes that were proved: the file was changed since
jobs-changed-since-made = these are not the bytes that the files were made from: the file was changed since
jobs-build-again = build the folder again
jobs-put-back-or-build = put it back, or build the folder again
jobs-put-back = put the job file back
jobs-broken-off = a build was broken off here: old and new files may be mixed, so cut none of them
jobs-broken-off-fix = build into this folder again; that first finishes the build that was broken off
jobs-another-build = another build is writing into this folder
jobs-another-build-fix = wait until it ends, or name another
jobs-there-already = a file of that name is there already
jobs-there-already-fix = choose another folder, move the file away, or use --force, which replaces files of the same name
jobs-choose-or-force = choose another name, move it away, or use --force
jobs-no-folder = { $path } is not a folder; name another, or move the file away
jobs-no-toolpath = no toolpath of this job is called { $name }
jobs-start-from = start from { $name }; cutting air once more costs only time
jobs-needs-earlier = it goes down into what { $name } has cut, which this file would not cut
jobs-other-revision = kept, but made from another revision of the job: the index lists none of its files
jobs-other-revision-fix = build it again for its machine, or remove it with --drop-others
jobs-letter-not-read = the rehearsal's letter does not read on { $machine }: it would cut a mirrored or turned image
jobs-letter-not-read-fix = correct [axes] and left_handed in the profile, and rehearse again
jobs-rectangle = the rehearsal's rectangle did not fit the board on { $machine }
jobs-rectangle-fix = check origin in the profile, the zero and the board's size, and rehearse again
jobs-no-gcode = { $file } is not G-code; name a cut file
jobs-not-utf8 = cannot be read: it is not UTF-8 text (byte { $byte })
jobs-not-toml = not TOML: { $reason }
jobs-correct-line = correct the line
