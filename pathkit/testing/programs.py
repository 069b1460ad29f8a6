"""Programs and machines for testing a dialect; hypothesis strategies have plural names."""

from __future__ import annotations

import math
from functools import cache
from typing import Any, Final

import numpy as np
from hypothesis import strategies as st
from numpy.typing import NDArray

from pathkit.dialect.base import Dialect
from pathkit.machine.capabilities import Capabilities
from pathkit.machine.profile import Axes, Corner, Machine, Motion, SpindleControl, Travel
from pathkit.model.stock import Stock
from pathkit.motion.program import (
    ARC,
    LINE,
    RAPID,
    Beam,
    Dwell,
    Event,
    Note,
    Offset,
    Program,
    Spindle,
    Stop,
    ToolChange,
)
from pathkit.units import MM_PER_UNIT

STOCK = Stock(120.0, 80.0, 12.0, z_zero="bed")
TOP_SPEED = 24000.0

HOSTILE = (
    "plate) M3 S24000", "plate; G0 Z-50", "%", "!", "?~", "$H", "(MSG,hello", "a\nG0 Z-9\n", "a\rM3", "M3", "G28",
    "Brettchen für Käse", "\x18\x85\xff", "plate (copy)", "", " ", "#1=5", "[1]", "o100 call", "x" * 500, "\u2028M5",
    "\U0001f4a5", bytes(range(256)).decode("latin-1"),
)  # fmt: skip
"""Names that must never do anything in a file: comment marks, real-time characters, commands, breaks, every byte."""


# Strategies are made once: hypothesis looks at each new one for longer than it draws.
_PLACES = st.integers(-60_000, 60_000)
_HEIGHTS = st.integers(-20_000, 20_000)
_FEEDS = st.integers(1, 50_000)
_SAFE_HEIGHTS = st.integers(20_000, 40_000)
_COUNTS = st.integers(0, 12)
_SIXTHS = st.integers(0, 5)
_MILLISECONDS = st.integers(1, 9000)
_SHAPES = {arcs: st.sampled_from(("rapid", "line", "along", "arc") if arcs else ("rapid", "line"))
           for arcs in (True, False)}  # fmt: skip
_QUARTERS = {most: st.integers(1, most) for most in (1, 2, 4)}
_SIGNS = st.sampled_from((1, -1))
_ARMS = st.integers(10, 9000)
_OFFSETS = st.integers(-9000, 9000)
_TRUTHS = st.booleans()


_HOSTILE_TEXTS: Final = st.one_of(st.sampled_from(HOSTILE), st.text(max_size=120))


def hostile_texts() -> st.SearchStrategy[str]:
    """Texts as an attacker might choose them."""
    return _HOSTILE_TEXTS


def machine_for(
    dialect: Dialect,
    *,
    axes: Axes | None = None,
    origin: Corner = "front-left",
    spindle: SpindleControl | None = None,
    output: dict[str, Any] | None = None,
) -> Machine:
    """A roomy machine for ``dialect``; its handedness follows from ``axes``."""
    axes = axes or Axes()
    return Machine(
        "Makerspace router",
        dialect.name,
        axes,
        Travel(900.0, 900.0, 200.0),
        Motion((5000.0, 5000.0, 2000.0), (5000.0, 5000.0, 2000.0), (400.0, 400.0, 200.0)),
        origin=origin,
        left_handed=axes.left_handed,
        spindle=spindle or SpindleControl("words", 0.0, TOP_SPEED, 2.0),
        output=output or {},
    )


def program_of(rows: list[tuple[Any, ...]], events: list[tuple[int, Event]], **rest: Any) -> Program:
    """From rows (kind, end, centre or None, sweep, feed) and (row, event) pairs."""
    unknown = (math.nan, math.nan)
    count = len(rows)
    none = np.full(count, -1)
    return Program(
        np.full(3, np.nan),
        np.array([row[0] for row in rows], dtype=np.uint8),
        np.array([row[1] for row in rows], dtype=float).reshape(count, 3),
        np.array([row[2] or unknown for row in rows], dtype=float).reshape(count, 2),
        np.array([row[3] for row in rows], dtype=float),
        np.array([row[4] for row in rows], dtype=float),
        none,
        none,
        none,
        event=tuple(event for _, event in events),
        event_at=np.array([at for at, _ in events], dtype=np.int64),
        **rest,
    )


def demonstration(feed: float = 1200.0) -> Program:
    """A small asymmetric board in the bench frame: lines, arcs, a full circle, a helix down; one bit."""
    nan = math.nan
    at_height = (RAPID, (nan, nan, 22.0), None, 0.0, nan)
    rows = [
        at_height,
        (RAPID, (10.0, 20.0, 22.0), None, 0.0, nan),
        (RAPID, (10.0, 20.0, 13.5), None, 0.0, nan),
        (LINE, (10.0, 20.0, 9.0), None, 0.0, feed / 4),
        (LINE, (60.0, 20.0, 9.0), None, 0.0, feed),
        (ARC, (70.0, 30.0, 9.0), (60.0, 30.0), math.pi / 2, feed),
        (ARC, (70.0, 30.0, 9.0), (75.0, 30.0), -2 * math.pi, feed),
        (ARC, (80.0, 30.0, 7.5), (75.0, 30.0), math.pi, feed),
        (LINE, (80.0, 30.0, 22.0), None, 0.0, feed),
        (RAPID, (0.0, 0.0, 22.0), None, 0.0, nan),
    ]
    events: list[tuple[int, Event]] = [
        (0, Offset("G54")),
        (0, ToolChange("6 mm flat", 1)),
        (1, Spindle(18000.0, 1)),
        (1, Dwell(2.0)),
        (2, Note("slot 1")),
        (9, Spindle(0.0, 0)),
        (10, Stop()),
    ]
    return program_of(rows, events, stock=STOCK, title="cable-tidy plate")


def awkward_turns(feed: float = 600.0) -> Program:
    """Ten turns, down one hole or round it, where a controller of few digits may lose them; between them tiny arcs.
    Bench frame; 20π radians in all."""
    nan = math.nan
    rows: list[tuple[Any, ...]] = [(RAPID, (nan, nan, 22.0), None, 0.0, nan)]
    for k, radius in enumerate((0.2, 0.5, 1.6, 6.0, 25.0)):
        cx, cy, begin = 50.0 + 0.1237 * k, 38.0 - 0.0719 * k, 0.7 + k
        x, y = cx + radius * math.cos(begin), cy + radius * math.sin(begin)
        rows += [(RAPID, (x, y, 22.0), None, 0.0, nan), (LINE, (x, y, 9.0), None, 0.0, feed / 4)]
        for turn, depth in ((2.0 * math.pi, 8.0), (-2.0 * math.pi + 4e-4, 8.0)):
            u, v = cx + radius * math.cos(begin + turn), cy + radius * math.sin(begin + turn)
            rows.append((ARC, (x, y, depth) if turn > 0.0 else (u, v, depth), (cx, cy), turn, feed))
        # The rest of the second turn, too short for any controller to recognise as an arc.
        rows.append((ARC, (x, y, 8.0), (cx, cy), -4e-4, feed))
        rows.append((RAPID, (x, y, 22.0), None, 0.0, nan))
    events: list[tuple[int, Event]] = [(0, Offset("G54")), (1, Spindle(18000.0, 1)), (1, Dwell(2.0))]
    events += [(len(rows), Spindle(0.0, 0)), (len(rows), Stop())]
    return program_of(rows, events, stock=STOCK, title="turns")


@st.composite
def grid_programs(draw: st.DrawFn, capabilities: Capabilities) -> Program:
    """Programs in the controller frame, every number on the dialect's own grid, so that reading back is exact.

    They begin with Z alone and end with the spindle off; arcs and rapids are such as the controller takes in one block.
    """
    mm = MM_PER_UNIT[capabilities.units]
    count = mm / 10.0**capabilities.unit_decimals
    height = draw(_SAFE_HEIGHTS)
    here = (draw(_PLACES), draw(_PLACES), height)
    rows: list[tuple[Any, ...]] = [
        (RAPID, (math.nan, math.nan, height * count), None, 0.0, math.nan),
        (RAPID, _mm(here, count), None, 0.0, math.nan),
    ]
    speeds, or_dwells = _switches(
        None if capabilities.speed_unit == "rpm" else int(capabilities.full_speed) * 10**capabilities.speed_decimals
    )
    events: list[tuple[int, Event]] = [(1, draw(speeds))]
    for _ in range(draw(_COUNTS)):
        if draw(_SIXTHS) == 0:
            events.append((len(rows), draw(or_dwells)))
        shape = draw(_SHAPES[capabilities.arcs != "none"])
        feed = draw(_FEEDS) / 10.0**capabilities.feed_decimals * mm
        if shape == "arc":
            here, centre, sweep = _quarter_turns(draw, capabilities, here)
            rows.append((ARC, _mm(here, count), (centre[0] * count, centre[1] * count), sweep, feed))
            continue
        if shape == "along" or (shape == "rapid" and not capabilities.slanting_rapids):
            here = (here[0], draw(_PLACES), here[2])
        else:
            here = (draw(_PLACES), draw(_PLACES), draw(_HEIGHTS))
        rows.append(
            (RAPID, _mm(here, count), None, 0.0, math.nan)
            if shape == "rapid"
            else (LINE, _mm(here, count), None, 0.0, feed)
        )
    rows.append((RAPID, _mm((*here[:2], height), count), None, 0.0, math.nan))
    events += [(len(rows), Spindle(0.0, 0)), (len(rows), Stop())]
    stock = Stock(200.0, 200.0, 12.0)
    program = program_of(rows, events, frame="controller", stock=stock, title=draw(hostile_texts()))
    return suited(program, capabilities)


def suited(program: Program, capabilities: Capabilities) -> Program:
    """The program for a controller with a beam, if this is one: instead of a spindle that turns at so much of
    `TOP_SPEED`, a beam that burns with so much of its full power, and none in rapids."""
    if not capabilities.beam or program.power is not None:
        return program
    power = np.where(program.kind == RAPID, 0.0, np.abs(spindle_by_row(program)) / TOP_SPEED)
    events = [Beam("dynamic" if e.sense else "off") if isinstance(e, Spindle) else e for e in program.event]
    return program.replace(event=events, power=power)


def _quarter_turns(
    draw: st.DrawFn, capabilities: Capabilities, here: tuple[int, int, int]
) -> tuple[tuple[int, int, int], tuple[int, int], float]:
    """An arc that ends exactly on the grid: whole quarter turns about a grid point."""
    most = 1 if capabilities.arcs == "radius" else (4 if capabilities.full_circles else 2)
    quarters = draw(_QUARTERS[most]) * draw(_SIGNS)
    i = draw(_ARMS) * draw(_SIGNS)
    j = 0 if capabilities.arcs == "radius" else draw(_OFFSETS)
    arm = (-i, -j)
    for _ in range(quarters % 4):
        arm = (-arm[1], arm[0])
    z = draw(_HEIGHTS) if capabilities.helical and draw(_TRUTHS) else here[2]
    centre = (here[0] + i, here[1] + j)
    return (centre[0] + arm[0], centre[1] + arm[1], z), centre, quarters * math.pi / 2


def _mm(place: tuple[int, int, int], count: float) -> tuple[float, float, float]:
    return place[0] * count, place[1] * count, place[2] * count


@cache
def _switches(steps: int | None) -> tuple[st.SearchStrategy[Spindle], st.SearchStrategy[Dwell | Spindle]]:
    """Speeds that S can say, and these or dwells: whole rpm, or ``steps`` of its own up to the fastest."""
    speeds = (
        st.integers(1, int(TOP_SPEED)).map(float)
        if steps is None
        else st.integers(1, steps).map(lambda step: step * TOP_SPEED / steps)
    )
    turning = st.builds(Spindle, speeds, st.just(1))
    return turning, st.one_of(st.builds(_dwell, _MILLISECONDS), turning)


def _dwell(milliseconds: int) -> Dwell:
    return Dwell(milliseconds / 1000.0)


def moving_rows(program: Program) -> NDArray[np.int64]:
    """Rows that move: those that do not leave no trace in a file."""
    origins, ends = program.origins, program.end
    still = ((origins == ends) | (np.isnan(origins) & np.isnan(ends))).all(axis=1)
    return np.flatnonzero((program.kind == ARC) | ~still)


def places_along(program: Program, count: int = 500) -> NDArray[np.float64]:
    """(count, 3) places at even distances along the path, from the first one fully known to the end."""
    first = int(np.flatnonzero(np.isfinite(program.end).all(axis=1))[0])
    pieces = [program.end[first : first + 1]]
    for row in range(first + 1, len(program)):
        start, end, share = program.end[row - 1], program.end[row], np.linspace(0.0, 1.0, 201)[1:, None]
        piece = start + share * (end - start)
        if program.kind[row] == ARC:
            arm = complex(*(start[:2] - program.centre[row])) * np.exp(1j * program.sweep[row] * share[:, 0])
            piece[:, :2] = program.centre[row] + np.stack([arm.real, arm.imag], axis=1)
        pieces.append(piece)
    path = np.concatenate(pieces)
    station = np.concatenate([[0.0], np.cumsum(np.sqrt((np.diff(path, axis=0) ** 2).sum(axis=1)))])
    at = np.linspace(0.0, station[-1], count)
    return np.stack([np.interp(at, station, path[:, axis]) for axis in range(3)], axis=1)


def spindle_by_row(program: Program) -> NDArray[np.float64]:
    """(n,): signed rpm during each row; positive clockwise. Of a beam, its power: `TOP_SPEED` is the full."""
    if program.power is not None:
        return program.power * TOP_SPEED
    turning = np.zeros(len(program))
    for event, at in zip(program.event, program.event_at.tolist(), strict=True):
        if isinstance(event, Spindle):
            turning[at:] = event.speed * event.sense
    return turning


def switched(program: Program) -> list[int]:
    """What each switch of the spindle sets it to: 1 clockwise, −1, 0 off; of a beam, 1 or 0."""
    return [
        event.sense if isinstance(event, Spindle) else int(event.mode != "off")
        for event in program.event
        if isinstance(event, Spindle | Beam)
    ]
