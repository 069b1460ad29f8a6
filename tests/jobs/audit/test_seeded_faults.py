"""Faults between job file and job, which only the audit looks for: the job is consistent, but not the one asked for.

Each is seeded in what makes jobs of a job file (or, where that is simplest, in the finished job), so that program,
files and proof agree with it. The table says which check must speak; `test_nothing_else_catches_it` shows for some of
them that the intent checks and the geometry of the proof do not.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from typing import Any, NamedTuple

import pytest

import pathkit as pk
from pathkit import api, operations
from pathkit.drawings import svg
from pathkit.jobs import edges, planning, schema, toolpaths
from pathkit.jobs.audit import CHECKS
from pathkit.jobs.planning import orders_of
from pathkit.jobs.sources import audited, boards_of
from pathkit.model.codec import dumps
from pathkit.model.curve import Curve
from pathkit.units import FEED, LENGTH
from tests.jobs.audit.seeds import (
    another_past,
    conventional,
    crowded,
    default_of,
    depth_from_the_bed,
    drawn_in_mm,
    feeds,
    fewer_boards,
    floor,
    laid,
    one_mirrored,
    other_bit,
    other_side,
    other_stepdown,
    pieces,
    renumbered,
    smaller_board,
    steep,
    stock_with,
    tabs,
    through_the_nominal_board,
    turned_copies,
    unit_of,
    unlike_peck,
    whole_piece,
    without_copy,
    without_toolpath,
    wrapped,
)

MACHINE = pk.load_machine("grbl-front-left")

Patch = pytest.MonkeyPatch


class Fault(NamedTuple):
    """``seed`` puts it in; ``change`` alters the text of the job file first, where the fault needs that."""

    name: str
    caught_by: str
    seed: Callable[[Patch], None]
    change: Callable[[str], str] = str
    bits: tuple[str, ...] = ()


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
    patch.setattr(toolpaths, "relieved", lambda ring, *_, **__: ring)


def relieved_where_it_stands_out(patch: Patch) -> None:
    real = operations.relieve
    patch.setattr(edges, "relieve", lambda ring, radius, **more: real(ring, radius, **more | {"outside": False}))


FILLED = "M 16 4 H 26 V 12 H 16 Z M 22 6 H 30 V 10 H 22 Z M 40 4 H 50 V 12"
"""Two boxes that overlap, and a triangle whose last side is not drawn."""


def as_filled_marks(text: str) -> str:
    return text.replace("mark.line = [[16, 24], [30, 24], [34, 27]]", 'mark = { svg = "filled.svg" }')


def left_open(patch: Patch) -> None:
    patch.setattr(svg, "closed_by_fill", lambda curve: curve)


def every_line_cut(patch: Patch) -> None:
    """Lines that lie within what is filled, where nobody sees them."""
    patch.setattr(svg, "edges_of_fill", lambda curves, **_: curves)


def for_wider_bits(text: str) -> str:
    """Leave out the hole, which is as wide as the job's own bit."""
    begin = text.index('[[part.operations]]\nkind = "drill"')
    return text[:begin] + text[text.index("[[part.operations]]", begin + 5) :]


def automatic(text: str) -> str:
    text = text.replace("count = 2", 'count = "auto"').replace("thickness = 6", 'thickness = 6\nmaterial = "plywood"')
    return text.replace("feed = 1400", "feed = 2600").replace("stepdown = 2\n[layout]", "stepdown = 3\n[layout]")


def with_window(text: str) -> str:
    window = "window.rectangle = { corner = [42, 6], width = 9, depth = 9, radius = 2 }\n[[part.operations]]"
    work = (
        'kind = "contour"\nshape = "window"\nside = "inside"\ntool = "3 mm mill"\nbottom.from_top = 3\nstepdown = 2\n'
    )
    return text.replace("[[part.operations]]", f"{window}\n{work}[[part.operations]]", 1)


def put(old: str, new: str) -> Callable[[str], str]:
    def change(text: str) -> str:
        assert old in text
        return text.replace(old, new)

    return change


INCH = Fraction(254, 10)


def with_bore(text: str) -> str:
    """A hole of 3.4 mm, pecked, and one of 9 mm, for the bit of 3 mm."""
    shapes = "bores.circle = { centre = [52, 8], radius = 1.7 }\nwide.circle = { centre = [48, 22], radius = 4.5 }\n"
    work = (
        'kind = "drill"\nshape = ["bores", "wide"]\nname = "bores"\ntool = "3 mm mill"\nbottom.through = true\n'
        "stepdown = 2\npeck = 1.5\n[[part.operations]]"
    )
    return text.replace("[[part.operations]]", f"{shapes}[[part.operations]]\n{work}", 1)


def with_tight_ring(text: str) -> str:
    """A hole of 3.1 mm as a contour for the bit of 3 mm."""
    tight = "tight.circle = { centre = [52, 8], radius = 1.55 }\n[[part.operations]]"
    work = (
        'kind = "contour"\nshape = "tight"\nside = "inside"\ntool = "3 mm mill"\nbottom.through = true\nstepdown = 2\n'
    )
    return text.replace("[[part.operations]]", f"{tight}\n{work}[[part.operations]]", 1)


def spirals_everywhere(patch: Patch) -> None:
    patch.setattr("pathkit.passes.ramp_entries.turn_gains", lambda *_: True)


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
    Fault("a depth read from the bed", "depths as asked", depth_from_the_bed),
    Fault("right through the nominal board only", "depths as asked", through_the_nominal_board,
          lambda text: text.replace("underlay = 2", "underlay = 2\nunderlay_tolerance = 0.1")),
    Fault("past the underside by another default", "depths as asked", another_past),
    Fault("a feed changed", "feeds as asked", feeds(feed=1500.0)),
    Fault("a plunge changed", "feeds as asked", feeds(plunge=350.0)),
    Fault("a speed changed", "feeds as asked", feeds(spindle=16000.0)),
    Fault("a ramp feed made up", "feeds as asked", feeds(ramp=900.0)),
    Fault("a stepdown changed", "depths as asked", other_stepdown),
    Fault("a copy lost", "copies as asked", laid(without_copy("03"))),
    Fault("a board lost", "copies as asked", fewer_boards, lambda text: text.replace("copies = 5", "copies = 9")),
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
    Fault("another inch for a bit", "bits as asked", unit_of(LENGTH, "in", Fraction(24)), for_wider_bits,
          ("3 mm mill=0.14in",)),
    Fault("a length taken 25.4 times too small", "depths as asked", unit_of(LENGTH, "in", Fraction(1)),
          put("stepdown = 1.5", 'stepdown = "0.06in"')),
    Fault("a length taken 25.4 times too large", "tabs as asked", unit_of(LENGTH, "mm", INCH),
          put("height = 2", 'height = "0.1mm"')),
    Fault("a shape taken 25.4 times too small", "parts as asked", unit_of(LENGTH, "in", Fraction(1)),
          put("radius = 3", 'radius = "1/8in"')),
    Fault("a place taken 25.4 times too large", "cuts as asked", unit_of(LENGTH, "mm", INCH),
          put("[[8, 15]]", '[["0.3mm", 15]]')),
    Fault("a board taken 25.4 times too large", "board as asked", unit_of(LENGTH, "mm", INCH),
          put("underlay = 2", 'underlay = "0.9mm"')),
    Fault("a bit taken 25.4 times too large", "bits as asked", unit_of(LENGTH, "mm", INCH),
          put("diameter = 2", 'diameter = "0.08mm"')),
    Fault("a feed taken 25.4 times too small", "feeds as asked", unit_of(FEED, "in/min", Fraction(1)),
          put("feed = 1400", 'feed = "55in/min"')),
    Fault("a feed taken 25.4 times too large", "feeds as asked", unit_of(FEED, "mm/min", INCH),
          put("plunge = 400", 'plunge = "40mm/min"')),
    Fault("an operation dropped", "cuts as asked", pieces(without_toolpath("hole"))),
    Fault("a mark dropped", "cuts as asked", pieces(without_toolpath("mark"))),
    Fault("a bit swapped", "bits as asked", other_bit),
    Fault("a bit's number changed", "bits as asked", pieces(renumbered)),
    Fault("one tab more", "tabs as asked", tabs(count=3)),
    Fault("fewer tabs than hold", "tabs as asked", tabs(count=2), automatic),
    Fault("tabs for a lighter wood", "tabs as asked", tabs(material="acrylic"), automatic),
    Fault("tabs narrower", "tabs as asked", tabs(width=4.0)),
    Fault("tabs lower", "tabs as asked", tabs(height=1.0)),
    Fault("steeper ways down", "entries as asked", steep),
    Fault("a spiral that only rubs", "entries as asked", spirals_everywhere, with_tight_ring),
    Fault("another peck", "entries as asked", unlike_peck),
    Fault("the smaller of two boards", "board as asked", smaller_board,
          lambda text: text.replace("[[board]]", "[[board]]\nwidth = 260\ndepth = 120\n[[board]]")),
    Fault("tolerance dropped", "board as asked", stock_with(thickness_tolerance=0.0)),
    Fault("thickness changed", "board as asked", stock_with(thickness=6.5)),
    Fault("underlay thinner", "board as asked", stock_with(underlay=1.9)),
    Fault("grain turned", "board as asked", stock_with(grain=90.0)),
    Fault("another default tolerance", "board as asked", default_of(schema.Stock, "thickness_tolerance", 0.3)),
    Fault("zone lost", "board as asked", pieces(lambda piece: replace(piece, zones=()))),
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


def made(text: str, folder: Path, bits: tuple[str, ...] = ()) -> tuple[Any, pk.Job, list[Any]]:
    """The first order of a job file, its job after the passes, and the results of the audit of all its boards."""
    from pathkit.jobs import reading

    every = orders_of(reading.job_file_of(text, "job.toml", folder), [MACHINE], bits=bits, effort=0)
    jobs = [pk.Pipeline(order.passes).run(order.job, MACHINE).job for order in every]
    results = [
        check
        for order, job in zip(every, jobs, strict=True)
        for check in audited(order, boards_of(every, order), dumps(job).encode())
    ]
    return every[0], jobs[0], results


@pytest.fixture
def drawings(tmp_path: Path) -> Path:
    """A folder with the mark of the tags, drawn in inches, and another one, filled."""
    line = " ".join(f"{x / 25.4:.6f},{(30 - y) / 25.4:.6f}" for x, y in ((16, 24), (30, 24), (34, 27)))
    size = f'viewBox="0 0 {60 / 25.4:.6f} {30 / 25.4:.6f}"'
    drawn = f'<polyline points="{line}" stroke="#000" fill="none"/>'
    (tmp_path / "mark.svg").write_text(f'<svg xmlns="http://www.w3.org/2000/svg" {size}>{drawn}</svg>')
    page = 'width="60mm" height="30mm" viewBox="0 0 60 30"'
    (tmp_path / "filled.svg").write_text(f'<svg xmlns="http://www.w3.org/2000/svg" {page}><path d="{FILLED}"/></svg>')
    notch = '<path d="M 0 0 H 50 V 8 H 60 V 30 H 0 Z" fill="none" stroke="red"/>'
    (tmp_path / "notch.svg").write_text(f'<svg xmlns="http://www.w3.org/2000/svg" {page}>{notch}</svg>')
    return tmp_path


@pytest.mark.parametrize("fault", FAULTS, ids=lambda fault: fault.name)
def test_the_audit_catches_it(fault: Fault, tags: str, drawings: Path, monkeypatch: Patch) -> None:
    text = fault.change(tags)
    assert not [check for check in made(text, drawings, fault.bits)[2] if check.status != "passed"]
    fault.seed(monkeypatch)
    failed = {check.name: check for check in made(text, drawings, fault.bits)[2] if check.status == "failed"}
    assert fault.caught_by in failed, sorted(failed)
    assert all(finding.what and finding.fix for check in failed.values() for finding in check.findings)


ONLY_THE_AUDIT = (
    "a feed changed", "a depth read from the bed", "a copy lost", "a copy mirrored", "all copies mirrored",
    "a part half a turn round", "a filled shape left open", "inches read as mm in a drawing", "an operation dropped",
    "room for a peg forgotten", "a bit swapped", "one tab more", "fewer tabs than hold", "tolerance dropped",
    "zone lost", "steeper ways down", "another default stepover", "another default allowance",
    "a hole cut conventional", "turns further apart", "a hole rubbed out",
    "another peck of a milled hole", "a steeper bore", "a spiral that only rubs", "a bore without its stepdown",
    "a length taken 25.4 times too small", "a length taken 25.4 times too large", "a shape taken 25.4 times too small",
    "a place taken 25.4 times too large", "a board taken 25.4 times too large", "a bit taken 25.4 times too large",
    "a feed taken 25.4 times too small", "a feed taken 25.4 times too large",
)  # fmt: skip


@pytest.mark.parametrize("name", ONLY_THE_AUDIT)
def test_nothing_else_catches_it(name: str, tags: str, drawings: Path, monkeypatch: Patch) -> None:
    (fault,) = (each for each in FAULTS if each.name == name)
    fault.seed(monkeypatch)
    order, job, _ = made(fault.change(tags).replace("copies = 5", "copies = 3"), drawings, fault.bits)
    program = pk.lower(job, MACHINE)
    proofs = api.verify_files(api.post(program, MACHINE), program, MACHINE, job=job)
    said = [str(finding) for proof in proofs for finding in proof.findings if finding.severity == "error"]
    # Tape lost is seen by what frees parts; that it was asked for is not.
    assert not said
    assert order.sources is not None


def test_every_check_has_a_fault_that_it_catches() -> None:
    # The job's own pairs are tested below, on another job.
    assert {fault.caught_by for fault in FAULTS} == set(CHECKS) - {"order as asked"}


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
    with pytest.raises(ValueError, match=r"stand 2\.500 mm apart, .*would cut into both \(tool: .* at most 2\.5 mm"):
        made(near, drawings)
    monkeypatch.setattr(toolpaths, "refuse_too_near", lambda *_: None)
    failed = [check for check in made(near, drawings)[2] if check.status == "failed"]
    assert {check.name for check in failed} == {"cuts as asked"}
    assert "cuts into what is to stay beside it" in str(failed[0].findings[0])


def test_a_lost_pair_is_told(tags: str, drawings: Path, monkeypatch: Patch) -> None:
    text = tags.replace("[part.shapes]", 'precedence = [["mark", "recess"]]\n[part.shapes]', 1)
    assert not [check for check in made(text, drawings)[2] if check.status != "passed"]
    wrapped(monkeypatch, planning, "piece_of", lambda piece: replace(piece, precedence=()))
    failed = [check for check in made(text, drawings)[2] if check.status == "failed"]
    assert {check.name for check in failed} == {"order as asked"}
    check = failed[0]
    assert check.findings[0].path == "$.part[0].precedence[0]"


def test_what_explains_a_part_is_said(tags: str, drawings: Path, monkeypatch: Patch) -> None:
    pieces(MIRROR)(monkeypatch)
    told = [f.what for check in made(tags, drawings)[2] for f in check.findings]
    assert any("it is mirrored" in what for what in told)


def test_findings_name_the_key_in_the_job_file(tags: str, drawings: Path, monkeypatch: Patch) -> None:
    depth_from_the_bed(monkeypatch)
    paths = {f.path for check in made(tags, drawings)[2] for f in check.findings if check.name == "depths as asked"}
    assert {"$.part[0].operations[0].bottom", "$.part[0].operations[2].bottom"} <= paths


def test_a_job_that_is_no_job_fails_and_does_not_raise(tags: str) -> None:
    from pathkit.jobs.audit import Asked, Made, audit

    for job in ({}, {"name": "x", "stock": {}, "toolpaths": [{}], "tools": {}}, {"name": 1, "stock": None}):
        assert any(check.status == "failed" for check in audit(Asked(tags.encode(), {}), Made(job)))
    assert any(check.status == "failed" for check in audit(Asked(b"\xff not toml", {}), Made({})))
    deep = b"name = " + b"[" * 5000
    assert any(check.status == "failed" for check in audit(Asked(deep, {}), Made({})))
