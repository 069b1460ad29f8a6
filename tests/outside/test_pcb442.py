"""A published drilling board from its points to a file: pcb442 (Groetschel, Juenger, Reinelt).

TSPLIB: G. Reinelt, ORSA Journal on Computing 3(4), 1991, 376-384; optimal closed tour 50 778 in EUC_2D distances,
floor(d + 0.5). ``data/pcb442.tsp`` is the file in the source distribution of tsplib95 0.7.1 (Apache-2.0).
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path

import pytest

import pathkit as pk

OPTIMUM = 50_778
UNIT = 0.1
"""mm for one unit of the instance, so that the board is 300 × 380 mm."""


def places() -> list[tuple[float, float]]:
    lines = (Path(__file__).parent / "data" / "pcb442.tsp").read_text().splitlines()
    first = lines.index("NODE_COORD_SECTION") + 1
    return [(float(x), float(y)) for _, x, y in (line.split() for line in lines[first : first + 442])]


def closed_tour(order: list[tuple[float, float]]) -> int:
    """Length as TSPLIB measures it: every leg is rounded, and the tour is closed."""
    return sum(math.floor(math.dist(a, b) + 0.5) for a, b in zip(order, [*order[1:], order[0]], strict=True))


@pytest.fixture
def router() -> pk.Machine:
    return pk.Machine.from_toml(
        """
        name = "drilling bench"
        dialect = "grbl"
        origin = "front-left"
        left_handed = false
        homed = false
        [axes]
        x = "right"
        y = "away"
        z = "up"
        [travel]
        x = 600
        y = 600
        z = 80
        [motion]
        rapid = [5000, 5000, 2000]
        feed_limit = [4000, 4000, 1000]
        acceleration = [400, 400, 200]
        [spindle]
        min = 1000
        max = 30000
        [park]
        x = 0
        y = 0
        """
    )


def test_442_holes_to_grbl_text(router: pk.Machine, record_property: Callable[[str, object], None]) -> None:
    drill = pk.Tool("0.8 mm drill", 0.8, kind="drill")
    cutting = pk.Cutting(feed=600.0, plunge=200.0, spindle=24000.0)
    stock = pk.Stock(320.0, 400.0, 1.6, underlay=2.0)
    holes = tuple(
        pk.Toolpath(
            f"hole {k}", pk.Curve.point((x * UNIT, y * UNIT)), drill, cutting, bottom=-2.0, role="drill"
        )
        for k, (x, y) in enumerate(places(), 1)
    )  # fmt: skip
    assert len(holes) == 442
    outcome = pk.Pipeline([pk.OrderTravel(effort=1)]).run(pk.Job("pcb442", stock, holes), router, check=True)
    text = pk.post(pk.lower(outcome.job, router), router).text
    # From the words of the text alone: where Z goes below the board's top, there is a hole at the X, Y before it.
    x = y = 0.0
    drilled: list[tuple[float, float]] = []
    for line in text.splitlines():
        words = dict(re.findall(r"([XYZ])(-?\d+\.?\d*)", re.sub(r"\(.*?\)", "", line)))
        x, y = float(words.get("X", x)), float(words.get("Y", y))
        if float(words.get("Z", 1.0)) < 0.0:
            drilled.append((round(x / UNIT), round(y / UNIT)))
    assert sorted(drilled) == sorted((round(x), round(y)) for x, y in places())
    length = closed_tour(drilled)
    path = sum(math.dist(a, b) for a, b in pairwise(drilled)) * UNIT
    record_property("closed tour in TSPLIB units", length)
    record_property("travel between the holes in mm", path)
    print(
        f"closed tour {length} ({100.0 * (length / OPTIMUM - 1.0):.2f} % over {OPTIMUM}), between holes {path:.1f} mm"
    )
    assert OPTIMUM <= length <= 1.05 * OPTIMUM
    travel = outcome.reports[0].figures["travel"]
    assert path <= travel["after"] < travel["before"]
