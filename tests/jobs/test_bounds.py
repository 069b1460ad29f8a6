"""A typing mistake may ask for endless work: it is refused at once, saying what, where, and what to do."""

from __future__ import annotations

import dataclasses

import pytest

import pathkit as pk
from pathkit.errors import ModelError, PathkitError, Refused
from pathkit.jobs.reading import job_file_of
from pathkit.jobs.requests import Wishes, orders_of_file
from pathkit.model.job import MOST_BITES
from pathkit.operations import contour, fill, pocket, rectangle, rings, rows
from pathkit.operations import layout as layouts

BIT = pk.Tool("mill", 3.0, centre_cutting=True)
FEEDS = pk.Cutting(feed=1200.0, plunge=400.0, spindle=16000.0)
STOCK = pk.Stock(160, 100, 6, z_zero="bed", underlay=2)

SLIPS = {
    "stepdown": ("stepdown = 2", "stepdown = {}", "0.01"),
    "peck": ("peck = 2", "peck = {}", "0.01"),
    "stepover": ('shape = "recess"', 'shape = "recess"\nstepover = {}', "0.01"),
    "rings": ('shape = "recess"', 'shape = "recess"\nstyle = "rings"\nstepover = {}', "0.01"),
    "bit": ("diameter = 3", "diameter = {}", "0.05"),
}


@pytest.mark.parametrize("slip", SLIPS)
@pytest.mark.parametrize("value", ["5e-324", "1e-300", "1e-9", "1e-3"])
def test_a_tiny_value_is_refused_at_its_line(slip: str, value: str, tags: str) -> None:
    old, new, least = SLIPS[slip]
    text = tags.replace(old, new.format(value), 1)
    with pytest.raises(PathkitError) as raised:
        orders_of_file(job_file_of(text, "job.toml"), [pk.load_machine("grbl-front-left")], Wishes())
    (finding,) = raised.value.findings
    assert least in finding.what
    assert finding.line == next(n for n, line in enumerate(text.splitlines(), 1) if line.endswith(value))


@pytest.mark.parametrize("value", [5e-324, 1e-9, 0.0099])
def test_the_model_refuses_them_too(value: float) -> None:
    for make, path in (
        (lambda: pk.Toolpath("a", pk.Curve.point((9, 9)), BIT, FEEDS, bottom=2.0, stepdown=value), "$.stepdown"),
        (lambda: pk.Peck(value), "$.depth"),
        (lambda: pk.Ramp(value), "$.angle"),
        (lambda: pk.Spiral(value), "$.angle"),
        (lambda: pk.Helix(value, 2.0), "$.angle"),
        (lambda: pk.Helix(3.0, value), "$.diameter"),
        (lambda: pk.Tool("a", value), "$.diameter"),
    ):
        with pytest.raises(ModelError) as raised:
            make()
        assert [finding.path for finding in raised.value.findings] == [path]


@pytest.mark.parametrize("peck", [False, True])
def test_bites_are_counted_over_the_whole_depth(peck: bool) -> None:
    """Each bite is large enough, but there would be too many in a block as thick as a table."""
    block = pk.Stock(160, 100, 100, z_zero="bed", thickness_tolerance=0.0)
    entry = pk.Peck(0.04) if peck else pk.Plunge()
    path = pk.Toolpath("hole", pk.Curve.point((9, 9)), BIT, FEEDS, bottom=1.0, stepdown=0.04, entry=entry, role="drill")
    with pytest.raises(ModelError, match=f"more than {MOST_BITES} bites of 0.04 mm") as raised:
        pk.Job("block", block, (path,))
    wanted = "entry.depth" if peck else "stepdown"
    assert f"$.toolpaths[0].{wanted}" in {f.path for f in raised.value.findings}
    whole = pk.Toolpath("hole", pk.Curve.point((9, 9)), BIT, FEEDS, bottom=21.0, stepdown=0.04, role="drill")
    assert len(pk.Job("block", block, (whole,)).toolpaths[0].depths(block)) == 1975


def test_a_helix_without_end_is_refused() -> None:
    ring = rectangle((30, 25), 60, 40)
    (path,) = contour("outline", ring, BIT, FEEDS, bottom=1.7, stepdown=6.6)
    slow = dataclasses.replace(path, entry=pk.Helix(0.05, 0.01))
    with pytest.raises(Refused, match="turns for"):
        pk.lower(pk.Job("a", STOCK, (slow,)), pk.load_machine("grbl-front-left"))


def test_lines_rings_and_copies_are_counted_before_they_are_made(monkeypatch: pytest.MonkeyPatch) -> None:
    hair = pk.Tool("hair", 0.05, centre_cutting=True)
    hall = rectangle((0, 0), 5000, 5000)
    for module, name in ((rows, "_ends_on"), (rings, "inset"), (layouts, "_centred")):
        monkeypatch.setattr(module, name, lambda *_: pytest.fail("it was begun"))
    with pytest.raises(PathkitError, match=f"more than {rows.MOST_ROWS}; take a larger stepover"):
        pocket("p", hall, hair, FEEDS, bottom=-1.0, angle=0.0, wall_allowance=0.0)
    with pytest.raises(PathkitError, match="would be more than 5000"):
        pocket("p", hall, hair, FEEDS, bottom=-1.0, style="rings", wall_allowance=0.0)
    with pytest.raises(Refused, match=f"more than {layouts.MOST_COPIES} copies"):
        fill(rectangle((0, 0), 1, 1), pk.Stock(3000, 3000, 6), hair, align="centre")
