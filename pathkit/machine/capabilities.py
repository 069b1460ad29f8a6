"""What a controller takes: the only source that legalising, quantising, writing and reading back rely on."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import asdict, dataclass, field, fields, replace
from typing import TYPE_CHECKING, Annotated, Any, ClassVar, Literal, get_args

from annotated_types import Ge, Le

from pathkit.errors import InputError, ProfileError
from pathkit.fields import Above0, From0, Words
from pathkit.findings import Finding
from pathkit.machine.grammar import Checksum, Grammar
from pathkit.model.checking import Checked
from pathkit.once import Once

if TYPE_CHECKING:
    from pathkit.machine.profile import Machine

ArcForm = Literal["incremental", "absolute", "radius", "none"]
Units = Literal["mm", "inch"]
SpeedUnit = Literal["rpm", "percent", "byte"] | int
ToolChanges = Literal["word", "pause", "files"]
ZInPause = Literal["no", "ask", "yes"]
FileNames = Literal["long", "8.3"]
Decimals = Annotated[int, Ge(0), Le(9)]

FULL_SPEED: Mapping[str, float] = {"rpm": 1.0, "percent": 100.0, "byte": 255.0}
"""The value of S at which the spindle turns as fast as it can; in rpm it is the speed itself."""


_ON_MACHINES = Once(64)
"""Every posting, reading and proof asks for them again."""


@dataclass(frozen=True, kw_only=True)
class Capabilities(Checked):
    """Declared once by a dialect; a machine's ``[output]`` table may change those in `OVERRIDABLE`.

    Numbers: ``units`` is the unit of dimensions, written with ``decimals[units]`` places; ``feed_decimals`` and
    ``speed_decimals`` for F and S. ``significant_digits`` is how many digits of a number the controller keeps, leading
    zeros included (None: all). ``decimal_point``: dimensions always have one, since without it a number may count
    increments. ``fixed_decimals``: every number is written with all its decimals, needless zeros too. ``speed_unit`` is
    what S counts: rpm, percent or 255ths of ``speed_full`` rpm (the profile's fastest, filled in by `on`); a number is
    the S of that fastest speed, such as 1000.

    Motion: ``arcs`` is how an arc names its centre (I J from its start, absolute, R, or not at all); ``full_circles``
    and ``helical`` whether one block may be such an arc. ``arc_radius_slack`` is how far (mm) the distances of start
    and end from the centre may differ for the controller to accept the arc; ``arc_radius_slack_inch`` the same (also in
    mm) in a file in inches (None: the same value). ``drill_cycles`` (of G81, G82, G83) are the cycles for holes;
    ``cycle_returns``: after one the bit returns to the height it came from (G98). ``modal``: a motion word or number
    that stays the same may be left out; else every block has a motion word. ``modal_feed``: so may a feed; else every
    block that cuts has one. ``rapid_feed``: rapids carry F, since they would run at the last one. ``slanting_rapids``:
    one rapid may move Z together with X or Y; else it is written as two, the higher one first. ``slows_to_limits``: its
    documents say that a move that asks an axis for more than its limit is slowed down as a whole. ``columns``: every
    word has its own column in each line of motion, empty if it does not apply.

    ``beam``: it has a beam and no spindle (``spindle_senses`` is empty). S is then the beam's power and belongs to the
    move, M4 lets it follow the speed, and ``speed_unit`` says what S is at full power: 1000, say.

    Events: ``spindle_senses`` 1 clockwise, −1 counter-clockwise; ``coolants`` the kinds it knows; ``tool_change`` a
    word (T and M6), a pause for the operator, or a new file for each bit; ``z_in_pause`` whether it can be jogged and Z
    set anew while it waits for a bit ("ask": nobody has said so); ``offsets`` the work coordinate systems it has;
    ``machine_coordinates`` whether G53 moves in machine coordinates, so that a file can begin by going as high as the
    machine can (`on` leaves it out for a machine that is not homed); ``sets_zero`` whether the file itself sets the
    work zero by G92; ``program_end`` the word that ends a file.

    Raises `InputError` for values of the wrong kind, such as ``arcs="absolut"``.

    Text: ``comment`` the opening and closing mark (closing empty: to the end of the line), None if there are none;
    ``line_length`` the longest block as the controller counts it; ``line_end``; ``line_numbers``, from
    ``line_number_start`` in steps of ``line_number_step``; ``checksum`` a number at the end of each line, computed from
    it; ``tape_mark`` whether a ``%`` opens and closes the file; ``file_names`` long, or at most eight characters and
    three. ``grammar`` describes what the reader accepts; None for a dialect that is not made of word addresses and
    brings its own reader.

    >>> caps = pk.Capabilities(line_numbers=True, line_number_start=10, line_number_step=10)
    >>> caps.unit_decimals
    3
    """

    _refusal: ClassVar[type[InputError]] = InputError

    units: Units = "mm"
    decimals: Mapping[Units, Decimals] = field(default_factory=lambda: {"mm": 3, "inch": 4})
    feed_decimals: Decimals = 1
    speed_decimals: Decimals = 0
    speed_unit: SpeedUnit = "rpm"
    speed_full: Above0 | None = None
    significant_digits: Annotated[int, Ge(1)] | None = None
    decimal_point: bool = False
    fixed_decimals: bool = False

    arcs: ArcForm = "incremental"
    full_circles: bool = True
    helical: bool = True
    arc_radius_slack: From0 = 0.002
    arc_radius_slack_inch: From0 | None = None
    drill_cycles: frozenset[Literal["G81", "G82", "G83"]] = frozenset()
    cycle_returns: bool = False
    modal: bool = True
    modal_feed: bool = True
    rapid_feed: bool = False
    slanting_rapids: bool = True
    slows_to_limits: bool = False
    columns: bool = False
    beam: bool = False

    spindle_senses: frozenset[Annotated[int, Ge(-1), Le(1)]] = frozenset({1, -1})
    coolants: frozenset[Literal["flood", "mist"]] = frozenset({"flood"})
    tool_change: ToolChanges = "pause"
    z_in_pause: ZInPause = "ask"
    offsets: tuple[str, ...] = ("G54", "G55", "G56", "G57", "G58", "G59")
    machine_coordinates: bool = False
    sets_zero: bool = False
    dwell_unit: Literal["s", "ms"] = "s"
    program_end: Words = "M2"

    comment: tuple[Words, Words] | None = ("(", ")")
    line_length: Annotated[int, Ge(1)] | None = None
    line_end: Literal["\n", "\r\n"] = "\n"
    line_numbers: bool = False
    line_number_start: int = 1
    line_number_step: int = 1
    checksum: Checksum | None = None
    tape_mark: bool = False
    file_names: FileNames = "long"

    grammar: Grammar | None = None

    @property
    def unit_decimals(self) -> int:
        """Decimals of a dimension in the units of the file."""
        return self.decimals[self.units]

    @property
    def speed_step(self) -> float:
        """rpm in one step of the last decimal of S."""
        return self.rpm_per_s / 10.0**self.speed_decimals

    @property
    def rpm_per_s(self) -> float:
        """rpm in an S of 1; also 1 if the spindle's fastest speed is not known."""
        return 1.0 if self.speed_full is None else self.speed_full / self.full_speed

    @property
    def full_speed(self) -> float:
        """The value of S at which the spindle turns as fast as it can; 1 in rpm, where it is the speed itself."""
        unit = self.speed_unit
        return FULL_SPEED[unit] if isinstance(unit, str) else float(unit)

    def on(self, machine: Machine) -> Capabilities:
        """The capabilities on one machine: its ``[output]`` applied, its fastest speed and whether it is homed set.

        Raises as `overridden`.
        """
        output = tuple((name, type(value), value) for name, value in machine.output.items())
        try:
            hash(output)
        except TypeError:  # such as a list, which nothing may be
            return self._on(machine)
        key = (id(self), output, machine.homed, machine.spindle.max)
        # Beside what they are made of, so that nothing else gets its id.
        own: Capabilities = _ON_MACHINES(key, lambda: (self, self._on(machine)))[1]
        return own

    def _on(self, machine: Machine) -> Capabilities:
        own = self.overridden(machine.output)
        if own.machine_coordinates and not machine.homed:
            own = replace(own, machine_coordinates=False)
        return own if own.speed_unit == "rpm" else replace(own, speed_full=machine.spindle.max)

    def overridden(self, output: Mapping[str, Any]) -> Capabilities:
        """With a machine's ``[output]`` table applied; `ProfileError` with every impossible key or value.

        Whether the dialect can write the ``arcs`` in the profile is judged when a program is posted.
        """
        faults = [finding for key, value in output.items() if (finding := self._fault(key, value, output)) is not None]
        if faults:
            raise ProfileError(faults)
        changes = {key: value for key, value in output.items() if key != "suffix"}
        if "decimals" in changes:
            changes["decimals"] = {**self.decimals, changes.get("units", self.units): changes["decimals"]}
        if "line_end" in changes:
            changes["line_end"] = _LINE_ENDS[changes["line_end"]]
        if "drill_cycles" in changes:
            changes["drill_cycles"] = self.drill_cycles if changes["drill_cycles"] else frozenset()
        if (unit := changes.pop("speed", self.speed_unit)) != self.speed_unit:
            # A tenth of a percent is finer than any spindle holds its speed.
            changes |= {"speed_unit": unit, "speed_decimals": 1 if unit == "percent" else 0}
        return replace(self, **changes)

    def _fault(self, key: str, value: Any, output: Mapping[str, Any]) -> Finding | None:
        path = f"$.output.{key}"
        if key not in OVERRIDABLE and key != "suffix":
            fix = f"a profile may set: suffix, {', '.join(sorted(OVERRIDABLE))}"
            return Finding(check="output", what=f"[output] cannot set {key!r}", fix=fix, path=path)
        choices = self._choices(key)
        if choices is not None:
            fine, fix = value in choices, f"one of: {', '.join(choices)}"
        elif key == "suffix":
            fine = isinstance(value, str) and re.fullmatch(r"\.[A-Za-z0-9]{1,10}", value) is not None
            fix = 'a dot and letters or digits, such as ".nc"'
        elif key == "decimals":
            # A hundredth of an inch is a quarter of a millimetre: too coarse to cut by.
            least = 3 if output.get("units", self.units) == "inch" else 2
            fine = _is_whole(value) and least <= value <= 6
            fix = f"a whole number from {least} to 6"
        elif key in _COUNTED:
            fine = _is_whole(value) and _COUNTED[key] <= value <= 1000
            fix = f"a whole number from {_COUNTED[key]} to 1000"
        elif key == "speed":
            fine = (isinstance(value, str) and value in FULL_SPEED) or (
                _is_whole(value) and 1 <= value <= MOST_SPEED_STEPS
            )
            fine = fine and not (self.beam and value == "rpm")
            fix = f"one of: {', '.join(FULL_SPEED)}, or the S of the fastest speed, such as 1000"
        elif key in ("modal", "modal_feed") and value is True and not getattr(self, key):
            fine, fix = False, "leave it out: this controller needs the word in every block"
        elif key == "line_numbers" and value is True and self.grammar is not None and "N" not in self.grammar.letters:
            fine, fix = False, "leave it out: this controller reads no block numbers"
        elif key == "full_circles" and value is True and self.grammar is not None and self.grammar.arc.single:
            fine, fix = False, "leave it out: this controller's 32-bit floats may take a whole turn for none"
        else:
            fine, fix = isinstance(value, bool), "true or false"
        return None if fine else Finding(check="output", what=f"[output] {key} = {value!r}", fix=fix, path=path)

    def _choices(self, key: str) -> tuple[str, ...] | None:
        """The words a profile may choose from, as far as this controller reads them."""
        codes = frozenset() if self.grammar is None else self.grammar.codes
        ends = tuple(word for word in ("M2", "M30") if word in codes)
        changes = tuple(way for way in get_args(ToolChanges) if way != "word" or self.tool_change == "word")
        return {
            "units": tuple(self.decimals),
            "arcs": get_args(ArcForm),
            "program_end": tuple(dict.fromkeys((self.program_end, *ends))),
            "line_end": tuple(_LINE_ENDS),
            "file_names": get_args(FileNames),
            "tool_change": changes,
            "z_in_pause": ("no",) if self.z_in_pause == "no" else get_args(ZInPause),
        }.get(key)

    def as_dict(self) -> dict[str, Any]:
        """For tables and JSON; without the grammar, and of a beam only if it is one."""
        left_out = {"grammar"} | (set() if self.beam else {"beam"})
        values = {f.name: getattr(self, f.name) for f in fields(self) if f.name not in left_out}
        values["checksum"] = None if self.checksum is None else asdict(self.checksum)
        return {k: sorted(v) if isinstance(v, frozenset) else v for k, v in values.items()}


def _is_whole(value: Any) -> bool:
    return isinstance(value, int) and not isinstance(value, bool)


MOST_SPEED_STEPS = 1_000_000
_COUNTED = {"line_number_start": 0, "line_number_step": 1}
_LINE_ENDS = {"lf": "\n", "crlf": "\r\n"}

OVERRIDABLE = frozenset({
    "units", "decimals", "arcs", "full_circles", "helical", "line_numbers", "program_end", "line_end", "file_names",
    "speed", "tool_change", "z_in_pause", "drill_cycles", "line_number_start", "line_number_step", "fixed_decimals",
    "modal", "modal_feed",
})  # fmt: skip
"""Capabilities that a machine profile may change. What a controller can *read* is up to the dialect alone."""
