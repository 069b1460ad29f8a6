"""A picture of a machine from above, with the operator in front: where zero is, and where X+ and Y+ point."""

from __future__ import annotations

from typing import Final
from xml.sax.saxutils import escape

from pathkit.machine.profile import Machine
from pathkit.texts.language import ENGLISH, Language

_WIDTH, _HEIGHT = 560, 470
_BOARD: Final = (160.0, 120.0, 240.0, 160.0)  # left, top, width, height
_LONG: Final = 96.0
_WAY: Final = {"right": (1, 0), "left": (-1, 0), "away": (0, -1), "toward": (0, 1)}
_CORNER: Final = {
    "front-left": (0.0, 1.0), "front-right": (1.0, 1.0), "back-left": (0.0, 0.0), "back-right": (1.0, 0.0),
    "centre": (0.5, 0.5),
}  # fmt: skip
_INK: Final = {"x": "#b3261e", "y": "#1b6e3c"}


def compass(machine: Machine, say: Language = ENGLISH) -> str:
    """A self-contained SVG; the same machine gives the same text in each language."""
    left, top, width, height = _BOARD
    share = _CORNER[machine.origin]
    zero = (left + share[0] * width, top + share[1] * height)
    axes, hand = machine.axes, "left" if machine.left_handed else "right"
    title = say("compass-title", name=machine.name, x=axes.x, y=axes.y, corner=machine.origin)
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {_WIDTH} {_HEIGHT}" width="{_WIDTH}" '
        f'height="{_HEIGHT}" font-family="sans-serif" role="img">',
        f"<title>{escape(title)}</title>",
        f'<rect width="{_WIDTH}" height="{_HEIGHT}" fill="#ffffff"/>',
        _text(_WIDTH / 2, 30, machine.name[:60], 18, "#202020", weight="bold"),
        _text(_WIDTH / 2, 50, say("compass-seen"), 12, "#606060"),
        f'<rect x="40" y="66" width="{_WIDTH - 80}" height="300" rx="6" fill="#eceff1" stroke="#b0bec5"/>',
        _text(58, 84, say("compass-bed"), 12, "#607d8b", anchor="start"),
        f'<rect x="{left:g}" y="{top:g}" width="{width:g}" height="{height:g}" fill="#e9d3ae" stroke="#a1887f"/>',
        _text(left + width / 2, top + height / 2 + 34, say("compass-board"), 13, "#795548"),
        *_arrow("x", zero, _WAY[axes.x]),
        *_arrow("y", zero, _WAY[axes.y]),
        f'<circle cx="{zero[0]:g}" cy="{zero[1]:g}" r="7" fill="#ffffff" stroke="#202020" stroke-width="2.5"/>',
        f'<circle cx="{zero[0]:g}" cy="{zero[1]:g}" r="2.5" fill="#202020"/>',
        *_operator(say),
        _text(_WIDTH / 2, 458, say("compass-way", z=axes.z, hand=hand), 12, "#404040"),
        "</svg>",
    ]  # fmt: skip
    return "\n".join(parts) + "\n"


def _arrow(axis: str, zero: tuple[float, float], way: tuple[int, int]) -> list[str]:
    """From zero along the axis; its name beyond the tip."""
    (x, y), (dx, dy), ink = zero, way, _INK[axis]
    tip = (x + dx * _LONG, y + dy * _LONG)
    base = (tip[0] - dx * 16, tip[1] - dy * 16)
    wings = [(base[0] - dy * 8, base[1] + dx * 8), (base[0] + dy * 8, base[1] - dx * 8)]
    points = " ".join(f"{px:g},{py:g}" for px, py in (tip, *wings))
    label = (tip[0] + dx * 22, tip[1] + dy * 18 + 6)
    return [
        f'<line x1="{x:g}" y1="{y:g}" x2="{base[0]:g}" y2="{base[1]:g}" stroke="{ink}" stroke-width="5"/>',
        f'<polygon points="{points}" fill="{ink}"/>',
        _text(*label, f"{axis.upper()}+", 18, ink, weight="bold", halo=True),
    ]


def _operator(say: Language) -> list[str]:
    """The operator at the front: head and shoulders from above."""
    middle = _WIDTH / 2
    return [
        f'<ellipse cx="{middle:g}" cy="402" rx="34" ry="13" fill="#78909c"/>',
        f'<circle cx="{middle:g}" cy="398" r="12" fill="#455a64"/>',
        _text(middle, 434, say("compass-you"), 13, "#455a64"),
    ]


def _text(
    x: float, y: float, text: str, size: int, ink: str, *, anchor: str = "middle", weight: str = "normal",
    halo: bool = False,
) -> str:  # fmt: skip
    edge = ' stroke="#ffffff" stroke-width="5" paint-order="stroke"' if halo else ""
    face = f'font-size="{size}" font-weight="{weight}" text-anchor="{anchor}"'
    return f'<text x="{x:g}" y="{y:g}" {face} fill="{ink}"{edge}>{escape(text)}</text>'
