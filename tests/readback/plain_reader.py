"""A plain reader of moves: a regular expression over each line, modal state. It knows nothing of the library."""

from __future__ import annotations

import math
import re

WORD = re.compile(r"([A-Z])([-+]?[0-9]*\.?[0-9]*)")
COMMENT = re.compile(r"\([^)]*\)|;.*")
MOTIONS = {"0": 0, "1": 1, "2": 2, "3": 3, "00": 0, "01": 1, "02": 2, "03": 3}


def read_moves(text: str) -> list[float]:
    """Of each row, one after the other: motion (0 … 3), end, centre (NaN but for arcs), feed (NaN for rapids) and line,
    in the file's units.

    Absolute ends, incremental centres; words other than G0 to G3, X, Y, Z, I, J and F are passed over.
    """
    x = y = z = feed = math.nan
    motion = 0
    nan, rows, words = math.nan, list[float](), WORD.finditer
    for number, line in enumerate(text.splitlines(), 1):
        if "(" in line or ";" in line:
            line = COMMENT.sub("", line)
        before = x, y
        i = j = 0.0
        moves = skips = lifted = False
        for word in words(line):
            letter, digits = word.groups()
            if letter == "X":
                x, moves = float(digits), True
            elif letter == "Y":
                y, moves = float(digits), True
            elif letter == "Z":
                z, moves = float(digits), True
            elif letter == "G" and digits in MOTIONS:
                motion = MOTIONS[digits]
            elif letter == "F":
                feed = float(digits)
            elif letter == "I":
                i = float(digits)
            elif letter == "J":
                j = float(digits)
            elif letter == "G" and digits in ("53", "92"):
                skips = True
                lifted = digits == "53"
        if skips:
            z = math.nan if lifted else z
        elif moves and motion > 1:
            rows += (motion, x, y, z, before[0] + i, before[1] + j, feed, number)
        elif moves:
            rows += (motion, x, y, z, nan, nan, feed if motion else nan, number)
    return rows
