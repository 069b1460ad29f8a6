"""SVG drawings are cut as drawn, in mm and the right way up; what is unsafe or unclear is refused."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pathkit.drawings.drawing import Drawing, loops
from pathkit.drawings.svg import read_svg
from pathkit.errors import InputError

NS = 'xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"'
INKSCAPE = 'xmlns:inkscape="http://www.inkscape.org/namespaces/inkscape"'


def svg(inside: str, page: str = 'width="100mm" height="50mm" viewBox="0 0 100 50"', **options: Any) -> Drawing:
    return read_svg(f"<svg {NS} {INKSCAPE} {page}>{inside}</svg>".encode(), "part.svg", **options)


def test_the_drawing_stands_the_right_way_up_in_mm() -> None:
    (rect,) = svg('<rect x="10" y="5" width="20" height="10"/>').shapes
    assert rect.curve.bounds == pytest.approx((10.0, 35.0, 30.0, 45.0))
    assert rect.curve.closed


def test_basic_shapes_have_their_areas() -> None:
    drawing = svg(
        '<rect width="20" height="10" rx="2"/><circle cx="50" cy="25" r="5"/><ellipse cx="50" cy="25" rx="6" ry="3"/>'
        '<polygon points="0,0 10,0 0,10"/><line x1="0" y1="0" x2="3" y2="4"/>'
        '<polyline points="0 0 1 0 1 1" fill="none" stroke="#000"/>'
    )
    areas = [abs(shape.curve.area) for shape in drawing.shapes]
    wanted = [200.0 - (4.0 - math.pi) * 4.0, math.pi * 25.0, math.pi * 18.0, 50.0, 0.0, 0.0]
    assert areas == pytest.approx(wanted, abs=0.05)
    assert drawing.shapes[4].curve.length == pytest.approx(5.0)
    for k in (0, 1):
        assert np.any(drawing.shapes[k].curve.sweeps != 0.0), "arcs stay arcs"
    assert len(drawing.shapes[0].curve.points) == 8
    assert len(drawing.shapes[1].curve.points) == 2


@given(st.floats(-180, 180), st.floats(0.2, 4.0), st.booleans())
def test_arcs_survive_turning_scaling_and_mirroring(angle: float, scale: float, mirror: bool) -> None:
    sign = -1 if mirror else 1
    drawing = svg(
        f'<g transform="translate(40 20) rotate({angle}) scale({scale * sign} {scale})">'
        '<path d="M-3 0A3 3 0 0 1 3 0L0 5z"/></g>'
    )
    (shape,) = drawing.shapes
    assert np.count_nonzero(shape.curve.sweeps) == 1
    assert abs(shape.curve.area) == pytest.approx((15.0 + math.pi * 4.5) * scale**2, rel=1e-9)


def test_a_stretched_circle_is_an_ellipse() -> None:
    (shape,) = svg('<circle r="4" transform="translate(20,20),scale(3,1) skewX(10)"/>').shapes
    assert abs(shape.curve.area) == pytest.approx(math.pi * 16.0 * 3.0, abs=0.1)


@pytest.mark.parametrize(
    ("page", "units", "wide"),
    [
        ('width="10cm" height="5cm" viewBox="0 0 200 100"', None, 10.0),
        ('width="4in" height="2in" viewBox="0 0 400 200"', None, 20 * 0.254),
        ('width="72pt" height="72pt" viewBox="0 0 72 72"', None, 20 * 25.4 / 72),
        ('width="96" height="96" viewBox="0 0 96 96"', "px", 20 * 25.4 / 96),
        ('viewBox="0 0 15 15"', "mm", 20.0),
        ('width="100mm" height="50mm" viewBox="0 0 100 50"', "mm", 20.0),
        ('width="100mm" height="50mm"', None, 20 * 25.4 / 96),
    ],
)
def test_what_a_unit_is(page: str, units: str | None, wide: float) -> None:
    (rect,) = svg('<rect width="20" height="2"/>', page, units=units).shapes
    box = rect.curve.bounds
    assert box[2] - box[0] == pytest.approx(wide)


@pytest.mark.parametrize(
    ("page", "units", "said"),
    [
        ('width="15" height="15" viewBox="0 0 15 15"', None, "its size is not known"),
        ('viewBox="0 0 15 15"', None, "its size is not known"),
        ('width="100mm" height="50mm" viewBox="0 0 100 50"', "inch", "the drawing itself says 1 mm"),
        ('width="100mm" height="80mm" viewBox="0 0 100 50"', None, "stretched"),
        ('width="100mm" height="50mm" viewBox="0 0 0 50"', None, "viewBox"),
        ('width="100mm" height="50mm"', "mm", "without a viewBox a unit is a pixel"),
        ("", "mm", "neither a viewBox nor"),
    ],
)
def test_a_size_that_is_not_known_or_contradicts_is_refused(page: str, units: str | None, said: str) -> None:
    with pytest.raises(InputError, match=said):
        svg('<rect width="20" height="2"/>', page, units=units)


def test_layers_and_colours() -> None:
    drawing = svg(
        "<style>.cut{stroke:#f00;fill:none} #x, line { stroke: rgb(0, 0, 255) }</style>"
        '<g inkscape:groupmode="layer" inkscape:label="Outline"><rect class="cut" width="9" height="9"/>'
        '<g stroke="lime" fill="none"><circle r="2"/></g></g>'
        '<line x2="5" style="stroke:red"/><rect id="x" width="2" height="2"/><rect width="1" height="1"/>'
    )
    assert [s.colour for s in drawing.shapes] == ["#ff0000", "#00ff00", "#ff0000", "#0000ff", "#000000"]
    assert len(drawing.pick(layer="Outline")) == 2
    assert len(drawing.pick(colour="red")) == 2
    assert len(drawing.pick("Outline", "#F00")) == 1
    with pytest.raises(InputError, match=r"no shape on layer 'Holes' \(layers: 'Outline', 'x'"):
        drawing.pick("Holes")


def test_copies_are_followed_and_what_nobody_sees_is_not_cut() -> None:
    drawing = svg(
        '<defs><rect id="r" width="4" height="4"/></defs><use href="#r" x="10"/><use xlink:href="#r" y="20"/>'
        '<g display="none"><circle r="3"/></g><circle r="3" visibility="hidden"/><path fill="none" d="M0 0h9"/>'
        "<text>name</text><image/>"
    )
    assert [s.curve.bounds for s in drawing.shapes] == [(10.0, 46.0, 14.0, 50.0), (0.0, 26.0, 4.0, 30.0)]
    assert [f.severity for f in drawing.left_out] == ["warning"] * 3
    assert any("text" in f.what for f in drawing.left_out)


BOMB = (
    '<?xml version="1.0"?><!DOCTYPE svg [<!ENTITY a "aaaaaaaaaa">'
    + "".join(f'<!ENTITY {chr(98 + k)} "{f"&{chr(97 + k)};" * 10}">' for k in range(8))
    + f"]><svg {NS} viewBox='0 0 1 1'><path d='&i;'/></svg>"
)
OUTSIDE = (
    f'<!DOCTYPE svg [<!ENTITY x SYSTEM "file:///etc/hostname">]><svg {NS} viewBox="0 0 1 1"><text>&x;</text></svg>'
)
REMOTE = f'<!DOCTYPE svg [<!ENTITY % d SYSTEM "http://127.0.0.1/x.dtd"> %d;]><svg {NS} viewBox="0 0 1 1"/>'


@pytest.mark.parametrize("text", [BOMB, OUTSIDE, REMOTE])
def test_entities_are_refused_before_they_grow(text: str) -> None:
    with pytest.raises(InputError, match="entities or refers to other files"):
        read_svg(text.encode(), "bad.svg", units="mm")


@pytest.mark.parametrize("data", [b"", b"\x89PNG\r\n\x1a\n", b"<html/>", b"<svg", b"{}", b"\xff\xfe", b"<svg/>"])
def test_files_of_other_kinds_are_named(data: bytes) -> None:
    with pytest.raises(InputError, match=r"bad\.svg.*not an SVG drawing"):
        read_svg(data, "bad.svg", units="mm")


@pytest.mark.parametrize(
    "inside",
    ['<rect id="s" width="0" height="5"/>', '<circle id="s" r="0"/>', '<path id="s" d="M1 1z"/>',
     '<line id="s" x1="1" x2="1"/>', '<polygon id="s" points="1,1"/>', '<path id="s" d="M0 0 L oops"/>',
     '<path id="s" d=""/>', '<rect id="s" width="1" height="1" transform="wobble(3)"/>', '<use id="s" href="#none"/>',
     '<use id="s" href="http://example.org/x.svg#a"/>'],
)  # fmt: skip
def test_shapes_without_size_or_sense_are_named_all_at_once(inside: str) -> None:
    with pytest.raises(InputError, match="'s'") as raised:
        svg(inside + '<circle id="other" r="0"/>')
    assert len(raised.value.findings) == 2


def test_a_copy_of_itself_ends() -> None:
    with pytest.raises(InputError, match=r"contains itself|nested"):
        svg('<g id="a"><use href="#a"/></g>')
    deep = "<g>" * 300 + '<rect width="1" height="1"/>' + "</g>" * 300
    with pytest.raises(InputError, match="nested"):
        svg(deep)


@pytest.mark.parametrize(("leaf", "said"), [('<rect width="1" height="1"/>', "shapes"), ("<g/>", "elements")])
def test_copies_of_copies_do_not_grow_without_end(leaf: str, said: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("pathkit.drawings.svg.MOST_SHAPES", 2_000)
    layers = f'<g id="g0">{leaf}</g>' + "".join(
        f'<g id="g{k}">' + f'<use href="#g{k - 1}"/>' * 10 + "</g>" for k in range(1, 9)
    )
    with pytest.raises(InputError, match=rf"more than \d+ {said}"):
        svg(layers)


def test_a_shape_that_crosses_itself_is_named_with_its_place() -> None:
    drawing = svg(
        '<g fill="none" stroke="#000"><polygon id="bow" points="0,0 10,10 10,0 0,10"/>'
        '<polygon id="thin" points="0,0 10,10 5,5"/><rect width="5" height="5"/></g>'
    )
    with pytest.raises(InputError, match=r"polygon 'bow': the shape crosses itself.*5 45") as raised:
        loops(drawing.pick(), "part.svg")
    assert "polygon 'thin': the shape encloses nothing" in str(raised.value)
