"""Random boards that are good: the operations make the parts correctly, they are held, and the proof finds nothing.

`jobs` of `pathkit.testing.strategies` are arbitrary cuts; these boards are what makers cut: plates with recesses,
islands, slots and holes, on a grid with room between them. They need hypothesis (the ``dev`` extra).
"""

from __future__ import annotations

import math
from typing import Any

from hypothesis import strategies as st

from pathkit.errors import InputError
from pathkit.model.curve import Curve
from pathkit.model.job import Feature, Job, Part
from pathkit.model.stock import Stock, Zone
from pathkit.model.tool import Cutting, Tool
from pathkit.model.toolpath import Toolpath
from pathkit.operations import contour, drill, moved, obround, pocket, rectangle, slot

BITS = (
    Tool("3 mm end mill", 3.0, number=1, centre_cutting=True, cut_length=20.0, shank=6.0, reach=30.0, holder=20.0),
    Tool("4 mm end mill", 4.0, number=1, cut_length=20.0, shank=4.0, reach=30.0, holder=20.0),
    Tool("6 mm end mill", 6.0, number=1, centre_cutting=True, cut_length=25.0, shank=6.0, reach=35.0, holder=25.0),
)
"""With and without a cutting centre, thinner than their shank and as thick."""

MARGIN = 20.0  # mm round the plates and between them: two kerfs of the widest bit and a web that holds the waste


def boards(*, most: int = 2) -> st.SearchStrategy[Job]:
    """Jobs of one to ``most`` by ``most`` equal plates, with their finished shapes in `Job.parts`.

    Each plate is held by tape under its middle, or else by tabs from `HoldTabs`. Entries are straight, as they are
    before `RampEntries`.
    """
    if not 1 <= most <= 6:
        raise InputError(f"boards: most is {most}; give 1 to 6 plates a side")
    return _boards(most)


def _halves(low: float, high: float) -> st.SearchStrategy[float]:
    return st.integers(math.ceil(low * 2.0), math.floor(high * 2.0)).map(lambda n: n / 2.0)


@st.composite
def _boards(draw: st.DrawFn, most: int) -> Job:
    bit = draw(st.sampled_from(BITS))
    width, depth = draw(_halves(45.0, 90.0)), draw(_halves(40.0, 60.0))
    across, down = draw(st.integers(1, most)), draw(st.integers(1, most))
    # A few rows of plates; the board is sized to fit them.
    board = (across * (width + MARGIN) + MARGIN, down * (depth + MARGIN) + MARGIN)
    plain = Stock(
        *board, draw(st.sampled_from((4.0, 9.0, 12.0))), z_zero=draw(st.sampled_from(("top", "bed"))),
        underlay=draw(st.sampled_from((1.5, 3.0))), grain=draw(st.sampled_from((0.0, 90.0, 30.0))),
        thickness_tolerance=draw(st.sampled_from((0.0, 0.5))),
    )  # fmt: skip
    corners = [
        (MARGIN + i * (width + MARGIN), MARGIN + j * (depth + MARGIN)) for j in range(down) for i in range(across)
    ]
    plate = _Plate(draw, bit, (width, depth), plain)
    zones = tuple(plate.tape(corner) for corner in corners) if draw(st.booleans()) else ()
    stock = Stock(
        *board, plain.thickness, z_zero=plain.z_zero, underlay=plain.underlay, grain=plain.grain,
        thickness_tolerance=plain.thickness_tolerance, zones=zones,
    )  # fmt: skip
    parts = tuple(plate.part(f"plate {k}", corner) for k, corner in enumerate(corners, 1))
    paths = [path for part, corner in zip(parts, corners, strict=True) for path in plate.cuts(part.name, corner)]
    paths.sort(key=lambda path: {"drill": 1, "slot": 1, "outline": 2}.get(path.role, 0))
    return Job("random plates", stock, tuple(paths), parts=parts)


class _Plate:
    """One plate at the origin: its finished shapes, and the cuts that make it."""

    def __init__(self, draw: st.DrawFn, bit: Tool, size: tuple[float, float], stock: Stock) -> None:
        self.bit, self.stock, self.size = bit, stock, size
        width, depth = size
        least = bit.radius + 0.5
        self.outline = rectangle((0.0, 0.0), width, depth, radius=draw(st.sampled_from((0.0, 4.0, 8.0))))
        # The recess is on the left, the slot to the right of it, holes in the corners.
        self.recess = rectangle((10.0, 10.0), width - 32.0, depth - 20.0, radius=draw(_halves(least, 6.0)))
        self.floor = stock.top - stock.thickness * draw(st.sampled_from((0.25, 0.5)))
        self.island = draw(st.none() | st.just(((10.0 + (width - 32.0) / 2.0, depth / 2.0), 1.5)))
        if self.island is not None and min(width - 32.0, depth - 20.0) < 4.0 * bit.diameter:
            self.island = None
        x = width - 15.0
        self.slot = ((x, 14.0), (x, depth - draw(_halves(14.0, 18.0))))
        inset = bit.radius + 3.0
        self.holes = ((inset, inset), (width - inset, inset), (width - inset, depth - inset), (inset, depth - inset))
        self.drill = Tool("drill", bit.diameter, number=2, kind="drill", cut_length=25.0, reach=35.0, holder=20.0)
        self.through = stock.through(0.3)
        self.stepdown = draw(st.sampled_from((2.0, 3.0)))
        self.cutting = Cutting(feed=draw(st.sampled_from((900.0, 1500.0))), plunge=400.0, spindle=16000.0)

    def islands(self) -> tuple[Curve, ...]:
        return () if self.island is None else (Curve.circle(*self.island),)

    def part(self, name: str, corner: tuple[float, float]) -> Part:
        """The finished plate with its front left corner at ``corner``."""
        radius = self.bit.radius
        recess = Feature(moved(self.recess, corner), self.floor, tuple(moved(i, corner) for i in self.islands()))
        round_holes = (Feature(moved(Curve.circle(hole, radius), corner)) for hole in self.holes)
        through = (Feature(moved(obround(*self.slot, self.bit.diameter), corner)), *round_holes)
        return Part(name, moved(self.outline, corner), (recess,), through)

    def cuts(self, name: str, corner: tuple[float, float]) -> tuple[Toolpath, ...]:
        """The cuts that make it."""
        common: dict[str, Any] = {"part": name}
        levels: dict[str, Any] = {"stepdown": self.stepdown, **common}
        islands = [moved(i, corner) for i in self.islands()]
        line = moved(Curve.polyline(self.slot), corner)
        holes = [(corner[0] + x, corner[1] + y) for x, y in self.holes]
        return (
            *pocket(
                f"{name} recess", moved(self.recess, corner), self.bit, self.cutting, bottom=self.floor,
                stock=self.stock, islands=islands, **levels,
            ),
            *slot(f"{name} slot", line, self.bit, self.cutting, bottom=self.through, **levels),
            *drill(f"{name} hole", holes, self.drill, self.cutting, bottom=self.through, peck=3.0, **common),
            *contour(
                f"{name} outline", moved(self.outline, corner), self.bit, self.cutting, bottom=self.through, **levels
            ),
        )  # fmt: skip

    def tape(self, corner: tuple[float, float]) -> Zone:
        """Tape under the floor of the recess."""
        from shapely.geometry import box

        (x, y), (width, depth) = corner, self.size
        return Zone(box(x + 14.0, y + 14.0, x + width - 24.0, y + depth - 14.0), "tape")
