"""From a job file to boards for machines: layouts, other bits, depths from the surface that they name."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import shapely
from shapely.geometry import Polygon

from pathkit.curves.regions import swept_by
from pathkit.errors import InputError, PathkitError, Refused
from pathkit.model.job import Setup
from pathkit.registry import load_machine
from tests.jobs.made import MACHINE, only, orders_from, outline_of
from tests.swept import swept


def test_without_a_layout_parts_lie_as_they_are_drawn(tags: str) -> None:
    job = only(tags)
    assert [p.name for p in job.toolpaths] == ["tag recess rows", "tag recess wall", "tag hole", "tag outline"]
    assert outline_of(job.parts[0]).bounds == pytest.approx((0.0, 0.0, 60.0, 30.0))
    assert len(job.parts[0].recesses) == 1
    assert len(job.parts[0].holes) == 1


def test_a_part_without_an_outline_keeps_its_shapes(tags: str) -> None:
    text = tags[: tags.rindex("[[part.operations]]")]
    (part,) = only(text).parts
    assert part.outline is None
    assert (len(part.recesses), len(part.holes)) == (1, 1)


def test_a_board_of_400_takes_what_arithmetic_says(tags: str) -> None:
    # Margin 10, copies of 60 × 30 with 2 kerfs of 3 and a web of 4 between them: (380 + 10) // 70 = 5 across,
    # (380 + 10) // 40 = 9 up.
    text = tags.replace("width = 300\ndepth = 200", "width = 400\ndepth = 400")
    (order,) = orders_from(text + "\n[layout]\nweb = 4\nmargin = 10\n")
    assert order.layout is not None
    assert order.layout.count == 45
    assert order.layout.waste == pytest.approx(1.0 - 45 * (1800 - (4 - math.pi) * 36) / 160000, abs=1e-6)
    outlines = [Polygon(outline_of(part).flattened(0.01)) for part in order.job.parts]
    apart = min(a.distance(b) for k, a in enumerate(outlines) for b in outlines[:k])
    assert apart == pytest.approx(10.0, abs=0.02)
    assert len({path.name for path in order.job.toolpaths}) == 45 * 4


def test_a_count_over_several_boards(tags: str) -> None:
    text = tags + "\n[layout]\ncopies = 50\nweb = 4\nmargin = 10\n"
    full, last = orders_from(text)
    assert full.layout is not None
    assert last.layout is not None
    assert full.times * full.layout.count + last.times * last.layout.count == 50
    assert (full.folder, last.folder) == ("grbl-front-left/full-boards", "grbl-front-left/last-board")
    assert len(full.job.parts) == full.layout.count
    assert len(last.job.parts) == 50 - full.times * full.layout.count
    (whole,) = orders_from(text.replace("copies = 50", f"copies = {3 * full.layout.count}"))
    assert (whole.times, whole.folder) == (3, "grbl-front-left")


def test_each_machine_takes_the_largest_board_that_fits_it(tags: str) -> None:
    text = tags.replace(
        "[[board]]\nwidth = 300\ndepth = 200",
        '[[board]]\nname = "s"\nwidth = 300\ndepth = 200\n[[board]]\nname = "l"\nwidth = 390\ndepth = 480',
    )
    wide, deep = MACHINE, load_machine("portrait-inch")
    small, large = orders_from(text, [wide, deep])
    assert (small.job.stock.depth, large.job.stock.depth) == (200.0, 480.0)
    (turned,) = orders_from(text, [wide], setups=Setup(turn=1))
    assert turned.job.stock.depth == 480.0
    named = text + '\n[[machine]]\nprofile = "portrait-inch"\nboard = "s"\nturn = 1\n'
    (order,) = orders_from(named, [])
    assert (order.job.stock.depth, order.setup.turn) == (200.0, 1)
    with pytest.raises(Refused, match="the board needs 900 mm along X") as raised:
        orders_from(tags.replace("width = 300", "width = 900"))
    assert raised.value.findings[0].line == 9
    with pytest.raises(InputError, match="no machine to build for"):
        orders_from(tags, [])


def test_a_wider_bit_follows_or_is_refused_with_the_widest_that_fits(tags: str) -> None:
    with pytest.raises(InputError) as raised:
        orders_from(tags, bits=["6.35mm"])
    (finding,) = raised.value.findings
    assert "the hole at (8.0, 15.0) is 3 mm wide, and the bit '6.35 mm bit' is 6.35 mm wide" in finding.what
    assert "the widest bit that fits has 3 mm" in finding.fix
    assert finding.line == next(k for k, line in enumerate(tags.splitlines(), 1) if line == "[[part.operations]]") + 5
    plain = tags.replace("hole.points = [[8, 15]]", "hole.circle = { centre = [8, 15], radius = 3.2 }")
    job = only(plain, bits=["6.35mm"])
    for role, region in (("outline", outline_of(job.parts[0])),):
        freed, plate = swept(job.toolpaths, role), Polygon(region.flattened(1e-3))
        assert freed.intersection(plate).buffer(-0.01).is_empty
        assert freed.area == pytest.approx(plate.buffer(6.35, quad_segs=64).area - plate.area, rel=1e-3)
    # 1400 mm/min for 3 mm: the chip load grows with the diameter, but the plunge never gets faster.
    cutting = job.toolpaths[0].cutting
    assert cutting.feed == pytest.approx(1400 * 6.35 / 3, abs=10)
    assert (cutting.plunge, cutting.spindle) == (400.0, 18000.0)
    assert job.by_name["tag outline"].stepdown == 2.0
    (order,) = orders_from(plain, bits=["1/4in"])
    assert order.job.toolpaths == job.toolpaths
    assert any("built for a bit of 6.35 mm" in note.what for note in order.notes)


def test_a_narrower_bit_leaves_the_same_part(tags: str) -> None:
    mine, theirs = only(tags), only(tags, bits=["2mm"])
    assert mine.parts == theirs.parts
    hole = Polygon(mine.parts[0].holes[0].curve.flattened(1e-3))
    bored = shapely.union_all([swept_by(path) for path in theirs.toolpaths if path.role == "drill"]).intersection(
        hole.buffer(0.5)
    )
    assert bored.symmetric_difference(hole).buffer(-0.01).is_empty
    path = theirs.by_name["tag outline"]
    assert path.stepdown == pytest.approx(2.0 * 2 / 3)
    assert path.cutting.plunge == pytest.approx(400 * 2 / 3, abs=10)


@pytest.mark.parametrize("bit", ["", "6", "mm", "0mm", "-3mm", "1/0in", "900mm", "drill=3mm", "3 mm mill=x", "6.35 m"])
def test_what_is_no_bit_is_said_so(tags: str, bit: str) -> None:
    with pytest.raises(InputError, match="--bit"):
        orders_from(tags, bits=[bit])


def test_several_bits_must_be_told_apart(tags: str) -> None:
    text = tags.replace("[cutting.wood]", "[tools.big]\ndiameter = 6\ncentre_cutting = true\n[cutting.wood]")
    text = text.replace('shape = "recess"', 'shape = "recess"\ntool = "big"').replace(
        'shape = "hole"', 'shape = "hole"\ntool = "3 mm mill"'
    ).replace('shape = "outline"', 'shape = "outline"\ntool = "3 mm mill"')  # fmt: skip
    with pytest.raises(InputError, match="which bit it replaces"):
        orders_from(text, bits=["4mm"])
    job = only(text, bits=["big=4mm"])
    assert sorted({tool.diameter for tool in job.tools}) == [3.0, 4.0]


def test_every_operation_that_cannot_be_cut_is_named_at_its_line(tags: str) -> None:
    wrong = tags.replace("width = 36, depth = 14, radius = 3", "width = 36, depth = 2.5").replace(
        "bottom.above_bed = 1.7\nstepdown", "bottom.above_bed = 9.5\ntop.from_top = 1\nstepdown"
    )
    with pytest.raises(InputError) as raised:
        orders_from(wrong)
    said = [str(finding) for finding in raised.value.findings]
    assert len(said) == 2
    assert "the widest bit that fits has 2.49 mm" in said[0] or "the widest bit that fits has 2.5 mm" in said[0]
    assert "job.toml:" in said[0]


@pytest.mark.parametrize(
    ("old", "new", "what"),
    [
        ("bottom.above_bed = 1.7\nstepdown", "bottom.above_bed = 9\nstepdown", "not below its wood"),
        ("bottom.above_bed = 1.7\nstepdown", "bottom.above_bed = -1\nstepdown", "the bed may be as high as 0 mm"),
        ("width = 300", "width = 50", "does not fit on the board"),
        ("[layout]", "[layout]\nspacing = 6.5", r"job\.toml:41, toolpath 'tag 01 outline', .* only 0\.50 mm of wood"),
        ("hole.points = [[8, 15]]", "hole.points = [[8, 15], [8, 15]]", "two holes are at"),
        ("hole.points = [[8, 15]]", "hole.line = [[8, 15], [9, 15]]", "neither a point nor a circle"),
        ("recess.rectangle = { corner = [16, 8], width = 36, depth = 14, radius = 3 }",
         "recess.polygon = [[0, 0], [9, 9], [9, 0], [0, 9]]", "crosses itself"),
        ("recess.rectangle = { corner = [16, 8], width = 36, depth = 14, radius = 3 }",
         "recess.line = [[0, 0], [9, 9], [9, 0]]", "shape 'recess' is open by 9 mm"),
    ],
)  # fmt: skip
def test_impossible_jobs_are_refused_with_the_place(tags: str, old: str, new: str, what: str) -> None:
    text = tags + "\n[layout]\nmargin = 5\n"
    assert old in text
    with pytest.raises(PathkitError, match=what) as raised:
        orders_from(text.replace(old, new, 1))
    assert raised.value.findings[0].file == "job.toml"


def test_passes_take_their_options_from_the_file(tags: str) -> None:
    text = tags + "\n[passes]\nhold_tabs = { count = 3, height = 2 }\nramp_entries = false\norder_travel.seed = 5\n"
    (order,) = orders_from(text, effort=0)
    by_name: dict[str, Any] = {step.name: step for step in order.passes}
    assert list(by_name) == ["merge_stepdowns", "spare_top_edge", "hold_tabs", "order_travel"]
    assert (by_name["hold_tabs"].count, by_name["hold_tabs"].width) == (3, 6.0)
    assert (by_name["order_travel"].seed, by_name["order_travel"].effort) == (5, 0)
    assert "hold_tabs" not in [step.name for step in orders_from(text, tabs=False)[0].passes]
    (by_part,) = orders_from(tags + '\n[layout]\norder = "part"\n')
    ordering: Any = by_part.passes[-1]
    assert ordering.by == "part"
    for line, what in (("hold_tab = true", "hold_tab"), ("hold_tabs.counts = 3", "no option 'counts'"),
                       ("hold_tabs.count = 0", "count is 0"),
                       ("merge_stepdowns.enter_in_waste = true", "spare_top_edge always does this")):  # fmt: skip
        with pytest.raises(InputError, match=what) as raised:
            orders_from(tags + f"\n[passes]\n{line}\n")
        assert raised.value.findings[0].line == len(tags.splitlines()) + 3


def test_zones_of_the_board_and_of_each_part(tags: str) -> None:
    text = tags.replace("[[part]]", '[[part]]\nzones = [{ kind = "tape", shape = "recess" }]').replace(
        "depth = 200",
        'depth = 200\nzones = [{ kind = "clamp", height = 12, shape.rectangle = { width = 40, depth = 40 } }]',
    )
    (order,) = orders_from(text + "\n[layout]\nmargin = 10\n")
    clamp, *tapes = order.job.stock.zones
    assert (clamp.kind, clamp.height) == ("clamp", 12.0)
    assert order.layout is not None
    assert len(tapes) == order.layout.count
    kerfs = swept(order.job.toolpaths, "outline")
    assert not kerfs.intersects(clamp.shape)
    for tape, part in zip(tapes, order.job.parts, strict=True):
        assert Polygon(outline_of(part).flattened(0.01)).contains(tape.shape)


def test_drawings_in_svg_and_dxf_become_parts(tags: str, tmp_path: Path) -> None:
    from ezdxf import filemanagement

    document = filemanagement.new(units=4)
    space = document.modelspace()
    space.add_lwpolyline([(16, 8), (52, 8), (52, 22), (16, 22)], close=True, dxfattribs={"layer": "POCKET"})
    space.add_circle((8, 15), 1.5, dxfattribs={"layer": "DRILL"})
    document.saveas(tmp_path / "tag.dxf")
    (tmp_path / "tag.svg").write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="30mm" viewBox="0 0 60 30">'
        '<rect id="edge" width="60" height="30" rx="6"/></svg>'
    )
    text = tags.replace(
        "outline.rectangle = { width = 60, depth = 30, radius = 6 }",
        'outline = { svg = "tag.svg", layer = "edge", size = [60, 30] }',
    ).replace(
        "recess.rectangle = { corner = [16, 8], width = 36, depth = 14, radius = 3 }",
        'recess = { dxf = "tag.dxf", layer = "POCKET" }',
    ).replace("hole.points = [[8, 15]]", 'hole = { dxf = "tag.dxf", layer = "DRILL" }')  # fmt: skip
    drawn, typed = only(text, folder=tmp_path), only(tags)
    assert abs(outline_of(drawn.parts[0]).area) == pytest.approx(abs(outline_of(typed.parts[0]).area))
    assert drawn.by_name["tag hole"].curve == typed.by_name["tag hole"].curve
    assert np.count_nonzero(outline_of(drawn.parts[0]).sweeps) == 4, "arcs stay arcs"
    with pytest.raises(InputError, match="no shape on layer 'POCKETS'") as raised:
        only(text.replace('"POCKET"', '"POCKETS"'), folder=tmp_path)
    assert raised.value.findings[0].file == "job.toml"
    with pytest.raises(InputError, match=r"gone\.svg' is not there"):
        only(text.replace("tag.svg", "gone.svg"), folder=tmp_path)
