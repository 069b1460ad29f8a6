"""Drill cycles make the same holes as moves written out, and the proof sees where they do not.

G81 to G83: T. Kramer, F. Proctor, E. Messina, The NIST RS274/NGC Interpreter, Version 3, NISTIR 6556, 2000, 3.5.16.
"""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

import pathkit as pk
from pathkit.operations import drill

BIT = pk.Tool("3 mm drill", 3.0, number=1, kind="drill")
FEEDS = pk.Cutting(feed=1200.0, plunge=400.0, spindle=16000.0)
STOCK = pk.Stock(160, 100, 12, z_zero="bed", underlay=2)
PLACES = [(20.0, 30.0), (45.5, 50.25), (45.5, 70.0), (100.0, 50.0)]
Hole = tuple[float, float, float]


def machine(dialect: str = "rs274ngc", **output: Any) -> pk.Machine:
    return replace(pk.load_machine("grbl-front-left"), dialect=dialect, output=output)


def job(places: list[tuple[float, float]] = PLACES, depth: float = 11.3, peck: float | None = None) -> pk.Job:
    return pk.Job("holes", STOCK, drill("hole", places, BIT, FEEDS, bottom=STOCK.top - depth, peck=peck))


def holes(program: pk.Program) -> list[Hole]:
    """x, y and the deepest z over each place, in the order of drilling."""
    found: dict[tuple[float, float], float] = {}
    for x, y, z in np.round(program.end[program.kind == pk.LINE], 6).tolist():
        found[x, y] = min(z, found.get((x, y), z))
    return [(x, y, z) for (x, y), z in found.items()]


def bites(program: pk.Program) -> np.ndarray:
    """mm that each feed move goes below the deepest place there so far, or below where it starts."""
    depth: dict[tuple[float, ...], float] = {}
    taken = []
    for row in np.flatnonzero(program.kind == pk.LINE):
        place, z = tuple(np.round(program.end[row, :2], 4)), float(program.end[row, 2])
        top = depth.get(place, float(program.origins[row, 2]))
        taken.append(top - z)
        depth[place] = z
    return np.array(taken)


def both(made: pk.Job, **output: Any) -> tuple[pk.Program, pk.Program, str]:
    """What a controller reads without cycles and with them, both proved; and the text with cycles."""
    read = []
    text = ""
    for cycles in (False, True):
        where = machine(drill_cycles=cycles, **output)
        program = pk.lower(made, where)
        posted = pk.post(program, where)
        proof = pk.verify(posted, program, where, job=made)
        assert proof.ok, [str(f) for f in proof.findings]
        assert pk.verify_twin(pk.air_cut(posted, where), posted, where).ok
        text = posted.text
        read.append(pk.read(text, "rs274ngc").program)
    return read[0], read[1], text


@given(
    st.lists(st.tuples(st.integers(10, 150), st.integers(10, 90)), min_size=1, max_size=6, unique=True),
    st.floats(0.6, 11.9),
    st.one_of(st.none(), st.floats(0.7, 9.0)),
    st.sampled_from(({}, {"units": "inch"}, {"decimals": 2})),
)
def test_the_same_holes_either_way(
    places: list[tuple[int, int]], depth: float, peck: float | None, output: dict[str, Any]
) -> None:
    made = job([(float(x), float(y)) for x, y in places], depth, peck)
    plain, folded, text = both(made, **output)
    assert holes(plain) == holes(folded)
    assert len(re.findall(r"G8[13]", text)) >= 1
    if peck is not None:
        # No bite is deeper than asked for, whatever plane it is counted from.
        assert bites(folded).max() <= peck + 1.0 + 0.03


def test_holes_of_one_kind_are_named_once() -> None:
    """Every hole after the first is only a place: Z, R and F are sticky (NISTIR 6556, 3.5.16.1)."""
    where = machine()
    program = pk.lower(job(), where)
    notes = [not isinstance(event, pk.Note) for event in program.event]
    bare = program.replace(
        event=tuple(e for e, kept in zip(program.event, notes, strict=True) if kept), event_at=program.event_at[notes]
    )
    posted = pk.post(bare, where)
    assert "G81 X20 Y30 Z2.7 R15.5 F400\nX45.5 Y50.25\nX45.5 Y70\nX100 Y50\n" in posted.text
    assert pk.verify(posted, bare, where).ok
    assert (posted.line_of_row > 0).all()
    lines = posted.text.splitlines()
    named = [lines[posted.line_of_row[cycle.last] - 1] for cycle in bare.cycles]
    assert [re.findall(r"X[\d.]+ Y[\d.]+", line)[0] for line in named] == [
        "X20 Y30", "X45.5 Y50.25", "X45.5 Y70", "X100 Y50",
    ]  # fmt: skip


def test_a_wait_at_the_bottom_is_g82() -> None:
    where = machine()
    program = pk.lower(job(), where)
    cycles = program.cycles
    events = [(int(at), event) for at, event in zip(program.event_at, program.event, strict=True)]
    events = sorted([*events, *((c.last, pk.Dwell(0.75)) for c in cycles)], key=lambda pair: pair[0])
    waiting = program.replace(event=tuple(e for _, e in events), event_at=np.array([at for at, _ in events]))
    posted = pk.post(waiting, where)
    assert "G82 X20 Y30 Z2.7 R15.5 P0.75 F400" in posted.text
    assert posted.text.split().count("G4") == 1
    proof = pk.verify(posted, waiting, where)
    assert proof.ok, [str(f) for f in proof.findings]
    shorter = posted.text.replace("P0.75", "P0.5", 1)
    assert not pk.verify(shorter, waiting, where).ok


@pytest.mark.parametrize(
    ("peck", "old", "new"),
    [
        (None, "Z2.7 R", "Z2.6 R"),
        (None, "R15.5", "R14.5"),
        (None, "F400", "F300"),
        (None, "X45.5 Y70", "X45.5 Y71"),
        (None, "G81", "G83 Q3"),
        (3.0, " Q", " Q1"),  # a bite of more than 10 mm
        (3.0, "G83", "G81"),
        (3.0, "G98", "G99 G98"),
    ],
)
def test_a_cycle_that_makes_another_hole_is_found(peck: float | None, old: str, new: str) -> None:
    where = machine()
    made = job(peck=peck)
    program = pk.lower(made, where)
    text = pk.post(program, where).text
    assert old in text
    changed = text.replace(old, new, 1)
    changed = re.sub(r"(G81.*) Q[\d.]+", r"\1", changed) if new == "G81" else changed
    assert pk.verify(text, program, where, job=made).ok
    assert not pk.verify(changed, program, where, job=made).ok


def test_where_no_word_says_how_far_to_retract_a_cycle_begins_at_its_plane() -> None:
    """ISO 6983-1 has neither G98 nor G99 (from memory)."""
    where = machine("iso6983")
    program = pk.lower(job(), where)
    posted = pk.post(program, where)
    before = re.findall(r"(?:G00 )?(Z[\d.]+)\nN\d+ G81 X[\d.]+ Y[\d.]+ Z2\.7 R([\d.]+) F400\nN\d+ G00 Z", posted.text)
    assert before == [("Z15.5", "15.5")] * len(PLACES)
    assert pk.verify(posted, program, where).ok
    loose = posted.text.replace("Z15.5\n", "Z20.\n", 1)
    assert any("retracts" in f.what for f in pk.verify(loose, program, where).findings)


def test_pecked_holes_are_written_out_where_no_word_says_the_bite() -> None:
    where = machine("iso6983")
    program = pk.lower(job(peck=3.0), where)
    posted = pk.post(program, where)
    assert "G83" not in posted.text
    assert pk.verify(posted, program, where).ok


@pytest.mark.parametrize("dialect", ["grbl", "grbl-mist", "reprap", "csv"])
def test_controllers_without_cycles_get_moves(dialect: str) -> None:
    where = machine(dialect)
    program = pk.lower(job(), where)
    assert not re.search(r"G8[123]", pk.post(program, where).text)


def test_z_that_grows_downward_has_no_cycles() -> None:
    where = machine()
    where = replace(where, axes=pk.Axes("right", "away", "down"), left_handed=True)
    program = pk.lower(job(), where)
    posted = pk.post(program, where)
    assert "G81" not in posted.text
    assert pk.verify(posted, program, where).ok


def test_what_a_cycle_does_not_do_stays_written_out() -> None:
    """A note in between, another feed, a hole without a way back up: then moves are not folded into a cycle."""
    where = machine()
    program = pk.lower(job([(20.0, 30.0)]), where)
    cycle = program.cycles[0]
    behind = int(np.searchsorted(program.event_at, cycle.first + 1))
    inside = program.replace(
        event=(*program.event[:behind], pk.Note("half way"), *program.event[behind:]),
        event_at=np.insert(program.event_at, behind, cycle.first + 1),
    )
    slanted = program.end.copy()
    slanted[cycle.last, 0] += 1.0
    for other in (inside, program.replace(end=slanted), program.replace(cycles=())):
        posted = pk.post(other, where)
        assert "G81" not in posted.text
        assert pk.verify(posted, other, where)["same path"].status == "passed"
