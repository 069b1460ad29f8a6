"""Drawings with many shapes are read whole."""

import math
from itertools import pairwise

import pytest

from pathkit.drawings.drawing import MOST_SHAPES, loops
from pathkit.drawings.svg import read_svg
from pathkit.errors import InputError

PAGE = '<svg xmlns="http://www.w3.org/2000/svg" width="2000mm" height="2000mm" viewBox="0 0 2000 2000" stroke="black">'


def exploded(rings: int, sides: int) -> bytes:
    """Regular polygons of radius 10 in a row, every side a line by itself."""
    lines = []
    for ring in range(rings):
        turns = [2.0 * math.pi * k / sides for k in range(sides + 1)]
        places = [(20.0 + 30.0 * ring + 10.0 * math.cos(t), 20.0 + 10.0 * math.sin(t)) for t in turns]
        lines += [f'<line x1="{a:.6f}" y1="{b:.6f}" x2="{c:.6f}" y2="{d:.6f}"/>' for (a, b), (c, d) in pairwise(places)]
    return f"{PAGE}{''.join(lines)}</svg>".encode()


def test_exploded_outlines_are_joined_to_as_many_loops() -> None:
    found = loops(read_svg(exploded(20, 40), "rings.svg").shapes, "rings.svg")
    assert len(found) == 20
    assert all(curve.closed and len(curve.points) == 40 for curve in found)


def test_lines_stay_in_their_place_among_other_shapes() -> None:
    inside = '<line id="a" x2="9"/><circle id="b" r="3"/><line id="c" x1="1" y1="2" x2="1" y2="4" stroke="red"/>'
    drawing = read_svg(f"{PAGE}{inside}</svg>".encode(), "mixed.svg")
    assert [shape.name for shape in drawing.shapes] == ["line 'a'", "circle 'b'", "line 'c'"]
    assert [shape.colour for shape in drawing.shapes] == ["#000000", "#000000", "#ff0000"]
    assert drawing.shapes[2].curve.points.tolist() == [[1.0, 1998.0], [1.0, 1996.0]]


@pytest.mark.parametrize("end", ["0", "1e9", "1e400", "9%"])
def test_a_line_that_cannot_be_is_named(end: str) -> None:
    with pytest.raises(InputError, match=r"line 'odd'|9%"):
        read_svg(f'{PAGE}<line x2="9"/><line id="odd" x2="{end}"/></svg>'.encode(), "odd.svg")


def test_the_limit_takes_a_hundred_thousand_lines() -> None:
    assert MOST_SHAPES >= 100_000


def test_one_shape_more_than_the_limit_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("pathkit.drawings.svg.MOST_SHAPES", 40)
    assert len(read_svg(exploded(1, 40), "ring.svg").shapes) == 40
    with pytest.raises(InputError, match="more than 40 shapes"):
        read_svg(exploded(1, 41), "ring.svg")
