"""What is filled is cut along the edge of what is seen (SVG 1.1, 11.3: open subpaths are closed, winding decides)."""

from __future__ import annotations

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry.base import BaseGeometry

from pathkit.drawings.drawing import Drawing
from pathkit.drawings.svg import read_svg
from pathkit.errors import InputError
from pathkit.jobs.audit.drawings import svg_figure
from pathkit.jobs.shapes import nested

PAGE = 'xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 100"'
ASKED = dict.fromkeys(("layer", "colour", "scale", "join")) | {"units": "mm"}


def text(inside: str, root: str = "") -> bytes:
    return f"<svg {PAGE} {root}>{inside}</svg>".encode()


def svg(inside: str, root: str = "") -> Drawing:
    return read_svg(text(inside, root), "icon.svg", units="mm")


def area_of(drawing: Drawing) -> float:
    outlines = nested([shape.curve for shape in drawing.shapes])
    return sum(abs(each.outer.area) - sum(abs(hole.area) for hole in each.holes) for each in outlines)


def audited(inside: str, root: str = "") -> float:
    rings = [shapely.Polygon(ring) for ring in svg_figure(text(inside, root), ASKED).rings]
    area: BaseGeometry = shapely.Polygon()
    for ring in rings:
        area = area.symmetric_difference(ring)
    return float(area.area)


CORNER = 'd="M10 10 H 30 V 30"'


@pytest.mark.parametrize(
    ("paint", "root", "closed"),
    [
        ("", "", True),
        ('fill="#000"', "", True),
        ('style="fill:#000"', "", True),
        ('fill="#000" stroke="red"', "", True),
        ('fill="none" stroke="red"', "", False),
        ('stroke="red"', "", False),
        ("", 'fill="none" stroke="red"', False),
        ('stroke="none" fill="#000"', 'fill="none" stroke="red"', True),
    ],
)
def test_what_is_filled_is_closed_and_a_mere_line_is_not(paint: str, root: str, closed: bool) -> None:
    (shape,) = svg(f"<path {CORNER} {paint}/>", root).shapes
    assert shape.curve.closed is closed
    assert len(svg_figure(text(f"<path {CORNER} {paint}/>", root), ASKED).rings) == closed


def test_a_straight_line_has_no_inside_to_fill() -> None:
    drawing = svg('<path d="M10 10 H 30"/><line x1="0" y1="0" x2="9" y2="9"/>')
    assert not any(shape.curve.closed for shape in drawing.shapes)
    with pytest.raises(InputError, match="'thin': has no size"):
        svg('<polygon id="thin" points="0,0 10,10 5,5"/>')


OUTER, SAME, OTHER = "M10 10h40v40h-40z", "M20 20h10v10h-10z", "M20 20v10h10v-10z"


@pytest.mark.parametrize(
    ("path", "rule", "area"),
    [
        (OUTER + OTHER, "", 1500.0),
        (OUTER + SAME, "", 1600.0),
        (OUTER + SAME, 'fill-rule="evenodd"', 1500.0),
        (OUTER + "M40 20h40v10h-40z", "", 1900.0),
        (OUTER + "M40 20h40v10h-40z", 'style="fill-rule: evenodd"', 1800.0),
        (OUTER + OUTER, "", 1600.0),
        ("M10 10 L30 30 L30 10 L10 30z", "", 200.0),
        ("M10 10h40v40h-40zM10 30h40v10h-40z", "", 1600.0),
    ],
)
def test_winding_decides_what_is_inside(path: str, rule: str, area: float) -> None:
    drawing = svg(f'<path d="{path}" {rule}/>')
    assert area_of(drawing) == pytest.approx(area)
    assert audited(f'<path d="{path}" {rule}/>') == pytest.approx(area)


def test_arcs_stay_arcs_where_nothing_crosses() -> None:
    ring = "M 50 20 a 30 30 0 1 1 -0.01 0 z M 50 30 a 20 20 0 1 0 0.01 0 z"
    drawing = svg(f'<path d="{ring}"/>')
    assert [bool(shape.curve.sweeps.any()) for shape in drawing.shapes] == [True, True]


boxes = st.tuples(st.integers(0, 40), st.integers(0, 40), st.integers(1, 40), st.integers(1, 40))


@given(st.lists(boxes, min_size=1, max_size=5))
def test_boxes_drawn_one_over_the_other_are_their_union(drawn: list[tuple[int, int, int, int]]) -> None:
    """Held against shapely's own union."""
    path = "".join(f"M{x} {y}h{w}v{h}h-{w}z" for x, y, w, h in drawn)
    union = shapely.union_all([shapely.box(x, y, x + w, y + h) for x, y, w, h in drawn])
    assert area_of(svg(f'<path d="{path}"/>')) == pytest.approx(union.area)
    assert audited(f'<path d="{path}"/>') == pytest.approx(union.area)
