"""Tolerances of reading back and of the proof; those of making are beside, and no judgement is taken from there."""

from __future__ import annotations

from typing import Final

from pathkit.tolerances.making import STEP_ROUNDING

# Reading back.

READ_DECIMALS: Final = 1e-6
"""Of the last digit: a number that misses a whole one by less has no further digits."""

READ_WHOLE: Final = 1e-4
"""Of one: words that must be whole may be off by the noise of single precision at 1000."""

# The proof, the path: what was read against the program. Its own figures; see above.

HALF_COUNT: Final = 0.51
"""Counts by which rounding moves a place along one axis: a half, and a little for the arithmetic of inches."""

HALF_STEP: Final = 0.5 + STEP_ROUNDING
"""Steps by which rounding moves a feed or a speed."""

ON_GRID: Final = 1e-3
"""Counts by which a number read back may miss its grid point: the noise of turning inches into mm and back."""

NEAR_TIE: Final = 1e-6
"""Counts: two ways of working out a place on an arc differ by less, so a tie may be rounded either way there."""

TOLD_APART: Final = 8.0
"""Counts: the shortest piece of an arc by which its share can be known."""

LEAST_SHARE: Final = 1e-6
"""Share of an arc that its pieces are taken to have at least: nothing is divided by zero."""

ARC_COUNTS: Final = 3.0
"""Counts that an arc may stray, besides the controller's own arc tolerance: start, end and centre are each rounded."""

SPEED_ROUNDING: Final = 1e-6
"""rpm: a speed written as a share of the fastest and worked back loses less."""

FALL_COUNTS: Final = 1.5
"""Counts by which a move's fall may differ from the one meant: both of its ends are rounded, and an arc split in parts
once more. The feed on a way down follows from its angle, so this is how far the feed is open."""

STEEPER: Final = 1e-6
"""Share by which a way down may be steeper than asked: the arithmetic of a tangent."""

SLOPE_STEEPER: Final = 1e-3
"""Share by which the way down behind a sloped tab may be steeper than its slope: 0.03 of a degree."""

LIFT_SLACK: Final = 0.02
"""mm by which a height in machine coordinates may differ: it is written on the file's own grid."""

DWELL_SLACK: Final = 0.0015
"""Seconds by which a dwell may differ: it is written in milliseconds or in thousandths of a second."""

SPIN_UP_SLACK: Final = 1e-3
"""Seconds that a spindle may lack: one thousandth, the last digit of a dwell."""

# The proof, the job: a path against what is asked.

BESIDE_CURVE: Final = 0.05
"""mm by which a file's place may miss a curve: its grid (0.001 mm, 0.0001 inch), three counts of an arc, chords."""

CURVE_CHORDS: Final = 0.005
"""mm by which the chords of curves, and of the ground that moves have swept, may lie inside an arc."""

PROFILE_CHORDS: Final = 0.01
"""mm: the same of a file's arcs, where only the nearest place and its height are asked for."""

STRETCH_CHORDS: Final = 0.02
"""mm: the same where a whole stretch is matched with its toolpath."""

GROUND_SLACK: Final = 0.02
"""mm granted when one swept area is held against another: chords on either side, and the grid of the file."""

BESIDE_CUT: Final = 0.03
"""mm by which a way down may touch beyond what the cut sweeps: the file's grid, and chords on both sides."""

HEADING_STEP: Final = 0.02
"""mm to either side of a place from which the curve's heading there is taken."""

RUNS_ALONG: Final = 0.7
"""Cosine of the angle, 45 degrees, up to which a move runs along a curve."""

TURNED: Final = 1.0
"""mm that may run against the curve: at its corners the nearest place on it may lie on either leg."""

TURNED_SHARE: Final = 0.02
"""Share of what runs along the curve that may run against it: the same, on curves with many corners."""

LOAD_NOISE: Final = 1.3
"""Share of a load that another may be and still count as no more: both come from maps of points a twelfth of a 3 mm bit
apart, and a move as long as the bit's radius crosses few of them."""

GONE_ROUND: Final = 0.01
"""Radians that a full turn at a hole's bottom may lack: the grid, seen from some tenths of a millimetre."""

TAB_STEP: Final = 0.05
"""mm between the places at which the height over a tab is looked at."""

OVER_TAB: Final = 0.02
"""mm from such a place within which the bit's centre counts as over it: the file's grid, and chords of arcs."""

TAB_NARROWER: Final = 2.0 * OVER_TAB + TAB_STEP
"""mm by which a tab may seem narrower than it is: the bit counts as over a place a little before it gets there."""

TAB_WIDER: Final = 0.3
"""mm by which a tab may be wider than asked: steps of looking on both sides, and rounding."""

TAB_SEARCH: Final = 1e-3
"""mm by which the search for a tab's ends goes on at least: it comes to an end."""

FINEST_FIT: Final = 0.05
"""mm: half of a smaller fit is within the 0.02 mm that the audit grants a wall, so none would be told from it."""

# The proof, the wood: what is left of the board, against its parts.

MAP_CHORDS: Final = 0.002
"""mm by which chords may lie inside an arc on the map of heights."""

MAP_SLACK: Final = 0.02
"""mm granted before wood counts as met: the file's own grid, chords, and heights kept in single precision."""

LEAST_SKIN: Final = 0.35
"""mm of skin at least under a part in every board that is accepted: 0.3 mm hold nothing (common practice, no source),
and what is granted to heights comes on top."""

BITE: Final = 0.05
"""mm by which a bite on the map may be deeper than its level: rounding on the way, ramps that end a hair apart, and the
map's single precision."""

WALL_CHORDS: Final = 0.001
"""mm by which chords may lie inside an arc, and polygons inside the round of a bit, where walls are judged."""

PART_CHORDS: Final = 0.0005
"""mm: the same of the part's own arcs: half as much, so that the part is the surer of the two."""

SLOPE_STEP: Final = 0.02
"""mm of height in which a ball or point that cuts aslant is taken to have one width."""

WALL: Final = 0.01
"""mm to which walls and floors are judged, beside the grid of the file and the chords that stand for arcs."""

WALL_RIM: Final = 0.2
"""mm round a recess or hole of a part without outline that no cut of its own may touch."""

CUT_RIM: Final = 0.05
"""mm round an outline, or along the edge of an opening whose core may stand, that must be cut all the way down; also
how much wider than drawn the wood of a tab may be."""

STUB_STEP: Final = 0.1
"""mm between the places by which the wood that a tab leaves is drawn."""

INSIDE_CORNER: Final = 0.002
"""mm by which the round of an inside corner may be larger than the bit: offsets and chords, not more, for in a sharp
corner it grows by 1 / sin(half its angle)."""

BEVEL_CRUMB: Final = 1e-4
"""mm²: what is left of a chamfer and is smaller is rounding; `WALL` along `WALL` mm of an edge."""

CRUMB: Final = 0.01
"""mm² for each mm of the bit's radius: smaller crumbs in corners are not seen."""

# One file against another.

FILES_APART: Final = 0.003
"""mm by which a file that is written may lie beside the one that it is made from, besides its own grid: that of the one
that was read."""

UNEVEN_BITE: Final = 0.1
"""mm by which a bite on a slope may differ with where steps along it begin."""
