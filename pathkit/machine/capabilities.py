"""What a controller takes: the single truth that legalising, quantising, writing and reading back rely on."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field, fields, replace
from typing import Any, Literal, get_args

from pathkit.errors import ProfileError
from pathkit.findings import Finding
from pathkit.machine.grammar import Grammar

ArcForm = Literal["incremental", "absolute", "radius", "none"]
Units = Literal["mm", "inch"]


@dataclass(frozen=True, kw_only=True)
class Capabilities:
    """Declared once by a dialect; a machine's ``[output]`` table may change those in `OVERRIDABLE`.

    Numbers: ``units`` is what dimensions are written in, with ``decimals[units]`` places; ``feed_decimals`` and
    ``speed_decimals`` for F and S. ``significant_digits`` is how many digits of a number the controller keeps, leading
    zeros included (None: all).

    Motion: ``arcs`` is how an arc names its centre (I J from its start, absolute, R, or not at all); ``full_circles``
    and ``helical`` whether one block may be those. ``arc_radius_slack`` is how far (mm) the distances of start and
    end from the centre may differ for the controller to accept the arc; ``arc_radius_slack_inch`` the same (mm as
    well) in a file in inches (None: no different there).

    Events: ``spindle_senses`` 1 clockwise, −1 counter-clockwise; ``coolants`` the kinds it knows; ``tool_change`` a
    word (T and M6), or a pause for the operator; ``offsets`` the work coordinate systems it has; ``sets_zero`` whether
    the file itself sets the work zero by G92; ``program_end`` the word that ends a file.

    Text: ``comment`` the opening and closing mark (closing empty: to the end of the line), None where there are none;
    ``line_length`` the longest block as the controller counts it; ``line_end``; ``line_numbers``; ``tape_mark`` whether
    a ``%`` opens and closes the file. ``grammar`` is what the reader holds a text against; None for a dialect that is
    not made of word addresses and brings its own reader.
    """

    units: Units = "mm"
    decimals: Mapping[str, int] = field(default_factory=lambda: {"mm": 3, "inch": 4})
    feed_decimals: int = 1
    speed_decimals: int = 0
    significant_digits: int | None = None

    arcs: ArcForm = "incremental"
    full_circles: bool = True
    helical: bool = True
    arc_radius_slack: float = 0.002
    arc_radius_slack_inch: float | None = None
    drill_cycles: frozenset[str] = frozenset()

    spindle_senses: frozenset[int] = frozenset({1, -1})
    coolants: frozenset[str] = frozenset({"flood"})
    tool_change: Literal["word", "pause"] = "pause"
    offsets: tuple[str, ...] = ("G54", "G55", "G56", "G57", "G58", "G59")
    sets_zero: bool = False
    dwell_unit: Literal["s", "ms"] = "s"
    program_end: str = "M2"

    comment: tuple[str, str] | None = ("(", ")")
    line_length: int | None = None
    line_end: str = "\n"
    line_numbers: bool = False
    tape_mark: bool = False

    grammar: Grammar | None = None

    @property
    def unit_decimals(self) -> int:
        """Decimals of a dimension in the units that are written."""
        return self.decimals[self.units]

    def overridden(self, output: Mapping[str, Any]) -> Capabilities:
        """With a machine's ``[output]`` table applied; `ProfileError` with every key or value that cannot stand there.

        Whether the dialect can write the ``arcs`` asked for is judged when a program is posted.
        """
        faults = [finding for key, value in output.items() if (finding := self._fault(key, value)) is not None]
        if faults:
            raise ProfileError(faults)
        return replace(self, **{key: value for key, value in output.items() if key != "suffix"})

    def _fault(self, key: str, value: Any) -> Finding | None:
        path = f"$.output.{key}"
        if key not in OVERRIDABLE and key != "suffix":
            fix = f"a profile may set: suffix, {', '.join(sorted(OVERRIDABLE))}"
            return Finding(check="output", what=f"[output] cannot set {key!r}", fix=fix, path=path)
        choices = {"units": tuple(self.decimals), "arcs": get_args(ArcForm)}.get(key)
        if choices is not None:
            fine, fix = value in choices, f"one of: {', '.join(choices)}"
        elif key == "suffix":
            fine = isinstance(value, str) and re.fullmatch(r"\.[A-Za-z0-9]{1,10}", value) is not None
            fix = 'a dot and letters or digits, such as ".nc"'
        elif key == "program_end":
            fine, fix = value in ("M2", "M30"), "M2 or M30"
        else:
            fine, fix = isinstance(value, bool), "true or false"
        return None if fine else Finding(check="output", what=f"[output] {key} = {value!r}", fix=fix, path=path)

    def as_dict(self) -> dict[str, Any]:
        """For tables and JSON; without the grammar."""
        values = {f.name: getattr(self, f.name) for f in fields(self) if f.name != "grammar"}
        return {k: sorted(v) if isinstance(v, frozenset) else v for k, v in values.items()}


OVERRIDABLE = frozenset({"units", "arcs", "full_circles", "helical", "line_numbers", "program_end"})
"""Capabilities that a machine profile may change. What a controller can *read* stays the dialect's."""
