"""Holes as wide as the bit."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray
from shapely.geometry.base import BaseGeometry

from pathkit.curves.regions import refusal
from pathkit.errors import InputError
from pathkit.findings import Finding
from pathkit.model.curve import Curve
from pathkit.model.tool import Cutting, Tool
from pathkit.model.toolpath import Peck, Plunge, Toolpath
from pathkit.operations.contour import numbered


def drill(
    name: str,
    points: ArrayLike | Iterable[Any] | BaseGeometry,
    tool: Tool,
    cutting: Cutting,
    *,
    bottom: float,
    top: float | None = None,
    peck: float | None = None,
    part: str | None = None,
) -> tuple[Toolpath, ...]:
    """One toolpath (role ``drill``) for each hole, in the order given: ``name``, or ``name 1``, ``name 2``, ….

    ``points`` is (n, 2) in mm, or a shapely Point or MultiPoint. ``peck`` is how deep (mm) the bit drills before it
    comes up to clear its chips; without it, the hole is drilled in one go. Raises `InputError`, naming each hole, for
    coordinates that are not finite and for holes at the same place. Whether the bit may go straight down is judged when
    the job is lowered.
    """
    places = _places(points, name)
    entry = Plunge() if peck is None else Peck(peck)
    return tuple(
        Toolpath(
            each, Curve.point(place), tool, cutting, top=top, bottom=bottom, part=part, role="drill", entry=entry
        )
        for each, place in zip(numbered(name, len(places)), places, strict=True)
    )  # fmt: skip


def _places(points: Any, name: str) -> NDArray[np.float64]:
    if hasattr(points, "geom_type"):
        if points.geom_type not in ("Point", "MultiPoint") or points.is_empty:
            raise refusal(name, f"the holes are a {points.geom_type}", "pass points: (n, 2) numbers, or a MultiPoint")
        points = [(p.x, p.y) for p in getattr(points, "geoms", [points])]
    try:
        places = np.array(points, dtype=float)
    except (TypeError, ValueError):
        raise refusal(name, "the holes are not numbers", "pass (n, 2) numbers in mm, or a MultiPoint") from None
    if places.shape == (2,):
        places = places[None, :]
    if places.ndim != 2 or places.shape[1] != 2 or not len(places):
        raise refusal(name, f"the holes have the shape {places.shape}", "pass (n, 2) numbers in mm, n at least 1")
    faults = [
        Finding(check="operation", what=f"hole {k + 1} is at {places[k].tolist()}", fix=fix, toolpath=name)
        for bad, fix in (
            (~np.isfinite(places).all(axis=1), "every number must be finite"),
            (_repeated(places), "an earlier hole is at the same place; leave one of them out"),
        )
        for k in np.flatnonzero(bad)
    ]
    if faults:
        raise InputError(faults)
    return places


def _repeated(places: NDArray[np.float64]) -> NDArray[np.bool_]:
    """(n,): whether a hole is where an earlier one is, within a micron."""
    _, first = np.unique(np.round(np.nan_to_num(places), 3), axis=0, return_index=True)
    repeated = np.ones(len(places), dtype=bool)
    repeated[first] = False
    return repeated & np.isfinite(places).all(axis=1)
