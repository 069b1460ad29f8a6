"""Pieces that come loose, against a plain forward simulation; what the check says of parts, tabs and tape."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy import ndimage
from shapely import contains_xy
from shapely.geometry import Polygon, box

import pathkit as pk
from pathkit.operations import contour, moved, rectangle
from pathkit.proof.checks.holding import inside, loose_pieces, tab_section
from pathkit.proof.material import pieces_kernel
from pathkit.proof.material.heightmap import remove

MACHINE = pk.load_machine("grbl-front-left")
BIT = pk.Tool("4 mm end mill", 4.0, number=1, centre_cutting=True)
CUTTING = pk.Cutting(feed=1000.0, plunge=300.0, spindle=16000.0)
STOCK = pk.Stock(120.0, 80.0, 6.0, underlay=2.0)
PLATE = moved(rectangle((0.0, 0.0), 60.0, 40.0, radius=6.0), (30.0, 20.0))
TABS = (pk.Tab(30.0, 6.0, 3.0), pk.Tab(130.0, 6.0, 3.0))
UNDER = pk.Zone(box(45.0, 30.0, 75.0, 50.0), "tape")


def job(
    *, tabs: tuple[pk.Tab, ...] = (), zones: tuple[pk.Zone, ...] = (), parts: bool = True, bottom: float = -6.5
) -> pk.Job:
    paths = contour("outline", PLATE, BIT, CUTTING, bottom=bottom, stepdown=2.5)
    paths = tuple(replace(path, tabs=tabs) for path in paths)
    return pk.Job(
        "board", replace(STOCK, zones=zones), paths, parts=(pk.Part("plate", PLATE),) if parts else ()
    )  # fmt: skip


def proved(made: pk.Job) -> pk.Proof:
    program = pk.lower(made, MACHINE)
    return pk.verify(pk.post(program, MACHINE), program, MACHINE, job=made)


def test_a_part_without_tabs_or_tape_is_named() -> None:
    proof = proved(job())
    (finding,) = proof["holding"].findings
    assert "the part 'plate'" in finding.what
    assert finding.severity == "error"
    assert finding.toolpath == "outline"
    assert finding.line is not None
    assert proof["holding"].figures["without tape or tabs"] == "plate"
    assert proof["holding"].figures["pieces"] == 2


def test_tabs_or_tape_hold_it() -> None:
    tabbed = proved(job(tabs=TABS))
    assert tabbed.ok
    assert tabbed["holding"].figures["pieces"] == 1
    # At least 6 mm wide and 3 mm high; the map may miss a point at either end.
    assert tabbed["tab strength"].figures["least_section_mm2"] == pytest.approx(18.0, abs=0.5 * 3.0)
    taped = proved(job(zones=(UNDER,)))
    assert taped.ok
    assert taped["holding"].figures["pieces"] == 2
    assert taped["holding"].figures["tape_mm2 plate"] == pytest.approx(600.0)
    assert proved(job(zones=(pk.Zone(box(58.0, 38.0, 62.0, 42.0), "screw", 2.0),))).ok


def test_tape_beside_the_part_does_not_hold_it() -> None:
    proof = proved(job(zones=(pk.Zone(box(2.0, 2.0, 20.0, 78.0), "tape"),)))
    assert not proof.ok
    assert proof["holding"].figures["tape_mm2 plate"] == 0.0


@pytest.mark.parametrize(("bottom", "pieces"), [(-5.3, 1), (-5.1, 0)])
def test_a_skin_under_three_tenths_holds_nothing(bottom: float, pieces: int) -> None:
    """The thinnest board that is allowed, 5.5 mm, leaves the thinnest skin: 0.2 mm, and 0.4 mm."""
    made = job(bottom=bottom)
    assert len(loose_pieces(remove(pk.lower(made, MACHINE), made))[0]) == pieces


def test_waste_of_a_job_that_draws_nothing_that_holds_is_a_warning() -> None:
    proof = proved(job(parts=False))
    assert [f.severity for f in proof["holding"].findings] == ["warning"]
    assert proof.ok
    assert proof["holding"].status == "not proved"


def test_a_piece_that_is_cut_again_after_it_came_loose() -> None:
    first = job()
    groove = pk.Curve.polyline([(45.0, 40.0), (75.0, 40.0)])
    late = pk.Toolpath("groove", groove, BIT, CUTTING, bottom=-6.5, role="slot")
    made = replace(first, toolpaths=(*first.toolpaths, late))
    assert "is cut again" in proved(made)["holding"].findings[0].what
    early = replace(first, toolpaths=(late, *first.toolpaths))
    assert "is cut again" not in proved(early)["holding"].findings[0].what


def test_a_tab_that_another_cut_thins_is_found() -> None:
    whole = job(tabs=TABS)
    x, y = whole.toolpaths[0].curve.at(30.0)
    across = pk.Curve.polyline([(x - 12.0, y), (x + 12.0, y)])
    thin = pk.Toolpath("thin", across, BIT, CUTTING, bottom=-5.0, role="slot")
    proof = proved(replace(whole, toolpaths=(thin, *whole.toolpaths)))
    # On a board of 5.5 mm: 2 mm at the full 3 mm, and 4 mm under the other cut at 0.5 mm.
    assert "keeps 8.0 mm² of the 18.0" in proof["tab strength"].findings[0].what
    assert proof["tab strength"].findings[0].toolpath == "outline"


def test_the_section_of_a_tab_on_a_bend() -> None:
    ring = contour("ring", pk.Curve.circle((60.0, 40.0), 20.0), BIT, CUTTING, bottom=-6.5)[0]
    ring = replace(ring, tabs=(pk.Tab(40.0, 6.0, 2.0),))
    made = pk.Job("board", STOCK, (ring,))
    removal = remove(pk.lower(made, MACHINE), made, grid=0.05)
    # Along the bent line the wood is a little longer than 6 mm, and never shorter.
    assert 12.0 - 0.2 < tab_section(removal, ring.curve, ring.tabs[0], 4.0) < 13.5


@pytest.mark.parametrize(
    "corners",
    [
        [(1.0, 1.0), (4.0, 1.0), (4.0, 3.0), (1.0, 3.0)],
        [(1.0, 1.0), (1.0, 3.0), (4.0, 3.0), (4.0, 1.0)],
        [(1.0, 1.0), (4.0, 1.0), (4.0, 1.0), (4.0, 3.0)],
        [(2.5, 0.5), (4.0, 2.0), (2.5, 3.5), (1.0, 2.0)],
        [(1.0, 1.0), (4.0, 1.0), (4.0, 3.0), (2.5, 3.0), (1.0, 3.0)],
    ],
)
def test_what_lies_over_tape_lies_within_it(corners: list[tuple[float, float]]) -> None:
    """Rectangles have a way of their own: it agrees with the geometry library, on their edges, too."""
    tape = Polygon(corners)
    x, y = np.linspace(0.0, 4.5, 10), np.linspace(0.0, 4.0, 9)
    assert np.array_equal(inside(tape, x, y), contains_xy(tape, x[None, :], y[:, None]))


Loosened = set[tuple[int, int]]


def forward(when: np.ndarray, anchor: np.ndarray, dust: int) -> tuple[Loosened, Loosened]:
    """(row, cells) of what comes loose, by labelling the board again after every row (scipy's 4-connected labels).

    If several pieces are equally the largest, any of them may be called the rest: they are the second set.
    """
    found: Loosened = set()
    ties: Loosened = set()
    for row in np.unique(when[when != pieces_kernel.NEVER]):
        before, _ = ndimage.label(when >= row)
        after, count = ndimage.label(when > row)
        sizes = ndimage.sum_labels(np.ones_like(after), after, np.arange(count + 1))
        for parent in range(1, before.max() + 1):
            pieces = [k for k in np.unique(after[before == parent]) if k]
            if len(pieces) < 2:
                continue
            largest = max(sizes[k] for k in pieces)
            for k in pieces:
                if sizes[k] >= dust and not anchor[after == k].any():
                    (found if sizes[k] < largest else ties).add((int(row), int(sizes[k])))
    return found, ties


def partings(opened: np.ndarray, anchor: np.ndarray, compiled: bool) -> tuple[np.ndarray, np.ndarray]:
    """What the kernels find, compiled or as plain Python, which calls no compiled one either."""
    with pytest.MonkeyPatch.context() as patch:
        for name, made in vars(pieces_kernel).copy().items():
            if not compiled and hasattr(made, "py_func"):
                patch.setattr(pieces_kernel, name, made.py_func)
        when = np.empty_like(opened)
        order, begin, runs = pieces_kernel.latest_first(opened, when)
        known = np.empty((6, runs + len(order)), np.int32)
        return pieces_kernel.partings(when, order, begin, runs, anchor, 3, known)


@pytest.mark.parametrize("seed", range(12))
def test_backwards_is_forwards(seed: int) -> None:
    """Union-find over the cuts in reverse finds the same pieces as labelling after each row."""
    random = np.random.default_rng(seed)
    ny, nx = 45, 61
    opened = np.full((ny, nx), -1, np.int32)
    for row in range(14):
        i, j, length = random.integers(0, nx), random.integers(0, ny), random.integers(8, 60)
        line = (slice(j, j + 1), slice(i, i + length)) if row % 2 else (slice(j, j + length), slice(i, i + 1))
        opened[line] = np.where(opened[line] < 0, row, opened[line])
    opened.setflags(write=False)
    anchor = random.random((ny, nx)) < 0.004
    # Wood that touches a cut counts as gone with it.
    when = ndimage.minimum_filter(np.where(opened < 0, pieces_kernel.NEVER, opened), 3, mode="nearest")
    (events, final), plain = (partings(opened, anchor, compiled) for compiled in (True, False))
    expected, ties = forward(when, anchor, 3)
    assert expected <= {(row, cells) for row, _, cells, _ in events.tolist()} <= expected | ties
    labels, count = ndimage.label(when == pieces_kernel.NEVER)
    sizes = ndimage.sum_labels(np.ones_like(labels), labels, np.arange(1, count + 1))
    assert sorted(final.tolist()) == sorted(sizes.tolist())
    assert np.array_equal(plain[0], events)
    assert np.array_equal(plain[1], final)
