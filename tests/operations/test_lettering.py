"""Text in single strokes: as high as asked, sign beside sign, and only what the font has."""

from __future__ import annotations

import pytest

from pathkit.errors import InputError
from pathkit.operations import lettering


def bounds(text: str, height: float = 21.0) -> tuple[float, float, float, float]:
    boxes = [curve.bounds for curve in lettering(text, (0.0, 0.0), height)]
    return (
        min(b[0] for b in boxes), min(b[1] for b in boxes), max(b[2] for b in boxes), max(b[3] for b in boxes),
    )  # fmt: skip


@pytest.mark.parametrize("sign", "ABEHIKLNTXZ")
def test_a_capital_is_as_high_as_asked_and_stands_on_the_base_line(sign: str) -> None:
    _, front, _, back = bounds(sign, 8.0)
    assert [front, back] == pytest.approx([0.0, 8.0])


def test_strokes_are_those_of_the_published_letters() -> None:
    # Hershey's simplex A: two legs and a bar, 18 units wide with its room; H is 22 (from memory).
    strokes = lettering("A", (0.0, 0.0), 21.0)
    assert [stroke.points.tolist() for stroke in strokes] == [
        [[9.0, 21.0], [1.0, 0.0]], [[9.0, 21.0], [17.0, 0.0]], [[4.0, 7.0], [14.0, 7.0]],
    ]  # fmt: skip
    assert lettering("AA", (0.0, 0.0), 21.0)[3].points[0].tolist() == [27.0, 21.0]


def test_a_text_begins_where_it_is_told_to_and_rounds_are_closed() -> None:
    (first, *_) = lettering("O 1", (10.0, 20.0), 5.0)
    assert first.closed
    assert bounds("O 1", 5.0)[0] == pytest.approx(first.bounds[0] - 10.0)
    assert first.bounds[1] == pytest.approx(20.0)


@pytest.mark.parametrize("text", ["", "  ", "naïve", "a" * 201, "tab\t"])
def test_what_cannot_be_engraved_is_refused(text: str) -> None:
    with pytest.raises(InputError):
        lettering(text, (0.0, 0.0), 5.0)
