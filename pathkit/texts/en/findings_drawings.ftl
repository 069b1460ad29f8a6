# What is wrong with a drawing; findings.ftl tells how it is recognised.

# Whose fault it is: an element by its kind and its name in the drawing (pathkit.drawings.svg, dxf, joining).
findings_drawings-of-path = path '{ $id }': { $what }
findings_drawings-of-rect = rect '{ $id }': { $what }
findings_drawings-of-circle = circle '{ $id }': { $what }
findings_drawings-of-ellipse = ellipse '{ $id }': { $what }
findings_drawings-of-line = line '{ $id }': { $what }
findings_drawings-of-polyline = polyline '{ $id }': { $what }
findings_drawings-of-polygon = polygon '{ $id }': { $what }
findings_drawings-of-use = use '{ $id }': { $what }
findings_drawings-of-g = g '{ $id }': { $what }
findings_drawings-of-unnamed = { $kind } without an id: { $what }
findings_drawings-of-subpath = { $who }, subpath { $number }: { $what }
findings_drawings-of-entity = { $kind } #{ $number } on layer { $layer }: { $what }
findings_drawings-joined = { $who } and { $count } more joined to it
findings_drawings-unnamed = { $kind } without an id
findings_drawings-entity = { $kind } #{ $number } on layer { $layer }
findings_drawings-on-layer = { $kind } on layer { $layer }
findings_drawings-subpath = { $who }, subpath { $number }

# What is wrong with a drawing.
findings_drawings-no-shape = no shape
findings_drawings-no-shape-on-layer = no shape on layer { $layer }
findings_drawings-no-shape-of-colour = no shape of colour { $colour }
findings_drawings-no-shape-on-layer-of-colour = no shape on layer { $layer } and of colour { $colour }
findings_drawings-there = layers: { $layers }; colours: { $colours }
findings_drawings-there-no-colours = layers: { $layers }; colours: none
findings_drawings-there-no-layers = layers: none; colours: { $colours }
findings_drawings-empty = it is empty
findings_drawings-loop-open = { $who }: the loop is open by { $gap } mm, from ({ $x }, { $y }) to ({ $u }, { $v })
findings_drawings-loop-open-fix = close it in the drawing, or raise join (mm) if the gap is only rounding
findings_drawings-crossing = Self-intersection[{ $place }]
findings_drawings-touching = Ring Self-intersection[{ $place }]
findings_drawings-mend-it = mend it in the drawing
findings_drawings-size = its size is not known: { $why }
findings_drawings-size-fix = give its unit, as in units = "mm"
findings_drawings-unit-differs = the job says its unit is { $units } ({ $given } mm), but the drawing itself says { $own } mm: { $why }
findings_drawings-unit-differs-fix = leave units out, or use scale to enlarge it on purpose
findings_drawings-units-dxf = $INSUNITS is { $number }
findings_drawings-units-svg = width is { $width }, height { $height }
findings_drawings-units-svg-box = width is { $width }, height { $height }, viewBox { $box }
findings_drawings-units-svg-pixel = width is { $width }, and without a viewBox a unit is a pixel
findings_drawings-ends-meet = { $count } ends meet at ({ $x }, { $y }): { $shapes }
findings_drawings-ends-meet-fix = draw each loop by itself, and delete one copy of a line drawn twice
findings_drawings-large = it is larger than { $most } bytes
findings_drawings-split = split the drawing
findings_drawings-many-shapes = it has more than { $most } shapes

# A DXF drawing (pathkit.drawings.dxf).
findings_drawings-dxf-extra = drawings in DXF need the extra 'dxf': pip install 'pathkit-cam[dxf]'
findings_drawings-dxf-none = not a DXF drawing
findings_drawings-dxf-none-fix = name a DXF file
findings_drawings-dxf-unsound = not a sound DXF drawing: { $error }
findings_drawings-dxf-damaged = damaged: { $error }
findings_drawings-save-again = save it again
findings_drawings-dxf-blocks = its blocks come to more than { $most } objects
findings_drawings-dxf-blocks-fix = explode and split it
findings_drawings-dxf-nested = blocks are nested more than { $most } deep
findings_drawings-dxf-nested-fix = explode them
findings_drawings-dxf-heights = it runs through heights from { $low } to { $high }
findings_drawings-dxf-angle = it stands at an angle to the plan
findings_drawings-dxf-flat = draw it flat, in the plan
findings_drawings-dxf-no-size = { $who } has no size
findings_drawings-delete = delete it
findings_drawings-dxf-block = a { $kind } in { $who } is left out: it cannot be placed as the block asks
findings_drawings-dxf-block-fix = explode the block in the drawing

# An SVG drawing, or a path in its syntax (pathkit.drawings.svg, path_data).
findings_drawings-svg-extra = drawings in SVG need the extra 'svg': pip install 'pathkit-cam[svg]'
findings_drawings-svg-none = not an SVG drawing: { $error }
findings_drawings-svg-root = not an SVG drawing: its root is { $root }
findings_drawings-svg-none-fix = name an SVG file
findings_drawings-svg-entities = it defines entities or refers to other files ({ $kind }), which are not followed
findings_drawings-svg-plain = save it as plain SVG
findings_drawings-svg-box = its viewBox is { $box }
findings_drawings-svg-box-fix = give four numbers, width and height above 0
findings_drawings-svg-no-page = it has neither a viewBox nor a width and a height
findings_drawings-svg-no-page-fix = save it with a page size
findings_drawings-svg-stretched = its page is stretched: { $why }
findings_drawings-svg-stretched-fix = give width and height in the proportion of the viewBox
findings_drawings-svg-nested = groups are nested more than { $most } deep
findings_drawings-svg-nested-fix = flatten the drawing
findings_drawings-svg-copies = its copies come to more than { $most } elements
findings_drawings-svg-reference = refers to { $name }, which is not in this drawing
findings_drawings-svg-reference-fix = put it into the drawing
findings_drawings-svg-in-itself = a copy (use) contains itself
findings_drawings-svg-no-size = has no size
findings_drawings-svg-no-size-fix = delete it, or draw it as what it should be
findings_drawings-svg-length = { $name } is { $text }, not a length that can be used here
findings_drawings-svg-length-fix = give a plain number, in units of the drawing
findings_drawings-svg-transform = transform { $text } cannot be read: { $error }
findings_drawings-svg-transform-fix = flatten transforms in the drawing
findings_drawings-svg-points = points are { $text }, not pairs of numbers
findings_drawings-path-syntax = not a path in SVG's syntax: { $error }
findings_drawings-path-no-command = not a path in SVG's syntax: it has no command
findings_drawings-path-begins = not a path in SVG's syntax: it begins with { $text }, not with M
findings_drawings-path-strange = not a path in SVG's syntax: { $text } is not a command
findings_drawings-path-numbers = not a path in SVG's syntax: { $command } with { $text }
findings_drawings-path-long = a path of more than { $most } characters; split the drawing
findings_drawings-path-infinite = a path with numbers that are not finite
