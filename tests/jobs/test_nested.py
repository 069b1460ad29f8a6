"""Parts that are laid out each by itself: how many, where, how turned, what they share, and what each copy says."""

from __future__ import annotations

from itertools import combinations
from pathlib import Path
from typing import Any

import pytest
import shapely

from pathkit.errors import InputError, PathkitError, Refused
from pathkit.jobs.order import Order
from pathkit.jobs.planning import orders_of
from pathkit.jobs.reading import job_file_of
from pathkit.model.job import Part
from pathkit.operations import lettering
from pathkit.registry import load_machine

MACHINE = load_machine("grbl-front-left")


def orders(text: str) -> tuple[Order, ...]:
    return orders_of(job_file_of(text, "job.toml"), [MACHINE], effort=0)


def parts_of(every: tuple[Order, ...]) -> list[Part]:
    return [part for order in every for _ in range(order.times) for part in order.job.parts]


def said(text: str, kind: type[PathkitError] = InputError) -> str:
    with pytest.raises(kind) as raised:
        orders(text)
    assert all(finding.line for finding in raised.value.findings)
    return "\n".join(map(str, raised.value.findings))


def unmarked(text: str) -> str:
    """Without what makes every copy another."""
    return text.replace("number_from = 7", 'text = "A"').replace('texts = ["left", "Right"]', 'text = "B"')


def test_as_many_of_each_as_asked_and_none_on_another(boxes: str) -> None:
    every = orders(boxes)
    names = sorted(part.name for part in parts_of(every))
    assert names == ["corner 01", "lid 01", "lid 02", "plate 01", "plate 02", "plate 03"]
    for order in every:
        areas = [shapely.Polygon(part.outline.flattened(1e-3)) for part in order.job.parts if part.outline]
        assert all(one.distance(other) > 12.0 - 0.01 for one, other in combinations(areas, 2))
        room = shapely.box(10, 10, 290, 160)
        assert all(room.buffer(0.01).covers(area) for area in areas)
        assert order.layout is not None
        assert order.layout.count == len(order.job.parts)


def test_a_part_lies_where_and_as_it_was_told(boxes: str) -> None:
    (corner,) = (part for part in parts_of(orders(boxes)) if part.name == "corner 01")
    assert corner.outline is not None
    # 70 × 50 mm as drawn; a quarter turned it is 50 × 70, its own front left corner at the back left.
    assert corner.outline.bounds == pytest.approx((12.0, 14.0, 62.0, 84.0))
    assert {tuple(point) for point in corner.outline.points.round(6).tolist()} == {
        (62.0, 14.0), (62.0, 84.0), (42.0, 84.0), (42.0, 34.0), (12.0, 34.0), (12.0, 14.0),
    }  # fmt: skip


def test_parts_share_what_they_do_not_say_themselves(boxes: str) -> None:
    file = job_file_of(boxes, "job.toml")
    plate, lid, _ = file.form.part
    assert lid.shapes["outline"] == plate.shapes["outline"]
    assert lid.shapes["recess"].circle is not None
    assert [op.title for op in lid.operations] == ["recess", "text", "outline"]
    assert file.document.line_of(("part", 1, "operations", 2)) == file.document.line_of(("part", 0, "operations", 2))
    assert said(boxes.replace('shape = "recess"', 'shape = "reces"')).count("no shape is called 'reces'") == 1


def test_every_copy_says_its_own(boxes: str) -> None:
    marks: dict[str, list[Any]] = {}
    for order in orders(boxes):
        for path in order.job.toolpaths:
            if path.role == "engrave":
                marks.setdefault(path.part or "", []).append(path.curve)
    for part, text in (("plate 01", "7"), ("plate 03", "9"), ("lid 01", "left"), ("lid 02", "Right")):
        strokes = lettering(text, (0.0, 0.0), 7.0 if part.startswith("plate") else 6.0)
        assert [curve.length for curve in marks[part]] == pytest.approx([stroke.length for stroke in strokes])


def test_boards_that_are_alike_are_cut_several_times_unless_copies_differ(boxes: str) -> None:
    many = boxes.replace("quantity = 3", "quantity = 20")
    alike, unlike = orders(unmarked(many)), orders(many)
    assert any(order.times > 1 for order in alike)
    assert sum(order.times for order in alike) == len(unlike)
    assert all(order.times == 1 for order in unlike)
    assert [order.place for order in unlike] == [f"board-{k}" for k in range(1, len(unlike) + 1)]
    assert unlike[1].job.name == "boxes board 2"
    plates = [part.name for part in parts_of(unlike) if part.name.startswith("plate")]
    assert sorted(plates) == [f"plate {k:02d}" for k in range(1, 21)]


def test_rows_run_along_the_grain_however_a_part_lies(boxes: str) -> None:
    whole = boxes.replace("quantity = 3", "quantity = 3\nturn = 1")
    for text, turned in ((boxes, False), (whole, True)):
        rows = next(
            path for order in orders(text) for path in order.job.toolpaths if path.name == "plate 01 recess rows"
        )
        box = rows.curve.bounds
        assert (box[3] - box[1] > box[2] - box[0]) == turned
        steps = [b - a for a, b in zip(rows.curve.points[:-1], rows.curve.points[1:], strict=True)]
        longest = max(steps, key=lambda step: float(abs(step).sum()))
        # The grain runs at 10° from the board's x.
        assert longest[1] / longest[0] == pytest.approx(0.17633, abs=1e-3)


def test_copies_keep_the_grain_unless_it_may_be_broken(boxes: str) -> None:
    narrow = unmarked(boxes).replace("width = 300", "width = 75").replace("depth = 170", "depth = 400")
    assert "'plate' of 80 × 50 mm does not fit on the board of 75 × 400 mm" in said(narrow, Refused)
    broken = orders(narrow.replace("margin = 10", "margin = 10\nkeep_grain = false"))
    assert all(part.outline.bounds[2] <= 65.01 for part in parts_of(broken) if part.outline is not None)


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("quantity = 2", "at = [20, 60]", "the parts 'lid' and 'corner' lie on each other"),
        ("quantity = 2", "at = [65, 20]", "the parts 'lid' and 'corner' lie 3.00 mm apart; the kerf is 4 mm wide"),
        ("at = [12, 14]", "at = [260, 14]", "give at a value from [0, 0] to [250, 100]"),
        ("at = [12, 14]", "at = [12, 14]\nquantity = 2", "at says where one part lies, but quantity asks for 2"),
        ("web = 4", "web = 4\ncopies = 9", "layout.copies lays out all parts together"),
        ("web = 4", 'web = 4\nalign = "centre"', "layout.align lays out all parts together"),
        ("web = 4", "web = 4\nspacing = 9", "web and spacing both say how far apart parts lie"),
        ('like = "plate"', 'like = "plait"', "no other part is called 'plait'"),
        ('name = "corner"', 'name = "corner"\nlike = "lid"', "'lid' is itself like 'plate'"),
        ('kind = "engrave"\ntexts', 'kind = "engrave"\ntext = "A"\ntext_at = [46, 30]\ntext_height = 6\n'
         'bottom.from_top = 0.5\n[[part.operations]]\nkind = "engrave"\ntexts', "two operations are called 'text'"),
        ('name = "corner"', 'name = ["corner"]', "part[2].name: must be a string"),
        ('texts = ["left", "Right"]', 'texts = ["left"]', "1 texts for 2 of 'lid'"),
        ("number_from = 7", 'number_from = 7\ntext = "A"', "exactly one of shape, text, texts, number_from"),
        ("text_height = 7\n", "", "a text needs text_at = [x, y] and text_height"),
        ("number_from = 7", 'text = "é"', "there are no strokes for 'é'"),
        ("text_height = 7", "text_height = 30", "reaches beyond the outline of its part"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_one_clear_error(boxes: str, old: str, new: str, told: str) -> None:
    text = boxes.replace(old, new, 1)
    if new.startswith(("at = [20", "at = [65")):
        text = text.replace('texts = ["left", "Right"]', 'text = "B"')
    assert told in said(text)


def test_numbers_need_a_quantity(tags: str) -> None:
    mark = 'kind = "engrave"\nnumber_from = 1\ntext_at = [8, 8]\ntext_height = 5\nbottom.from_top = 1\n'
    text = tags.replace(
        '[[part.operations]]\nkind = "drill"', f'[[part.operations]]\n{mark}[[part.operations]]\nkind = "drill"'
    )
    assert "the part has no quantity" in said(text)
    assert orders(text.replace("number_from = 1", 'text = "A"'))


def test_parts_drawn_on_each_other_are_refused_and_one_in_another_s_hole_is_not(tags: str, tmp_path: Path) -> None:
    second = '[[part]]\nname = "disc"\n[part.shapes]\nedge.circle = { centre = [%s, 15], radius = 5 }\n' + (
        '[[part.operations]]\nkind = "contour"\nshape = "edge"\nbottom.through = true\nstepdown = 2\n'
    )
    one = tags.split("[layout]")[0]
    assert "the parts 'tag' and 'disc' lie on each other" in said(one + second % "40")
    window = 'window.circle = { centre = [40, 15], radius = 13 }\n[[part.operations]]\nkind = "contour"\n'
    window += 'shape = "window"\nside = "inside"\nbottom.through = true\nstepdown = 2\n[[part.operations]]'
    plain = one[: one.index("recess.")] + one[one.index("hole.") :]
    begin = plain.index('[[part.operations]]\nkind = "pocket"')
    plain = plain[:begin] + plain[plain.index("[[part.operations]]", begin + 5) :]
    assert orders(plain.replace("[[part.operations]]", window, 1) + second % "40")


def test_a_web_that_would_break_is_told_at_the_contour_that_leaves_it(boxes: str) -> None:
    thin = boxes.replace("web = 4", "web = 1")
    assert "at least 2 mm is wanted" in said(thin, Refused)
    assert "$.part[0].operations[2]" in said(thin, Refused)


@pytest.mark.parametrize("shape", ["[[0, 0], [92, 0], [46, 88]]", "[[0, 0], [60, 0], [0, 60]]"])
def test_leads_that_face_each_other_have_room_unless_a_web_is_given(boxes: str, shape: str) -> None:
    """Wedges lie turned to each other; each has a lead as wide as the bit."""
    wedges = f'[[part]]\nname = "wedge"\nquantity = 4\n[part.shapes]\noutline.polygon = {shape}\n'
    cut = '[[part.operations]]\nkind = "contour"\nshape = "outline"\nbottom.through = true\nstepdown = 3\nlead = 4\n'
    assert len(parts_of(orders(boxes[: boxes.index("[[part]]")] + wedges + cut + "[layout]\nmargin = 10\n"))) == 4
