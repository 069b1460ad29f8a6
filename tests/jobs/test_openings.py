"""Openings right through a part: what becomes of their cores, and that the proof and the audit see when it does not."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

import pathkit as pk
from pathkit.handover.build import build_orders
from tests.jobs.made import audit_of, changed, finished, order_of, proof_of, said

HEAD = """
name = "frames"
[stock]
thickness = 6
z_zero = "bed"
underlay = 3
[[board]]
width = 140
depth = 110
[tools."{bit:g} mm end mill"]
diameter = {bit}
centre_cutting = true
[cutting.plywood]
feed = 1400
plunge = 400
spindle = 18000
[[part]]
name = "frame"
{zones}
[part.shapes]
outline.rectangle = {{ corner = [20, 20], width = 100, depth = 70 }}
in.{shape}
"""
OUTLINE = """
[[part.operations]]
kind = "contour"
shape = "outline"
bottom.through = true
stepdown = 3
"""
WINDOW = "rectangle = { corner = [40, 40], width = 50, depth = 30 }"


def job_text(*inner: str, shape: str = WINDOW, zones: str = "", bit: float = 4.0) -> str:
    """A frame with an opening that is cut as ``inner`` says, key by key."""
    work = "\n".join(["[[part.operations]]", 'shape = "in"', "bottom.through = true", "stepdown = 2", *inner])
    return HEAD.format(shape=shape, zones=zones, bit=bit) + work + OUTLINE


def window(core: str | None = None, **options: Any) -> str:
    told = [] if core is None else [f'core = "{core}"']
    return job_text('kind = "contour"', 'side = "inside"', *told, **options)


ISLAND = "\nland.circle = { centre = [65, 55], radius = 8 }"
ROUND = "circle = {{ centre = [65, 55], radius = {:g} }}"
ROOMS = "polygon = [[32, 32], [{0}, 32], [{0}, 50], [78, 50], [78, 32], [108, 32], [108, 78], [78, 78], [78, 56],"
ROOMS += " [{0}, 56], [{0}, 78], [32, 78]]"
"""Two rooms with a neck between them that the bit fills: the core falls into two pieces."""
TAPED = 'zones = [{ kind = "tape", shape = "in" }]'
NESTED = """
[[part]]
name = "badge"
[part.shapes]
edge.circle = { centre = [65, 55], radius = 5 }
[[part.operations]]
kind = "contour"
shape = "edge"
bottom.through = true
stepdown = 3
"""


@pytest.mark.parametrize(
    ("text", "core"),
    [
        (window(), "keep"),
        (window("keep"), "keep"),
        (window("clear"), "clear"),
        (window("drop"), "drop"),
        (window("drop", shape=ROUND.format(14)), "drop"),
        # Straight sides of 4 mm between longer arcs: the core comes free before the last half of a side.
        (window("drop", shape="rectangle = { corner = [40, 40], width = 20, depth = 20, radius = 8 }"), "drop"),
        (window() + NESTED, "keep"),
        (job_text('kind = "pocket"', 'islands = ["land"]', shape=WINDOW + ISLAND, zones=TAPED), "keep"),
        (job_text('kind = "slot"', shape=ROUND.format(14)), "keep"),
        (job_text('kind = "slot"', "width = 6", shape=ROUND.format(14), zones=TAPED), "keep"),
        *((window(shape=ROUND.format(wide / 2.0), bit=3.0), "clear") for wide in (3.2, 6.0, 8.0, 14.9)),
        (window(shape=ROUND.format(10.0), bit=3.0), "keep"),
        (window(shape=ROOMS.format(62)), "keep"),
        (window(shape=ROOMS.format(44)), "clear"),
    ],
)  # fmt: skip
def test_openings_are_cut_and_proved(text: str, core: str, tmp_path: Path) -> None:
    order = order_of(text)
    (hole,) = next(part for part in order.job.parts if part.name == "frame").holes
    assert hole.core == core
    result = build_orders([order], tmp_path)
    assert result.ok, [str(finding) for finding in result.findings]
    assert result.folders[0].verdict == "yes"


def test_a_plate_keeps_the_core_of_each_wide_hole_in_its_drawing(tmp_path: Path) -> None:
    shape = 'path = "M 20 20 H 120 V 90 H 20 Z M 40 40 H 90 V 70 H 40 Z M 102 30 h 8 v 8 h -8 z"'
    text = HEAD.format(shape=shape, zones="", bit=4.0) + OUTLINE.replace('"outline"', '"in"')
    order = order_of(text)
    assert sorted(hole.core for hole in order.job.parts[0].holes) == ["clear", "keep"]
    assert build_orders([order], tmp_path).ok


def test_a_core_that_nothing_holds_is_refused() -> None:
    island = job_text('kind = "pocket"', 'islands = ["land"]', shape=WINDOW + ISLAND)
    for text in (window("keep") + "[passes]\nhold_tabs = false", island):
        order = order_of(text)
        found = said(proof_of(finished(order)))
        assert any(each.startswith("holding: the core of hole 1 of the part 'frame'") for each in found), found


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (window("drop").replace("centre_cutting = true", "centre_cutting = false"), "does not cut at its centre"),
        (window("drop").replace('core = "drop"', 'core = "drop"\nlead = 2'), "leave out lead"),
        (window("clear", shape='path = "M 40 40 H 90 V 70 H 40 Z M 50 50 H 80 V 60 H 50 Z"'), "cut it as a pocket"),
    ],
)  # fmt: skip
def test_what_cannot_be_dropped_or_cleared_is_refused(text: str, words: str) -> None:
    with pytest.raises(pk.InputError, match=words):
        order_of(text)


def with_core(job: pk.Job, core: Any) -> pk.Job:
    parts = [replace(p, holes=tuple(replace(hole, core=core) for hole in p.holes)) for p in job.parts]
    return replace(job, parts=tuple(parts))


FAULTS: dict[str, tuple[str, Callable[[pk.Job], pk.Job], str]] = {
    "a dropped core is freed before its cut is done": (
        "drop", lambda job: changed(job, "frame in", entry=pk.Spiral(3.0)), "comes free before its cut is done",
    ),
    "a dropped core is run round once more": (
        "drop",
        lambda job: job.with_toolpaths((job.toolpaths[0], replace(job.toolpaths[0], name="again"), job.toolpaths[1])),
        "the core of hole 1 of the part 'frame', about",
    ),
    "the edge is not cut down to the underside": (
        "keep", lambda job: changed(job, "frame in", bottom=4.0, levels=(4.0,), tabs=()), "finished shape: hole 1",
    ),
    "the tabs of a core are lost": (
        "keep", lambda job: changed(job, "frame in", tabs=()), "holding: the core of hole 1",
    ),
    "the core of an opening that is to be cleared stands": (
        "keep", lambda job: with_core(job, "clear"), "finished shape: hole 1 of the part 'frame' is not all cut",
    ),
}  # fmt: skip


@pytest.mark.parametrize("fault", FAULTS)
def test_the_proof_sees_a_core_that_is_wrong(fault: str) -> None:
    core, change, words = FAULTS[fault]
    job = finished(order_of(window(core)))
    assert not said(proof_of(job))
    found = said(proof_of(change(job)))
    assert any(words in each for each in found), found


def test_a_core_that_the_last_level_but_one_frees_in_the_thinnest_board_is_seen() -> None:
    """Boards of 3.5 to 4.5 mm: the second of three levels goes down to 3.2 mm, and 0.3 mm hold nothing."""
    text = window("drop").replace("thickness = 6", "thickness = 4").replace('z_zero = "bed"', 'z_zero = "top"')
    (found, *_) = said(proof_of(finished(order_of(text))))
    assert (
        "comes free before its cut is done, so that the bit goes on beside it in the thinnest board (3.5 mm)" in found
    )
    assert not said(proof_of(finished(order_of(text.replace("stepdown = 2", "stepdown = 3", 1)))))


@pytest.mark.parametrize(("asked", "made"), [("clear", "keep"), ("keep", "drop"), ("drop", "keep"), (None, "clear")])
def test_the_audit_sees_another_core_than_asked(asked: str | None, made: str) -> None:
    """A job that is sound in itself, and not what the job file says."""
    order, other = order_of(window(asked)), order_of(window(made))
    assert not audit_of(order, finished(order))
    assert not said(proof_of(finished(other)))
    found = audit_of(order, finished(other))
    assert any("core" in each for each in found), found


def test_the_audit_sees_tabs_where_the_core_is_dropped() -> None:
    order = order_of(window("drop"))
    job = finished(order)
    held = changed(job, "frame in", tabs=finished(order_of(window("keep"))).by_name["frame in"].tabs)
    assert any("tabs" in each for each in audit_of(order, held))


def test_the_sheet_says_what_becomes_of_cores(tmp_path: Path) -> None:
    for core, words in (("keep", "1 opening leaves a core, held"), ("drop", "a core that lies loose")):
        result = build_orders([order_of(window(core))], tmp_path / core)
        sheet = (tmp_path / core / result.folders[0].name / result.folders[0].sheet_file).read_text(encoding="utf-8")
        assert words in sheet


def skinned(skin: float, *, spread: float = 0.0, core: str | None = None) -> str:
    text = window(core).replace("bottom.through = true", f"bottom.through = true\nskin = {skin}")
    return text.replace("underlay = 3", f"underlay = 3\nunderlay_tolerance = {spread}")


@pytest.mark.parametrize("core", [None, "clear"])
def test_a_skin_holds_what_is_cut_out(core: str | None, tmp_path: Path) -> None:
    order = order_of(skinned(0.5, spread=0.1, core=core))
    (part,) = order.job.parts
    assert part.skin == 0.5
    # Zone of the bed: 3 mm of underlay and the skin.
    assert {path.bottom for path in order.job.toolpaths} == {3.5}
    assert [feature.bottom for feature in part.recesses] == [3.5]
    result = build_orders([order], tmp_path)
    assert result.ok, [str(finding) for finding in result.findings]
    assert not any(path.tabs for path in finished(order).toolpaths)
    sheet = (tmp_path / result.folders[0].name / result.folders[0].sheet_file).read_text(encoding="utf-8")
    assert "A skin of 0.4 to 0.6 mm joins the parts to the board" in sheet


@pytest.mark.parametrize("spread", [0.25, 0.4])
def test_a_skin_that_the_tolerance_may_take_half_of_is_refused(spread: float) -> None:
    with pytest.raises(pk.InputError, match=f"underlay_tolerance = {spread:g}.*leave more than {2 * spread:g} mm"):
        order_of(skinned(0.5, spread=spread))


@pytest.mark.parametrize(("skin", "spread"), [(0.3, 0.0), (0.5, 0.2)])
def test_a_skin_that_holds_nothing_is_refused(skin: float, spread: float) -> None:
    with pytest.raises(pk.InputError, match=rf"holds nothing \(leave at least {spread + 0.35:g} mm"):
        order_of(skinned(skin, spread=spread))


def test_the_thinnest_skin_that_is_taken_holds(tmp_path: Path) -> None:
    assert build_orders([order_of(skinned(0.55, spread=0.2))], tmp_path).ok


def test_a_skin_is_for_cuts_right_through() -> None:
    with pytest.raises(pk.InputError, match=r"set bottom\.through = true"):
        order_of(skinned(0.5).replace("bottom.through = true", "bottom.from_top = 3", 1))


def test_a_skin_that_is_cut_or_too_thick_is_seen() -> None:
    job = finished(order_of(skinned(0.5).replace("width = 140", "width = 300")))
    assert not said(proof_of(job))
    for bottom, words in (
        (2.9, "holding: the part 'frame'"),
        (4.2, "finished shape: the outline of the part 'frame' is not"),
    ):
        wrong = changed(job, "frame outline", bottom=bottom, levels=(6.0, bottom), stepdown=4.0)
        found = said(proof_of(wrong))
        assert any(words in each for each in found), found


@pytest.mark.parametrize("made", ["skin = 0.6", ""])
def test_the_audit_sees_another_skin_than_asked(made: str) -> None:
    order = order_of(skinned(0.5))
    other = order_of(skinned(0.5).replace("skin = 0.5", made))
    assert not audit_of(order, finished(order))
    found = audit_of(order, finished(other))
    assert any("skin" in each for each in found), found
