"""DXF drawings made by ezdxf: arcs and bulges exact, splines within tolerance, blocks opened, nonsense named."""

from __future__ import annotations

import io
import math
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
import shapely
from ezdxf import filemanagement
from hypothesis import given
from hypothesis import strategies as st

from pathkit.drawings.drawing import Drawing, loops
from pathkit.drawings.dxf import read_dxf
from pathkit.errors import InputError


def dxf(draw: Callable[[Any, Any], object], *, insunits: int = 4, **options: Any) -> Drawing:
    document = filemanagement.new("R2010", units=insunits)
    draw(document, document.modelspace())
    text = io.StringIO()
    document.write(text)
    return read_dxf(text.getvalue().encode(), "plate.dxf", **options)


def test_a_bulge_is_a_true_arc() -> None:
    # A bulge of 1 is a half circle (DXF reference: the tangent of a quarter of the sweep).
    drawing = dxf(lambda _, m: m.add_lwpolyline([(0, 0, 0), (10, 0, 1), (10, 6, 0), (0, 6, 1)], "xyb", close=True))
    (ring,) = loops(drawing.pick(), "plate.dxf")
    assert ring.area == pytest.approx(60.0 + math.pi * 9.0, rel=1e-12)
    assert len(ring.points) == 4


@given(st.floats(0.05, 6.2), st.floats(0.0, 360.0), st.booleans())
def test_arcs_go_the_way_they_are_drawn(sweep: float, start: float, below: bool) -> None:
    end = start + math.degrees(sweep)
    normal = (0, 0, -1) if below else (0, 0, 1)
    drawing = dxf(lambda _, m: m.add_arc((3, 4), 5.0, start, end, dxfattribs={"extrusion": normal}))
    (shape,) = drawing.shapes
    assert shape.curve.length == pytest.approx(5.0 * sweep, rel=1e-6)
    # ezdxf's own idea of the same arc, as points in the world.
    document = filemanagement.new()
    arc = document.modelspace().add_arc((3, 4), 5.0, start, end, dxfattribs={"extrusion": normal})
    world = np.array([tuple(v)[:2] for v in arc.flattening(0.001)])
    assert shapely.hausdorff_distance(
        shapely.LineString(world), shapely.LineString(shape.curve.flattened(0.001))
    ) == pytest.approx(0.0, abs=0.003)


@given(st.lists(st.tuples(st.integers(-30, 30), st.integers(-30, 30)), min_size=4, max_size=8, unique=True))
def test_a_spline_stays_within_its_tolerance(points: list[tuple[int, int]]) -> None:
    drawing = dxf(lambda _, m: m.add_open_spline([(x, y, 0) for x, y in points]), tolerance=0.01)
    (shape,) = drawing.shapes
    spline = filemanagement.new().modelspace().add_open_spline([(x, y, 0) for x, y in points])
    dense = np.array([tuple(p)[:2] for p in spline.construction_tool().approximate(2000)])
    line = shapely.LineString(shape.curve.flattened(1e-4)) if not shape.curve.closed else None
    if line is not None:
        assert shapely.distance(line, shapely.points(dense)).max() < 0.011


def test_nested_blocks_are_opened_with_their_layers_and_turned() -> None:
    def draw(document: Any, m: Any) -> None:
        document.layers.add("CUT", color=1)
        inner = document.blocks.new("inner")
        inner.add_circle((1, 0), 0.5)
        inner.add_line((0, 0), (1, 0), dxfattribs={"layer": "OWN", "color": 0})
        document.blocks.new("outer").add_blockref("inner", (5, 0), dxfattribs={"rotation": 90})
        m.add_blockref("outer", (100, 100), dxfattribs={"xscale": -2, "yscale": 2, "zscale": 2, "layer": "CUT"})

    drawing = dxf(draw)
    (circle,) = drawing.pick(layer="CUT", colour="red")
    # (1, 0) turned by 90° is (0, 1), then moved (5, 1), then doubled and mirrored (−10, 2).
    assert circle.curve.bounds == pytest.approx((89.0, 101.0, 91.0, 103.0))
    assert abs(circle.curve.area) == pytest.approx(math.pi)
    (line,) = drawing.pick(layer="OWN")
    assert line.colour == "#ff0000", "by block: the colour of the insert, which is its layer's"


def test_a_block_stretched_one_way_makes_an_ellipse() -> None:
    def draw(document: Any, m: Any) -> None:
        document.blocks.new("dot").add_circle((0, 0), 2.0)
        m.add_blockref("dot", (0, 0), dxfattribs={"xscale": 3, "yscale": 1})

    (shape,) = dxf(draw).shapes
    assert abs(shape.curve.area) == pytest.approx(math.pi * 12.0, abs=0.1)


def test_rows_of_blocks_are_all_there() -> None:
    def draw(document: Any, m: Any) -> None:
        document.blocks.new("dot").add_point((0, 0))
        m.add_blockref(
            "dot", (0, 0), dxfattribs={"row_count": 2, "column_count": 3, "row_spacing": 5, "column_spacing": 7}
        )

    places = sorted(tuple(s.curve.points[0].tolist()) for s in dxf(draw).shapes)
    assert places == [(x, y) for x in (0.0, 7.0, 14.0) for y in (0.0, 5.0)]


def test_blocks_of_blocks_do_not_grow_without_end(monkeypatch: pytest.MonkeyPatch) -> None:
    def draw(document: Any, m: Any) -> None:
        document.blocks.new("b0")
        for k in range(1, 9):
            block = document.blocks.new(f"b{k}")
            for _ in range(10):
                block.add_blockref(f"b{k - 1}", (0, 0))
        m.add_blockref("b8", (0, 0))

    monkeypatch.setattr("pathkit.drawings.dxf.MOST_VISITS", 2000)
    with pytest.raises(InputError, match="more than 2000 objects"):
        dxf(draw)


def test_a_scattered_outline_is_joined() -> None:
    def draw(_: Any, m: Any) -> None:
        m.add_line((0, 0), (20, 0.01))
        m.add_arc((20, 5), 5, 270, 90)
        m.add_line((0, 10), (20, 10))
        m.add_line((0, 10), (0, 0))

    (ring,) = loops(dxf(draw).pick(), "plate.dxf")
    assert abs(ring.area) == pytest.approx(200.0 + math.pi * 12.5, abs=0.2)


def test_units_are_the_drawings_own() -> None:
    (inch,) = dxf(lambda _, m: m.add_circle((0, 0), 1.0), insunits=1).shapes
    assert inch.curve.bounds[2] == pytest.approx(25.4)
    (told,) = dxf(lambda _, m: m.add_circle((0, 0), 1.0), insunits=0, units="cm").shapes
    assert told.curve.bounds[2] == pytest.approx(10.0)
    with pytest.raises(InputError, match=r"its size is not known: \$INSUNITS is 0"):
        dxf(lambda _, m: m.add_circle((0, 0), 1.0), insunits=0)
    with pytest.raises(InputError, match=r"the drawing itself says 25\.4 mm"):
        dxf(lambda _, m: m.add_circle((0, 0), 1.0), insunits=1, units="mm")


def test_text_is_left_out_by_name_and_layers_that_are_off_are_not_there() -> None:
    def draw(document: Any, m: Any) -> None:
        document.layers.add("HIDDEN").off()
        m.add_text("TOP")
        m.add_circle((0, 0), 1.0, dxfattribs={"layer": "HIDDEN"})
        m.add_circle((5, 0), 1.0)

    drawing = dxf(draw)
    assert len(drawing.shapes) == 1
    assert "TEXT" in drawing.left_out[0].what
    with pytest.raises(InputError, match="no shape on layer 'HIDDEN'"):
        drawing.pick(layer="HIDDEN")


def test_what_does_not_lie_flat_or_has_no_size_is_named_all_at_once() -> None:
    def draw(_: Any, m: Any) -> None:
        m.add_line((0, 0, 0), (1, 0, 5))
        m.add_line((1, 1), (1, 1))
        m.add_circle((0, 0), 1.0, dxfattribs={"extrusion": (1, 0, 0)})

    with pytest.raises(InputError) as raised:
        dxf(draw)
    said = str(raised.value)
    assert len(raised.value.findings) == 3
    assert "heights from 0 to 5" in said
    assert "has no size" in said
    assert "at an angle to the plan" in said


@pytest.mark.parametrize("data", [b"", b"hello", b"<svg/>", b"\x89PNG\r\n", b"  0\nSECTION\n  2\nENTITIES\n  0\nLI"])
def test_files_of_other_kinds_are_named(data: bytes) -> None:
    with pytest.raises(InputError, match=r"plate\.dxf"):
        read_dxf(data, "plate.dxf", units="mm").pick()
