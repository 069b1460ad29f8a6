"""Faults seeded in files: what a slip of the hand, a broken copy or a wrong setting can do to a posted text.

Each is judged from text, program and job alone (no hash, no certificate) and must be caught by the check named beside
it. `FAULTS` is the table of what catches what; its rows are the ids of the tests.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any, NamedTuple

import pytest

from tests.how_long import usually

Lines = list[str]
BOTH = ("grbl-front-left", "portrait-inch")
GRBL, RS274 = BOTH[:1], BOTH[1:]


class Fault(NamedTuple):
    """What is done to the lines of a file, the check that catches it, and for which machines it is a fault."""

    name: str
    caught_by: str
    seed: Callable[[Lines], Lines | bytes]
    machines: tuple[str, ...] = BOTH


# Finding lines in a file.


def first(lines: Lines, pattern: str, begin: int = 0) -> int:
    """The first line from ``begin`` on that matches."""
    return next(k for k in range(begin, len(lines)) if re.search(pattern, lines[k]))


def section(lines: Lines, toolpath: str) -> tuple[int, int]:
    """The lines of one toolpath: from its comment to the line that ends at travel height."""
    begin = first(lines, rf"^\(pathkit: {toolpath}\)")
    return begin, first(lines, r"^G0 Z(20\.5|0\.8071)$", begin) + 1


def sub(pattern: str, new: str, *, within: str | None = None, every: bool = False) -> Callable[[Lines], Lines]:
    """Change the first line that matches (or every one), in the whole file or in one toolpath."""

    def seed(lines: Lines) -> Lines:
        begin, end = (0, len(lines)) if within is None else section(lines, within)
        rows = [k for k in range(begin, end) if re.search(pattern, lines[k]) and not lines[k].startswith("(")]
        assert rows, f"nothing matches {pattern!r}"
        for k in rows if every else rows[:1]:
            lines[k] = re.sub(pattern, new, lines[k], count=1)
        return lines

    return seed


def drop(pattern: str, *, within: str | None = None, every: bool = False) -> Callable[[Lines], Lines]:
    def seed(lines: Lines) -> Lines:
        begin, end = (0, len(lines)) if within is None else section(lines, within)
        rows = [k for k in range(begin, end) if re.search(pattern, lines[k])]
        gone = set(rows if every else rows[:1])
        assert gone, f"nothing matches {pattern!r}"
        return [line for k, line in enumerate(lines) if k not in gone]

    return seed


def insert(line: str, before: str, *, within: str | None = None) -> Callable[[Lines], Lines]:
    def seed(lines: Lines) -> Lines:
        begin = 0 if within is None else section(lines, within)[0]
        k = first(lines, before, begin)
        return [*lines[:k], line, *lines[k:]]

    return seed


def repeat(pattern: str, *, within: str | None = None) -> Callable[[Lines], Lines]:
    def seed(lines: Lines) -> Lines:
        k = first(lines, pattern, 0 if within is None else section(lines, within)[0])
        return [*lines[: k + 1], *lines[k:]]

    return seed


def on_numbers(letters: str, change: Callable[[str, float], str]) -> Callable[[str], str]:
    return lambda line: re.sub(
        rf"([{letters}])(-?[\d.]+)", lambda m: f"{m[1]}{change(m[1], float(m[2]))}", line
    )  # fmt: skip


def everywhere(change: Callable[[str], str], *, within: str | None = None) -> Callable[[Lines], Lines]:
    """Every line that is not a comment, in the whole file or in one toolpath."""

    def seed(lines: Lines) -> Lines:
        begin, end = (0, len(lines)) if within is None else section(lines, within)
        return [change(line) if begin <= k < end and not line.startswith("(") else line for k, line in enumerate(lines)]

    return seed


def plain(value: float) -> str:
    return f"{value:.4f}".rstrip("0").rstrip(".")


# Faults that need more than one such step.


def tenfold(line: str) -> str:
    return on_numbers("X", lambda _, value: plain(10.0 * value))(line)


def swapped_axes(lines: Lines) -> Lines:
    return everywhere(lambda line: line.translate(str.maketrans("XYIJ", "YXJI")))(lines)


def swapped_sense(line: str) -> str:
    return re.sub(r"\bG([23])\b", lambda m: f"G{5 - int(m[1])}", line)


def mirrored(line: str) -> str:
    return swapped_sense(on_numbers("XI", lambda _, value: plain(-value))(line))


def mirrored_in_place(lines: Lines) -> Lines:
    """One plate's recess is mirrored about its own middle: it looks the same, but is run the other way."""
    begin, end = section(lines, "plate 02 recess wall")
    values = [float(v) for line in lines[begin:end] for v in re.findall(r"X(-?[\d.]+)", line)]
    middle = min(values) + max(values)

    def turn(line: str) -> str:
        line = on_numbers("X", lambda _, value: plain(middle - value))(line)
        return swapped_sense(on_numbers("I", lambda _, value: plain(-value))(line))

    return everywhere(turn, within="plate 02 recess wall")(lines)


def shifted_part(lines: Lines) -> Lines:
    """A whole hole a millimetre to the side (the same in inches)."""
    step = 1.0 if "G21" in lines else 0.0394
    begin, end = section(lines, "plate 02 hole 2")
    lines[begin:end] = [on_numbers("X", lambda _, v: plain(v + step))(line) for line in lines[begin:end]]
    return lines


def exchanged(lines: Lines) -> Lines:
    """A slot is cut before the recess that should come first."""
    a, b = section(lines, "plate 01 recess wall"), section(lines, "plate 01 slot")
    return [*lines[: a[0]], *lines[b[0] : b[1]], *lines[a[1] : b[0]], *lines[a[0] : a[1]], *lines[b[1] :]]


def outline_first(lines: Lines) -> Lines:
    """An outline is cut before its plate's recess, with the same bit: the part may come loose before it is finished."""
    a, b = section(lines, "plate 01 recess rows"), section(lines, "plate 01 outline")
    return [*lines[: a[0]], *lines[b[0] : b[1]], *lines[a[0] : b[0]], *lines[b[1] :]]


def without_section(lines: Lines) -> Lines:
    begin, end = section(lines, "plate 02 hole 3")
    return lines[:begin] + lines[end:]


def twice(lines: Lines) -> Lines:
    begin, end = section(lines, "plate 01 slot")
    return lines[:end] + lines[begin:]


def tab_removed(lines: Lines) -> Lines:
    """Drop the ways up at the tabs of the last lap: whatever rises within an outline at full depth."""
    begin, end = section(lines, "plate 01 outline")
    heights: list[int] = [k for k in range(begin, end) if re.fullmatch(r"Z[\d.]+( F[\d.]+)?", lines[k])]
    ups = [k for k in heights[1:] if re.fullmatch(r"Z(6|0\.2362)", lines[k])]
    assert len(ups) >= 2
    return [line for k, line in enumerate(lines) if k not in ups]


def lower_travel(lines: Lines) -> Lines:
    """Every travel move is just over the nominal board, as if no board were thicker."""
    height = "Z12.2" if "G21" in lines else "Z0.4803"
    return [re.sub(r"^G0 Z(20\.5|0\.8071)$", f"G0 {height}", line) for line in lines]


def xy_before_z(lines: Lines) -> Lines:
    k = first(lines, r"^G0 Z")
    return [*lines[:k], "G0 X1 Y1", *lines[k:]]


def swallowed(lines: Lines) -> Lines:
    """A comment has lost its closing mark, and swallows the move behind it."""
    k = first(lines, r"^\(pathkit: plate 01 slot\)")
    return [*lines[:k], lines[k].rstrip(")") + " " + lines[k + 1], *lines[k + 2 :]]


def commented(lines: Lines) -> Lines:
    k = first(lines, r"^G1", section(lines, "plate 01 slot")[0])
    lines[k] = f"({lines[k]})"
    return lines


def uncommented(lines: Lines) -> Lines:
    """A comment has lost its marks: its words become commands."""
    k = first(lines, r"^\(pathkit: bit")
    lines[k] = lines[k].strip("()")
    return lines


def two_exchanged(lines: Lines) -> Lines:
    k = first(lines, r"^G1 Y?X?[\d.]+$|^[XY][\d.]+$", section(lines, "plate 01 recess rows")[0] + 12)
    lines[k], lines[k + 1] = lines[k + 1], lines[k]
    return lines


def circle_off(lines: Lines) -> Lines:
    """The centre of a full circle is off by a tenth of its radius; start and end still agree with it."""
    k = first(lines, r"^X\S+ Y\S+ I")
    lines[k] = on_numbers("I", lambda _, value: plain(value * 1.1))(lines[k])
    return lines


def truncated(lines: Lines) -> Lines:
    return [*lines[: len(lines) // 2], ""]


def raw(pattern: str, old: bytes, new: bytes) -> Callable[[Lines], bytes]:
    def seed(lines: Lines) -> bytes:
        k = first(lines, pattern)
        data = [line.encode("ascii") for line in lines]
        data[k] = data[k].replace(old, new, 1)
        return b"\n".join(data)

    return seed


TRAVEL = r"^G0 Z(20\.5|0\.8071)$"
FULL = r"Z(2\.7|0\.1063)"
WALL, SLOT, RASTER, OUTLINE = "plate 01 recess wall", "plate 01 slot", "plate 01 recess rows", "plate 01 outline"

FAULTS = (
    # numbers
    Fault("a digit of X flipped", "same path", sub(r"(X\d)\d?", r"\g<1>9", within=WALL)),
    Fault("a digit of Y flipped", "same path", sub(r"(Y\d*\.\d*)\d\b", r"\g<1>9", within=RASTER)),
    Fault("a digit of the depth flipped", "same path", sub(FULL, "Z3.7", within="plate 02 hole 1"), GRBL),
    Fault("the last decimal flipped", "same path", sub(r"Z0\.1063", "Z0.1062", within="plate 02 hole 1"), RS274),
    Fault("the decimal point lost", "same path", sub(r"(Y\d+)\.(\d+)", r"\1\2", within=SLOT), RS274),
    Fault("the decimal point moved", "travel limits", everywhere(tenfold, within=WALL), GRBL),
    Fault("a sign lost", "same path", sub(r"I-", "I", within=WALL), GRBL),
    Fault("a sign too many", "same path", sub(r"Z(\d)", r"Z-\1", within="plate 02 hole 4")),
    Fault("a cut below the bed", "above the bed", sub(FULL, "Z-0.4", within=SLOT)),
    Fault("a comma for the point", "controller", sub(r"X(\d+)\.(\d)", r"X\1,\2", within=RASTER)),
    Fault("the letter O for nought", "controller", sub(r"Y(\d+)", r"YO", within=RASTER)),
    Fault("an exponent", "controller", sub(r"X([\d.]+)", r"X\1e1", within=RASTER)),
    Fault("a word twice in a block", "controller", sub(r"X([\d.]+)", r"X\1 X\1", within=RASTER)),
    # arcs
    Fault("clockwise for counter-clockwise", "same path", sub(r"G3", "G2", within=OUTLINE), RS274),
    Fault("counter-clockwise for clockwise", "same path", sub(r"G2", "G3", within=OUTLINE), GRBL),
    Fault("every arc the other way round", "same path", everywhere(swapped_sense)),
    Fault("a full circle's centre shifted", "same path", circle_off),
    Fault("an arc's centre shifted", "controller", sub(r"(I-?\d+)(\.\d)?", r"I5", within=OUTLINE)),
    Fault("an arc made a line", "controller", sub(r"G[23]\b", "G1", within=OUTLINE)),
    Fault("an arc without its centre", "controller", sub(r" I\S+ J\S+", "", within=OUTLINE)),
    # lines
    Fault("a line dropped", "same path", drop(r"^[XY][\d.]+$", within=RASTER)),
    Fault("a full circle repeated", "same path", repeat(r"^X\S+ Y\S+ I")),
    Fault("two lines exchanged", "same path", two_exchanged),
    Fault("a hole missing", "same path", without_section),
    Fault("a toolpath twice", "same path", twice),
    Fault("two toolpaths exchanged", "same path", exchanged),
    Fault("an outline before its recess", "same path", outline_first),
    Fault("a copy that broke off", "end state", truncated),
    Fault("a move in a comment", "same path", commented),
    Fault("a comment that swallows a move", "same path", swallowed, GRBL),
    Fault("a comment that never closes", "controller", swallowed, RS274),
    Fault("a comment turned into commands", "controller", uncommented),
    # places as a whole
    Fault("X and Y swapped", "same path", swapped_axes),
    Fault("the whole file mirrored", "same path", everywhere(mirrored)),
    Fault("one recess mirrored in its place", "same path", mirrored_in_place),
    Fault("a hole shifted", "same path", shifted_part),
    # heights
    Fault("rapid for feed in the wood", "rapids clear the wood", sub(r"^G1 (Z\S+) F\S+", r"G0 \1", within=SLOT)),
    Fault("feed for rapid", "same path", sub(r"^G0 (X|Y)", r"G1 \1", within=SLOT)),
    Fault("a retract dropped", "rapids clear the wood", drop(TRAVEL, within=OUTLINE)),
    Fault("the approach dropped", "same path", drop(r"^Z(13\.5|0\.5315)$", within=SLOT)),
    Fault("every travel height lowered", "first motion", lower_travel),
    Fault("a travel move through the board", "rapids clear the wood", sub(TRAVEL, "G0 Z0.3", within=SLOT)),
    Fault("the first motion dropped", "first motion", drop(TRAVEL)),
    Fault("sideways before up", "first motion", xy_before_z),
    Fault("the tabs cut away", "tabs", tab_removed),
    # feeds
    Fault("a feed doubled", "feeds", sub(r"F(500|19\.685)\b", "F1000", within=SLOT)),
    Fault("the feed of a drill in a slot", "feeds", sub(r" F(1920|75\.591)", "", within=SLOT)),
    Fault("no feed at all", "controller", everywhere(lambda line: re.sub(r" F\S+", "", line))),
    Fault("a feed of nought", "controller", sub(r"F\S+", "F0", within=RASTER)),
    Fault("a negative feed", "controller", sub(r"F(\S+)", r"F-\1", within=RASTER)),
    # spindle
    Fault("no spindle start", "spindle", drop(r"^S16000 M3$")),
    Fault("no spindle start after a bit", "spindle", lambda lines: drop(r"^S16000 M3$")(lines[::-1])[::-1]),
    Fault("the spindle the other way round", "spindle", sub(r"M3\b", "M4")),
    Fault("the spindle at half its speed", "spindle", sub(r"S16000", "S8000")),
    Fault("the spindle beyond its speed", "spindle", sub(r"S16000", "S30000")),
    Fault("a spindle without a speed", "spindle", sub(r"S16000 ", "")),
    Fault("the spindle stopped in the cut", "spindle", insert("M5", r"^X", within=RASTER)),
    Fault("the wait for the spindle removed", "events", drop(r"^G4 P")),
    Fault("the wait for the spindle shortened", "events", sub(r"^G4 P\d", "G4 P0.5")),
    Fault("a wait in milliseconds", "events", sub(r"^(G4 P\d)", r"\g<1>000")),
    Fault("a wait twice", "events", repeat(r"^G4 P")),
    Fault("the spindle on all the way home", "same path", drop(r"^M5", every=True)),
    # bits and pauses
    Fault("a pause with the spindle on", "events", insert("M0", r"^G0", within=SLOT)),
    Fault("the bit changed with the spindle on", "spindle", drop(r"^M5$")),
    Fault("the pause for the bit removed", "events", drop(r"^M0$"), GRBL),
    Fault("the word that changes the bit removed", "tool changes", sub(r"^T2 M6$", "T2"), RS274),
    Fault("another bit", "tool changes", sub(r"^T2\b", "T3"), RS274),
    Fault("coolant on wood", "events", insert("M8", r"^G0", within=SLOT)),
    # modes
    Fault("inches for millimetres", "same path", sub(r"^G21$", "G20"), GRBL),
    Fault("millimetres for inches", "same path", sub(r"^G20$", "G21"), RS274),
    Fault("no units", "unknown state", drop(r"^G2[01]$")),
    Fault("units switched half-way", "same path", insert("G20", r"^G0", within=SLOT), GRBL),
    Fault("increments from the start", "same path", sub(r"G90\b", "G91")),
    Fault("increments slipped in", "same path", insert("G91", r"^G1", within=SLOT)),
    Fault("absolute or not left open", "unknown state", sub(r" G90\b", "")),
    Fault("another plane", "controller", sub(r"G17", "G18")),
    Fault("the plane left open", "unknown state", sub(r"G17 ", "")),
    Fault("another work offset", "events", sub(r"G54", "G55")),
    Fault("the work offset left open", "unknown state", sub(r" G54", "")),
    Fault("inverse time feed", "controller", sub(r"G94", "G93")),
    Fault("the place set again", "same path", insert("G92 X0 Y0", r"^G0", within=SLOT)),
    Fault("the work offset moved", "same path", insert("G10 L2 P1 X5 Y5 Z0", r"^G0", within=SLOT)),
    Fault("a length offset", "same path", insert("G43.1 Z5", r"^G0", within=SLOT), GRBL),
    Fault("a way home through the board", "same path", insert("G28 Z1", r"^X", within=SLOT)),
    Fault("a move in machine coordinates", "same path", insert("G53 G0 X0 Y0", r"^G0", within=SLOT)),
    Fault("overrides locked", "path mode", sub(r"M48", "M49"), RS274),
    Fault("corners rounded", "path mode", sub(r"G61", "G64"), RS274),
    Fault("corners rounded from here on", "path mode", insert("G64", r"^G0", within=SLOT), RS274),
    Fault("the exact path not asked for", "path mode", sub(r" G61", ""), RS274),
    Fault("a length offset from a table", "unknown state", sub(r"G49", "G43 H1"), RS274),
    Fault("cutter compensation", "controller", sub(r"G40", "G41")),
    # ends and bytes
    Fault("the end word removed", "end state", drop(r"^M2$")),
    Fault("moves after the end", "end state", lambda lines: [*lines, "G0 X0 Y0 Z0", ""], GRBL),
    Fault("a percent sign half-way", "controller", insert("%", r"^G0", within=SLOT), GRBL),
    Fault("a percent sign that ends the file", "end state", insert("%", r"^G0", within=SLOT), RS274),
    Fault("a feed hold in a comment", "controller", raw(r"plate 01 slot", b"slot", b"slot!"), GRBL),
    Fault("a status query in a comment", "controller", raw(r"plate 01 slot", b"slot", b"slot?"), GRBL),
    Fault("a cycle start in a comment", "controller", raw(r"plate 01 slot", b"slot", b"slot~"), GRBL),
    Fault("a reset byte", "controller", raw(r"plate 01 slot", b"slot", b"sl\x18ot"), GRBL),
    Fault("a byte that opens the safety door", "controller", raw(r"plate 01 slot", b"slot", b"sl\x84ot"), GRBL),
    Fault("a nul byte", "controller", raw(r"^G1 Z", b"G1", b"G\x001"), RS274),
    Fault("a setting of the controller", "controller", insert("$130=10", r"^G0", within=SLOT)),
    Fault("a line beyond the controller's buffer", "controller", sub(r"^(G0 .*)", r"\1" + "0" * 300, within=SLOT)),
    Fault("an unknown word", "controller", sub(r"^(G0 .*)", r"\1 W5", within=SLOT)),
)  # fmt: skip
"""Each fault, and what catches it."""

ROWS = usually(
    ((fault, fault.machines[k % len(fault.machines)]) for k, fault in enumerate(FAULTS)),
    of=((fault, machine) for fault in FAULTS for machine in fault.machines),
)
"""By default each fault on one of the machines that may have it, by turns."""


def bytes_of(seeded: Lines | bytes) -> bytes:
    return seeded if isinstance(seeded, bytes) else "\n".join(seeded).encode("latin-1")


@pytest.mark.parametrize(
    ("fault", "machine"), ROWS, ids=[f"{fault.name} -> {fault.caught_by} [{machine}]" for fault, machine in ROWS]
)
def test_a_fault_in_a_file_is_caught_by_the_check_that_is_named(fault: Fault, machine: str, cases: Any) -> None:
    case = cases[machine]
    data = bytes_of(fault.seed(list(case.lines)))
    assert data != case.posted.files[0].data, "nothing was seeded"
    failed = case.failed(data)
    assert fault.caught_by in failed, failed


def test_a_file_without_fault_raises_nothing(case: Any) -> None:
    import pathkit as pk

    proof = pk.verify(case.posted.files[0].data, case.program, case.machine, job=case.job, setup=case.posted.setup)
    assert proof.findings == ()
    assert {check.status for check in proof.checks} == {"passed"}


def test_the_table_is_large_and_names_checks_that_there_are(case: Any) -> None:
    from pathkit.proof.verify import CHECKS

    assert len({fault.name for fault in FAULTS}) == len(FAULTS) >= 45
    assert {fault.caught_by for fault in FAULTS} <= {check.name for check in CHECKS}
    for machine in BOTH:
        assert sum(machine in fault.machines for fault in FAULTS) >= 45
