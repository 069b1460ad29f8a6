"""The preview: a page on which a cut is watched before it is made, from the text of the cut files alone.

It needs no other file and no network. The moves are those read back from the text, placed on the bench as the board
lies before its operator; the times are those of `pathkit.machine.kinematics.run_time`. Names, comments and lines of
the file are untrusted: the page shows them as text only.
"""

from __future__ import annotations

import base64
import zlib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from pathkit.findings import Finding
from pathkit.handover.pages.cautions import cautions_of_previews
from pathkit.handover.pages.colours import depth_colours
from pathkit.machine.kinematics import RunTime, run_time
from pathkit.machine.orientation import to_bench
from pathkit.machine.profile import Machine
from pathkit.model.job import Setup
from pathkit.model.stock import Stock
from pathkit.model.tool import Tool
from pathkit.motion.program import ARC, Beam, Coolant, Dwell, Event, Pause, Program, Spindle, Stop, ToolChange
from pathkit.registry import capabilities_of
from pathkit.texts.findings import said_with_remedy
from pathkit.texts.language import ENGLISH, Language

PER_MM: Final = 100
"""Places go to the page in hundredths of a millimetre: finer than any screen shows."""

PER_SECOND: Final = 10_000
"""Times go in tenths of a millisecond, summed up first, so that no rounding adds up."""

PER_RADIAN: Final = 1_000_000

PER_POWER: Final = 1_000
"""A beam's power goes in thousandths of the full."""

LEVEL: Final = 3
"""How hard zlib works: more of it takes longer than it saves."""

SHADES: Final = 64
"""Colours of depths, from shallow to deep."""

MOST_NOTED: Final = 400
"""Findings and stops that the page lists; more would hide the cut."""

_SEVERITIES: Final = ("error", "warning", "note")

_START: Final = 3
"""The kind of column 0 of each file, beside `RAPID`, `LINE` and `ARC`: no move leads there."""

_LARGEST: Final = 2**31 - 1

Whole = NDArray[np.int64]
Index = NDArray[np.int32]


@dataclass(frozen=True, eq=False)
class Watched:
    """A cut file as it is watched. ``program`` is what was read back from ``text``, m rows in the controller's frame.

    ``bits`` (m,) index the bits of the page, ``toolpath`` (m,) its names, −1 where that is not known. ``findings`` are
    those about this file.
    """

    name: str
    text: bytes
    program: Program
    bits: Index
    toolpath: Index
    findings: tuple[Finding, ...] = ()


@dataclass(frozen=True)
class Scene:
    """What all files of a page share. ``stock`` None: the board is not known, and the page shows the moves alone.
    ``rest``: the files go on where others were broken off. The page is written in ``language``."""

    title: str
    mark: str
    machine: Machine
    setup: Setup
    stock: Stock | None
    bits: tuple[Tool, ...]
    names: tuple[str, ...] = ()
    language: Language = ENGLISH
    rest: bool = False


def preview_page(scene: Scene, files: Sequence[Watched]) -> bytes:
    """The page for a board that ``files`` cut one after the other: UTF-8; the same input gives the same bytes.

    Raises `InputError` as `run_time` does.
    """
    from pathkit.handover.pages.render import preview_of

    say, stock = scene.language, scene.stock or _around(files[0].program)
    placed = [_as_it_lies(to_bench(each.program, scene.machine, stock, scene.setup), scene.setup.turn)
              for each in files]  # fmt: skip
    clocks = [run_time(each.program, scene.machine, line_bytes=_line_bytes(each, scene.machine)) for each in files]
    beam = capabilities_of(scene.machine).beam
    moves = [_moves(each, program, clock, beam) for each, program, clock in zip(files, placed, clocks, strict=True)]
    arcs = np.concatenate([_arcs(program) for program in placed], axis=1)
    lines = [len(_line_ends(each.text)) + 1 for each in files]
    about = {
        "files": [{"name": each.name, "lines": count} for each, count in zip(files, lines, strict=True)],
        "rows": int(sum(len(program) + 1 for program in placed)),
        "arcs": int(arcs.shape[1]),
        "perMm": PER_MM, "perSecond": PER_SECOND, "perRadian": PER_RADIAN, "perPower": PER_POWER,
        "beam": beam,
        "total": float(sum(clock.total for clock in clocks)),
        "board": _board(stock, scene.setup.turn, known=scene.stock is not None),
        "bits": [_bit(tool) for tool in scene.bits],
        "names": list(scene.names),
        "findings": list(_pins(files, say, scene.machine.units))[:MOST_NOTED],
        "events": list(_events(files, say))[:MOST_NOTED],
        "shades": depth_colours(SHADES), "point": say.decimal_mark, "units": scene.machine.units,
    }  # fmt: skip
    columns = _joined(moves, lines, [clock.total for clock in clocks])
    told = cautions_of_previews(say, rest=scene.rest, beam=beam)
    return preview_of(scene.title, scene.mark, scene.machine.name, told, {
        "about": about, "moves": packed(columns), "arcs": packed(arcs), "text": _text([each.text for each in files]),
    }, say)  # fmt: skip


def packed(columns: NDArray[Any]) -> str:
    """(c, k) integers as text: the differences along each row as int32, their lowest bytes first, deflated, base64."""
    steps = np.diff(columns, axis=1, prepend=0).astype("<i4")
    planes = steps.view(np.uint8).reshape(*steps.shape, 4).transpose(0, 2, 1)
    return _deflated(planes.tobytes())


def _text(texts: Sequence[bytes]) -> str:
    return _deflated(b"\n".join(text.replace(b"\r\n", b"\n").replace(b"\r", b"\n") for text in texts))


def _line_ends(text: bytes) -> Whole:
    """Where the line ends end: LF, CR LF, or CR alone."""
    data = np.frombuffer(text, np.uint8)
    alone = data == ord("\r")
    alone[:-1] &= data[1:] != ord("\n")
    return np.flatnonzero(alone | (data == ord("\n"))) + 1


def _deflated(data: bytes) -> str:
    return base64.b64encode(zlib.compress(data, LEVEL)).decode("ascii")


def _moves(watched: Watched, program: Program, clock: RunTime, beam: bool) -> Whole:
    """(10, m + 1): x, y, z of each end; begin and end of each move; kind, feed, line, bit, toolpath; of a beam (11,
    m + 1), its power, too. Column 0 is where the file starts."""
    places = _known(np.vstack([program.start[None, :], program.end]))
    begin = np.cumsum(clock.standing[:-1]) + np.concatenate([[0.0], np.cumsum(clock.per_move)[:-1]])[: len(program)]
    end = begin + clock.per_move
    feed = np.nan_to_num(program.feed)
    rows = [
        *(_whole(axis, PER_MM) for axis in places.T),
        *(_whole(np.append(0.0, seconds), PER_SECOND) for seconds in (begin, end)),
        np.append(_START, program.kind), _whole(np.append(0.0, feed), 1),
        np.append(0, np.maximum(watched.program.line, 0)),
        np.append(watched.bits[:1] if len(program) else -1, watched.bits),
        np.append(-1, watched.toolpath),
    ]  # fmt: skip
    if beam:
        power = np.zeros(len(program)) if program.power is None else program.power
        rows.append(_whole(np.append(0.0, power), PER_POWER))
    return np.array(rows, dtype=np.int64)


def _joined(moves: Sequence[Whole], lines: Sequence[int], seconds: Sequence[float]) -> Whole:
    """All files one after the other: times go on, and so do the numbers of their lines."""
    time, line = 0, 0
    for each, count, taken in zip(moves, lines, seconds, strict=True):
        each[3:5] += time
        each[7] += np.where(each[7] > 0, line, 0)
        time, line = time + round(taken * PER_SECOND), line + count
    return np.concatenate(moves, axis=1)


def _arcs(program: Program) -> Whole:
    """(3, a): centre and sweep of each arc."""
    at = np.flatnonzero(program.kind == ARC)
    centre = _whole(program.centre[at], PER_MM)
    return np.vstack([centre[:, 0], centre[:, 1], _whole(program.sweep[at], PER_RADIAN)])


def _whole(values: NDArray[Any], scale: int) -> Whole:
    return np.asarray(np.rint(np.clip(np.nan_to_num(values) * scale, -_LARGEST, _LARGEST)), np.int64)


def _known(places: NDArray[np.float64]) -> NDArray[np.float64]:
    """(k, 3) with every unknown number replaced by the last one before it that is known, at first by the next."""
    filled = places.copy()
    for axis in filled.T:
        known = np.flatnonzero(np.isfinite(axis))
        if not len(known):
            axis[:] = 0.0
            continue
        last = np.maximum.accumulate(np.where(np.isfinite(axis), np.arange(len(axis)), known[0]))
        axis[:] = axis[last]
    return filled


def _as_it_lies(program: Program, turn: int) -> Program:
    """The moves on the board as it lies before its operator, turned counter-clockwise by quarters."""
    stock = program.stock
    assert stock is not None
    end, centre, start = program.end.copy(), program.centre.copy(), program.start.copy()
    depth, width = stock.depth, stock.width
    for _ in range(turn % 4):
        for places in (end, centre, start[None, :]):
            places[:, :2] = np.column_stack([depth - places[:, 1], places[:, 0]])
        depth, width = width, depth
    return program.replace(end=end, centre=centre, start=start)


def _line_bytes(watched: Watched, machine: Machine) -> Whole | None:
    """(m,) what is sent for each row, the lines before it that move nothing among it."""
    if not machine.bytes_per_second:
        return None
    ends = np.concatenate([[0], _line_ends(watched.text), [len(watched.text)]])
    sent = ends[np.clip(watched.program.line, 0, len(ends) - 1)]
    return np.asarray(np.diff(np.maximum.accumulate(sent), prepend=0), np.int64)


def _around(program: Program) -> Stock:
    """A board as large as the moves are apart; where it lies is not known."""
    places = _known(np.vstack([program.start[None, :], program.end]))
    sizes = np.maximum(np.ptp(places, axis=0), 1.0)
    return Stock(float(sizes[0]), float(sizes[1]), max(1.0, float(-places[:, 2].min())))


def _board(stock: Stock, turn: int, *, known: bool) -> dict[str, Any]:
    width, depth = (stock.width, stock.depth) if turn % 2 == 0 else (stock.depth, stock.width)
    return {
        "known": known, "width": width, "depth": depth, "thickness": stock.thickness, "top": stock.top,
        "underlay": stock.underlay,
    }  # fmt: skip


def _bit(tool: Tool) -> dict[str, Any]:
    return {"name": tool.name, "diameter": tool.diameter, "kind": tool.kind, "flare": tool.flare}


def _pins(files: Sequence[Watched], say: Language, units: str) -> Iterator[dict[str, Any]]:
    """The findings as the page pins them to their lines. Of those without a line, notes are for the setup sheet."""
    every = [(k, found) for k, each in enumerate(files) for found in each.findings]
    said: set[tuple[int, int | None, str]] = set()
    for number, found in sorted(every, key=lambda each: _SEVERITIES.index(each[1].severity)):
        file = number if found.line is not None else 0
        if (file, found.line, found.what) in said or (found.line is None and found.severity == "note"):
            continue
        said.add((file, found.line, found.what))
        what = said_with_remedy(found, say, units)
        yield {"file": file, "line": found.line, "severity": found.severity, "what": what}


def _events(files: Sequence[Watched], say: Language) -> Iterator[dict[str, Any]]:
    """What happens between moves and takes a person's attention; ``row`` is the first move after it."""
    first = 1
    for number, each in enumerate(files):
        program = each.program
        if number:
            yield {"row": first - 1, "what": say("preview-event-file", name=each.name)}
        for at, event in zip(program.event_at.tolist(), program.event, strict=True):
            if said := _said(event, say):
                yield {"row": min(first + at, first + len(program) - 1), "what": said}
        first += len(program) + 1


def _said(event: Event, say: Language) -> str:
    match event:
        case ToolChange(name=name, number=number):
            return say("preview-event-bit", name=name) if name else say("preview-event-bit-number", number=str(number))
        case Pause(message=message):
            return say("preview-event-pause-for", message=message) if message else say("preview-event-pause")
        case Dwell(seconds=seconds):
            return say("preview-event-waits", seconds=say.number(f"{seconds:g}"))
        case Spindle(speed=speed, sense=sense):
            turning = say("preview-event-spindle-on", speed=say.number(f"{speed:g}"))
            return turning if sense else say("preview-event-spindle-off")
        case Beam(mode=mode):
            return say("preview-event-beam", mode=mode)
        case Coolant(kind=kind):
            return say("preview-event-coolant", kind=kind)
        case Stop():
            return say("preview-event-end")
    return ""
