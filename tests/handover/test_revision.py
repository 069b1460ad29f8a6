"""Folders of other machines stay, and files of an older revision are never taken for those of the new one."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from pathlib import Path

import pytest

import pathkit as pk
from pathkit.cli.main import run
from pathkit.cli.showing import DONE, FAILED
from pathkit.errors import InputError
from pathkit.handover.atomic_write import MANIFEST, sha256
from pathkit.handover.build import build as make
from pathkit.jobs.mark import mark_of_file
from pathkit.jobs.reading import job_file_of
from tests.handover.folders import tree

FRONT, INCH = "grbl-front-left", "portrait-inch"
CUT = {FRONT: f"{FRONT}/key-tags.nc", INCH: f"{INCH}/key-tags.ngc"}
Build = Callable[..., int]


@pytest.fixture
def build(tmp_path: Path, tags: str, capsys: pytest.CaptureFixture[str]) -> Build:
    def run_it(*machines: str, text: str = tags, more: tuple[str, ...] = ()) -> int:
        (tmp_path / "job.toml").write_text(text)
        named = [word for machine in machines for word in ("--machine", machine)]
        words = ["build", str(tmp_path / "job.toml"), "--out", str(tmp_path / "out"), "--effort", "0", *named, *more]
        return run(words)

    return run_it


def test_adding_a_machine_keeps_everyone_elses_files(build: Build, tmp_path: Path, tags: str) -> None:
    out = tmp_path / "out"
    assert build(FRONT) == DONE
    before = tree(out)
    # A machine is added to the job file: that does not make it another job.
    wider = f'{tags}\n[[machine]]\nprofile = "{INCH}"\n'
    assert build(INCH, text=wider) == DONE
    here = tree(out)
    assert {name: here[name] for name in before if name.startswith(FRONT)} == {
        name: data for name, data in before.items() if name.startswith(FRONT)
    }
    index = here["index.html"].decode()
    assert re.findall(r'href="([^"]+)"', index) == [
        f"{folder}/{page}" for folder in (FRONT, INCH) for page in ("setup-sheet.html", "preview.html")
    ]
    for name in set(here) - {MANIFEST, "index.html"}:
        assert f"<code>{name}</code>" in index
        assert sha256(here[name]) in index
    assert "another revision" not in index
    assert run(["check", str(out)]) == DONE
    # Built one by one or all at once, the folder is the same.
    assert build(FRONT, text=wider) == DONE
    here = tree(out)
    assert build(FRONT, INCH, text=wider) == DONE
    assert tree(out) == here


def test_removing_is_asked_for(build: Build, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = tmp_path / "out"
    assert build(FRONT) == DONE
    capsys.readouterr()
    assert build(INCH, more=("--json",)) == DONE
    assert json.loads(capsys.readouterr().out)["kept"] == [FRONT]
    assert (out / CUT[FRONT]).is_file()
    assert build(INCH, more=("--drop-others",)) == DONE
    assert f"removed: {CUT[FRONT]}" in capsys.readouterr().out
    assert not (out / FRONT).exists()
    assert (out / CUT[INCH]).is_file()
    assert FRONT not in (out / "index.html").read_text()


def test_a_kept_folder_of_another_revision_is_named_and_offered_nowhere(
    build: Build, tmp_path: Path, tags: str, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "out"
    assert build(FRONT, INCH) == DONE
    assert run(["check", str(out)]) == DONE
    deeper = tags.replace("bottom.from_top = 2", "bottom.from_top = 2.5")
    assert build(INCH, text=deeper) == DONE
    said = capsys.readouterr().out
    assert f"warning: {FRONT}: kept, but made from another revision of the job" in said
    index = (out / "index.html").read_text()
    assert re.findall(r'href="([^"]+)"', index) == [f"{INCH}/setup-sheet.html", f"{INCH}/preview.html"]
    assert f"<code>{FRONT}/" not in index
    row = next(line for line in index.splitlines() if f"<td>{FRONT}<br>" in line)
    assert "another revision of the job" in row
    # Every file in it is whole and could be proved, but the index stands for another revision.
    for named in (out, out / FRONT, out / CUT[FRONT]):
        assert run(["check", str(named)]) == FAILED
        said = capsys.readouterr().out
        assert f"{out / FRONT}: this folder was made from another revision of the job" in said
        assert "build it again" in said
    assert run(["check", str(out / INCH)]) == DONE
    assert build(FRONT, text=deeper) == DONE
    assert run(["check", str(out)]) == DONE
    assert len(re.findall(r"href=", (out / "index.html").read_text())) == 4


def test_one_mark_stands_in_file_sheet_certificate_and_index(build: Build, tmp_path: Path, tags: str) -> None:
    assert build(FRONT, INCH) == DONE
    mark = mark_of_file(job_file_of(tags, "job.toml"))
    assert re.fullmatch("[0-9a-f]{10}", mark)
    here = tree(tmp_path / "out")
    for name, data in here.items():
        if name.endswith((".nc", ".ngc")):
            head = data.decode("ascii").splitlines()[:8]
            assert f"(pathkit: job {mark})" in head
        elif name.endswith(".proof.json"):
            assert json.loads(data)["mark"] == mark
        elif name.endswith(".html"):
            assert f"<code>{mark}</code>" in data.decode()
    assert json.loads(here[MANIFEST])["about"]["mark"] == mark


@pytest.mark.parametrize("swapped", ["sheet", "file", "air", "index"])
def test_check_compares_the_marks(
    build: Build, tmp_path: Path, tags: str, swapped: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """A sheet, a file or an index of another revision, slipped in whole."""
    out = tmp_path / "out"
    assert build(FRONT, text=tags.replace("radius = 6", "radius = 5")) == DONE
    name = {
        "sheet": f"{FRONT}/setup-sheet.html", "file": CUT[FRONT], "air": CUT[FRONT].replace(".nc", "-air.nc"),
        "index": MANIFEST,
    }[swapped]  # fmt: skip
    old = (out / name).read_bytes()
    assert build(FRONT) == DONE
    (out / name).write_bytes(old)
    capsys.readouterr()
    assert run(["check", str(out)]) == FAILED
    assert "another revision of the job" in capsys.readouterr().out


SAME = {
    "comments": lambda text: "# a note\n" + text.replace("thickness = 6", "thickness = 6.0  # mm"),
    "what holds anyway": lambda text: text.replace("[tools", "[tools", 1).replace(
        "diameter = 3\n", 'diameter = 3\nflutes = 2\nkind = "flat"\n'
    ),
    "a bit that is not used": lambda text: text.replace(
        "[cutting.wood]", '[tools."9 mm"]\ndiameter = 9\n[cutting.wood]'
    ).replace('shape = "', 'tool = "3 mm mill"\nshape = "'),
    "a machine": lambda text: text + '\n[[machine]]\nprofile = "grbl-front-left"\nturn = 1\n',
}
OTHER = {
    "a depth": ("from_top = 2", "from_top = 2.01"),
    "a feed": ("feed = 1400", "feed = 1401"),
    "a bit": ("diameter = 3", "diameter = 3.01"),
    "a shape": ("radius = 6", "radius = 6.01"),
    "a board": ("width = 300", "width = 301"),
    "a name": ('name = "key tags"', 'name = "key tag"'),
    "copies": ('[[part]]\nname = "tag"', '[layout]\ncopies = 3\n[[part]]\nname = "tag"'),
    "a pass": ('[[part]]\nname = "tag"', '[passes]\nhold_tabs = false\n[[part]]\nname = "tag"'),
}


def test_the_mark_is_of_what_is_asked_and_of_nothing_else(tags: str, tmp_path: Path) -> None:
    mark = mark_of_file(job_file_of(tags, "job.toml"))
    for change in ("comments", "what holds anyway", "a machine"):
        assert mark_of_file(job_file_of(SAME[change](tags), "other.toml", tmp_path)) == mark, change
    # With a second bit, each operation must name its bit; a bit that is not used does not count.
    named = tags.replace('shape = "', 'tool = "3 mm mill"\nshape = "')
    unused = SAME["a bit that is not used"](tags)
    assert mark_of_file(job_file_of(unused, "j")) == mark_of_file(job_file_of(named, "j"))
    marks = {what: mark_of_file(job_file_of(tags.replace(*change), "job.toml")) for what, change in OTHER.items()}
    assert len({mark, *marks.values()}) == len(OTHER) + 1, marks


def test_a_drawing_counts_by_its_bytes(tags: str, tmp_path: Path) -> None:
    start = tags.index("outline.rectangle")
    drawn = tags.replace(tags[start : tags.index("\n", start)], 'outline.svg = "tag.svg"')
    marks = []
    for width in (60, 60, 61):
        (tmp_path / "tag.svg").write_text(f'<svg xmlns="http://www.w3.org/2000/svg"><rect width="{width}"/></svg>')
        marks.append(mark_of_file(job_file_of(drawn, "job.toml", tmp_path)))
    assert marks[0] == marks[1] != marks[2]
    (tmp_path / "tag.svg").unlink()
    with pytest.raises(InputError, match="not there"):
        mark_of_file(job_file_of(drawn, "job.toml", tmp_path))


def test_a_manifest_from_elsewhere_says_nothing_harmful(build: Build, tmp_path: Path) -> None:
    """Rows of kept folders come from the manifest: text is escaped, links are made here, and a bad mark is left out."""
    out = tmp_path / "out"
    assert build(INCH) == DONE
    data = json.loads((out / MANIFEST).read_bytes())
    row = data["about"]["rows"][INCH]
    row |= {"machine": "<script>", "href": "javascript:alert(1)", "board": {"a": 1}, "time": "x" * 9999}
    for told in (row, "nothing", {"mark": "<b>"}, None):
        data["about"]["rows"] = {INCH: told}
        (out / MANIFEST).write_text(json.dumps(data))
        assert build(FRONT) == DONE
        index = (out / "index.html").read_text()
        assert "<script>" not in index
        assert "javascript" not in index
        assert "x" * 999 not in index
        assert f">{INCH}<" in index
        data = json.loads((out / MANIFEST).read_bytes())


def test_a_rehearsal_into_a_built_folder_removes_nothing(build: Build, tmp_path: Path) -> None:
    out = tmp_path / "out"
    assert build(FRONT) == DONE
    before = tree(out)
    assert run(["rehearse", str(tmp_path / "job.toml"), "--machine", FRONT, "--out", str(out)]) == DONE
    here = tree(out)
    assert here.items() >= {name: data for name, data in before.items() if name != MANIFEST}.items()
    assert len(here) == len(before) + 3, "two files, and their page"
    assert build(INCH) == DONE
    assert tree(out).keys() >= here.keys()


def test_jobs_of_toolpaths_have_one_mark_too(tmp_path: Path) -> None:
    bit, feeds = pk.Tool("4 mm", 4.0, centre_cutting=True), pk.Cutting(feed=1200.0, plunge=400.0, spindle=16000.0)
    stock = pk.Stock(160, 100, 6, z_zero="bed", underlay=2)
    hole = pk.Toolpath("hole", pk.Curve.point((40, 40)), bit, feeds, bottom=5.0, role="drill")
    machines = [pk.load_machine(FRONT), pk.load_machine(INCH)]
    made = make(pk.Job("disc", stock, (hole,)), machines, tmp_path / "out")
    marks = {json.loads(path.read_bytes())["mark"] for path in (tmp_path / "out").rglob("*.proof.json")}
    assert marks == {made.folders[0].order.mark}
    assert run(["check", str(tmp_path / "out")]) == DONE
