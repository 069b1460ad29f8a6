"""The controller's planner as one loop over the columns of a program: a queue of blocks, run as it fills.

The rules are those of the GRBL 1.1h planner (its settings documents and source; reproduced against its own code). Each
block keeps to every axis' rate and acceleration, and corners to the junction deviation. A block sees only the queue
behind it, whose last block ends at rest. Lengths in mm, times in s, speeds in mm/s.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathkit.kernels import kernel
from pathkit.motion.program import ARC, RAPID
from pathkit.tolerances import ROUNDING

Array = NDArray[np.float64]

ROOM = 15
"""Usable blocks of the queue: the running one and the 14 it may look ahead to."""

SLOTS = 16
"""Length of the ring that holds them; a power of two, so that an index wraps by a mask."""

MOST_CHORDS = 65535
"""The controller counts the chords of an arc in 16 bits."""

RECEIVED = 128.0
"""Bytes that the controller receives ahead of the line that it is reading."""

SLOWEST = 1.0 / 60.0
"""The planner never plans slower than 1 mm/min."""

STRAIGHT_ON, STRAIGHT_BACK = -0.999999, 0.999999


class Moves(NamedTuple):
    """A program's columns in the controller's axes; ``feed`` in mm/s. ``stop`` and ``dwell`` (n + 1,) come before each
    row and after the last. ``line_bytes`` is (n,), or (0,) for a link without limit."""

    kind: NDArray[np.uint8]
    end: Array
    centre: Array
    sweep: Array
    feed: Array
    stop: NDArray[np.bool_]
    dwell: Array
    line_bytes: Array


class Limits(NamedTuple):
    """The machine's limits: per axis (3,) ``rapid`` and ``feed`` in mm/s, ``acceleration`` in mm/s², ``steps`` per mm
    (0 for no rounding)."""

    rapid: Array
    feed: Array
    acceleration: Array
    steps: Array
    junction_deviation: float  # mm
    arc_tolerance: float  # mm
    idle_delay: float  # s
    per_byte: float  # s


class Spent(NamedTuple):
    """Sums of seconds: moving, standing before each row and after the last, waiting for the link."""

    per_move: Array  # (n,)
    standing: Array  # (n + 1,)
    waiting: Array  # (n,)


# Columns of the ring: one queued block a row.
_ROW, _ENTRY, _GAIN, _ACCELERATION, _NOMINAL, _LENGTH, _QUEUED = range(7)
# What the planner remembers of the block before: place (in steps if there are any), direction, nominal speed.
_PLACE, _HEADING, _SPEED, _FROM_REST = 0, 3, 6, 7
# The clock (s), the square of the speed just reached, whether anything moved since the last full stop, their count.
_CLOCK, _SQUARE, _MOVED, _STOPS = range(4)


@kernel(allocates=False)
def _tightest(limits: Array, x: float, y: float, z: float) -> float:
    """The largest value along the unit vector (x, y, z) that exceeds no axis' own limit."""
    best = math.inf
    if x != 0.0:
        best = min(best, limits[0] / abs(x))
    if y != 0.0:
        best = min(best, limits[1] / abs(y))
    if z != 0.0:
        best = min(best, limits[2] / abs(z))
    return best


@kernel(allocates=False)
def _on_grid(value: float, steps: float) -> float:
    """In steps, half away from zero; in mm unchanged if ``steps`` is 0."""
    if steps == 0.0:
        return value
    scaled = value * steps
    return math.floor(scaled + 0.5) if scaled >= 0.0 else -math.floor(0.5 - scaled)


@kernel(allocates=False)
def chords_of(radius: float, sweep: float, tolerance: float) -> int:
    """The number of chords with which the controller draws an arc; n = ⌊|θr/2| / √(tol(2r − tol))⌋, at least 1."""
    square = tolerance * (2.0 * radius - tolerance)
    if square <= 0.0:
        return 1
    wanted = abs(0.5 * sweep * radius) / math.sqrt(square)
    return int(min(max(math.floor(wanted), 1.0), float(MOST_CHORDS)))


@kernel(allocates=False)
def _junction(acceleration: Array, deviation: float, before: Array, x: float, y: float, z: float) -> float:
    """Square of the speed at which the corner from direction ``before`` into (x, y, z) may be passed.

    v² = a·δ·s/(1 − s) with s = sin(θ/2): the speed on a circle that touches both legs and keeps within δ of the corner.
    """
    cosine = -(before[0] * x + before[1] * y + before[2] * z)
    if cosine > STRAIGHT_BACK:
        return 0.0
    if cosine < STRAIGHT_ON:
        return math.inf
    dx, dy, dz = x - before[0], y - before[1], z - before[2]
    size = math.sqrt(dx * dx + dy * dy + dz * dz)
    across = _tightest(acceleration, dx / size, dy / size, dz / size)
    sine = math.sqrt(0.5 * (1.0 - cosine))
    return across * deviation * sine / (1.0 - sine)


@kernel(allocates=False)
def _take(
    block: Array, memory: Array, target: Array, steps: Array, rate: Array, feed: float, acceleration: Array,
    deviation: float,
) -> bool:  # fmt: skip
    """Fill ``block`` with the move to ``target``; False if it rounds to nothing. ``feed`` is inf for a rapid."""
    dx = _on_grid(target[0], steps[0]) - memory[_PLACE]
    dy = _on_grid(target[1], steps[1]) - memory[_PLACE + 1]
    dz = _on_grid(target[2], steps[2]) - memory[_PLACE + 2]
    least = 1.0 if steps[0] != 0.0 else ROUNDING
    if abs(dx) < least and abs(dy) < least and abs(dz) < least:
        return False
    memory[_PLACE] += dx
    memory[_PLACE + 1] += dy
    memory[_PLACE + 2] += dz
    if steps[0] != 0.0:
        dx, dy, dz = dx / steps[0], dy / steps[1], dz / steps[2]
    length = math.sqrt(dx * dx + dy * dy + dz * dz)
    x, y, z = dx / length, dy / length, dz / length
    along = _tightest(acceleration, x, y, z)
    nominal = max(SLOWEST, min(feed, _tightest(rate, x, y, z)))
    entry = 0.0
    if memory[_FROM_REST] == 0.0:
        slower = min(nominal, memory[_SPEED])
        entry = min(slower * slower, _junction(acceleration, deviation, memory[_HEADING:_SPEED], x, y, z))
    memory[_HEADING], memory[_HEADING + 1], memory[_HEADING + 2] = x, y, z
    memory[_SPEED] = nominal
    memory[_FROM_REST] = 0.0
    block[_ENTRY], block[_GAIN], block[_ACCELERATION] = entry, 2.0 * along * length, along
    block[_NOMINAL], block[_LENGTH] = nominal, length
    return True


@kernel(allocates=False)
def _leaving(ring: Array, first: int, seen: int, entry: float) -> float:
    """Square of the speed at the end of the first of ``seen`` queued blocks, so that all can still stop in time."""
    best: float = entry + ring[first, _GAIN]
    room: float = 0.0
    for ahead in range(1, seen):
        block = ring[(first + ahead) & (SLOTS - 1)]
        best = min(best, block[_ENTRY] + room)
        room += block[_GAIN]
        if room >= best:
            return best
    return room if room < best else best


@kernel(allocates=False)
def _profile(block: Array, entry: float, leaving: float) -> tuple[float, float]:
    """Seconds until the block begins to slow down, and seconds from then to its end: a trapezoid or a triangle."""
    acceleration, nominal = block[_ACCELERATION], block[_NOMINAL]
    slow, last = math.sqrt(entry), math.sqrt(leaving)
    peak = 0.5 * (block[_GAIN] + entry + leaving)
    if peak <= nominal * nominal:
        top = math.sqrt(peak)
        return max(top - slow, 0.0) / acceleration, max(top - last, 0.0) / acceleration
    cruise = block[_LENGTH] - (nominal * nominal - 0.5 * (entry + leaving)) / acceleration
    return (nominal - slow) / acceleration + cruise / nominal, (nominal - last) / acceleration


@kernel(allocates=False)
def _run_first(
    ring: Array, first: int, count: int, now: Array, idle: float, per_move: Array, standing: Array, waiting: Array
) -> None:
    """Run the oldest of ``count`` queued blocks. It may use whatever reaches the queue before it has to slow down."""
    block = ring[first]
    row = int(block[_ROW])
    late = block[_QUEUED] - now[_CLOCK]
    if late > 0.0:
        # The link was too slow and the queue ran dry: the controller went idle before the line arrived.
        late -= _settle(now, idle, standing, row)
        if late > 0.0:
            waiting[row] += late
            now[_CLOCK] += late
    entry = now[_SQUARE]
    seen, planned = 1, 0
    deadline = now[_CLOCK]
    rising, falling, leaving = 0.0, 0.0, 0.0
    while True:
        while seen < count and ring[(first + seen) & (SLOTS - 1), _QUEUED] <= deadline:
            seen += 1
        if planned == seen:
            break
        planned = seen
        leaving = _leaving(ring, first, seen, entry)
        rising, falling = _profile(block, entry, leaving)
        deadline = now[_CLOCK] + rising
    per_move[row] += rising + falling
    now[_CLOCK] += rising + falling
    now[_SQUARE] = leaving
    now[_MOVED] = 1.0


@kernel(allocates=False)
def _settle(now: Array, idle: float, standing: Array, row: int) -> float:
    """Come to a full stop before ``row``; the seconds that takes, 0 if nothing has moved since the last stop."""
    now[_SQUARE] = 0.0
    if now[_MOVED] == 0.0:
        return 0.0
    now[_MOVED] = 0.0
    now[_CLOCK] += idle
    now[_STOPS] += 1.0
    standing[row] += idle
    return idle


@kernel(allocates=False)
def _aim(target: Array, arm: Array, turn: Array, centre: Array, end: Array, rise: float, last: bool) -> None:
    """Move ``target`` to the end of the next chord: ``arm`` turns about ``centre``; the last chord ends at ``end``."""
    if last:
        for axis in range(3):
            if not math.isnan(end[axis]):
                target[axis] = end[axis]
        return
    arm[0], arm[1] = arm[0] * turn[0] - arm[1] * turn[1], arm[0] * turn[1] + arm[1] * turn[0]
    target[0], target[1] = centre[0] + arm[0], centre[1] + arm[1]
    target[2] += rise


@kernel(allocates=False)
def _received(row: int, line_bytes: Array, seconds: float, done: Array, sent: Array) -> float:
    """When the whole line of ``row`` has reached the controller, which receives at most `RECEIVED` bytes ahead.

    ``sent`` holds: time at which the link is free, bytes received, the oldest line among them; ``done`` when each line
    had been read and queued.
    """
    size = line_bytes[row]
    while sent[1] + size > RECEIVED and sent[2] < row:
        oldest = int(sent[2])
        sent[0] = max(sent[0], done[oldest])
        sent[1] -= line_bytes[oldest]
        sent[2] += 1.0
    sent[1] += size
    arrived: float = sent[0] + size * seconds
    sent[0] = arrived
    return arrived


@kernel
def simulate(start: Array, moves: Moves, limits: Limits, spent: Spent) -> tuple[int, int]:
    """Run the program from ``start`` (3,), mm; returns the numbers of planned blocks and of full stops."""
    kind, end, centre, sweep = moves.kind, moves.end, moves.centre, moves.sweep
    stop, dwell, line_bytes, steps = moves.stop, moves.dwell, moves.line_bytes, limits.steps
    per_move, standing, waiting = spent.per_move, spent.standing, spent.waiting
    count_rows = len(kind)
    linked = len(line_bytes) > 0
    done = np.zeros(count_rows if linked else 0)
    ring, memory, now = np.zeros((SLOTS, 7)), np.zeros(8), np.zeros(4)
    sent, target, arm, turn = np.zeros(3), np.zeros(3), np.zeros(2), np.zeros(2)
    for axis in range(3):
        target[axis] = 0.0 if math.isnan(start[axis]) else start[axis]
        memory[_PLACE + axis] = _on_grid(target[axis], steps[axis])
    memory[_FROM_REST] = 1.0
    first, count, planned, ready = 0, 0, 0, 0.0
    for row in range(count_rows + 1):
        if stop[row] or row == count_rows:
            while count > 0:
                _run_first(ring, first, count, now, limits.idle_delay, per_move, standing, waiting)
                first, count = (first + 1) & (SLOTS - 1), count - 1
            _settle(now, limits.idle_delay, standing, row)
            standing[row] += dwell[row]
            now[_CLOCK] += dwell[row]
            ready = max(ready, now[_CLOCK])
            memory[_FROM_REST] = 1.0
            if row == count_rows:
                break
        if linked:
            ready = max(ready, _received(row, line_bytes, limits.per_byte, done, sent))
        chords, rise = 1, 0.0
        if kind[row] == ARC:
            arm[0], arm[1] = target[0] - centre[row, 0], target[1] - centre[row, 1]
            chords = chords_of(math.sqrt(arm[0] * arm[0] + arm[1] * arm[1]), sweep[row], limits.arc_tolerance)
            turn[0], turn[1] = math.cos(sweep[row] / chords), math.sin(sweep[row] / chords)
            rise = 0.0 if math.isnan(end[row, 2]) else (end[row, 2] - target[2]) / chords
        rapid = kind[row] == RAPID
        for chord in range(1, chords + 1):
            _aim(target, arm, turn, centre[row], end[row], rise, chord == chords)
            block = ring[(first + count) & (SLOTS - 1)]
            speed = math.inf if rapid else moves.feed[row]
            fastest = limits.rapid if rapid else limits.feed
            corner = limits.junction_deviation
            if not _take(block, memory, target, steps, fastest, speed, limits.acceleration, corner):
                continue
            planned += 1
            if count == ROOM:
                _run_first(ring, first, count, now, limits.idle_delay, per_move, standing, waiting)
                first, count = (first + 1) & (SLOTS - 1), count - 1
                ready = max(ready, now[_CLOCK])
            block[_ROW], block[_QUEUED] = row, ready if linked else 0.0
            count += 1
        if linked:
            done[row] = ready
    return planned, int(now[_STOPS])
