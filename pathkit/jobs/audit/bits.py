"""Bits, feeds and stepdowns as the job file gives them, or as they follow from a recipient's own bit."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Final

from pathkit.jobs.audit.lengths import millimetres
from pathkit.jobs.audit.report import Key, Report
from pathkit.jobs.audit.tables import TOOL, Table, Tables
from pathkit.jobs.audit.tolerances import HAIR, ROUNDING

WHOLE: Final = 0.5
"""mm/min by which the least feed of a range may be off: it is a whole number."""

WALLS: Final = ("flat", "ball")
"""Kinds of bit that a diameter without a name can replace."""


@dataclass(frozen=True)
class Asked:
    """What one operation is to be cut with: the bit's name and table, the table of the job's own bit (``means``), and
    the feeds.

    ``stepover`` is the share to take of every stepover.
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
    used = {name or next(iter(tables.tools)) for work in works for name in each_of(work["tool"])}
    for text in wanted:
        name, _, said = text.strip().rpartition("=")
        if not name:
            (name,) = (each for each in used if tables.tools[each]["kind"] in WALLS)
        swaps[name] = round(millimetres(said), 6)
    return {name: d for name, d in swaps.items() if d != tables.tools[name]["diameter"]}


def each_of(value: Any) -> list[Any]:
    """A key's value for each bit of an operation, in order; a single value becomes a list of one."""
    return list(value) if isinstance(value, list) else [value]


def asked_of(
    work: Table, tables: Tables, swaps: Mapping[str, float], strength: Table, deep: float, turn: int = 0
) -> Asked:
    """Bit, feeds and stepdown of one operation that is ``deep`` mm deep, on a machine with the given ``strength``;
    with ``turn`` 1, those of its second bit.

    Another bit keeps the job's ratio of feed to diameter; it never goes down faster, nor takes deeper stepdowns. Feeds
    that are a share of the job's are rounded down to whole tens. If the job gives no stepdown, a share of it is that
    share of the whole depth. A stepdown given once is the first bit's; a narrower second bit takes less of it, in
    proportion to its diameter.
    """
    bits = [name or next(iter(tables.tools)) for name in each_of(work["tool"])]
    name = bits[turn]
    means = tables.tools[name]
    cutting = tables.cuttings[each_of(work["cutting"])[turn] or next(iter(tables.cuttings))]
    steps = each_of(work.get("stepdown"))
    told = None if steps[0] is None else float(steps[min(turn, len(steps) - 1)])
    if told is not None and len(steps) <= turn:
        told *= min(1.0, float(means["diameter"]) / float(tables.tools[bits[0]]["diameter"]))
    diameter = swaps.get(name, float(means["diameter"]))
    share = diameter / float(means["diameter"])
    slower = min(share, 1.0)
    feeds = {
        "feed": _part_of(cutting["feed"], share * strength["feed"]),
        "plunge": _part_of(cutting["plunge"], slower * strength["plunge"]),
        "spindle": cutting["spindle"],
        "ramp": None if cutting["ramp"] is None else _part_of(cutting["ramp"], slower * strength["feed"]),
        **{
            name: None if cutting[name] is None else _part_of(cutting[name], share * strength["feed"])
            for name in ("slowest", "fastest")
        },
    }
    feeds["power"] = cutting["power"]
    if cutting["power"] is not None:
        # Slower would burn more: no share of a beam's feed is taken.
        feeds |= {"feed": float(cutting["feed"]), "plunge": float(cutting["feed"])}
    # No bit goes down faster than along, so a machine's share of the feed is a limit for its plunge too.
    feeds["plunge"] = min(feeds["plunge"], feeds["feed"])
    if strength["spindle"] != 1:
        # As a fraction, since 0.7 is not exact in binary.
        feeds["spindle"] = math.floor(Fraction(repr(cutting["spindle"])) * strength["spindle"])
    stepdown = None if told is None else told * slower * float(strength["stepdown"])
    if stepdown is None and strength["stepdown"] != 1:
        stepdown = deep * float(strength["stepdown"])
    stepover = float(strength["stepover"])
    if name not in swaps:
        return Asked(name, means, means, feeds, stepdown, stepover)
    fields = ("number", "kind", "flutes", "centre_cutting")
    tool = {**TOOL, "diameter": diameter, **{key: means[key] for key in fields}}
    called = f"{diameter:g} mm {'drill' if means['kind'] == 'drill' else 'bit'}"
    return Asked(called, tool, means, feeds, stepdown, stepover)


def judge_bits(
    asked: Asked, path: Table, tools: Mapping[str, Table], shares: Table | None, key: Key, report: Report
) -> None:  # fmt: skip
    """The toolpath's bit against the one asked for, field by field, and its feeds. ``shares`` are those of its feed
    between which a steady load may choose, None where none is asked for."""
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
    for field in ("feed", "plunge", "spindle", "ramp", "power"):
        if not same(cutting.get(field), asked.cutting[field]):
            what = f"has {field} {cutting.get(field)!r}, and the job file asks for {asked.cutting[field]!r}"
            report.add("feeds as asked", what, (*key, "cutting"), toolpath=path["name"])
    limits, own = (tuple(table.get(field) for field in ("slowest", "fastest")) for table in (cutting, asked.cutting))
    if not _may_range(limits, own, shares, float(cutting["feed"])):
        what = f"has slowest, fastest {limits!r}, and the job file asks for {own!r}"
        if shares is not None:
            low, high = shares["slowest"], shares["fastest"]
            what = (
                f"has slowest, fastest {limits!r}, and the job file asks for {own!r} or {low:g} to {high:g} of the feed"
            )
        report.add("feeds as asked", what, (*key, "cutting"), toolpath=path["name"])


def _may_range(made: tuple[Any, ...], own: tuple[Any, ...], shares: Table | None, feed: float) -> bool:
    """Whether a range of feeds is the one asked for, or one that a steady load may choose."""
    if same(made[0], own[0]) and same(made[1], own[1]):
        return True
    if shares is None or own != (None, None) or None in made:
        return False
    least, most = feed * float(shares["slowest"]), feed * float(shares["fastest"])
    return bool(least - WHOLE <= made[0] <= feed <= made[1] <= most + HAIR)


def same(one: Any, other: Any) -> bool:
    """Whether two plain values are the same; numbers may differ by rounding."""
    if isinstance(one, bool) or isinstance(other, bool) or not isinstance(one, int | float):
        return bool(one == other)
    return isinstance(other, int | float) and math.isclose(one, other, rel_tol=ROUNDING, abs_tol=ROUNDING)


def _part_of(feed: float, share: float) -> float:
    """A share of a feed, rounded down to whole tens; a share below ten, and the whole feed, are not rounded."""
    part = float(feed) * float(share)
    if share == 1 or part < 10.0 - HAIR:
        return part
    return 10.0 * math.floor(part / 10.0 + ROUNDING)
