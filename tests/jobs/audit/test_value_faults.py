"""Seeded faults of values: depths, feeds, bits, tabs, ways down, the board, and units.

Each fault names the check that must fail. `test_nothing_else_catches_it` shows for some of them that neither the intent
checks nor the geometry of the proof sees them.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest

from pathkit.jobs import planning, schema
from pathkit.jobs.audit import CHECKS
from pathkit.units import FEED, LENGTH
from tests.jobs.audit.faults import OF_SHAPES, Fault, Patch, assert_caught, errors_of_the_proof, made
from tests.jobs.audit.seeds import (
    another_past,
    default_of,
    depth_from_the_bed,
    feeds,
    other_bit,
    other_stepdown,
    pieces,
    renumbered,
    smaller_board,
    steep,
    stock_with,
    tabs,
    through_the_nominal_board,
    unit_of,
    unlike_peck,
    wrapped,
)

INCH = Fraction(254, 10)


def for_wider_bits(text: str) -> str:
    """Leave out the hole, which is as wide as the job's own bit."""
    begin = text.index('[[part.operations]]\nkind = "drill"')
    return text[:begin] + text[text.index("[[part.operations]]", begin + 5) :]


def automatic(text: str) -> str:
    text = text.replace("count = 2", 'count = "auto"').replace("thickness = 6", 'thickness = 6\nmaterial = "plywood"')
    return text.replace("feed = 1400", "feed = 2600").replace("stepdown = 2\n[layout]", "stepdown = 3\n[layout]")


def put(old: str, new: str) -> Callable[[str], str]:
    def change(text: str) -> str:
        assert old in text
        return text.replace(old, new)

    return change


def with_tight_ring(text: str) -> str:
    """A hole of 3.1 mm as a contour for the bit of 3 mm."""
    tight = "tight.circle = { centre = [52, 8], radius = 1.55 }\n[[part.operations]]"
    work = (
        'kind = "contour"\nshape = "tight"\nside = "inside"\ntool = "3 mm mill"\nbottom.through = true\nstepdown = 2\n'
    )
    return text.replace("[[part.operations]]", f"{tight}\n{work}[[part.operations]]", 1)


def spirals_everywhere(patch: Patch) -> None:
    patch.setattr("pathkit.passes.ramp_entries.turn_gains", lambda *_: True)


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
          put("plunge = 400", 'plunge = "15in/min"')),
    Fault("a feed taken 25.4 times too large", "feeds as asked", unit_of(FEED, "mm/min", INCH),
          put("plunge = 400", 'plunge = "40mm/min"')),
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
)  # fmt: skip


@pytest.mark.parametrize("fault", FAULTS, ids=lambda fault: fault.name)
def test_the_audit_catches_it(fault: Fault, tags: str, drawings: Path, monkeypatch: Patch) -> None:
    assert_caught(fault, tags, drawings, monkeypatch)


ONLY_THE_AUDIT = (
    "a feed changed", "a depth read from the bed", "a bit swapped", "one tab more", "fewer tabs than hold",
    "tolerance dropped", "zone lost", "steeper ways down", "a spiral that only rubs",
    "a length taken 25.4 times too small", "a length taken 25.4 times too large",
    "a shape taken 25.4 times too small", "a place taken 25.4 times too large", "a board taken 25.4 times too large",
    "a bit taken 25.4 times too large", "a feed taken 25.4 times too small", "a feed taken 25.4 times too large",
)  # fmt: skip


@pytest.mark.parametrize("name", ONLY_THE_AUDIT)
def test_nothing_else_catches_it(name: str, tags: str, drawings: Path, monkeypatch: Patch) -> None:
    (fault,) = (each for each in FAULTS if each.name == name)
    # The proof sees by what frees parts that tape is lost; not that it was asked for.
    assert not errors_of_the_proof(fault, tags, drawings, monkeypatch)


def test_every_other_check_has_a_fault_that_it_catches() -> None:
    # The job's own pairs are tested below, on another job.
    assert {fault.caught_by for fault in FAULTS} - OF_SHAPES == set(CHECKS) - OF_SHAPES - {"order as asked"}


def test_a_lost_pair_is_told(tags: str, drawings: Path, monkeypatch: Patch) -> None:
    text = tags.replace("[part.shapes]", 'precedence = [["mark", "recess"]]\n[part.shapes]', 1)
    assert not [check for check in made(text, drawings)[2] if check.status != "passed"]
    wrapped(monkeypatch, planning, "piece_of", lambda piece: replace(piece, precedence=()))
    failed = [check for check in made(text, drawings)[2] if check.status == "failed"]
    assert {check.name for check in failed} == {"order as asked"}
    check = failed[0]
    assert check.findings[0].path == "$.part[0].precedence[0]"


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
