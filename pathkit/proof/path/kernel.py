"""The kernel that walks a program and the program read back side by side, row by row, and stops where they differ.

Everything is in *counts*: the smallest step that the file can write along an axis. Only modules that need it import
this one, since it brings numba.
"""

from __future__ import annotations

import math
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathkit.kernels import kernel
from pathkit.motion.program import ARC, RAPID
from pathkit.tolerances import LEAST_SHARE, NEAR_TIE, ON_GRID, QUOTIENT_ROUNDING, TOLD_APART

Floats = NDArray[np.float64]
Bytes = NDArray[np.uint8]
Ints = NDArray[np.int32]

AGREE: Final = 0
KIND: Final = 1
END: Final = 2
MISSING: Final = 3
EXTRA: Final = 4
SENSE: Final = 5
SHAPE: Final = 6
"""Why two rows differ: another kind of motion, another end, nothing left to match, a row too many, an arc the other way
round, or an arc of another shape."""


class Rows(NamedTuple):
    """Columns of a path in counts: ``goal`` is ``end`` rounded half-even, ``origin[p]`` the unrounded start of row p;
    ``rests`` marks rows that round to no motion at all."""

    kind: Bytes
    goal: Floats
    end: Floats
    origin: Floats
    centre: Floats
    sweep: Floats
    feed: Floats
    rests: Bytes


class Matched(NamedTuple):
    """By row read: the program's row, how far apart they are (counts), whether the feed differs; ``reached`` is the
    share of an arc at which a piece of it ends."""

    owner: Ints
    off: Floats
    wrong_feed: Bytes
    reached: Floats


@kernel(allocates=False)
def same_end(goal: Floats, value: Floats, end: Floats) -> bool:
    """Whether the end read is the program's, rounded: on its grid point, or (with more decimals) within half one."""
    for axis in range(3):
        if math.isnan(goal[axis]) or math.isnan(end[axis]):
            if math.isnan(goal[axis]) and math.isnan(end[axis]):
                continue
            return False
        if abs(end[axis] - goal[axis]) > ON_GRID and abs(end[axis] - value[axis]) > 0.5 - ON_GRID:
            return False
    return True


@kernel(allocates=False)
def _distance(a: Floats, b: Floats) -> float:
    total = 0.0
    for axis in range(3):
        if not (math.isnan(a[axis]) or math.isnan(b[axis])):
            total += (a[axis] - b[axis]) ** 2
    return math.sqrt(total)


@kernel(allocates=False)
def _on_arc(start: Floats, end: Floats, centre: Floats, angle: float, share: float) -> tuple[float, float, float]:
    """A place on a true arc: turned by ``angle`` from its start, ``share`` of the whole. A helix climbs evenly, and a
    radius that is not quite the same at both ends changes evenly."""
    arm_x, arm_y = start[0] - centre[0], start[1] - centre[1]
    radius = math.hypot(arm_x, arm_y)
    radius += share * (math.hypot(end[0] - centre[0], end[1] - centre[1]) - radius)
    turned = math.atan2(arm_y, arm_x) + angle
    z = start[2] + (end[2] - start[2]) * share
    return centre[0] + radius * math.cos(turned), centre[1] + radius * math.sin(turned), z


@kernel(allocates=False)
def _apart(  # noqa: PLR0913 - numba takes them apart anyway, in an inner loop
    start: Floats, end: Floats, centre: Floats, sweep: float, first: float, last: float,
    kind: int, read_start: Floats, read_end: Floats, read_centre: Floats, read_sweep: float,
) -> float:  # fmt: skip
    """How far one row read strays from a true arc between two shares of it, both traversed evenly.

    The arc read is the one that the controller draws: about the rounded centre, with the radius of the rounded start.
    Even traversal, compared place by place, gives an upper bound on the Fréchet distance.
    """
    arm_x, arm_y = read_start[0] - read_centre[0], read_start[1] - read_centre[1]
    radius = math.hypot(arm_x, arm_y)
    begin = math.atan2(arm_y, arm_x)
    steps = min(max(8, int(abs(sweep * (last - first)) / (math.pi / 8)) + 1), 4096)
    worst = 0.0
    for step in range(steps + 1):
        share = step / steps
        here = first + (last - first) * share
        x, y, z = _on_arc(start, end, centre, sweep * here, here)
        if kind == ARC:
            x -= read_centre[0] + radius * math.cos(begin + read_sweep * share)
            y -= read_centre[1] + radius * math.sin(begin + read_sweep * share)
        else:
            x -= read_start[0] + (read_end[0] - read_start[0]) * share
            y -= read_start[1] + (read_end[1] - read_start[1]) * share
        z -= read_start[2] + (read_end[2] - read_start[2]) * share
        worst = max(worst, math.sqrt(x * x + y * y + z * z))
    return worst


@kernel(allocates=False)
def _is_share(
    start: Floats, end: Floats, centre: Floats, sweep: float, corner: Floats, share: float, gap: float, parts: int
) -> bool:
    """Whether a corner is the rounded place at a share a / (parts · 2^m) of an arc, m no finer than ``gap`` needs."""
    while gap * parts < 1.25:
        exact = round(share * parts) / parts
        x, y, z = _on_arc(start, end, centre, sweep * exact, exact)
        near = max(abs(corner[0] - x), abs(corner[1] - y), abs(corner[2] - z)) <= 0.5 + NEAR_TIE
        # The arc's own end is not a corner on the way: it was rounded in another way.
        if near and 0.0 < exact < 1.0:
            return True
        parts *= 2
    return False


@kernel(allocates=False)
def _even_parts(reached: Floats, whole: bool, length: float) -> tuple[int, int]:
    """Into how many equal parts an arc may have been cut, from … to. Known if all its corners are; else estimated from
    the last corner but one, give or take the rounding."""
    corners = len(reached)
    if whole or corners == 0:
        return corners + 1, corners + 1
    judge = max(corners - 2, 0)
    slack = 1.5 / length
    fewest = math.floor((judge + 1) / (reached[judge] + slack))
    most = math.ceil((judge + 1) / max(reached[judge] - slack, LEAST_SHARE))
    return max(1, fewest), min(most, fewest + 64)


@kernel(allocates=False)
def _off_its_share(
    start: Floats, end: Floats, centre: Floats, sweep: float, corners: Floats, reached: Floats, whole: bool
) -> int:
    """The first of an arc's inner corners (k, 3) that is at none of the expected shares; −1 if all are.

    An arc is divided into equal shares (as many as its pieces, or as there are turns, half turns or thirds of a turn in
    it), and these into halves where necessary. ``reached`` (k,) gives each corner's share, approximately; ``whole``
    whether the last piece reaches the arc's end. A corner one count beside its share is still close to the arc: only
    the share shows that it was moved. Pieces of a few counts are not judged: all shares look alike there.
    """
    length = math.hypot(math.hypot(start[0] - centre[0], start[1] - centre[1]) * sweep, end[2] - start[2])
    fewest, most = _even_parts(reached, whole, length)
    for index in range(len(corners)):
        share = reached[index]
        before = reached[index - 1] if index > 0 else 0.0
        after = 1.0 if whole else share
        if index + 1 < len(corners):
            after = reached[index + 1]
        gap = max(share - before, after - share)
        if (share - before) * length < TOLD_APART or gap * length < TOLD_APART:
            continue
        good = False
        for parts in range(fewest, most + 1):
            good = good or _is_share(start, end, centre, sweep, corners[index], share, gap, parts)
        for widest in (math.inf, 2.0 * math.pi, math.pi, 2.0 * math.pi / 3.0):
            parts = max(1, math.ceil(abs(sweep) / widest - QUOTIENT_ROUNDING))
            good = good or _is_share(start, end, centre, sweep, corners[index], share, gap, parts)
        if not good:
            return index
    return -1


@kernel(allocates=False)
def _nearest(
    place: Floats, start: Floats, end: Floats, centre: Floats, sweep: float, low: float, high: float, guesses: int
) -> float:
    """The share in low … high at which a true arc comes nearest to a place: the best guess, refined by its tangent."""
    best, share = math.inf, low
    for guess in range(guesses):
        here = low + (high - low) * (guess + 0.5) / guesses
        x, y, z = _on_arc(start, end, centre, sweep * here, here)
        apart = (place[0] - x) ** 2 + (place[1] - y) ** 2 + (place[2] - z) ** 2
        if apart < best:
            best, share = apart, here
    climb = end[2] - start[2]
    for _ in range(4):
        x, y, z = _on_arc(start, end, centre, sweep * share, share)
        along_x, along_y = -(y - centre[1]) * sweep, (x - centre[0]) * sweep
        length = along_x * along_x + along_y * along_y + climb * climb
        if length > 0.0:
            ahead = (place[0] - x) * along_x + (place[1] - y) * along_y + (place[2] - z) * climb
            share = min(max(share + ahead / length, low), high)
    return share


@kernel(allocates=False)
def _follow_pieces(
    mine: Rows, p: int, read: Rows, first: int, last: int, slack: float, matched: Matched
) -> tuple[int, int]:  # fmt: skip
    """Follow the true arc of row p along one arc, several, or chords: (row read after it or where they differ, why)."""
    goal, value, origin, centre, sweep = mine.goal[p], mine.end[p], mine.origin[p], mine.centre[p], mine.sweep[p]
    off, reached = matched.off, matched.reached
    share = 0.0
    q = first
    while q < last:
        turn = read.sweep[q] / sweep if read.kind[q] == ARC else 0.0
        if read.kind[q] == RAPID:
            return q, KIND
        if turn < 0.0:
            return q, SENSE
        if read.rests[q] and read.kind[q] != ARC:
            return q, EXTRA
        ends = same_end(goal, value, read.end[q])
        if ends and (read.kind[q] != ARC or abs((1.0 - share - turn) * sweep) < math.pi):
            apart = _apart(
                origin, value, centre, sweep, share, 1.0,
                read.kind[q], read.origin[q], read.end[q], read.centre[q], read.sweep[q],
            )  # fmt: skip
            if apart <= slack:
                off[q], reached[q] = apart, 1.0
                return q + 1, AGREE
        quarter = 0.5 * math.pi / abs(sweep)
        if read.kind[q] == ARC:
            low, high = share + turn - quarter, share + turn + quarter
        else:
            low, high = share, share + 2.5 * quarter
        ahead = _nearest(read.end[q], origin, value, centre, sweep, max(low, share), min(high, 1.0), 10)
        apart = _apart(
            origin, value, centre, sweep, share, ahead,
            read.kind[q], read.origin[q], read.end[q], read.centre[q], read.sweep[q],
        )  # fmt: skip
        if apart > slack:
            return q, (SHAPE if ends else END)
        off[q], reached[q] = apart, ahead
        share = ahead
        q += 1
    return q, MISSING


@kernel(allocates=False)
def _follow_arc(
    mine: Rows, p: int, read: Rows, first: int, last: int, slack: float, matched: Matched
) -> tuple[int, int]:  # fmt: skip
    """As `_follow_pieces`; but a corner on the way that is not the arc's own is also a difference."""
    q, reason = _follow_pieces(mine, p, read, first, last, slack, matched)
    inner = q - 1 if reason == AGREE else q
    moved = _off_its_share(
        mine.origin[p], mine.end[p], mine.centre[p], mine.sweep[p], read.end[first:inner],
        matched.reached[first:inner], reason == AGREE,
    )  # fmt: skip
    return (q, reason) if moved < 0 else (first + moved, END)


@kernel(allocates=False)
def _goes_on(goal: Floats, start: Floats, end: Floats) -> bool:
    """Whether the move goes to the goal along the axes that it moves; the others may be wrong from the row before."""
    moved = False
    for axis in range(3):
        if abs(end[axis] - start[axis]) > ON_GRID:
            moved = True
            if not abs(end[axis] - goal[axis]) <= ON_GRID:
                return False
    return moved


@kernel(allocates=False)
def follow(
    mine: Rows, read: Rows, first: int, last: int, read_first: int, read_last: int, slack: tuple[float, float],
    matched: Matched,
) -> tuple[int, int, int]:  # fmt: skip
    """Match rows ``first`` … ``last`` (exclusive) with the rows read from ``read_first`` to ``read_last``.

    ``slack``: of arcs (counts) and of feeds (mm/min). Fills ``matched``. Returns (row, row read, reason) for the first
    difference, or reason `AGREE`.
    """
    kind, goal, value, origin, centre, sweep = mine.kind, mine.goal, mine.end, mine.origin, mine.centre, mine.sweep
    arc_slack, feed_slack = slack
    p, q = first, read_first
    while p < last:
        behind, reason = q + 1, AGREE
        if kind[p] == ARC and q < read_last:
            behind, reason = _follow_arc(mine, p, read, q, read_last, arc_slack, matched)
            if reason != AGREE and behind > q:
                # If the file goes on with the program's next move, or ends, it left the arc one row earlier.
                left = behind == read_last or reason == KIND
                if not left and p + 1 < last:
                    left = _goes_on(goal[p + 1], read.origin[behind], read.end[behind])
                if left:
                    behind, reason = behind - 1, END
        elif q >= read_last:
            behind, reason = q, MISSING
        elif read.kind[q] != kind[p]:
            behind, reason = q, KIND
        elif not same_end(goal[p], value[p], read.end[q]):
            behind, reason = q, END
        else:
            matched.off[q] = _distance(value[p], read.end[q])
        if mine.rests[p] and (reason != AGREE or kind[p] != ARC):
            radius = math.hypot(origin[p, 0] - centre[p, 0], origin[p, 1] - centre[p, 1])
            reach = 2.0 * radius * math.sin(min(abs(sweep[p]), math.pi) / 2.0) if kind[p] == ARC else 0.0
            if reach <= arc_slack:
                # It rounds to no motion, so the file need not have it.
                if reason == AGREE and read.rests[q]:
                    matched.owner[q] = p
                    q += 1
                p += 1
                continue
        if reason != AGREE:
            return p, behind, reason
        for row in range(q, behind):
            matched.owner[row] = p
            if (
                kind[p] != RAPID
                and not abs(read.feed[row] - mine.feed[p]) <= feed_slack
                and not math.isnan(mine.feed[p])
            ):
                matched.wrong_feed[row] = 1
        p, q = p + 1, behind
    return (p, q, EXTRA) if q < read_last else (p, q, AGREE)
