"""When plain blocks may be read in one sweep, and how that changes the reader's state."""

from __future__ import annotations

from typing import Final

import numpy as np

from pathkit.machine.grammar import Checksum, Grammar
from pathkit.readback.columns import Columns
from pathkit.readback.motion import FARTHEST
from pathkit.readback.state import State, scale_of

_WORTH_COMPILING: Final = 1 << 20
_WORTH_LOADING: Final = 1 << 13

_MOTIONS: Final = ("G0", "G1", "G2", "G3")
_RELIED_ON: Final = frozenset({"units", "distance", "offset", "feed mode", "motion"})
_SAMPLE: Final = 1 << 16


def fast_lane(grammar: Grammar, data: bytes, columns: Columns) -> FastLane | None:
    """A fast lane for this text; None if it would not pay, or the controller has other words for plain moves."""
    fits = set(_MOTIONS) <= grammar.codes and set("XYZIJF") <= grammar.letters and b" " in grammar.blanks
    return FastLane(grammar, data, columns) if fits and pays(len(data)) else None


def pays(size: int) -> bool:
    """Whether so many bytes are read sooner by the fast lane, though it must be imported, loaded or even compiled."""
    if size < _WORTH_LOADING:
        return False
    from pathkit.kernels import is_compiled
    from pathkit.readback.fast_kernel import plain_blocks

    return size >= _WORTH_COMPILING or is_compiled(plain_blocks)


class FastLane:
    """Reads runs of plain blocks."""

    def __init__(self, grammar: Grammar, data: bytes, columns: Columns) -> None:
        self._grammar = grammar
        self._columns = columns
        self._data = np.frombuffer(data, np.uint8)
        self._made: dict[tuple[float, bool, bool], np.ndarray[tuple[int], np.dtype[np.float64]]] = {}
        self._value = np.zeros(9)
        columns.reserve(_lines(data))

    def run(self, begin: int, lines: int, state: State) -> tuple[int, int]:
        """Read on from the byte ``begin``, which follows ``lines`` lines; returns both for where it stopped."""
        if not _all_known(state):
            return begin, lines
        from pathkit.readback import fast_kernel as fast

        limits = self._limits(state)
        carried = np.array(
            [*state.place.at, *state.place.base, state.feed, _MOTIONS.index(state.modes["motion"])], np.float64
        )
        at, columns, read = begin, self._columns, 0
        full = True
        while full:
            columns.reserve(1)
            at, count, passed = fast.plain_blocks(
                self._data, at, limits, carried, fast.Moves(**columns.moves), len(columns), lines + read, fast.LETTERS,
                fast.POWERS, self._value,
            )  # fmt: skip
            columns.written(count)
            read += passed
            full = len(columns) == columns.room
        if len(columns) and read:
            self._carry(state, carried)
        return at, lines + read

    def _carry(self, state: State, carried: np.ndarray[tuple[int], np.dtype[np.float64]]) -> None:
        x, y, z, *_, feed, motion = carried.tolist()
        state.place = state.place._replace(at=(x, y, z))
        state.feed = feed
        state.modes = {**state.modes, "motion": _MOTIONS[int(motion)]}
        state.cycle = {}

    def _limits(self, state: State) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
        scale = scale_of(state.modes)
        flat = "plane" in state.known and state.modes.get("plane") == "G17"
        flat = flat and state.modes.get("arc distance") != "G90.1"
        here = state.modes.get("distance") == "G91"
        if (scale, flat, here) not in self._made:
            self._made[scale, flat, here] = self._limits_of(scale, flat, here)
        return self._made[scale, flat, here]

    def _limits_of(self, scale: float, flat: bool, here: bool) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
        grammar, rule = self._grammar, self._grammar.arc
        numbered = grammar.line_number_max if "N" in grammar.letters else -1
        # Decimal counts up to 15 digits are exact in a float, and so is the power of ten that divides them.
        return np.array(
            [
                min(grammar.digits or 15, 15), min(grammar.line_limit or 4096, 4096), grammar.lower_case,
                flat, scale,
                rule.slack if scale == 1.0 else rule.slack_inch, rule.relative, rule.limit, rule.full_turn, FARTHEST,
                1e15 if numbered is None else numbered,
                ("(", ")") in grammar.comments, (";", "") in grammar.comments, rule.single,
                grammar.modal, grammar.modal_feed, grammar.slanting_rapids, *_checksum(grammar.checksum), here,
                "R" in grammar.letters,
            ],
            np.float64,
        )  # fmt: skip


def _checksum(rule: Checksum | None) -> tuple[int, bool, bool]:
    """Its mark (0: there is none), whether its bytes are added, and whether it is hexadecimal."""
    return (0, False, False) if rule is None else (ord(rule.mark), rule.kind == "sum", rule.hexadecimal)


def _lines(data: bytes) -> int:
    """About how many lines there are, from the first of them: room for rows that need not grow."""
    sample = data[:_SAMPLE]
    lines = max(sample.count(b"\n"), sample.count(b"\r")) + 1
    # A sixteenth more, since later lines may be shorter.
    return lines * len(data) // len(sample) * 17 // 16 if sample else 0


def _all_known(state: State) -> bool:
    modes = state.modes
    return (
        state.known >= _RELIED_ON
        and state.place.known
        and modes.get("distance") in ("G90", "G91")
        and modes.get("feed mode") == "G94"
        and modes.get("motion") in _MOTIONS
        and modes.get("cutter", "G40") == "G40"
    )
