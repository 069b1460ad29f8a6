"""Shapes drawn twice, over each other, or too near for the bit: named with their place, and what to do about them."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pathkit.curves.regions import backward, moved, rectangle
from pathkit.errors import InputError
from pathkit.jobs.overlaps import twice
from pathkit.jobs.planning import orders_of
from pathkit.jobs.reading import job_file_of
from pathkit.model.curve import Curve
from pathkit.registry import load_machine

JOB = """
name = "sign"
stock.thickness = 6
stock.underlay = 2
board = [{{ width = 100, depth = 100 }}]
tools."3 mm mill" = {{ diameter = 3, centre_cutting = true }}
cutting.wood = {{ feed = 900, plunge = 300, spindle = 18000 }}
[[part]]
name = "sign"
shapes.icon = {{ svg = "icon.svg", at = [10, 10] }}
operations = [{{ {work}, shape = "icon" }}]
"""
POCKET = 'kind = "pocket", bottom.from_top = 2'
OUTSIDE = 'kind = "contour", bottom.through = true'
ENGRAVE = 'kind = "engrave", bottom.from_top = 1'


def build(folder: Path, drawn: str, work: str) -> list[str]:
    """The names of the toolpaths."""
    page = 'xmlns="http://www.w3.org/2000/svg" width="80mm" height="80mm" viewBox="0 0 80 80" fill="none" stroke="red"'
    (folder / "icon.svg").write_text(f"<svg {page}>{drawn}</svg>")
    (order,) = orders_of(job_file_of(JOB.format(work=work), "job.toml", folder), [load_machine("grbl-front-left")])
    return [path.name for path in order.job.toolpaths]


BOX = '<rect id="lid" x="10" y="10" width="20" height="20"/>'
SAME = '<path id="copy" d="M 30 30 H 10 V 10 H 30 Z"/>'
ACROSS = '<rect id="bar" x="25" y="15" width="20" height="5"/>'
LINE, LINE_BACK = '<path id="a" d="M 5 5 L 9 40"/>', '<path id="b" d="M 9 40 L 5 5"/>'


@pytest.mark.parametrize(
    ("drawn", "work", "said"),
    [
        (BOX + SAME, POCKET,
         r"icon.svg: rect 'lid' about \(20\.0, 60\.0\) and path 'copy' are one and the same \(delete"),
        (BOX + SAME, ENGRAVE, r"rect 'lid' .* and path 'copy' are one and the same"),
        (LINE + LINE_BACK, ENGRAVE, r"path 'a' about \(7\.0, 57\.5\) and path 'b' are one and the same"),
        (BOX + ACROSS, POCKET,
         r"rect 'lid' about \(30\.0, 70\.0\) and rect 'bar' about \(45\.0, 72\.5\) overlap by 25\.00 mm²"),
        (BOX + ACROSS, OUTSIDE, r"overlap by 25\.00 mm², at .*\(unite them"),
        (BOX + '<rect id="near" x="32" y="10" width="9" height="9"/>', OUTSIDE,
         r"rect 'lid' .* and rect 'near' .* are 2\.000 mm apart, and the bit '3 mm mill' of 3 mm would cut into both"
         r" \(tool: a bit of at most 2 mm"),
        (BOX + '<rect id="slit" x="12" y="12" width="2" height="9"/>', OUTSIDE,
         r"fits nowhere .* it is rect 'slit' about \(23\.0, 73\.5\) \(tool: the widest bit that fits"),
    ],
)  # fmt: skip
def test_what_would_be_cut_twice_is_named(tmp_path: Path, drawn: str, work: str, said: str) -> None:
    with pytest.raises(InputError, match=said) as refused:
        build(tmp_path, drawn, work)
    assert all(f.file == "job.toml" and f.line and f.fix for f in refused.value.findings)


@pytest.mark.parametrize(
    ("drawn", "work", "count"),
    [
        (BOX + ACROSS, ENGRAVE, 2),  # lines may cross
        (BOX + '<rect x="30" y="10" width="9" height="20"/>', POCKET, 4),  # an edge in common is no overlap
        (BOX + '<rect x="33.1" y="10" width="9" height="20"/>', OUTSIDE, 2),
        (BOX + '<rect x="14" y="14" width="8" height="8"/>', OUTSIDE, 3),  # a hole, cleared: rows and a wall
        (BOX + '<rect x="10" y="14" width="8" height="8"/>', POCKET, 2),  # a hole that touches the edge
    ],
)
def test_what_is_no_overlap_is_cut(tmp_path: Path, drawn: str, work: str, count: int) -> None:
    assert len(build(tmp_path, drawn, work)) == count


def test_subpaths_of_the_job_file_are_named_too() -> None:
    text = JOB.format(work=POCKET).replace('{ svg = "icon.svg", at = [10, 10] }', '{ path = "M0 0h9v9z m0 0h9v9z" }')
    with pytest.raises(InputError, match=r"subpath 1 about \(4\.5, 4\.5\) and subpath 2 .* one and the same"):
        orders_of(job_file_of(text, "job.toml"), [load_machine("grbl-front-left")])


def test_every_shape_that_is_too_fine_is_named_at_once(tmp_path: Path) -> None:
    holes = "".join(f'<circle id="hole {k}" cx="{14 + 4 * k}" cy="20" r="0.9"/>' for k in range(4))
    with pytest.raises(InputError) as refused:
        build(tmp_path, BOX + holes, OUTSIDE)
    assert len(refused.value.findings) == 4


SEVERAL = """
name = "sign"
stock.thickness = 6
stock.underlay = 2
board = [{ width = 100, depth = 100 }]
tools."3 mm mill" = { diameter = 3, centre_cutting = true }
cutting.wood = { feed = 900, plunge = 300, spindle = 18000 }
[[part]]
name = "sign"
shapes.s1.circle = { centre = [20, 20], radius = 5 }
shapes.s2.circle = { centre = [60, 20], radius = 5 }
shapes.border.rectangle = { corner = [4, 4], width = 90, depth = 90 }
outline = "border"
[[part.operations]]
kind = "engrave"
shape = ["s1", "s2", "border"]
bottom.from_top = 1
"""


def names(text: str) -> list[str]:
    (order,) = orders_of(job_file_of(text, "job.toml"), [load_machine("grbl-front-left")])
    return [path.name for path in order.job.toolpaths]


def test_each_toolpath_bears_the_name_of_its_own_shape() -> None:
    assert names(SEVERAL) == ["sign s1", "sign s2", "sign border"]
    assert names(SEVERAL + 'name = "marks"\n') == ["sign marks s1", "sign marks s2", "sign marks border"]
    more = '[[part.operations]]\nkind = "contour"\nshape = "border"\nbottom.through = true\n'
    assert names(SEVERAL + more) == ["sign s1", "sign s2", "sign s1 border", "sign border"]


@given(st.floats(1, 40), st.floats(1, 40), st.floats(0, 5), st.integers(0, 3), st.booleans(), st.floats(-0.3, 0.3))
def test_the_same_curve_is_found_however_it_is_run(
    width: float, depth: float, radius: float, first: int, around: bool, off: float
) -> None:
    one = rectangle((3, 4), width, depth, min(radius, width / 2.0, depth / 2.0))
    points, sweeps = one.points, one.sweeps
    turn = [*range(first, len(points)), *range(first)]
    other = Curve(points[turn], sweeps[turn], closed=True)
    other = backward(other) if around else other
    assert list(twice([one, other])) == [(0, 1)]
    beside = bool(list(twice([one, moved(other, (off, 0.0))])))
    assert beside == (abs(off) <= 0.01) or 0.005 < abs(off) < 0.02
