"""A bench that knows nothing of the library: it moves a point over a board, guided by words such as "left".

It takes a text of G-code, four words that say where the bit goes relative to the board as each number grows, and the
name of the corner over which the bit stands at X0 Y0. It reads the numbers with one regular expression and walks. What
comes out is the line that the bit draws on the board, as the operator sees it: x to the right, y away, z up, from the
board's front left corner, in millimetres.

Arcs are drawn as a controller draws them: in *its own* numbers, clockwise for G2 and counter-clockwise for G3 about
start + (I, J), and the bench then walks to every point of the arc on the board. So nothing here decides whether an arc
has to be mirrored: a wrong one simply bulges to the wrong side.
"""

from __future__ import annotations

import math
import re

WORD = re.compile(r"([A-Z])([-+]?\d*\.?\d+)")

MOVES = {
    "right": (1, 0, 0), "left": (-1, 0, 0), "away": (0, 1, 0), "toward": (0, -1, 0),
    "up": (0, 0, 1), "down": (0, 0, -1),
}  # fmt: skip

Point = tuple[float, float, float]


def corner_place(corner: str, size: tuple[float, float]) -> tuple[float, float]:
    """Where the named corner of a board of this size lies, as the operator sees it."""
    if corner == "centre":
        return size[0] / 2, size[1] / 2
    front_or_back, left_or_right = corner.split("-")
    x = {"left": 0.0, "right": size[0]}[left_or_right]
    y = {"front": 0.0, "back": size[1]}[front_or_back]
    return x, y


def walk(numbers: list[float], words: tuple[str, str, str], corner: str, size: tuple[float, float]) -> Point:
    """The place that lies, from the corner, so many millimetres in the direction of each axis' word."""
    x, y = corner_place(corner, size)
    place = [x, y, 0.0]
    for number, word in zip(numbers, words, strict=True):
        for axis in range(3):
            place[axis] += MOVES[word][axis] * number
    return place[0], place[1], place[2]


def simulate(text: str, words: tuple[str, str, str], corner: str, size: tuple[float, float]) -> list[list[Point]]:
    """The strokes of the bit: unbroken runs of G1, G2, G3, each from a rapid's end. Absolute words, arcs by I J."""
    numbers = [0.0, 0.0, 0.0]
    unit, mode = 1.0, 0
    strokes: list[list[Point]] = []
    for line in text.splitlines():
        plain = re.sub(r"\([^)]*\)|;.*|%", "", line).replace(" ", "").upper()
        block = WORD.findall(plain)
        for letter, value in block:
            if letter == "G" and float(value) in (0, 1, 2, 3):
                mode = int(float(value))
            elif letter == "G" and float(value) in (20, 21):
                unit = 25.4 if float(value) == 20 else 1.0
        if any(letter == "G" and float(value) in (4, 28, 30, 53, 92) for letter, value in block):
            continue
        found = {letter: float(value) * unit for letter, value in block}
        if not found.keys() & {"X", "Y", "Z"}:
            continue
        target = [found.get(axis, old) for axis, old in zip("XYZ", numbers, strict=True)]
        if mode == 0:
            strokes.append([walk(target, words, corner, size)])
        elif mode == 1:
            _begin(strokes).append(walk(target, words, corner, size))
        else:
            _begin(strokes)
            for place in _arc(numbers, target, found.get("I", 0.0), found.get("J", 0.0), clockwise=mode == 2):
                strokes[-1].append(walk(place, words, corner, size))
        numbers = target
    return [stroke for stroke in strokes if len(stroke) > 1]


def _begin(strokes: list[list[Point]]) -> list[Point]:
    if not strokes:
        strokes.append([])
    return strokes[-1]


def _arc(start: list[float], end: list[float], i: float, j: float, *, clockwise: bool) -> list[list[float]]:
    """64 points of the arc in the controller's own numbers; end = start is a full circle."""
    centre = start[0] + i, start[1] + j
    radius = math.hypot(i, j)
    first = math.atan2(start[1] - centre[1], start[0] - centre[0])
    last = math.atan2(end[1] - centre[1], end[0] - centre[0])
    sweep = (first - last) if clockwise else (last - first)
    sweep %= 2 * math.pi
    if sweep < 1e-9:
        sweep = 2 * math.pi
    points = []
    for step in range(1, 65):
        angle = first + (-sweep if clockwise else sweep) * step / 64
        z = start[2] + (end[2] - start[2]) * step / 64
        points.append([centre[0] + radius * math.cos(angle), centre[1] + radius * math.sin(angle), z])
    points[-1] = list(end)
    return points
