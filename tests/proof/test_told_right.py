"""Once wrongly called proved: cuts off the board or outside the part, no floor, too short a bit, no outline."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pathkit_posts.grbl import Grbl
from pathkit_posts.rs274ngc import Rs274ngc

import pathkit as pk
from pathkit.dialect.cycles import _bite
from pathkit.model.codec import dumps, loads
from pathkit.model.job import Feature
from pathkit.operations import contour, moved, pocket, rectangle, slot
from pathkit.readback import interpret

MACHINE = pk.load_machine("grbl-front-left")
BIT = pk.Tool("4 mm end mill", 4.0, number=1, centre_cutting=True)
FEEDS = pk.Cutting(feed=1000.0, plunge=300.0, spindle=16000.0)
STOCK = pk.Stock(120.0, 80.0, 9.0, z_zero="bed", underlay=3.0)
PLATE = moved(rectangle((0.0, 0.0), 60.0, 40.0, radius=6.0), (30.0, 20.0))
TABS = (pk.Tab(30.0, 6.0, 3.0), pk.Tab(130.0, 6.0, 3.0))
RECESS = moved(rectangle((0.0, 0.0), 30.0, 20.0, radius=4.0), (40.0, 30.0))


def plate(
    *, at: tuple[float, float] = (0.0, 0.0), recess: pk.Curve = RECESS, floor: float = 9.0, outline: bool = True,
    bit: pk.Tool = BIT,
) -> pk.Job:  # fmt: skip
    edge = moved(PLATE, at)
    paths = [
        *pocket("recess", moved(recess, at), bit, FEEDS, bottom=floor, stepdown=2.0, stock=STOCK),
        *(replace(p, tabs=TABS) for p in contour("outline", edge, bit, FEEDS, bottom=STOCK.through(), stepdown=3.0)),
    ]
    part = pk.Part("plate", edge if outline else None, recesses=(Feature(moved(recess, at), floor),))
    return pk.Job("board", STOCK, tuple(paths), parts=(part,))


def proved(job: pk.Job) -> pk.Proof:
    program = pk.lower(job, MACHINE)
    return pk.verify(pk.post(program, MACHINE), program, MACHINE, job=job)


def said(job: pk.Job, check: str = "finished shape") -> str:
    return " ".join(str(finding) for finding in proved(job)[check].findings if finding.severity == "error")


def test_as_it_should_be() -> None:
    assert proved(plate()).ok


def test_a_part_that_hangs_over_the_board() -> None:
    """60 mm wide from x = 80: 20 mm of 40 mm hang over, less two corners of (1 − π/4) 6²."""
    assert "784.5 mm² of the part 'plate' lie off the board" in said(plate(at=(50.0, 0.0)))


def test_a_recess_outside_its_part() -> None:
    assert "recess 1 of the part 'plate' lies outside it" in said(
        plate(recess=moved(rectangle((0.0, 0.0), 20.0, 20.0), (95.0, 30.0)))
    )


def test_a_recess_without_a_floor() -> None:
    assert "has its floor at z = 2 mm" in said(plate(floor=2.0))


def test_a_part_without_an_outline_is_judged_by_its_recesses() -> None:
    bare = plate(outline=False)
    assert proved(bare).ok

    def deeper(path: pk.Toolpath) -> pk.Toolpath:
        assert path.bottom is not None
        return replace(path, bottom=path.bottom - 0.1, levels=None)

    deeper_job = bare.with_toolpaths(tuple(deeper(p) if "recess" in p.name else p for p in bare.toolpaths))
    assert "cuts" in said(deeper_job, "gouges")
    lost = bare.with_toolpaths(tuple(p for p in bare.toolpaths if "recess" not in p.name))
    assert "recess 1 of the part 'plate' is not cut down" in said(lost)
    assert loads(dumps(bare)) == bare


@pytest.mark.parametrize(
    ("told", "fault"),
    [
        # The slot is 9.3 mm deep.
        ({"cut_length": 9.5}, ""),
        ({"cut_length": 8.0}, "its shank meets"),
        ({"cut_length": 8.0, "shank": 3.0}, ""),
        ({"reach": 9.5}, ""),
        ({"reach": 8.0}, "its holder meets"),
        ({"reach": 8.0, "holder": 30.0}, "its holder meets"),
    ],
)
def test_a_bit_that_is_too_short_though_not_all_is_told_of_it(told: dict[str, Any], fault: str) -> None:
    bit = replace(BIT, **told)
    way = slot("slot", pk.Curve.polyline([(30, 40), (90, 40)]), bit, FEEDS, bottom=STOCK.through(), stepdown=2.0)
    job = pk.Job("board", replace(STOCK, thickness_tolerance=0.0), tuple(way))
    found = said(job, "bit length")
    assert (fault in found) if fault else not found


def test_an_offset_set_from_a_place_that_nobody_knows() -> None:
    text = "G21 G90 G94 G17 G54\nG10 L20 P1 X0 Y0 Z0\nG0 Z5\nM2\n"
    found = [f for f in interpret(text, Grbl.capabilities).findings if "wherever the bit is" in f.what]
    assert [(f.check, f.severity, f.line) for f in found] == [("unknown state", "error", 2)]
    known = interpret(text, Grbl.capabilities, start=(0.0, 0.0, 9.0)).findings
    assert all("wherever the bit is" not in f.what for f in known)


@given(st.integers(2, 60_000), st.integers(2, 60_000))
def test_bites_of_a_cycle_never_come_out_even(depth: int, most: int) -> None:
    """The loop of NISTIR 6556, 3.5.16.3, in floats: no bite has zero depth, and none is deeper than asked."""
    bite = _bite(depth, most / 1000.0, Rs274ngc.capabilities)
    assert 1 <= bite <= most
    bottom, delta, at, bites = -depth / 1000.0, bite / 1000.0, 0.0, []
    while True:
        following = at - delta
        if following <= bottom:
            bites.append(at - bottom)
            break
        bites.append(delta)
        at = following
        if len(bites) > 40_000:
            pytest.fail("it never ends")
    if bite > 1:
        assert min(bites) >= 0.0009
