"""What `job new` writes builds as it is, says what its keys mean, and is never written over another file."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import get_args

import pytest

from pathkit.cli.main import run
from pathkit.cli.showing import DONE, WRONG
from pathkit.feeds.chips import chip_load_of, usual_chip_load
from pathkit.feeds.materials import Material
from pathkit.jobs.demo import demo_machines
from pathkit.jobs.planning import orders_of
from pathkit.jobs.reading import job_file_of, read_job_file
from pathkit.starters.job_file import Wanted, job_text

DRAWING = """<svg xmlns="http://www.w3.org/2000/svg" width="70mm" height="40mm" viewBox="0 0 70 40">
<path d="M5 5 H65 V35 H5 Z"/><circle cx="15" cy="20" r="4"/></svg>"""
SMALL = ["--board", "100x70x6"]


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return tmp_path


def written(here: Path, *words: str) -> Path:
    assert run(["job", "new", "Key tags", *words]) == DONE
    (file,) = here.glob("*.toml")
    return file


def refused(capsys: pytest.CaptureFixture[str], *words: str) -> str:
    assert run(["job", "new", "Key tags", *words]) == WRONG
    return capsys.readouterr().err


def test_it_builds_as_it_is_for_every_machine_of_the_house(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = written(here, *SMALL, "--parts", "1")
    assert file.name == "key-tags.toml"
    capsys.readouterr()
    assert run(["build", str(file), "--out", "out", "--effort", "0", "--json"]) == DONE
    told = json.loads(capsys.readouterr().out)
    assert told["ok"] is True
    assert [folder["machine"] for folder in told["folders"]] == [machine.name for machine in demo_machines()]
    assert "warning" not in json.dumps(told)


@pytest.mark.parametrize(
    "words",
    [
        ["--bit", "8mm", "--board", "160x90x18", "--material", "softwood"],
        ["--bit", "0.5mm", "--board", "82x52x1", "--material", "foam"],
    ],
)
def test_the_widest_and_the_narrowest_bit_build_without_a_warning(
    words: list[str], here: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = written(here, *words, "--parts", "1")
    capsys.readouterr()
    build = ["build", str(file), "--machine", "grbl-front-left", "--out", "out", "--effort", "0", "--quiet"]
    assert run(build) == DONE
    assert capsys.readouterr() == ("", "")


def test_a_drawing_is_the_outline_and_what_is_cut_in_it_is_held_by_tape(here: Path) -> None:
    (here / "tag.svg").write_text(DRAWING)
    file = written(here, *SMALL, "--svg", "tag.svg")
    assert run(["build", str(file), "--machine", "grbl-front-left", "--out", "out", "--effort", "0"]) == DONE
    (order,) = orders_of(read_job_file(file), demo_machines()[:1])
    (zone,) = order.job.stock.zones
    part = order.job.parts[0].outline
    assert part is not None
    assert zone.kind == "tape"
    # By hand: the widest circle in 60 × 30 mm less the hole has a radius of 15 mm, and three quarters are taped.
    assert zone.shape.area == pytest.approx(3.1416 * 11.2**2, rel=0.01)


@pytest.mark.parametrize("material", get_args(Material))
@pytest.mark.parametrize("bit", [0.5, 3.0, 6.35, 8.0])
def test_its_feeds_are_the_usual_ones_for_bit_and_material(material: Material, bit: float, tmp_path: Path) -> None:
    begun = job_text(Wanted("a", (400.0, 300.0, 4.0), bit, 1, material), demo_machines()[:1])
    (tmp_path / "a.toml").write_text(begun.text, encoding="utf-8")
    file = read_job_file(tmp_path / "a.toml")
    (tool,), (cutting,) = file.tools.values(), file.cutting.values()
    low, high = usual_chip_load(tool, material, bit / 2.0)
    # As far as the machine moves: its own feed limit may be less than a wide bit takes.
    assert chip_load_of(cutting.feed, cutting.spindle, tool.flutes) <= high
    assert chip_load_of(cutting.feed, cutting.spindle, tool.flutes) >= low * 0.99 or "The machine feeds" in begun.text
    assert "The manual of your machine and the figures of whoever made your bit come first." in begun.text
    assert f"Usual in {material} for this bit" in begun.text


@pytest.mark.parametrize("drawing", [None, "tag.svg"])
def test_every_key_has_a_comment_above_it(drawing: str | None, tmp_path: Path) -> None:
    (tmp_path / "tag.svg").write_text(DRAWING)
    # A board that fits one of the machines only if it is turned.
    begun = job_text(Wanted("a", (350.0, 550.0, 6.0), drawing=drawing), demo_machines(), tmp_path)
    assert "turn = 1" in begun.text
    lines = begun.text.splitlines()
    seen: set[str] = set()
    for before, line in zip(["", *lines], lines, strict=False):
        if (key := re.match(r"([a-z_]+)[a-z_.]* = ", line)) is None or key[1] in seen:
            continue
        seen.add(key[1])
        explained = before if key[1] != "profile" else lines[lines.index(line) - 2]
        assert explained.startswith("# ") or "    # " in line, line
    assert {"name", "material", "thickness", "feed", "stepdown", "copies", "hold_tabs", "profile"} <= seen
    assert max(map(len, lines)) <= 120
    # What is only proposed is right too.
    file = job_file_of(begun.text.replace("# cut_length", "cut_length"), "a.toml", tmp_path)
    assert next(iter(file.tools.values())).cut_length == 9.0
    assert orders_of(file, demo_machines()[:1])


def test_a_board_that_fits_no_bed_is_told(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = written(here, "--board", "2500x1250x18")
    assert "No machine here has a bed for this board" in capsys.readouterr().out
    assert read_job_file(file).form.machine == []


def test_a_file_that_is_there_stays_unless_forced(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (here / "mine.toml").write_text("mine")
    assert "--force" in refused(capsys, "--out", "mine")
    assert (here / "mine.toml").read_text() == "mine"
    assert run(["job", "new", "Key tags", "--out", "mine", "--force", "--json"]) == DONE
    told = json.loads(capsys.readouterr().out)
    assert told["out"] == "mine.toml"
    assert told["machines"] == [machine.name for machine in demo_machines()]
    assert read_job_file(here / "mine.toml").form.name == "Key tags"


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--board", "300x200"], "--board is '300x200'; give width, depth and thickness"),
        (["--board", "6x300x200"], "the thickness comes last: --board 300x200x6"),
        (["--board", "9000x200x6"], "9000 mm is not between"),
        (["--board", "nanx200x6"], "as in --board 300x200x6"),
        (["--board", "50x40x6"], "as in --board 80x50x6"),
        (["--bit", "3cm"], "as in --bit 3mm"),
        (["--bit", "0"], "--bit is '0'"),
        (["--parts", "0"], "as in --parts 20"),
        (["--parts", "many"], "as in --parts 20"),
        (["--material", "pvc"], "hydrogen chloride"),
        (["--material", "oak"], "--material is 'oak'; one of: softwood, hardwood"),
        (["--svg", "gone.svg"], "--svg is 'gone.svg', which is not a file"),
        (["--svg", "../beside.svg"], "put the job file beside it: --out ../beside.toml"),
        (["--svg", "open.svg"], "--svg is 'open.svg': shape 'outline' is open by 30 mm"),
        (["--out", "a.txt"], "as in --out a.toml"),
    ],
)
def test_what_is_wrong_is_named_with_something_that_works(
    words: list[str], said: str, here: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    (here / "beside.svg").write_text(DRAWING)
    (here / "in").mkdir()
    monkeypatch.chdir(here / "in")
    Path("open.svg").write_text(DRAWING.replace('H5 Z"', 'H5" fill="none" stroke="black"'))
    assert said in refused(capsys, *words)
    assert not list(here.rglob("*.toml"))


@pytest.mark.parametrize("name", ["", "a\nb", "x" * 81])
def test_names_that_cannot_be(name: str, here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["job", "new", "--", name]) == WRONG
    assert "NAME is" in capsys.readouterr().err
    assert not list(here.iterdir())


def test_a_name_cannot_become_another_key(here: Path) -> None:
    assert run(["job", "new", 'a"\\ # ]', "--out", "a"]) == DONE
    assert read_job_file(here / "a.toml").form.name == 'a"\\ # ]'
