"""Seeded faults of chamfers: how wide, on which side, on which line, and whether they are there and promised.

Each fault names the check that must fail. `test_nothing_else_catches_it` shows for some of them that neither the intent
checks nor the geometry of the proof sees them.
"""

from __future__ import annotations

import math
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from pathkit import operations
from pathkit.jobs import chamfers, depths, toolpaths
from pathkit.model.curve import Curve
from tests.jobs.audit.faults import Fault, Patch, assert_caught, errors_of_the_proof
from tests.jobs.audit.seeds import pieces
from tests.jobs.audit.test_shape_faults import with_notch

# The function of this name hides its module.
chamfer_module = sys.modules["pathkit.operations.chamfer"]


def with_chamfers(text: str) -> str:
    """Outline and recess bevelled by a vee of 60 degrees: 0.55 mm across, 0.95 mm deep."""
    vee = '[tools."vee 60"]\nkind = "vee"\nangle = 60\ndiameter = 8\nnumber = 3\n[cutting.wood]'
    rims = "".join(
        f'[[part.operations]]\nkind = "chamfer"\nshape = "{shape}"\nside = "{side}"\nwidth = 0.55\ntool = "vee 60"\n'
        for shape, side in (("outline", "outside"), ("recess", "inside"))
    )
    text = text.replace("thickness = 6", "thickness = 6\nthickness_tolerance = 0.2")
    return text.replace("[cutting.wood]", vee).replace("[layout]", rims + "[layout]")


def relieved_and_bevelled(text: str) -> str:
    return with_notch(with_chamfers(text))


def edges(change: Callable[[Any], Any]) -> Callable[[Patch], None]:
    """Each line to bevel goes through ``change``."""
    real = chamfers.cut_edges

    def seed(patch: Patch) -> None:
        patch.setattr(toolpaths, "cut_edges", lambda rims, *more: real(list(map(change, rims)), *more))
        # What such a line would spoil is refused at once; the audit is to see it by itself.
        patch.setattr(toolpaths, "spoilt", lambda *_: ())

    return seed


def wider_chamfers(patch: Patch) -> None:
    """Twice as wide, in toolpath and part alike."""
    for place in (chamfers, depths):
        for name in ("chamfer", "bevels", "depth_of"):
            if (real := getattr(place, name, None)) is not None:
                patch.setattr(place, name, doubled(real))


def doubled(real: Callable[..., Any]) -> Callable[..., Any]:
    if real is chamfer_module.depth_of:
        return lambda width, tool, name: real(2.0 * width, tool, name)
    return lambda *args, width, **more: real(*args, width=2.0 * width, **more)


def by_the_whole_angle(patch: Patch) -> None:
    patch.setattr(chamfer_module, "slope_of", lambda tool, name: math.tan(math.radians(tool.angle)))


def unpromised(piece: Any) -> Any:
    return replace(piece, parts=tuple(replace(part, chamfers=()) for part in piece.parts))


def on_the_other_side(rim: Any) -> Any:
    return replace(rim, side="inside" if rim.side == "outside" else "outside")


def beside_its_line(rim: Any) -> Any:
    return replace(rim, curve=Curve(rim.curve.points + 0.05, rim.curve.sweeps, closed=True))


def never_as_cut(patch: Patch) -> None:
    patch.setattr(chamfers, "as_cut", lambda rim, *_: rim.curve)


def chamfered_conventional(patch: Patch) -> None:
    real = operations.chamfer
    patch.setattr(chamfers, "chamfer", lambda *args, **more: real(*args, **more | {"direction": "conventional"}))


def without_chamfer(piece: Any) -> Any:
    return replace(piece, toolpaths=tuple(path for path in piece.toolpaths if path.name != "tag recess chamfer"))


FAULTS = (
    Fault("a chamfer twice as wide", "depths as asked", wider_chamfers, with_chamfers),
    Fault("a chamfer promised twice as wide", "parts as asked", wider_chamfers, with_chamfers),
    Fault("a chamfer by the whole angle", "depths as asked", by_the_whole_angle, with_chamfers),
    Fault("a chamfer on the other side", "parts as asked", edges(on_the_other_side), with_chamfers),
    Fault("a chamfer the other way round", "cuts as asked", chamfered_conventional, with_chamfers),
    Fault("a chamfer beside its line", "cuts as asked", edges(beside_its_line), with_chamfers),
    Fault("a chamfer of unrelieved corners", "cuts as asked", never_as_cut, relieved_and_bevelled),
    Fault("a chamfer lost", "cuts as asked", pieces(without_chamfer), with_chamfers),
    Fault("a chamfer not promised", "parts as asked", pieces(unpromised), with_chamfers),
)


@pytest.mark.parametrize("fault", FAULTS, ids=[fault.name for fault in FAULTS])
def test_the_audit_catches_it(fault: Fault, tags: str, drawings: Path, monkeypatch: Patch) -> None:
    assert_caught(fault, tags, drawings, monkeypatch)


@pytest.mark.parametrize(
    "name", ["a chamfer twice as wide", "a chamfer the other way round", "a chamfer of unrelieved corners"]
)
def test_nothing_else_catches_it(name: str, tags: str, drawings: Path, monkeypatch: Patch) -> None:
    (fault,) = (each for each in FAULTS if each.name == name)
    assert not errors_of_the_proof(fault, tags, drawings, monkeypatch)
