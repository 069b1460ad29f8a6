"""The board on the bed, drawn as the operator sees it from the front of the machine: SVG, in mm, from above."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final
from xml.sax.saxutils import escape, quoteattr

import numpy as np
from numpy.typing import NDArray

from pathkit.curves.regions import helix_radius
from pathkit.machine.profile import Machine
from pathkit.model.curve import Curve
from pathkit.model.job import Job, Setup
from pathkit.texts.language import ENGLISH, Language
from pathkit.tolerances import SAME_HEIGHT, VANISHING

if TYPE_CHECKING:
    from pathkit.model.toolpath import Toolpath

Floats = NDArray[np.float64]

MOST_SPANS: Final = 30_000
"""Spans of toolpaths that are drawn; above that the rows of pockets are left out, and the caption says so."""

SHARE: Final = {
    "front-left": (0.0, 0.0), "front-right": (1.0, 0.0), "back-left": (0.0, 1.0), "back-right": (1.0, 1.0),
    "centre": (0.5, 0.5),
}  # fmt: skip
WAY: Final = {"right": (1.0, 0.0), "left": (-1.0, 0.0), "away": (0.0, 1.0), "toward": (0.0, -1.0)}
_KIND: Final = {
    "pocket": "recess", "finish": "recess", "engrave": "engrave", "chamfer": "chamfer", "outline": "outline",
}  # fmt: skip


@dataclass(frozen=True)
class Picture:
    """``svg`` is an element for a page, ``caption`` the text that belongs with it."""

    svg: str
    caption: str


def board_picture(job: Job, machine: Machine, setup: Setup, say: Language = ENGLISH) -> Picture:
    """Bed, board, parts, toolpaths and zones; the zero mark, and arrows in the directions of X+ and Y+."""
    view = View(job.stock.width, job.stock.depth, setup.turn)
    bed, known = _bed(machine, setup, view)
    box = _hull(bed, (0.0, 0.0, view.width, view.depth))
    unit = max(box[2] - box[0], box[3] - box[1]) / 100.0
    # Room for labels all round, most of it in front, where the operator stands.
    frame = (box[0] - 7.0 * unit, box[1] - 11.0 * unit, box[2] + 7.0 * unit, box[3] + 6.0 * unit)
    pen = _Pen(frame, unit)
    pen.rect(bed, "bed")
    pen.text(bed[0] + 1.2 * unit, bed[3] - 3.0 * unit, say("sheet-bed"), "faint", 2.2)
    pen.rect((0.0, 0.0, view.width, view.depth), "board")
    _grain(pen, job, machine, view, say)
    for zone in job.stock.zones:
        rings = [zone.shape.exterior, *zone.shape.interiors]
        pen.path(" ".join(_ring(pen, view.points(np.asarray(ring.coords))) for ring in rings), zone.kind)
    for part in job.parts:
        if part.outline is not None:
            pen.path(_path(pen, part.outline, view), "part")
    left_out = _toolpaths(pen, job.toolpaths, view)
    _dimensions(pen, machine, view, say)
    _zero(pen, machine, view, say)
    pen.text((frame[0] + frame[2]) / 2.0, frame[1] + 2.0 * unit, say("sheet-stand-here"), "you", 2.8, "middle")
    title = say("sheet-plan-title", job=job.name, machine=machine.name)
    return Picture(pen.svg(title), _caption(bed, known, left_out, say))


def height_picture(job: Job, say: Language = ENGLISH) -> str:
    """The board from the side, not to scale along x: bed, underlay, board, where Z is zero and how deep cuts go."""
    stock = job.stock
    low, high = stock.bed, stock.top
    lowest = min((path.lowest for path in job.toolpaths), default=high)
    tall = max(high - low, SAME_HEIGHT)
    scale = 26.0 / tall

    def at(z: float) -> float:
        return 36.0 - (z - low) * scale

    parts = [f'<rect class="bed" x="0" y="{at(low):.2f}" width="100" height="6"/>']
    if stock.underlay > 0.0:
        parts.append(_box(8, at(stock.underside), 60, stock.underlay * scale, "underlay"))
    parts.append(_box(12, at(high), 52, stock.thickness * scale, "board"))
    cut = max(lowest, low)
    parts.append(_box(36, at(high), 4, (high - cut) * scale, "kerf"))
    zero = at(0.0)
    parts.append(f'<path class="zero" d="M4 {zero:.2f}H72"/><circle class="zero" cx="4" cy="{zero:.2f}" r="1.3"/>')
    labels: dict[float, list[str]] = {}
    for z, name in ((high, "sheet-side-top"), (lowest, "sheet-side-deepest"), (0.0, "sheet-side-zero")):
        labels.setdefault(round(z, 3), []).append(say(name))
    y = -10.0
    for z, texts in sorted(labels.items(), reverse=True):
        # Labels of heights close together must not cover one another.
        y = max(at(z) + 1.2, y + 4.2)
        parts.append(f'<path class="leader" d="M66 {at(z):.2f}H73"/>')
        label = escape(f"{say.number(f'Z {z:g}')} {', '.join(texts)}")
        parts.append(f'<text x="74" y="{y:.2f}" font-size="3.4">{label}</text>')
    inside, title = "".join(parts), quoteattr(say("sheet-side-title"))
    return f'<svg class="side" viewBox="0 -4 108 48" role="img" aria-label={title}>{inside}</svg>'


def _box(x: float, y: float, width: float, height: float, kind: str) -> str:
    return f'<rect class="{kind}" x="{x}" y="{y:.2f}" width="{width}" height="{height:.2f}"/>'


class View:
    """The board as it lies after its quarter turns (counter-clockwise seen from above), front left corner at 0."""

    def __init__(self, width: float, depth: float, turn: int) -> None:
        self.turn = turn
        self._size = width, depth
        self.width, self.depth = (width, depth) if turn % 2 == 0 else (depth, width)

    def points(self, bench: Floats) -> Floats:
        x, y = bench[:, 0], bench[:, 1]
        width, depth = self._size
        turned = ((x, y), (depth - y, x), (width - x, depth - y), (y, width - x))[self.turn]
        return np.column_stack(turned)


class _Pen:
    """Collects elements; the frame (x0, y0, x1, y1) is in mm with y upward, while SVG's y runs down."""

    def __init__(self, frame: tuple[float, float, float, float], unit: float) -> None:
        self.frame, self.unit = frame, unit
        self.parts: list[str] = []

    def xy(self, x: float, y: float) -> str:
        return f"{_short(x - self.frame[0])} {_short(self.frame[3] - y)}"

    def rect(self, box: Sequence[float], kind: str) -> None:
        x, y = self.xy(box[0], box[3]).split()
        size = f'width="{_short(box[2] - box[0])}" height="{_short(box[3] - box[1])}"'
        self.parts.append(f'<rect class="{kind}" x="{x}" y="{y}" {size}/>')

    def path(self, d: str, kind: str) -> None:
        self.parts.append(f'<path class="{kind}" d="{d}"/>')

    def text(self, x: float, y: float, text: str, kind: str, size: float, anchor: str = "start") -> None:
        place = self.xy(x, y).split()
        self.parts.append(
            f'<text class="{kind}" x="{place[0]}" y="{place[1]}" font-size="{_short(size * self.unit)}"'
            f' text-anchor="{anchor}">{escape(text)}</text>'
        )

    def svg(self, title: str) -> str:
        width, height = self.frame[2] - self.frame[0], self.frame[3] - self.frame[1]
        # Lines keep their width on paper whatever the board's size.
        return (
            f'<svg class="plan" viewBox="0 0 {_short(width)} {_short(height)}" role="img" aria-label={quoteattr(title)}'
            f' style="--u:{self.unit:.4f}px">{"".join(self.parts)}</svg>'
        )


def _bed(machine: Machine, setup: Setup, view: View) -> tuple[tuple[float, float, float, float], bool]:
    """The bed in view coordinates, and whether its place round the board is known (else the board is in its middle)."""
    lengths = {"x": machine.travel.x, "y": machine.travel.y}
    across = "x" if WAY[machine.axes.x][0] else "y"
    along = "y" if across == "x" else "x"
    share = SHARE[machine.origin]
    zero = share[0] * view.width, share[1] * view.depth
    if machine.homed and setup.zero_at is not None and machine.travel.low is not None:
        spans = []
        for axis, datum in ((across, zero[0]), (along, zero[1])):
            k = "xy".index(axis)
            sign = sum(WAY[getattr(machine.axes, axis)])
            first = sign * (machine.travel.low[k] - setup.zero_at[k]) + datum
            last = first + sign * lengths[axis]
            spans.append((min(first, last), max(first, last)))
        return (spans[0][0], spans[1][0], spans[0][1], spans[1][1]), True
    left, front = (view.width - lengths[across]) / 2.0, (view.depth - lengths[along]) / 2.0
    return (left, front, left + lengths[across], front + lengths[along]), False


def _edges(machine: Machine, view: View, unit: float) -> tuple[float, float]:
    """x and y of the lines beside the board for its dimensions, on the sides without the axes' arrows."""
    share = SHARE[machine.origin]
    x = -2.6 * unit if share[0] > 0.5 else view.width + 3.6 * unit
    y = -3.6 * unit if share[1] > 0.5 else view.depth + 1.4 * unit
    return x, y


def _grain(pen: _Pen, job: Job, machine: Machine, view: View, say: Language) -> None:
    """A stroke in the grain's direction, beside the board and away from zero."""
    u = pen.unit
    angle = math.radians(job.stock.grain + 90.0 * view.turn)
    dx, dy = 2.6 * u * math.cos(angle), 2.6 * u * math.sin(angle)
    share = SHARE[machine.origin]
    x = -4.4 * u if share[0] > 0.5 else view.width + 4.4 * u
    y = 3.4 * u if share[1] > 0.5 else view.depth - 3.4 * u
    pen.path(f"M{pen.xy(x - dx, y - dy)}L{pen.xy(x + dx, y + dy)}", "grain")
    pen.text(x, y - 5.0 * u, say("sheet-grain"), "faint", 2.0, "middle")


def _toolpaths(pen: _Pen, paths: Sequence[Toolpath], view: View) -> bool:
    """Draw them, lightly; True if rows of pockets had to be left out."""
    spans = sum(len(path.curve.points) for path in paths)
    crowded = spans > MOST_SPANS
    grouped: dict[str, list[str]] = {}
    for path in paths:
        if crowded and path.role == "pocket":
            continue
        kind = _KIND.get(path.role, "through")
        if (reach := _round_hole(path)) is not None:
            x, y = view.points(path.curve.points[:1, :2])[0]
            r = path.tool.radius + reach
            drawn = f"M{pen.xy(x - r, y)}A{_short(r)} {_short(r)} 0 1 0 {pen.xy(x + r, y)}"
            grouped.setdefault("hole", []).append(f"{drawn}A{_short(r)} {_short(r)} 0 1 0 {pen.xy(x - r, y)}")
        else:
            grouped.setdefault(kind, []).append(_path(pen, path.curve, view))
        grouped.setdefault("tab", []).extend(_tab(pen, path, tab.at, view) for tab in path.tabs)
    for kind, drawn_paths in grouped.items():
        pen.path("".join(drawn_paths), f"cut {kind}")
    return crowded


def _round_hole(path: Toolpath) -> float | None:
    """How far (mm) the bit's centre goes from its first place where it leaves a round hole about that; else None."""
    if path.curve.is_point:
        return helix_radius(path)
    if path.role != "drill":
        return None
    left, front, right, back = path.curve.bounds
    x, y = path.curve.points[0, :2]
    reach = (right - left) / 2.0
    return reach if np.allclose((left + reach, front + reach, front + 2.0 * reach), (x, y, back)) else None


def _tab(pen: _Pen, path: Toolpath, at: float, view: View) -> str:
    """A short stroke across the path where wood is left."""
    here, ahead = view.points(np.array([path.curve.at(at)[:2], path.curve.at(at + 0.01)[:2]]))
    way = ahead - here
    side = np.array([-way[1], way[0]]) / max(math.hypot(*way), VANISHING) * max(path.tool.diameter, 1.2 * pen.unit)
    return f"M{pen.xy(*(here - side))}L{pen.xy(*(here + side))}"


def _path(pen: _Pen, curve: Curve, view: View) -> str:
    points = view.points(curve.points[:, :2])
    places = [pen.xy(x, y) for x, y in points.tolist()]
    d = [f"M{places[0]}"]
    following = [*places[1:], places[0]] if curve.closed else places[1:]
    spans = curve.spans
    for k, to in enumerate(following):
        sweep = 0.0 if curve.is_trace else float(curve.sweeps[k])
        if sweep == 0.0:
            d.append(f"L{to}")
            continue
        chord = math.dist(spans.start[k][:2], spans.end[k][:2])
        radius = _short(chord / 2.0 / math.sin(abs(sweep) / 2.0))
        # SVG's y runs down, so a counter-clockwise arc has its flag at 0.
        d.append(f"A{radius} {radius} 0 {int(abs(sweep) > math.pi)} {int(sweep < 0.0)} {to}")
    return "".join(d) + ("Z" if curve.closed else "")


def _ring(pen: _Pen, points: Floats) -> str:
    return "M" + "L".join(pen.xy(x, y) for x, y in points[:, :2].tolist()) + "Z"


def _dimensions(pen: _Pen, machine: Machine, view: View, say: Language) -> None:
    u = pen.unit
    beside, above = _edges(machine, view, u)
    pen.text(view.width / 2.0, above, say.number(f"{view.width:g} mm"), "size", 2.6, "middle")
    x, y = pen.xy(beside, view.depth / 2.0).split()
    pen.parts.append(
        f'<text class="size" x="{x}" y="{y}" font-size="{_short(2.6 * u)}" text-anchor="middle"'
        f' transform="rotate(-90 {x} {y})">{say.number(f"{view.depth:g} mm")}</text>'
    )


def _zero(pen: _Pen, machine: Machine, view: View, say: Language) -> None:
    share = SHARE[machine.origin]
    x, y = share[0] * view.width, share[1] * view.depth
    u = pen.unit
    # A solid disc with a white centre, larger than anything else on the board's edge.
    px, py = pen.xy(x, y).split()
    for axis in "xy":
        dx, dy = WAY[getattr(machine.axes, axis)]
        tip = x + 15.0 * u * dx, y + 15.0 * u * dy
        side = -dy, dx
        back = tip[0] - 2.4 * u * dx, tip[1] - 2.4 * u * dy
        pen.path(f"M{pen.xy(x, y)}L{pen.xy(*back)}", "axis")
        corners = [tip, (back[0] + 1.1 * u * side[0], back[1] + 1.1 * u * side[1]),
                   (back[0] - 1.1 * u * side[0], back[1] - 1.1 * u * side[1])]  # fmt: skip
        pen.path("M" + "L".join(pen.xy(*corner) for corner in corners) + "Z", "head")
        # Beside the board rather than on it, unless zero is in its middle.
        out = [0.0 if each == 0.5 else math.copysign(2.4 * u, each - 0.5) for each in share]
        label = tip[0] + 2.2 * u * dx + out[0] * abs(dy), tip[1] + 2.0 * u * dy + out[1] * abs(dx)
        anchor = "start" if dx > 0 else "end" if dx < 0 else "middle"
        drop = -1.1 * u if dx else (-2.2 * u if dy < 0 else 0.4 * u)
        pen.text(label[0], label[1] + drop, f"{axis.upper()}+", "axis-name", 3.6, anchor)
    pen.parts.append(f'<circle class="zero" cx="{px}" cy="{py}" r="{_short(1.7 * u)}"/>')
    pen.parts.append(f'<circle class="heart" cx="{px}" cy="{py}" r="{_short(0.6 * u)}"/>')
    inward = (1.0 if share[0] <= 0.5 else -1.0), (1.0 if share[1] <= 0.5 else -1.0)
    anchor = "end" if inward[0] > 0 else "start"
    pen.text(x - 2.4 * u * inward[0], y - (3.4 if inward[1] > 0 else -1.6) * u * inward[1] * inward[1],
             say("sheet-zero-label"), "axis-name", 2.8, anchor)  # fmt: skip


def _hull(*boxes: Sequence[float]) -> tuple[float, float, float, float]:
    array = np.array(boxes)
    low, high = array.min(axis=0), array.max(axis=0)
    return float(low[0]), float(low[1]), float(high[2]), float(high[3])


def _caption(bed: Sequence[float], known: bool, left_out: bool, say: Language) -> str:
    across, away = (say.number(f"{size:g} mm") for size in (bed[2] - bed[0], bed[3] - bed[1]))
    told = say("sheet-bed-known" if known else "sheet-bed-free", across=across, away=away)
    return f"{told} {say('sheet-rows-left-out')}" if left_out else told


def _short(value: float) -> str:
    return f"{value:.2f}".rstrip("0").rstrip(".") if value else "0"
