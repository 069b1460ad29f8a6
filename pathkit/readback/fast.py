"""When plain blocks may be read in one sweep, and how that changes the reader's state."""

from __future__ import annotations

from typing import Final

import numpy as np

from pathkit.machine.grammar import Grammar
from pathkit.readback.columns import Columns
from pathkit.readback.motion import FARTHEST
from pathkit.readback.state import State, scale_of

WORTH_IT: Final = 1 << 16
"""Bytes from which compiling, or loading compiled code, pays off."""

_MOTIONS: Final = ("G0", "G1", "G2", "G3")
_RELIED_ON: Final = frozenset({"units", "distance", "offset", "feed mode", "motion"})
_ROWS: Final = 1 << 15
_LONGEST_PAUSE: Final = 1 << 10


def fast_lane(grammar: Grammar, data: bytes, columns: Columns) -> FastLane | None:
    """A fast lane for this text; None if it is too short or the controller has other words for plain moves."""
    fits = set(_MOTIONS) <= grammar.codes and set("XYZIJF") <= grammar.letters and b" " in grammar.blanks
    return FastLane(grammar, data, columns) if len(data) >= WORTH_IT and fits else None


class FastLane:
    """Reads runs of plain blocks; after a run too short to pay off it waits, twice as long each time."""

    def __init__(self, grammar: Grammar, data: bytes, columns: Columns) -> None:
        self._grammar = grammar
        self._columns = columns
        self._data = np.frombuffer(data, np.uint8)
        self._kind = np.zeros(_ROWS, np.uint8)
        self._rows = np.zeros((_ROWS, 7))
        self._line = np.zeros(_ROWS, np.int32)
        self._pause = self._wait = 0

    def run(self, begin: int, lines: int, state: State) -> tuple[int, int]:
        """Read on from the byte ``begin``, which follows ``lines`` lines; returns both for where it stopped."""
        if self._wait > 0 or not _all_known(state):
            self._wait -= 1
            return begin, lines
        from pathkit.readback import fast_kernel as fast

        limits = self._limits(state)
        carried = np.array(
            [*state.place.at, *state.place.base, state.feed, _MOTIONS.index(state.modes["motion"])], np.float64
        )
        at, first = begin, lines
        while True:
            at, count, read = fast.plain_blocks(
                self._data, at, limits, carried, self._kind, self._rows, self._line, fast.LETTERS, fast.POWERS
            )
            self._keep(count, lines)
            lines += read
            if count < _ROWS:
                break
        if len(self._columns) and lines > first:
            self._carry(state, carried)
        self._pause = 0 if lines - first > 8 else min(2 * self._pause + 1, _LONGEST_PAUSE)
        self._wait = self._pause
        return at, lines

    def _keep(self, count: int, lines: int) -> None:
        rows = self._rows[:count]
        numbers = self._line[:count] + np.int32(lines + 1)
        self._columns.rows(self._kind[:count], rows[:, 0:3], rows[:, 3:5], rows[:, 5], rows[:, 6], numbers)

    def _carry(self, state: State, carried: np.ndarray[tuple[int], np.dtype[np.float64]]) -> None:
        x, y, z, *_, feed, motion = carried.tolist()
        state.place = state.place._replace(at=(x, y, z))
        state.feed = feed
        state.modes = {**state.modes, "motion": _MOTIONS[int(motion)]}
        state.cycle = {}

    def _limits(self, state: State) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
        grammar, rule = self._grammar, self._grammar.arc
        scale = scale_of(state.modes)
        flat = "plane" in state.known and state.modes.get("plane") == "G17"
        numbered = grammar.line_number_max if "N" in grammar.letters else -1
        # Decimal counts up to 15 digits are exact in a float, and so is the power of ten that divides them.
        return np.array(
            [
                min(grammar.digits or 15, 15), min(grammar.line_limit or 4096, 4096), grammar.lower_case,
                flat and state.modes.get("arc distance") != "G90.1", scale,
                rule.slack if scale == 1.0 else rule.slack_inch, rule.relative, rule.limit, rule.full_turn, FARTHEST,
                1e15 if numbered is None else numbered,
                ("(", ")") in grammar.comments, (";", "") in grammar.comments, rule.single,
            ],
            np.float64,
        )  # fmt: skip


def _all_known(state: State) -> bool:
    modes = state.modes
    return (
        state.known >= _RELIED_ON
        and state.place.known
        and modes.get("distance") == "G90"
        and modes.get("feed mode") == "G94"
        and modes.get("motion") in _MOTIONS
        and modes.get("cutter", "G40") == "G40"
    )
