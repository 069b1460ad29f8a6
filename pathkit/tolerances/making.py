"""Every tolerance by name, with its unit and why it has that size.

What adds to what, for a wall on a file in mm (a count is 0.001 mm; in inches it is 0.0001 in = 0.00254 mm):

    grid     a place is rounded to whole counts        0.71 counts (half a count along x and y)
    path     an arc's three numbers are rounded        `ARC_DRIFT`, and the controller's own arc tolerance for chords
    shape    a wall is moved by the bit's radius       exact; `OFFSET_AGREES` is the net that a wrong one falls into
    wall     what the proof grants beyond the drawing  `WALL` + one count + `WALL_CHORDS` + the file's own chords

Each line must hold the ones above it, or good files are refused; none may be wider than that asks for, or bad ones
pass. The tests add them up for both units. Figures of the proof stand apart from those of what it judges, also where
they are alike: only rounding of float64 and the grid are facts that both may take from here. `pathkit.jobs.audit` has
a file of its own, and the grammar of a controller what that controller's source says.

A kernel takes these numbers in when it is compiled, and kept machine code is not compiled again when they change:
after a change delete what is kept: the folder that ``pathkit.kernels.folder()`` names.
"""

from __future__ import annotations

import math
from typing import Final

# Rounding of float64. A bench ends at 1e6 mm (`model.curve.FARTHEST`), where neighbouring numbers are 1.2e-10 apart.

ROUNDING: Final = 1e-9
"""mm (or mm/min, rpm). Numbers nearer than this are one, worked out in two ways; what is shorter has no length."""

ANGLE_ROUNDING: Final = 1e-9
"""Radians, or a sine: the same for angles. On a circle of 10 m it is a hundredth of a micrometre."""

RELATIVE_ROUNDING: Final = 1e-9
"""Share of a number: the same for sums of many terms, and for products of numbers of any size."""

QUOTIENT_ROUNDING: Final = 1e-9
"""Of one. A quotient that is by so little more than a whole number is that number: levels, laps, legs, chords."""

STEP_ROUNDING: Final = 1e-6
"""Of one step of a grid or clock. Turning mm into inches, and these into counts, never loses as much."""

VANISHING: Final = 1e-12
"""Of the size of what is compared (mm, radians, a sine). What is smaller is zero: some thousand roundings of one."""

# The grid of the bench. The finest that a profile may ask for is six decimals of a millimetre.

SAME_PLACE: Final = 1e-6
"""mm. Places, stations, lengths nearer than this are one: a count of the finest grid, a thousandth of the usual one."""

SAME_HEIGHT: Final = 1e-6
"""mm: the same for heights and depths."""

NO_AREA: Final = 1e-6
"""mm²: a ring of less area encloses nothing; a thread of 1 mm that is one count of the finest grid wide."""

REPEATED: Final = 1e-7
"""mm. Pieces shorter than this, and strips narrower, are left by cutting and growing shapes; nobody drew them."""

RING_GAP: Final = 1e-5
"""mm. Ends of cut pieces nearer than this follow each other: where spans cross at a narrow angle, rounding grows."""

SAME_HEADING: Final = 1e-7
"""Of a unit vector's parts: spans that go on in one heading touch, and never cross; 0.1 µm beside it after 1 m."""

INWARD: Final = 1e-6
"""Radians: an edge that turns by less goes straight on. One micrometre after 1 m."""

ONE_HEADING: Final = math.radians(0.05)
"""Radians: spans whose headings differ by less are one straight stretch, however many points it was drawn with."""

OFF_VERTEX: Final = 3e-6
"""mm by which a line is moved off a vertex, so that every crossing is a clean one: at least half as much stays
between them, which is more than `SAME_PLACE`."""

NARROWEST_CHORD: Final = 1e-6
"""Radians that a chord turns at least, so that no radius and tolerance ask for chords without number."""

# Drawings: what people and their programs leave open.

DRAWN_CURVE: Final = 0.005
"""mm by which arcs may lie beside the Béziers, splines and ellipses that they stand for: a tenth of `DRAWING_GAP`, and
half of what walls are judged to."""

DRAWING_GAP: Final = 0.05
"""mm: gaps that are closed unless the job says otherwise; more than rounding, less than anyone means."""

DRAWING_SIZE: Final = 0.1
"""mm by which a drawing may differ from the size it should have: people measure with a rule or round to tenths."""

SAME_UNIT: Final = 1e-6
"""Share by which a drawing's unit may differ from the one that the job names: decimals of 25.4 / 72, say."""

SAME_STRETCH: Final = 1e-3
"""Share by which a page may be stretched one way: its sizes are often written with three digits."""

DRAWN_TWICE: Final = 0.01
"""mm: curves that are nowhere further from each other are one, drawn twice: twice `DRAWN_CURVE`, both were fitted."""

SAME_LENGTH: Final = 0.01
"""Share by which the lengths of curves may differ that are one. It only spares the search for `DRAWN_TWICE`."""

UNIT_GUESS: Final = 0.01
"""Share: sizes that differ by a unit, this nearly, were read in the other one. It only words a message."""

ROUND_HOLE: Final = 0.01
"""mm of its width, and share of its area: by so little may a circle drawn as arcs miss being one."""

# Shapes: polygons that stand for arcs, and how near shapes must be to count as touching.

SHAPE_CHORDS: Final = 1e-3
"""mm between an arc and the chords that stand for it where shapely is asked: far below what any router repeats."""

COARSE_CHORDS: Final = 0.01
"""mm: the same where shapes are only told apart, and nothing is cut along the answer."""

WIDEST_BIT: Final = 1e-4
"""mm to which the widest bit that fits is searched: a hundredth of `WIDEST_BIT_STEP`."""

WIDEST_BIT_STEP: Final = 0.01
"""mm in which it is told, rounded down: no finer than bits are ground."""

ROOM_CRUMB: Final = 1e-4
"""mm²: smaller pieces of what one bit reaches and a wider one does not are rounding."""

SAME_DIAMETER: Final = 0.01
"""mm: a hole that differs from the bit by less is as wide as the bit, and is drilled."""

OFFSET_AGREES: Final = 0.005
"""mm: how near every place of an exact offset must lie to that of shapely, which is right within `SHAPE_CHORDS`; each
side adds its chords, and corners grow them."""

ON_THE_SPOT: Final = 0.02
"""mm round: in room no wider than itself, but for what chords leave open, the bit would only turn on the spot."""

ON_OPEN_LINE: Final = 0.01
"""mm: an edge that lies as near as this to an open line lies on it. Twice `DRAWN_CURVE`: both were fitted."""

PAST_OPEN_ARC: Final = 0.002
"""mm that a recess reaches past an open edge that is an arc: the chords of it and of the part's own edge, each 0.0005
off the arc, lie apart by no more."""

LOOK_BACK: Final = 0.1
"""mm along a wall that its heading before an open edge is taken from, or its last span where that is shorter."""

INSIDE_EXTREME: Final = 0.005
"""mm inside a region's extremes that its outermost lines run: on them they would only touch it."""

NO_CORE: Final = 0.005
"""mm: what is left within a cut and is nowhere twice as wide is no core: an offset may be off by `OFFSET_AGREES`."""

IN_CLEARED: Final = 0.01
"""mm by which a bit that goes down in cleared ground may touch its edge: `SHAPE_CHORDS` on both sides, and the discs of
bits up to 20 mm."""

ON_KERF: Final = 0.005
"""mm beside the line of a cut at which a bit still goes down in its kerf: `OFFSET_AGREES`."""

RUN_TOGETHER: Final = 1e-3
"""mm: kerfs nearer than this run into each other, and leave no web; their edges are `SHAPE_CHORDS` off."""

COMMON_EDGE: Final = 1e-3
"""mm²: shapes with no more in common share an edge and no ground: 1 m of it, one count of the finest grid wide."""

BETWEEN_SHAPES: Final = 0.01
"""mm by which shapes may stand nearer to each other than the bit between them is wide: both were fitted within
`DRAWN_CURVE`."""

BEYOND_OUTLINE: Final = 0.5
"""mm² that a shape may lie beyond its outline: `COARSE_CHORDS` along 50 mm of arcs."""

BOX_AT_LEAST: Final = 1e-3
"""mm that the box round what is drawn measures at least, so that a point or a line has one."""

NESTING_CHORDS: Final = 0.05
"""mm between an arc and the chords that stand for it while places of parts are sought, made good by as much more room:
fewer chords, quicker sums."""

JUST_FITS: Final = 2e-7
"""mm by which ground where a part may not go is smaller on each side, so that a place where it just fits is no mere
point: twice `REPEATED`, a fifth of `SAME_PLACE`."""

STRIP_ROUNDING: Final = 0.005
"""mm of room beyond what is asked round each part of a strip: it is packed in single precision."""

FITTED: Final = 0.01
"""mm that arcs and lines may lie beside the short lines that they stand for: what these usually leave of a curve."""

FILE_GRID: Final = 0.002
"""mm by which rounding in a file moves a place: 0.71 counts of 0.0001 inch, the coarser of the usual grids."""

# The path: levels, ways in, ways back. Discs are polygons with 24 (32) chords a quarter: 0.0005 (0.0003) of the radius.

SWEEP_CHORDS: Final = 0.002
"""mm between a cut's arcs and the chords by which it is asked what the cut sweeps."""

GRAZE: Final = 0.01
"""mm that a helix may touch beyond what the cut itself sweeps: `SWEEP_CHORDS`, and the discs of bits up to 30 mm."""

WAY_BACK: Final = 0.005
"""mm that a way back over cut ground may touch beyond it: `SHAPE_CHORDS`, and the discs of bits up to 26 mm."""

ON_CUT: Final = 0.05
"""mm. What lies nearer than this to a cut's own line lies on it: neither inside nor outside, and along it."""

ABOVE_CUT: Final = 0.1
"""mm above a floor already cut at which a straight way down through air ends and the entry begins."""

BEHIND_TAB: Final = 0.003
"""mm behind a tab that need no ramp of their own: about one count of a file in inches (0.00254 mm)."""

BEHIND_PLACE: Final = 0.05
"""mm by which the wood behind a tab's place may lie further off than the bit's radius: chords of arcs on both sides."""

BESIDE_PART: Final = 0.02
"""mm by which a hole to enter by is taken to be smaller: it touches the part's edge in the one point of the contour."""

CUT_ALREADY: Final = 0.02
"""mm (and mm²) by which ground that is cut already may seem to lack: outlines are polygons within `SHAPE_CHORDS` and a
thousandth of the bit's radius."""

# The file: a program rounded to the grid. One count is one step of its numbers.

FINEST_CHORDS: Final = 0.01
"""mm: chords are never coarser than this, however loose the controller's own arc tolerance is."""

ARC_MISFIT: Final = 0.01
ARC_MISFIT_SHARE: Final = 0.002
"""An arc whose start, turned by its sweep, misses its end by more (mm, and this share of the radius) contradicts
itself. GRBL itself draws arcs whose radii differ by 0.1 % (0.5 mm at most), so files read back may bring such ones."""

ARC_DRIFT: Final = 2.5
"""Counts by which a written arc may leave the true one: less than the three that the proof allows (`ARC_COUNTS`)."""

SHORTEST_ARC: Final = 4.0
"""Counts of arc length below which an arc is a line: even half a turn then bulges by less than two."""

ARC_SLACK_USED: Final = 0.9
"""Share of the controller's arc slack that is used: it may calculate in single precision."""

# Pictures of a file: how finely what was read back is told apart for the eye. They judge nothing.

SAME_DEPTH: Final = 1e-3
"""mm: heights nearer than this have one colour; the grid of a usual file."""

NEAR_DEPTH: Final = 0.02
"""mm: depths nearer than this share a colour: those of files with grids of their own."""

LEAST_TAB: Final = 0.1
"""mm by which a cut rises over a tab at least: less would hold nothing."""

TELLING_DEPTH: Final = 0.004
"""Share of all that is cut that a depth must have to get a colour of its own: steps of a helix have less."""

# Files that were made elsewhere.

SAME_MOVE: Final = 0.003
"""mm by which a move of a file may lie beside that of the toolpath that it is understood to be: places measured between
two rounded ones are off by `FILE_GRID` and 0.71 counts of 0.001 mm. No more than files may lie apart."""

SAME_FEED: Final = 1.0
"""mm/min by which the feed of a sloping move may differ from the one worked out for its slope: it is written in whole
mm/min, and the slope lies between rounded places."""

WOOD_BETWEEN: Final = 0.1
"""mm between the edges of two cuts that count as apart: thinner wood breaks off (common practice, no source)."""

ROUGH_PLAN: Final = 0.05
"""mm within which a cut's plan is followed where cuts are held against one another: half of `WOOD_BETWEEN`."""

NO_SLOWER: Final = 1e-3
"""Seconds that rounding may add to a run time."""

ARC_LONGER: Final = 2e-4
"""Share by which arcs may take longer than the chords that they stand for, which cut the bend short: by 1.1e-4 for 120
chords a turn (1 - sin(x) / x, half a chord turning by x)."""
