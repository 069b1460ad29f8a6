"""Drawings made by others: SVG icons of the npm package @mapbox/maki 8.2.0 (CC0), as profiles and as engraving.

Held against shapely, on outlines that the library svg.path gives point by point: this way to the same shapes shares
nothing with the arcs, biarcs and nesting tested here.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import shapely
from defusedxml.ElementTree import parse
from shapely.geometry import LineString, Polygon
from shapely.geometry.base import BaseGeometry
from svg.path import parse_path

from pathkit.drawings.svg import read_svg
from pathkit.jobs.bits import bits_of
from pathkit.jobs.drawn import drawn
from pathkit.jobs.piece import Piece
from pathkit.jobs.reading import job_file_of
from pathkit.jobs.shapes import nested
from pathkit.jobs.toolpaths import piece_of
from pathkit.model.stock import Stock
from tests.swept import swept

DATA = Path(__file__).parent / "data"
ICONS = ("bicycle", "heart", "home")
SCALE = 6.0  # 15 units become 90 mm


def dense(icon: str) -> BaseGeometry:
    """The icon filled by the even-odd rule, from points on its path, y upward, mm."""
    root = parse(DATA / f"maki_{icon}.svg").getroot()
    area: BaseGeometry = Polygon()
    for element in root.iter("{http://www.w3.org/2000/svg}path"):
        ring: list[complex] = []
        for segment in [*parse_path(element.get("d")), None]:
            if segment is None or type(segment).__name__ == "Move":
                if len(ring) > 2:
                    area = area.symmetric_difference(Polygon([(z.real * SCALE, (15 - z.imag) * SCALE) for z in ring]))
                ring = []
            else:
                ring += [segment.point(t) for t in np.linspace(0.0, 1.0, 60)]
    return area


def job(icon: str, operation: str, shape: str = "") -> Piece:
    text = f"""
    name = "{icon}"
    stock.thickness = 9
    board = [{{ width = 200, depth = 200 }}]
    tools.mill = {{ diameter = 1.0, centre_cutting = true }}
    cutting.wood = {{ feed = 900, plunge = 300, spindle = 18000 }}
    [[part]]
    name = "sign"
    shapes.icon = {{ svg = "maki_{icon}.svg", units = "mm", scale = {SCALE} {shape} }}
    operations = [{{ {operation}, shape = "icon" }}]
    """
    file = job_file_of("\n".join(line.strip() for line in text.splitlines()), "job.toml", DATA)
    return piece_of(file, drawn(file), Stock(200.0, 200.0, 9.0, underlay=2.0), bits_of(file), grain=0.0)


@pytest.mark.parametrize("icon", ICONS)
def test_the_area_is_the_drawings(icon: str) -> None:
    data = (DATA / f"maki_{icon}.svg").read_bytes()
    drawing = read_svg(data, icon, units="mm", scale=SCALE)
    outlines = nested([shape.curve for shape in drawing.shapes])
    found = sum(abs(o.outer.area) - sum(abs(hole.area) for hole in o.holes) for o in outlines)
    wanted = dense(icon)
    assert found == pytest.approx(wanted.area, abs=0.01 * wanted.length)
    assert sum(len(shape.curve.points) for shape in drawing.shapes) < 200, "arcs, not hundreds of chords"


@pytest.mark.parametrize("icon", ICONS)
def test_as_a_profile_it_frees_the_shape_and_never_cuts_into_it(icon: str) -> None:
    piece = job(icon, 'kind = "contour", bottom.through = true, stepdown = 3')
    wanted, kerf = dense(icon), swept(piece.toolpaths)
    assert kerf.intersection(wanted).buffer(-0.02).is_empty
    # The bit follows the whole edge of what stays, except in corners that no bit of this size reaches.
    reachable = wanted.buffer(0.5, quad_segs=64).buffer(-0.5, quad_segs=64)
    gap = shapely.distance(kerf, shapely.points(shapely.get_coordinates(reachable.boundary)))
    assert gap.max() < 0.05


@pytest.mark.parametrize("icon", ICONS)
def test_as_engraving_the_bit_follows_every_line(icon: str) -> None:
    piece = job(icon, 'kind = "engrave", bottom.from_top = 0.5')
    edge = dense(icon).boundary
    lines = shapely.union_all([
        LineString(np.vstack([p.curve.flattened(1e-3), p.curve.flattened(1e-3)[:1]])) for p in piece.toolpaths
    ])  # fmt: skip
    assert lines.hausdorff_distance(edge) < 0.05
    assert lines.length == pytest.approx(edge.length, rel=2e-3)
    assert {path.role for path in piece.toolpaths} == {"engrave"}


def test_the_size_of_a_drawing_is_checked() -> None:
    left, front, right, back = dense("heart").bounds
    width, depth = right - left, back - front
    marks = 'kind = "engrave", bottom.from_top = 0.5'
    assert job("heart", marks, f", size = [{width:.2f}, {depth:.2f}]").toolpaths
    with pytest.raises(ValueError, match=r"should measure .* perhaps the drawing is in inches"):
        job("heart", marks, f", size = [{width * 25.4:.2f}, {depth * 25.4:.2f}]")
    with pytest.raises(ValueError, match=r"and should measure 50 × 50 mm \(mend"):
        job("heart", marks, ", size = [50, 50]")
