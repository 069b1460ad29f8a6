"""Building for a recipient's own bit: offsets, tabs and pockets follow its diameter, and feeds and stepdowns with it.

The part stays what it is: a slot or hole as wide as the job's bit is milled out by a narrower one, and refused for a
wider one.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Final

from pathkit.errors import InputError
from pathkit.findings import Finding
from pathkit.jobs.reading import JobFile
from pathkit.jobs.strength import Strength
from pathkit.model.tool import Cutting, Tool
from pathkit.tolerances import ROUNDING, SAME_PLACE
from pathkit.units import MM_PER_INCH

_BIT: Final = re.compile(r"(?:(?P<name>.+)=)?(?P<value>\d+(?:\.\d+)?|\.\d+|\d+/\d+)\s*(?P<unit>mm|in)$")
_LARGEST: Final = 50.0  # mm; no small router turns more (common practice, no source)


@dataclass(frozen=True)
class Bits:
    """The bits and feeds of a job file, some bits exchanged (``swaps``: the job's name → the bit to build for), and
    feeds and bites taken down to the ``strength`` of the machine."""

    file: JobFile
    swaps: Mapping[str, Tool]
    strength: Strength = field(default_factory=Strength)

    def name(self, name: str | None) -> str:
        return name if name is not None else next(iter(self.file.tools))

    def meant(self, name: str | None) -> Tool:
        """The bit the job names (its only one, where it names none)."""
        return self.file.tools[self.name(name)]

    def tool(self, name: str | None) -> Tool:
        """The bit that cuts."""
        return self.swaps.get(self.name(name), self.meant(name))

    def share(self, name: str | None) -> float:
        return self.tool(name).diameter / self.meant(name).diameter

    def cutting(self, name: str | None, tool: str | None) -> Cutting:
        """The job's feeds, as much of them as the machine is strong enough for. For another bit the chip load goes
        with the diameter (common practice, no source: a 3 mm bit takes about half of what a 6 mm bit takes), but no way
        down is ever made faster."""
        given = self.file.cutting[name if name is not None else next(iter(self.file.cutting))]
        own, share = self.strength, self.share(tool)
        down = min(share, 1.0)
        return replace(
            given,
            feed=_lowered(given.feed, share * own.feed),
            plunge=_lowered(given.plunge, down * own.plunge),
            spindle=given.spindle if own.spindle == 1.0 else math.floor(given.spindle * own.spindle + SAME_PLACE),
            ramp=None if given.ramp is None else _lowered(given.ramp, down * own.feed),
        )

    def stepdown(self, stepdown: float | None, tool: str | None, depth: float) -> float | None:
        """The job's own, less for a narrower bit or a weaker machine; never more, since the job knows what its board
        and hold-down bear. Without one a weaker machine takes its share of the ``depth`` (mm) that is cut at once."""
        own = self.strength.stepdown
        if stepdown is None:
            return None if own == 1.0 or depth <= 0.0 else depth * own
        return stepdown * min(self.share(tool), 1.0) * own

    def notes(self) -> tuple[Finding, ...]:
        """What was changed for the bits, to be said to whoever cuts."""
        found = []
        for name, tool in self.swaps.items():
            what = (
                f"built for a bit of {tool.diameter:g} mm in place of {name!r} ({self.file.tools[name].diameter:g} mm):"
                " offsets, tabs and pockets follow; feeds go with the diameter and are starting points"
            )
            fix = "check flutes, length and reach of the bit; only its diameter is known"
            found.append(Finding(check="bit", what=what, fix=fix, severity="warning", file=self.file.source))
        return tuple(found)


def bits_of(file: JobFile, wanted: Sequence[str] = ()) -> Bits:
    """The bits to build with. Each of ``wanted`` is ``6.35mm``, ``0.25in`` or ``1/4in``, or ``NAME=6.35mm`` where the
    job has several that cut walls. Raises `InputError` for what is no bit, or cannot stand in for the job's."""
    swaps: dict[str, Tool] = {}
    for text in wanted:
        name, diameter = _parsed(text, file)
        if name in swaps:
            raise InputError(f"--bit is given twice for {name!r}; give it once")
        meant = file.tools[name]
        if meant.kind in ("vee", "compression"):
            what = f"--bit gives only a diameter, and {name!r} is a {meant.kind} bit, which needs more than that"
            raise InputError([Finding(check="bit", what=what, fix="change its entry in [tools]")])
        if diameter != meant.diameter:
            swaps[name] = Tool(
                f"{diameter:g} mm {'drill' if meant.kind == 'drill' else 'bit'}", diameter, number=meant.number,
                kind=meant.kind, flutes=meant.flutes, centre_cutting=meant.centre_cutting,
            )  # fmt: skip
    return Bits(file, swaps)


def _parsed(text: str, file: JobFile) -> tuple[str, float]:
    match = _BIT.fullmatch(text.strip())
    if match is None:
        raise InputError(f"--bit is {text!r}; give a diameter with its unit, as in 6.35mm or 1/4in")
    first, _, second = match["value"].partition("/")
    if second and not float(second):
        raise InputError(f"--bit is {text!r}; nothing can be divided by 0")
    diameter = float(first) / float(second or 1.0) * (MM_PER_INCH if match["unit"] == "in" else 1.0)
    if not 0.0 < diameter <= _LARGEST:
        raise InputError(f"--bit is {text!r}; a bit has more than 0 mm and at most {_LARGEST:g} mm")
    name = match["name"]
    used = sorted({op.tool or next(iter(file.tools)) for part in file.form.part for op in part.operations})
    if name is not None:
        if name not in used:
            raise InputError(f"--bit names {name!r}, which this job does not use; it uses: {', '.join(used)}")
        return name, round(diameter, 6)
    walls = [each for each in used if file.tools[each].kind in ("flat", "ball")]
    if len(walls) != 1:
        raise InputError(f"--bit {text}: say in place of which bit: {' or '.join(f'{n}={text}' for n in used)}")
    return walls[0], round(diameter, 6)


def _lowered(feed: float, share: float) -> float:
    """A share of a feed, to 10 mm/min downward; feeds below that as they come, and a whole feed as it was written."""
    if share == 1.0:
        return feed
    # A hair is added first: 0.7 times 1300 is a little less than 910 in binary.
    tens = math.floor(feed * share / 10.0 + ROUNDING) * 10.0
    return tens if tens > 0.0 else feed * share
