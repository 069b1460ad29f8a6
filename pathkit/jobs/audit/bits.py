"""Bits, feeds and stepdowns as the job file gives them, or as follows from the bit that somebody else cuts with."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Final

from pathkit.jobs.audit.report import Key, Report
from pathkit.jobs.audit.tables import TOOL, Table, Tables
from pathkit.jobs.audit.tolerances import HAIR, ROUNDING

MM_PER: Final = {"mm": Fraction(1), "in": Fraction(254, 10)}
"""mm in a unit (the international inch of 1959 is 25.4 mm)."""

_LENGTH: Final = re.compile(r"(\d{0,9}(?:\.\d{1,9})?|\d{1,9}/\d{1,9})\s*(mm|in)")

WALLS: Final = ("flat", "ball")
"""Kinds of bit that a bare diameter can stand in for."""


@dataclass(frozen=True)
class Asked:
    """What one operation is cut with: the bit's name and table, that of the bit the job ``means``, and its feeds.

    ``stepover`` is the share that is asked for of every stepover.
    """

    name: str
    tool: Table
    means: Table
    cutting: Table
    stepdown: float | None
    stepover: float = 1.0

    @property
    def diameter(self) -> float:
        return float(self.tool["diameter"])


def exchanged(tables: Tables, wanted: Sequence[str]) -> dict[str, float]:
    """The job's name of a bit → the diameter (mm) to build for. ``wanted``: ``6.35mm``, ``1/4in``, ``NAME=6mm``."""
    swaps: dict[str, float] = {}
    works = [work for part in tables.parts for work in part["operations"]]
    used = {work["tool"] or next(iter(tables.tools)) for work in works}
    for text in wanted:
        name, _, said = text.strip().rpartition("=")
        if not name:
            (name,) = (each for each in used if tables.tools[each]["kind"] in WALLS)
        swaps[name] = millimetres(said)
    return {name: d for name, d in swaps.items() if d != tables.tools[name]["diameter"]}


def millimetres(text: str) -> float:
    """A length with its unit (``6.35mm``, ``0.25in``, ``1/4 in``) in mm, to a millionth."""
    found = _LENGTH.fullmatch(text.strip())
    if found is None:
        raise ValueError(f"{text[:40]!r} is no length with its unit")
    return round(float(Fraction(found[1]) * MM_PER[found[2]]), 6)


def asked_of(work: Table, tables: Tables, swaps: Mapping[str, float], strength: Table, deep: float) -> Asked:
    """Bit, feeds and stepdown of one operation that is ``deep`` mm deep, on a machine of some ``strength``.

    Another bit keeps the job's share of feed to diameter; ways down never get faster, stepdowns never deeper. Feeds
    that are a share of the job's are whole tens, downward. A share of no stepdown is that share of the whole depth.
    """
    name = work["tool"] or next(iter(tables.tools))
    means = tables.tools[name]
    cutting = tables.cuttings[work["cutting"] or next(iter(tables.cuttings))]
    diameter = swaps.get(name, float(means["diameter"]))
    share = diameter / float(means["diameter"])
    slower = min(share, 1.0)
    feeds = {
        "feed": _part_of(cutting["feed"], share * strength["feed"]),
        "plunge": _part_of(cutting["plunge"], slower * strength["plunge"]),
        "spindle": cutting["spindle"],
        "ramp": None if cutting["ramp"] is None else _part_of(cutting["ramp"], slower * strength["feed"]),
    }
    if strength["spindle"] != 1:
        # In fractions, since 0.7 is none in binary.
        feeds["spindle"] = math.floor(Fraction(repr(cutting["spindle"])) * strength["spindle"])
    stepdown = None if work["stepdown"] is None else float(work["stepdown"]) * slower * float(strength["stepdown"])
    if stepdown is None and strength["stepdown"] != 1:
        stepdown = deep * float(strength["stepdown"])
    stepover = float(strength["stepover"])
    if name not in swaps:
        return Asked(name, means, means, feeds, stepdown, stepover)
    fields = ("number", "kind", "flutes", "centre_cutting")
    tool = {**TOOL, "diameter": diameter, **{key: means[key] for key in fields}}
    called = f"{diameter:g} mm {'drill' if means['kind'] == 'drill' else 'bit'}"
    return Asked(called, tool, means, feeds, stepdown, stepover)


def judge_bits(asked: Asked, path: Table, tools: Mapping[str, Table], key: Key, report: Report) -> None:
    """The toolpath's bit against the one asked for, field by field, and its feeds."""
    name = path["tool"]
    if name != asked.name:
        what = f"is cut with {name!r}, and the job file asks for {asked.name!r}"
        report.add("bits as asked", what, (*key, "tool"), toolpath=path["name"])
    made = {**TOOL, **tools[name]}
    for field in TOOL:
        if not same(made[field], asked.tool[field]):
            what = f"{field} of {name!r} is {made[field]!r}, and the job file says {asked.tool[field]!r}"
            report.add("bits as asked", what, ("tools", name, field))
    cutting = path["cutting"]
    for field in ("feed", "plunge", "spindle", "ramp"):
        if not same(cutting.get(field), asked.cutting[field]):
            what = f"has {field} {cutting.get(field)!r}, and the job file asks for {asked.cutting[field]!r}"
            report.add("feeds as asked", what, (*key, "cutting"), toolpath=path["name"])


def same(one: Any, other: Any) -> bool:
    """Whether two plain values say the same; numbers may differ by rounding."""
    if isinstance(one, bool) or isinstance(other, bool) or not isinstance(one, int | float):
        return bool(one == other)
    return isinstance(other, int | float) and math.isclose(one, other, rel_tol=ROUNDING, abs_tol=ROUNDING)


def _part_of(feed: float, share: float) -> float:
    """Whole tens of a share of a feed, downward; what is less than ten, and what is not shared, as it comes."""
    part = float(feed) * float(share)
    if share == 1 or part < 10.0 - HAIR:
        return part
    return 10.0 * math.floor(part / 10.0 + ROUNDING)
