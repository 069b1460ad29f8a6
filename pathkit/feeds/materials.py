"""What is cut: how thick a chip each material takes, how deep and how fast; and what must not be cut at all.

Every number here is common practice, no source: a starting point for small routers, to be tried on a piece of waste.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final, Literal

Material = Literal[
    "softwood", "hardwood", "plywood", "mdf", "hdf", "bamboo", "cork", "acrylic", "hdpe", "foam"
]  # fmt: skip
"""Softwood and hardwood are solid; foam is of polystyrene or polyurethane."""


@dataclass(frozen=True)
class Usual:
    """``chips`` mm a tooth of a 6 mm carbide bit (a 3 mm bit takes about half); ``depth`` at once in diameters;
    ``speed`` m/min at the bit's edge at most. ``caution`` is said to whoever cuts it."""

    chips: tuple[float, float]
    depth: float = 1.0
    speed: float = 2000.0
    caution: str = ""


_MELTS: Final = "it melts on a bit that rubs: thick chips, few flutes, a sharp bit, and chips blown out of the cut"

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
    "foam": Usual((0.10, 0.50), depth=3.0, caution="make sure that it is no foam of PVC, which must not be cut"),
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
        " circuit board is of it"
    ),
    "fibre cement": (
        "its dust is crystalline silica, which causes cancer (IARC Monographs, volume 100C, from memory); old boards"
        " hold asbestos"
    ),
    "treated wood": (
        "its dust holds what keeps rot away: arsenic and chromium in older wood, which cause cancer (IARC Monographs,"
        " volume 100C, from memory)"
    ),
    "unknown": "what its dust and its smoke do is not known either; find its safety data sheet first",
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
    """Why a material of this name must not be cut; None where nothing is known against it."""
    plain = " ".join(name.lower().replace("-", " ").replace("_", " ").split())
    return DO_NOT_CUT.get(_ALSO.get(plain, plain))
