"""The path syntax of SVG (W3C SVG 1.1, chapter 8.3) as curves: lines and arcs exact, Béziers within a tolerance."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pathkit.drawings.curve_builder import Chain
from pathkit.errors import InputError
from pathkit.model.curve import Curve
from pathkit.tolerances import DRAWN_CURVE, ROUNDING

Floats = NDArray[np.float64]

LONGEST = 2_000_000
"""Characters of one path that are read."""

_COMMAND = re.compile(r"([MmZzLlHhVvCcSsQqTtAa])")
_NUMBER = r"[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?"
_COUNT = {"M": 2, "L": 2, "T": 2, "H": 1, "V": 1, "S": 4, "Q": 4, "C": 6}
_ARC = re.compile(rf"(?:{_NUMBER}[\s,]*){{3}}[01][\s,]*[01][\s,]*{_NUMBER}[\s,]*{_NUMBER}[\s,]*")


@dataclass(frozen=True)
class Affine:
    """p → (a·x + c·y + e, b·x + d·y + f), the order of the six numbers as in SVG's ``matrix()``."""

    a: float = 1.0
    b: float = 0.0
    c: float = 0.0
    d: float = 1.0
    e: float = 0.0
    f: float = 0.0

    def point(self, x: float, y: float) -> Floats:
        return np.array([self.a * x + self.c * y + self.e, self.b * x + self.d * y + self.f])

    def points(self, xy: Floats) -> Floats:
        moved: Floats = self.vectors(xy) + np.array([self.e, self.f])
        return moved

    def vectors(self, xy: Floats) -> Floats:
        """Directions (k, 2): not moved."""
        turned: Floats = np.asarray(xy, dtype=float) @ np.array([[self.a, self.b], [self.c, self.d]])
        return turned

    def after(self, first: Affine) -> Affine:
        """This map after ``first``."""
        x, y = self.vectors(np.array([[first.a, first.b], [first.c, first.d]]))
        moved = self.point(first.e, first.f)
        return Affine(float(x[0]), float(x[1]), float(y[0]), float(y[1]), float(moved[0]), float(moved[1]))


def curves_of_path(text: str, place: Affine | None = None, *, tolerance: float = DRAWN_CURVE) -> tuple[Curve, ...]:
    """One curve for each subpath, placed by ``place``; mm after it. Subpaths without length are left out.

    Raises `InputError` for what is no path, and where the extra ``svg`` is not installed.
    """
    place = place or Affine()
    chains: list[tuple[Chain, bool]] = []
    for segment in _segments(text):
        kind = type(segment).__name__
        if kind == "Move":
            chains.append((Chain(_mapped(place, segment.end)), False))
            continue
        if not chains or chains[-1][1]:
            chains.append((Chain(_mapped(place, segment.start)), False))
        chain = chains[-1][0]
        if kind == "Close":
            chains[-1] = (chain, True)
        elif kind == "Line":
            chain.line(_mapped(place, segment.end))
        elif kind == "Arc":
            _arc(chain, segment, place, tolerance)
        else:
            _bezier(chain, segment, place, tolerance)
    curves = (chain.curve(closed=closed) for chain, closed in chains)
    return tuple(curve for curve in curves if curve is not None)


def _segments(text: str) -> Any:
    try:
        from svg.path import parse_path
    except ImportError:
        raise InputError("drawings in SVG need the extra 'svg': pip install 'pathkit-cam[svg]'") from None
    if len(text) > LONGEST:
        raise InputError(f"a path of more than {LONGEST} characters; split the drawing")
    if (wrong := _first_fault(text)) is not None:
        raise InputError(f"not a path in SVG's syntax: {wrong}")
    try:
        segments = list(parse_path(text))
        ends = [place for s in segments for place in (s.start, s.end)]
    except (ValueError, IndexError, TypeError, ZeroDivisionError, OverflowError, AttributeError) as error:
        raise InputError(f"not a path in SVG's syntax: {str(error)[:80] or type(error).__name__}") from None
    if not all(math.isfinite(z.real) and math.isfinite(z.imag) for z in ends):
        raise InputError("a path with numbers that are not finite")
    return segments


def _first_fault(text: str) -> str | None:
    """What a browser would stop at. A path cut short in silence would be another part: nothing is left out here."""
    first, *rest = _COMMAND.split(text)
    if first.strip():
        return f"it begins with {first.strip()[:20]!r} and not with a command"
    if not rest:
        return "it has no command"
    if rest[0] not in "Mm":
        return f"it begins with {rest[0]} and not with M"
    for command, numbers in zip(rest[::2], rest[1::2], strict=True):
        kind = command.upper()
        if kind == "Z":
            sound = not numbers.strip()
        elif kind == "A":
            sound = bool(numbers.strip()) and not _ARC.sub("", numbers).strip(" \t\r\n,")
        else:
            count = len(re.findall(_NUMBER, numbers))
            sound = count > 0 and count % _COUNT[kind] == 0 and not re.sub(_NUMBER, "", numbers).strip(" \t\r\n,")
        if not sound:
            return f"{command} with {numbers.strip()[:40]!r}"
    return None


def _mapped(place: Affine, z: complex) -> Floats:
    return place.point(z.real, z.imag)


def _arc(chain: Chain, segment: Any, place: Affine, tolerance: float) -> None:
    if segment.start == segment.end:
        return  # the standard leaves such an arc out
    rx, ry = abs(segment.radius.real), abs(segment.radius.imag)
    if not (rx > 0.0 and ry > 0.0):
        chain.line(_mapped(place, segment.end))  # and draws this one as a line
        return
    tilt = math.radians(segment.rotation)
    u, v = _axes(segment, rx, ry, tilt)
    axes = place.vectors(np.array([u, v]))
    centre = _mapped(place, segment.center)
    chain.elliptic(centre, axes[0], axes[1], math.radians(segment.theta), math.radians(segment.delta), tolerance)


def _axes(segment: Any, rx: float, ry: float, tilt: float) -> tuple[Floats, Floats]:
    """Half axes as vectors. Radii too small for the distance are widened as the standard says (F.6.6)."""
    cos, sin = math.cos(tilt), math.sin(tilt)
    half = (segment.start - segment.end) / 2.0
    x, y = cos * half.real + sin * half.imag, -sin * half.real + cos * half.imag
    need = math.sqrt((x / rx) ** 2 + (y / ry) ** 2)
    rx, ry = (rx * need, ry * need) if need > 1.0 else (rx, ry)
    return np.array([rx * cos, rx * sin]), np.array([-ry * sin, ry * cos])


def _bezier(chain: Chain, segment: Any, place: Affine, tolerance: float) -> None:
    names = [n for n in ("start", "control", "control1", "control2", "end") if hasattr(segment, n)]
    points = np.array([_mapped(place, getattr(segment, name)) for name in names])
    if len(points) == 3:
        # A quadratic is a cubic whose handles lie two thirds of the way to its control point.
        q = points
        points = np.array([q[0], q[0] + (q[1] - q[0]) * 2.0 / 3.0, q[2] + (q[1] - q[2]) * 2.0 / 3.0, q[2]])

    def at(t: Floats) -> tuple[Floats, Floats]:
        s, t = 1.0 - t[:, None], t[:, None]
        p0, p1, p2, p3 = points
        where = s**3 * p0 + 3 * s * s * t * p1 + 3 * s * t * t * p2 + t**3 * p3
        ahead = 3 * s * s * (p1 - p0) + 6 * s * t * (p2 - p1) + 3 * t * t * (p3 - p2)
        return where, _never_still(ahead, points)

    chain.smooth(at, 0.0, 1.0, tolerance)


def _never_still(ahead: Floats, points: Floats) -> Floats:
    """Handles of no length make the derivative vanish at an end; the heading there is that to the next point."""
    still = np.hypot(ahead[:, 0], ahead[:, 1]) < ROUNDING
    if still[0]:
        ahead[0] = next((p - points[0] for p in points[1:] if np.abs(p - points[0]).max() > ROUNDING), ahead[0])
    if still[-1]:
        ahead[-1] = next((points[3] - p for p in points[2::-1] if np.abs(points[3] - p).max() > ROUNDING), ahead[-1])
    return ahead
