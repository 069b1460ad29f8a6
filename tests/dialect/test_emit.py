"""The kernel writes, byte for byte, what a plain writer writes."""

from __future__ import annotations

import functools
import operator
import re
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pathkit_posts.grbl import Grbl
from pathkit_posts.rs274ngc import Rs274ngc

from pathkit.dialect.base import Dialect
from pathkit.dialect.emit import emit
from pathkit.dialect.grid_kernel import CLOCKWISE, DRILL, UNKNOWN
from pathkit.dialect.quantise import Grid
from pathkit.dialect.script import Script
from pathkit.dialect.words import Context, Words, comment, number
from pathkit.errors import CapabilityError, PluginError
from pathkit.machine.capabilities import Capabilities
from pathkit.machine.grammar import Checksum
from pathkit.motion.program import Note

BARE = Capabilities(line_length=None)


class Bare(Dialect):
    name = "bare"
    title = "Bare"
    capabilities = BARE
    words = Words(arc_modes={"incremental": "", "absolute": "", "radius": ""})


class Wordy(Bare):
    """Words as long as they may be, and text around each block."""

    name = "wordy"
    words = Words(
        arc_modes=Bare.words.arc_modes, rapid="MOVE AS FAST AS THE MACHINE CAN", clockwise="CLOCKWISE", x="X=", y="Y=",
        z="HEIGHT ABOVE THE TABLE=", i="CENTRE X=", feed="THE WHOLE MOVE AT A FEED OF=", opening="{ all of this: ",
        closing=" and then no more }",
    )  # fmt: skip


State = dict[str, int | str]


def dimension(count: int, caps: Capabilities) -> str:
    text = number(count, caps.unit_decimals, fixed=caps.fixed_decimals)
    return text + "." if caps.decimal_point and "." not in text else text


def motion_word(grid: Grid, n: int, words: Words) -> str:
    table = (words.rapid, words.line, words.clockwise, words.counter_clockwise)
    return (*table, words.drill, words.drill_wait, words.drill_peck)[grid.motion[n]]


def centre(grid: Grid, n: int, before: tuple[Any, Any], caps: Capabilities) -> list[str]:
    """I and J in counts; none where the arc has none."""
    if grid.motion[n] < CLOCKWISE:
        return ["", ""]
    here = before if caps.arcs == "incremental" else (0, 0)
    return [dimension(int(grid.arc[n, axis]) - here[axis], caps) for axis in (0, 1)]


def moved(grid: Grid, n: int, state: State, words: Words, caps: Capabilities) -> list[str]:
    motion = motion_word(grid, n, words)
    bends = grid.motion[n] >= CLOCKWISE
    block = [motion] if state.get("motion") != motion or not caps.modal else []
    before = (state.get("X"), state.get("Y"))
    state["motion"] = motion
    for axis, letter, prefix in ((0, "X", words.x), (1, "Y", words.y), (2, "Z", words.z)):
        value = int(grid.point[n, axis])
        if value != UNKNOWN and (state.get(letter) != value or (bends and axis < 2)):
            block.append(prefix + dimension(value, caps))
        state[letter] = value
    if bends and caps.arcs == "radius":
        block.append(words.r + dimension(int(grid.arc[n, 0]), caps))
    elif bends:
        block += [p + text for p, text in zip((words.i, words.j), centre(grid, n, before, caps), strict=True)]
    feed = int(grid.feed[n])
    if feed > 0 and (state.get(words.feed) != feed or not caps.modal_feed):
        block.append(words.feed + number(feed, caps.feed_decimals, fixed=caps.fixed_decimals))
        state[words.feed] = feed
    return block


def drilled(grid: Grid, n: int, state: State, words: Words, caps: Capabilities) -> list[str]:
    motion, feed = motion_word(grid, n, words), int(grid.feed[n])
    x, y, bottom = (int(v) for v in grid.point[n])
    plane, extra = (int(v) for v in grid.arc[n])
    now: State = {"motion": motion, "plane": plane, "extra": extra, "bottom": bottom, words.feed: feed}
    same = all(state.get(key) == value for key, value in now.items()) and caps.modal and caps.modal_feed
    block = [motion] if not same else []
    block += [words.x + dimension(x, caps), words.y + dimension(y, caps)]
    if not same:
        block += [words.z + dimension(bottom, caps), words.plane + dimension(plane, caps)]
        if motion == words.drill_peck:
            block.append(words.bite + dimension(extra, caps))
        if motion == words.drill_wait:
            waited = str(extra) if caps.dwell_unit == "ms" else number(extra, 3, fixed=caps.fixed_decimals)
            block.append(words.wait + waited)
        block.append(words.feed + number(feed, caps.feed_decimals, fixed=caps.fixed_decimals))
    state.update(now, X=x, Y=y)
    return block


def tabled(grid: Grid, n: int, state: State, words: Words, caps: Capabilities) -> list[str]:
    before = (state.get("X"), state.get("Y"))
    values = [int(v) for v in grid.point[n]]
    cells = ["" if value == UNKNOWN else dimension(value, caps) for value in values]
    cells += centre(grid, n, before, caps)
    feed = number(int(grid.feed[n]), caps.feed_decimals, fixed=caps.fixed_decimals)
    cells.append(feed if grid.feed[n] else "")
    state.update(X=values[0], Y=values[1])
    letters = (words.x, words.y, words.z, words.i, words.j, words.feed)
    return [motion_word(grid, n, words), *(letter + cell for letter, cell in zip(letters, cells, strict=True))]


def plain_writer(grid: Grid, script: Script, dialect: Dialect, context: Context) -> bytes:
    """The reference: it writes one row after the other, in plain strings."""
    caps, words = context.capabilities, dialect.words
    lines: list[str] = []
    state: dict[str, int | str] = {}
    events = list(zip(grid.event_at.tolist(), script.events, strict=True))
    lines += dialect.prologue(context)
    for n in range(len(grid) + 1):
        for at, event in events:
            if at == n:
                lines += dialect.event(event, context)
        if n == len(grid):
            break
        if grid.restate[n]:
            state.pop("motion", None)
            state.pop(words.feed, None)
        write = tabled if caps.columns else drilled if grid.motion[n] >= DRILL else moved
        lines.append(words.opening + words.between.join(write(grid, n, state, words, caps)) + words.closing)
    lines += dialect.epilogue(context)
    if caps.line_numbers:
        limit = 99_999 if caps.grammar is None else caps.grammar.line_number_max or 99_999
        numbers = range(caps.line_number_start, limit + 1, caps.line_number_step)
        lines = [f"{words.block}{numbers[k % len(numbers)]} {line}" for k, line in enumerate(lines)]
    lines = [line + summed(line, caps) for line in lines]
    if caps.tape_mark:
        lines = ["%", *lines, "%"]
    return "".join(line + caps.line_end for line in lines).encode("ascii")


def summed(line: str, caps: Capabilities) -> str:
    """The mark and the checksum; nothing after a line that is only a comment, as all that begin with its mark are."""
    rule, marks = caps.checksum, caps.comment
    if rule is None or (marks is not None and re.sub(r"^N\d+ ", "", line).startswith(marks[0])):
        return ""
    total = functools.reduce(operator.xor, line.encode(), 0) if rule.kind == "xor" else sum(line.encode()) % 256
    return f"{rule.mark}{total:02X}" if rule.hexadecimal else f"{rule.mark}{total}"


@st.composite
def grids(draw: st.DrawFn) -> tuple[Grid, Script]:
    """Any columns that quantising could make, and more: values at the limits, repeats, unknown places at the start."""
    count = draw(st.integers(0, 25))
    values = st.one_of(
        st.integers(-12, 12), st.integers(-(10**8) + 1, 10**8 - 1), st.sampled_from((1000, -1000, 10**7))
    )
    motion = np.array(draw(st.lists(st.integers(0, 3), min_size=count, max_size=count)), dtype=np.uint8)
    point = np.array([[draw(values) for _ in range(3)] for _ in range(count)], dtype=np.int64).reshape(count, 3)
    for n in range(1, count):
        same = draw(st.tuples(st.booleans(), st.booleans(), st.booleans()))
        point[n][list(same)] = point[n - 1][list(same)]
    unknown = draw(st.integers(0, 2))
    point[:unknown, :2] = UNKNOWN
    motion[: unknown + 1] = 0
    if draw(st.booleans()):
        drills = np.flatnonzero((motion >= CLOCKWISE) & (np.arange(count) % 2 == 0))
        motion[drills] = draw(st.integers(DRILL, DRILL + 2))
    arc = np.array([[draw(values) for _ in range(2)] for _ in range(count)], dtype=np.int64).reshape(count, 2)
    feed = np.array(
        [draw(st.sampled_from((1, 600, 12_345, 10**7))) if how or draw(st.booleans()) else 0 for how in motion],
        dtype=np.int64,
    )
    restate = np.array([draw(st.booleans()) for _ in range(count)], dtype=bool)
    event_at = np.array(sorted(draw(st.lists(st.integers(0, count), max_size=5))), dtype=np.int64)
    events = tuple(Note(draw(st.text(max_size=20))) for _ in event_at)
    script = Script(events, event_at, (False,) * len(events), "G54")
    return Grid(motion, point, arc, feed, np.arange(count), restate, event_at), script


variants = st.sampled_from(
    (
        BARE,
        replace(BARE, arcs="absolute", decimals={"mm": 0, "inch": 4}, feed_decimals=0),
        replace(BARE, arcs="radius", line_numbers=True),
        replace(BARE, line_end="\r\n", tape_mark=True, line_numbers=True),
        replace(BARE, units="inch", feed_decimals=3, comment=None, significant_digits=8),
        replace(BARE, comment=(";", "")),
        replace(BARE, decimal_point=True, dwell_unit="ms"),
        replace(BARE, modal=False, rapid_feed=True),
        replace(BARE, columns=True, arcs="absolute"),
        replace(BARE, columns=True),
        replace(BARE, fixed_decimals=True, line_numbers=True, line_number_start=10, line_number_step=10),
        replace(BARE, fixed_decimals=True, decimals={"mm": 6, "inch": 6}, feed_decimals=0, decimal_point=True),
        replace(BARE, fixed_decimals=True, decimals={"mm": 0, "inch": 4}, feed_decimals=3, decimal_point=True),
        replace(BARE, modal_feed=False, checksum=Checksum()),
        replace(BARE, modal=False, modal_feed=False, line_numbers=True, checksum=Checksum(hexadecimal=True)),
        replace(BARE, comment=(";", ""), line_end="\r\n", checksum=Checksum(mark="|", kind="sum")),
        replace(BARE, comment=None, line_number_start=99_998, line_numbers=True, checksum=Checksum(kind="sum")),
    )
)


@given(grids(), variants, st.sampled_from((Bare(), Wordy())))
def test_kernel_and_plain_writer_agree_byte_for_byte(
    made: tuple[Grid, Script], capabilities: Capabilities, dialect: Dialect
) -> None:
    grid, script = made
    if dialect.words.opening:
        capabilities = replace(capabilities, line_numbers=False)
    context = Context(title="plate", capabilities=capabilities, words=dialect.words)
    text = emit(grid, script, dialect, context)
    assert text.data == plain_writer(grid, script, dialect, context)
    lines = text.data.decode("ascii").split(capabilities.line_end)
    assert (np.diff(text.line_of) > 0).all()
    for n, line in enumerate(text.line_of):
        assert len(lines[line - 1]) + len(capabilities.line_end) <= text.size[n]


@given(grids(), st.sampled_from((Grbl(), Rs274ngc())))
def test_the_dialects_that_come_along_agree_too(made: tuple[Grid, Script], dialect: Dialect) -> None:
    grid, script = made
    context = Context(title="plate", capabilities=dialect.capabilities, words=dialect.words)
    assert emit(grid, script, dialect, context).data == plain_writer(grid, script, dialect, context)


def test_block_numbers_begin_again_past_the_limit() -> None:
    """99 999 is the highest line number of NIST RS274/NGC (NISTIR 6556)."""
    count = 100_010
    point = np.zeros((count, 3), np.int64)
    point[:, 0] = np.arange(count)
    zeros = np.zeros(count, np.int64)
    grid = Grid(zeros.astype(np.uint8), point, point[:, :2], zeros, zeros, zeros.astype(bool), zeros[:0])
    dialect = Rs274ngc()
    capabilities = replace(dialect.capabilities, line_numbers=True)
    context = Context(title="x" * 300, capabilities=capabilities, words=dialect.words)
    lines = emit(grid, Script((), zeros[:0], (), "G54"), dialect, context).data.decode("ascii").splitlines()
    assert lines[1].startswith("N1 (")
    assert lines[99_999].startswith("N99999 ")
    assert lines[100_000].startswith("N1 ")


def no_rows() -> Grid:
    none = np.zeros(0, np.int64)
    return Grid(none.astype(np.uint8), none.reshape(0, 3), none.reshape(0, 2), none, none, none.astype(bool), none)


@pytest.mark.parametrize("line", ["G0 Z5\nM3", "G0 Z5!", "\x18", "ü", "$H", "", "  ", "~"])
def test_lines_of_a_dialect_are_checked(line: str) -> None:
    class Careless(Grbl):
        name = "careless"

        def epilogue(self, context: Context) -> list[str]:
            return [line]

    grid = no_rows()
    context = Context(title="", capabilities=Grbl.capabilities, words=Grbl.words)
    with pytest.raises(PluginError, match="careless"):
        emit(grid, Script((), np.zeros(0, np.int64), (), "G54"), Careless(), context)


def test_a_block_longer_than_the_controller_reads_is_refused() -> None:
    class Wordy(Grbl):
        def epilogue(self, context: Context) -> list[str]:
            return ["G0 " * 40]

    grid = no_rows()
    context = Context(title="", capabilities=Grbl.capabilities, words=Grbl.words)
    with pytest.raises(CapabilityError, match="79"):
        emit(grid, Script((), np.zeros(0, np.int64), (), "G54"), Wordy(), context)


@given(st.text(), st.sampled_from((("(", ")"), (";", ""))), st.integers(20, 300))
def test_comments_are_harmless(text: str, marks: tuple[str, str], room: int) -> None:
    made = comment(text, marks, room)
    assert len(made) <= room
    assert made.startswith(marks[0] + "pathkit:")
    assert made.endswith(marks[1])
    inside = made[len(marks[0]) : len(made) - len(marks[1])]
    assert not set(inside) & set('()[]{};%!?~$#\\"*<>|&@^`')
    assert inside.isascii()
    assert inside.isprintable()


def test_comments_keep_what_can_be_read() -> None:
    assert comment("Bücherbrett 2 (Ahorn), 18 mm", ("(", ")")) == "(pathkit: Bucherbrett 2 -Ahorn-, 18 mm)"


@given(st.integers(-(10**14), 10**14), st.integers(0, 6))
def test_numbers_are_exact_decimals(count: int, decimals: int) -> None:
    from decimal import Decimal

    text = number(count, decimals)
    assert Decimal(text).scaleb(decimals) == count
    assert "e" not in text.lower()
    assert text != "-0"
    assert "." not in text or not text.endswith("0")
