"""A plain reader of moves: a regular expression over each line, modal state. It knows nothing of the library."""

from __future__ import annotations

import math
import re

WORD = re.compile(r"([A-Z])([-+]?[0-9]*\.?[0-9]*)")
COMMENT = re.compile(r"\([^)]*\)|;.*")
Row = tuple[int, float, float, float, float, float, float, int]


def read_moves(text: str) -> list[Row]:
    """Rows of motion (0 … 3), end, centre (NaN but for arcs), feed (NaN for rapids) and line, in the file's units.

    Absolute ends, incremental centres; words other than G0 to G3, X, Y, Z, I, J and F are passed over.
    """
    x = y = z = feed = math.nan
    motion = 0
    rows: list[Row] = []
    for number, line in enumerate(text.splitlines(), 1):
        if "(" in line or ";" in line:
            line = COMMENT.sub("", line)  # noqa: PLW2901
        before = x, y
        i = j = 0.0
        moves = skips = False
        for word in WORD.finditer(line):
            letter, digits = word.groups()
            if letter == "X":
                x, moves = float(digits), True
            elif letter == "Y":
                y, moves = float(digits), True
            elif letter == "Z":
                z, moves = float(digits), True
            elif letter == "G" and digits in ("0", "1", "2", "3"):
                motion = int(digits)
            elif letter == "F":
                feed = float(digits)
            elif letter == "I":
                i = float(digits)
            elif letter == "J":
                j = float(digits)
            elif letter == "G" and digits == "53":
                skips = True
        if skips:
            z = math.nan
        elif moves and motion > 1:
            rows.append((motion, x, y, z, before[0] + i, before[1] + j, feed, number))
        elif moves:
            rows.append((motion, x, y, z, math.nan, math.nan, feed if motion else math.nan, number))
    return rows
