"""Which board a machine takes: never one that is turned unasked, and never a smaller one without a word."""

from __future__ import annotations

import pytest

from pathkit.errors import Refused
from pathkit.jobs.order import Order
from pathkit.model.job import Setup
from tests.jobs.made import orders_from

LARGER = """[[board]]
name = "long"
width = 300
depth = 500
[[board]]"""
"""A board that fits the 600 × 400 mm of the machine only when it is turned."""


def turn_notes(made: Order) -> list[str]:
    return [str(note) for note in made.notes if "turn" in note.fix]


def test_a_larger_board_that_fits_when_turned_is_said(tags: str) -> None:
    (made,) = orders_from(tags.replace("[[board]]", LARGER))
    assert (made.job.stock.width, made.job.stock.depth) == (300.0, 200.0)
    (note,) = (note for note in made.notes if "turn" in note.fix)
    assert note.severity == "warning"
    assert "takes the board of 300 × 200 mm; the larger one of 300 × 500 mm fits if it is turned" in note.what
    assert "turn = 1" in note.fix
    assert "--turn 1" in note.fix
    # What it says works, and is said no more.
    (turned,) = orders_from(tags.replace("[[board]]", LARGER), setups=Setup(turn=1))
    assert turned.job.stock.depth == 500.0
    assert not turn_notes(turned)


def test_the_turn_that_the_job_gives_stands(tags: str) -> None:
    text = tags.replace("[[board]]", LARGER) + '\n[[machine]]\nprofile = "grbl-front-left"\n'
    for given, depth in (("turn = 0", 200.0), ("turn = 1", 500.0), ("turn = 3", 500.0)):
        (made,) = orders_from(f"{text}{given}\n", [])
        assert made.job.stock.depth == depth
        assert not turn_notes(made)
    assert turn_notes(orders_from(text, [])[0])


def test_a_board_that_fits_only_turned_is_refused_with_the_turn(tags: str) -> None:
    text = tags.replace("width = 300\ndepth = 200", "width = 300\ndepth = 500")
    with pytest.raises(Refused, match=r"it fits if it is turned: set turn = 1 .* or give --turn 1"):
        orders_from(text)
    named = tags.replace("[[board]]", LARGER) + '\n[[machine]]\nprofile = "grbl-front-left"\nboard = "long"\n'
    with pytest.raises(Refused, match=r"turn = 1") as raised:
        orders_from(named, [])
    assert raised.value.findings[0].line == next(k for k, line in enumerate(named.splitlines(), 1) if "[[board" in line)
    assert orders_from(f"{named}turn = 1\n", [])[0].job.stock.depth == 500.0


def test_a_board_that_fits_no_way_is_told_no_turn(tags: str) -> None:
    with pytest.raises(Refused) as raised:
        orders_from(tags.replace("width = 300\ndepth = 200", "width = 700\ndepth = 500"))
    assert all("it fits when" not in finding.fix for finding in raised.value.findings)
