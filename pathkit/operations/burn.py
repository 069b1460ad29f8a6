"""Lines that a beam follows, at one height and with no depth."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pathkit.curves.regions import Shape, refusal
from pathkit.model.curve import Curve
from pathkit.model.tool import Cutting, Tool
from pathkit.model.toolpath import Toolpath
from pathkit.operations.contour import numbered
from pathkit.operations.engrave import as_lines

MOST_PASSES = 50
"""What needs more passes is no work for that beam (common practice, no source)."""


def burn(
    name: str,
    lines: Shape | Iterable[Shape],
    beam: Tool,
    cutting: Cutting,
    *,
    height: float,
    passes: int = 1,
    part: str | None = None,
) -> tuple[Toolpath, ...]:
    """One toolpath (role ``engrave``) for each line, in the order given: ``name``, or ``name 1``, ``name 2``, ….

    ``lines`` are taken as by `engrave`; arcs become chords within a hundredth of a millimetre. The middle of the beam
    follows them at z = ``height`` mm, the same for the whole job: the top of the board, say, if the beam is focused
    there. Each is followed ``passes`` times, a closed one round and round, an open one to and fro. How deep that burns
    is up to beam and material: try it on waste. ``cutting`` is made by `Cutting.by_beam`.

    Raises `InputError` as `engrave` does, and for a bit or an impossible number of passes; `ModelError` for a cutting
    without power.
    """
    if beam.kind != "beam":
        raise refusal(name, f"{beam.name!r} is no beam", 'a bit engraves; a beam is Tool(…, kind="beam")')
    if isinstance(passes, bool) or not isinstance(passes, int) or not 1 <= passes <= MOST_PASSES:
        raise refusal(name, f"passes is {passes!r}", f"a whole number from 1 to {MOST_PASSES}")
    curves = as_lines(lines, name)
    return tuple(
        Toolpath(each, _followed(curve, height, passes), beam, cutting, part=part, role="engrave")
        for each, curve in zip(numbered(name, len(curves)), curves, strict=True)
    )


def _followed(curve: Curve, height: float, passes: int) -> Curve:
    """The line as a trace at one height, as often as it is followed."""
    points: NDArray[Any] = curve.flattened()[:, :2]
    if curve.closed:
        points = np.tile(points, (passes, 1))
    else:
        back = [points[-2::-1] if number % 2 else points[1:] for number in range(1, passes)]
        points = np.concatenate([points, *back])
    return Curve(np.column_stack([points, np.full(len(points), height)]), closed=curve.closed)
