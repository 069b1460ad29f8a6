# What is wrong with a job file, and what its findings are about (pathkit.jobs).

# What a finding is about.
findings_jobs-it-is = { $what }; it is { $known }
findings_jobs-asks-for-it = { $what }; { $place } asks for it
findings_jobs-passes-keys = { $what }; [passes] { $keys }
findings_jobs-passes-keys-or-false = { $what }; [passes] { $keys }; or false
findings_jobs-layout-keys = { $what }; [layout] web or spacing
findings_jobs-or-uncut = { $what }; or leave it uncut: --without { $name }
findings_jobs-fit-moved = { $what }; fit = { $fit } has moved its walls

# Bits of one's own.
findings_jobs-bit-which = --bit { $bit }: say which bit it replaces: { $either }
findings_jobs-bit-unused = --bit names { $bit }, which this job does not use; it uses: { $names }
findings_jobs-bit-twice = --bit is given twice for { $bit }; give it once
findings_jobs-bit-diameter = --bit is { $given }; give a diameter above 0 mm and of at most { $most } mm
findings_jobs-bit-entry-fix = change its entry in [tools]
findings_jobs-bit-not-reached = the bit { $bit } does not reach ({ $x }, { $y }), where the job's bit { $meant } of { $diameter } mm cuts
findings_jobs-bit-widest-fix = the widest bit that fits has { $widest } mm
findings_jobs-bit-widest-tool-fix = tool: the widest bit that fits has { $widest } mm
findings_jobs-rest-nothing = { $name } leaves nothing for the bit { $bit } to cut: the bit { $wide } reaches all of it
findings_jobs-rest-nothing-fix = name only one bit as its tool
findings_jobs-material = { $shown } must not be cut: { $why }
findings_jobs-material-fix = use another material
findings_jobs-without-several = --without { $name } fits several operations of the job
findings_jobs-without-none = --without { $name } fits no operation of the job
findings_jobs-without-frees = --without { $name } would leave the part in the board: this operation cuts it free
findings_jobs-without-frees-fix = use a bit that can cut it
findings_jobs-without-nothing = --without leaves nothing to cut in the part { $part }; leave out fewer operations
findings_jobs-toolpaths-bit = this job is made of toolpaths, which are fixed for their bits; --bit needs a job file in TOML
findings_jobs-toolpaths-without = this job is made of toolpaths, not of operations; --without needs a job file in TOML

# Boards and what lies on them.
findings_jobs-fits-if-turned = it fits if it is turned: set turn = { $turn } for this machine in [[machine]], or give --turn { $given }
findings_jobs-part-over-width = { $what }, or use a board of width = { $width }, depth = { $depth }
findings_jobs-part-over-move = { $what }, or move its shapes by [{ $a }, { $b }]
findings_jobs-part-at-fix = give at a value from [0, 0] to [{ $a }, { $b }]
findings_jobs-spacing-fix = give at least { $least }
findings_jobs-zone-closed = a zone must be a closed shape
findings_jobs-zone-closed-fix = give a rectangle, say

# Chamfers.
findings_jobs-chamfer-consumed = a chamfer { $width } mm across leaves nothing of the top of what its line goes round
findings_jobs-width-less-fix = width = less than { $width }
findings_jobs-width-less-wider-fix = width = less than { $width }, or a vee with a wider angle
findings_jobs-width-most-fix = width = { $width } at most
findings_jobs-width-most-wider-fix = width = { $width } at most, or a wider bit
findings_jobs-width-more-fix = width = more than { $width }, or accept fewer boards (thickness_tolerance), or set z_zero = "top"
findings_jobs-edge-fix = leave this edge as it is
findings_jobs-chamfer-in-opening = there is no edge at z = { $z } mm: the line lies within an opening
findings_jobs-chamfer-in-opening-fix = name the shape of an edge
findings_jobs-chamfer-in-recess = there is no edge at z = { $z } mm: the line lies within a recess, whose floor lies at z = { $floor } mm
findings_jobs-chamfer-in-skin = its foot lies at z = { $foot } mm, in the skin, whose top lies at { $top } mm
findings_jobs-chamfer-floor = its bit goes down to z = { $bottom } mm, and would cut the floor beside its line at z = { $floor } mm
findings_jobs-chamfer-wall = its bit would cut what is to stay at ({ $x }, { $y }), { $off } mm from its line
findings_jobs-chamfer-wall-above = { $what }: above its edge the cone is wider still
findings_jobs-chamfer-wall-other-side = { $what }, on the other side
findings_jobs-chamfer-neighbour = the wood beside its line is { $gap } mm wide at ({ $x }, { $y }), where a recess or hole begins, and the chamfer { $width } mm
findings_jobs-chamfer-edge-above = its edge lies above the board's top
findings_jobs-chamfer-edge-above-fix = leave out top, or give top.from_top
findings_jobs-chamfer-cone = its width would be { $width } mm on the thickest board, and the cone of { $bit } reaches { $radius } mm to each side
findings_jobs-chamfer-thinnest = it is { $deep } mm deep, and the top of the thinnest board lies { $lower } mm lower: that board would have no chamfer
findings_jobs-chamfer-underside = its foot lies at z = { $foot } mm, and the underside may lie at { $underside } mm
findings_jobs-chamfer-apart = parts lie { $apart } mm apart, and the chamfer of an outline reaches { $reach } mm beyond it
findings_jobs-chamfer-apart-fix = spacing = { $spacing } at least, or a narrower chamfer

# A skin.
findings_jobs-skin = a skin of { $skin } mm would be { $low } to { $high } mm thick
findings_jobs-skin-range = a skin of { $skin } mm would be { $low } to { $high } mm thick ({ $key } = { $spread })
findings_jobs-skin-thin = { $what }, and one under { $least } mm holds nothing
findings_jobs-skin-more-fix = leave more than { $least } mm
findings_jobs-skin-least-fix = leave at least { $least } mm: skin = { $skin }
findings_jobs-skin-boards-fix = { $what }, accept a narrower range of boards (thickness_tolerance), or set z_zero = "bed"

# Outlines, relief, fit.
findings_jobs-outlines-several = shape { $shape } is { $count } separate outlines, and a part can have only one
findings_jobs-outlines-several-fix = make each a [[part]] of its own
findings_jobs-relief-through = relief of the part's outline must go right through from the board's top; this contour does not
findings_jobs-relief-through-fix = set relief on the contour with bottom.through = true and no top, and cut the whole outline with it
findings_jobs-relief-two-bits = the outline is relieved for two bits
findings_jobs-relief-two-bits-fix = set relief on one of its contours
findings_jobs-relief-no-corner = relief = true, but no corner to relieve: it must lie between straight sides, at most 135° apart, where the bit runs
findings_jobs-relief-no-corner-fix = leave out relief
findings_jobs-fit-edge = fit = { $fit } leaves nothing between its edge and { $who }
findings_jobs-fit-edge-fix = set fit nearer to 0, or draw them further apart
findings_jobs-fit-closes = fit = { $fit } closes it
findings_jobs-fit-pieces = fit = { $fit } makes its walls meet: it would fall into pieces
findings_jobs-fit-pieces-fix = set fit nearer to 0, or draw it wider there
findings_jobs-piece-nothing = the job has no recess, slot, opening or outline whose walls a straight bit makes
findings_jobs-piece-thin = a board of { $thickness } mm, give or take { $spread }, is too thin for a test piece

# Shapes and drawings.
findings_jobs-size = it measures { $x } × { $y } mm and should measure { $u } × { $v } mm
findings_jobs-size-perhaps = { $what }; perhaps { $why }
findings_jobs-size-fix = mend the drawing or its units, or set scale or size = [{ $a }, { $b }]
findings_jobs-alike = { $who } and { $whoever } are one and the same
findings_jobs-alike-drawn-fix = delete one of them, or select one by its layer or colour
findings_jobs-near = { $who } and { $whoever } are { $gap } mm apart, and the bit { $bit } of { $diameter } mm would cut into both
findings_jobs-near-fix = tool: a bit of at most { $most } mm; or scale the shape up, or move them apart
findings_jobs-open-fix = close it, or give a larger join (mm) if the gap is only rounding
findings_jobs-shape = shape { $shape }: { $known }
findings_jobs-crossing = the shape { $known }
findings_jobs-text-beyond = the text { $text } of { $x } × { $y } mm reaches beyond the outline of its part
findings_jobs-text-beyond-fix = give a smaller text_height, or another text_at

# Operations.
findings_jobs-core-islands = shape { $shape } has islands, but core = { $core } leaves nothing of them
findings_jobs-core-islands-fix = cut it as a pocket, or leave core at "keep"
findings_jobs-hole-narrow = the hole at ({ $x }, { $y }) is { $diameter } mm wide, and the bit { $bit } is { $width } mm wide
findings_jobs-hole-shape = one of its shapes is neither a point nor a circle
findings_jobs-hole-shape-fix = drill only points or circles
findings_jobs-holes-twice = two holes are at { $spot }
findings_jobs-outside = it lies outside the outline of the part { $part }
findings_jobs-outside-fix = move it into the outline, or name the part's outline
findings_jobs-beyond = { $name } reaches { $area } mm² beyond the outline of the part { $part }
findings_jobs-beyond-fix = right for a notch or an open end; otherwise move it into the outline
findings_jobs-option-moved = { $pass } no longer has the option { $option }
findings_jobs-option-moved-fix = remove it: the pass spare_top_edge always does this
findings_jobs-option-strict-fix = write spare_top_edge = {"{"} strict = true {"}"}
findings_jobs-options-fix = it has: { $names }
findings_jobs-number-fix = give a number, without quotes: { $name } = { $such }

# The job file itself.
findings_jobs-key-none = no key is called { $key }; { $why }
findings_jobs-key-list = pathkit schema without a key lists them all
findings_jobs-demo = the demo's machine profiles are not installed; install the distribution pathkit-cam
findings_jobs-machine-other = it is not the machine that the certificate names
findings_jobs-exactly-one = exactly one of { $names } is needed, not { $every }; keep one
findings_jobs-exactly-one-missing = exactly one of { $names } is needed; give { $name }, for example
findings_jobs-part-key-fix = add it, or name a part to take it from: like = …
findings_jobs-bit-none = no bit is called { $name }
findings_jobs-cutting-none = no [cutting] table is called { $name }
findings_jobs-another-name-fix = give one another name, such as name = { $name }
findings_jobs-quantity-fix = set quantity in [[part]], as in quantity = 10
findings_jobs-layout-copies-fix = remove layout.copies, and set quantity in each [[part]]
findings_jobs-layout-align-fix = remove layout.align; at = [x, y] in [[part]] says where a part lies
findings_jobs-like-fix = write like = { $name }, and give what differs
findings_jobs-there-are-none = there are: none
findings_jobs-handout-many = it offers { $count } choices
findings_jobs-handout-many-fix = offer at most { $most }
findings_jobs-handout-nothing = nothing can be offered: { $what }
findings_jobs-handout-nothing-fix = mend that
findings_jobs-handout-unnamed-fix = boards: none has a name
findings_jobs-handout-boards-fix = boards: '{ $names }'

# Photos.
findings_jobs-photo-outside = { $photo } is not within the job file's folder
findings_jobs-photo-outside-fix = copy it there, and give its name with / between folders
findings_jobs-photo-text = { $photo } is a text such as SVG or HTML, which can hold scripts
findings_jobs-photo-text-fix = save it as JPEG, PNG or WebP
findings_jobs-photo-pillow = { $photo } needs Pillow to be read
findings_jobs-photo-not = { $photo } is not a picture in JPEG, PNG or WebP
findings_jobs-photo-not-fix = save it as one of them
findings_jobs-photo-broken = { $photo } cannot be decoded: it is broken or cut short ({ $error })
findings_jobs-photo-broken-fix = export it again
findings_jobs-photo-large = { $photo } has { $what } pixels, and { $most } are the most that are decoded
findings_jobs-photo-large-fix = make it smaller
