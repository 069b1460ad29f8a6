"""Faults between job file and job, each put where the audit looks for it: a job that hangs together, and is another.

Every one is seeded in what makes jobs of a job file (or, where that is simplest, in the finished job), so that program,
files and proof agree with it. The table says which check must speak; that the intent checks and the geometry of the
proof do not is shown for each fault by `test_nothing_else_catches_it`.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
import pytest

import pathkit as pk
from pathkit import api
from pathkit.drawings import drawing, svg
from pathkit.jobs import bits as bits_module
from pathkit.jobs import planning, schema, toolpaths
from pathkit.jobs.audit import CHECKS
from pathkit.jobs.planning import orders_of
from pathkit.jobs.reading import JobFile
from pathkit.jobs.sources import audited, boards_of
from pathkit.jobs.toolpaths import Piece
from pathkit.model.codec import dumps
from pathkit.model.curve import Curve
from pathkit.operations import copies as copies_module
from pathkit.operations.layout import Layout, Placement
from pathkit.passes.hold_tabs import HoldTabs
from pathkit.passes.ramp_entries import RampEntries

MACHINE = pk.load_machine("grbl-front-left")

Patch = pytest.MonkeyPatch


class Fault(NamedTuple):
    """``seed`` puts it in; ``change`` alters the text of the job file first, where it needs something special."""

    name: str
    caught_by: str
    seed: Callable[[Patch], None]
    change: Callable[[str], str] = str
    bits: tuple[str, ...] = ()


def wrapped(patch: Patch, place: Any, name: str, after: Callable[[Any], Any]) -> None:
    """Let what a function returns go through ``after``."""
    real = getattr(place, name)
    patch.setattr(place, name, lambda *args, **options: after(real(*args, **options)))


def depth_from_the_bed(patch: Patch) -> None:
    real = toolpaths.height

    def height(depth: Any, stock: Any) -> float:
        return stock.bed + depth.from_top if depth.from_top is not None else real(depth, stock)

    patch.setattr(toolpaths, "height", height)


def through_the_nominal_board(patch: Patch) -> None:
    patch.setattr(pk.Stock, "through", lambda stock, past=0.3: stock.underside - past)


def another_past(patch: Patch) -> None:
    real = pk.Stock.through
    patch.setattr(pk.Stock, "through", lambda stock, past=0.5: real(stock, past))


def feeds(**changes: float) -> Callable[[Patch], None]:
    def seed(patch: Patch) -> None:
        wrapped(patch, bits_module.Bits, "cutting", lambda cutting: replace(cutting, **changes))

    return seed


def other_stepdown(patch: Patch) -> None:
    wrapped(patch, bits_module.Bits, "stepdown", lambda step: None if step is None else step * 1.25)


def pieces(change: Callable[[Any], Any]) -> Callable[[Patch], None]:
    return lambda patch: wrapped(patch, planning, "piece_of", change)


def laid(change: Callable[[Any], Any]) -> Callable[[Patch], None]:
    """What comes of laying copies out."""
    return lambda patch: wrapped(patch, copies_module, "laid_out", change)


def without_copy(number: str) -> Callable[[Any], Any]:
    def change(copies: Any) -> Any:
        return copies._replace(
            toolpaths=tuple(path for path in copies.toolpaths if f" {number}" not in path.part),
            parts=tuple(part for part in copies.parts if f" {number}" not in part.name),
        )

    return change


def without_toolpath(word: str) -> Callable[[Any], Any]:
    """An operation forgotten, and forgotten in the finished part too."""

    def change(piece: Any) -> Any:
        parts = tuple(replace(p, holes=() if word == "hole" else p.holes) for p in piece.parts)
        return replace(piece, toolpaths=tuple(t for t in piece.toolpaths if word not in t.name), parts=parts)

    return change


def mapped(curve: Curve, matrix: Any, about: Any) -> Curve:
    linear, middle = np.array(matrix, dtype=float), np.array(about)
    sign = np.sign(np.linalg.det(linear))
    return Curve((curve.points - middle) @ linear.T + middle, curve.sweeps * sign, curve.closed)


def turned_round(ring: Curve) -> Curve:
    sweeps = [*ring.sweeps[-2::-1], ring.sweeps[-1]]
    return Curve(ring.points[::-1], np.array(sweeps) * -1.0, closed=True)


def whole_piece(matrix: Any, about: tuple[float, float]) -> Callable[[Any], Any]:
    """Toolpaths and finished shapes taken through one plane map: nothing in the job contradicts another."""
    flips = np.linalg.det(np.array(matrix, dtype=float)) < 0.0

    def curve(each: Curve) -> Curve:
        moved = mapped(each, matrix, about)
        # A mirror turns the way round; who mirrors by mistake would still cut climb.
        return turned_round(moved) if flips and moved.closed else moved

    def feature(each: Any) -> Any:
        return replace(each, curve=curve(each.curve), islands=tuple(map(curve, each.islands)))

    def change(piece: Any) -> Any:
        paths = tuple(replace(path, curve=curve(path.curve)) for path in piece.toolpaths)
        parts = tuple(
            replace(p, outline=curve(p.outline), recesses=tuple(map(feature, p.recesses)),
                    holes=tuple(map(feature, p.holes)))
            for p in piece.parts
        )  # fmt: skip
        return replace(piece, toolpaths=paths, parts=parts)

    return change


def one_mirrored(copies: Any) -> Any:
    """Copy 02 alone, about its own middle."""
    part = next((part for part in copies.parts if part.name.endswith(" 02")), None)
    if part is None:
        return copies
    left, front, right, back = part.outline.bounds
    change = whole_piece([[-1, 0], [0, 1]], ((left + right) / 2.0, (front + back) / 2.0))
    mine = copies._replace(toolpaths=tuple(path for path in copies.toolpaths if path.part == part.name), parts=(part,))
    moved = change(Piece(mine.toolpaths, mine.parts, (), (), ()))
    by_name = {path.name: path for path in moved.toolpaths}
    return copies._replace(
        toolpaths=tuple(by_name.get(path.name, path) for path in copies.toolpaths),
        parts=tuple(moved.parts[0] if each.name == part.name else each for each in copies.parts),
    )


def turned_copies(patch: Patch) -> None:
    """Every copy half a turn round: within the same box, and against the grain of nothing."""
    real = copies_module.laid_out

    def laid_out(paths: Any, placements: Any, **options: Any) -> Any:
        half = [Placement(place.x + 60.0, place.y + 30.0, 2) for place in placements]
        return real(paths, half, **options)

    patch.setattr(copies_module, "laid_out", laid_out)


def drawn_in_mm(patch: Patch) -> None:
    patch.setitem(drawing.MM_PER, "inch", 1.0)


def bit_in_mm(patch: Patch) -> None:
    patch.setattr(bits_module, "MM_PER_INCH", 24.0)


def other_bit(patch: Patch) -> None:
    real = bits_module.Bits.tool
    patch.setattr(bits_module.Bits, "tool", lambda bits, name: real(bits, "2 mm mill" if name else name))


def renumbered(piece: Any) -> Any:
    return replace(piece, toolpaths=tuple(replace(t, tool=replace(t.tool, number=t.tool.number + 4))
                                          for t in piece.toolpaths))  # fmt: skip


def tabs(**changes: Any) -> Callable[[Patch], None]:
    real = HoldTabs.__call__

    def seed(patch: Patch) -> None:
        patch.setattr(HoldTabs, "__call__", lambda step, job, machine, **more: real(
            replace(step, **changes), job, machine, **more))  # fmt: skip

    return seed


def steep(patch: Patch) -> None:
    real = RampEntries.__call__
    patch.setattr(RampEntries, "__call__", lambda step, job, machine, **more: real(
        replace(step, angle=12.0), job, machine, **more))  # fmt: skip


def stock_with(**changes: Any) -> Callable[[Patch], None]:
    return lambda patch: wrapped(patch, planning, "_plain_stock", lambda stock: replace(stock, **changes))


def smaller_board(patch: Patch) -> None:
    patch.setattr(planning, "_board", lambda *args: 1)


def other_side(patch: Patch) -> None:
    """Inside and outside exchanged, in the finished parts too."""
    real = toolpaths.contour

    def contour(name: str, shape: Any, *args: Any, side: str, **options: Any) -> Any:
        return real(name, shape, *args, side={"inside": "outside", "outside": "inside", "on": "on"}[side], **options)

    patch.setattr(toolpaths, "contour", contour)


def conventional(patch: Patch) -> None:
    real = toolpaths.contour
    patch.setattr(
        toolpaths, "contour", lambda *args, **options: real(*args, **{**options, "direction": "conventional"})
    )


def floor(**changes: Any) -> Callable[[Patch], None]:
    real = toolpaths.pocket

    def seed(patch: Patch) -> None:
        patch.setattr(toolpaths, "pocket", lambda *args, **options: real(*args, **{**options, **changes}))

    return seed


def unlike_peck(patch: Patch) -> None:
    real = toolpaths.drill
    patch.setattr(toolpaths, "drill", lambda *args, **options: real(*args, **{**options, "peck": 5.0}))


def default_of(form: Any, name: str, value: Any) -> Callable[[Patch], None]:
    """Another default in the form that reads job files, for what the job file leaves out."""

    def seed(patch: Patch) -> None:
        from pathkit.jobs import reading

        real = reading.job_file_of

        def read(*args: Any, **options: Any) -> JobFile:
            file = real(*args, **options)
            for part in file.form.part:
                for each in part.operations:
                    if isinstance(each, form) and name not in each.model_fields_set:
                        setattr(each, name, value)
            if form is schema.Stock and name not in file.form.stock.model_fields_set:
                setattr(file.form.stock, name, value)
            return file

        patch.setattr(reading, "job_file_of", read)

    return seed


def crowded(patch: Patch) -> None:
    """Copies a little nearer to each other than asked."""
    from pathkit.operations import layout

    real = layout.spread

    def spread(*args: Any, **options: Any) -> Any:
        return tuple(shifted(each) for each in real(*args, **options))

    def shifted(each: Layout) -> Layout:
        nearer = tuple(Placement(p.x - 0.5 * (p.x > 20.0), p.y, p.turn) for p in each.placements)
        return replace(each, placements=nearer)

    patch.setattr(layout, "spread", spread)


def fewer_boards(patch: Patch) -> None:
    wrapped(patch, planning, "_jobs", lambda jobs: (jobs[0][:1], *jobs[1:]))


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
    real = toolpaths.relieve
    patch.setattr(toolpaths, "relieve", lambda ring, radius, **more: real(ring, radius, **more | {"outside": False}))


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
    """Without the hole that is as wide as the job's own bit."""
    begin = text.index('[[part.operations]]\nkind = "drill"')
    return text[:begin] + text[text.index("[[part.operations]]", begin + 5) :]


def with_window(text: str) -> str:
    window = "window.rectangle = { corner = [42, 6], width = 9, depth = 9, radius = 2 }\n[[part.operations]]"
    work = (
        'kind = "contour"\nshape = "window"\nside = "inside"\ntool = "3 mm mill"\nbottom.from_top = 3\nstepdown = 2\n'
    )
    return text.replace("[[part.operations]]", f"{window}\n{work}[[part.operations]]", 1)


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
    Fault("another inch for a bit", "bits as asked", bit_in_mm, for_wider_bits, ("3 mm mill=0.14in",)),
    Fault("an operation dropped", "cuts as asked", pieces(without_toolpath("hole"))),
    Fault("a mark dropped", "cuts as asked", pieces(without_toolpath("mark"))),
    Fault("a bit swapped", "bits as asked", other_bit),
    Fault("a bit's number changed", "bits as asked", pieces(renumbered)),
    Fault("one tab more", "tabs as asked", tabs(count=3)),
    Fault("tabs narrower", "tabs as asked", tabs(width=4.0)),
    Fault("tabs lower", "tabs as asked", tabs(height=1.0)),
    Fault("steeper ways down", "entries as asked", steep),
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
)  # fmt: skip


def made(text: str, folder: Path, bits: tuple[str, ...] = ()) -> tuple[Any, pk.Job, list[Any]]:
    """The first order of a job file, its job after the passes, and every result of the audit of all its boards."""
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
    "room for a peg forgotten", "a bit swapped", "one tab more", "tolerance dropped", "zone lost", "steeper ways down",
    "another default stepover",
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
    # The job's own pairs are tested below, on a job of their own.
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
