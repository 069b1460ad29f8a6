"""Seeded faults of shapes and places: copies, parts, the lines of cuts, and holes that are milled.

Each fault names the check that must fail. `test_nothing_else_catches_it` shows for some of them that neither the intent
checks nor the geometry of the proof sees them.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

import pathkit as pk
from pathkit import operations
from pathkit.drawings import svg
from pathkit.jobs import edges, schema, toolpaths
from pathkit.model.curve import Curve
from tests.jobs.audit.faults import OF_SHAPES, Fault, Patch, assert_caught, errors_of_the_proof, made
from tests.jobs.audit.seeds import (
    conventional,
    crowded,
    default_of,
    drawn_in_mm,
    fewer_boards,
    floor,
    laid,
    one_mirrored,
    other_side,
    pieces,
    turned_copies,
    whole_piece,
    without_copy,
    without_toolpath,
    wrapped,
)


def in_a_drawing(text: str) -> str:
    drawn = 'mark = { svg = "mark.svg", units = "inch" }'
    return text.replace("mark.line = [[16, 24], [30, 24], [34, 27]]", drawn)


def with_notch(text: str) -> str:
    """An outline with a corner that points into it, relieved."""
    text = text.replace("[60, 20], [50, 30]", "[60, 22], [50, 22], [50, 30]")
    return text.replace("bottom.through = 0.4", "bottom.through = 0.4\nrelief = true")


def drawn_with_notch(text: str) -> str:
    return re.sub(r"outline\.polygon = .*", 'outline = { svg = "notch.svg" }', with_notch(text))


def never_relieved(patch: Patch) -> None:
    patch.setattr(edges, "relieved", lambda ring, *_, **__: ring)


def relieved_where_it_stands_out(patch: Patch) -> None:
    real = operations.relieve
    patch.setattr(edges, "relieve", lambda ring, radius, **more: real(ring, radius, **more | {"outside": False}))


def as_filled_marks(text: str) -> str:
    return text.replace("mark.line = [[16, 24], [30, 24], [34, 27]]", 'mark = { svg = "filled.svg" }')


def left_open(patch: Patch) -> None:
    patch.setattr(svg, "closed_by_fill", lambda curve: curve)


def every_line_cut(patch: Patch) -> None:
    """Lines that lie within what is filled, where nobody sees them."""
    patch.setattr(svg, "edges_of_fill", lambda curves, **_: curves)


def with_window(text: str) -> str:
    window = "window.rectangle = { corner = [42, 6], width = 9, depth = 9, radius = 2 }\n[[part.operations]]"
    work = (
        'kind = "contour"\nshape = "window"\nside = "inside"\ntool = "3 mm mill"\nbottom.from_top = 3\nstepdown = 2\n'
    )
    return text.replace("[[part.operations]]", f"{window}\n{work}[[part.operations]]", 1)


def with_bore(text: str) -> str:
    """A hole of 3.4 mm, pecked, and one of 9 mm, for the bit of 3 mm."""
    shapes = "bores.circle = { centre = [52, 8], radius = 1.7 }\nwide.circle = { centre = [48, 22], radius = 4.5 }\n"
    work = (
        'kind = "drill"\nshape = ["bores", "wide"]\nname = "bores"\ntool = "3 mm mill"\nbottom.through = true\n'
        "stepdown = 2\npeck = 1.5\n[[part.operations]]"
    )
    return text.replace("[[part.operations]]", f"{shapes}[[part.operations]]\n{work}", 1)


def bored(change: Callable[..., Any]) -> Callable[[Patch], None]:
    """Each toolpath of a hole wider than its bit goes through ``change``."""
    return lambda patch: wrapped(patch, toolpaths, "bore", lambda paths: tuple(map(change, paths)))


def without_ring(path: Any) -> Any:
    """The narrow hole as wide as the bit: drilled in its middle, and never brought to size."""
    if isinstance(path.entry, pk.Helix):
        return path
    return replace(path, curve=Curve.point(path.curve.points[0]), stepdown=None, reversible=None)


def run_clockwise(path: Any) -> Any:
    return replace(path, curve=Curve(path.curve.points, -path.curve.sweeps))


def bored_wider(by: float) -> Callable[[Patch], None]:
    real = operations.bore

    def seed(patch: Patch) -> None:
        patch.setattr(toolpaths, "bore", lambda name, centre, diameter, *args, **options: real(
            name, centre, diameter + by, *args, **options))  # fmt: skip

    return seed


def larger_steps(patch: Patch) -> None:
    real = operations.bore
    patch.setattr(toolpaths, "bore", lambda *args, **options: real(*args, **{**options, "stepover": 0.7}))


def by_a_rub(path: Any) -> Any:
    if isinstance(path.entry, pk.Helix):
        return path
    return replace(path, entry=pk.Helix(3.0, 0.4), curve=Curve.point(path.curve.points[0]), reversible=None)


MIRROR = whole_piece([[-1, 0], [0, 1]], (30.0, 15.0))
HALF_A_TURN = whole_piece([[-1, 0], [0, -1]], (30.0, 15.0))
LARGER = whole_piece([[1.02, 0], [0, 1.02]], (0.0, 0.0))

FAULTS = (
    Fault("a copy lost", "copies as asked", laid(without_copy("03"))),
    Fault("a board lost", "copies as asked", fewer_boards, lambda text: text.replace("copies = 3", "copies = 9")),
    Fault("copies too near", "copies as asked", crowded),
    Fault("all copies mirrored", "parts as asked", pieces(MIRROR)),
    Fault("a copy mirrored", "parts as asked", laid(one_mirrored)),
    Fault("a part half a turn round", "parts as asked", pieces(HALF_A_TURN)),
    Fault("copies half a turn round", "cuts as asked", turned_copies),
    Fault("a part larger", "parts as asked", pieces(LARGER)),
    Fault("inches read as mm in a drawing", "cuts as asked", drawn_in_mm, in_a_drawing),
    Fault("room for a peg forgotten", "parts as asked", never_relieved, with_notch),
    Fault("room for a peg forgotten in a drawing", "cuts as asked", never_relieved, drawn_with_notch),
    Fault("room for pegs at other corners", "parts as asked", relieved_where_it_stands_out, with_notch),
    Fault("a filled shape left open", "cuts as asked", left_open, as_filled_marks),
    Fault("what is filled taken line by line", "cuts as asked", every_line_cut, as_filled_marks),
    Fault("an operation dropped", "cuts as asked", pieces(without_toolpath("hole"))),
    Fault("a mark dropped", "cuts as asked", pieces(without_toolpath("mark"))),
    Fault("inside and outside exchanged", "cuts as asked", other_side, with_window),
    Fault("conventional in place of climb", "cuts as asked", conventional),
    Fault("lines further apart", "cuts as asked", floor(stepover=0.5)),
    Fault("lines at another angle", "cuts as asked", floor(angle=20.0)),
    Fault("rings in place of lines", "cuts as asked", floor(style="rings")),
    Fault("another default stepover", "cuts as asked", default_of(schema.Pocket, "stepover", 0.48)),
    Fault("a wall left for later", "cuts as asked", floor(wall_allowance=0.5)),
    Fault("another default allowance", "cuts as asked", default_of(schema.Pocket, "wall_allowance", 0.1)),
    Fault("a ring left out", "cuts as asked", bored(without_ring), with_bore),
    Fault("a hole cut conventional", "cuts as asked", bored(run_clockwise), with_bore),
    Fault("turns further apart", "cuts as asked", larger_steps, with_bore),
    Fault("a hole wider", "cuts as asked", bored_wider(0.05), with_bore),
    Fault("a hole rubbed out", "entries as asked", bored(by_a_rub), with_bore),
    Fault("another peck of a milled hole", "entries as asked", bored(
        lambda path: replace(path, entry=pk.Peck(1.9)) if isinstance(path.entry, pk.Peck) else path), with_bore),
    Fault("a steeper bore", "entries as asked", bored(
        lambda path: replace(path, entry=pk.Helix(6.0, path.entry.diameter)) if isinstance(path.entry, pk.Helix)
        else path), with_bore),
    Fault("a bore without its stepdown", "depths as asked", bored(
        lambda path: replace(path, stepdown=None)), with_bore),
)  # fmt: skip


@pytest.mark.parametrize("fault", FAULTS, ids=lambda fault: fault.name)
def test_the_audit_catches_it(fault: Fault, tags: str, drawings: Path, monkeypatch: Patch) -> None:
    assert_caught(fault, tags, drawings, monkeypatch)


ONLY_THE_AUDIT = (
    "a copy lost", "a copy mirrored", "all copies mirrored", "a part half a turn round", "a filled shape left open",
    "inches read as mm in a drawing", "an operation dropped", "room for a peg forgotten", "another default stepover",
    "another default allowance", "a hole cut conventional", "turns further apart", "a hole rubbed out",
    "another peck of a milled hole", "a steeper bore", "a bore without its stepdown",
)  # fmt: skip


@pytest.mark.parametrize("name", ONLY_THE_AUDIT)
def test_nothing_else_catches_it(name: str, tags: str, drawings: Path, monkeypatch: Patch) -> None:
    (fault,) = (each for each in FAULTS if each.name == name)
    assert not errors_of_the_proof(fault, tags, drawings, monkeypatch)


def test_every_check_of_shapes_has_a_fault_that_it_catches() -> None:
    assert {fault.caught_by for fault in FAULTS} >= OF_SHAPES


def with_two_bosses(text: str, gap: float) -> str:
    """Two shapes so many mm apart, with a bit of 3 mm run round each."""
    shapes = "".join(
        f"boss{k}.rectangle = {{ corner = [{x}, 9], width = 4, depth = 4 }}\n" for k, x in ((1, 20), (2, 24 + gap))
    )
    work = 'kind = "contour"\nshape = ["boss1", "boss2"]\ntool = "3 mm mill"\nbottom.from_top = 2\nstepdown = 2\n'
    text = text.replace("[[part.operations]]", f"{shapes}[[part.operations]]\n{work}[[part.operations]]", 1)
    return text.replace("[part.shapes]", 'outline = "outline"\n[part.shapes]', 1)


def test_a_bit_that_runs_into_the_shape_beside_it_is_seen(tags: str, drawings: Path, monkeypatch: Patch) -> None:
    assert not [check for check in made(with_two_bosses(tags, 3.1), drawings)[2] if check.status != "passed"]
    near = with_two_bosses(tags, 2.5)
    with pytest.raises(ValueError, match=r"are 2\.500 mm apart, .*would cut into both \(tool: .* at most 2\.5 mm"):
        made(near, drawings)
    monkeypatch.setattr(toolpaths, "refuse_too_near", lambda *_: None)
    failed = [check for check in made(near, drawings)[2] if check.status == "failed"]
    assert {check.name for check in failed} == {"cuts as asked"}
    assert "cuts into a shape beside it that is to stay" in str(failed[0].findings[0])


def test_what_explains_a_part_is_said(tags: str, drawings: Path, monkeypatch: Patch) -> None:
    pieces(MIRROR)(monkeypatch)
    told = [f.what for check in made(tags, drawings)[2] for f in check.findings]
    assert any("it is mirrored" in what for what in told)
