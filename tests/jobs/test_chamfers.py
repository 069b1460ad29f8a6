"""Chamfers of job files: how deep, along which lines, in which boards; and what is refused, with what would do."""

from __future__ import annotations

import math
from itertools import product
from pathlib import Path
from typing import Any

import pytest

import pathkit as pk
from pathkit.errors import InputError, Refused
from pathkit.handover.build import build_orders
from pathkit.handover.pages.cuts import chamfers
from pathkit.jobs.planning import orders_of
from pathkit.jobs.reading import job_file_of
from pathkit.tolerances import SAME_PLACE
from tests.how_long import usually

PLATE = """
name = "plates"
[stock]
thickness = 12
STOCK
underlay = 3
[[board]]
width = 340
depth = 240
[tools.mill]
diameter = 6
number = 1
centre_cutting = true
[tools.vee]
kind = "vee"
angle = 90
diameter = 12
number = 2
[cutting.wood]
feed = 2000
plunge = 600
spindle = 16000
[[part]]
name = "plate"
[part.shapes]
outline.rectangle = { width = 100, depth = 70, radius = 8 }
recess.rectangle = { corner = [15, 15], width = 40, depth = 40, radius = 5 }
island.circle = { centre = [35, 35], radius = 6 }
hole.circle = { centre = [80, 20], radius = 5 }
holes.circle = { centre = [80, 50], radius = 4 }
[[part.operations]]
kind = "pocket"
shape = "recess"
islands = ["island"]
tool = "mill"
bottom.from_top = 4
stepdown = 3
[[part.operations]]
kind = "contour"
shape = ["hole", "holes"]
side = "inside"
tool = "mill"
bottom.through = true
stepdown = 4
[[part.operations]]
kind = "contour"
shape = "outline"
tool = "mill"
bottom.through = true
stepdown = 4
EDGES
LAYOUT
"""
ALL = """
[[part.operations]]
kind = "chamfer"
shape = "outline"
width = 1.5
tool = "vee"
stepdown = 1
[[part.operations]]
kind = "chamfer"
shape = "island"
width = 1
tool = "vee"
direction = "conventional"
[[part.operations]]
kind = "chamfer"
shape = ["recess", "hole", "holes"]
side = "inside"
width = "1/32in"
tool = "vee"
"""
BED = 'z_zero = "bed"'


def edge(**keys: Any) -> str:
    """One chamfer; the outline's, 1 mm wide, unless told otherwise. Keys that are None are left out."""
    given = {"shape": '"outline"', "width": "1", "tool": '"vee"'} | keys
    table = "".join(f"{key.replace('_', '.')} = {value}\n" for key, value in given.items() if value is not None)
    return f'[[part.operations]]\nkind = "chamfer"\n{table}'


def text(edges: str = ALL, stock: str = BED, layout: str = "") -> str:
    return PLATE.replace("STOCK", stock).replace("EDGES", edges).replace("LAYOUT", layout)


def orders(job: str, machine: str = "grbl-front-left", **more: Any) -> tuple[Any, ...]:
    return orders_of(job_file_of(job, "job.toml"), [pk.load_machine(machine)], effort=0, **more)


def job_of(job: str, **more: Any) -> pk.Job:
    made: pk.Job = orders(job, **more)[0].job
    return made


def cut(job: pk.Job) -> dict[str, pk.Toolpath]:
    return {path.name: path for path in job.toolpaths if path.role == "chamfer"}


def test_each_edge_by_its_name_side_and_depth() -> None:
    job = job_of(text())
    paths = cut(job)
    assert set(paths) == {f"plate {name} chamfer" for name in ("outline", "island", "recess", "hole", "holes")}
    top = 3.0 + 12.0
    assert paths["plate outline chamfer"].bottom == pytest.approx(top - 1.5, abs=SAME_PLACE)
    assert paths["plate recess chamfer"].bottom == pytest.approx(top - 25.4 / 32.0, abs=SAME_PLACE)
    # Climb keeps what stays to the right of the bit's way; the island is cut the other way round.
    assert paths["plate outline chamfer"].curve.area < 0.0 < paths["plate recess chamfer"].curve.area
    assert paths["plate island chamfer"].curve.area > 0.0
    (part,) = job.parts
    sides = [chamfer.side for chamfer in part.chamfers]
    assert sides == ["outside", "outside", "inside", "inside", "inside"]
    assert all(chamfer.slope == pytest.approx(1.0) and chamfer.top is None for chamfer in part.chamfers)


def test_a_narrow_angle_goes_deeper() -> None:
    job = job_of(text(edge()).replace("angle = 90", "angle = 60"))
    assert cut(job)["plate outline chamfer"].bottom == pytest.approx(15.0 - math.sqrt(3.0), abs=SAME_PLACE)


def test_holes_in_a_drawn_shape_are_chamfered_with_it() -> None:
    ring = '"M 0 0 H 100 V 70 H 0 Z M 40 30 H 60 V 45 H 40 Z"'
    plain = text(edge()).replace(
        "outline.rectangle = { width = 100, depth = 70, radius = 8 }", f"outline.path = {ring}"
    )
    begin = plain.index("[[part.operations]]")
    plain = plain[:begin] + plain[plain.index('[[part.operations]]\nkind = "contour"\nshape = "outline"') :]
    job = job_of(plain)
    assert {name: path.curve.area < 0.0 for name, path in cut(job).items()} == {
        "plate outline chamfer": True, "plate outline chamfer hole": False
    }  # fmt: skip
    assert [chamfer.side for chamfer in job.parts[0].chamfers] == ["inside", "outside"]


def test_the_line_has_the_room_for_pegs_that_its_wall_has() -> None:
    job = job_of(
        text(edge(shape='"recess"', side='"inside"')).replace("depth = 40, radius = 5", "depth = 40").replace(
            'islands = ["island"]', 'islands = ["island"]\nrelief = true'
        )
    )  # fmt: skip
    recess = job.parts[0].recesses[0].curve
    line = cut(job)["plate recess chamfer"].curve
    assert len(line.points) == len(recess.points) > 4
    assert line.bounds == pytest.approx(recess.bounds)


MACHINES = ("grbl-front-left", "grbl-back-right", "portrait-inch")
TOP = 'z_zero = "top"'


@pytest.mark.parametrize(
    ("machine", "stock"),
    usually(zip(MACHINES, (BED, TOP, BED), strict=True), of=product(MACHINES, (BED, TOP))),
)
def test_all_of_it_is_proved(machine: str, stock: str, tmp_path: Path) -> None:
    result = build_orders(orders(text(stock=stock, layout="[layout]\ncopies = 2"), machine), tmp_path)
    assert result.ok, [str(finding) for finding in result.findings if finding.severity == "error"]
    (folder,) = result.folders
    checks = {check.name: check for check in folder.proof.checks}
    assert checks["chamfered edges"].status == "passed"
    assert checks["chamfered edges"].figures["chamfers"] == 10
    files = [name for name in folder.files if name.endswith((".nc", ".ngc")) and "air" not in name]
    if machine.startswith("grbl"):
        # The vee's file comes before that of the bit that cuts the outlines.
        assert len(files) == 2
        assert [b"vee" in folder.files[name] for name in sorted(files)] == [True, False]
    sheet = folder.files[folder.sheet_file].decode()
    assert all(word in sheet for word in ("Chamfers", "chamfered edges"))
    widest = "0.07874 in" if machine == "portrait-inch" else "2 mm"
    assert (f"{widest} where it lies highest" in sheet) == (stock == BED)


NO_OUTLINE = """[[part.operations]]
kind = "contour"
shape = "outline"
tool = "mill"
bottom.through = true
stepdown = 4
"""
CUT_ROUND = 'shape = "outline"\ntool = "mill"'


@pytest.mark.parametrize(
    "change",
    [
        {"LAYOUT": '[layout]\ncopies = 3\norder = "part"'},
        {NO_OUTLINE: ""},
        {CUT_ROUND: f"skin = 0.8\n{CUT_ROUND}"},
        {CUT_ROUND: f"finish = {{ allowance = 0.3 }}\n{CUT_ROUND}"},
        # A recess that runs out of the part: the outline's chamfer crosses it in the air.
        {
            "corner = [15, 15], width = 40, depth = 40, radius = 5": "corner = [-5, 15], width = 40, depth = 40",
            'islands = ["island"]': 'open_edges = ["end"]',
            "hole.circle": "end.line = [[-5, 15], [-5, 55]]\nhole.circle",
        },
    ],
    ids=("part by part", "no outline", "a skin", "a last lap", "an open recess"),
)
def test_whatever_else_is_asked(change: dict[str, str], tmp_path: Path) -> None:
    job = PLATE.replace("STOCK", BED).replace("EDGES", edge() + edge(shape='"hole"', side='"inside"'))
    for old, new in change.items():
        assert old in job, old
        job = job.replace(old, new)
    result = build_orders(orders(job.replace("LAYOUT", "")), tmp_path)
    assert result.ok, [str(finding) for finding in result.findings if finding.severity == "error"]


def test_unlike_parts_nested_turned_and_like_another(tmp_path: Path) -> None:
    nested = text(edge(width="1.5") + edge(**RIM)).replace('name = "plate"', 'name = "plate"\nquantity = 2') + (
        '[[part]]\nname = "other"\nlike = "plate"\nquantity = 1\n[part.shapes]\n'
        "outline.rectangle = { width = 110, depth = 70, radius = 3 }\n"
        '[[part.operations]]\nkind = "chamfer"\nshape = "outline"\nwidth = 2\ntool = "vee"\n'
        "[layout]\nkeep_grain = false\n"
    )
    result = build_orders(orders(nested), tmp_path)
    assert result.ok, [str(finding) for finding in result.findings if finding.severity == "error"]
    job = result.folders[0].job
    widths = {round(15.0 - (path.bottom or 0.0), 3) for path in cut(job).values() if "outline" in path.name}
    assert widths == {1.5, 2.0}


def test_a_recipients_own_bit_and_machine() -> None:
    weak = text(edge(stepdown="0.5")) + '[[machine]]\nprofile = "grbl-front-left"\ncutting = { stepdown = "50%" }\n'
    job = job_of(weak, bits=("mill=5mm",))
    (path,) = cut(job).values()
    assert path.tool.name == "vee"
    assert path.stepdown == pytest.approx(0.25)
    assert not cut(job_of(text(edge()), without=("outline chamfer",)))
    assert not job_of(text(edge()), without=("plate outline chamfer",)).parts[0].chamfers
    with pytest.raises(InputError, match="'vee' is a vee bit"):
        orders(text(edge()), bits=("vee=10mm",))


def test_a_wide_vee_is_no_wide_kerf() -> None:
    """Copies lie by the bit that cuts the outlines, and no nearer than their chamfers are wide."""

    def pitch(width: float, layout: str = "copies = 2") -> float:
        job = job_of(text(edge(width=width), stock='z_zero = "top"', layout=f"[layout]\n{layout}"))
        first, second = (part.outline.bounds for part in job.parts if part.outline is not None)
        return float(max(second[0] - first[2], second[1] - first[3]))

    assert pitch(1.0) == pytest.approx(18.0)
    assert pitch(6.0) == pytest.approx(18.0)
    narrow = text(edge(width=5), layout="[layout]\ncopies = 2").replace("diameter = 6", "diameter = 3")
    job = job_of(narrow.replace('z_zero = "bed"', 'z_zero = "top"'))
    first, second = (part.outline.bounds for part in job.parts if part.outline is not None)
    # Two kerfs of 3 mm, a web of 3 mm, and the 2 mm by which either chamfer is wider than its kerf.
    assert max(second[0] - first[2], second[1] - first[3]) == pytest.approx(9.0 + 4.0)
    with pytest.raises(InputError, match=r"8 mm apart|lie 4 mm apart, and the chamfer of an outline reaches 5 mm"):
        job_of(narrow.replace("copies = 2", "copies = 2\nspacing = 4"))


def test_a_sheet_says_how_wide_they_come_out() -> None:
    front = pk.load_machine("grbl-front-left")
    assert chamfers(job_of(text(edge())), front) == [
        "Chamfers 1 mm wide on a board as thick as the job says: 0.5 mm where its top lies lowest, 1.5 mm where it lies"
        " highest, of all the boards that the job allows."
    ]
    assert chamfers(job_of(text(edge(), stock='z_zero = "top"')), front) == ["Chamfers 1 mm wide."]


RIM = {"shape": '"recess"', "side": '"inside"'}
NEAR = "hole.circle = { centre = [80, 20], radius = 5 }"


@pytest.mark.parametrize(
    ("edges", "what", "change"),
    [
        (edge(tool='"mill"'), r"'mill' is a flat bit, which has no cone .*name a vee bit", {}),
        (edge(width="7"), r"7 mm across, and the cone of 'vee' reaches 6 mm to each side .*width = 6 at most", {}),
        (edge(width="5.8"), r"6\.3 mm on the thickest board, and the cone of 'vee' reaches 6 mm .*width = 5\.5 at", {}),
        (edge(width="0.5"), r"0\.5 mm deep, and the top of the thinnest board lies 0\.5 mm lower.*more than 0\.5", {}),
        (edge(**RIM, width="4.5"), r"cut the floor beside its line at z = 11 mm \(width = 4 at most", {}),
        (edge(width="5"), r"underside may lie at 3 mm \(width = less than 4\.5", {"thickness = 12": "thickness = 4.5"}),
        (edge(width="11.8"), r"in the skin, whose top lies at 3\.4\d* mm \(width = 11\.6 at most", {
            "diameter = 12": "diameter = 26",
            'shape = "outline"\ntool = "mill"': 'shape = "outline"\nskin = 0.4\ntool = "mill"'}),
        (edge(shape='"island"', width="3"), r"what is to stay at .*, 3\.00 mm from its line, on the other .*= 2\.5", {
            "island.circle = { centre = [35, 35], radius = 6 }": "island.circle = { centre = [24, 35], radius = 6 }"}),
        (edge(width="3"), r"beside its line is 2\.00 mm wide at .*and the chamfer 3 mm \(width = 2 at most", {
            NEAR: "hole.circle = { centre = [93, 30], radius = 5 }"}),
        (edge(shape='"island"', width="3.2"), "nothing of the top .*width = less than 2.99", {
            "island.circle = { centre = [35, 35], radius = 6 }": "island.circle = { centre = [35, 35], radius = 3 }"}),
        (edge(shape='"hole"', side='"inside"'), r"within a recess, whose floor lies at z = 11 mm \(top", {
            NEAR: "hole.circle = { centre = [46, 46], radius = 4 }"}),
        (edge(shape='"hole"', side='"inside"', top_from__top="4", width="1.5"), "above its edge the cone is wider", {
            NEAR: "hole.circle = { centre = [48, 48], radius = 4 }"}),
        (edge(bottom_from__top="1"), "a chamfer has no bottom: how deep it goes follows from its width", {}),
        (edge(width=None), r"width is missing \(add it: width = 1, say", {}),
        (edge(side='"on"'), "side", {}),
        (edge(top_above__bed="16"), "its edge lies above the board's top", {}),
        (edge(shape='"far"'), "lies outside the outline of the part", {
            NEAR: NEAR + "\nfar.circle = { centre = [200, 20], radius = 5 }"}),
        (edge(shape='"line"'), "is open by", {NEAR: NEAR + "\nline.line = [[10, 60], [90, 60]]"}),
        (edge() + edge(), "two operations are called 'outline chamfer'", {}),
    ],
)  # fmt: skip
def test_what_is_refused(edges: str, what: str, change: dict[str, str]) -> None:
    job = text(edges.replace("from..top", "from_top").replace("above..bed", "above_bed"))
    for old, new in change.items():
        assert old in job, old
        job = job.replace(old, new)
    with pytest.raises((InputError, Refused), match=what) as caught:
        orders(job)
    assert all(finding.line for finding in caught.value.findings)


def test_an_edge_below_the_top_is_cut_there(tmp_path: Path) -> None:
    """The rim of a deeper recess in the floor of another: its edge lies 4 mm down, in every board."""
    inner = "hole.circle = { centre = [35, 35], radius = 5 }\nisland.circle = { centre = [45, 45], radius = 3 }"
    job = text(edge(shape='"hole"', side='"inside"', top_from__top="4").replace("from..top", "from_top"))
    job = job.replace("island.circle = { centre = [35, 35], radius = 6 }\n", "").replace(NEAR, inner)
    made = job_of(job)
    (chamfer,) = made.parts[0].chamfers
    assert chamfer.top == pytest.approx(11.0)
    assert chamfer.bottom == pytest.approx(10.0)
    result = build_orders(orders(job), tmp_path)
    assert result.ok, [str(finding) for finding in result.findings if finding.severity == "error"]
    assert chamfers(made, pk.load_machine("grbl-front-left")) == ["Chamfers 1 mm wide."]
