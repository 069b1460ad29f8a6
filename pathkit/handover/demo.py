"""The demo: a makerspace cuts a batch of cable-tidy plates, twelve from one board.

Each plate has a recess for the coiled cable, a slot for its end and four screw holes. The board lies on a sheet of
waste, held by tape under each plate; nothing is clamped. Depths are counted from the bed, because everything but the
recess goes through.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from pathkit.errors import UnknownName
from pathkit.model.curve import Curve
from pathkit.model.job import Feature, Job, Part
from pathkit.model.stock import Stock, Zone
from pathkit.model.tool import Cutting, Tool
from pathkit.model.toolpath import Toolpath
from pathkit.operations import contour, drill, moved, obround, pocket, rectangle, slot

if TYPE_CHECKING:
    from pathkit.machine.profile import Machine
    from pathkit.passes.base import Pass

DISTRIBUTION: Final = "pathkit-cam"
ACROSS: Final = 4
DOWN: Final = 3
PLATE: Final = (90.0, 50.0)
GAP: Final = 12.0  # mm between plates: two kerfs of 4 mm and a web as wide between them
BOARD: Final = (440.0, 240.0, 9.0)
WASTE: Final = 3.0  # mm of waste sheet under the board
THROUGH: Final = 0.3  # mm that through cuts go into it
RECESS_DEPTH: Final = 4.0

_RECESS = rectangle((14.0, 10.0), 42.0, 30.0, radius=4.0)
_SLOT = ((70.0, 14.0), (70.0, 36.0))
_HOLES = ((8.0, 8.0), (82.0, 8.0), (82.0, 42.0), (8.0, 42.0))


def demo_job() -> Job:
    """Twelve plates of 90 × 50 mm on a board of 440 × 240 × 9 mm of birch plywood."""
    bit = Tool("4 mm end mill", 4.0, number=1, flutes=2, centre_cutting=True, cut_length=17.0, shank=4.0, reach=24.0)
    # 16 000 rpm × 2 flutes × 0.06 mm a tooth: a starting point of common practice for a 4 mm bit in plywood.
    cutting = Cutting(feed=1920.0, plunge=500.0, spindle=16000.0)
    corners = _corners()
    width, depth, thickness = BOARD
    stock = Stock(
        width, depth, thickness, z_zero="bed", thickness_tolerance=0.5, underlay=WASTE, grain=0.0,
        zones=tuple(_tape(corner) for corner in corners),
    )  # fmt: skip
    parts = tuple(_plate(f"plate {number:02d}", corner, stock) for number, corner in enumerate(corners, 1))
    cuts = [_cuts(part, corner, bit, cutting, stock) for part, corner in zip(parts, corners, strict=True)]
    # As one would by hand: all recesses, then slots and holes, then outlines.
    toolpaths = tuple(path for stage in zip(*cuts, strict=True) for plate in stage for path in plate)
    return Job("cable-tidy plates", stock, toolpaths, parts=parts)


def demo_passes(*, effort: float = 1.0, seed: int = 0) -> tuple[Pass, ...]:
    """What the demo does to its job: equal levels, two tabs a plate, ways down at an angle, a short way round."""
    from pathkit.handover.build import standard_passes

    return standard_passes(effort=effort, seed=seed)


def demo_machines() -> tuple[Machine, ...]:
    """The routers of the makerspace: the profiles that come with this distribution, in the order of their names.

    Raises `UnknownName` where they are not installed.
    """
    from pathkit.registry import installed

    provided = [p.value for p in installed().provided("machine") if p.package.split()[0] == DISTRIBUTION]
    if not provided:
        raise UnknownName("the demo's machine profiles are not installed; install the distribution pathkit-cam")
    return tuple(provided)


def _corners() -> list[tuple[float, float]]:
    """Front left corners of the plates, the whole grid in the middle of the board."""
    left = (BOARD[0] - ACROSS * PLATE[0] - (ACROSS - 1) * GAP) / 2.0
    front = (BOARD[1] - DOWN * PLATE[1] - (DOWN - 1) * GAP) / 2.0
    return [
        (left + column * (PLATE[0] + GAP), front + row * (PLATE[1] + GAP))
        for row in range(DOWN)
        for column in range(ACROSS)
    ]


def _plate(name: str, corner: tuple[float, float], stock: Stock) -> Part:
    holes = [Feature(moved(Curve.circle(hole, 2.0), corner)) for hole in _HOLES]
    return Part(
        name,
        moved(rectangle((0.0, 0.0), *PLATE, radius=8.0), corner),
        recesses=(Feature(moved(_RECESS, corner), stock.top - RECESS_DEPTH),),
        holes=(Feature(moved(obround(*_SLOT, 4.0), corner)), *holes),
    )


def _cuts(
    part: Part, corner: tuple[float, float], bit: Tool, cutting: Cutting, stock: Stock
) -> tuple[tuple[Toolpath, ...], ...]:
    """The cuts of one plate, stage by stage."""
    name = part.name
    through = stock.underside - THROUGH
    line = moved(Curve.polyline(_SLOT), corner)
    holes = [(corner[0] + x, corner[1] + y) for x, y in _HOLES]
    return (
        pocket(
            f"{name} recess", part.recesses[0].curve, bit, cutting,
            bottom=stock.top - RECESS_DEPTH, stepdown=2.5, stock=stock, part=name,
        ),
        slot(f"{name} slot", line, bit, cutting, bottom=through, stepdown=3.0, part=name),
        drill(f"{name} hole", holes, bit, cutting, bottom=through, peck=3.0, part=name),
        contour(f"{name} outline", part.outline, bit, cutting, bottom=through, stepdown=3.0, part=name),
    )  # fmt: skip


def _tape(corner: tuple[float, float]) -> Zone:
    """Two-sided tape under the solid middle of a plate, clear of every through cut."""
    from shapely.geometry import box

    x, y = corner
    return Zone(box(x + 16.0, y + 14.0, x + 62.0, y + 36.0), "tape")
