"""The fast reader reads exactly as the full reader does, and leaves it all that it cannot read."""

from __future__ import annotations

from dataclasses import replace
from functools import reduce
from itertools import zip_longest
from operator import xor
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pathkit_posts.grbl import GRAMMAR as GRBL
from pathkit_posts.rs274ngc import GRAMMAR as NIST

from pathkit.machine.capabilities import Capabilities
from pathkit.machine.grammar import Checksum, Grammar
from pathkit.readback import Reading, fast, interpret
from pathkit.readback.columns import Columns

HEAD = "G21\nG90 G94 G17 G54\nG0 Z5\nG0 X0 Y0\nG1 Z-1 F300\n"

STRICTER = (replace(NIST, modal=False), replace(GRBL, modal_feed=False), replace(GRBL, slanting_rapids=False))

numbers = st.one_of(
    st.integers(-99999, 99999).map(lambda n: f"{n / 1000:.3f}"),
    st.integers(-50, 50).map(str),
    st.from_regex(r"[+-]?[0-9]{0,7}\.?[0-9]{0,7}", fullmatch=True),
)
words = st.tuples(st.sampled_from("XYZXYZXYZIJFKRN"), numbers).map("".join)
ODD = """
M3 S900|G4 P1|(note)|;x|(no|G20|G21|G91|G90|G18|G17|G0 X1e3|!|/X1|%|$H|G28|G92 X3|G92.1|G55|M2|T1|G93|G94|G54|#1=2|
G2 X2 I1|G3 X1 Y1 R1|G80|G00X1Y2(c)Z3|g1 x2|X1 (a(b)|\x0bX1|N7 G1 X3|X1 N7|G1 G1 X2|G 1 X 3 . 5|X\t4|G1.0 X2||
X1 (a) Y2 (b)|(a)(b)|X3 ; (c|G1 F0|X1 F-1|X2 F99999999|X-0 Y-.0|G2 X1|X9999999|
"""
odd = st.sampled_from(ODD.replace("\n", "").split("|"))
plain = st.tuples(
    st.sampled_from(["", "G0 ", "G1 ", "G01", "G2 ", "G3 ", "G3"]),
    st.lists(words, min_size=1, max_size=5, unique_by=lambda word: word[0]).map(" ".join),
).map("".join)
circles = st.tuples(st.sampled_from("23"), st.integers(-30, 30), st.integers(-30, 30)).map(
    lambda t: f"G{t[0]} X{t[1]} Y{t[2]} I{t[1] / 2:g} J{t[2] / 2:g}\nX0 Y0 I{-t[1] / 2:g} J{-t[2] / 2:g}\nG1"
)
by_radius = st.tuples(
    st.sampled_from("23"), st.integers(-30, 30), st.integers(-30, 30), st.sampled_from([22, -50])
).map(lambda t: f"G{t[0]} X{t[1]} Y{t[2]} R{t[3]}\nX{-t[2]} Y{t[1]} R{t[3]}.5\nG1")
texts = st.tuples(
    st.lists(st.one_of(plain, plain, circles, by_radius, odd), max_size=30), st.sampled_from(["\n", "\r\n", "\r"])
).map(lambda t: (HEAD + "\n".join(t[0])).replace("\n", t[1]))


def both(text: str | bytes, grammar: Grammar, monkeypatch: pytest.MonkeyPatch) -> tuple[Reading, Reading]:
    capabilities = Capabilities(grammar=grammar)
    with monkeypatch.context() as patch:
        patch.setattr(fast, "pays", lambda _: True)
        quick = interpret(text, capabilities)
        patch.setattr(fast, "pays", lambda _: False)
        return quick, interpret(text, capabilities)


def assert_same(quick: Reading, full: Reading) -> None:
    assert quick.findings == full.findings
    assert quick.program == full.program
    # Equal is not enough: −0.0 equals 0.0, but the bytes must be the same too.
    for name in ("end", "centre", "sweep", "feed"):
        assert getattr(quick.program, name).tobytes() == getattr(full.program, name).tobytes()


def test_same_as_the_full_reader() -> None:
    monkeypatch = pytest.MonkeyPatch()

    @given(texts, st.sampled_from([GRBL, NIST, *STRICTER]))
    def same(text: str, grammar: Grammar) -> None:
        assert_same(*both(text, grammar, monkeypatch))

    same()


def test_checksums_as_the_full_reader_reads_them() -> None:
    monkeypatch = pytest.MonkeyPatch()
    rules = st.builds(Checksum, mark=st.sampled_from("*|"), kind=st.sampled_from(["xor", "sum"]),
                      hexadecimal=st.booleans())  # fmt: skip
    ends = st.lists(st.sampled_from(["right"] * 9 + ["none", "0", "00", "256", "-1", "FF", "right ", "rightright"]))

    @given(texts, rules, ends)
    def same(text: str, rule: Checksum, given_ends: list[str]) -> None:
        lines = []
        for line, end in zip_longest(text.splitlines(), given_ends[: len(text.splitlines())], fillvalue="right"):
            total = reduce(xor, line.encode(), 0) if rule.kind == "xor" else sum(line.encode()) % 256
            right = f"{rule.mark}{total:02X}" if rule.hexadecimal else f"{rule.mark}{total}"
            lines.append(line + ("" if end == "none" else end.replace("right", right)))
        assert_same(*both("\n".join(lines), replace(NIST, checksum=rule), monkeypatch))

    same()


def test_a_long_file_goes_through_the_lane(monkeypatch: pytest.MonkeyPatch) -> None:
    rng = np.random.default_rng(7)
    moves = np.round(rng.uniform(-200, 200, (3000, 2)), 3)
    lines = [f"G1 X{x:.3f} Y{y:.3f}" + (" F900" if x > 0 else "") for x, y in moves.tolist()]
    lines[1000] = "G1 X1 (half-way)"
    lines[2000] = "M8"
    text = HEAD + "\n".join(lines)
    calls: list[int] = []
    original = Columns.written

    def counting(self: Columns, count: int) -> None:
        calls.append(count)
        original(self, count)

    monkeypatch.setattr(Columns, "written", counting)
    quick, full = both(text, GRBL, monkeypatch)
    assert_same(quick, full)
    assert sum(calls) > 2900
    assert len(quick.program) == 3 + 3000 - 1


def test_more_rows_than_one_sweep_holds(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(fast, "_lines", lambda _: 64)
    text = HEAD + "".join(f"X{k}\n\n" for k in range(200))
    quick, full = both(text, GRBL, monkeypatch)
    assert_same(quick, full)
    assert quick.program.line[-1] == 5 + 2 * 200 - 1


def test_the_kernel_equals_its_plain_python_self(monkeypatch: pytest.MonkeyPatch) -> None:
    from pathkit.readback import fast_kernel

    text = b"G1X1.5Y-2F90\nN4 g0 z+3\n(c)\n\nG3X2.5Y-1I1\nG2 Y-3R9\nX7\nG2 X7 Y1 I9\n"
    limits = np.array([8, 79, 1, 1, 1, 0.005, 0.001, 0.5, 5e-7, 1e6, 1e7, 1, 1, 0, 1, 1, 1, 0, 0, 0, 0, 1], np.float64)
    results: list[Any] = []
    compiled: Any = fast_kernel.plain_blocks
    for run in (compiled, compiled.py_func):
        state = np.array([1.5, -1.0, 2, 0, 0, 0, 50, 1])
        moves = fast_kernel.Moves(
            np.zeros(9, np.uint8), np.zeros((9, 3)), np.zeros((9, 2)), np.zeros(9), np.zeros(9), np.zeros(9, np.int32)
        )
        data = np.frombuffer(text, np.uint8)
        stopped = run(data, 0, limits, state, moves, 0, 0, fast_kernel.LETTERS, fast_kernel.POWERS, np.zeros(9))
        results.append((stopped, state.tobytes(), *(column.tobytes() for column in moves)))
        for name in (
            "_behind_comment",
            "_number",
            "_arc",
            "_words",
            "_misses",
            "_centre_of",
            "_sweep_of",
            "_left_open",
            "_behind_checksum",
        ):
            helper = getattr(fast_kernel, name)
            monkeypatch.setattr(fast_kernel, name, getattr(helper, "py_func", helper))
    assert results[0] == results[1]
    assert results[0][0][1] == 4
