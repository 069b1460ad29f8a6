"""The tables of a setup sheet: the bits to buy or to fit, and the cuts in their order, with what is seen of each."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from itertools import pairwise
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from pathkit.handover.pages.names import depth_of, in_turn, range_name, range_of
from pathkit.machine.profile import Machine
from pathkit.model.job import Job
from pathkit.model.toolpath import Helix, Peck, Ramp, Spiral, Toolpath
from pathkit.texts.language import ENGLISH, Language
from pathkit.units import MM_PER_INCH, clock, shown

if TYPE_CHECKING:
    from pathkit.machine.kinematics import RunTime

MOST_ROWS: Final = 40
"""Most rows shown of the order of cuts."""

_STAGE: Final = {
    "pocket": "shallow", "finish": "shallow", "engrave": "shallow", "chamfer": "chamfers", "drill": "through",
    "slot": "through", "outline": "outlines", "cut": "other",
}  # fmt: skip
_ENTRY: Final[Mapping[type, str]] = {Peck: "peck", Helix: "helix", Ramp: "ramp", Spiral: "spiral"}


def bits(job: Job, machine: Machine, clock: RunTime, say: Language = ENGLISH) -> list[dict[str, Any]]:
    """A row for each bit, in the order of use, in the units of the file; feeds above what the machine moves are
    followed by that."""
    spent = clock.by_tool()
    plane, upright = min(machine.motion.feed_limit[:2]), machine.motion.feed_limit[2]
    unit = MM_PER_INCH if machine.units == "inch" else 1.0
    rows = []
    for tool in job.tools:
        paths = [path for path in job.toolpaths if path.tool == tool]
        feeds = [path.cutting for path in paths]
        chips = [c.feed / (c.spindle * tool.flutes) for c in feeds if c.spindle and tool.flutes]
        passes = [path.stepdown for path in paths if path.stepdown]
        powers = [100.0 * cutting.power for cutting in feeds if cutting.power is not None]
        rows.append(
            {
                "name": tool.name,
                "kind": say("sheet-bit-kind", kind=tool.kind),
                "number": "–" if tool.number is None else str(tool.number),
                "diameter": _number(tool.diameter, unit, say),
                "flutes": str(tool.flutes) if tool.flutes and tool.kind != "beam" else "–",
                "length": _number(tool.cut_length, unit, say) if tool.cut_length else "–",
                "deepest": _number(max(depth_of(path, job) for path in paths), unit, say),
                "pass": _range((step / unit for step in passes), say) if passes else "–",
                "feed": _limited([end / unit for cutting in feeds for end in cutting.along], plane / unit, say),
                "plunge": "–" if powers else _limited([c.plunge / unit for c in feeds], upright / unit, say),
                "spindle": say("sheet-beam-power", percent=_range(powers, say))
                if powers
                else _range((cutting.spindle for cutting in feeds), say),
                "chip": _range((chip / unit for chip in chips), say, 3 if unit == 1.0 else 4) if chips else "–",
                "time": duration(spent.get(tool.name, 0.0)),
            }
        )
    return rows


def order_of_cuts(job: Job, run_time: RunTime, machine: Machine, say: Language = ENGLISH) -> list[dict[str, Any]]:
    """Runs of similar cuts with the same bit, in the order of the file: when each begins, and what can be seen of it.

    Times are those of the least machine, bit changes by hand not counted.
    """
    spent, starts = run_time.by_toolpath(), _starts(run_time)
    by_part = _part_by_part(job)
    rows: list[dict[str, Any]] = []
    last: tuple[str, str] | None = None
    for path in job.toolpaths:
        stage = "none" if by_part else "burnt" if path.tool.kind == "beam" else _STAGE[path.role]
        what = path.part if by_part and path.part else say("sheet-stage", stage=stage)
        if (what, path.tool.name) != last:
            last = what, path.tool.name
            begins = clock(starts.get(path.name, 0.0))
            rows.append({"what": what, "bit": path.tool.name, "count": 0, "depths": [], "seconds": 0.0, "paths": []})
            rows[-1]["begins"] = begins
        row = rows[-1]
        row["paths"].append(path)
        row["count"] += 1
        row["depths"].append(depth_of(path, job))
        row["seconds"] += spent.get(path.name, 0.0)
    for row in rows:
        row["seen"] = what_is_seen(row.pop("paths"), say)
        row["depth"] = range_name(machine, row.pop("depths"), say)
        row["time"] = duration(row.pop("seconds"))
    return rows


def what_is_seen(paths: list[Toolpath], say: Language = ENGLISH) -> str:
    """What somebody beside the machine sees of some cuts, as the file makes them."""
    seen = in_turn(list(dict.fromkeys(_motion(path, say) for path in paths)), say)
    hops = [len(path.tabs) for path in paths if path.tabs]
    if not hops:
        return seen
    if len(set(hops)) == 1:
        return say("sheet-seen-tabs-each", seen=seen, count=hops[0])
    return say("sheet-seen-tabs", seen=seen, count=sum(hops))


def _motion(path: Toolpath, say: Language) -> str:
    if path.tool.kind == "beam":
        return say("sheet-beam-seen")
    entry = _ENTRY.get(type(path.entry), "plunge")
    if path.curve.is_point or isinstance(path.entry, Spiral):
        return say("sheet-seen-down", entry=entry)
    return say("sheet-seen", entry=entry, role=path.role)


def _starts(clock: RunTime) -> dict[str, float]:
    """Seconds after which each toolpath begins."""
    before = np.concatenate([[0.0], np.cumsum(clock.per_move + clock.standing[:-1])])[:-1]
    index, first = np.unique(clock.toolpath, return_index=True)
    return {clock.names[k]: float(before[at]) for k, at in zip(index.tolist(), first.tolist(), strict=True) if k >= 0}


def chamfers(job: Job, machine: Machine, say: Language = ENGLISH) -> list[str]:
    """How wide the chamfered edges come out: with zero on the bed, narrower on a thinner board and wider on a thicker
    one."""
    stock = job.stock
    widths: set[tuple[float, ...]] = set()
    for each in (chamfer for part in job.parts for chamfer in part.chamfers):
        tops = (stock.lowest_top, stock.top, stock.highest_top) if each.top is None else (each.top,) * 3
        widths.add(tuple(round(each.slope * (top - each.bottom), 3) for top in tops))
    lines = []
    for low, width, high in sorted(widths):
        least, told, most = (say.number(shown(each, machine.units)) for each in (low, width, high))
        line = say("sheet-chamfer", width=told)
        lines.append(say("sheet-chamfer-range", width=told, low=least, high=most) if low < high else line)
    return lines


def duration(seconds: float) -> str:
    """``27 min``, ``1 h 05 min``; seconds only below two minutes."""
    if seconds < 119.5:
        return f"{round(seconds)} s"
    minutes = round(seconds / 60.0)
    return f"{minutes} min" if minutes < 60 else f"{minutes // 60} h {minutes % 60:02d} min"


def _part_by_part(job: Job) -> bool:
    """Whether the file finishes one part before it begins the next."""
    parts = [path.part for path in job.toolpaths if path.part is not None]
    changes = sum(a != b for a, b in pairwise(parts)) + 1
    return len(set(parts)) > 1 and changes == len(set(parts))


def _number(mm: float, unit: float, say: Language) -> str:
    return say.number(f"{mm:.4g}" if unit == 1.0 else f"{mm / unit:.3g}")


def _limited(values: list[float], limit: float, say: Language) -> str:
    feed = _range(values, say, 1)
    if max(values) <= limit:
        return feed
    return say("sheet-feed-limited", feed=feed, limit=say.number(f"{round(limit, 1):g}"))


def _range(values: Iterable[float], say: Language, digits: int = 3) -> str:
    every = sorted({round(value, digits) for value in values})
    return range_of(say.number(f"{every[0]:g}"), say.number(f"{every[-1]:g}"), say)
