"""Random boards with ways in at an angle, levels and tabs, by bits that cut at their centre or do not."""

from __future__ import annotations

from dataclasses import replace
from typing import Any, Literal

from hypothesis import strategies as st

import pathkit as pk
from pathkit.lowering.lower import lower_alone
from pathkit.testing.strategies import jobs

BITS = (
    pk.Tool("4 mm", 4.0, number=1, centre_cutting=True),
    pk.Tool("4 mm, blunt", 4.0, number=1),
)


def boards() -> st.SearchStrategy[pk.Job]:
    """Jobs of one bit that could be cut as they are."""
    return _boards()


@st.composite
def _boards(draw: st.DrawFn) -> pk.Job:
    job = draw(jobs(least=1, most=3, sound=True))
    bit = draw(st.sampled_from(BITS))
    kept = [draw(_entered(replace(path, tool=bit), job.stock)) for path in job.toolpaths]
    paths = [path for path in kept if path is not None]
    names = {path.name for path in paths}
    if not paths:
        paths, names = [replace(job.toolpaths[0], tool=BITS[0])], {job.toolpaths[0].name}
    pairs = tuple(pair for pair in job.precedence if names.issuperset(pair))
    return replace(job, toolpaths=tuple(paths), precedence=pairs)


@st.composite
def _entered(draw: st.DrawFn, path: pk.Toolpath, stock: pk.Stock) -> pk.Toolpath | None:
    """The cut with a way in and tabs, or as it is, or None if it cannot be cut at all."""
    changes: dict[str, Any] = {}
    angle = draw(st.sampled_from((2.0, 3.0, 7.5, 20.0)))
    if path.curve.is_point:
        changes["entry"] = draw(st.sampled_from((pk.Plunge(), pk.Peck(1.7), pk.Helix(angle, 3.0))))
    else:
        ways = [pk.Plunge(), pk.Ramp(angle), pk.Ramp(angle, draw(st.sampled_from((5.0, 11.0)))), pk.Helix(angle, 3.0)]
        if path.curve.closed:
            ways += [pk.Spiral(angle)] * 2
            changes["start"] = draw(st.sampled_from((0.0, 0.3, 0.71))) * path.curve.length
        else:
            changes["reversible"] = draw(st.sampled_from((None, True, False)))
        changes["entry"] = draw(st.sampled_from(ways))
        if path.goes_through(stock):
            shape: Literal["square", "sloped"] = draw(st.sampled_from(("square", "sloped")))
            places = draw(st.lists(st.sampled_from((0.15, 0.45, 0.8)), max_size=2, unique=True))
            changes["tabs"] = [pk.Tab(at * path.curve.length, 3.0, 2.0, shape) for at in places]
    for kept in (changes, {**changes, "tabs": ()}, {}):
        try:
            made = replace(path, **kept)
            lower_alone(made, stock)
        except pk.PathkitError:
            continue
        return made
    return None
