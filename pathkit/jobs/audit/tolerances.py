"""Every tolerance of the audit, with its unit and why it has that size.

The audit judges what other code made and shares nothing with it, not even tolerances: these are its own. Where one is
wider than that of the code it judges, the text says what it is the sum of (`pathkit.tolerances` has the parts; the
tests add them up). "There" means the code that is judged, "here" the audit.
"""

from __future__ import annotations

from typing import Final

ROUNDING: Final = 1e-9
"""mm, degrees, or a share: numbers that differ by less are the same, worked out in two ways."""

HAIR: Final = 1e-6
"""mm by which two heights or lengths may differ and still be the same: rounding of sums."""

CHORD: Final = 1e-3
"""mm between an arc and the chords that approximate it."""

EXACT: Final = 0.02
"""mm by which what was made may lie off what was drawn: 0.005 for a wall offset by the bit's radius, 0.001 for chords
on each side, 0.01 for an open edge, and rounding."""

CHORDED: Final = 0.01
"""mm: Béziers are approximated by chords here and by arcs there (within 0.005), each a little off the curve."""

FINE: Final = 0.002
"""mm by which chords may lie off the curves of a DXF: a fifth of `CHORDED`."""

NO_AREA: Final = 1e-6
"""mm²: a smaller ring encloses nothing; as much as a thread 1 mm long and a `HAIR` wide."""

TURNS: Final = 0.05
"""Radians that a curve must turn in the eighth at its end, to be clearly no straight side there."""

COMMON: Final = 1e-3
"""mm² that a copy and a zone that it must stay clear of may have in common: they may share an edge, not ground."""

OPEN: Final = 0.01
"""mm: an edge that lies as near as this to an open edge lies on it; the same as there."""

FLAT: Final = 0.3
"""Sine of the flattest angle at which a wall may run into an open edge, if the job has a fit: the same as there."""

TINY: Final = 0.5
"""mm of length: a ring shorter than this is the bit turning on the spot, and need not be there. It is left out there if
its room is no wider than 0.02; chords on both sides may make that room seem wider here."""

SIZES_ALIKE: Final = 0.2
"""Share by which a size may differ from 25.4 times another: a bit's radius on each side. It only words a message."""

LEVEL: Final = 1e-4
"""mm by which the two ends of a line may differ in height and still be at the angle asked for."""

EDGE: Final = 0.02
"""mm from a floor's ends within which its outermost lines run: 0.005 there, 0.005 for the floor's own edge, and chords
on both sides."""

SPARE_REACH: Final = 0.05
"""mm more of a corner that a wider bit may leave than is worked out: chords of the rounds of both bits."""

CRUMB: Final = 0.03
"""mm: wood left standing that is narrower than twice this is rounding."""

AS_WIDE: Final = 0.01
"""mm by which a hole as wide as the bit may be drawn wider or narrower: the same as there."""

CLOSE: Final = 0.01
"""Share by which a path, measured along chords, may seem longer or shorter than it is."""

HOLE: Final = 0.003
"""mm by which a hole may be off its size: chords of a circle on both sides, and rounding. It must stay this small: the
ring that brings a hole to size may be little larger."""

ROUND: Final = 0.01
"""Share of its area by which a ring may differ from a circle and still be one: the same as there; small ones have their
chords besides."""

THIN: Final = 0.01
"""mm: wood that the first bit leaves for the second and that is nowhere wider is rounding: chords on both sides."""

HEADING_STEP: Final = 0.05
"""mm to either side of a place between which the heading of the wall there is taken."""
