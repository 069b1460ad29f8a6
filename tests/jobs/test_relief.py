"""Room for square pegs at the outline of a job file's part."""

from __future__ import annotations

import re

import numpy as np
import pytest
from shapely.geometry import Point, Polygon

from pathkit.errors import InputError
from tests.jobs.made import only, orders_from
from tests.swept import swept

ELL = "outline.polygon = [[0, 0], [60, 0], [60, 22], [50, 22], [50, 30], [0, 30]]"


def relieved(tags: str) -> str:
    """The tag with a corner that points into it, and relief asked for."""
    text = re.sub(r"^outline\.rectangle = .*$", ELL, tags, flags=re.M)
    assert text != tags
    head, last = text.rsplit('kind = "contour"', 1)
    return f'{head}kind = "contour"\nrelief = true{last}'


def test_relief_of_the_outline_makes_room_in_the_corner_that_points_into_the_part(tags: str) -> None:
    job = only(relieved(tags))
    outline = job.parts[0].outline
    assert outline is not None
    assert np.count_nonzero(outline.sweeps) == 1
    radius = next(path for path in job.toolpaths if path.role == "outline").tool.radius
    peg, kerf = Polygon([(50, 22), (60, 22), (60, 30), (50, 30)]), swept(job.toolpaths, "outline")
    assert peg.intersection(Point(50, 22).buffer(radius)).buffer(-0.005).difference(kerf).is_empty
    assert kerf.intersection(Polygon(outline.flattened(1e-4))).area < 0.02


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (
            ("bottom.above_bed = 1.7", "bottom.from_top = 3"),
            r"right through .*; this contour does not \(set relief",
        ),
        (("relief = true", 'relief = true\nside = "on"'), r'relief is for side = "outside" or "inside"'),
    ],
)
def test_relief_that_cannot_be_made_is_refused(tags: str, change: tuple[str, str], said: str) -> None:
    text = relieved(tags)
    head, last = text.rsplit("relief = true", 1)
    with pytest.raises(InputError, match=said):
        orders_from(head + f"relief = true{last}".replace(*change))


def test_relief_without_a_corner_is_told(tags: str) -> None:
    head, last = tags.rsplit('kind = "contour"', 1)
    (order,) = orders_from(f'{head}kind = "contour"\nrelief = true{last}')
    told = [f for f in order.notes if f.severity == "warning"]
    assert len(told) == 1
    assert "no corner to relieve" in str(told[0])
