"""Steady load: the feed along a cut follows how much wood the bit is in.

A refinement of a program, before anything is rounded. The feed that a toolpath asks for is taken to be right in the
heaviest wood that the bit meets there for any length (`HEAVY`). Elsewhere the feed is such that as much wood goes in a
minute: f = feed · A_heavy / A (rate of removal = cross-section × feed; Machinery's Handbook, chapter Speeds and Feeds,
from memory), within the range of the toolpath's `Cutting`. Moves are split where the feed changes.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from pathkit.lowering.engagement import Engagement, engagement_of, level_rows
from pathkit.machine.profile import Machine
from pathkit.model.job import Job
from pathkit.model.tool import Cutting
from pathkit.motion.program import Program

Array = NDArray[np.float64]

HEAVY: Final = 0.9
"""Share of a toolpath's way in wood on which the bit meets no more than its feed is meant for: the feed was chosen for
what is cut most of the time, and the rest is slower. Common practice, no source."""

RATIO: Final = 1.1
"""From one feed to the next: finer differences are not worth a line of the file, nor does the map tell them apart."""

IN_AIR: Final = 0.02
"""Share of the greatest cross-section: in less the bit only rubs, and that is no way in wood."""

TENS: Final = 10.0
"""mm/min: feeds are whole tens, as people write them, unless the range is narrower."""


def with_steady_load(program: Program, job: Job, machine: Machine) -> Program:
    """The same moves, those of toolpaths with a range of feeds at a feed that follows their load.

    Ramps, plunges, holes and traces keep their feeds. A feed is held for at least as far as the machine needs to get
    to it, and a slow one begins that much before the wood that asks for it. Deterministic.
    """
    steady = np.array([job.by_name[name].cutting.steady for name in program.names] or [False])
    varies = level_rows(program)
    varies[varies] = steady[program.toolpath[varies]]
    if not varies.any():
        return program
    met = engagement_of(program, job)
    feed = program.feed[met.row].copy()
    mine = varies[met.row]
    for number in np.flatnonzero(steady):
        path = job.by_name[program.names[number]]
        whole = np.flatnonzero(program.toolpath[met.row] == number)
        steps = whole[mine[whole]]
        heavy = _heavy(met.section[whole], met.length[whole])
        if path.curve.is_trace or heavy <= 0.0:
            continue
        wanted = _wanted(met.section[steps] / heavy, path.cutting)
        reach = max(_run_up(path.cutting, machine), path.tool.radius)
        feed[steps] = _held(wanted, met.length[steps], _chains(met.row[steps], program), reach)
    return _split(program, met, feed, mine)


def _heavy(section: Array, length: Array) -> float:
    """mm²: the cross-section that a share `HEAVY` of a toolpath's way in wood does not exceed; 0 without any wood."""
    if not len(section) or (most := float(section.max())) <= 0.0:
        return 0.0
    cuts = np.flatnonzero(section > IN_AIR * most)
    order = cuts[np.argsort(section[cuts], kind="stable")]
    along = np.cumsum(length[order])
    return float(section[order[np.searchsorted(along, HEAVY * along[-1])]])


def _wanted(load: Array, cutting: Cutting) -> Array:
    """mm/min for each share of the heavy load: in powers of `RATIO` about the feed, within the range."""
    assert cutting.slowest is not None
    assert cutting.fastest is not None
    thinnest = cutting.feed / cutting.fastest / RATIO
    power = np.round(-np.log(np.maximum(load, thinnest)) / math.log(RATIO))
    feeds = np.where(power == 0.0, cutting.feed, np.floor(cutting.feed * RATIO**power / TENS) * TENS)
    within: Array = np.clip(feeds, cutting.slowest, cutting.fastest)
    return within


def _run_up(cutting: Cutting, machine: Machine) -> float:
    """mm from the slowest to the fastest feed on the weaker of the two axes: (v² − u²) / 2a."""
    assert cutting.slowest is not None
    assert cutting.fastest is not None
    slow, fast = cutting.slowest / 60.0, cutting.fastest / 60.0
    return (fast * fast - slow * slow) / (2.0 * min(machine.motion.acceleration[:2]))


def _chains(row: NDArray[np.int64], program: Program) -> NDArray[np.int64]:
    """A number for each step, the same for those that follow each other without a break on one level."""
    breaks = (np.diff(row) > 1) | (np.diff(program.level[row]) != 0)
    return np.concatenate([[0], np.cumsum(breaks)])


def _held(wanted: Array, length: Array, chain: NDArray[np.int64], reach: float) -> Array:
    """The least feed within ``reach`` mm of each step on its chain."""
    held = wanted.copy()
    ends = np.cumsum(length)
    begins = ends - length
    first = np.searchsorted(ends, begins - reach, side="right")
    last = np.searchsorted(begins, ends + reach, side="left")
    opens, closes = np.searchsorted(chain, chain, side="left"), np.searchsorted(chain, chain, side="right")
    for k, (low, high) in enumerate(zip(np.maximum(first, opens), np.minimum(last, closes), strict=True)):
        held[k] = wanted[low:high].min()
    return held


def _split(program: Program, met: Engagement, feed: Array, mine: NDArray[np.bool_]) -> Program:
    """The program with its rows cut where the feed of their steps changes."""
    last = np.concatenate([met.row[1:] != met.row[:-1], [True]])
    changes = np.concatenate([(feed[1:] != feed[:-1]) & mine[:-1], [True]])
    kept = np.flatnonzero(last | changes)
    # Rows that are not in steps (rapids) stand behind all steps, each as one piece of its own.
    whole = np.setdiff1d(np.arange(len(program)), met.row)
    row = np.concatenate([met.row[kept], whole])
    order = np.argsort(row, kind="stable")
    row = row[order]
    share = np.concatenate([met.share[kept], np.ones(len(whole))])[order]
    before = np.concatenate([[0.0], np.where(row[1:] == row[:-1], share[:-1], 0.0)])
    place = np.concatenate([met.end[kept], program.end[whole]])[order]
    # A row's own end is kept to the last bit.
    place = np.where((share < 1.0)[:, None], place, program.end[row])
    begins = np.concatenate([[0], np.cumsum(np.bincount(row, minlength=len(program)))])
    return program.take(
        row, end=place, sweep=program.sweep[row] * (share - before),
        feed=np.concatenate([feed[kept], program.feed[whole]])[order],
        event=program.event, event_at=begins[program.event_at],
        cycles=tuple(
            replace(cycle, first=int(begins[cycle.first]), last=int(begins[cycle.last + 1]) - 1)
            for cycle in program.cycles
        ),
    )  # fmt: skip
