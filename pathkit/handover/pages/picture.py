"""Where the board lies: a sketch of the bed as the operator sees it from the front of the machine, and the board from
the side."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final
from xml.sax.saxutils import escape, quoteattr

import numpy as np
from numpy.typing import NDArray

from pathkit.handover.pages.labels import width_of
from pathkit.handover.pages.measures import FONT, HALF, TALL, spread
from pathkit.machine.profile import Machine
from pathkit.model.job import Job, Setup
from pathkit.model.stock import Stock
from pathkit.texts.language import ENGLISH, Language
from pathkit.tolerances import SAME_HEIGHT
from pathkit.units import shown

Floats = NDArray[np.float64]

SHARE: Final = {
    "front-left": (0.0, 0.0), "front-right": (1.0, 0.0), "back-left": (0.0, 1.0), "back-right": (1.0, 1.0),
    "centre": (0.5, 0.5),
}  # fmt: skip
WAY: Final = {"right": (1.0, 0.0), "left": (-1.0, 0.0), "away": (0.0, 1.0), "toward": (0.0, -1.0)}
TEXT: Final = FONT / 2.0
SKETCH: Final = (235.0, 172.0)
MARGINS: Final = (17.0, 18.0, 17.0, 8.0)
"""Size of a sketch's labels, in steps of two units; room for the sketch in units of which 96 are an inch on paper; and
steps about what it shows: left, in front (most of it, where the operator stands), right and behind."""

Box = tuple[float, float, float, float]


@dataclass(frozen=True)
class Picture:
    """``svg`` is an element for a page, ``caption`` the text that belongs with it."""

    svg: str
    caption: str


def board_picture(job: Job, machine: Machine, setup: Setup, say: Language = ENGLISH) -> Picture:
    """A sketch of the bed with the board on it: what holds it, the zero mark, and arrows in the directions of X+ and
    Y+."""
    view = View(job.stock.width, job.stock.depth, setup.turn)
    bed, known = _bed(machine, setup, view)
    frame, unit = _framed(_hull(bed, (0.0, 0.0, view.width, view.depth)), machine, view, say)
    pen = _Pen(frame, unit)
    pen.rect(bed, "bed")
    pen.rect((0.0, 0.0, view.width, view.depth), "board")
    for zone in job.stock.zones:
        rings = [zone.shape.exterior, *zone.shape.interiors]
        pen.path(" ".join(_ring(pen, view.points(np.asarray(ring.coords))) for ring in rings), zone.kind)
    # Beside a zero in the middle, in the quarter where its name is not.
    away = (18.0 * unit, 17.0 * unit) if machine.origin == "centre" else (0.0, 0.0)
    _grain(pen, job, view, away, say)
    _zero(pen, machine, view, say)
    pen.text((frame[0] + frame[2]) / 2.0, frame[1] + 2.5 * unit, say("sheet-stand-here"), "you", TEXT, "middle")
    title = say("sheet-plan-title", job=job.name, machine=machine.name)
    return Picture(pen.svg(title), _caption(bed, known, machine.units, say))


def height_picture(stock: Stock, lowest: float, name: Callable[[float], str], say: Language = ENGLISH) -> str:
    """The board from the side, heights to scale: bed, underlay, board, where Z is zero, and the ``lowest`` cut.

    ``name`` says a height (mm) as the file does. Lengths in units of which 96 are an inch on paper.
    """
    low, high = stock.bed, stock.top
    scale = 62.0 / max(high - low, SAME_HEIGHT)

    def at(z: float) -> float:
        return 76.0 - (z - low) * scale

    parts = [f'<rect class="bed" x="0" y="{at(low):.2f}" width="104" height="10"/>']
    if stock.underlay > 0.0:
        parts.append(_box(6, at(stock.underside), 92, stock.underlay * scale, "underlay"))
    parts.append(_box(10, at(high), 84, stock.thickness * scale, "board"))
    parts.append(_box(46, at(high), 8, (high - max(lowest, low)) * scale, "kerf"))
    zero = at(0.0)
    parts.append(f'<path class="zero" d="M4 {zero:.2f}H104"/><circle class="zero" cx="4" cy="{zero:.2f}" r="3"/>')
    labels: dict[float, list[str]] = {}
    for z, text in ((high, "sheet-side-top"), (lowest, "sheet-side-deepest"), (0.0, "sheet-side-zero")):
        labels.setdefault(round(z, 3), []).append(say(text))
    heights = sorted(labels, reverse=True)
    # Labels of heights close together must not cover one another.
    spots = spread([at(z) for z in heights], [TALL] * len(heights), -TALL, 76.0 + 2.0 * TALL)
    wide = 0.0
    for z, y in zip(heights, spots or (), strict=True):
        parts.append(f'<path class="leader" d="M98 {at(z):.2f}H104L112 {y:.2f}"/>')
        text = f"{say.number(name(z))} {', '.join(labels[z])}"
        wide = max(wide, 114.0 + width_of(text, FONT))
        parts.append(f'<text x="114" y="{y + HALF:.2f}" font-size="{FONT}">{escape(text)}</text>')
    told = "; ".join(say("sheet-side-height", names=", ".join(labels[z]), height=say.number(name(z))) for z in heights)
    return (
        f'<svg class="side" viewBox="0 0 {wide:.0f} 94" width="{wide:.0f}" height="94" role="img"'
        f" aria-label={quoteattr(say('sheet-side-title', heights=told))}>{''.join(parts)}</svg>"
    )


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
        size = f'width="{2.0 * width / self.unit:.1f}" height="{2.0 * height / self.unit:.1f}"'
        return (
            f'<svg class="plan" viewBox="0 0 {_short(width)} {_short(height)}" {size} role="img"'
            f" aria-label={quoteattr(title)}>{''.join(self.parts)}</svg>"
        )


def _bed(machine: Machine, setup: Setup, view: View) -> tuple[Box, bool]:
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


def _grain(pen: _Pen, job: Job, view: View, away: tuple[float, float], say: Language) -> None:
    """An arrow with two ends in the grain's direction, on the board, ``away`` from its middle."""
    u = pen.unit
    angle = math.radians(job.stock.grain + 90.0 * view.turn)
    dx, dy = 7.0 * u * math.cos(angle), 7.0 * u * math.sin(angle)
    x, y = view.width / 2.0 + away[0], view.depth / 2.0 + away[1]
    pen.path(f"M{pen.xy(x - dx, y - dy)}L{pen.xy(x + dx, y + dy)}", "grain")
    beside = TEXT * u * (1.2 if abs(dy) < abs(dx) else 0.0)
    pen.text(x + (0.0 if beside else 2.0 * u), y - beside, say("sheet-grain"), "halo", TEXT,
             "middle" if beside else "start")  # fmt: skip


def _ring(pen: _Pen, points: Floats) -> str:
    return "M" + "L".join(pen.xy(x, y) for x, y in points[:, :2].tolist()) + "Z"


def _zero(pen: _Pen, machine: Machine, view: View, say: Language) -> None:
    share = SHARE[machine.origin]
    x, y = share[0] * view.width, share[1] * view.depth
    u = pen.unit
    # A solid disc with a white centre, larger than anything else on the board's edge.
    px, py = pen.xy(x, y).split()
    for axis in "xy":
        dx, dy = WAY[getattr(machine.axes, axis)]
        tip = x + 22.0 * u * dx, y + 22.0 * u * dy
        side = -dy, dx
        back = tip[0] - 4.0 * u * dx, tip[1] - 4.0 * u * dy
        pen.path(f"M{pen.xy(x, y)}L{pen.xy(*back)}", "axis")
        corners = [tip, (back[0] + 1.8 * u * side[0], back[1] + 1.8 * u * side[1]),
                   (back[0] - 1.8 * u * side[0], back[1] - 1.8 * u * side[1])]  # fmt: skip
        pen.path("M" + "L".join(pen.xy(*corner) for corner in corners) + "Z", "head")
        # Beside the board rather than on it, unless zero is in its middle.
        out = [0.0 if each == 0.5 else math.copysign(5.0 * u, each - 0.5) for each in share]
        label = tip[0] + 2.2 * u * dx + out[0] * abs(dy), tip[1] + 2.0 * u * dy + out[1] * abs(dx)
        anchor = "start" if dx > 0 else "end" if dx < 0 else "middle"
        drop = -2.2 * u if dx else (-4.4 * u if dy < 0 else 0.4 * u)
        pen.text(label[0], label[1] + drop, f"{axis.upper()}+", "axis-name", TEXT, anchor)
    pen.parts.append(f'<circle class="zero" cx="{px}" cy="{py}" r="{_short(2.6 * u)}"/>')
    pen.parts.append(f'<circle class="heart" cx="{px}" cy="{py}" r="{_short(0.9 * u)}"/>')
    inward = (1.0 if share[0] <= 0.5 else -1.0), (1.0 if share[1] <= 0.5 else -1.0)
    anchor = "end" if inward[0] > 0 else "start"
    below = 7.0 if inward[1] > 0 else -2.4
    pen.text(x - 3.4 * u * inward[0], y - below * u, say("sheet-zero-label"), "axis-name", TEXT, anchor)


def _framed(box: Box, machine: Machine, view: View, say: Language) -> tuple[Box, float]:
    """What a sketch shows in mm, and how many mm one of its units is: the ``box``, and zero with its arrows and names,
    each with room about it."""
    share = SHARE[machine.origin]
    zero = share[0] * view.width, share[1] * view.depth
    about = _about_zero(machine, say)
    lows = [((box[k], MARGINS[k]), (zero[k], about[k])) for k in (0, 1)]
    highs = [((box[k + 2], MARGINS[k + 2]), (zero[k], about[k + 2])) for k in (0, 1)]
    unit = max(
        (b - a) / (room / 2.0 - m - n)
        for low, high, room in zip(lows, highs, SKETCH, strict=True)
        for a, m in low
        for b, n in high
    )
    left, front = (min(at - margin * unit for at, margin in low) for low in lows)
    right, back = (max(at + margin * unit for at, margin in high) for high in highs)
    return (left, front, right, back), unit


def _about_zero(machine: Machine, say: Language) -> Box:
    """How far the arrows and names about zero reach to each side of it, in units."""
    share = SHARE[machine.origin]
    name = 3.4 + width_of(say("sheet-zero-label"), TEXT)
    axis = width_of("X+", TEXT)
    # The name of an axis that runs along the board's edge stands beside the edge.
    reach = {"left": 6.0 + axis / 2.0, "right": 6.0 + axis / 2.0, "toward": MARGINS[1], "away": 6.0 + TEXT}
    reach["left" if share[0] <= 0.5 else "right"] = name
    for way in (machine.axes.x, machine.axes.y):
        level = 24.2 + axis
        reach[way] = max(reach[way], {"toward": 30.0 + 1.6 * TEXT, "away": 24.4 + TEXT}.get(way, level))
    return reach["left"], reach["toward"], reach["right"], reach["away"]


def _hull(*boxes: Sequence[float]) -> Box:
    array = np.array(boxes)
    low, high = array.min(axis=0), array.max(axis=0)
    return float(low[0]), float(low[1]), float(high[2]), float(high[3])


def _caption(bed: Sequence[float], known: bool, units: str, say: Language) -> str:
    across, away = (say.number(shown(size, units)) for size in (bed[2] - bed[0], bed[3] - bed[1]))
    return say("sheet-bed-known" if known else "sheet-bed-free", across=across, away=away)


def _short(value: float) -> str:
    return f"{value:.2f}".rstrip("0").rstrip(".") if value else "0"
