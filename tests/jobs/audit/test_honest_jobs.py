"""Honest jobs raise no alarm: random small job files, those of README and demo, and some that once showed a gap."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from dataclasses import replace
from itertools import cycle, product
from pathlib import Path
from typing import Any

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from pathkit.errors import PathkitError
from pathkit.jobs.demo import demo_machines, demo_text
from pathkit.jobs.planning import orders_of
from pathkit.jobs.reading import job_file_of
from pathkit.operations import layout
from pathkit.operations.layout import Layout
from pathkit.registry import load_machine
from tests.how_long import usually

Alarms = Callable[..., list[str]]

ROOT = Path(__file__).resolve().parents[3]

HEAD = """
name = "{name}"
[stock]
thickness = {thickness}
z_zero = "{z_zero}"
underlay = {underlay}
thickness_tolerance = {tolerance}
grain = {grain}
[[board]]
width = {width}
depth = {depth}
{zones}
[tools.bit]
diameter = {bit}
number = 1
centre_cutting = true
[cutting.wood]
feed = {feed}
plunge = 310
spindle = 17000
[[part]]
name = "plate"
[part.shapes]
{shapes}
"""


@st.composite
def job_files(draw: st.DrawFn) -> tuple[str, tuple[str, ...], bool]:
    """The text of a small job file, bits to build for, and whether tabs are wanted."""

    def chosen(*values: Any) -> Any:
        return draw(st.sampled_from(values))

    def number(low: float, high: float) -> float:
        return round(draw(st.floats(low, high)), 2)

    bit = chosen(2.0, 3.0, 3.175, 4.0)
    shapes = ["outline.polygon = [[0, 0], [70, 0], [70, 34], [52, 48], [0, 48]]"]
    if chosen(True, False):
        shapes = [f"outline.rectangle = {{ width = 70, depth = 48, radius = {chosen(0, 5, 9.5)} }}"]
    shapes += [
        f"window.rectangle = {{ corner = [8, 8], width = {number(12, 22)}, depth = 14, radius = {chosen(0, 2.5, 6)} }}",
        "island.circle = { centre = [18, 15], radius = 2.1 }",
        f"ring.circle = {{ centre = [46, 14], radius = {number(4, 9)} }}",
        f"groove.line = [[8, 34], [{number(20, 32)}, 34], [34, {number(36, 42)}]]",
        f"spots.points = [[{number(40, 44)}, 34], [50, 38]]",
        "mark.polygon = [[40, 26], [48, 27], [44, 30]]",
        f"bar.slot = {{ first = [10, 29], last = [28, {number(26, 29)}], width = {number(5, 6)} }}",
    ]
    depth = chosen("bottom.through = true", "bottom.from_top = 2.5", "bottom.from_top = 1")
    step = chosen("stepdown = 2", "stepdown = 0.9", "")
    way = chosen('direction = "conventional"', 'direction = "climb"', "")
    lead = chosen("lead = 2", "lead = 0", "")
    works = {
        "pocket": f'kind = "pocket"\nshape = "window"\nbottom.from_top = 2\n{step}\n{lead}\n{way}\n'
        + chosen('islands = ["island"]\n', 'style = "rings"\n', "stepover = 0.3\nangle = 35\n", "relief = true\n", ""),
        "inside": f'kind = "contour"\nshape = "ring"\nside = "inside"\n{depth}\n{step}\n{way}\n{lead}\n',
        "slot": f'kind = "slot"\nshape = "groove"\nbottom.from_top = 3\n{step}\n'
        + chosen("width = 4.5\n", "width = 6\n", ""),
        "drill": f'kind = "drill"\nshape = "spots"\n{depth}\n' + chosen("peck = 1.5\n", "diameter = 5\n", ""),
        "on": f'kind = "contour"\nshape = "mark"\nside = "on"\nbottom.from_top = 1\n{way}\n',
        "engrave": 'kind = "engrave"\nshape = ["mark", "groove"]\nbottom.from_top = 0.8\nname = "words"\n',
        "bar": f'kind = "pocket"\nshape = "bar"\nbottom.from_top = 1.5\n{lead}\n',
    }
    picked = draw(st.lists(st.sampled_from(sorted(works)), unique=True, max_size=3))
    text = HEAD.format(
        name=chosen("plates", "a job"), thickness=chosen(6, 9.0), z_zero=chosen("top", "bed"),
        underlay=chosen(2, 4.5), tolerance=chosen(0, 0.2, 0.5), grain=chosen(0, 30), width=number(100, 260),
        depth=number(90, 200), bit=bit, feed=chosen(1400, 1733.5), shapes="\n".join(shapes),
        zones=chosen("", "zones = [{ kind = 'clamp', height = 12, shape.rectangle = { width = 14, depth = 11 } }]"),
    )  # fmt: skip
    for work in picked:
        text += f"[[part.operations]]\n{works[work]}"
    text += f'[[part.operations]]\nkind = "contour"\nshape = "outline"\nbottom.through = true\n{step}\n{way}\n{lead}\n'
    text += chosen(
        "", "[layout]\n", "[layout]\ncopies = 3\nweb = 2\n", "[layout]\nkeep_grain = false\nmargin = 9\n",
        '[layout]\norder = "part"\nspacing = 13\nalign = "centre"\n',
    )  # fmt: skip
    text += chosen("", "[passes]\nramp_entries = { angle = 4 }\n", "[passes]\nhold_tabs = { count = 3, width = 4 }\n")
    return text, chosen((), (), ("2.5mm",), ("1/8in",)), chosen(True, True, False)


@settings(max_examples=20)
@given(made=job_files())
def test_random_honest_jobs_raise_no_alarm(alarms: Alarms, made: tuple[str, tuple[str, ...], bool]) -> None:
    text, bits, tabs = made
    try:
        found = alarms(text, bits=bits, tabs=tabs)
    except PathkitError:
        assume(False)
        return
    assert not found, text


def test_the_demo_is_as_asked_on_every_machine(alarms: Alarms) -> None:
    for machine in demo_machines():
        assert not alarms(demo_text(), machine=machine)


def test_the_job_file_of_readme_is_as_asked(alarms: Alarms) -> None:
    text, *_ = re.findall(r"```toml\n(.*?)```", (ROOT / "README.md").read_text(encoding="utf-8"), re.S)
    assert not alarms(text)


@pytest.mark.parametrize("turn", [0, 1, 3])
def test_a_board_may_lie_turned(alarms: Alarms, tags: str, turn: int) -> None:
    assert not alarms(tags, turn=turn)


TWO_BITS = """
name = "trays"
[stock]
thickness = 9
underlay = 3
z_zero = "bed"
grain = 20
[[board]]
width = 300
depth = 240
{zones}
[tools.mill]
diameter = 4
centre_cutting = true
[tools.compression]
diameter = 6
centre_cutting = true
kind = "compression"
tip_length = 2
[cutting.wood]
feed = 2000
plunge = 500
spindle = 16000
[[part]]
name = "tray"
{precedence}
[part.shapes]
outline.rectangle = {{ corner = [10, 10], width = 80, depth = 60, radius = 6 }}
in.rectangle = {{ corner = [20, 20], width = 30, depth = 20 }}
edge.rectangle = {{ corner = [60, 10], width = 20, depth = 15 }}
bay.path = "M 20 45 L 40 45 C 45 45 45 60 40 60 L 20 60 Z"
frame.path = "M 54 30 h 30 v 30 h -30 z M 60 36 v 18 h 18 v -18 z"
pane.path = "M 16 14 h 68 v 52 h -68 z M 34 30 v 20 h 32 v -20 z"
ring.circle = {{ centre = [70, 50], radius = 8 }}
line.line = [[20, 64], [50, 64]]
tight.circle = {{ centre = [30, 50], radius = 2.0125 }}
sharp.polygon = [[20, 20], [70, 20], [22, 40]]
post.circle = {{ centre = [47, 30], radius = 6 }}
cross.polygon = [[30, 10], [60, 10], [60, 30], [85, 30], [85, 55], [60, 55], [60, 75], [30, 75], [30, 55], [30, 30]]
ell.polygon = [[120, 10], [170, 10], [170, 40], [150, 40], [150, 75], [120, 75]]
{works}
{rest}
"""
PLAIN = 'kind = "contour"\nshape = "outline"\ntool = "mill"\nbottom.through = true\nstepdown = 3'
CASES = {
    "a peg's room": ['kind = "pocket"\nshape = "in"\nbottom.from_top = 3\nrelief = true\nstepdown = 2', PLAIN],
    "an opening with room for a peg": [
        'kind = "contour"\nshape = "in"\nside = "inside"\nbottom.from_top = 3\nrelief = true\nstepdown = 2', PLAIN],
    "an outline with room for pegs": [PLAIN.replace("outline", "cross") + "\nrelief = true"],
    "an outline with room for pegs on a skin": [PLAIN.replace("outline", "cross") + "\nrelief = true\nskin = 0.6"],
    "several shapes with room for pegs": [PLAIN.replace('"outline"', '["cross", "ell"]') + "\nrelief = true"],
    "several shapes with a last lap": [
        PLAIN.replace('"outline"', '["cross", "ell"]') + "\nfinish = { allowance = 0.3 }"],
    "a window with room for pegs in what is cut round": [
        PLAIN.replace("outline", "frame") + '\nrelief = true\ncore = "keep"'],
    "a frame cut through with room for pegs": [
        'kind = "contour"\nshape = "pane"\nside = "inside"\nbottom.through = true\nrelief = true\nstepdown = 2', PLAIN],
    "a frame with room for pegs inside and out": [
        'kind = "contour"\nshape = "frame"\nside = "inside"\nbottom.from_top = 3\nrelief = true\nstepdown = 2', PLAIN],
    "an outline begun by one contour and relieved by the next": [
        PLAIN.replace("outline", "cross").replace("through = true", "from_top = 4") + '\nname = "rough"',
        PLAIN.replace("outline", "cross").replace("mill", "compression") + '\nrelief = true\nname = "fine"'],
    "an open edge": [
        'kind = "pocket"\nshape = "edge"\nbottom.from_top = 3\nopen_edges = ["outline"]\nstepdown = 2', PLAIN],
    "a bay of a path": ['kind = "pocket"\nshape = "bay"\nbottom.from_top = 3\nstepdown = 2', PLAIN],
    "a recess round an island": ['kind = "pocket"\nshape = "frame"\nbottom.from_top = 3\nstepdown = 2', PLAIN],
    "an island that stands in the wall": [
        'kind = "pocket"\nshape = "in"\nislands = ["post"]\nbottom.from_top = 3\nstepdown = 2', PLAIN],
    "a hole a hair wider than the bit": [
        'kind = "drill"\nshape = "tight"\nbottom.through = true\nstepdown = 2', PLAIN],
    "a corner that no bit reaches": ['kind = "pocket"\nshape = "sharp"\nbottom.from_top = 2\nstepdown = 2', PLAIN],
    "a ring's groove": ['kind = "slot"\nshape = "ring"\nbottom.from_top = 4\nwidth = 5\nstepdown = 2', PLAIN],
    "a ring cut through": ['kind = "slot"\nshape = "ring"\nbottom.through = true\nstepdown = 2', PLAIN],
    "one contour in two bites": [
        'kind = "contour"\nshape = "outline"\nname = "upper"\nbottom.from_top = 4\nstepdown = 2',
        'kind = "contour"\nshape = "outline"\nname = "lower"\ntop.from_top = 4\nbottom.through = true\nstepdown = 2'],
    "entered in waste": [PLAIN.replace("mill", "compression").replace("stepdown = 3", "stepdown = 5")],
    "no outline": [
        'kind = "pocket"\nshape = "in"\nbottom.from_top = 2', 'kind = "engrave"\nshape = "line"\nbottom.from_top = 1'],
    "only lines": ['kind = "contour"\nshape = "in"\nside = "on"\nbottom.from_top = 2'],
}  # fmt: skip


ONE, TURNED = "", "[layout]\nkeep_grain = false\n"
"""A single part, and as many as fit, some of them turned."""


@pytest.mark.parametrize(
    ("name", "layout"),
    usually(zip(CASES, cycle((ONE, TURNED)), strict=False), of=product(CASES, (ONE, TURNED))),
)
def test_special_operations_raise_no_alarm(alarms: Alarms, name: str, layout: str) -> None:
    works = [each if "tool =" in each else f'{each}\ntool = "mill"' for each in CASES[name]]
    text = TWO_BITS.format(
        zones="", precedence="", works="".join(f"[[part.operations]]\n{each}\n" for each in works),
        rest=layout,
    )  # fmt: skip
    assert not alarms(text)


def beside_clamps() -> str:
    hole = 'kind = "drill"\nshape = "ring"\nbottom.through = true\nstepdown = 3\ntool = "mill"'
    clamp = '{ kind = "clamp", height = 20, shape.circle = { centre = [150, 120], radius = 14 } }'
    screw = '{ kind = "screw", height = 2, shape.circle = { centre = [8, 8], radius = 5 } }'
    return TWO_BITS.format(
        zones=f"zones = [{clamp}, {screw}]", precedence='precedence = [["ring", "outline"]]',
        works=f"[[part.operations]]\n{hole}\n[[part.operations]]\n{PLAIN}\n", rest="[layout]\nmargin = 6\n",
    )  # fmt: skip


@pytest.mark.parametrize("named", ['board = "short"', ""])
def test_a_machine_takes_the_board_named_for_it_or_the_largest(
    alarms: Alarms, tags: str, tmp_path: Path, named: str
) -> None:
    from pathkit.proof.certificate import machine_as_dict
    from pathkit.registry import load_machine

    values = machine_as_dict(load_machine("grbl-front-left")) | {"name": "Router in the cellar"}
    lines = [f"{k} = {json.dumps(v)}" for k, v in values.items() if not isinstance(v, dict)]
    for section, table in values.items():
        if isinstance(table, dict):
            lines += [f"[{section}]", *(f"{k} = {json.dumps(v)}" for k, v in table.items())]
    profile = tmp_path / "ours.toml"
    profile.write_text("\n".join(lines))
    text = tags.replace("[[board]]", '[[board]]\nname = "long"\nwidth = 250\ndepth = 110\n[[board]]\nname = "short"')
    text += f'[[machine]]\nprofile = "ours.toml"\n{named}\n'
    assert not alarms(text, folder=tmp_path, machine=load_machine(profile))


def test_copies_beside_clamps_and_pairs_raise_no_alarm(alarms: Alarms) -> None:
    assert not alarms(beside_clamps())


def test_a_copy_that_is_lost_beside_clamps_is_missed(alarms: Alarms, monkeypatch: pytest.MonkeyPatch) -> None:
    real = layout.fill

    def fill(*args: Any, **options: Any) -> layout.Layout:
        found = real(*args, **options)
        assert found.count > 2
        return replace(found, placements=found.placements[:-1])

    monkeypatch.setattr(layout, "fill", fill)
    assert any("one more copy fits" in each for each in alarms(beside_clamps()))


def test_a_copy_upon_a_clamp_or_over_the_margin_is_told(alarms: Alarms, monkeypatch: pytest.MonkeyPatch) -> None:
    real = layout.fill

    def fill(*args: Any, **options: Any) -> layout.Layout:
        found = real(*args, **options)
        return replace(found, placements=(layout.Placement(-9.0, -9.0), *found.placements[1:]))

    monkeypatch.setattr(layout, "fill", fill)
    found = "".join(alarms(beside_clamps()))
    assert "from the board's edge" in found
    assert "on a screw or clamp" in found


def test_drawings_raise_no_alarm(alarms: Alarms, tmp_path: Path) -> None:
    from ezdxf import filemanagement

    document = filemanagement.new(units=1)  # inches
    space = document.modelspace()
    inch = 25.4
    corners = [(20 / inch, 20 / inch), (50 / inch, 20 / inch), (50 / inch, 40 / inch), (20 / inch, 40 / inch)]
    for k, corner in enumerate(corners):
        space.add_line(corner, corners[(k + 1) % 4], dxfattribs={"color": 1})
    space.add_circle((70 / inch, 50 / inch), 8 / inch, dxfattribs={"color": 3})
    document.saveas(tmp_path / "tray.dxf")
    (tmp_path / "tray.svg").write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="80mm" viewBox="0 0 200 160">'
        '<g id="cut" transform="translate(20 20)"><path d="M 0 0 H 160 V 120 H 60 Q 0 120 0 60 Z"/></g>'
        '<g id="mark" stroke="red" fill="none"><path d="M 40 32 L 100 32"/></g></svg>'
    )
    text = TWO_BITS.format(
        zones="", precedence="", rest="[layout]\n",
        works="[[part.operations]]\nkind = 'pocket'\nshape = 'in'\nbottom.from_top = 2\ntool = 'mill'\n"
        "[[part.operations]]\nkind = 'contour'\nshape = 'ring'\nside = 'inside'\nbottom.from_top = 3\ntool = 'mill'\n"
        f"[[part.operations]]\nkind = 'engrave'\nshape = 'line'\nbottom.from_top = 1\ntool = 'mill'\n"
        f"[[part.operations]]\n{PLAIN}\n",
    )  # fmt: skip
    for name, shape in {
        "outline": '{ svg = "tray.svg", layer = "cut" }',
        "line": '{ svg = "tray.svg", colour = "#f00" }',
        "in": '{ dxf = "tray.dxf", colour = "red" }',
        "ring": '{ dxf = "tray.dxf", colour = "lime" }',
    }.items():
        text = re.sub(rf"^{name}\.\w+ = .*$", f"{name} = {shape}", text, flags=re.M)
    assert not alarms(text, folder=tmp_path)


def test_corners_of_drawings_are_known(alarms: Alarms, tmp_path: Path) -> None:
    """Room for pegs in corners between straight sides, and none where a side is a curve, however it is drawn."""
    from ezdxf import filemanagement

    document = filemanagement.new(units=4)
    bay = [(20, 20), (50, 20), (50, 40), (40, 40), (40, 30), (20, 30)]
    document.modelspace().add_lwpolyline([(*place, 0.0 if k else 0.6) for k, place in enumerate(bay)],
                                         format="xyb", close=True)  # fmt: skip
    document.saveas(tmp_path / "bay.dxf")
    (tmp_path / "ell.svg").write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="80mm" viewBox="0 0 100 80">'
        '<path d="M 10 10 H 90 V 50 H 60 C 60 55 60 60 60 70 L 40 70 C 45 60 45 55 40 50 H 10"/></svg>'
    )
    works = [
        PLAIN + "\nrelief = true",
        'kind = "pocket"\nshape = "in"\nbottom.from_top = 3\nrelief = true\ntool = "mill"',
    ]
    text = TWO_BITS.format(
        zones="", precedence="", works="".join(f"[[part.operations]]\n{each}\n" for each in works), rest=""
    )  # fmt: skip
    for name, shape in {"outline": '{ svg = "ell.svg" }', "in": '{ dxf = "bay.dxf" }'}.items():
        text = re.sub(rf"^{name}\.\w+ = .*$", f"{name} = {shape}", text, flags=re.M)
    assert not alarms(text, folder=tmp_path)


def test_what_a_drawing_says_that_is_not_read_here_is_named(alarms: Alarms, tags: str, tmp_path: Path) -> None:
    (tmp_path / "tag.svg").write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="30mm" viewBox="0 0 60 30">'
        '<defs><path id="p" d="M 0 0 H 60 V 30 H 0 Z"/></defs><use href="#p"/></svg>'
    )
    text = re.sub(r"^outline\.polygon = .*$", 'outline = { svg = "tag.svg" }', tags, flags=re.M)
    found = alarms(text, folder=tmp_path)
    assert found
    assert all("not run" in each and "<use>" in each for each in found)


@pytest.mark.parametrize("lead", [0.0, 2.5])
def test_copies_with_leads_lie_so_much_further_apart(alarms: Alarms, tags: str, lead: float) -> None:
    text = tags.replace("bottom.through = 0.4", f"bottom.through = 0.4\nlead = {lead}").replace(
        "width = 190", "width = 400"
    )
    (order,) = orders_of(job_file_of(text, "job.toml"), [load_machine("grbl-front-left")], effort=0)
    assert isinstance(order.layout, Layout)
    # Two kerfs of 3 mm, and a web of 3 mm beside what the lead takes.
    assert order.layout.spacing == pytest.approx(9.0 + lead)
    assert alarms(text) == []


def test_copies_that_lie_too_near_for_their_leads_are_told(
    alarms: Alarms, tags: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("pathkit.jobs.drawn.widest_lead", lambda file: 0.0)
    text = tags.replace("bottom.through = 0.4", "bottom.through = 0.4\nlead = 2.5").replace(
        "width = 190", "width = 400"
    )
    assert any("copies as asked" in said for said in alarms(text))
