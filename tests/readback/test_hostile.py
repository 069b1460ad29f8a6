"""Whatever a file holds, reading comes to an end, in little memory, with findings."""

from __future__ import annotations

import time
import tracemalloc
from dataclasses import replace
from itertools import cycle, product

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pathkit_posts.grbl import GRAMMAR as GRBL
from pathkit_posts.rs274ngc import GRAMMAR as NIST

from pathkit.machine.capabilities import Capabilities
from pathkit.machine.grammar import Grammar
from pathkit.readback import interpret
from pathkit.readback.interpret import MOST_FINDINGS
from tests.how_long import usually

# A reader without any limit is the most exposed.
ENDLESS = replace(NIST, line_limit=None, whole=frozenset(), line_number_max=None, needs_end=False)
GRAMMARS = (GRBL, NIST, ENDLESS)
SEED_TEXT = (
    b"%\nG21 G90 G94 G17 G54\nG0 Z5\nG0 X0 Y0\nM3 S9000\nG4 P1\nG1 Z-1 F300\nG2 X2 I1\nG98 G83 X3 Y3 Z-3 R1 Q1\n"
    b"G80\nG92 X0\nG53 G0 Z0\nG28 X1\nG10 L2 P1 X0\nG43.1 Z1\nT1 M6\nG93 G1 X1 F9\nG20\nG91\nM0\nM2\n%\n"
)


def well_formed(text: bytes, grammar: Grammar) -> None:
    reading = interpret(text, Capabilities(grammar=grammar))
    lines = len(text.replace(b"\r\n", b"\n").replace(b"\r", b"\n").split(b"\n"))
    assert len(reading.findings) <= MOST_FINDINGS + 20
    assert all(1 <= number <= lines for number in reading.program.line.tolist())
    for finding in reading.findings:
        assert finding.what
        assert finding.line is None or (1 <= finding.line <= lines and finding.column is not None)


@given(st.binary(max_size=300), st.sampled_from(GRAMMARS))
def test_random_bytes(text: bytes, grammar: Grammar) -> None:
    well_formed(text, grammar)


@given(st.text(alphabet="GMXYZIJRFSTPQLNKH0123456789.-+ \n(%;)/#[]$!", max_size=200), st.sampled_from(GRAMMARS))
def test_random_words(text: str, grammar: Grammar) -> None:
    well_formed(text.encode(), grammar)


@given(
    st.lists(
        st.tuples(st.integers(0, len(SEED_TEXT) - 1), st.integers(0, 12), st.binary(max_size=6)), min_size=1, max_size=8
    ),
    st.sampled_from(GRAMMARS),
)
def test_spoilt_programs(cuts: list[tuple[int, int, bytes]], grammar: Grammar) -> None:
    text = SEED_TEXT
    for at, gone, put in cuts:
        text = text[:at] + put + text[at + gone :]
    well_formed(text, grammar)


HUGE = ("9" * 400, "-" + "9" * 400, "0." + "0" * 400 + "1", "1e5", "-0")


@given(
    st.sampled_from("XYZIJKRFSTPQLNHD"),
    st.sampled_from(HUGE),
    st.sampled_from(SEED_TEXT.decode().splitlines()),
    st.sampled_from(GRAMMARS),
)
def test_numbers_without_measure(letter: str, number: str, line: str, grammar: Grammar) -> None:
    head = "G21 G90 G94 G17 G54 F100\nG0 Z5\nX0 Y0\n"
    text = f"{head}{line} {letter}{number}\nG1 X1\nG91 G1 {letter}{number} X2\nM3\nG2 X2 I1\nM2\n"
    well_formed(text.encode(), grammar)


LONG: dict[str, tuple[bytes, bytes, int, bytes]] = {
    "digits": (b"G", b"1", 10_000_000, b""),
    "words": (b"", b"X1 ", 3_000_000, b""),
    "codes": (b"", b"G1", 5_000_000, b""),
    "opening": (b"", b"(", 10_000_000, b""),
    "comments": (b"", b"()", 5_000_000, b""),
    "high": (b"", b"\xff", 10_000_000, b""),
    "high-in-comment": (b"M8 (", b"\x80", 9_000_000, b""),
    "blanks": (b"", b" ", 10_000_000, b"?"),
    "points": (b"", b".", 10_000_000, b""),
    "returns": (b"", b"\r", 100_000, b""),
}
"""How each line begins, what follows so many times, and how it ends."""
READERS = dict(zip(("grbl", "rs274ngc", "endless"), GRAMMARS, strict=True))


@pytest.mark.parametrize(
    ("name", "reader"), usually(zip(LONG, cycle(READERS), strict=False), of=product(LONG, READERS))
)
def test_ten_megabytes_in_a_line(name: str, reader: str) -> None:
    first, again, count, last = LONG[name]
    line, grammar = first + again * count + last, READERS[reader]
    begin = time.process_time()
    tracemalloc.start()
    try:
        reading = interpret(b"G21\n" + line, Capabilities(grammar=grammar))
        peak = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
    assert time.process_time() - begin < 20.0
    assert peak < 400e6
    assert len(reading.program) == 0


def test_junk_stops_the_reading() -> None:
    junk = np.random.default_rng(3).integers(0, 256, 2_000_000, np.uint8).tobytes()
    reading = interpret(junk, Capabilities(grammar=GRBL))
    assert len(reading.findings) <= MOST_FINDINGS + 3
    assert "stopped" in reading.findings[-1].what


def test_text_that_is_no_utf8_is_taken_as_it_would_be_sent() -> None:
    reading = interpret("G0 X1 \ud800", Capabilities(grammar=GRBL))
    assert reading.findings[0].check == "real-time bytes"
