"""Webs: the wood between neighbouring kerfs. One that is too thin breaks while it is cut, and its pieces fly off."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from pathkit.curves.regions import swept_by
from pathkit.errors import Refused
from pathkit.findings import Finding
from pathkit.model.checking import Faults
from pathkit.model.stock import Stock
from pathkit.model.toolpath import Toolpath
from pathkit.tolerances import RUN_TOGETHER, SHAPE_CHORDS

SHARE = 0.5
"""The least web as a share of the widest bit's diameter, unless given. Common practice, no source."""


class Web(NamedTuple):
    """The wood between the kerfs of two toolpaths: its least ``width`` in mm, and where (x, y)."""

    first: str
    second: str
    width: float
    place: tuple[float, float]


def webs(toolpaths: Sequence[Toolpath], stock: Stock, *, below: float) -> tuple[Web, ...]:
    """Every web less than ``below`` mm wide between two kerfs that go right through the board.

    Kerfs that meet leave no web: an outline and the slot that opens into it, a floor and its wall.
    """
    import shapely

    cuts = [path for path in toolpaths if path.goes_through(stock)]
    if len(cuts) < 2:
        return ()
    kerfs = np.array([swept_by(path) for path in cuts], dtype=object)
    shapely.prepare(kerfs)
    tree = shapely.STRtree(kerfs)
    first, second = tree.query(kerfs, predicate="dwithin", distance=below)
    once = first < second
    first, second = first[once], second[once]
    width = shapely.distance(kerfs[first], kerfs[second])
    thin = np.flatnonzero((width > RUN_TOGETHER) & (width < below - SHAPE_CHORDS))
    found = []
    for k in thin.tolist():
        ends = shapely.get_coordinates(shapely.shortest_line(kerfs[first[k]], kerfs[second[k]]))
        x, y = ends.mean(axis=0)
        found.append(Web(cuts[first[k]].name, cuts[second[k]].name, float(width[k]), (float(x), float(y))))
    return tuple(sorted(found))


def check_webs(toolpaths: Sequence[Toolpath], stock: Stock, *, least: float | None = None) -> None:
    """Refuse webs thinner than ``least`` mm, or than half the widest bit's diameter if that is not given.

    The bits of chamfers do not count: they cut narrower than they are, and not through.

    Raises `Refused` with a finding for each.
    """
    faults = Faults("webs")
    faults.number(least, "least", least=0.0, optional=True)
    faults.raise_any()
    widest = max((path.tool.diameter for path in toolpaths if path.role != "chamfer"), default=0.0)
    wanted = least if least is not None else SHARE * widest
    found = [
        Finding(
            check="webs",
            what=(
                f"only {web.width:.2f} mm of wood would stand between it and {web.second!r} near"
                f" x {web.place[0]:.1f} y {web.place[1]:.1f}; at least {wanted:g} mm is wanted"
            ),
            fix="lay them further apart (web or spacing), take a narrower bit, or accept a thinner web (least_web)",
            toolpath=web.first,
        )
        for web in webs(toolpaths, stock, below=wanted)
    ]
    if found:
        raise Refused(found)
