"""Plain ISO 6983-1."""

from __future__ import annotations

from typing import Final

from pathkit import ArcRule, Capabilities, Dialect, Grammar, Words

CODES: Final = """
    G0 G1 G2 G3 G4 G17 G18 G19 G40 G41 G42 G53 G54 G55 G56 G57 G58 G59 G70 G71
    G80 G81 G82 G90 G91 G94
    M0 M1 M2 M30 M3 M4 M5 M6 M7 M8 M9
"""

GRAMMAR: Final = Grammar(
    title="ISO 6983-1",
    codes=frozenset(CODES.split()),
    letters=frozenset("FGIJKMNPRSTXYZ"),
    axis_claims=frozenset({"G0", "G1", "G2", "G3", "G81", "G82"}),
    # The modes in force after switching on depend on the control: a file must set them.
    power_up={"spindle": "M5", "coolant": "M9"},
    end_modes=("M5", "M9"),
    lower_case=False,
    slash="switch",
    tape_mark=True,
    needs_end=True,
    line_number_max=99_999,
    line_number_first=True,
    whole=frozenset("NT"),
    arc=ArcRule(slack=0.002, slack_inch=0.00508),
)
"""From memory of ISO 6983-1 and a conformance table: letters, `%`, ( ) for control text, / for a block that may be
skipped, G70 and G71 for inch and mm. What the standard leaves to each control is read as narrowly as possible: centres
by I and J from the start, arcs of half a turn at most, radii that agree as for RS274/NGC, P for a dwell in seconds and
R for the plane of a drill cycle (common practice, no source)."""


class Iso6983(Dialect):
    """Only the words of the standard; a decimal point in every dimension."""

    name = "iso6983"
    title = "ISO 6983-1"
    suffix = ".iso"
    words = Words(
        rapid="G00",
        line="G01",
        clockwise="G02",
        counter_clockwise="G03",
        units={"mm": "G71", "inch": "G70"},
        modes="G17 G40 G80 G90 G94",
        change="M06",
        spindle={1: "M03", -1: "M04", 0: "M05"},
        coolant={"flood": "M08", "mist": "M07", "off": "M09"},
        dwell="G04 P",
        pause="M00",
    )
    capabilities = Capabilities(
        # Without the point a number may count increments.
        decimal_point=True,
        full_circles=False,
        # No word says where a cycle returns to, so each begins at its plane R; no word gives a peck's depth.
        drill_cycles=frozenset({"G81", "G82"}),
        coolants=frozenset({"flood", "mist"}),
        tool_change="word",
        program_end="M30",
        line_numbers=True,
        tape_mark=True,
        grammar=GRAMMAR,
    )
