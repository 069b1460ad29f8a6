"""NIST RS274/NGC, version 3."""

from __future__ import annotations

from typing import Final

from pathkit import ArcRule, Capabilities, Dialect, Grammar, Words

CODES: Final = """
    G0 G1 G2 G3 G38.2 G80 G81 G82 G83 G84 G85 G86 G87 G88 G89
    G4 G10 G28 G30 G53 G92 G92.1 G92.2 G92.3
    G17 G18 G19 G20 G21 G40 G41 G42 G43 G49 G61 G61.1 G64 G90 G91 G93 G94 G98 G99
    G54 G55 G56 G57 G58 G59 G59.1 G59.2 G59.3
    M0 M1 M2 M30 M60 M3 M4 M5 M6 M7 M8 M9 M48 M49
"""

USE_AXES: Final = "G0 G1 G2 G3 G38.2 G81 G82 G83 G84 G85 G86 G87 G88 G89 G10 G28 G30 G92"
"""Codes that use the axis words of their block."""

GRAMMAR: Final = Grammar(
    title="RS274/NGC",
    codes=frozenset(CODES.split()),
    letters=frozenset("DFGHIJKLMNPQRSTXYZ"),
    axis_claims=frozenset(USE_AXES.split()),
    power_up={
        "plane": "G17",
        "distance": "G90",
        "feed mode": "G94",
        "units": "G21",
        "cutter": "G40",
        "length": "G49",
        "offset": "G54",
        "path": "G64",
        "return": "G98",
        "spindle": "M5",
        "coolant": "M9",
        "override": "M48",
    },
    end_modes=("G54", "G17", "G90", "G94", "M48", "G40", "M5", "G1", "M9"),
    comments=(("(", ")"),),
    slash="switch",
    tape_mark=True,
    needs_end=True,
    expressions=True,
    line_limit=256,
    line_number_max=99_999,
    line_number_first=True,
    whole=frozenset("NTLDH"),
    m_words=4,
    arc=ArcRule(slack=0.002, slack_inch=0.00508),
    offset_systems=9,
    feed_before_units=True,
)
"""What the controller reads: T. Kramer, F. Proctor, E. Messina, The NIST RS274/NGC Interpreter, Version 3,
NISTIR 6556, 2000. Behaviour was checked by running the reference interpreter. Rotary axes are left out: this is a
three-axis mill."""


class Rs274ngc(Dialect):
    """NIST RS274/NGC version 3, the common basis of controllers on a PC."""

    name = "rs274ngc"
    title = "NIST RS274/NGC"
    suffix = ".ngc"
    words = Words(
        # Exact path, or the controller would round corners off; overrides stay in the operator's hand.
        modes="G17 G40 G49 G80 G90 G94 G98 G61 M48",
        # Offsets of arc centres are always incremental: it knows no G91.1.
        arc_modes={"incremental": "", "radius": ""},
    )
    capabilities = Capabilities(
        feed_decimals=3,
        # Refused above 0.002 mm or 0.0002 inch (0.00508 mm).
        arc_radius_slack=0.002,
        arc_radius_slack_inch=0.00508,
        # Return to the height the cycle began at (G98, set at the start), as 3.5.20 has it.
        drill_cycles=frozenset({"G81", "G82", "G83"}),
        cycle_returns=True,
        coolants=frozenset({"flood", "mist"}),
        tool_change="word",
        # G53, 3.5.12.
        machine_coordinates=True,
        offsets=("G54", "G55", "G56", "G57", "G58", "G59"),
        line_length=255,
        tape_mark=True,
        grammar=GRAMMAR,
    )
