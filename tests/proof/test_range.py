"""A file must be right for the thinnest and for the thickest board that its sheet accepts, and for every underlay."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

import pathkit as pk
from pathkit.operations import contour, engrave, moved, rectangle, slot
from pathkit.proof.material.heightmap import remove

MACHINE = pk.load_machine("grbl-front-left")
BIT = pk.Tool("4 mm end mill", 4.0, number=1, centre_cutting=True)
FEEDS = pk.Cutting(feed=1000.0, plunge=300.0, spindle=16000.0)
PLATE = moved(rectangle((0.0, 0.0), 60.0, 40.0, radius=6.0), (30.0, 20.0))
TABS = (pk.Tab(30.0, 6.0, 3.0), pk.Tab(130.0, 6.0, 3.0))


def plate(stock: pk.Stock, bottom: float, **rest: Any) -> pk.Job:
    paths = contour("outline", PLATE, BIT, FEEDS, bottom=bottom, stepdown=3.0)
    paths = tuple(replace(path, tabs=TABS, **rest) for path in paths)
    return pk.Job("board", stock, paths, parts=(pk.Part("plate", PLATE),))


def proved(job: pk.Job) -> pk.Proof:
    program = pk.lower(job, MACHINE)
    return pk.verify(pk.post(program, MACHINE), program, MACHINE, job=job)


def failed(proof: pk.Proof) -> set[str]:
    return {check.name for check in proof.checks if check.status == "failed"}


TOP = pk.Stock(120.0, 80.0, 12.0, underlay=3.0)
BED = replace(TOP, z_zero="bed", underlay_tolerance=0.4)


@pytest.mark.parametrize("stock", [TOP, BED], ids=["top", "bed"])
def test_right_through_is_right_for_every_board(stock: pk.Stock) -> None:
    assert not failed(proved(plate(stock, stock.through())))


def test_a_skin_under_the_thickest_board_is_found() -> None:
    """12.3 mm deep: through a board of 12 mm, but 0.2 mm of a board of 12.5 mm are left."""
    proof = proved(plate(TOP, -12.3))
    assert failed(proof) == {"finished shape", "accepted boards"}
    assert "is not cut right through in the thickest board (12.5 mm)" in proof["finished shape"].findings[0].what
    exact = replace(TOP, thickness_tolerance=0.25)
    assert not failed(proved(plate(exact, -12.3)))


def test_a_skin_over_the_thinnest_underlay_is_found() -> None:
    """Zero on the bed, a sheet of 2.6 to 3.4 mm: 2.7 mm over the bed leaves a skin on boards that lie lowest."""
    assert failed(proved(plate(BED, 2.7))) == {"finished shape", "accepted boards"}
    assert not failed(proved(plate(BED, 2.3)))


@pytest.mark.parametrize(
    ("stock", "bottom"), [(replace(TOP, underlay=1.2), -12.8), (replace(BED, underlay=0.5), 0.0)], ids=["top", "bed"]
)
def test_the_bed_under_the_thinnest_board_is_not_touched(stock: pk.Stock, bottom: float) -> None:
    """Zero on top: board and sheet are at least 11.5 + 1.2 = 12.7 mm thick; the cut goes 12.8 mm deep."""
    assert "above the bed" in failed(proved(plate(stock, bottom)))


@pytest.mark.parametrize(("stock", "top"), [(TOP, -8.5), (BED, 6.4)], ids=["top", "bed"])
def test_tabs_keep_their_height_where_the_underside_is_highest(stock: pk.Stock, top: float) -> None:
    """−11.5 + 3 on the thinnest board; 3.4 + 3 over the thickest sheet."""
    job = plate(stock, stock.through())
    program = pk.lower(job, MACHINE)
    x, y = job.toolpaths[0].curve.at(30.0)[:2]
    removal = remove(program, job)
    assert removal.height[int(y / removal.grid), int(x / removal.grid)] == pytest.approx(top)


def test_tabs_of_nominal_height_are_too_low(monkeypatch: pytest.MonkeyPatch) -> None:
    """The fault: the tabs' top is counted from the nominal underside, so the thinnest board has 2.5 mm of 3 mm."""
    monkeypatch.setattr(pk.Stock, "highest_underside", property(lambda stock: stock.underside))
    proof = proved(plate(TOP, TOP.through()))
    assert {"tabs", "asked tabs"} <= failed(proof)


def test_a_floor_that_the_thinnest_board_does_not_have_frees_what_it_surrounds() -> None:
    """11.6 mm deep: a skin of 0.4 mm under a board of 12 mm, and nothing under one of 11.5 mm."""
    job = replace(plate(TOP, -11.6), parts=())
    loose = replace(job, toolpaths=tuple(replace(path, tabs=()) for path in job.toolpaths))
    assert proved(loose)["holding"].status == "not proved"
    nearer = replace(loose, stock=replace(TOP, thickness_tolerance=0.0))
    assert proved(nearer)["holding"].status == "passed"


@pytest.mark.parametrize("bottom", [-12.3, -11.7])
def test_through_some_boards_and_not_through_others(bottom: float) -> None:
    """A slot in a job that draws no parts: 12 ± 0.5 mm, 12.3 or 11.7 mm deep."""
    line = pk.Curve.polyline([(30.0, 40.0), (90.0, 40.0)])
    (path,) = slot("slot", line, BIT, FEEDS, bottom=bottom, stepdown=3.0)
    proof = proved(pk.Job("board", TOP, (path,)))
    assert failed(proof) == {"accepted boards"}
    said = proof["accepted boards"].findings[0].what
    assert f"leaves {bottom + 12.5:.3f} mm in the thickest board (12.5 mm)" in said
    for sound in (-12.5, -12.8, -11.5):
        assert not failed(proved(pk.Job("board", TOP, (replace(path, bottom=sound),))))


@pytest.mark.parametrize(("depth", "missed"), [(0.4, True), (0.9, True), (0.91, False)])
def test_a_mark_that_the_thinnest_board_does_not_get(depth: float, missed: bool) -> None:
    """12 ± 0.5 mm on 3 ± 0.4 mm: the lowest top is 0.9 mm lower than the nominal one."""
    line = pk.Curve.polyline([(30.0, 40.0), (90.0, 40.0)])
    job = pk.Job("board", BED, engrave("mark", line, BIT, FEEDS, bottom=BED.top - depth))
    assert failed(proved(job)) == ({"accepted boards"} if missed else set())


def test_what_is_found_says_in_which_board() -> None:
    job = plate(TOP, TOP.through())
    bare = replace(job, toolpaths=tuple(replace(path, tabs=()) for path in job.toolpaths))
    assert "comes loose in the thinnest board (11.5 mm)" in proved(bare)["holding"].findings[0].what
    deep = proved(plate(replace(TOP, underlay=1.2), -12.8))["above the bed"]
    assert "the bed lies at -12.700 mm under the thinnest board and underlay" in deep.findings[0].what
