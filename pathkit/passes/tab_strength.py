"""How much tabs and tape hold, by estimate: the forces of a dull bit and a moving table, and what little wood bears.

An estimate is never a proof. The formulas come from handbooks, and so do the figures for clear solid wood; all other
figures are common practice, no source.

Formulas. A chip of width a_p (the bite) and thickness f_z takes a force F = k · a_p · f_z at each tooth that cuts
(specific cutting force; any handbook of machining). Where a load F acts at e from the middle of a group of n equally
stiff fasteners, the one that lies r from the middle bears F · (1/n + e · r / Σ r²) (eccentrically loaded joints,
Shigley's Mechanical Engineering Design, 8th edition, chapter 8; from memory). A tab is a beam across the kerf, ℓ long,
held at both ends so that neither turns: its moment is F · ℓ / 2, its section modulus b · h² / 6, so
σ = 3 · F · ℓ / (b · h²); its greatest shear is 1.5 · F / (b · h) (Timoshenko, Strength of Materials, part I; from
memory). Wood at an angle θ to its grain bears P · Q / (P · sinⁿ θ + Q · cosⁿ θ), n = 1.5 (Hankinson's formula, Wood
Handbook, USDA FPL-GTR-282, chapter 5).
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from pathkit.curves.alike import loop_of
from pathkit.geometry.spans import heading_at
from pathkit.machine.profile import Machine
from pathkit.model.stock import Stock
from pathkit.model.toolpath import Tab, Toolpath

HANDBOOK: Final = "Wood Handbook, USDA FPL-GTR-282, chapter 5, clear wood at 12 % moisture, from memory"
PRACTICE: Final = "common practice, no source"


@dataclass(frozen=True)
class Wood:
    """Strengths in MPa: ``along`` the fibres in bending, ``across`` them in tension, ``shear``, and their ``source``.

    ``cost`` is the specific cutting force of a sharp bit, N/mm² (common practice, no source), ``density`` kg/m³.
    """

    along: float
    across: float
    shear: float
    cost: float
    density: float
    source: str = PRACTICE


WOOD: Final[Mapping[str, Wood]] = {
    # The weakest in common use: along and shear from northern white-cedar, across from western redcedar.
    "softwood": Wood(45.0, 1.5, 5.9, 20.0, 500.0, HANDBOOK),
    # Quaking aspen.
    "hardwood": Wood(58.0, 1.8, 5.9, 40.0, 750.0, HANDBOOK),
    # The handbook's tables for clear wood do not cover these: values well below those of the sheets on sale.
    "plywood": Wood(12.0, 12.0, 1.5, 30.0, 680.0),
    "mdf": Wood(10.0, 10.0, 2.0, 30.0, 750.0),
    "hdf": Wood(15.0, 15.0, 3.0, 45.0, 900.0),
    "bamboo": Wood(50.0, 1.8, 5.0, 45.0, 700.0),
    "acrylic": Wood(40.0, 40.0, 20.0, 60.0, 1190.0),
    "hdpe": Wood(12.0, 12.0, 8.0, 30.0, 950.0),
}
"""The figures of each material. Cork and foam are missing: nothing is known of them that a tab could rely on."""

DULL: Final = 2.0
"""The force of a dull bit, as a multiple of a sharp one's. Common practice, no source."""

SAFETY: Final = 2.0
"""The load that the tabs must bear, as a multiple of that worked out: with `DULL` four times a sharp bit's force."""

LIFT: Final = 0.6
"""The lift of an up-cut bit, as a share of its force: the tangent of its helix angle, 30° (geometry of the helix)."""

SPREAD: Final = 1.5
"""n of Hankinson's formula: of the range from 1.5 to 2 for tension and bending, the end that gives less strength."""

TAPE: Final = 0.02
"""N/mm² that two-sided tape holds under wood that was wiped. Common practice, no source; new tape on a clean face holds
several times as much, tape on dust next to nothing."""

GRAVITY: Final = 9.81


@dataclass(frozen=True)
class Load:
    """The load on one part, N: ``push`` in the plane, ``lift`` upward; its ``weight`` is reported, not relied on."""

    push: float
    lift: float
    weight: float


def load_of(path: Toolpath, stock: Stock, wood: Wood, machine: Machine) -> Load:
    """The load of the cut that frees a part: the force of a dull bit in a full slot, at the feed that the machine
    allows, and the force that makes the part's own mass follow a moving table."""
    cutting = path.cutting
    feed = min(cutting.feed, *machine.motion.feed_limit[:2])
    chip = feed / (cutting.spindle * path.tool.flutes)
    force = DULL * wood.cost * path.deepest_bite(stock) * chip * max(1.0, path.tool.flutes / 2.0)
    loop = loop_of(path.curve)
    area = abs(loop.area) if loop is not None else 0.0
    mass = wood.density * area * (stock.thickness + stock.thickness_tolerance) * 1e-9
    shake = mass * max(machine.motion.acceleration[:2]) / 1000.0
    return Load(force + shake, LIFT * force, mass * GRAVITY)


def shares(places: Sequence[Sequence[float]], outline: Sequence[Sequence[float]]) -> list[float]:
    """The largest share of a load that each fastener bears, wherever on the outline the load acts (see above)."""
    at = np.asarray(places, dtype=float)[:, :2]
    middle = at.mean(axis=0)
    apart = np.hypot(*(at - middle).T)
    far = float(np.hypot(*(np.asarray(outline, dtype=float)[:, :2] - middle).T).max())
    total = float((apart**2).sum())
    return [1.0 / len(at) + (far * float(r) / total if total > 0.0 else 0.0) for r in apart]


def at_an_angle(wood: Wood, angle: float) -> float:
    """MPa that wood bears at ``angle`` degrees to its grain (see above); without grain, the same all round."""
    if wood.along == wood.across:
        return wood.across
    sine, cosine = abs(math.sin(math.radians(angle))), abs(math.cos(math.radians(angle)))
    bears: float = wood.along * wood.across / (wood.along * sine**SPREAD + wood.across * cosine**SPREAD)
    return bears


def bent(force: float, length: float, across: float, high: float) -> float:
    """MPa of bending at the ends of a beam that is held at both so that neither turns (see above)."""
    return 3.0 * force * length / (across * high * high)


def used(path: Toolpath, tabs: Sequence[Tab], stock: Stock, wood: Wood, load: Load) -> float:
    """The load as a share of what the weakest tab bears, `SAFETY` included; the tabs hold if it is 1 or less.

    For each tab, the load is taken to act where it is worst for that tab.
    """
    loop = loop_of(path.curve) or path.curve
    borne = shares([path.curve.at(tab.at).tolist() for tab in tabs], loop.flattened(0.1).tolist())
    worst = 0.0
    for tab, share in zip(tabs, borne, strict=True):
        push, lift = share * load.push, share * load.lift
        section = tab.width * tab.height
        sideways = max(bent(push, path.tool.diameter, tab.height, tab.width), push / section)
        stress = sideways + bent(lift, path.tool.diameter, tab.width, tab.height)
        x, y = heading_at(path.curve.spans, tab.at)
        # A tab lies across its contour; its fibres run as the board's grain does.
        angle = math.degrees(math.atan2(x, -y)) - stock.grain
        shear = 1.5 * math.hypot(push, lift) / section
        worst = max(worst, stress / at_an_angle(wood, angle), shear / wood.shear)
    return SAFETY * worst


def taped(area: float) -> float:
    """N that tape under ``area`` mm² of a part may be relied on to hold, `SAFETY` included."""
    return TAPE * area / SAFETY
