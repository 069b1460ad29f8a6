"""GRBL 1.1."""

from __future__ import annotations

from typing import Final

from pathkit import ArcRule, Capabilities, Dialect, Grammar, Words

CODES: Final = """
    G0 G1 G2 G3 G38.2 G38.3 G38.4 G38.5 G80
    G4 G10 G28 G28.1 G30 G30.1 G53 G92 G92.1
    G17 G18 G19 G20 G21 G40 G43.1 G49 G54 G55 G56 G57 G58 G59 G61 G90 G91 G91.1 G93 G94
    M0 M1 M2 M30 M3 M4 M5 M8 M9
"""

USE_AXES: Final = "G0 G1 G2 G3 G38.2 G38.3 G38.4 G38.5 G10 G28 G30 G92 G43.1 G49"
"""Codes that use the axis words of their block."""

GRAMMAR: Final = Grammar(
    title="GRBL 1.1",
    codes=frozenset(CODES.split()),
    letters=frozenset("FGIJKLMNPRSTXYZ"),
    axis_claims=frozenset(USE_AXES.split()),
    ignored=frozenset({"M1"}),
    dotted=frozenset({28, 30, 38, 43, 61, 90, 91, 92}),
    code_slack=0.005,
    power_up={
        "motion": "G0",
        "plane": "G17",
        "distance": "G90",
        "arc distance": "G91.1",
        "feed mode": "G94",
        "units": "G21",
        "cutter": "G40",
        "length": "G49",
        "offset": "G54",
        "path": "G61",
        "spindle": "M5",
        "coolant": "M9",
    },
    end_modes=("G1", "G17", "G90", "G94", "G54", "M5", "M9"),
    ends=False,
    blanks=bytes(range(0x21)),
    comments=(("(", ")"), (";", "")),
    open_comments=True,
    real_time=b"!?~\x18" + bytes(range(0x80, 0x100)),
    slash="ignored",
    system_prefix="$",
    line_limit=79,
    line_counts="bare",
    digits=8,
    line_number_max=10_000_000,
    tool_max=255,
    arc=ArcRule(
        slack=0.005, slack_inch=0.005, relative=0.001, limit=0.5, full_turn=5e-7, single=True, stray_offset=True
    ),
    offset_systems=6,
    offset_zero=True,
    offset_kinds=frozenset({2, 20}),
    strict_g80=True,
    home_all=False,
    inverse_time_arcs=False,
    errors={
        "letter expected": "error:1",
        "bad number": "error:2",
        "system command": "error:3",
        "negative value": "error:4",
        "line too long": "error:11",
        "unsupported": "error:20",
        "group twice": "error:21",
        "no feed": "error:22",
        "not an integer": "error:23",
        "axis conflict": "error:24",
        "word twice": "error:25",
        "no axis words": "error:26",
        "line number": "error:27",
        "value missing": "error:28",
        "offset number": "error:29",
        "machine coordinates": "error:30",
        "axis words left": "error:31",
        "no axis in plane": "error:32",
        "arc target": "error:33",
        "arc radius": "error:34",
        "no arc offset": "error:35",
        "words left": "error:36",
        "length offset axis": "error:37",
        "tool number": "error:38",
    },
)
"""What GRBL 1.1h reads and refuses: its interface documents, settings and source; the numbers of its answers, the line
limit, the digits that count, the real-time bytes and the arc rule were reproduced with its own reader and parser."""


class Grbl(Dialect):
    """GRBL 1.1, as on small routers and their boards: a file for each bit, no cycles, no tape marks."""

    name = "grbl"
    title = "GRBL 1.1"
    suffix = ".nc"
    words = Words(
        # It refuses G64, G61.1, G90.1, G43 H and M6; exact path (G61) is the only path mode.
        modes="G17 G40 G49 G61 G80 G90 G94",
        arc_modes={"incremental": "G91.1", "radius": ""},
    )
    capabilities = Capabilities(
        significant_digits=8,
        # Settings $110 to $112, as its documents say: "it'll slow down the motion to ensure none of the axes exceed
        # their max rate limits" (from memory).
        slows_to_limits=True,
        # A whole turn in one block may fail: the firmware computes its angle in 32-bit floats, and an unlucky rounding
        # makes it draw one chord and answer ok. Half turns always work.
        full_circles=False,
        # Accepted when the radii of start and end differ by at most 0.005 mm (or 0.1 %, never needed here).
        arc_radius_slack=0.005,
        machine_coordinates=True,
        # While it holds (M0) it takes no jog and no zero: its documents allow jogging only when it is idle.
        tool_change="files",
        z_in_pause="no",
        line_length=79,
        grammar=GRAMMAR,
    )
