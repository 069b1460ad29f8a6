"""Lengths and feeds that a job file may give with a unit: which keys they are, and how long each unit is."""

from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction
from typing import Any, Final

MM_PER: Final = {"mm": Fraction(1), "in": Fraction(254, 10)}
"""mm in a unit (the international inch of 1959 is 25.4 mm)."""

LENGTHS: Final = frozenset(
    (
        "thickness", "thickness_tolerance", "underlay", "underlay_tolerance", "width", "depth", "height",
        "diameter", "tip_length", "cut_length", "shank", "holder", "reach",
        "from_top", "above_bed", "through", "stepdown", "peck", "lead", "overlap", "wall_allowance",
        "allowance", "skin", "least_width",
        "corner", "radius", "centre", "first", "last", "polygon", "line", "points", "at", "size", "join",
        "web", "spacing", "margin", "least_web", "zero_at", "helix_diameter", "text_at",
        "text_height", "travel", "fit",
    )
)  # fmt: skip
"""Keys whose values are lengths, alone or in points, in whatever table they are."""

FEEDS: Final = frozenset(("feed", "plunge", "ramp", "slowest", "fastest", "rapid", "feed_limit"))

_WRITTEN: Final = re.compile(
    r"([+-]?)(?:(\d{1,9}) +)?(\d{0,9}(?:\.\d{1,9})?|\d{1,9}/\d{1,9}) *(mm|in)(/min)?", re.ASCII
)


def millimetres(text: str) -> float:
    """A length with its unit (``6.35mm``, ``1/4 in``, ``1 1/2in``) in mm. Raises `ValueError` for any other text."""
    return _value(text, feed=False)


def plain(key: str, value: Any) -> Any:
    """The value of a key; texts with a unit become numbers if the key is a length or a feed, others stay as they are.

    Raises `ValueError` for a text that should be a length or a feed and is not.
    """
    if key not in LENGTHS and key not in FEEDS:
        return value
    if isinstance(value, str):
        return _value(value, feed=key in FEEDS)
    return [plain(key, each) for each in value] if isinstance(value, list) else value


def in_mm(table: Mapping[str, Any]) -> dict[str, Any]:
    """A table with all its lengths in mm and its feeds in mm/min."""
    return {key: plain(key, value) for key, value in table.items()}


def _value(text: str, *, feed: bool) -> float:
    found = _WRITTEN.fullmatch(text.strip(" "))
    if found is None or bool(found[5]) != feed or not found[3] or (found[2] and "/" not in found[3]):
        raise ValueError(f"{text[:40]!r} is not a {'feed' if feed else 'length'} with its unit")
    size = (Fraction(found[2] or 0) + Fraction(found[3])) * MM_PER[found[4]]
    return float(-size if found[1] == "-" else size)
