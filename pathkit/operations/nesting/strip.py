"""Parts on the shortest strip, by a library that packs strips (spyrrow), made to give the same answer every time.

The library stops by the clock, so what it returns depends on the machine's speed. What it reports on its way does not:
with a fixed seed and number of workers its search takes the same steps, and reports them in the same order. Therefore
its reports are counted, and it is stopped after a given number of them, or at the first strip that is short enough. It
runs in a process of its own (`strip_process`), since there is no other way to stop a search. ``seconds`` is only a cap.
The library computes in single precision: another kind of processor may round differently, and find another strip.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Sequence
from typing import TYPE_CHECKING, Final, NamedTuple

import numpy as np

from pathkit.errors import PathkitError
from pathkit.operations.layout import Placement
from pathkit.operations.nesting.no_fit import Ring, grown
from pathkit.operations.nesting.values import Placed
from pathkit.tolerances import STRIP_ROUNDING

if TYPE_CHECKING:
    from pathkit.operations.nesting.placing import Shapes

REPORTS: Final = 600
"""The search is given up after this many reports without a strip that is short enough."""

SECONDS: Final = 60
"""Processor time, at most."""

MOST: Final = 200
"""The most copies that the search is asked to pack: more of them take too long."""


class Piece(NamedTuple):
    """A closed outline (n, 2), how many copies of it, and the quarter turns that it may have."""

    ring: Ring
    copies: int
    turns: tuple[int, ...]


class Packed(NamedTuple):
    """A strip's ``length`` and (piece, place) of everything on it; one corner of the strip is the origin."""

    length: float
    places: tuple[tuple[int, Placement], ...]


def pack(
    pieces: Sequence[Piece], depth: float, *, short_enough: float = 0.0, reports: int = REPORTS, seconds: int = SECONDS
) -> Packed | None:
    """The shortest strip (along x, ``depth`` mm deep) that is found within ``reports`` reports, or the first that is
    at most ``short_enough`` mm long; None if none is found.

    Pieces may touch, and lie on each other by the rounding of single precision. Raises `PathkitError` if the search
    fails.
    """
    asked = {
        "items": [[piece.ring.tolist(), piece.copies, [90.0 * turn for turn in piece.turns]] for piece in pieces],
        "depth": depth, "short_enough": short_enough, "reports": reports, "seconds": seconds,
    }  # fmt: skip
    command = [sys.executable, "-m", "pathkit.operations.nesting.strip_process"]
    # The process must import this same package, wherever it is.
    world = {**os.environ, "PYTHONPATH": os.pathsep.join(filter(None, sys.path))}
    run = subprocess.run(command, input=json.dumps(asked), capture_output=True, text=True, check=False, env=world)
    if run.returncode != 0:
        raise PathkitError(f"packing a strip failed: {run.stderr.strip()[-300:]}")
    answer = json.loads(run.stdout)
    if answer is None:
        return None
    places = tuple(
        (k, Placement(round(x, 4), round(y, 4), round(angle / 90.0) % 4)) for k, angle, x, y in answer["places"]
    )
    return Packed(float(answer["length"]), places)


def fuller(shapes: Shapes, left: Sequence[int]) -> list[Placed] | None:
    """All that is left on one board, if the search finds room for it; None if it does not."""
    sheet = shapes.sheet
    room = sheet.room
    # Each part has half of the room between two around it. It needs none at an edge, so the strip is that much larger.
    length, depth = room[2] - room[0] + sheet.apart, room[3] - room[1] + sheet.apart
    live = [k for k, n in enumerate(left) if n]
    pieces = [Piece(_ring(shapes, k), left[k], shapes.items[k].turns) for k in live]
    packed = pack(pieces, depth, short_enough=length, reports=REPORTS)
    if packed is None or packed.length > length:
        return None
    x, y = room[0] - sheet.apart / 2.0, room[1] - sheet.apart / 2.0
    return [Placed(live[k], Placement(place.x + x, place.y + y, place.turn)) for k, place in packed.places]


def _ring(shapes: Shapes, item: int) -> Ring:
    import shapely

    area = grown(shapes.items[item].ring, shapes.half(item) + STRIP_ROUNDING)
    return np.asarray(shapely.get_coordinates(area.exterior)[:-1])
