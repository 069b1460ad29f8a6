"""Building for a recipient's own bit: offsets, tabs, pockets, feeds and stepdowns follow its diameter.

The part stays the same: a slot or hole as wide as the job's bit is milled out with a narrower one, and refused for a
wider one.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Final

from pathkit.errors import InputError
from pathkit.findings import Finding
from pathkit.jobs import schema
from pathkit.jobs.left_out import Place, left_out
from pathkit.jobs.left_out import notes as left_out_notes
from pathkit.jobs.reading import JobFile
from pathkit.jobs.schema import Operation, Use
from pathkit.jobs.strength import Strength
from pathkit.model.tool import Cutting, Tool
from pathkit.tolerances import ROUNDING, SAME_PLACE
from pathkit.units import LENGTH

_LARGEST: Final = 50.0  # mm; no small router turns more (common practice, no source)


@dataclass(frozen=True)
class Bits:
    """The bits and feeds of a job file, with some bits replaced (``swaps``: the job's name → the bit to build for), and
    feeds and stepdowns reduced to the ``strength`` of the machine.

    ``without`` holds the operations (part, operation) that are left out because the recipient has no bit for them.
    """

    file: JobFile
    swaps: Mapping[str, Tool]
    without: frozenset[Place] = frozenset()
    strength: Strength = field(default_factory=Strength)

    def name(self, name: str | None) -> str:
        return self.file.bit_name(name)

    def meant(self, name: str | None) -> Tool:
        """The bit that the job names, or its only one if it names none."""
        return self.file.tools[self.name(name)]

    def tool(self, name: str | None) -> Tool:
        """The bit that cuts."""
        return self.swaps.get(self.name(name), self.meant(name))

    def share(self, name: str | None) -> float:
        return self.tool(name).diameter / self.meant(name).diameter

    def use(self, form: Operation, turn: int) -> Use:
        """What the operation's bit number ``turn`` (0 or 1) has to do.

        If the operation gives one stepdown for two bits, the narrower second bit takes proportionally less.
        """
        use = form.uses[turn]
        if use.stepdown is None or isinstance(form.stepdown, list):
            return use
        share = self.meant(use.tool).diameter / self.meant(form.uses[0].tool).diameter
        return use._replace(stepdown=use.stepdown * min(share, 1.0))

    def cutting(self, name: str | None, tool: str | None) -> Cutting:
        """The job's feeds, reduced to what the machine is strong enough for.

        For another bit the chip load is scaled with the diameter (common practice, no source: a 3 mm bit takes about
        half of what a 6 mm bit takes), but plunges and ramps never get faster. No bit goes down faster than along.
        """
        given = self.file.cutting[name if name is not None else next(iter(self.file.cutting))]
        if given.power is not None:
            # Slower would burn more: what a machine is strong enough for says nothing of a beam.
            return given
        own, share = self.strength, self.share(tool)
        down = min(share, 1.0)
        feed = _lowered(given.feed, share * own.feed)
        return replace(
            given,
            feed=feed,
            plunge=min(_lowered(given.plunge, down * own.plunge), feed),
            spindle=given.spindle if own.spindle == 1.0 else math.floor(given.spindle * own.spindle + SAME_PLACE),
            ramp=None if given.ramp is None else _lowered(given.ramp, down * own.feed),
            slowest=None if given.slowest is None else _lowered(given.slowest, share * own.feed),
            fastest=None if given.fastest is None else _lowered(given.fastest, share * own.feed),
        )

    def stepdown(self, stepdown: float | None, tool: str | None, depth: float) -> float | None:
        """The job's own stepdown (mm), less for a narrower bit or a weaker machine.

        Never more: the job knows what its board and hold-down can bear. If the job gives none, a weaker machine takes
        its share of the whole ``depth`` (mm) at each level.
        """
        own = self.strength.stepdown
        if stepdown is None:
            return None if own == 1.0 or depth <= 0.0 else depth * own
        return stepdown * min(self.share(tool), 1.0) * own

    def cut(self, part: int) -> Iterator[tuple[int, schema.Operation]]:
        """The operations of a part that are cut, each with its index among all of them."""
        every = enumerate(self.file.form.part[part].operations)
        return ((k, each) for k, each in every if (part, k) not in self.without)

    def way_out(self, part: schema.Part, operation: schema.Operation) -> str:
        """What a refusal of an operation adds if the recipient's own bit may be the reason."""
        if operation.frees or not any(self.name(use.tool) in self.swaps for use in operation.uses):
            return ""
        return f"; or leave it uncut: --without '{part.name} {operation.title}'"

    def notes(self) -> tuple[Finding, ...]:
        """Warnings that tell the operator what was changed for the bits."""
        found = []
        for name, tool in self.swaps.items():
            what = (
                f"built for a bit of {tool.diameter:g} mm in place of {name!r} ({self.file.tools[name].diameter:g} mm):"
                " offsets, tabs and pockets are adapted; feeds are scaled with the diameter and are starting points"
            )
            fix = "check flutes, length and reach of the bit; only its diameter is known"
            found.append(Finding(check="bit", what=what, fix=fix, severity="warning", file=self.file.source))
        return (*found, *left_out_notes(self.file, self.without))


def bits_of(file: JobFile, wanted: Sequence[str] = (), without: Sequence[str] = ()) -> Bits:
    """The bits to build with.

    Each of ``wanted`` is ``6.35mm``, ``0.25in`` or ``1/4in``, or ``NAME=6.35mm`` if the job has several bits that cut
    walls; ``without`` names operations to leave out. Raises `InputError` for a text that is not a bit, for a bit that
    cannot replace the job's, and for an operation that cannot be left out.
    """
    swaps: dict[str, Tool] = {}
    for text in wanted:
        name, diameter = _parsed(text, file)
        if name in swaps:
            raise InputError(f"--bit is given twice for {name!r}; give it once")
        meant = file.tools[name]
        if meant.kind in ("vee", "compression", "beam"):
            kind = meant.kind if meant.kind == "beam" else f"{meant.kind} bit"
            what = f"--bit gives only a diameter, but {name!r} is a {kind}, which needs more than that"
            raise InputError([Finding(check="bit", what=what, fix="change its entry in [tools]")])
        if diameter != meant.diameter:
            swaps[name] = Tool(
                f"{diameter:g} mm {'drill' if meant.kind == 'drill' else 'bit'}", diameter, number=meant.number,
                kind=meant.kind, flutes=meant.flutes, centre_cutting=meant.centre_cutting,
            )  # fmt: skip
    return Bits(file, swaps, left_out(file, without))


def _parsed(text: str, file: JobFile) -> tuple[str, float]:
    name, named, said = text.strip().rpartition("=")
    diameter = LENGTH.read(said)
    if diameter is None:
        raise InputError(f"--bit is {text!r}; give a diameter with its unit: 6.35mm or 1/4in")
    if not 0.0 < diameter <= _LARGEST:
        raise InputError(f"--bit is {text!r}; give a diameter above 0 mm and of at most {_LARGEST:g} mm")
    used = sorted(file.used_bits())
    if named:
        if name not in used:
            raise InputError(f"--bit names {name!r}, which this job does not use; it uses: {', '.join(used)}")
        return name, round(diameter, 6)
    walls = [each for each in used if file.tools[each].kind in ("flat", "ball")]
    if len(walls) != 1:
        raise InputError(f"--bit {text}: say which bit it replaces: {' or '.join(f'{n}={text}' for n in used)}")
    return walls[0], round(diameter, 6)


def _lowered(feed: float, share: float) -> float:
    """A share of a feed, rounded down to 10 mm/min. The whole feed, and shares below 10 mm/min, are not rounded."""
    if share == 1.0:
        return feed
    # A hair is added first: 0.7 times 1300 is a little less than 910 in binary.
    tens = math.floor(feed * share / 10.0 + ROUNDING) * 10.0
    return tens if tens > 0.0 else feed * share
