"""What is found in a job stands at the line of the job file that asks for it, whichever copy it was found in."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from pathkit.cli.main import run
from pathkit.errors import PathkitError
from pathkit.findings import Finding
from pathkit.handover.build import build_orders
from pathkit.jobs.order import Order
from pathkit.jobs.planning import orders_of
from pathkit.jobs.reading import job_file_of
from pathkit.registry import load_machine


def only(text: str) -> Order:
    (order,) = orders_of(job_file_of(text, "job.toml"), [load_machine("grbl-front-left")], effort=0)
    return order


def line_of(text: str, what: str) -> int:
    """The line of the [[part.operations]] above these words."""
    lines = text[: text.index(what)].split("\n")
    return max(k for k, line in enumerate(lines, 1) if line == "[[part.operations]]")


def test_paths_into_the_job_become_places_in_its_file(tags: str) -> None:
    text = tags + "\n[layout]\ncopies = 3\n"
    order = only(text)
    found = [
        Finding(check="finished shape", what="recess 1 of the part 'tag 02' is not cut", path="$.parts[1].recesses[0]"),
        Finding(check="finished shape", what="hole 1 of the part 'tag 03' lies outside", path="$.parts[2].holes[0]"),
        Finding(check="gouges", what="cuts 1 mm into the part 'tag 01'", path="$.parts[0]", file="a/b.nc", line=7,
                toolpath="tag 01 outline"),
        Finding(check="job", what="its bottom is odd", path="$.toolpaths[0].bottom"),
        Finding(check="hold_tabs", what="no room", fix="fewer", toolpath="tag 03 outline"),
        Finding(check="other", what="something else", path="$.stock"),
    ]  # fmt: skip
    recess, hole, gouge, bottom, tabs, other = order.placed(found)
    assert (recess.line, recess.path) == (line_of(text, "bottom.from_top = 2"), "$.part[0].operations[0]")
    assert recess.what == "'recess' of the part 'tag 02' is not cut"
    assert (hole.file, hole.line) == ("job.toml", line_of(text, "peck"))
    assert hole.what == "'hole' of the part 'tag 03' lies outside"
    # It stays where it points to in the cut file, and says who asked for it.
    outline = line_of(text, "bottom.above_bed = 1.7\nstepdown")
    assert (gouge.file, gouge.line) == ("a/b.nc", 7)
    assert gouge.what.endswith(f"; job.toml:{outline} asks for it")
    assert bottom.line == line_of(text, "bottom.from_top = 2")
    assert (tabs.line, tabs.fix) == (outline, "fewer; [passes] hold_tabs: width, count, height; or false")
    assert other == found[-1]


ACUTE = """
name = "wedge"
[stock]
thickness = 6
z_zero = "bed"
underlay = 3
[[board]]
width = 300
depth = 110
[tools."4 mm end mill"]
diameter = 4
centre_cutting = true
[cutting.plywood]
feed = 1400
plunge = 400
spindle = 18000
[[part]]
name = "p"
[part.shapes]
outline.rectangle = { corner = [20, 20], width = 100, depth = 70 }
in.polygon = [[40, 40], [90, 40], [42, 60]]
[[part.operations]]
kind = "pocket"
shape = "in"
bottom.from_top = 2
stepdown = 2
[[part.operations]]
kind = "contour"
shape = "outline"
bottom.above_bed = 2.7
stepdown = 3
[layout]
copies = 2
"""


def test_a_corner_too_sharp_for_the_bit_is_told_and_no_fault(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "job.toml").write_text(ACUTE)
    words = ["build", str(tmp_path / "job.toml"), "--machine", "grbl-front-left", "--out", str(tmp_path / "out")]
    assert run(words) == 0
    shown = [line for line in capsys.readouterr().out.split("\n") if "slivers" in line]
    assert len(shown) == 1, "both copies have it, and it is told once"
    assert "job.toml:22, $.part[0].operations[0]" in shown[0]
    assert "'in' of the part 'p 01' keeps slivers in corners too sharp for a bit of 4 mm: 14.51 mm² at (" in shown[0]
    assert shown[0].endswith("(and 1 more)")
    (sheet,) = (tmp_path / "out").glob("*/setup-sheet.html")
    assert "keeps slivers" in sheet.read_text(encoding="utf-8")


FINE = ACUTE.replace(
    "in.polygon = [[40, 40], [90, 40], [42, 60]]",
    'in.path = "' + " ".join(f"M {30 + 8 * k} 40 h 3.{k} v 20 h -3.{k} z" for k in range(8)) + '"',
)


def test_many_shapes_with_one_fault_are_one_line_and_all_in_json(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "job.toml").write_text(FINE)
    words = ["build", str(tmp_path / "job.toml"), "--machine", "grbl-front-left", "--out", str(tmp_path / "out")]
    assert run(words) == 2
    (line,) = [line for line in capsys.readouterr().err.split("\n") if "error" in line]
    assert "job.toml:22, toolpath 'p in 8'" in line, "the finest of them, whose bit is right for all"
    assert "it is subpath 1 about (31.5, 50.0) (tool: the widest bit that fits has 3 mm)" in line
    assert line.endswith("(and 7 more: 'p in 1', 'p in 2', 'p in 3', …)")
    assert run([*words, "--json"]) == 2
    assert len(json.loads(capsys.readouterr().out)["findings"]) == 8


def test_what_a_pass_refuses_stands_at_the_line_of_its_shape(tmp_path: Path) -> None:
    text = ACUTE.replace("[layout]", "[passes]\nhold_tabs = { count = 40 }\n[layout]")
    with pytest.raises(PathkitError) as refused:
        build_orders([only(text)], tmp_path / "out")
    assert {(f.file, f.line) for f in refused.value.findings} == {("job.toml", line_of(text, "bottom.above_bed"))}
    assert all("grbl-front-left: " in f.what and "[passes] hold_tabs" in f.fix for f in refused.value.findings)
