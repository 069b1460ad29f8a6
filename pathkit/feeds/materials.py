"""Materials: how thick a chip each takes, how deep and how fast it is cut; and what must not be cut at all.

Every number here is common practice, no source: a starting point for small routers, to be tried on a piece of waste.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final, Literal

Material = Literal[
    "softwood", "hardwood", "plywood", "mdf", "hdf", "bamboo", "cork", "acrylic", "hdpe", "foam"
]  # fmt: skip
"""Softwood and hardwood are solid; foam is polystyrene or polyurethane."""


@dataclass(frozen=True)
class Usual:
    """``chips`` in mm a tooth of a 6 mm carbide bit (a 3 mm bit takes about half); ``depth`` at once, in diameters;
    the highest ``speed`` of the bit's edge, m/min. ``caution`` is a note for whoever cuts it."""

    chips: tuple[float, float]
    depth: float = 1.0
    speed: float = 2000.0
    caution: str = ""


_MELTS: Final = "it melts on a bit that rubs: use a sharp bit with few flutes, cut thick chips and blow them out"

USUAL: Final[Mapping[Material, Usual]] = {
    "softwood": Usual((0.10, 0.25)),
    "plywood": Usual((0.10, 0.25)),
    "hardwood": Usual((0.08, 0.18)),
    "mdf": Usual((0.10, 0.28)),
    "hdf": Usual((0.08, 0.20)),
    "bamboo": Usual((0.08, 0.18)),
    "cork": Usual((0.10, 0.30), depth=2.0),
    "acrylic": Usual((0.06, 0.18), speed=600.0, caution=_MELTS),
    "hdpe": Usual((0.10, 0.30), speed=1000.0, caution=_MELTS),
    "foam": Usual((0.10, 0.50), depth=3.0, caution="make sure that it is not PVC foam, which must not be cut"),
}

DO_NOT_CUT: Final[Mapping[str, str]] = {
    "pvc": (
        "a bit that rubs heats it until it gives off hydrogen chloride, which harms the lungs and corrodes the machine"
        " (chemistry of polymers, from memory)"
    ),
    "carbon fibre": (
        "its dust conducts and gets into motors and electronics, and its fibres harm lungs and skin; it is cut wet or"
        " in an enclosure (common practice, no source)"
    ),
    "glass fibre": (
        "its dust harms lungs, eyes and skin (fibrous glass dust, NIOSH Pocket Guide to Chemical Hazards, from memory);"
        " circuit boards are made of it"
    ),
    "fibre cement": (
        "its dust contains crystalline silica, which causes cancer (IARC Monographs, volume 100C, from memory); old"
        " boards may contain asbestos"
    ),
    "treated wood": (
        "its dust contains what protects it from rot: arsenic and chromium in older wood, which cause cancer (IARC"
        " Monographs, volume 100C, from memory)"
    ),
    "unknown": "what its dust and its smoke do is not known; find its safety data sheet first",
}
"""Materials that are refused, and why: each by its plain name."""

_ALSO: Final[Mapping[str, str]] = {
    "vinyl": "pvc", "pvc foam": "pvc", "carbon fiber": "carbon fibre", "cfrp": "carbon fibre", "gfrp": "glass fibre",
    "glass fiber": "glass fibre", "fiberglass": "glass fibre", "fibreglass": "glass fibre", "fr4": "glass fibre",
    "circuit board": "glass fibre", "fiber cement": "fibre cement", "cement board": "fibre cement",
    "asbestos": "fibre cement", "creosote": "treated wood", "pressure treated": "treated wood",
    "composite": "unknown", "unknown composite": "unknown",
}  # fmt: skip


def why_not(name: str) -> str | None:
    """Why a material of this name must not be cut; None if nothing is known against it."""
    plain = " ".join(name.lower().replace("-", " ").replace("_", " ").split())
    return DO_NOT_CUT.get(_ALSO.get(plain, plain))
