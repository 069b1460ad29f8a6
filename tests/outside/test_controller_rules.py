"""Published rules of three controllers, one by one: what each takes, what it refuses, and what is written for it.

Sources. GRBL: the interface documents, settings and source of GRBL 1.1h; its answers were reproduced with its own code
on a host. NIST: T. Kramer, F. Proctor, E. Messina, The NIST RS274/NGC Interpreter, Version 3, NISTIR 6556, 2000, and
the reference interpreter's behaviour. REPRAP: the community's open definitions of G-code, partly from memory. ISO
841:2001 for the sense of axes (from memory).
"""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache
from typing import NamedTuple

import numpy as np
import pytest

import pathkit as pk
from pathkit.machine.profile import Sideways, Upright
from pathkit.operations import contour, drill, rectangle
from pathkit.readback import interpret, verdict
from pathkit.registry import capabilities_of, find_dialect

GRBL, NIST, REPRAP = "grbl", "rs274ngc", "reprap"
HEAD = {
    GRBL: "G21 G90 G94 G17 G54\nG0 Z5\nX0 Y0\n",
    NIST: "G21\nG90 G94 G17 G54 G98\nG0 Z5\nX0 Y0\n",
    REPRAP: "G21\nG90\nG92 X0 Y0 Z0\nG0 Z5\nG0 X0 Y0\n",
}


class Blocks(NamedTuple):
    """What a controller that was just switched on answers to blocks: ``ok``, its error, or ``refused``."""

    controller: str
    says: str
    answer: str
    blocks: tuple[str, ...]


def blocks(controller: str, says: str, answer: str, *each: str) -> Blocks:
    return Blocks(controller, says, answer, each)


def several(text: str) -> list[str]:
    """Blocks that hold no blanks, separated by blanks."""
    return text.split()


ANSWERS: tuple[Blocks, ...] = (
    # GRBL 1.1h, interface: supported codes.
    blocks(GRBL, "motions", "ok", "G0X1", "G1X1F9", "G2X0I1F9", "G3X0I1F9", "G38.2Z-1F9", "G38.3Z-1F9", "G38.4Z-1F9",
           "G38.5Z-1F9", "G80"),
    blocks(GRBL, "non-modal codes", "ok", "G4P1", "G10L2P1X0", "G10L20P1X0", "G28", "G28.1", "G30", "G30.1",
           "G53G0X0", "G92X0", "G92.1"),
    blocks(GRBL, "modes", "ok",
           *several("G17 G18 G19 G20 G21 G40 G49 G43.1Z1 G54 G55 G56 G57 G58 G59 G61 G90 G91 G91.1 G93 G94")),
    blocks(GRBL, "program, spindle, coolant", "ok", *several("M0 M1 M2 M30 M3 M4 M5 M8 M9")),
    blocks(GRBL, "letters", "ok", "N1", "S100", "F100", "T255"),
    blocks(GRBL, "no cutter compensation, tool lengths from a table, path modes, cycles, absolute centres", "error:20",
           *several("G41 G42 G43H1 G64 G81 G82 G83 G84 G85 G86 G87 G88 G89 G95 M6 M48 M60")),
    blocks(GRBL, "no fractions it does not know", "error:20", "G61.1", "G90.1", "G92.2"),
    blocks(GRBL, "mist is a build option", "error:20", "M7"),
    blocks(GRBL, "M8 and M9 in one block", "error:21", "M8M9"),
    blocks(GRBL, "no other letters", "error:20", *(f"{letter}1" for letter in "ABCDEHQUVWO")),
    blocks(GRBL, "no tape mark, no parameters", "error:1", "%", "#1=5"),
    blocks(GRBL, "error 1: a letter is expected", "error:1", "1", "G0X1)"),
    blocks(GRBL, "error 2: bad number", "error:2", "G0X", "G0X[1]", "G0X--1"),
    blocks(GRBL, "error 3: an unknown system command", "error:3", "$Q=1"),
    blocks(GRBL, "error 4: negative F, N, P, S, T", "error:4", "G1X1F-1", "N-1", "G4P-1", "S-1", "T-1"),
    blocks(GRBL, "error 11: more than 79 characters", "error:11", "G1X" + "1" * 75 + "F1"),
    blocks(GRBL, "79 characters are read, blanks and comments not counted", "ok", "G1X" + "1" * 74 + "F1",
           "G0X1" + " " * 90, "(" + "c" * 200 + ")G0X1"),
    blocks(GRBL, "error 21: one modal group twice", "error:21", "G90G91", "G20G21", "M3M5"),
    blocks(GRBL, "error 22: no feed", "error:22", "G1X1", "G1X1F0", "G2X0I1"),
    blocks(GRBL, "error 23: an integer is needed", "error:23", "G1.1X1F9", "M3.1"),
    blocks(GRBL, "error 24: two codes claim the axes", "error:24", "G0G28X1", "G92G1X1F9"),
    blocks(GRBL, "error 25: a word repeated", "error:25", "G0X1X2", "F1F2"),
    blocks(GRBL, "error 26: axis words needed", "error:26", "G10L2P1", "G92", "G2I5F100"),
    blocks(GRBL, "error 27: line number too large", "error:27", "N10000001G0X1"),
    blocks(GRBL, "error 28: a value is missing", "error:28", "G4", "G10X1"),
    blocks(GRBL, "error 29: no such work offset", "error:29", "G10L2P7X1"),
    blocks(GRBL, "error 30: G53 goes with G0 and G1", "error:30", "G53G2X0I1F9"),
    blocks(GRBL, "error 31: axis words under G80", "error:31", "G80X1"),
    blocks(GRBL, "error 32: an arc without an axis of its plane", "error:32", "G2Z1I1F9"),
    blocks(GRBL, "error 33: the end is not on the circle, or R with start and end alike", "error:33", "G2X10I3F9",
           "G2X0Y0R5F9"),
    blocks(GRBL, "error 34: R too small", "error:34", "G2X10R4F9"),
    blocks(GRBL, "error 35: no centre in the plane", "error:35", "G2X10F9"),
    blocks(GRBL, "error 36: words are left over", "error:36", "G0X1I1", "G1X1P1F9"),
    blocks(GRBL, "error 37: G43.1 takes Z", "error:37", "G43.1X1"),
    blocks(GRBL, "error 38: tool number", "error:38", "T256"),
    blocks(GRBL, "a slash is dropped and the block runs; comments may stay open", "ok", "/G0X1", "G0X1(open", "G0X1;x"),
    blocks(GRBL, "radii may differ by 0.005 mm", "ok", "G2X10I4.9975F9", "G2X10I5.0025F9"),
    blocks(GRBL, "or by 0.1 % of the radius", "ok", "G2X1000I499.8F9"),
    blocks(GRBL, "but not by more than 0.5 mm", "error:33", "G2X4000I1999.7F9"),
    # NIST RS274/NGC version 3: tables 4 to 6 and chapter 3.
    blocks(NIST, "group 0 and the offsets", "ok", "G4P1", "G10L2P1X0", "G28", "G30", "G53G0X0", "G92X0", "G92.1",
           "G92.2", "G92.3"),
    blocks(NIST, "modes of every group", "ok",
           *several("G17 G18 G19 G20 G21 G40 G49 G54 G59 G59.1 G59.2 G59.3 G61 G61.1 G64"
           " G80 G90 G91 G93 G94 G98 G99")),
    blocks(NIST, "M codes", "ok", *several("M0 M1 M2 M30 M60 T1M6 M3 M4 M5 M7 M8 M9 M48 M49")),
    blocks(NIST, "what is younger is not there", "refused", "G91.1", "G90.1", "G43.1Z1", "G2X0I1P2F9"),
    blocks(NIST, "one word of a modal group in a block", "refused", "G90G91", "G20G21", "M3M4", "G0G1X1F9"),
    blocks(NIST, "at most four M words", "refused", "M3M8M48M0T1M6"),
    blocks(NIST, "four are taken", "ok", "M3M8M48M0"),
    blocks(NIST, "a semicolon is no comment", "refused", "G0X1;x"),
    blocks(NIST, "comments are closed and not nested", "refused", "G0X1(open", "G0X1((in)side)"),
    blocks(NIST, "256 characters a line", "refused", "G0X1" + " " * 254),
    blocks(NIST, "line numbers up to 99999", "refused", "N100000G0X1"),
    blocks(NIST, "no exponent", "refused", "G0X1E2"),
    blocks(NIST, "an arc needs an axis word, even a full circle", "refused", "G2I5F100"),
    blocks(NIST, "radii within 0.002 mm: 0.0019 is accepted", "ok", "G2X10I4.99905F9"),
    blocks(NIST, "radii within 0.002 mm: 0.003 is refused", "refused", "G2X10I4.9985F9"),
    blocks(NIST, "lower case and blanks are nothing", "ok", "g0 x 1 y2"),
    blocks(NIST, "words are not repeated", "refused", "G0X1X1"),
    blocks(NIST, "a cycle needs its words", "refused", "G81X1Z-1F9", "G82X1Z-1R1F9", "G83X1Z-1R1F9"),
    # RepRap: what is left out because builds disagree, or because it is dangerous.
    blocks(REPRAP, "moves, waits, modes", "ok", "G0X1F9", "G1X1F9", "G4P100", "G4S1", "G90", "G91", "G92X0", "M400"),
    blocks(REPRAP, "spindle, coolant, pause", "ok", "M3S100", "M4S100", "M5", "M7", "M8", "M9", "M0"),
    blocks(REPRAP, "comments by semicolon", "ok", "G0X1F9;x"),
    blocks(REPRAP, "G28 homes: never in a file", "refused", "G28"),
    blocks(REPRAP, "M30 deletes a file on some builds", "refused", "M30", "M2"),
    blocks(REPRAP, "G10 and G11 mean something else", "refused", "G10", "G11"),
    blocks(REPRAP, "work offsets are often missing", "refused", *several("G53 G54 G55 G56 G57 G58 G59")),
    blocks(REPRAP, "T changes an extruder", "refused", "T1"),
)  # fmt: skip


@pytest.mark.parametrize("rule", ANSWERS, ids=lambda rule: f"{rule.controller}: {rule.says[:60]}")
def test_what_a_controller_answers(rule: Blocks) -> None:
    capabilities = find_dialect(rule.controller).capabilities
    for block in rule.blocks:
        text = block
        if rule.controller == NIST and rule.answer == "ok" and not re.search(r"M(2|30)$", block):
            text = f"{block}\nM2"  # without an end the file itself would be refused
        said = verdict(text, capabilities)
        assert said == rule.answer or (rule.answer == "refused" and said != "ok"), f"{block}: {said}"


class Meaning(NamedTuple):
    """What blocks mean: x, y, z of the last move (mm), its feed (mm/min), or the seconds of a dwell."""

    controller: str
    says: str
    text: str
    end: tuple[float, float, float] | None = None
    feed: float | None = None
    sweep: float | None = None
    seconds: float | None = None


MEANINGS: tuple[Meaning, ...] = (
    Meaning(GRBL, "only eight digits count, leading zeros included", "G0X00001.2345678", (1.234, 0, 5)),
    Meaning(GRBL, "a number of ten digits is cut as well", "G0X0000000012", (0, 0, 5)),
    Meaning(GRBL, "CR and LF each end a line", "G0X1\rX2\r\nX3", (3, 0, 5)),
    Meaning(GRBL, "G4 P in seconds", "G4P1.5\nG0X1", (1, 0, 5), seconds=1.5),
    Meaning(GRBL, "an arc whose end is its start is a full circle", "G2X0Y0I5F9", (0, 0, 5), sweep=-2 * np.pi),
    Meaning(GRBL, "M1 is ignored", "M1\nG0X1", (1, 0, 5)),
    Meaning(GRBL, "M2 leaves units, sets G1 and G90", "G91\nM2\nX7F9", (7, 0, 5), feed=9.0),
    Meaning(NIST, "F acts before G20", "F10 G20\nG1 X1", (25.4, 0, 5), feed=10.0),
    Meaning(NIST, "units in a block of their own", "G20\nG1 X1 F10", (25.4, 0, 5), feed=254.0),
    Meaning(NIST, "G4 P in seconds", "G4 P0.5\nG0 X1", (1, 0, 5), seconds=0.5),
    Meaning(NIST, "a full circle repeats an axis word", "G3 X0 I5 F9", (0, 0, 5), sweep=2 * np.pi),
    Meaning(NIST, "G81 goes back to where it began under G98", "G98 G81 X1 Z-1 R1 F9", (1, 0, 5)),
    Meaning(NIST, "and to R under G99", "G99 G81 X1 Z-1 R1 F9", (1, 0, 1)),
    Meaning(REPRAP, "G4 P in milliseconds", "G4 P1500\nG0 X1", (1, 0, 5), seconds=1.5),
    Meaning(REPRAP, "G4 S in seconds", "G4 S2\nG0 X1", (1, 0, 5), seconds=2.0),
    Meaning(REPRAP, "F of a rapid is in force for the cut after it", "G0 X1 F900\nG1 X2", (2, 0, 5), feed=900.0),
)


@pytest.mark.parametrize("rule", MEANINGS, ids=lambda rule: f"{rule.controller}: {rule.says}")
def test_what_blocks_mean(rule: Meaning) -> None:
    capabilities = find_dialect(rule.controller).capabilities
    read = interpret(HEAD[rule.controller] + rule.text + "\n", capabilities, start=(0.0, 0.0, 0.0)).program
    if rule.end is not None:
        assert read.end[-1].tolist() == pytest.approx(rule.end)
    if rule.feed is not None:
        assert read.feed[-1] == pytest.approx(rule.feed)
    if rule.sweep is not None:
        assert read.sweep[-1] == pytest.approx(rule.sweep)
    if rule.seconds is not None:
        assert [event.seconds for event in read.event if isinstance(event, pk.Dwell)] == pytest.approx([rule.seconds])


# --- what is written ----------------------------------------------------------------------------------------------


class Written(NamedTuple):
    """A pattern that every file has (``there``), or that none has; comments are left out unless ``whole``."""

    controller: str
    says: str
    pattern: str
    there: bool = False
    whole: bool = False


WRITTEN: tuple[Written, ...] = (
    Written(GRBL, "ASCII from blank to tilde, and LF: real-time bytes act even in comments", r"[^\n\x20-\x7d]|[!?~]",
            whole=True),
    Written(GRBL, "no line begins with a dollar sign", r"^\$", whole=True),
    Written(GRBL, "at most 79 characters", r"^.{80,}$", whole=True),
    Written(GRBL, "no number of more than eight digits", r"(?:\d\.?){9}"),
    Written(GRBL, "G93 with arcs is wrong in 1.1h: never", r"G93"),
    Written(GRBL, "nothing that it refuses", r"G4[123]\b|G64|G61\.1|G8[1-9]|G90\.1|G92\.2|G95|M6\b|M48|M60|%|M7\b"),
    Written(GRBL, "an arc has an axis word", r"^(?:G[23] )?(?=[^XY\n]*[IJ])[^XY\n]*$"),
    Written(GRBL, "M5 before a pause: M0 leaves the spindle on", r"M3\n(?:(?!M5)[^\n]*\n)*M0"),
    Written(GRBL, "M3 does not wait: a dwell follows", r"S\d+ M3\nG4 P\d", there=True),
    Written(GRBL, "first the units, by themselves", r"\AG21\n", there=True),
    Written(NIST, "begins and ends with %", r"\A%\n(?:.|\n)*\n%\n\Z", there=True, whole=True),
    Written(NIST, "at most 255 characters", r"^.{256,}$", whole=True),
    Written(NIST, "no semicolon, no brackets, no parameters", r"[;\[\]#]", whole=True),
    Written(NIST, "(MSG, is active: no comment begins so", r"\((?!pathkit)", whole=True),
    Written(NIST, "nothing that is younger", r"G91\.1|G90\.1|G43\.1"),
    Written(NIST, "units in a block of their own", r"^G21$", there=True),
    Written(NIST, "the path is exact", r"G61\b", there=True),
    Written(NIST, "overrides stay in the operator's hand", r"M49"),
    Written(NIST, "the end is M2", r"^M2$", there=True),
    Written(NIST, "no number with an exponent", r"\d[eE]"),
    Written(REPRAP, "never M30, M2 or G28", r"M30|M0*2\b|G28"),
    Written(REPRAP, "no work offsets", r"G5[3-9]|G10"),
    Written(REPRAP, "G on every line of motion", r"^[XYZIJF]"),
    Written(REPRAP, "the zero by G92", r"^G92 X0 Y0 Z0$", there=True),
    Written(REPRAP, "F on the first rapid", r"^G0 Z[\d.]+ F\d", there=True),
    Written(REPRAP, "dwells in milliseconds", r"^G4 P3000$", there=True),
    Written(REPRAP, "M400 before the spindle", r"^M400\nM3 S\d+$", there=True),
    Written(REPRAP, "no spindle without it", r"^(?!M400)[^\n]*\n(?:M3|M5|G4)\b"),
    Written(REPRAP, "ends with M5 and M400", r"M5\nM9\nM400\n\Z", there=True),
    Written(REPRAP, "comments by semicolon only", r"[()]", whole=True),
)  # fmt: skip


@cache
def file_for(controller: str) -> str:
    """Pockets, holes, arcs and a change of bit, under a name that tries to be a command."""
    pauses = {"tool_change": "pause"} if controller == GRBL else {}
    machine = replace(pk.load_machine("grbl-front-left"), dialect=controller, output=pauses)
    small = pk.Tool("3 mm; M3 (drill", 3.0, number=1, kind="drill")
    wide = pk.Tool("6 mm\nG0 Z-9", 6.0, number=2, centre_cutting=True)
    feeds, stock = (
        pk.Cutting(feed=1200.0, plunge=400.0, spindle=16000.0),
        pk.Stock(160, 100, 6, z_zero="bed", underlay=2),
    )
    low = stock.underside - 0.3
    toolpaths = (
        *drill("(MSG,hole", [(45, 50), (60, 50)], small, feeds, bottom=low, peck=2.5),
        *contour("outline", rectangle((30, 25), 100, 50, radius=6), wide, feeds, bottom=low, stepdown=3),
    )
    job = pk.Job("plates ~ $H % (MSG,x\n!M30?", stock, toolpaths)
    program = pk.lower(pk.RampEntries(angle=3)(job, machine).job, machine)
    posted = pk.post(program, machine)
    assert not interpret(posted.text, capabilities_of(machine)).findings
    return posted.text


@pytest.mark.parametrize("rule", WRITTEN, ids=lambda rule: f"{rule.controller}: {rule.says}")
def test_what_is_written(rule: Written) -> None:
    text = file_for(rule.controller)
    if not rule.whole:
        text = re.sub(r"\([^)\n]*\)|;[^\n]*", "", text)
        text = "".join(f"{line}\n" for line in text.split("\n") if line.strip())
    found = re.search(rule.pattern, text, re.M)
    assert bool(found) is rule.there, f"{rule.says}: {found and found[0]!r}"


# --- ISO 841: an axis' sign is the way the tool goes relative to the work ------------------------------------------

WAYS: dict[Sideways, tuple[int, int]] = {"right": (1, 0), "left": (-1, 0), "away": (0, 1), "toward": (0, -1)}


@pytest.mark.parametrize("x", WAYS)
@pytest.mark.parametrize("y", WAYS)
@pytest.mark.parametrize("z", ["up", "down"])
def test_a_number_grows_the_way_the_tool_goes_over_the_work(x: Sideways, y: Sideways, z: Upright) -> None:
    if abs(WAYS[x][0]) == abs(WAYS[y][0]):
        return  # two axes along one line are no frame; that is refused elsewhere
    axes = pk.Axes(x, y, z)
    machine = replace(pk.load_machine("grbl-front-left"), axes=axes, left_handed=axes.left_handed)
    # Right-handed is the frame whose third axis is the cross product of the first two (ISO 841: Z away from the work).
    third = WAYS[x][0] * WAYS[y][1] - WAYS[x][1] * WAYS[y][0]
    assert axes.left_handed is (third * (1 if z == "up" else -1) < 0)
    bit, feeds = pk.Tool("3 mm", 3.0, centre_cutting=True), pk.Cutting(feed=600.0, plunge=200.0, spindle=9000.0)
    stock = pk.Stock(60, 40, 6)
    path = pk.Toolpath("l", pk.Curve.polyline([[10, 10], [40, 30]]), bit, feeds, bottom=-2.0, reversible=False)
    read = pk.read(pk.post(pk.lower(pk.Job("j", stock, (path,)), machine), machine).text, "grbl").program
    cuts = np.flatnonzero(read.kind == pk.LINE)
    plunge, along = read.end[cuts[0]] - read.end[cuts[0] - 1], read.end[cuts[1]] - read.end[cuts[0]]
    moved = np.array([30.0, 20.0])
    assert along[:2].tolist() == pytest.approx([moved @ WAYS[x], moved @ WAYS[y]])
    assert bool(plunge[2] < 0.0) is (z == "up")
