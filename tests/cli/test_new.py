"""What `dialect new` and `machine new` write works without a change."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import sysconfig
import venv
import xml.etree.ElementTree as ET
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

import pathkit as pk
from pathkit.cli.main import run
from pathkit.cli.showing import DONE, WRONG
from pathkit.machine.profile import Corner, Sideways, Upright
from pathkit.proof.frame import bench_frame
from pathkit.starters.compass import compass
from pathkit.starters.machine_profile import CORNERS, SIDES, Answers, beside_the_board, profile_text

NAME = "my-router"
FEW = """
from hypothesis import settings
settings.register_profile("few", deadline=None, max_examples=5, derandomize=True)
settings.load_profile("few")
"""


# --- a dialect ----------------------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def project(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("new") / "project"
    assert run(["dialect", "new", NAME, "--out", str(folder)]) == DONE
    return folder


@pytest.fixture(scope="module")
def python(project: Path, tmp_path_factory: pytest.TempPathFactory) -> str:
    """A clean virtual environment in which this pathkit can be imported; the project is installed into it alone."""
    place = tmp_path_factory.mktemp("venv")
    venv.create(place, with_pip=False)
    scripts = "Scripts" if os.name == "nt" else "bin"
    interpreter = str(place / scripts / "python")
    inside = sysconfig.get_path("purelib", vars={"base": str(place), "platbase": str(place)})
    # addsitedir, not just the path, so that an editable pathkit is found as well.
    Path(inside, "beside.pth").write_text(f"import site; site.addsitedir({sysconfig.get_path('purelib')!r})\n")
    pip = [sys.executable, "-m", "pip", "--python", interpreter, "install", "--quiet", "--no-deps"]
    done = subprocess.run(
        [*pip, "--no-build-isolation", str(project)], capture_output=True, text=True, check=False
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    return interpreter


def call(python: str, *words: str, cwd: Path | None = None) -> str:
    environment = {key: value for key, value in os.environ.items() if not key.startswith(("PYTHON", "PYTEST"))}
    done = subprocess.run([python, *words], capture_output=True, text=True, check=False, cwd=cwd, env=environment)
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


def test_it_is_listed_with_its_package(python: str) -> None:
    rows = json.loads(call(python, "-m", "pathkit", "dialects", "--json"))["dialects"]
    assert {row["name"]: row["from"] for row in rows}[NAME] == "my-router-posts (my_router_posts)"
    assert {"grbl", "rs274ngc"} <= {row["name"] for row in rows}


def test_its_own_tests_pass(python: str, project: Path, tmp_path: Path) -> None:
    (tmp_path / "conftest.py").write_text(FEW)
    (tmp_path / "test_mine.py").write_text((project / "test_my_router_posts.py").read_text())
    said = call(python, "-m", "pytest", "-q", "-p", "no:cacheprovider", str(tmp_path), cwd=tmp_path)
    assert " passed" in said
    assert "failed" not in said


def test_it_posts_a_job(python: str, tags: str, tmp_path: Path) -> None:
    (tmp_path / "job.toml").write_text(tags, encoding="utf-8")
    words = ["--name", "bench", "--dialect", NAME, "--zero", "front-right", "--x", "left", "--y", "away"]
    made = ["machine", "new", "--out", "bench.toml", *words, "--z", "down", "--bed", "800,600,90"]
    call(python, "-m", "pathkit", *made, cwd=tmp_path)
    built = ["build", "job.toml", "--machine", "bench.toml", "--out", "out", "--effort", "0", "--json"]
    result = json.loads(call(python, "-m", "pathkit", *built, cwd=tmp_path))
    assert result["ok"] is True
    assert (tmp_path / "out/bench" / result["folders"][0]["cut_file"]).read_text().endswith("M2\n")


@pytest.mark.parametrize("name", ["", "My", "1st", "a_b", "a--b", "-a", "a-", "../x", "grbl", "ü", "x" * 41])
def test_names_that_cannot_be(name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["dialect", "new", "--out", str(tmp_path / "p"), "--", name]) == WRONG
    assert "name" in capsys.readouterr().err
    assert not (tmp_path / "p").exists()


@pytest.mark.parametrize("title", ['"""', "{{ 1 }}", "a\nb", "", "\\", "é"])
def test_titles_that_could_become_code_are_refused(title: str, tmp_path: Path) -> None:
    assert run(["dialect", "new", "mine", "--title", title, "--out", str(tmp_path / "p")]) == WRONG


def test_nothing_is_written_over(project: Path, capsys: pytest.CaptureFixture[str]) -> None:
    before = {path.name: path.read_bytes() for path in project.iterdir() if path.is_file()}
    assert run(["dialect", "new", NAME, "--out", str(project)]) == WRONG
    assert "not empty" in capsys.readouterr().err
    assert {path.name: path.read_bytes() for path in project.iterdir() if path.is_file()} == before


# --- a machine ----------------------------------------------------------------------------------------------------

BENCH = ["--name", "Werkbank & Söhne", "--dialect", "grbl", "--bed", "600,400,80"]
WAYS = ["--zero", "centre", "--x", "right", "--y", "away"]


@pytest.mark.parametrize("corner", CORNERS)
@pytest.mark.parametrize("z", ["up", "down"])
def test_every_machine_that_can_be_is_written_as_it_was_said(corner: Corner, z: Upright, tmp_path: Path) -> None:
    out = tmp_path / "m.toml"
    for x in SIDES:
        for y in SIDES:
            axes = ["--zero", corner, "--x", x, "--y", y, "--z", z]
            if {x, y} <= {"right", "left"} or {x, y} <= {"away", "toward"}:
                assert run(["machine", "new", "--out", str(out), *BENCH, *axes, "--force"]) == WRONG
                continue
            words = ["machine", "new", "--out", str(out), *BENCH, *axes, "--force"]
            left = pk.Axes(x, y, z).left_handed
            if left:
                # A mirrored frame must be asked for on purpose.
                assert run(words) == WRONG
                words.append("--left-handed")
            else:
                assert run([*words, "--left-handed"]) == WRONG
            assert run(words) == DONE
            machine = pk.load_machine(out)
            assert (machine.origin, machine.axes.x, machine.axes.y, machine.axes.z) == (corner, x, y, z)
            assert machine.left_handed is left
            assert machine.name == "Werkbank & Söhne"


def test_questions_are_asked_in_the_operators_words(tmp_path: Path) -> None:
    out = tmp_path / "m.toml"
    said = subprocess.run(
        [sys.executable, "-m", "pathkit", "machine", "new", "--out", str(out)],
        input="grbl\nbench\nfront-left\nsideways\nright\naway\nmm\n300,200,60\nwords\n\n\n-10,200\n",
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert said.returncode == DONE, said.stderr
    assert "Stand at the front" in said.stderr
    assert "Where does the bit go, over the board?" in said.stderr
    assert pk.load_machine(out).axes == pk.Axes("right", "away", "up")
    assert "Where shall it park at the end" in said.stderr
    assert pk.load_machine(out).park == (-30.0, -30.0), "beside the board, whose corner stays free"
    assert pk.load_machine(out).change_place == (-10.0, 200.0)


def answered(out: Path, answers: list[str], *words: str) -> subprocess.CompletedProcess[str]:
    """`machine new`, with an answer for each question."""
    return subprocess.run(
        [sys.executable, "-m", "pathkit", "machine", "new", "--out", str(out), *words],
        input="".join(f"{answer}\n" for answer in answers), capture_output=True, text=True, check=False, timeout=120,
    )  # fmt: skip


def test_a_wrong_answer_is_asked_for_again_and_the_others_are_kept(tmp_path: Path) -> None:
    answers = [
        "grlb", "grbl", "bench", "middle", "front-left", "right", "left", "right", "away", "cm", "inch", "24,16",
        "600,400,80", "24,16,3", "both", "manual", "24000,8000", "fast", "5000,18000", "a", "-1,-1", "9000,1", "none",
    ]  # fmt: skip
    said = answered(tmp_path / "mine", answers)
    assert said.returncode == DONE, said.stderr
    # The ending is added.
    machine = pk.load_machine(tmp_path / "mine.toml")
    assert (machine.name, machine.dialect, machine.origin) == ("bench", "grbl", "front-left")
    assert machine.axes == pk.Axes("right", "away", "up")
    assert (machine.travel.x, machine.travel.z) == pytest.approx((609.6, 76.2))
    assert (machine.spindle.control, machine.spindle.min, machine.spindle.max) == ("manual", 5000.0, 18000.0)
    assert machine.output["units"] == "inch"
    assert machine.park == pytest.approx((-25.4, -25.4))
    assert machine.change is None
    for told in (
        "did you mean 'grbl'", "X runs right and Y runs left: the same line", "give three numbers in inches",
        "X would move 15240 mm", "give the slowest speed first", "give two numbers", "further than any such machine",
    ):  # fmt: skip
        assert told in said.stderr
    assert said.stderr.count("What do you call the machine?") == 1
    assert said.stderr.count("Which corner of the board is zero?") == 2
    assert said.stderr.count("How far does it move along X, Y and Z, in inches?") == 3
    # Nobody gave an option that could be named.
    assert "--bed is" not in said.stderr


def test_a_left_handed_frame_is_asked_about(tmp_path: Path) -> None:
    words = ["--name", "bench", "--dialect", "grbl", "--zero", "front-left", "--bed", "300,200,60"]
    rest = ["mm", "words", "8000,24000", "none", "none"]
    said = answered(tmp_path / "a.toml", ["right", "toward", "n", "right", "away", *rest], *words)
    assert said.returncode == DONE, said.stderr
    assert "make a left-handed frame, which is rare" in said.stderr
    assert not pk.load_machine(tmp_path / "a.toml").left_handed
    said = answered(tmp_path / "b.toml", ["right", "toward", "y", *rest], *words)
    assert said.returncode == DONE, said.stderr
    assert pk.load_machine(tmp_path / "b.toml").left_handed


def test_nothing_is_asked_that_could_not_be_stored(tmp_path: Path) -> None:
    (tmp_path / "m.toml").write_text("mine")
    said = answered(tmp_path / "m", [])
    assert said.returncode == WRONG
    assert "is there already; choose another name with --out, or use --force" in said.stderr
    assert "?" not in said.stderr


@pytest.mark.parametrize(
    ("corner", "x", "y", "sides"),
    [
        ("front-left", "right", "away", (-1, -1)), ("front-left", "left", "away", (1, -1)),
        ("back-right", "left", "toward", (-1, -1)), ("back-right", "right", "away", (1, 1)),
        ("front-right", "away", "left", (-1, -1)), ("back-left", "away", "right", (1, -1)),
    ],
)  # fmt: skip
def test_the_park_that_is_proposed_leaves_the_corner_free(corner: str, x: str, y: str, sides: tuple[int, int]) -> None:
    """By hand: the numbers that lead away from the board at its corner."""
    axes = pk.Axes(x, y, "up")  # type: ignore[arg-type]
    answers = Answers("m", "grbl", corner, x, y, "up", (600.0, 400.0, 80.0), left_handed=axes.left_handed)  # type: ignore[arg-type]
    park = beside_the_board(answers)
    assert park == tuple(30.0 * side for side in sides)
    machine = pk.Machine.from_toml(profile_text(replace(answers, park=park)))
    assert machine.park == park
    # Seen on the bench it is beside the board, by the frame that the proof uses.
    stock = pk.Stock(100.0, 50.0, 6.0)
    x_bench, y_bench, _ = bench_frame(machine, stock).to_bench(np.array([[*park, 0.0]]))[0]
    assert not 0.0 <= x_bench <= 100.0
    assert not 0.0 <= y_bench <= 50.0


def test_a_park_of_ones_own(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = tmp_path / "m.toml"
    words = ["machine", "new", "--out", str(out), *BENCH, "--zero", "centre", "--x", "right", "--y", "away", "--force"]
    assert run([*words, "--park=-2,3.5", "--units", "inch", "--bed", "24,16,3"]) == DONE
    assert pk.load_machine(out).park == pytest.approx((-50.8, 88.9))
    assert run([*words, "--park", "none"]) == DONE
    assert pk.load_machine(out).park is None
    assert run(words) == DONE
    assert pk.load_machine(out).park is None
    assert run([*words, "--park=1,2"]) == DONE
    assert pk.load_machine(out).change_place == (1.0, 2.0)
    assert run([*words, "--park=1,2", "--change=3,4"]) == DONE
    assert pk.load_machine(out).change_place == (3.0, 4.0)
    assert run([*words, "--spindle", "manual", "--rpm", "6000,20000"]) == DONE
    spindle = pk.load_machine(out).spindle
    assert (spindle.control, spindle.min, spindle.max) == ("manual", 6000.0, 20000.0)
    for wrong in ("1", "a,b", "1,2,3", "nan,1", "90000,1"):
        assert run([*words, f"--park={wrong}"]) == WRONG
        assert "--park" in capsys.readouterr().err


def test_the_bed_is_said_in_the_units_of_the_machine(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """24 × 25.4 = 609.6, 48 × 25.4 = 1219.2 and 4 × 25.4 = 101.6 mm."""
    out = tmp_path / "router.toml"
    ways = ["--zero", "front-left", "--x", "right", "--y", "away"]
    said = ["machine", "new", "--out", str(out), "--name", "router", "--dialect", "grbl", *ways, "--units", "inch"]
    assert run([*said, "--bed", "24,48,4"]) == DONE
    travel = pk.load_machine(out).travel
    assert (travel.x, travel.y, travel.z) == pytest.approx((609.6, 1219.2, 101.6))
    # Read as mm these numbers are no bed, and neither are mm read as inches.
    assert run([*said[:-1], "mm", "--bed", "24,48,4", "--force"]) == WRONG
    assert run([*said, "--bed", "600,400,80", "--force"]) == WRONG
    # A bed that might be one is asked about.
    assert "looks like inches" not in capsys.readouterr().out
    assert run([*said[:-1], "mm", "--bed", "24,48,12", "--force"]) == DONE
    assert "24 × 48 × 12 mm, which looks like inches; those would be 609.6 × 1219 × 304.8 mm" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (["--json"], "--dialect is missing"),
        ([*BENCH, "--zero", "middle", "--x", "right", "--y", "away"], "--zero is 'middle'"),
        ([*BENCH, "--zero", "centre", "--x", "up", "--y", "away"], "--x is 'up'"),
        ([*BENCH[:4], "--bed", "600", "--zero", "centre", "--x", "right", "--y", "away"], "--bed"),
        ([*BENCH[:4], "--bed", "600,0,80", "--zero", "centre", "--x", "right", "--y", "away"], "Y would move 0 mm"),
        ([*BENCH[:4], "--bed", "600,nan,8", "--zero", "centre", "--x", "right", "--y", "away"], "Y would move nan mm"),
        (["--dialect", "grlb"], "did you mean 'grbl'"),
        ([*BENCH, *WAYS, "--rpm", "24000,8000"], "--rpm is '24000,8000'; give the slowest speed first"),
        ([*BENCH, *WAYS, "--rpm", "8000"], "as in --rpm 8000,24000"),
        ([*BENCH, *WAYS, "--spindle", "hand"], "--spindle is 'hand'; one of: words, manual"),
        ([*BENCH, *WAYS, "--units", "cm"], "--units is 'cm'; one of: mm, inch"),
        (["--name", "a\nb", *BENCH[2:], "--zero", "centre", "--x", "right", "--y", "away"], "the name"),
    ],
)
def test_what_a_machine_cannot_be(
    words: list[str], message: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["machine", "new", "--out", str(tmp_path / "m.toml"), *words]) == WRONG
    assert message in capsys.readouterr().err
    assert not list(tmp_path.iterdir())


def test_a_profile_that_is_there_stays(tmp_path: Path) -> None:
    out = tmp_path / "m.toml"
    out.write_text("mine")
    words = ["machine", "new", "--out", str(out), *BENCH, "--zero", "centre", "--x", "right", "--y", "away"]
    assert run(words) == WRONG
    assert out.read_text() == "mine"
    assert run(["machine", "new", "--out", str(tmp_path / "m.txt"), *words[4:]]) == WRONG


SVG = "{http://www.w3.org/2000/svg}"
SCREEN = {"right": (1, 0), "left": (-1, 0), "away": (0, -1), "toward": (0, 1)}


@pytest.mark.parametrize("corner", CORNERS)
@pytest.mark.parametrize("x", SIDES)
def test_the_arrows_point_where_the_profile_says(corner: Corner, x: Sideways) -> None:
    """On the screen, right is right; away from somebody who stands below the picture is up."""
    y: Sideways = "away" if x in ("right", "left") else "left"
    axes = pk.Axes(x, y, "up")
    base = pk.load_machine("grbl-front-left")
    machine = pk.Machine(
        "a <b> & c", "grbl", axes, base.travel, base.motion, origin=corner,
        left_handed=axes.left_handed,
    )  # fmt: skip
    text = compass(machine)
    assert "http" not in text.replace("http://www.w3.org/2000/svg", "")
    root = ET.fromstring(text)
    lines = root.findall(f"{SVG}line")
    circle = root.find(f"{SVG}circle")
    board = root.findall(f"{SVG}rect")[2]
    assert circle is not None
    left, top, width, height = (float(board.attrib[key]) for key in ("x", "y", "width", "height"))
    share = (
        {"left": 0.0, "right": 1.0}.get(corner.split("-")[-1], 0.5),
        {"back": 0.0, "front": 1.0}.get(corner.split("-")[0], 0.5),
    )
    zero = float(circle.attrib["cx"]), float(circle.attrib["cy"])
    assert zero == pytest.approx((left + share[0] * width, top + share[1] * height))
    for line, way in zip(lines, (x, y), strict=True):
        place = {key: float(line.attrib[key]) for key in ("x1", "y1", "x2", "y2")}
        assert (place["x1"], place["y1"]) == pytest.approx(zero)
        run_x, run_y = place["x2"] - place["x1"], place["y2"] - place["y1"]
        assert (run_x / 80.0, run_y / 80.0) == pytest.approx(SCREEN[way])
    labels = [element.text for element in root.findall(f"{SVG}text")]
    assert "X+" in labels
    assert "Y+" in labels
    assert "you stand here, at the front" in labels
    assert float(root.findall(f"{SVG}ellipse")[0].attrib["cy"]) > top + height
