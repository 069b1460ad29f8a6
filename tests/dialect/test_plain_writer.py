"""Every dialect writes, byte for byte, what a plain writer in f-strings writes of the program's own floats."""

from __future__ import annotations

import functools
import math
import operator
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

import pathkit as pk
from pathkit.motion.program import ARC, LINE, RAPID, Event
from pathkit.registry import find_dialect, installed
from pathkit.testing.programs import grid_programs, machine_for, program_of
from tests.dialect.plain_writer import Layout, write_moves
from tests.posts.shown.beam import BeamTool
from tests.posts.shown.json_lines import JsonLines
from tests.posts.shown.odd_mill import OddMill
from tests.posts.shown.spelled_out import SpelledOut

SHIPPED = [p.value for p in installed().provided("dialect") if "pathkit_posts" in p.package]
BY_NAME = {dialect.name: dialect for dialect in (*SHIPPED, OddMill(), JsonLines(), BeamTool(), SpelledOut())}
NAMES = sorted(BY_NAME)
COUNT = 0.001
EDGES = (
    0.0, -0.0, 1e-9, -1e-9, 0.0005, -0.0005, 0.0015, 2.6745, 1.0005, 999.9995, 1000.0, -999.9996, 0.00049999999999,
    9999.9994, 99_999.9994, -99_999.9994, 12_345.6785, 5e-324, 0.1 + 0.2,
)  # fmt: skip
numbers = st.one_of(
    st.sampled_from(EDGES), st.floats(-2000.0, 2000.0), st.integers(-9999, 9999).map(lambda n: n / 2000)
)
powers = st.one_of(st.sampled_from((0.0, 0.0125, 0.25, 0.9985, 1.0)), st.floats(0.01, 1.0))
feeds = st.one_of(st.sampled_from((3.05, 3.1, 600.0, 1234.5, 1234.25, 99_999.0)), st.floats(3.0, 9000.0))


def plainly(posted: pk.Posted, program: pk.Program, machine: pk.Machine) -> bytes:
    """The file as the plain writer writes it."""
    (draft,) = posted.drafts
    dialect, context = BY_NAME[posted.dialect], draft.context
    caps = context.capabilities
    words = {name: getattr(dialect.words, name) for name in Layout.NAMES}
    layout = Layout(
        words, caps.unit_decimals, caps.feed_decimals, 25.4 if caps.units == "inch" else 1.0, caps.arcs,
        dialect.words.between, caps.modal, caps.columns, caps.decimal_point, caps.fixed_decimals, caps.modal_feed,
        dialect.words.opening, dialect.words.closing, caps.full_speed, caps.speed_decimals,
    )  # fmt: skip
    motion = np.where(program.kind == ARC, np.where(program.sweep < 0.0, 2, 3), program.kind)
    feed = program.feed.copy()
    if caps.rapid_feed:
        for n in np.flatnonzero(program.kind == RAPID):
            moved = program.origins[n] != program.end[n]
            known = moved & ~np.isnan(program.end[n])
            feed[n] = np.array(machine.motion.rapid)[known].min() if known.any() else min(machine.motion.rapid)
    lines: dict[int, list[str]] = {}
    for event, at in zip(draft.script.events, draft.script.at.tolist(), strict=True):
        lines.setdefault(at, []).extend(dialect.event(event, context))
    power = None if program.power is None else program.power.tolist()
    places = program.end.tolist(), program.centre.tolist()
    made = write_moves(motion.tolist(), *places, feed.tolist(), layout, lines, power)
    text = [*dialect.prologue(context), *made, *dialect.epilogue(context)]
    if caps.line_numbers:
        start, step = caps.line_number_start, caps.line_number_step
        text = [f"{dialect.words.block}{start + step * k} {line}" for k, line in enumerate(text)]
    if caps.checksum is not None:
        text = [line if "(" in line else f"{line}*{functools.reduce(operator.xor, line.encode())}" for line in text]
    marks = ["%"] if caps.tape_mark else []
    return "".join(line + caps.line_end for line in (*marks, *text, *marks)).encode("ascii")


@pytest.mark.parametrize("name", NAMES)
def test_programs_on_the_grid(name: str) -> None:
    dialect = BY_NAME[name]
    machine, capabilities = machine_for(dialect), dialect.capabilities

    @given(grid_programs(capabilities))
    def same(program: pk.Program) -> None:
        posted = pk.post(program, machine, dialect=dialect)
        assert posted.files[0].data == plainly(posted, program, machine)

    same()


@pytest.mark.parametrize("units", ["mm", "inch"])
@pytest.mark.parametrize("name", [name for name in NAMES if BY_NAME[name].capabilities.slanting_rapids])
def test_any_float(name: str, units: str) -> None:
    dialect = BY_NAME[name]
    machine = machine_for(dialect, output={"units": units})
    rows = st.tuples(st.sampled_from((RAPID, LINE)), st.tuples(numbers, numbers, numbers), feeds, powers)

    @given(st.lists(rows, max_size=20), st.lists(st.integers(0, 20), max_size=4))
    def same(drawn: list[tuple[int, tuple[float, float, float], float, float]], pauses: list[int]) -> None:
        lead: list[tuple[Any, ...]] = [(RAPID, (math.nan, math.nan, 100_000.0 - 1.0), None, 0.0, math.nan)]
        lead.append((RAPID, (1.0, 2.0, 99_999.0), None, 0.0, math.nan))
        cuts = [(how, end, None, 0.0, feed if how == LINE else math.nan) for how, end, feed, _ in drawn]
        events: list[tuple[int, Event]] = [(min(at, len(drawn)) + 2, pk.Note("here")) for at in sorted(pauses)]
        power = [0.0, 0.0, *(share if how == LINE else 0.0 for how, _, _, share in drawn)]
        burnt = {"power": power} if dialect.capabilities.beam else {}
        program = program_of([*lead, *cuts], events, frame="controller", **burnt)
        posted = pk.post(program, machine, dialect=dialect)
        assert posted.files[0].data == plainly(posted, program, machine)

    same()


def test_a_million_steps_below_the_grid_do_not_drift() -> None:
    """Each step is less than half of the last decimal: only their sum shows, and it is right at every line."""
    count = 1_000_000
    end = np.zeros((count + 2, 3))
    end[2:, 0] = np.cumsum(np.full(count, 0.4 * COUNT))
    end[:, 2], end[0, :2] = 5.0, math.nan
    none = np.full(count + 2, -1)
    kind = np.where(np.arange(count + 2) < 2, RAPID, LINE)
    program = pk.Program(
        np.full(3, math.nan), kind, end, np.full((count + 2, 2), math.nan), np.zeros(count + 2),
        np.full(count + 2, 600.0), none, none, none, frame="controller",
    )  # fmt: skip
    posted = pk.post(program, machine_for(find_dialect("grbl")))
    read = pk.read(posted.files[0].data, "grbl").program
    row = np.flatnonzero(posted.line_of_row > 0)
    assert len(read) == len(row)
    assert np.abs(read.end[1:, 0] - end[row[1:], 0]).max() <= 0.5 * COUNT * (1.0 + 1e-6)
    assert abs(read.end[-1, 0] - 400.0) <= COUNT


def test_sums_of_relative_centres_do_not_drift() -> None:
    """I and J count from where the file says the arc begins, not from where the program says so."""
    count = 20_000
    end = np.zeros((count + 2, 3))
    end[2:, 0] = np.cumsum(np.full(count, 1.0 / 3.0))
    end[:, 2], end[0, :2] = 5.0, math.nan
    centre = np.full((count + 2, 2), math.nan)
    centre[2:, 0], centre[2:, 1] = end[1:-1, 0] + 1.0 / 6.0, 0.0
    none = np.full(count + 2, -1)
    kind = np.where(np.arange(count + 2) < 2, RAPID, ARC)
    sweep = np.where(np.arange(count + 2) < 2, 0.0, -math.pi)
    program = pk.Program(
        np.full(3, math.nan), kind, end, centre, sweep, np.full(count + 2, 600.0), none, none, none, frame="controller"
    )
    read = pk.read(pk.post(program, machine_for(find_dialect("grbl"))).files[0].data, "grbl").program
    assert np.abs(read.end[2:, 0] - end[2:, 0]).max() <= 0.5 * COUNT * (1.0 + 1e-6)
    assert np.abs(read.centre[2:] - centre[2:]).max() <= 2.0 * COUNT
