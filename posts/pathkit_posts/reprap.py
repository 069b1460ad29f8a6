"""The open RepRap words, for a printer's board that drives a router."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from pathkit import ArcRule, Capabilities, Context, Dialect, Dwell, Event, Grammar, Pause, Spindle, Words

CODES: Final = "G0 G1 G2 G3 G4 G20 G21 G90 G91 G92 M0 M1 M3 M4 M5 M7 M8 M9 M400"

GRAMMAR: Final = Grammar(
    title="RepRap G-code",
    codes=frozenset(CODES.split()),
    letters=frozenset("FGIJMNPRSXYZ"),
    axis_claims=frozenset({"G0", "G1", "G2", "G3", "G92"}),
    power_up={
        "plane": "G17",
        "distance": "G90",
        "feed mode": "G94",
        "units": "G21",
        "spindle": "M5",
        "coolant": "M9",
    },
    comments=((";", ""),),
    open_end=True,
    line_limit=96,
    dwell_words=("P", "S"),
    arc=ArcRule(slack=0.002, slack_inch=0.002),
)
"""The community's open definitions, partly from memory. Left out on purpose, because builds disagree about them or
because they are dangerous: G10 and G11 (retraction), G28 (homes), G53 to G59 (often missing), M30 (deletes a file on
some builds), T (changes an extruder). 96 characters are the usual buffer. No document says how closely radii must
agree, so they agree as for RS274/NGC."""


class RepRap(Dialect):
    """A motion word in every block, rapids with a feed, the zero set where the bit is, and no homing."""

    name = "reprap"
    title = "RepRap G-code"
    suffix = ".gcode"
    words = Words(modes="G90", arc_modes={"incremental": ""}, tool="", change="", dwell="G4 P")
    capabilities = Capabilities(
        # Many builds have G2 and G3; a profile says so.
        arcs="none",
        full_circles=False,
        arc_radius_slack=0.002,
        modal=False,
        rapid_feed=True,
        coolants=frozenset({"flood", "mist"}),
        offsets=(),
        sets_zero=True,
        dwell_unit="ms",
        program_end="",
        comment=(";", ""),
        line_length=96,
        grammar=GRAMMAR,
    )

    def event(self, event: Event, context: Context) -> Sequence[str]:
        """Moves are queued, and switching must wait for them. The command's own word comes first."""
        match event:
            case Spindle(_, sense) if sense != 0:
                return ["M400", f"{self.words.spindle[sense]} {context.speed(event)}"]
            case Spindle() | Dwell() | Pause():
                return ["M400", *super().event(event, context)]
            case _:
                return super().event(event, context)

    def epilogue(self, context: Context) -> Sequence[str]:
        """One command a line; there is no word for the end."""
        return ["M400", *(["M5"] if context.spindle else []), "M9", "M400"]
