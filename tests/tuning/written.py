"""Cut files written by plain code that knows nothing of the library, as other programs might write them."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

HEAD = ["G21 G90 G94 G17", "S16000 M3", "G0 Z6"]
TAIL = ["G0 Z6", "M5", "M30"]


def text(lines: Iterable[str]) -> str:
    return "\n".join([*HEAD, *lines, *TAIL]) + "\n"


def square(x: float, y: float, side: float, depths: Sequence[float]) -> list[str]:
    """A square, lap by lap, the bit lifted after each."""
    lines = []
    for z in depths:
        lines += [f"G0 X{x} Y{y}", f"G1 Z{z} F300", f"G1 X{x + side} F1200", f"Y{y + side}", f"X{x}", f"Y{y}", "G0 Z6"]
    return lines


def drilled(places: Iterable[tuple[float, float]], depth: float = -5.0) -> list[str]:
    return [line for x, y in places for line in (f"G0 X{x} Y{y}", f"G1 Z{depth} F200", "G0 Z6")]


def pecked(x: float, y: float, depth: float = -6.0, peck: float = 2.0) -> list[str]:
    return [f"G0 X{x} Y{y}", f"G83 X{x} Y{y} Z{depth} R1 Q{peck} F200", "G80"]


def spiral(x: float, y: float, radius: float, depth: float, laps: int) -> list[str]:
    """A circle that goes down all the way round, and a level lap at the end."""
    lines = [f"G0 X{x + radius} Y{y}", "G1 Z0 F300"]
    for lap in range(1, laps + 1):
        z = depth * lap / laps
        lines += [f"G3 X{x - radius} Y{y} Z{z - depth / laps / 2:.4f} I{-radius} J0 F900"]
        lines += [f"G3 X{x + radius} Y{y} Z{z:.4f} I{radius} J0"]
    return [*lines, f"G3 X{x + radius} Y{y} I{-radius} J0", "G0 Z6"]


def rows(x: float, y: float, width: float, count: int, step: float, depth: float = -1.5) -> list[str]:
    """A recess, cleared to and fro without lifting."""
    lines = [f"G0 X{x} Y{y}", f"G1 Z{depth} F300", "F1500"]
    for number in range(count):
        lines += [f"G1 Y{y + number * step:.3f}", f"G1 X{x + width if number % 2 == 0 else x:.3f}"]
    return [*lines, "G0 Z6"]


def chords(x: float, y: float, radius: float, depth: float, count: int) -> list[str]:
    """A circle of short lines."""
    lines = [f"G0 X{x + radius} Y{y}", f"G1 Z{depth} F300", "F1000"]
    for k in range(1, count + 1):
        angle = 2.0 * math.pi * k / count
        lines.append(f"G1 X{x + radius * math.cos(angle):.4f} Y{y + radius * math.sin(angle):.4f}")
    return [*lines, "G0 Z6"]


def relief(lines: int, rows_: int, size: float) -> str:
    """A hilly ground in short lines, to and fro."""
    each = lines // rows_
    found: list[str] = []
    for row in range(rows_):
        y = row * size / rows_
        along = [size * k / (each - 1) for k in range(each)]
        for k, x in enumerate(along if row % 2 == 0 else along[::-1]):
            z = -2.0 + 1.5 * math.sin(x / 9.0) * math.cos(y / 13.0)
            if row == 0 and k == 0:
                found += [f"G0 X{x:.3f} Y{y:.3f}", f"G1 Z{z:.3f} F400", "F1800"]
            else:
                found.append(f"G1 X{x:.3f} Y{y:.3f} Z{z:.3f}")
    return text(found)
