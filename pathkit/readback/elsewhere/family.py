"""What the controllers of routers have in common, wide enough for what each of them alone would take."""

from __future__ import annotations

from typing import Final

from pathkit.machine.capabilities import Capabilities
from pathkit.machine.grammar import ArcRule, Grammar, codes, modes

CODES: Final = codes(
    "G0 G1 G2 G3 G80 G81 G82 G83 G98 G99 G4 G10 G28 G28.1 G30 G30.1 G53 G92 G92.1 G92.2 G92.3",
    "G17 G18 G19 G20 G21 G70 G71 G90 G91 G90.1 G91.1 G93 G94 G40 G43 G43.1 G49 G61 G61.1 G64",
    "G54 G55 G56 G57 G58 G59 G59.1 G59.2 G59.3",
    "M0 M1 M2 M30 M60 M3 M4 M5 M6 M7 M8 M9 M48 M49 M400",
)

USE_AXES: Final = codes("G0 G1 G2 G3 G81 G82 G83 G10 G28 G30 G92 G43.1")
"""Codes that use the axis words of their block."""

GRAMMAR: Final = Grammar(
    title="a router's controller",
    codes=CODES,
    letters=frozenset("FGHIJKLMNPQRSTXYZ"),
    axis_claims=USE_AXES,
    power_up=modes("G0 G17 G90 G91.1 G94 G21 G40 G49 G54 G64 G98 M5 M9 M48"),
    end_modes=("G54", "G17", "G90", "G94", "M48", "G40", "M5", "G1", "M9"),
    whole=frozenset("NTLH"),
    beside_motion=frozenset({"G80", "G28", "G30"}),
    path_words=frozenset("PQ"),
    blanks=bytes(range(0x21)),
    comments=(("(", ")"), (";", "")),
    open_comments=True,
    slash="ignored",
    tape_mark=True,
    program_number=True,
    expressions=True,
    arc=ArcRule(
        slack=0.005, slack_inch=0.00508, relative=0.001, limit=0.5, full_turn=5e-7, stray_offset="zero",
        bare_turns=True, short_radius=0.005,
    ),
    offset_systems=9,
    offset_zero=True,
    offset_kinds=frozenset({2, 20}),
)  # fmt: skip
"""ISO 6983-1 and NISTIR 6556 (RS274/NGC, version 3) for the words; GRBL's documents for G43.1, G91.1 and its arc rule,
the widest that is documented. What goes beyond them is common practice, no source: G64 with its tolerance, G80 beside a
motion word, a whole circle without an axis word, a program number. Where they disagree it takes the reading that claims
to know least: G28 and G30 leave no axis known."""

FAMILY: Final = Capabilities(sets_zero=True, machine_coordinates=True, tool_change="word", grammar=GRAMMAR)
