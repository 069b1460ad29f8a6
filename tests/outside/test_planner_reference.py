"""The run-time kernel against a slow, plain planner written from its description alone; the two share no code.

Source of the description: GRBL 1.1h, its settings documents (junction deviation, arc tolerance, per-axis limits) and
the published planner source: targets rounded to steps half away from zero, junction speeds, a queue of 15 usable blocks
of which the last ends at rest, chords of arcs on the circle of the start radius. All in mm and mm/min, as there.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from itertools import pairwise

import numpy as np
import pytest

from pathkit.machine.kinematics import run_time
from pathkit.machine.profile import Axes, Machine, Motion, Travel
from pathkit.motion.program import ARC, LINE, RAPID, Dwell, Event, Program, Spindle
from tests.how_long import usually

Vector = tuple[float, float, float]


@dataclass
class Block:
    length: float
    direction: Vector
    nominal: float
    acceleration: float
    junction: float = 0.0


def least_along(limits: Vector, direction: Vector) -> float:
    return min(limit / abs(part) for limit, part in zip(limits, direction, strict=True) if part)


def unit(vector: list[float]) -> tuple[float, Vector]:
    length = math.hypot(*vector)
    return length, (vector[0] / length, vector[1] / length, vector[2] / length)


def steps_of(place: list[float], per_mm: Vector | None) -> list[int] | list[float]:
    if per_mm is None:
        return place
    scaled = (Decimal(value * steps) for value, steps in zip(place, per_mm, strict=True))
    return [int(value.to_integral_value(ROUND_HALF_UP)) for value in scaled]


def arc_points(
    place: list[float], end: list[float], centre: list[float], sweep: float, tolerance: float
) -> list[list[float]]:
    """Chord ends, from the sense of the turn and the two directions; whole turns on top come from the sweep."""
    radius = math.dist(place[:2], centre)
    before = math.atan2(place[1] - centre[1], place[0] - centre[0])
    after = math.atan2(end[1] - centre[1], end[0] - centre[0])
    turn = (after - before) % math.tau if sweep > 0 else -((before - after) % math.tau)
    turn += math.tau * round((sweep - turn) / math.tau)
    count = 1
    if 2 * radius > tolerance:
        count = max(1, math.floor(abs(0.5 * turn * radius) / math.sqrt(tolerance * (2 * radius - tolerance))))
    points = []
    for index in range(1, count):
        angle = before + turn * index / count
        rise = place[2] + (end[2] - place[2]) * index / count
        points.append([centre[0] + radius * math.cos(angle), centre[1] + radius * math.sin(angle), rise])
    return [*points, end]


def junction_speed_squared(before: Vector, after: Vector, acceleration: Vector, deviation: float) -> float:
    cosine = -sum(a * b for a, b in zip(before, after, strict=True))
    if cosine > 0.999999:
        return 0.0
    if cosine < -0.999999:
        return math.inf
    _, across = unit([b - a for a, b in zip(before, after, strict=True)])
    half = math.sqrt((1 - cosine) / 2)
    return least_along(acceleration, across) * deviation * half / (1 - half)


def entry_limits(group: list[Block]) -> list[float]:
    """Largest square of each block's entry speed, from its junction and both nominal speeds; 0 from an empty queue."""
    return [0.0] + [min(b.junction, a.nominal**2, b.nominal**2) for a, b in pairwise(group)]


def seconds_of(group: list[Block]) -> float:
    """The blocks between two full stops. Before each block leaves, the 15 that are queued are planned again."""
    limits = entry_limits(group)
    entry, minutes = 0.0, 0.0
    for first in range(len(group)):
        queue = range(first, min(first + 15, len(group)))
        squares = {queue[-1] + 1: 0.0}
        for index in reversed(queue):
            gain = 2 * group[index].acceleration * group[index].length
            squares[index] = min(limits[index], squares[index + 1] + gain)
        block = group[first]
        gain = 2 * block.acceleration * block.length
        leave = min(squares[first + 1], entry + gain)
        peak = min(block.nominal, math.sqrt(0.5 * (gain + entry + leave)))
        accelerated = (peak**2 - entry) / (2 * block.acceleration)
        slowed = (peak**2 - leave) / (2 * block.acceleration)
        minutes += (2 * peak - math.sqrt(entry) - math.sqrt(leave)) / block.acceleration
        minutes += (block.length - accelerated - slowed) / peak
        entry = leave
    return 60 * minutes


def plain_run_time(program: Program, motion: Motion) -> tuple[float, float, int]:
    """(seconds moving, seconds standing, planned blocks) of a program in the controller's axes."""
    acceleration = (motion.acceleration[0] * 3600, motion.acceleration[1] * 3600, motion.acceleration[2] * 3600)
    groups: list[list[Block]] = [[]]
    place = [0.0, 0.0, 0.0]
    at = steps_of(place, motion.steps_per_mm)
    spindle: tuple[float, int] = (0.0, 0)
    standing, planned = 0.0, 0
    for row in range(len(program) + 1):
        for event, where in zip(program.event, program.event_at, strict=True):
            if where != row:
                continue
            if isinstance(event, Dwell):
                standing += 0.05 * math.ceil(round(event.seconds * 20, 6))
            elif isinstance(event, Spindle):
                if (event.speed, event.sense) == spindle:
                    continue
                spindle = (event.speed, event.sense)
            groups.append([])
        if row == len(program):
            break
        end = [float(v) for v in program.end[row]]
        points = [end]
        if program.kind[row] == ARC:
            centre = [float(v) for v in program.centre[row]]
            points = arc_points(place, end, centre, float(program.sweep[row]), motion.arc_tolerance)
        for point in points:
            to = steps_of(point, motion.steps_per_mm)
            if to == at:
                continue
            scale = motion.steps_per_mm or (1.0, 1.0, 1.0)
            length, direction = unit([(b - a) / s for a, b, s in zip(at, to, scale, strict=True)])
            at = to
            rapid = program.kind[row] == RAPID
            ceiling = least_along(motion.rapid if rapid else motion.feed_limit, direction)
            nominal = max(1.0, ceiling if rapid else min(float(program.feed[row]), ceiling))
            block = Block(length, direction, nominal, least_along(acceleration, direction))
            if groups[-1]:
                before = groups[-1][-1].direction
                block.junction = junction_speed_squared(before, direction, acceleration, motion.junction_deviation)
            groups[-1].append(block)
            planned += 1
        place = end
    stops = sum(1 for group in groups if group)
    return sum(map(seconds_of, groups)), standing + stops * motion.idle_delay, planned


def random_motion(random: np.random.Generator) -> Motion:
    def triple(*values: float) -> Vector:
        x, y, z = random.choice(values, 3)
        return float(x), float(y), float(z)

    return Motion(
        rapid=triple(2000, 4000, 8000),
        feed_limit=triple(600, 1500, 6000),
        acceleration=triple(50, 150, 400, 900),
        junction_deviation=float(random.choice([0.005, 0.01, 0.05])),
        arc_tolerance=float(random.choice([0.002, 0.005, 0.01])),
        steps_per_mm=triple(80, 160, 320, 400) if random.random() < 0.7 else None,
        idle_delay=float(random.choice([0.0, 0.025])),
    )


def random_program(random: np.random.Generator) -> Program:
    """Rapids, lines long and tiny, arcs and helices, with dwells and changes of the spindle between them."""
    count = int(random.integers(1, 80))
    place = np.zeros(3)
    kinds, ends, centres, sweeps, feeds = [], [], [], [], []
    events: list[Event] = []
    event_at: list[int] = []
    scale = float(random.choice([0.05, 0.5, 5.0, 50.0]))
    for row in range(count):
        if random.random() < 0.08:
            events.append(Dwell(float(random.choice([0.0, 0.12, 0.15, 1.0]))) if random.random() < 0.5
                          else Spindle(float(random.choice([0.0, 12000.0])), 1))  # fmt: skip
            event_at.append(row)
        kind = int(random.choice([RAPID, LINE, LINE, LINE, ARC]))
        end = np.round(place + random.normal(0, scale, 3) * (1, 1, random.choice([0, 0.3])), 3)
        centre, sweep = np.full(2, np.nan), math.nan
        if kind == ARC:
            radius = float(random.uniform(0.02, 4 * scale))
            begin = float(random.uniform(0, math.tau))
            sweep = float(random.uniform(0.05, 4 * math.pi) * random.choice([-1, 1]))
            centre = place[:2] - radius * np.array([math.cos(begin), math.sin(begin)])
            end[:2] = centre + radius * np.array([math.cos(begin + sweep), math.sin(begin + sweep)])
        kinds.append(kind)
        ends.append(end)
        centres.append(centre)
        sweeps.append(sweep)
        feeds.append(math.nan if kind == RAPID else float(random.choice([0.5, 300, 1200, 3000])))
        place = end
    none = np.full(count, -1)
    return Program(
        np.zeros(3), np.array(kinds), np.array(ends), np.array(centres), np.array(sweeps), np.array(feeds),
        none, none, none, tuple(events), np.array(event_at), frame="controller",
    )  # fmt: skip


@pytest.mark.parametrize("seed", usually(range(60), of=range(200)))
def test_kernel_agrees_with_the_plain_planner(seed: int) -> None:
    random = np.random.default_rng(seed)
    motion, program = random_motion(random), random_program(random)
    moving, standing, planned = plain_run_time(program, motion)
    result = run_time(program, Machine("m", "any", Axes(), Travel(1, 1, 1), motion))
    assert result.moving == pytest.approx(moving, rel=1e-5)
    assert result.dwelling == pytest.approx(standing, abs=1e-9)
    # A chord that ends within rounding error of half a step may or may not be a block of its own.
    assert abs(result.planned_moves - planned) <= max(2, planned // 1000)
