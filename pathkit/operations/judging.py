"""Warnings where a job's feeds, depths and speeds are not usual for bit and material. Nothing is changed.

Every bit is judged by its kind, at the feed that the machine really reaches: how thick its chips are where it cuts
widest, how deep it goes at once, and how fast its edge is. Ranges: `chips`, `materials` (common practice, no source).
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

from pathkit.curves.regions import line_of
from pathkit.errors import InputError
from pathkit.feeds.chips import (
    STRAIGHT_DOWN,
    chip_load_of,
    cutting_speed,
    slant,
    thinning,
    usual_chip_load,
    width_at,
)
from pathkit.feeds.materials import USUAL, Material
from pathkit.findings import Finding, Severity
from pathkit.model.stock import Stock
from pathkit.model.tool import Cutting, Tool
from pathkit.model.toolpath import Peck, Plunge, Toolpath
from pathkit.operations.feeds import USUAL_SPEED
from pathkit.tolerances import ROUNDING, SAME_PLACE

if TYPE_CHECKING:
    from pathkit.machine.profile import Machine

SAME: Final = 0.95
"""A chip counts as just as thick as another if it has at least this share of its thickness."""

PACKED: Final = 3.0
"""How deep, in diameters, a hole may be cut in one go before its chips pack. Common practice, no source."""

DRILL_SPEED: Final = 150.0
"""The most m/min at the edge of a drill. Common practice, no source."""

SLOWED: Final = 0.5
"""Short moves are reported if they make chips below this share of the least usual one: on a few moves the bit may rub
a little. Common practice, no source."""


@dataclass(frozen=True)
class _Cut:
    """What toolpaths that are judged together have in common. ``depth`` is mm at once, ``engagement`` mm across (None:
    the whole width). ``light``: a pass that takes off an allowance; ``straight``: a hole, straight down."""

    tool: Tool
    cutting: Cutting
    depth: float
    engagement: float | None
    light: bool
    straight: bool


def check_feeds(
    toolpaths: Iterable[Toolpath], stock: Stock, material: Material, machine: Machine | None = None
) -> tuple[Finding, ...]:
    """Warnings where chip loads, depths or speeds of a job are outside their usual ranges.

    With a ``machine``, chips are judged at the feed that its axes allow. There is one finding for each problem and each
    set of equal values, at the first toolpath that has it. How deep a trace (a curve in space) cuts is not known here;
    a note says that it was not judged. Nothing is changed. Raises `InputError` for a material that is not known.
    """
    if material not in USUAL:
        raise InputError(f"no chip loads are known for {material!r}; there are: {', '.join(USUAL)}")
    groups: dict[_Cut | None, list[Toolpath]] = {}
    widths: dict[object, float] = {}
    for path in toolpaths:
        groups.setdefault(_cut_of(path, stock, widths), []).append(path)
    traces = groups.pop(None, [])
    found: dict[tuple[str, Tool, Cutting], tuple[Finding, int]] = {}
    for cut, paths in groups.items():
        assert cut is not None
        for finding in _judged(cut, material, machine):
            key = (finding.what, cut.tool, cut.cutting)
            first, count = found.get(key, (finding.at(toolpath=paths[0].name), 0))
            found[key] = first, count + len(paths)
    said = [_counted(finding, count) for finding, count in found.values()]
    if traces:
        what = "chips of a cut in space are not judged: how deep it is at each place is not known here"
        said.append(_counted(_note(what, severity="note", toolpath=traces[0].name), len(traces)))
    if caution := USUAL[material].caution:
        said.append(_note(f"{material}: {caution} (common practice, no source)", severity="note"))
    return tuple(said)


def check_reached(
    toolpaths: Iterable[Toolpath], stock: Stock, material: Material, means: Mapping[str, float], machine: Machine
) -> tuple[Finding, ...]:
    """Warnings where moves are so short that the machine never reaches its feed, and the bit rubs.

    ``means`` is the mean feed (mm/min) of each toolpath as the controller plans it (`pathkit.machine.reached`).
    Toolpaths with the same bit and feed are judged together, by the fastest of their means.
    """
    best: dict[tuple[Tool, Cutting], tuple[float, Toolpath, _Cut]] = {}
    widths: dict[object, float] = {}
    for path in toolpaths:
        mean = means.get(path.name)
        cut = _cut_of(path, stock, widths) if mean is not None else None
        if cut is None or mean is None or cut.straight or cut.light or cut.cutting.spindle <= 0.0:
            continue
        key = (cut.tool, cut.cutting)
        if key not in best or mean > best[key][0]:
            best[key] = mean, path, cut
    said = []
    for mean, path, cut in best.values():
        low, _ = usual_chip_load(cut.tool, material, cut.depth)
        chip = chip_load_of(mean, cut.cutting.spindle, cut.tool.flutes) * _thins(cut)
        if chip < SLOWED * low and mean < 0.9 * cut.cutting.feed:
            slowest = min(machine.motion.acceleration[:2])
            what = (
                f"{cut.tool.name!r} is to feed at {cut.cutting.feed:g} mm/min and reaches {mean:.0f} at most on"
                f" average: its moves are short, and {machine.name!r} accelerates by {slowest:g} mm/s². Its chips"
                f" are {chip:.3f} mm a tooth, and usual in {material} is {low:.3f} mm or more: it rubs and burns"
            )
            said.append(_note(what, "turn slower, or take a bit with fewer flutes", toolpath=path.name))
    return tuple(said)


def _cut_of(path: Toolpath, stock: Stock, widths: dict[object, float]) -> _Cut | None:
    """What is judged of a toolpath; None for a trace. ``widths`` keeps the engagement of each curve for its copies."""
    if path.curve.is_trace:
        return None
    if path.curve.is_point and isinstance(path.entry, Plunge | Peck):
        whole = path.highest(stock) - path.lowest
        depth = min(whole, path.entry.depth) if isinstance(path.entry, Peck) else whole
        return _Cut(path.tool, path.cutting, round(depth, 6), None, light=False, straight=True)
    depth = round(path.deepest_bite(stock), 6)
    light = path.role == "finish"
    engaged = _engagement(path, widths) if path.role == "pocket" and not path.curve.is_point else None
    return _Cut(path.tool, path.cutting, depth, engaged, light, straight=False)


def _engagement(path: Toolpath, widths: dict[object, float]) -> float:
    """Average width (mm) of the bit that is in new wood: the area swept over the path's length (a definition)."""
    import numpy as np

    curve = path.curve
    alike = (path.tool.radius, np.round(curve.points - curve.points[0], 4).tobytes(), curve.sweeps.round(6).tobytes())
    if alike not in widths:
        swept = line_of(curve, 0.05).buffer(path.tool.radius)
        widths[alike] = min(path.tool.diameter, round(float(swept.area / max(curve.length, ROUNDING)), 2))
    return widths[alike]


def _thins(cut: _Cut) -> float:
    """The chips' thickness as a share of the feed per tooth, 0 to 1."""
    wide = width_at(cut.tool, cut.depth)
    sideways = 1.0 if cut.engagement is None or wide <= 0.0 else thinning(min(cut.engagement, wide), wide)
    return sideways * slant(cut.tool, cut.depth)


def _judged(cut: _Cut, material: Material, machine: Machine | None) -> list[Finding]:
    if cut.cutting.spindle <= 0.0:
        return []
    chips = _down(cut, material, machine) if cut.straight else _along(cut, material, machine)
    return [*chips, *_depth(cut, material), *_speed(cut, material)]


def _along(cut: _Cut, material: Material, machine: Machine | None) -> list[Finding]:
    tool, cutting = cut.tool, cut.cutting
    limit = math.inf if machine is None else min(machine.motion.feed_limit[:2])
    thick = chip_load_of(min(cutting.feed, limit), cutting.spindle, tool.flutes) * slant(tool, cut.depth)
    thin = chip_load_of(min(cutting.feed, limit), cutting.spindle, tool.flutes) * _thins(cut)
    # Wide bites thin the chip by less than the ranges are accurate to.
    thin = thick if thin > SAME * thick else thin
    low, high = usual_chip_load(tool, material, 0.0 if cut.light else cut.depth)
    usual = f"usual in {material} is {low:.3f} to {high:.3f} mm"
    if not cut.light and cut.depth > USUAL[material].depth * tool.diameter + SAME_PLACE:
        usual += f" at {cut.depth:g} mm deep"
    at = f" at the {limit:g} mm/min that {machine.name!r} can move" if machine and cutting.feed > limit else ""
    found = []
    # The chips of a finishing pass are thin anyway, so only breaking is judged there.
    if thin < low - ROUNDING and not cut.light:
        across = ""
        if cut.engagement is not None and thin < thick:
            across = f" with {cut.engagement:.2g} mm of it in the wood"
        found.append(
            _note(_of_chips(tool, thin, across + at, usual, "it rubs and burns"), "feed faster, or turn slower")
        )
    if thick > high + ROUNDING:
        found.append(_note(_of_chips(tool, thick, at, usual, "it may break"), "feed slower, or turn faster"))
    return found


def _of_chips(tool: Tool, chip: float, under: str, usual: str, so: str) -> str:
    return f"{tool.name!r} takes {chip:.3f} mm a tooth{under}, and {usual}: {so}"


def _down(cut: _Cut, material: Material, machine: Machine | None) -> list[Finding]:
    tool, cutting = cut.tool, cut.cutting
    limit = math.inf if machine is None else machine.motion.feed_limit[2]
    chip = chip_load_of(min(cutting.plunge, limit), cutting.spindle, tool.flutes)
    low, high = usual_chip_load(tool, material, 0.0)
    drills = tool.kind == "drill"
    high = high if drills else STRAIGHT_DOWN * high
    found = []
    if drills and chip < low - ROUNDING:
        what = (
            f"{tool.name!r} takes {chip:.3f} mm a tooth on its way down, and usual is {low:.3f} to {high:.3f} mm:"
            " it rubs and burns"
        )
        found.append(_note(what, "plunge faster, or turn slower"))
    if chip > high + ROUNDING:
        what = (
            f"{tool.name!r} takes {chip:.3f} mm a tooth on its way down, and usual is {high:.3f} mm at most:"
            " it may break"
        )
        found.append(_note(what, "plunge slower, or turn faster"))
    return found


def _depth(cut: _Cut, material: Material) -> list[Finding]:
    tool, depth = cut.tool, cut.depth
    if cut.straight:
        if depth <= PACKED * tool.diameter + SAME_PLACE:
            return []
        what = f"{tool.name!r} goes {depth:g} mm down at once, and the chips pack beyond {PACKED:g} diameters"
        return [_note(what, f"peck = {tool.diameter:g}, which clears them")]
    if tool.kind == "vee":
        cone = tool.radius / tool.flare
        if depth <= cone + SAME_PLACE:
            return []
        what = f"{tool.name!r} cuts {depth:g} mm deep at once, and its cone ends {cone:.2f} mm above its tip"
        return [_note(what, f"stepdown = {math.floor(cone * 100.0) / 100.0:g}, or a wider bit")]
    usual = USUAL[material].depth * tool.diameter
    if cut.light or depth <= usual + SAME_PLACE:
        return []
    what = f"{tool.name!r} cuts {depth:g} mm deep at once, and usual in {material} is up to {usual:g} mm"
    return [_note(what, f"stepdown = {usual:g}, or less")]


def _speed(cut: _Cut, material: Material) -> list[Finding]:
    tool, spindle = cut.tool, cut.cutting.spindle
    most = min(USUAL[material].speed, DRILL_SPEED if tool.kind == "drill" else math.inf)
    found = []
    # The edge of a vee or a ball is fastest where it cuts widest.
    speed = cutting_speed(width_at(tool, cut.depth), spindle)
    if speed > most * (1.0 + ROUNDING):
        slower = most / cutting_speed(width_at(tool, cut.depth), 1.0)
        what = (
            f"the edge of {tool.name!r} runs at {speed:.0f} m/min, and usual in {material} is {most:g} at most:"
            " it burns or melts"
        )
        found.append(_note(what, f"spindle = {math.floor(slower / 100.0) * 100:g}, or less"))
    if tool.kind != "drill" and not USUAL_SPEED[0] <= spindle <= USUAL_SPEED[1]:
        what = f"the spindle turns at {spindle:g} rpm; usual is {USUAL_SPEED[0]:g} to {USUAL_SPEED[1]:g}"
        found.append(_note(what, "choose a speed in that range, and a feed to match"))
    return found


def _counted(finding: Finding, count: int) -> Finding:
    return finding if count == 1 else replace(finding, what=f"{finding.what} ({count} toolpaths)")


def _note(what: str, fix: str = "", *, severity: Severity = "warning", toolpath: str | None = None) -> Finding:
    return Finding(check="feeds", what=what, fix=fix, severity=severity, toolpath=toolpath)
