"""A program against a reading of it, both written by hand: what agrees, and what must be told apart."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from pathkit.machine.capabilities import Capabilities
from pathkit.machine.profile import SpindleControl
from pathkit.motion.program import (
    ARC,
    LINE,
    RAPID,
    Dwell,
    Event,
    Note,
    Offset,
    Pause,
    Program,
    Spindle,
    Stop,
    ToolChange,
)  # fmt: skip
from pathkit.proof.path.compare import Comparison, compare
from pathkit.proof.path.events import expected, signals_of

MM = Capabilities(speed_decimals=0)
INCH = Capabilities(units="inch")
NAN = math.nan


def program(
    rows: list[tuple[Any, ...]], events: Sequence[tuple[int, Event]] = (), start: tuple[float, ...] = (NAN, NAN, NAN)
) -> Program:
    """Rows: (kind, end, feed) or (ARC, end, feed, centre, sweep)."""
    n = len(rows)
    if not any(isinstance(e, Stop) for _, e in events):
        events = [*events, (n, Stop())]
    return Program(
        start=np.array(start),
        kind=np.array([r[0] for r in rows], np.uint8),
        end=np.array([r[1] for r in rows], float),
        centre=np.array([r[3] if len(r) > 3 else (NAN, NAN) for r in rows], float),
        sweep=np.array([r[4] if len(r) > 4 else 0.0 for r in rows], float),
        feed=np.array([r[2] for r in rows], float),
        toolpath=np.zeros(n, np.int32),
        level=np.zeros(n, np.int32),
        line=np.arange(1, n + 1, dtype=np.int32),
        event=tuple(e for _, e in events),
        event_at=np.array([at for at, _ in events], np.int64),
        names=("plate",),
        frame="controller",
    )


def rounded(value: Program, decimals: int = 3, unit: float = 1.0) -> Program:
    def grid(a: NDArray[np.float64]) -> NDArray[np.float64]:
        return np.asarray(np.rint(a / unit * 10**decimals) / 10**decimals * unit)

    return value.replace(start=np.full(3, NAN), end=grid(value.end), centre=grid(value.centre))


def held(mine: Program, theirs: Program, capabilities: Capabilities = MM, *, manual: bool = False) -> Comparison:
    said = expected(mine, capabilities, SpindleControl("manual" if manual else "words"), "G54")
    return compare(mine, theirs, said, signals_of(theirs, offset="G54"), capabilities, arc_tolerance=0.002)


PLATE = program(
    [
        (RAPID, (NAN, NAN, 20.0), NAN),
        (RAPID, (10.00049, 5.0, 20.0), NAN),
        (RAPID, (10.00049, 5.0, 13.0), NAN),
        (LINE, (10.00049, 5.0, 10.0625), 300.0),
        (LINE, (30.0, 5.0, 10.0625), 1200.0),
        (ARC, (30.0, 25.0, 10.0625), 1200.0, (30.0, 15.0), math.pi),
        (LINE, (10.00049, 25.0, 10.0625), 1200.0),
        (LINE, (10.0007, 24.9999, 10.0625), 1200.0),
        (ARC, (10.00049, 5.0, 8.0), 900.0, (10.00049, 15.0), -math.pi * 3),
        (RAPID, (10.00049, 5.0, 20.0), NAN),
    ],
    [
        (0, Note("plate")),
        (0, Offset("G54")),
        (0, ToolChange("6 mm", 2)),
        (1, Spindle(18000.0, 1)),
        (1, Dwell(3.0)),
        (10, Spindle(0.0, 0)),
        (10, Stop()),
    ],
)  # fmt: skip
WORDS = Capabilities(tool_change="word")


def test_a_rounded_copy_agrees_and_its_deviation_is_known() -> None:
    result = held(PLATE, rounded(PLATE), WORDS)
    assert result.findings == []
    assert 0.0004 < result.deviation < 0.0025
    assert result.owner.tolist() == list(range(10))


def test_inches() -> None:
    result = held(PLATE, rounded(PLATE, 4, 25.4), Capabilities(units="inch", tool_change="word"))
    assert result.findings == []


COLUMNS = ("kind", "end", "centre", "sweep", "feed", "toolpath", "level", "line")


def without(value: Program, row: int) -> Program:
    keep = np.arange(len(value)) != row
    columns = {
        c: getattr(value, c)[keep] for c in ("kind", "end", "centre", "sweep", "feed", "toolpath", "level", "line")
    }
    return value.replace(**columns, event_at=value.event_at - (value.event_at > row))


def repeated(value: Program, row: int) -> Program:
    order = np.insert(np.arange(len(value)), row, row)
    columns = {c: getattr(value, c)[order] for c in COLUMNS}
    return value.replace(**columns, event_at=value.event_at + (value.event_at > row))


def changed(value: Program, column: str, row: int, to: object) -> Program:
    array = np.array(getattr(value, column))
    array[row] = to
    return value.replace(**{column: array})


SABOTAGE = {
    "a line dropped": (without(rounded(PLATE), 6), "same path", 8),
    "an arc dropped": (without(rounded(PLATE), 5), "same path", 7),
    "a line repeated": (repeated(rounded(PLATE), 4), "same path", 5),
    "an arc the other way": (changed(rounded(PLATE), "sweep", 5, -math.pi), "same path", 6),
    "a centre moved": (changed(rounded(PLATE), "centre", 5, (30.1, 15.0)), "same path", 6),
    "x moved by one count": (changed(rounded(PLATE), "end", 4, (30.001, 5.0, 10.062)), "same path", 5),
    "z at a tie rounded up": (changed(rounded(PLATE), "end", 4, (30.0, 5.0, 10.063)), "same path", 5),
    "a cut made a rapid": (changed(rounded(PLATE), "kind", 4, RAPID), "same path", 5),
    "a feed changed": (changed(rounded(PLATE), "feed", 4, 1200.1), "feeds", 5),
    "a feed unknown": (changed(rounded(PLATE), "feed", 4, NAN), "feeds", 5),
}


@pytest.mark.parametrize("name", SABOTAGE)
def test_sabotage_of_moves_is_named_with_its_line(name: str) -> None:
    theirs, check, line = SABOTAGE[name]
    found = held(PLATE, theirs, WORDS).findings
    assert found, name
    assert (found[0].check, found[0].line) == (check, line), found
    assert found[0].toolpath == "plate" or found[0].toolpath is None


def without_event(value: Program, index: int) -> Program:
    keep = [i for i in range(len(value.event)) if i != index]
    return value.replace(event=tuple(value.event[i] for i in keep), event_at=value.event_at[keep])


def with_event(value: Program, index: int, event: Event) -> Program:
    events = list(value.event)
    events[index] = event
    return value.replace(event=tuple(events))


@pytest.mark.parametrize(
    ("theirs", "check"),
    [
        (without_event(rounded(PLATE), 3), "spindle"),
        (with_event(rounded(PLATE), 3, Spindle(1800.0, 1)), "spindle"),
        (with_event(rounded(PLATE), 3, Spindle(18000.0, -1)), "spindle"),
        (without_event(rounded(PLATE), 4), "events"),
        (with_event(rounded(PLATE), 4, Dwell(0.003)), "events"),
        (without_event(rounded(PLATE), 2), "tool changes"),
        (with_event(rounded(PLATE), 2, ToolChange("6 mm", 3)), "tool changes"),
        (with_event(rounded(PLATE), 1, Offset("G55")), "events"),
        (without_event(rounded(PLATE), 5), "spindle"),
        (without_event(rounded(PLATE), 6), "end state"),
        (with_event(rounded(PLATE), 0, Pause("?")), "events"),
    ],
)
def test_sabotage_of_events_is_named(theirs: Program, check: str) -> None:
    found = held(PLATE, theirs, WORDS).findings
    assert {f.check for f in found} == {check}, found


def test_an_event_at_another_place_is_a_finding() -> None:
    later = rounded(PLATE)
    later = later.replace(event_at=np.where(later.event_at == 1, 4, later.event_at))
    assert held(PLATE, later, WORDS).findings


def test_a_bit_changed_in_a_pause_and_a_spindle_switched_by_hand() -> None:
    # The first bit is in the collet before the file starts; the second takes a pause, with the spindle off.
    events = [*zip(PLATE.event_at, PLATE.event, strict=True)]
    second = [*events[:-2], (7, ToolChange("3 mm", 3)), *events[-2:]]
    mine = PLATE.replace(event=tuple(e for _, e in second), event_at=[at for at, _ in second])

    def file(*words: tuple[int, Event]) -> Program:
        return rounded(PLATE).replace(event=tuple(e for _, e in words), event_at=[at for at, _ in words])

    on, off, wait = Spindle(18000.0, 1), Spindle(0.0, 0), Dwell(3.0)
    end = [(10, Stop())]
    right = file((1, on), (1, wait), (7, off), (7, Pause("M0")), (7, on), (7, wait), (10, off), *end)
    assert held(mine, right, MM).findings == []
    again = mine.replace(
        event=(*mine.event[:6], mine.event[5], *mine.event[6:]), event_at=np.insert(mine.event_at, 6, 8)
    )
    assert held(again, right, MM).findings == [], "the bit that is in already"
    turning = file((1, on), (1, wait), (7, Pause("M0")), (10, off), *end)
    assert {f.check for f in held(mine, turning, MM).findings} == {"spindle", "events"}
    by_hand = file((1, Pause("M0")), (1, wait), (7, Pause("M0")), (7, wait), (10, Pause("M0")), *end)
    assert held(mine, by_hand, MM, manual=True).findings == []
    left_on = file((1, Pause("M0")), (1, wait), (7, Pause("M0")), (7, wait), *end)
    assert [f.what for f in held(mine, left_on, MM, manual=True).findings] == [
        "the program has a pause before this, and the file does not"
    ], "nobody is told to switch it off"
    assert {f.check for f in held(mine, by_hand, MM).findings} == {"spindle", "events"}


def circle(pieces: int, radius: float = 10.0, *, arcs: bool = False) -> tuple[Program, Program]:
    """A full circle that also goes down, and a reading of it in pieces."""
    first = [(RAPID, (NAN, NAN, 5.0), NAN), (RAPID, (radius, 0.0, 5.0), NAN)]
    mine = program([*first, (ARC, (radius, 0.0, 3.0), 800.0, (0.0, 0.0), 2 * math.pi)])
    rows = []
    for k in range(1, pieces + 1):
        angle = 2 * math.pi * k / pieces
        end = (radius * math.cos(angle), radius * math.sin(angle), 5.0 - 2.0 * k / pieces)
        end = (radius, 0.0, 3.0) if k == pieces else end
        rows.append((ARC, end, 800.0, (0.0, 0.0), 2 * math.pi / pieces) if arcs else (LINE, end, 800.0))
    return mine, rounded(program([*first, *rows]))


@pytest.mark.parametrize(("pieces", "arcs"), [(180, False), (400, False), (1, True), (2, True), (7, True)])
def test_an_arc_may_arrive_in_pieces(pieces: int, arcs: bool) -> None:
    mine, theirs = circle(pieces, arcs=arcs)
    result = held(mine, theirs)
    assert result.findings == []
    assert (result.owner == 2).sum() == pieces
    assert result.deviation < 0.005


def test_an_arc_whose_end_is_a_tie_has_one_end_only() -> None:
    """12.0625 lies halfway between 12.062 and 12.063: half-even takes the first, and the other is a finding."""
    first = [(RAPID, (NAN, NAN, 5.0), NAN), (RAPID, (2.0625, 0.0, 5.0), NAN)]
    mine = program([*first, (ARC, (12.0625, 0.0, 5.0), 800.0, (7.0625, 0.0), math.pi), (LINE, (0.0, 0.0, 5.0), 800.0)])
    assert held(mine, rounded(mine)).findings == []
    found = held(mine, changed(rounded(mine), "end", 2, (12.063, 0.0, 5.0))).findings
    assert found[0].line == 3


@pytest.mark.parametrize("counts", [1, 2, 8, 40, -1, -3])
def test_a_full_circle_that_misses_its_end_is_named_and_not_what_follows(counts: int) -> None:
    """A full circle that misses its start shrinks to almost nothing or stays a circle; either way its line is named."""
    first = [(RAPID, (NAN, NAN, 5.0), NAN), (RAPID, (10.0, 0.0, 5.0), NAN)]
    after = [(LINE, (12.0, 3.0, 5.0), 800.0)]
    mine = program([*first, (ARC, (10.0, 0.0, 5.0), 800.0, (0.0, 0.0), 2 * math.pi), *after])
    y = counts / 1000
    sweep = math.atan2(y, 10.0) % (2 * math.pi)
    theirs = rounded(program([*first, (ARC, (10.0, y, 5.0), 800.0, (0.0, 0.0), sweep), *after]))
    assert held(mine, theirs).findings[0].line == 3


def test_chords_too_long_are_a_finding() -> None:
    # Sagitta r(1 − cos(θ/2)): 60 chords of a circle of 10 mm stray by 0.0137 mm, more than 3 counts + 0.002 mm.
    mine, theirs = circle(60)
    assert held(mine, theirs).findings[0].check == "same path"


@given(st.integers(0, 398), st.integers(0, 2), st.sampled_from([-1, 1]))
def test_one_count_in_a_chord_is_found_on_its_line(piece: int, axis: int, sign: int) -> None:
    mine, theirs = circle(400)
    end = np.array(theirs.end)
    end[2 + piece, axis] += sign * 0.001
    found = held(mine, theirs.replace(end=end)).findings
    assert found[0].line == 3 + piece


def test_a_tiny_arc_may_become_a_line_or_nothing_but_a_full_circle_may_not() -> None:
    first = [(RAPID, (NAN, NAN, 5.0), NAN), (RAPID, (0.0, 0.0, 5.0), NAN)]
    after = (LINE, (4.0, 0.0, 5.0), 800.0)
    line = program([*first, (ARC, (0.0012, 0.0, 5.0), 800.0, (0.0006, 0.001), 1.2), after])
    assert held(line, rounded(program([*first, (LINE, (0.001, 0.0, 5.0), 800.0), after]))).findings == []
    nothing = program([*first, (ARC, (0.0003, 0.0, 5.0), 800.0, (0.00015, 0.001), 0.3), after])
    assert held(nothing, rounded(program([*first, after]))).findings == []
    whole = (ARC, (0.0, 0.0, 5.0), 800.0, (0.0, 1.0), 2 * math.pi)
    assert held(nothing, rounded(program([*first, whole, after]))).findings[0].line == 3
    full = program([*first, whole, after])
    assert held(full, rounded(program([*first, after]))).findings[0].check == "same path"


@given(st.data())
def test_any_end_moved_by_a_count_is_found_on_its_line(data: st.DataObject) -> None:
    theirs = rounded(PLATE)
    row = data.draw(st.integers(0, len(theirs) - 1))
    axis = data.draw(st.integers(2 if row == 0 else 0, 2))
    counts = data.draw(st.integers(1, 9)) * 10 ** data.draw(st.integers(0, 4)) * data.draw(st.sampled_from([-1, 1]))
    end = np.array(theirs.end)
    end[row, axis] += counts / 1000
    found = held(PLATE, theirs.replace(end=end), WORDS).findings
    assert found[0].line == row + 1
