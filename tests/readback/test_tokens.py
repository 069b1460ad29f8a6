"""Lines, comments, columns and numbers, as a controller takes them."""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pathkit_posts.grbl import GRAMMAR as GRBL
from pathkit_posts.rs274ngc import GRAMMAR as NIST

from pathkit.readback.faults import Refusal, Unread
from pathkit.readback.tokens import Tokenizer, number


@pytest.mark.parametrize(
    ("raw", "bare"),
    [
        (b"g0 x 1 2\ty-3", "G0X12Y-3"),
        (b"(a(b)G1", "G1"),
        (b"G1(a;b)X1;c(d)", "G1X1"),
        (b"G0 X1 (open", "G0X1"),
        (b"/G0/X1", "G0X1"),
        (b"G0 \x80\xffX!1 (w\x84)", "G0X1"),
        (b"\x00\x07G0", "G0"),
        (b"", ""),
    ],
)
def test_what_grbl_drops(raw: bytes, bare: str) -> None:
    assert Tokenizer(GRBL).bare(raw) == bare


@pytest.mark.parametrize(
    ("raw", "fault", "at"),
    [
        (b"G0 (a(b) X1", "nested comment", 3),
        (b"G0 (a) (b", "open comment", 7),
        (b"G0 (a) (b (c) X1", "nested comment", 7),
        (b"G0" + b" " * 260 + b"X1", "line too long", 256),
    ],
)
def test_comments_and_lengths_that_rs274_refuses(raw: bytes, fault: str, at: int) -> None:
    with pytest.raises(Refusal) as caught:
        Tokenizer(NIST).bare(raw)
    assert (caught.value.fault, caught.value.at) == (fault, at)


def test_the_line_limit_counts_what_is_left() -> None:
    tokens = Tokenizer(GRBL)
    assert len(tokens.bare(b"G1 " * 26 + b" " * 200 + b"X (" + b"c" * 200)) == 53
    assert len(tokens.bare(b"X" * 79)) == 79
    with pytest.raises(Refusal):
        tokens.bare(b"X" * 80)


def test_expressions_are_named_where_the_controller_would_work_them_out() -> None:
    for text in ("#1=5", "X[1+2]", "X#5", "G0X-[3]"):
        caught = Unread if text != "G0X-[3]" else Refusal
        with pytest.raises(caught):
            list(Tokenizer(NIST).words(text))
        with pytest.raises(Refusal):
            list(Tokenizer(GRBL).words(text))


@given(st.binary(max_size=40), st.booleans())
def test_column_points_at_the_byte_that_the_bare_block_kept(raw: bytes, first: bool) -> None:
    tokens = Tokenizer(replace(GRBL if first else NIST, line_limit=None))
    try:
        bare = tokens.bare(raw.replace(b"\n", b"").replace(b"\r", b""))
    except Refusal:
        return
    raw = raw.replace(b"\n", b"").replace(b"\r", b"")
    columns = [tokens.column(raw, index) for index in range(len(bare))]
    assert columns == sorted(set(columns))
    assert bytes(raw[c - 1] for c in columns).upper() == bare.encode("latin-1")


@given(st.integers(-(10**17), 10**17), st.integers(0, 17))
def test_numbers_are_the_nearest_float(count: int, decimals: int) -> None:
    digits = f"{abs(count):0{decimals + 1}d}"
    text = ("-" if count < 0 else "") + (f"{digits[:-decimals]}.{digits[-decimals:]}" if decimals else digits)
    assert number(text, None) == float(text)


@given(st.from_regex(re.compile(r"[+-]?(?:[0-9]{1,14}\.?[0-9]{0,14}|\.[0-9]{1,14})", re.ASCII), fullmatch=True))
def test_digits_beyond_the_eighth_only_hold_their_place(text: str) -> None:
    # The same rule on exact fractions: GRBL 1.1h's number reader, reproduced with its own code.
    value, scale, seen, point = Fraction(0), Fraction(1), 0, False
    for sign in text.lstrip("+-"):
        if sign == ".":
            point = True
            continue
        seen += 1
        if seen <= 8:
            value = value * 10 + int(sign)
            scale *= 10 if point else 1
        elif not point:
            value *= 10
    expected = float(value / scale) * (-1 if text[0] == "-" else 1)
    assert number(text, 8) == expected


def test_endless_numbers_are_read_at_once() -> None:
    assert number("1" * 1_000_000, None) == float("inf")
    assert number("0" * 1_000_000 + "7.25", None) == 7.25
    assert number("0." + "0" * 1_000_000 + "1", None) == 0.0
    assert number("-" + "0" * 1_000_000, 8) == 0.0
