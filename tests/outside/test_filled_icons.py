"""Icons of three sets that nobody here drew: what is cut of them is what is seen.

Held against the rule of non-zero winding (SVG 1.1, 11.3), worked out at places all over the page from points that the
library svg.path gives: a way to the same areas that shares nothing with arcs, fills and nesting here.
"""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pytest
import shapely
from numpy.typing import NDArray
from svg.path import parse_path

import pathkit as pk
from pathkit.drawings.svg import read_svg
from pathkit.handover.build import build_orders
from pathkit.jobs.planning import orders_of
from pathkit.jobs.reading import job_file_of
from pathkit.jobs.shapes import nested

DATA = Path(__file__).parent / "data"
ICONS = sorted(
    path.name for kind in ("bootstrap", "phosphor", "octicons") for path in DATA.glob(f"{kind}_*.svg")
)  # fmt: skip
SIZE = 48.0


def page(icon: str) -> float:
    found = re.search(r'viewBox="0 0 (\d+) (\d+)"', (DATA / icon).read_text())
    assert found is not None
    return float(found[1])


def seen(icon: str, places: NDArray[np.float64]) -> NDArray[np.bool_]:
    """Whether any of the icon's paths winds round places (k, 2), mm, y upward."""
    scale = SIZE / page(icon)
    shown = np.zeros(len(places), dtype=bool)
    for text in re.findall(r'\sd="([^"]+)"', (DATA / icon).read_text()):
        turns = np.zeros(len(places))
        ring: list[complex] = []
        for segment in [*parse_path(text), None]:
            if segment is None or type(segment).__name__ == "Move":
                if len(ring) > 2:
                    way = np.array([(z.real * scale, SIZE - z.imag * scale) for z in [*ring, ring[0]]])
                    angles = np.arctan2(way[:, 1] - places[:, 1:], way[:, 0] - places[:, :1])
                    turns += np.round((np.diff(np.unwrap(angles))).sum(axis=1) / (2.0 * np.pi))
                ring = []
            else:
                ring += [segment.point(t) for t in np.linspace(0.0, 1.0, 60)]
        shown |= turns != 0
    return shown


@pytest.mark.parametrize("icon", ICONS)
def test_what_is_filled_is_what_is_seen(icon: str) -> None:
    drawing = read_svg((DATA / icon).read_bytes(), icon, units="mm", scale=SIZE / page(icon))
    rings = [shape.curve for shape in drawing.shapes]
    assert all(ring.closed for ring in rings)
    area = shapely.union_all([
        shapely.Polygon(o.outer.flattened(1e-3), [hole.flattened(1e-3) for hole in o.holes]) for o in nested(rings)
    ])  # fmt: skip
    steps = np.linspace(0.13, SIZE - 0.17, 41)
    places = np.stack(np.meshgrid(steps, steps), axis=-1).reshape(-1, 2)
    clear = np.asarray(shapely.distance(shapely.points(places), area.boundary)) > 0.02
    assert clear.mean() > 0.9
    assert np.array_equal(np.asarray(shapely.contains(area, shapely.points(places)))[clear], seen(icon, places)[clear])


@pytest.mark.parametrize("icon", ["bootstrap_flag.svg", "octicons_tracked.svg"])
def test_a_recess_of_48_mm_is_cut_by_a_bit_of_1_mm(icon: str, tmp_path: Path) -> None:
    text = f"""
name = "sign"
stock = {{ thickness = 4, underlay = 2 }}
board = [{{ width = 60, depth = 60 }}]
tools."1 mm end mill" = {{ diameter = 1, centre_cutting = true }}
cutting.plywood = {{ feed = 900, plunge = 300, spindle = 18000 }}
[[part]]
name = "sign"
shapes.icon = {{ svg = "{icon}", units = "mm", scale = {SIZE / page(icon)}, at = [6, 6] }}
operations = [{{ kind = "pocket", shape = "icon", bottom.from_top = 1, stepdown = 1 }}]
"""
    orders = orders_of(job_file_of(text, "sign.toml", DATA), [pk.load_machine("grbl-front-left")], effort=0)
    result = build_orders(orders, tmp_path / "out")
    assert result.ok, [str(finding) for finding in result.findings]
    as_asked = {check.name: check.status for check in result.folders[0].proof.checks}
    assert as_asked["cuts as asked"] == "passed"
