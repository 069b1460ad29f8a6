"""Checks of a file for a beam: when it burns, with what power, and whether every line of the job is burnt.

By a file for GRBL 1.1 in its laser mode (its wiki, "Grbl v1.1 Laser Mode", from memory): with M4 the power follows the
speed, so that a machine that stands does not burn; with M3 it does. S belongs to the moves and changes without a stop.
That the controller leaves the beam off in rapids depends on a setting ($32), so a file is to say S0 for them.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from pathkit.findings import Finding
from pathkit.model.toolpath import Toolpath
from pathkit.motion.program import ARC, RAPID, Beam, Pause, Program, Stop, ToolChange
from pathkit.proof.evidence import Evidence, check
from pathkit.proof.result import Verdict
from pathkit.tolerances import HALF_STEP, ROUNDING, WALL_CHORDS
from pathkit.units import MM_PER_UNIT

AGAIN: Final = "post the program again, and do not edit the file"
MOST: Final = 20
"""Places named one by one."""

DISC: Final = 1.0
"""mm round a place within which what a beam burns is added up: so finely is a line of a job looked at."""

SLACK: Final = 0.5
"""mm of line within `DISC` that may be missing or too much. A line along the edge of the disc, moved by a count of a
file in inches, loses √(8 · 1 mm · 0.00254 mm) = 0.14 mm of its chord, and of parallel lines two lie along the edge."""

Array = NDArray[np.float64]


@check(
    "beam",
    limits=(
        "Whether the controller lets S follow the moves (GRBL: $32 = 1), and whether the S of full power is the "
        "profile's ($30), only the machine can show."
    ),
)
def ready_and_off(evidence: Evidence) -> Verdict:
    """The beam is off in rapids, where the machine stands or waits, and at the end; no cut is without a feed."""
    read = evidence.read
    power = _power(read)
    lit = power > 0.0
    found = [f for f in (evidence.comparison.findings if _comparable(evidence) else []) if f.check == "beam"]
    for rows, what, fix in (
        (lit & (read.kind == RAPID), "travels with the beam on", "S0 for every rapid"),
        (lit & (read.kind != RAPID) & np.isnan(read.feed), "burns at a feed that nothing has set", "give an F"),
        (
            power > 1.0 + _step(evidence),
            "asks for more than full power",
            "look at S, and at the profile's [output] speed",
        ),
    ):
        found += [_finding("beam", what, fix, evidence.line(row)) for row in _beginnings(rows)]
    found += _standing(evidence)
    burning = power[lit & (read.kind != RAPID)]
    figures = {"least_power": float(burning.min()), "most_power": float(burning.max())} if len(burning) else {}
    return Verdict(found, figures=figures)


def _standing(evidence: Evidence) -> Iterator[Finding]:
    """What burns, or may, while nothing moves."""
    read, mode = evidence.read, "off"
    for at, event in [*zip(read.event_at.tolist(), read.event, strict=True), (len(read), Stop())]:
        line = evidence.line(min(at, len(read) - 1)) if len(read) else None
        if isinstance(event, Beam):
            mode = event.mode
            if mode == "constant":
                what = "from here on the beam also burns where the machine stands (M3)"
                yield _finding("beam", what, "let the power follow the speed: M4", line)
        elif isinstance(event, Pause | ToolChange) and mode != "off":
            yield _finding("beam", "the machine waits here, and the beam is not switched off", "M5 before it", line)
        elif isinstance(event, Stop):
            if mode != "off":
                what = "the beam is not switched off where the program ends"
                yield _finding("beam", what, "M5 before the end", line)
            return


@check("power", "program", "board", limits="It judges what the file asks for; what the beam gives wears with its age.")
def power(evidence: Evidence) -> Verdict:
    """Every move with the program's power, within half a step of S."""
    program, owner = evidence.program, evidence.comparison.owner
    assert program is not None
    got, known = _power(evidence.read), owner >= 0
    wanted = np.where(known, _power(program)[np.maximum(owner, 0)] if len(program) else 0.0, 0.0)
    # A rapid that the program does not have, such as the first one along Z, has no power either.
    wrong = np.flatnonzero(np.abs(got - wanted) > HALF_STEP * _step(evidence))
    found = []
    for row in wrong[:MOST]:
        what = f"moves with {got[row]:.2%} of the full power, and the program with {wanted[row]:.2%}"
        found.append(_finding("power", what, AGAIN, evidence.line(int(row)), _name(program, int(owner[row]))))
    if len(wrong) > MOST:
        found.append(_finding("power", f"{len(wrong) - MOST} more moves have another power", AGAIN, None))
    return Verdict(found, figures={"moves": len(got), "burning": int((got > 0.0).sum())})


@check(
    "every line",
    "board",
    "job",
    limits=(
        f"It judges where the middle of the beam goes, {2.0 * DISC:g} mm of the way at a time; how deep and how "
        "wide it burns is up to material and beam."
    ),
)
def every_line(evidence: Evidence) -> Verdict:
    """Every line of the job is burnt, all of it and as often as asked, with its power and feed; and nothing else is."""
    job = evidence.job
    assert job is not None
    burnt = _burnt(evidence)
    found: list[Finding] = []
    height = job.toolpaths[0].lowest if job.toolpaths else 0.0
    for row in _beginnings(np.abs(burnt.heights - height) > evidence.count + ROUNDING):
        what = f"burns at z = {burnt.heights[row]:.3f} mm (bench); the job's lines lie at {height:.3f} mm"
        found.append(_finding("every line", what, "set the job's height", evidence.line(int(burnt.of[row]))))
    left = np.ones(len(burnt.of), dtype=bool)
    caps = evidence.capabilities
    steps = _step(evidence), MM_PER_UNIT[caps.units] / 10.0**caps.feed_decimals
    for share, feed, paths in _groups(job.toolpaths, *steps):
        mine = np.abs(burnt.power - share) <= HALF_STEP * steps[0]
        mine &= np.abs(burnt.feed - feed) <= HALF_STEP * steps[1]
        left &= ~mine
        found += _compared(evidence, burnt.only(mine), paths)
    for row in _beginnings(left):
        what = (
            f"burns with {burnt.power[row]:.2%} of the full power at {burnt.feed[row]:g} mm/min, as no line of the job"
        )
        found.append(_finding("every line", what, AGAIN, evidence.line(int(burnt.of[row]))))
    asked = sum(path.curve.length for path in job.toolpaths)
    return Verdict(found[:MOST], figures={"lines": len(job.toolpaths), "asked_mm": round(asked, 3)})


@dataclass(frozen=True, eq=False)
class _Pieces:
    """Straight pieces in the plan: ``start`` and ``end`` (n, 2), mm; ``of`` (n,) the row or the toolpath of each."""

    start: Array
    end: Array
    of: NDArray[np.int64]
    power: Array
    feed: Array
    heights: Array

    def only(self, kept: NDArray[np.bool_]) -> _Pieces:
        return _Pieces(*(getattr(self, name)[kept] for name in self.__dataclass_fields__))

    @property
    def samples(self) -> tuple[Array, NDArray[np.int64]]:
        """Places (k, 2) along the pieces, never farther apart than `DISC`, and the piece of each."""
        counts = np.maximum(np.ceil(np.hypot(*(self.end - self.start).T) / DISC).astype(np.int64), 1)
        which = np.repeat(np.arange(len(counts)), counts)
        first = np.concatenate([[0], np.cumsum(counts)])[:-1]
        share = ((np.arange(len(which)) - first[which] + 0.5) / counts[which])[:, None]
        return self.start[which] + share * (self.end - self.start)[which], which

    def length_within(self, places: Array) -> Array:
        """(k,) mm of all pieces that lie within `DISC` of each place: chords of a circle."""
        place, piece = self.pairs_within(places, DISC)
        way = self.end[piece] - self.start[piece]
        length = np.hypot(*way.T)
        along = way / np.where(length > 0.0, length, 1.0)[:, None]
        back = places[place] - self.start[piece]
        foot = (back * along).sum(axis=1)
        half = np.sqrt(np.maximum(DISC**2 - ((back**2).sum(axis=1) - foot**2), 0.0))
        inside = np.minimum(foot + half, length) - np.maximum(foot - half, 0.0)
        return np.bincount(place, weights=np.maximum(inside, 0.0), minlength=len(places)).astype(np.float64)

    def pairs_within(self, places: Array, distance: float) -> NDArray[np.int64]:
        """(2, m): the numbers of a place and of a piece that passes it within so many mm."""
        import shapely

        if not len(self.of) or not len(places):
            return np.zeros((2, 0), np.int64)
        lines: Any = shapely.linestrings(np.stack([self.start, self.end], axis=1))
        pairs: NDArray[np.int64] = shapely.STRtree(lines).query(
            shapely.points(places), predicate="dwithin", distance=distance
        )
        return pairs


def _burnt(evidence: Evidence) -> _Pieces:
    """What the file burns, on the bench; arcs as chords."""
    bench = evidence.bench
    share = _power(bench)
    rows = np.flatnonzero((share > 0.0) & (bench.kind != RAPID) & np.isfinite(bench.origins[:, :2]).all(axis=1))
    counts = np.ones(len(rows), dtype=np.int64)
    arcs = bench.kind[rows] == ARC
    arm = bench.origins[rows, :2] - bench.centre[rows]
    radius = np.where(arcs, np.hypot(*arm.T), 1.0)
    widest = 2.0 * np.arccos(np.clip(1.0 - WALL_CHORDS / np.maximum(radius, WALL_CHORDS), -1.0, 1.0))
    counts[arcs] = np.ceil(np.abs(bench.sweep[rows]) / widest)[arcs].astype(np.int64) + 1
    which = np.repeat(np.arange(len(rows)), counts)
    part = np.arange(len(which)) - np.concatenate([[0], np.cumsum(counts)])[:-1][which]
    ends = [_along(bench, rows[which], (part + more) / counts[which]) for more in (0, 1)]
    of = rows[which]
    heights = np.where(np.isnan(bench.end[of, 2]), np.inf, bench.end[of, 2])
    return _Pieces(ends[0], ends[1], of, share[of], bench.feed[of], heights)


def _along(bench: Program, rows: NDArray[np.int64], share: Array) -> Array:
    """(k, 2) places at a share of each row's way."""
    begin, end = bench.origins[rows, :2], bench.end[rows, :2]
    straight = begin + share[:, None] * (end - begin)
    arcs = bench.kind[rows] == ARC
    centre, turn = np.where(arcs[:, None], bench.centre[rows], 0.0), bench.sweep[rows] * share
    arm = begin - centre
    round_ = centre + np.stack(
        [arm[:, 0] * np.cos(turn) - arm[:, 1] * np.sin(turn), arm[:, 0] * np.sin(turn) + arm[:, 1] * np.cos(turn)],
        axis=1,
    )
    return np.where(arcs[:, None], round_, straight)


def _asked(paths: Iterable[tuple[int, Toolpath]]) -> _Pieces:
    """What toolpaths ask for; ``of`` are their numbers."""
    begins, ends, of = [np.zeros((0, 2))], [np.zeros((0, 2))], [np.zeros(0, np.int64)]
    for number, path in paths:
        points = path.curve.points[:, :2]
        points = np.concatenate([points, points[:1]]) if path.curve.closed else points
        begins.append(points[:-1])
        ends.append(points[1:])
        of.append(np.full(len(points) - 1, number))
    start, nothing = np.concatenate(begins), np.zeros(sum(map(len, of)))
    return _Pieces(start, np.concatenate(ends), np.concatenate(of), nothing, nothing, nothing)


def _groups(
    paths: Iterable[Toolpath], power_step: float, feed_step: float
) -> Iterator[tuple[float, float, list[tuple[int, Toolpath]]]]:
    """Power (a share), feed (mm/min) and numbered toolpaths of each kind that can be told apart by these steps."""
    groups: dict[tuple[int, int], list[tuple[int, Toolpath]]] = {}
    for number, path in enumerate(paths):
        key = round((path.cutting.power or 0.0) / power_step), round(path.cutting.feed / feed_step)
        groups.setdefault(key, []).append((number, path))
    for (power, feed), mine in groups.items():
        yield power * power_step, feed * feed_step, mine


def _compared(evidence: Evidence, burnt: _Pieces, paths: list[tuple[int, Toolpath]]) -> Iterator[Finding]:
    """Places where more or less is burnt than asked for, the first of each toolpath and of each row of the file."""
    job, asked = evidence.job, _asked(paths)
    assert job is not None
    for pieces, mine in ((asked, True), (burnt, False)):
        places, which = pieces.samples
        wanted, got = asked.length_within(places), burnt.length_within(places)
        near = np.zeros(len(places), dtype=bool)
        slack = 2.0 * evidence.count + evidence.machine.motion.arc_tolerance
        near[(burnt if mine else asked).pairs_within(places, slack)[0]] = True
        wrong = np.flatnonzero((np.abs(wanted - got) > SLACK) | ~near)
        _, first = np.unique(pieces.of[which[wrong]], return_index=True)
        for sample in wrong[np.sort(first)[:MOST]]:
            x, y = places[sample]
            what = (
                f"near x {x:.2f}, y {y:.2f} (bench) {got[sample]:.2f} mm are burnt within {DISC:g} mm, "
                f"and the job asks for {wanted[sample]:.2f} mm"
            )
            of = int(pieces.of[which[sample]])
            line, name = (None, job.toolpaths[of].name) if mine else (evidence.line(of), None)
            yield _finding("every line", what, AGAIN, line, name)


def _power(program: Program) -> Array:
    return np.zeros(len(program)) if program.power is None else program.power


def _step(evidence: Evidence) -> float:
    """The smallest step of S, as a share of full power."""
    capabilities = evidence.capabilities
    return 1.0 / (capabilities.full_speed * 10.0**capabilities.speed_decimals)


def _comparable(evidence: Evidence) -> bool:
    return {"program", "board"} <= evidence.available


def _name(program: Program, row: int) -> str | None:
    index = int(program.toolpath[row]) if row >= 0 else -1
    return program.names[index] if index >= 0 else None


def _beginnings(marked: NDArray[np.bool_]) -> list[int]:
    """Rows at which a run of marked ones begins."""
    return [int(row) for row in np.flatnonzero(marked & ~np.concatenate([[False], marked[:-1]]))[:MOST]]


def _finding(name: str, what: str, fix: str, line: int | None, toolpath: str | None = None) -> Finding:
    return Finding(check=name, what=what, fix=fix, line=line, toolpath=toolpath)
