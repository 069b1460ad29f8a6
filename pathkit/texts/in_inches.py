"""Figures of findings for whoever reads inches. Findings are data in millimetres; only what a page shows is converted.

A message of the catalogue says what its values are: a number with ``mm`` behind it is a length, one with ``mm/min`` a
feed, whatever the language. A name is no number, so one that holds ``3 mm`` stays as it is.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Final

from pathkit.texts.language import Language
from pathkit.units import MM_PER_FOOT, MM_PER_INCH, NEWTON_PER_POUND

_OWN_UNITS: Final = (
    "findings-inches",
    "findings-tune-",
    "findings_audit-edge-slope",
    "findings_cli-",
    "findings_drawings-unit-differs",
    "findings_operations-chips-guess",
    "findings_proof-tab-section",
    "findings_starters-",
)
"""Beginnings of messages whose millimetres are meant as such: they speak of units, of options in mm, or name lengths
themselves."""

_PLACES: Final = frozenset({"x", "y", "z", "u", "v"})
"""Placeholders for coordinates, which have no unit behind them."""
_OF_THE_FILE: Final = ("findings-elsewhere-", "findings-differ-", "findings-signal-")
"""Beginnings of messages whose coordinates are words of a file."""
_FEEDS: Final = frozenset({
    ("findings-rubs-short", "reached"), ("findings-axis-limit", "feed"), ("findings_proof-feed", "asked"),
    ("findings_proof-feed-range", "low"), ("findings_proof-feed-range", "high"),
})  # fmt: skip
"""Placeholders for feeds whose unit stands elsewhere in the sentence."""
_SPEEDS: Final = frozenset({("findings-edge", "usual")})
"""The same for speeds of a bit's edge, in m/min."""
_VOLUMES: Final = frozenset({("findings_proof-load", "most")})
"""The same for what a bit takes in a minute, in cm³."""
_KEYS: Final = frozenset({"allowance", "depth", "fit", "margin", "peck", "spacing", "stepdown", "width"})
"""Placeholders for what stands behind the name of a key in a job file, where a plain number is in mm."""

_NUMBER: Final = r"-?\d+(?:[.,]\d+)?(?:e-?\d+)?"
_SEVERAL: Final = re.compile(rf"({_NUMBER}(?: × {_NUMBER})*)( mm)?")
_OPEN, _PLACE, _FEED, _SPEED, _VOLUME, _KEY, _CLOSE = "\ue002\ue003\ue004\ue005\ue006\ue007\ue008"
_KINDS: Final = f"[{_PLACE}{_FEED}{_SPEED}{_VOLUME}{_KEY}]?"
_ONE: Final = f"{_OPEN}({_NUMBER}(?: × {_NUMBER})*){_KINDS}{_CLOSE}"
_WITH_UNIT: Final = re.compile(
    rf"(?P<figures>{_ONE}(?:(?: × | x | to | bis | and | und ){_ONE})*)"
    r" (?P<unit>mm/min|mm/s²|mm²|mm|m/min|m|cm³|N)(?![\w/²])"
)
_BEHIND_A_KEY: Final = re.compile(f"(?:(?<= = )|(?<= = höchstens )){_OPEN}({_NUMBER}){_KEY}{_CLOSE}")
_MARKED: Final = re.compile(f"{_OPEN}({_NUMBER}(?: × {_NUMBER})*)({_KINDS}){_CLOSE}")
_MM_PER: Final = {
    "mm": (MM_PER_INCH, "in"), "mm/min": (MM_PER_INCH, "in/min"), "mm/s²": (MM_PER_INCH, "in/s²"),
    "mm²": (MM_PER_INCH**2, "in²"), "m": (MM_PER_FOOT / 1000.0, "ft"),
    "m/min": (MM_PER_FOOT / 1000.0, "ft/min"), "cm³": ((MM_PER_INCH / 10.0) ** 3, "in³"),
    "N": (NEWTON_PER_POUND, "lbf"),
}  # fmt: skip
"""How many of a unit there are in what inches go with, and what that is called."""
_UNIT_OF: Final = {_PLACE: "mm", _FEED: "mm/min", _SPEED: "m/min", _VOLUME: "cm³"}
"""The unit of a figure that has none behind it."""


def marked(name: str, values: Mapping[str, str | int]) -> Mapping[str, str | int]:
    """The values of a message, those that are numbers marked so that `told` finds them in the sentence."""
    if name.startswith(_OWN_UNITS):
        return values
    return {key: _marked(name, key, value) if isinstance(value, str) else value for key, value in values.items()}


def told(sentence: str, say: Language, *, both: bool = True) -> str:
    """A sentence with marked values, in inches; a length that stands alone in it also in mm, in brackets, if
    ``both``."""
    sentence = _BEHIND_A_KEY.sub(r'"\1mm"', sentence)
    alone = both and len(_WITH_UNIT.findall(sentence)) == 1

    def with_unit(found: re.Match[str]) -> str:
        per, unit = _MM_PER[found["unit"]]
        figures = _MARKED.sub(lambda each: _converted(each[1], per, unit, say), found["figures"])
        given = f" ({_MARKED.sub(lambda each: each[1], found['figures'])} {found['unit']})"
        return f"{figures} {unit}{given if alone and unit in ('in', 'in/min') else ''}"

    def without(found: re.Match[str]) -> str:
        unit = _UNIT_OF.get(found[2])
        return found[1] if unit is None else _converted(found[1], *_MM_PER[unit], say)

    return _MARKED.sub(without, _WITH_UNIT.sub(with_unit, sentence))


def _marked(name: str, key: str, value: str) -> str:
    if (found := _SEVERAL.fullmatch(value)) is None:
        return value
    place = key in _PLACES and not name.startswith(_OF_THE_FILE)
    elsewhere = ((_FEED, _FEEDS), (_SPEED, _SPEEDS), (_VOLUME, _VOLUMES))
    kind = next((each for each, some in elsewhere if (name, key) in some), _KEY if key in _KEYS else "")
    kind = _PLACE if place else kind
    return f"{_OPEN}{found[1]}{kind}{_CLOSE}{found[2] or ''}"


def _converted(figures: str, per: float, unit: str, say: Language) -> str:
    """Each number of ``12 × 5.5`` divided by ``per``."""
    return re.sub(_NUMBER, lambda found: say.number(_rounded(float(found[0].replace(",", ".")) / per, unit)), figures)


def _rounded(value: float, unit: str) -> str:
    """To four figures (forces: two), and no finer than a ten-thousandth (feeds: a tenth), which is what a length in mm
    with three decimals is worth; what is smaller keeps one figure."""
    digits, decimals = (2, 4) if unit == "lbf" else (4, 1 if unit == "in/min" else 4)
    short = f"{float(f'{value:.{digits}g}'):.{decimals}f}"
    if value and not float(short):
        short = f"{float(f'{value:.1g}'):.12f}"
    return short.rstrip("0").rstrip(".")
