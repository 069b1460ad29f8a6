"""What a word-address controller reads and refuses, as data: the reader's half of a dialect's capabilities.

A dialect declares one `Grammar`, which drives the one interpreter (`pathkit.readback`). Codes have their usual modal
groups (NISTIR 6556, RS274/NGC version 3, tables 5 and 6; later dotted codes: common practice, no source), so a dialect
lists only which codes its controller has and where its rules differ.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Any, Final, Literal, get_args

from pathkit.errors import InputError
from pathkit.findings import Finding

Group = Literal[
    "non-modal", "motion", "plane", "distance", "arc distance", "feed mode", "units", "cutter", "length", "return",
    "offset", "path", "stopping", "tool", "spindle", "coolant", "override", "wait",
]  # fmt: skip

Fault = Literal[
    "letter expected", "bad number", "system command", "negative value", "line too long", "unsupported",
    "group twice", "no feed", "not an integer", "axis conflict", "word twice", "no axis words", "line number",
    "value missing", "offset number", "machine coordinates", "axis words left", "no axis in plane", "arc target",
    "arc radius", "no arc offset", "words left", "length offset axis", "tool number", "open comment",
    "nested comment", "no motion mode", "too many M words", "arc offset out of plane", "program frame",
    "checksum", "slanting rapid",
]  # fmt: skip
"""Names of the faults that a controller can find in a block; a grammar maps those that it numbers to the number."""

_GROUPS: Final[Mapping[Group, str]] = {
    "non-modal": "G4 G10 G28 G28.1 G30 G30.1 G53 G92 G92.1 G92.2 G92.3",
    "motion": "G0 G1 G2 G3 G38.2 G38.3 G38.4 G38.5 G80 G81 G82 G83 G84 G85 G86 G87 G88 G89",
    "plane": "G17 G18 G19",
    "distance": "G90 G91",
    "arc distance": "G90.1 G91.1",
    "feed mode": "G93 G94",
    "units": "G20 G21 G70 G71",
    "cutter": "G40 G41 G42",
    "length": "G43 G43.1 G49",
    "return": "G98 G99",
    "offset": "G54 G55 G56 G57 G58 G59 G59.1 G59.2 G59.3",
    "path": "G61 G61.1 G64",
    "stopping": "M0 M1 M2 M30 M60",
    "tool": "M6",
    "spindle": "M3 M4 M5",
    "coolant": "M7 M8 M9",
    "override": "M48 M49",
    "wait": "M400",
}

GROUP_OF: Final[Mapping[str, Group]] = MappingProxyType(
    {code: group for group, codes in _GROUPS.items() for code in codes.split()}
)
"""Modal group of every code that the reader understands."""


@dataclass(frozen=True, kw_only=True)
class ArcRule:
    """When a controller accepts an arc given by its centre.

    The distances of start and end from the centre may differ by ``slack`` (mm; in a file in inches ``slack_inch``, also
    in mm), or by ``relative`` of the radius as long as that is at most ``limit`` mm. ``full_turn`` is the angle
    (radians) up to which start and end count as one place, so that the arc goes all the way round. ``single``: the
    controller computes that in 32-bit floats, whose rounding may hide that start and end are one place, so that the
    whole turn is lost. ``stray_offset`` says whether an offset word along the third axis is silently dropped (*zero*:
    only one of 0). ``bare_turns``: an arc without an axis word goes all the way round, and one without an axis word of
    its plane does so as a helix. ``short_radius`` is by how much (mm) a radius may be too short to reach; the arc is
    then half a turn.

    >>> pk.ArcRule(slack=0.005, single=True).full_turn
    1e-12
    """

    slack: float = 0.002
    slack_inch: float = 0.00508
    relative: float = 0.0
    limit: float = 0.0
    full_turn: float = 1e-12
    single: bool = False
    stray_offset: bool | Literal["zero"] = False
    bare_turns: bool = False
    short_radius: float = 0.0


_CHECKSUM_MARKS: Final = "*^&|:@<>"
"""Signs that no word, number, comment mark or command of a controller holds."""


@dataclass(frozen=True, kw_only=True)
class Checksum:
    """A number at the end of each line, computed from the bytes before its ``mark`` (one character).

    ``kind``: *xor* combines the bytes bit by bit, *sum* adds them and keeps the lowest eight bits. Written in decimal,
    or with ``hexadecimal`` as two digits from 0 to F. A line of nothing but its number or a comment
    needs none.

    >>> pk.Checksum(mark="*", kind="xor")
    Checksum(mark='*', kind='xor', hexadecimal=False)
    """

    mark: str = "*"
    kind: Literal["xor", "sum"] = "xor"
    hexadecimal: bool = False

    def __post_init__(self) -> None:
        if len(self.mark) != 1 or self.mark not in _CHECKSUM_MARKS:
            what, fix = f"{self.mark!r} cannot mark a checksum", f"one of: {' '.join(_CHECKSUM_MARKS)}"
            raise InputError([Finding(check="grammar", what=what, fix=fix, path="$.checksum.mark")])
        if self.kind not in ("xor", "sum"):
            what = f"no checksum is computed by {self.kind!r}"
            raise InputError([Finding(check="grammar", what=what, fix="one of: xor, sum", path="$.checksum.kind")])


@dataclass(frozen=True, kw_only=True)
class Grammar:
    """How a controller reads a file.

    Words: ``codes`` are the G and M codes that it has, ``letters`` the word letters; ``axis_claims`` the codes that use
    the axis words of their block, at most one a block; ``ignored`` codes are accepted and do nothing. ``dotted`` holds
    the whole numbers of codes whose unknown fractions are *unsupported*; elsewhere a fraction is *not an integer*
    (None: always unsupported). ``code_slack`` is how far a code may lie from its two-decimal value. ``whole`` names
    words that must be integers. ``m_words`` is the most M words in a block. ``other_words`` maps a code of
    this controller's own to the mode that it means, for one that has, say, another word for a plane. ``beside_motion``
    are codes that may stand beside G0 to G3, whose mode then holds: G80 has ended a cycle before, and G28 and G30 take
    the block's axis words. ``path_words`` may stand beside G64.

    State: ``power_up`` is the code in force in each modal group after switching on (a missing group has none),
    ``end_modes`` the codes that M2 and M30 set, ``ends`` whether they end the reading. ``modal``: a motion code holds
    until the next one; else it is for its own block, and axis words without one are refused. ``modal_feed``: so does F;
    else every feed move needs one. ``slanting_rapids``: a rapid may move Z together with X or Y.

    Text: ``lower_case`` letters are accepted; ``blanks`` are bytes dropped wherever they are; ``comments`` opening and
    closing marks (closing empty: to the line's end); ``open_comments``: one may stay unclosed; ``real_time`` bytes act
    at once and leave the stream, even inside comments; ``slash``: a ``/`` is *ignored* and the block runs, or a
    *switch* at the controller decides; ``system_prefix`` begins a line that is not a block. ``tape_mark``: a ``%`` may
    open the file and the next one ends it; ``needs_end``: without those it needs M2 or M30; ``open_end``: the program
    ends where the file does, without a word for it. ``expressions``: the controller evaluates ``#`` and ``[ ]``.
    ``program_number``: an O word with a number may stand before all other blocks. ``line_limit`` characters, counted
    by ``line_counts`` before (*all*) or after (*bare*) blanks and comments are dropped. ``checksum``:
    every line with words must end in one.

    Numbers: ``digits`` is how many count, leading zeros included; ``line_number_max``, ``line_number_first``,
    ``tool_max``.

    Meaning: the ``arc`` rule; ``offset_systems`` how many offsets G10 can set, ``offset_zero`` whether P0 is the active
    one, ``offset_kinds`` its L words; ``dwell_words`` that G4 accepts (P in the unit that the capabilities name, S in
    seconds); ``feed_before_units``: F is read in the units of the block before; ``strict_g80``: under G80 no axis word
    is accepted, whatever code uses it; ``home_all``: G28 and G30 move all axes, even those without a word in the block;
    ``peck_clearance`` mm above the last bottom for G83; ``inverse_time_arcs``: G93 times arcs correctly.

    ``errors`` maps fault names to the controller's own answer. Raises `InputError` for codes without a meaning.

    >>> codes = frozenset("G0 G1 G17 G21 G90".split())
    >>> grammar = pk.Grammar(title="Mine", codes=codes, letters=frozenset("FGXYZ"), power_up={"plane": "G17"})
    >>> grammar.modal, grammar.line_limit
    (True, None)
    """

    title: str
    codes: frozenset[str]
    letters: frozenset[str]
    power_up: Mapping[str, str]
    errors: Mapping[Fault, str] = field(default_factory=dict)

    axis_claims: frozenset[str] = frozenset()
    ignored: frozenset[str] = frozenset()
    dotted: frozenset[int] | None = None
    code_slack: float = 1e-6
    whole: frozenset[str] = frozenset()
    m_words: int | None = None
    other_words: Mapping[str, str] = field(default_factory=dict)
    beside_motion: frozenset[str] = frozenset()
    path_words: frozenset[str] = frozenset()

    modal: bool = True
    modal_feed: bool = True
    slanting_rapids: bool = True
    end_modes: tuple[str, ...] = ()
    ends: bool = True

    lower_case: bool = True
    blanks: bytes = b" \t"
    comments: tuple[tuple[str, str], ...] = (("(", ")"),)
    open_comments: bool = False
    real_time: bytes = b""
    slash: Literal["ignored", "switch", "refused"] = "refused"
    system_prefix: str = ""
    tape_mark: bool = False
    needs_end: bool = False
    open_end: bool = False
    expressions: bool = False
    program_number: bool = False
    line_limit: int | None = None
    line_counts: Literal["bare", "all"] = "all"
    checksum: Checksum | None = None

    digits: int | None = None
    line_number_max: int | None = None
    line_number_first: bool = False
    tool_max: int | None = None

    arc: ArcRule = field(default_factory=ArcRule)
    offset_systems: int = 6
    offset_zero: bool = False
    offset_kinds: frozenset[int] = frozenset({2})
    dwell_words: tuple[str, ...] = ("P",)
    feed_before_units: bool = False
    strict_g80: bool = False
    home_all: bool = True
    peck_clearance: float = 0.254
    inverse_time_arcs: bool = True

    def __post_init__(self) -> None:
        for name in _MAPPINGS:
            object.__setattr__(self, name, MappingProxyType(dict(getattr(self, name))))
        listed = {
            *self.codes,
            *self.axis_claims,
            *self.ignored,
            *self.beside_motion,
            *self.power_up.values(),
            *self.end_modes,
        }
        listed |= set(self.other_words.values())
        found = [
            Finding(check="grammar", what=f"{code} has no meaning to the reader", fix="take a code from GROUP_OF")
            for code in sorted(listed - set(GROUP_OF))
        ]
        found += [
            Finding(check="grammar", what=f"{code} is not in the modal group {group!r}", path=f"$.power_up.{group}")
            for group, code in self.power_up.items()
            if GROUP_OF.get(code, group) != group
        ]
        found += [
            Finding(check="grammar", what=f"{name!r} is not the name of a fault", path="$.errors")
            for name in self.errors
            if name not in get_args(Fault)
        ]
        found += [
            Finding(check="grammar", what=f"{code!r} is not a code that can stand for {meant}", path="$.other_words")
            for code, meant in self.other_words.items()
            if not _CODE.fullmatch(code) or code in self.codes or GROUP_OF.get(meant, "plane") not in _RENAMED
        ]
        if found:
            raise InputError(found)

    def __reduce__(self) -> tuple[Any, ...]:
        # A mapping proxy cannot be pickled; a plain dict can.
        values = {name: getattr(self, name) for name in self.__dataclass_fields__}
        return _rebuild, ({**values, **{name: dict(values[name]) for name in _MAPPINGS}},)


_CODE: Final = re.compile(r"[GM](0|[1-9][0-9]{0,4})(\.[0-9]?[1-9])?")
_RENAMED: Final = frozenset(
    {"plane", "distance", "arc distance", "feed mode", "units", "cutter", "length", "return", "offset", "path"}
)
"""Groups whose codes may have another word: modes alone, by which nothing moves or turns."""
_MAPPINGS: Final = ("power_up", "errors", "other_words")


def _rebuild(values: dict[str, Any]) -> Grammar:
    return Grammar(**values)


def codes(*lists: str) -> frozenset[str]:
    """The codes named in the texts, separated by blanks: ``codes("G0 G1", "M3 M5")``."""
    return frozenset(code for text in lists for code in text.split())


def modes(text: str) -> dict[str, str]:
    """Modal group → code for ``power_up``, from codes separated by blanks."""
    return {GROUP_OF[code]: code for code in text.split()}
