"""Cut files written by plain code, and what they cut, read by plain code: nothing of the library is imported."""

from __future__ import annotations

import math
import random
import re

Place = tuple[float, float, float]


def drills(count: int = 24) -> str:
    """Holes in an order that nobody would choose."""
    some = random.Random(7)
    lines = ["(holes)", "G21 G90 G94 G17", "M3 S12000", "G0 Z12.0"]
    for _ in range(count):
        lines += [f"G0 X{some.randint(5, 150)}.0 Y{some.randint(5, 90)}.0", "G0 Z2.0", "G1 Z-4.0 F240", "G0 Z12.0"]
    return "\n".join([*lines, "M5", "M30"]) + "\n"


def spiral_in_increments_of_an_inch() -> str:
    """A spiral out from (2, 2) in, a quarter of an inch deep, all of it in increments."""
    lines = ["%", "O1000", "G20 G91 G17 G94", "S12000 M3", "G0 Z0.2", "G0 X2. Y2.", "G1 Z-.45 F20"]
    x = y = 0.0
    for k in range(1, 120):
        to = (round(0.005 * k * math.cos(k / 5), 4), round(0.005 * k * math.sin(k / 5), 4))
        lines.append(f"G1 X{to[0] - x:.4f} Y{to[1] - y:.4f} F60")
        x, y = to
    return "\r\n".join([*lines, "G0 Z.45", "M5", "M30", "%"]) + "\r\n"


def raster() -> str:
    """Rows of a relief, each as short lines."""
    lines = ["G21", "G90 G94", "M3 S15000", "G0 Z6.0"]
    for row in range(8):
        lines += [f"G0 X5.0 Y{5 + 2 * row}.0", "G1 Z-1.0 F400"]
        lines += [f"G1 X{6 + k}.0 Z{-1.0 - 0.8 * math.sin(k / 4) ** 2:.3f} F1500" for k in range(20)]
        lines += ["G0 Z6.0"]
    return "\n".join([*lines, "M5", "M2"]) + "\n"


def plate(*, name: str = "plate", depth: float = 6.2) -> str:
    """A square cut out in three levels, and two holes."""
    lines = [f"({name})", "G21 G90 G94 G17", "M3 S18000", "G0 Z15.0", "G0 X40.0 Y30.0"]
    for level in (depth / 3, 2 * depth / 3, depth):
        lines += [f"G1 Z-{level:.3f} F300", "X90.0 F1200", "Y70.0", "X40.0", "Y30.0"]
    for x in (100.0, 10.0):
        lines += ["G0 Z15.0", f"X{x} Y10.0", "G1 Z-3.0 F300"]
    return "\n".join([*lines, "G0 Z15.0", "M5", "M30"]) + "\n"


def two_bits() -> str:
    lines = ["G21 G90 G94 G17"]
    for number, speed, y in ((1, 9000, 5.0), (2, 12000, 40.0)):
        lines += [
            f"T{number} M6",
            f"M3 S{speed}",
            "G0 Z5.0",
            f"X5.0 Y{y}",
            "G1 Z-2.0 F200",
            "X50.0 F600",
            "G0 Z5.0",
            "M5",
        ]
    return "\n".join([*lines, "M30"]) + "\n"


def ends_of_cuts(text: str) -> set[Place]:
    """Where moves at a feed end below Z0, mm: of a file with lines only, in G90 or G91, G20 or G21."""
    at, unit, relative, motion, found = [0.0, 0.0, 0.0], 1.0, False, 0, set()
    for line in re.sub(r"\([^)]*\)|%", "", text).splitlines():
        words = re.findall(r"([A-Z])([-+]?[0-9]*\.?[0-9]+)", line)
        codes = [float(value) for letter, value in words if letter == "G"]
        unit = {20.0: 25.4, 21.0: 1.0}.get(next((g for g in codes if g in (20.0, 21.0)), 0.0), unit)
        relative = {90.0: False, 91.0: True}.get(next((g for g in codes if g in (90.0, 91.0)), 0.0), relative)
        motion = int(next((g for g in codes if g in (0.0, 1.0)), motion))
        for letter, value in words:
            if letter in "XYZ":
                axis = "XYZ".index(letter)
                at[axis] = (at[axis] if relative else 0.0) + float(value) * unit
        if motion == 1 and at[2] < -1e-6 and any(letter in "XYZ" for letter, _ in words):
            found.add((at[0], at[1], at[2]))
    return found


def are_the_same(first: set[Place], second: set[Place], within: float) -> bool:
    """Whether each place of one is a place of the other."""
    pairs = ((first, second), (second, first))
    return all(any(math.dist(a, b) <= within for b in others) for mine, others in pairs for a in mine)


def heights(text: str) -> list[float]:
    return [float(z) for z in re.findall(r"Z(-?[0-9.]+)", re.sub(r"\([^)]*\)", "", text))]
