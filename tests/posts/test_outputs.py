"""What a machine's profile may demand of its files, from posting to the folder that is handed over."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from functools import lru_cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import pathkit as pk
from pathkit.cli.main import run
from pathkit.cli.showing import DONE, FAILED, WRONG
from pathkit.motion.by_tool import by_tool
from pathkit.operations import contour, drill, rectangle
from pathkit.registry import installed

SMALL = pk.Tool("3 mm drill", 3.0, number=1, kind="drill")
WIDE = pk.Tool("6 mm end mill", 6.0, number=2, centre_cutting=True)
FEEDS = pk.Cutting(feed=1200.0, plunge=400.0, spindle=16000.0)
STOCK = pk.Stock(160, 100, 6, z_zero="bed", underlay=2)
SHIPPED = [p.value for p in installed().provided("dialect") if "pathkit_posts" in p.package]
NAMES = sorted(dialect.name for dialect in SHIPPED if not dialect.capabilities.beam)


@lru_cache(maxsize=1)
def two_bits() -> pk.Job:
    """Made once: nothing can change a job."""
    toolpaths = (
        *drill("hole", [(45, 50), (60, 50), (75, 50.125)], SMALL, FEEDS, bottom=STOCK.underside - 0.3, peck=2.5),
        *contour("outline", rectangle((30, 25), 100, 50, radius=6), WIDE, FEEDS, bottom=STOCK.underside - 0.3,
                 stepdown=3),
        *drill("rest", [(15, 85)], SMALL, FEEDS, bottom=STOCK.underside - 0.3),
    )  # fmt: skip
    job = pk.Job("cable-tidy plates", STOCK, toolpaths)
    return pk.HoldTabs(count=2, width=6.0, height=3.0)(job, pk.load_machine("grbl-front-left")).job


def machine(dialect: str = "grbl", **output: Any) -> pk.Machine:
    return replace(pk.load_machine("grbl-front-left"), dialect=dialect, output=output)


def posted(where: pk.Machine) -> tuple[pk.Posted, pk.Program]:
    program = pk.lower(two_bits(), where)
    return pk.post(program, where), program


# Every override is read back and proved with its twin, on every dialect that comes with pathkit.
OVERRIDES: dict[str, dict[str, Any]] = {
    "nothing": {},
    "no arcs": {"arcs": "none"},
    "two decimals": {"decimals": 2},
    "inches": {"units": "inch"},
    "inches, three decimals": {"units": "inch", "decimals": 3},
    "carriage returns": {"line_end": "crlf"},
    "short names": {"file_names": "8.3"},
    "percent": {"speed": "percent"},
    "255ths": {"speed": "byte"},
    "changes by pause": {"tool_change": "pause"},
    "a file for each bit": {"tool_change": "files"},
    "half turns": {"full_circles": False, "helical": False},
    "cycles written out": {"drill_cycles": False},
}


@pytest.mark.parametrize("name", OVERRIDES)
@pytest.mark.parametrize("dialect", NAMES)
def test_every_override_is_proved_on_every_dialect(dialect: str, name: str) -> None:
    where = machine(dialect, **OVERRIDES[name])
    made, program = posted(where)
    proof = pk.verify(made, program, where, job=two_bits())
    assert proof.ok, [str(f) for f in proof.findings]
    assert proof["same path"].status == "passed"
    twin = pk.air_cut(made, where)
    assert pk.verify_twin(twin, made, where).ok
    names = [file.name for file in (*made.files, *twin.files)]
    assert len(set(names)) == len(names)


@pytest.mark.parametrize("dialect", [name for name in NAMES if name != "csv"])
def test_lines_are_numbered_where_the_controller_counts(dialect: str) -> None:
    where = machine(dialect, line_numbers=True, tool_change="pause")
    made, program = posted(where)
    assert re.search(r"^N2 ", made.text, re.M)
    assert pk.verify(made, program, where).ok


def test_what_cannot_be_numbered_is_refused() -> None:
    with pytest.raises(pk.CapabilityError, match="no word for them"):
        posted(machine("csv", line_numbers=True))


def test_numbers_follow_the_profile() -> None:
    def text_of(**output: Any) -> str:
        return posted(machine(**output, tool_change="pause"))[0].text

    assert not re.search(r"[XYZIJ]-?\d*\.\d{3}", text_of(decimals=2))
    assert "\r\n" in text_of(line_end="crlf")
    assert "S66.7 M3" in text_of(speed="percent")  # 16 000 of 24 000 rpm
    assert "S170 M3" in text_of(speed="byte")


def test_a_speed_in_percent_is_read_as_the_speed() -> None:
    where = machine(speed="percent", tool_change="pause")
    made, program = posted(where)
    reading = pk.read(made.text, where)
    speeds = [event.speed for event in reading.program.event if isinstance(event, pk.Spindle) and event.sense]
    assert speeds == pytest.approx([16000.0] * len(speeds), abs=0.05 * where.spindle.max / 100)
    slower = made.text.replace("S66.7", "S66.5")
    assert not pk.verify(slower, program, where).ok


@pytest.mark.parametrize("title", ["cable-tidy plates", "a", "bench air", "cart-air", "Größe", "x" * 60, "%&"])
@pytest.mark.parametrize("changes", ["pause", "files"])
def test_short_names_fit_every_card_reader(title: str, changes: str) -> None:
    """File names of eight characters and three: letters, digits and hyphens (FAT; common practice)."""
    where = machine("reprap", file_names="8.3", tool_change=changes)
    program = pk.lower(replace(two_bits(), name=title), where)
    made = pk.post(program, where)
    names = [file.name for file in (*made.files, *pk.air_cut(made, where).files)]
    assert all(re.fullmatch(r"[A-Z0-9-]{1,8}\.[A-Z0-9]{1,3}", name) for name in names), names
    assert len(set(names)) == len(names)


# --- a file for each bit ------------------------------------------------------------------------------------------


def test_each_bit_has_a_file_and_the_files_have_the_whole_program() -> None:
    where = machine(tool_change="files")
    made, program = posted(where)
    assert [file.name for file in made.files] == [f"cable-tidy-plates-{k}.nc" for k in (1, 2, 3)]
    with pytest.raises(pk.InputError, match="3 files"):
        _ = made.text
    parts = by_tool(program, where.spindle.spin_up)
    assert sum(len(part) - (k > 0) for k, part in enumerate(parts)) == len(program)
    ends = np.concatenate([part.end[min(k, 1) :] for k, part in enumerate(parts)])
    # Moves straight up and down with which a later file begins, and nothing else, leave X and Y open.
    still = np.isnan(ends[:, :2]).all(axis=1)
    still[0] = False
    assert (program.end[still, :2] == program.origins[still, :2]).all()
    assert still.sum() == 2 * len(parts[1:])
    ends[still, :2] = program.end[still, :2]
    np.testing.assert_array_equal(ends, program.end)
    for file in made.files:
        text = file.data.decode()
        assert "M0" not in text.split()
        assert text.count("M3") == 1
        first = next(line for line in text.splitlines() if re.search(r"[XYZ]-?\d", line))
        assert re.fullmatch(r"G0 Z[\d.]+", first)
    assert made.line_of_row.shape == made.line_bytes.shape == (len(program),)
    moving = (program.end != program.origins).any(axis=1) & ~np.isnan(program.end).all(axis=1)
    assert ((made.line_of_row > 0) == moving).all()
    assert sum(part.line_bytes.sum() for part in made.each_file) == made.line_bytes.sum()


def test_what_was_running_is_said_again_in_the_next_file() -> None:
    """A program that changes the bit while the spindle turns; each file works by itself."""
    where = machine("rs274ngc", tool_change="files")
    program = pk.lower(two_bits(), where)
    events = [
        (int(at), event)
        for at, event in zip(program.event_at, program.event, strict=True)
        if not (isinstance(event, (pk.Spindle, pk.Dwell)) and 1 < at < len(program))
    ]
    running = program.replace(
        event=(pk.Coolant("flood"), *(event for _, event in events)),
        event_at=np.array([0, *(at for at, _ in events)]),
    )
    made = pk.post(running, where)
    for file in made.files:
        text = file.data.decode()
        assert re.search(r"S16000 M3\nG4 P3\n", text)
        assert "M8" in text
        assert text.index("G0 Z") < text.index("M3")
    assert pk.verify(made, running, where).ok


def test_files_in_the_wrong_order_or_missing_are_found() -> None:
    where = machine(tool_change="files")
    made, program = posted(where)
    first, second, third = made.files
    swapped = replace(made, files=(second, first, third))
    proof = pk.verify(swapped, program, where)
    assert not proof.ok
    assert {first.name, second.name} <= {finding.file for finding in proof.findings}
    fewer = replace(made, files=(first, second), drafts=made.drafts[:2])
    with pytest.raises(pk.InputError, match="the program has 3"):
        pk.verify(fewer, program, where)


def test_a_folder_of_several_files(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    job_file, profile, out = tmp_path / "plate.json", tmp_path / "m.toml", tmp_path / "out"
    job_file.write_text(two_bits().to_json(), encoding="utf-8")
    text = Path("posts/pathkit_posts/machines/grbl-front-left.toml")
    plain = (Path(__file__).resolve().parent.parent.parent / text).read_text(encoding="utf-8")
    profile.write_text(plain + '\n[output]\ntool_change = "files"\n', encoding="utf-8")
    words = ["build", str(job_file), "--machine", str(profile), "--out", str(out), "--effort", "0"]
    assert run(words) == DONE
    said = capsys.readouterr().out
    assert "one for each bit" in said
    folder = out / "grbl-front-left"
    cuts = sorted(path.name for path in folder.glob("*.nc") if "-air" not in path.name)
    assert len(cuts) >= 2
    assert all(f"grbl-front-left/{name}" in said for name in cuts)
    for name in cuts:
        report = json.loads((folder / f"{name}.proof.json").read_text())
        assert report["part"] == {"number": int(name[-4]), "of": len(cuts)}
        assert report["file"]["name"] == name
        assert (folder / report["twin"]["name"]).is_file()
    assert run(["check", str(out)]) == DONE
    assert capsys.readouterr().out.count(": ok") == 2 * len(cuts)
    path = folder / cuts[1]
    path.write_text(path.read_text().replace("X3", "X4", 1))
    assert run(["check", str(path)]) == FAILED
    assert cuts[1] in capsys.readouterr().out
    assert run(["check", str(folder / cuts[0])]) == DONE
    capsys.readouterr()
    again = tmp_path / "again.nc"
    assert run(["resume", str(folder / cuts[0]), "--from", "hole 2", "--out", str(again)]) == DONE
    assert "later bits follow" in capsys.readouterr().out
    assert run(["check", str(again)]) == DONE


# --- asked for the impossible -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("output", "words"),
    [
        ({"decimals": 9}, "2 to 6"),
        ({"decimals": True}, "2 to 6"),
        ({"line_end": "\r"}, "lf, crlf"),
        ({"file_names": "long long"}, "long, 8.3"),
        ({"speed": "fast"}, "rpm, percent, byte"),
        ({"tool_change": "word"}, "pause, files"),  # GRBL has no M6
        ({"drill_cycles": "yes"}, "true or false"),
        ({"program_end": "M60"}, "M2, M30"),
        ({"grammar": None}, "a profile may set"),
    ],
)
def test_a_profile_that_asks_for_the_impossible(
    output: dict[str, Any], words: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(pk.ProfileError, match=words):
        posted(machine(**output))


def test_a_word_that_deletes_files_cannot_be_asked_for() -> None:
    """M30 deletes a file on some builds of RepRap firmware (community definitions)."""
    with pytest.raises(pk.ProfileError):
        posted(machine("reprap", program_end="M30"))


@pytest.mark.parametrize(
    ("axes", "words"),
    [
        ('x = "right"\ny = "right"', "the same line"),
        ('x = "left"\ny = "right"', "the same line"),
        ('x = "away"\ny = "toward"', "the same line"),
        ('x = "up"\ny = "away"', "axes.x"),
        ('x = "away"\ny = "right"', "left_handed"),
    ],
)
def test_axes_that_cannot_be(axes: str, words: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    root = Path(__file__).resolve().parent.parent.parent
    plain = (root / "posts/pathkit_posts/machines/grbl-front-left.toml").read_text(encoding="utf-8")
    profile, job = tmp_path / "m.toml", tmp_path / "plate.json"
    profile.write_text(plain.replace('x = "right"\ny = "away"', axes), encoding="utf-8")
    job.write_text(two_bits().to_json(), encoding="utf-8")
    assert run(["build", str(job), "--machine", str(profile), "--out", str(tmp_path / "out")]) == WRONG
    said = capsys.readouterr().err
    assert words in said
    assert "m.toml" in said
