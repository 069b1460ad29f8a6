"""A job and some machines become folders: proved before they are written, and the same bytes every time."""

import dataclasses
import hashlib
import json
import re
from pathlib import Path
from typing import Any

import pytest

from pathkit import api
from pathkit.errors import InputError, Refused, UnknownName
from pathkit.handover.atomic_write import MANIFEST
from pathkit.handover.build import build, build_orders
from pathkit.handover.pages.cautions import cautions
from pathkit.handover.result import BuildResult
from pathkit.jobs.demo import demo_machines, demo_passes
from pathkit.jobs.planning import orders_of
from pathkit.jobs.reading import job_file_of
from pathkit.machine.profile import Machine
from pathkit.model import codec
from pathkit.model.job import Job, Setup
from pathkit.posting import File, Posted
from pathkit.registry import load_machine
from tests.handover.folders import tree
from tests.small_jobs import DISC

NAMES = ("grbl-back-right", "grbl-front-left", "portrait-inch")


@pytest.fixture(scope="module")
def machines() -> list[Machine]:
    return list(demo_machines())


def test_a_job_for_three_machines_leaves_three_proved_folders(plate_built: BuildResult) -> None:
    assert plate_built.ok, plate_built.findings
    assert sorted(p.name for p in plate_built.out.iterdir()) == sorted([*NAMES, MANIFEST, "index.html"])
    for folder in plate_built.folders:
        report = json.loads((plate_built.out / folder.name / folder.report_file).read_bytes())
        assert report["ok"] is True
        assert report["cautions"] == list(cautions())
        assert set(folder.files) == {p.name for p in (plate_built.out / folder.name).iterdir()}
        figures = report["figures"]
        assert 0 < figures["travel_mm"]["after"] < figures["travel_mm"]["before"]
        assert figures["run_time_s"]["after"] > 60
        assert 0 <= report["deviation_mm"] < 0.01
        assert len(folder.job.toolpaths) == 8
        assert codec.loads(folder.files[folder.job_file]) == folder.job


def test_the_manifest_has_the_digest_of_every_file(plate_built: BuildResult) -> None:
    listed = json.loads((plate_built.out / MANIFEST).read_bytes())["files"]
    here = {name: hashlib.sha256(data).hexdigest() for name, data in tree(plate_built.out).items() if name != MANIFEST}
    assert listed == here


def test_no_text_knows_the_hour_or_the_place(plate_built: BuildResult) -> None:
    for data in tree(plate_built.out).values():
        assert str(plate_built.out).encode() not in data
        assert b"seconds_taken" not in data


def test_the_same_input_gives_the_same_bytes(machines: list[Machine], one_plate: Job, tmp_path: Path) -> None:
    first = build(one_plate, machines, tmp_path / "a", passes=demo_passes())
    build(one_plate, machines[::-1], tmp_path / "b", passes=demo_passes())
    assert tree(tmp_path / "a") == tree(tmp_path / "b")
    again = build(one_plate, machines, tmp_path / "a", passes=demo_passes())
    assert again.written is not None
    assert first.written is not None
    assert (again.written.new, again.written.changed, again.written.removed) == ((), (), ())
    assert again.written.unchanged == first.written.new
    # This job has been through the passes and needs none.
    build(first.folders[1].job, [machines[1]], tmp_path / "c")
    name = f"{first.folders[1].name}/{first.folders[1].cut_file}"
    # Only its mark shows that it was made another way.
    without = [re.sub(rb"job [0-9a-f]{10}", b"", tree(tmp_path / each)[name]) for each in "ac"]
    assert without[0] == without[1]


def test_a_file_that_is_not_proved_is_never_written(
    machines: list[Machine], one_plate: Job, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    post = api.post

    def wrong(*args: Any, **kwargs: Any) -> Posted:
        posted = post(*args, **kwargs)
        lines = posted.files[0].data.splitlines(keepends=True)
        k = next(k for k, line in enumerate(lines) if b"G1" in line and b"X" in line)
        lines[k] = lines[k].replace(b"X", b"X1", 1)
        return dataclasses.replace(posted, files=(File(posted.files[0].name, b"".join(lines)),))

    monkeypatch.setattr(api, "post", wrong)
    result = build(one_plate, machines[1:2], tmp_path / "out", passes=demo_passes())
    assert not result.ok
    assert result.written is None
    assert not (tmp_path / "out").exists()
    assert result.findings[0].severity == "error"
    assert result.findings[0].line is not None


def test_a_board_larger_than_the_bed_is_refused_for_every_machine_at_once(
    machines: list[Machine], one_plate: Job, tmp_path: Path
) -> None:
    wide = dataclasses.replace(one_plate, stock=dataclasses.replace(one_plate.stock, width=900.0))
    with pytest.raises(Refused, match="900 mm along") as raised:
        build(wide, machines, tmp_path / "out", passes=demo_passes())
    assert len(raised.value.findings) == 3
    assert not (tmp_path / "out").exists()
    long = dataclasses.replace(one_plate, stock=dataclasses.replace(one_plate.stock, width=390.0, depth=550.0))
    with pytest.raises(Refused, match="550 mm along Y"):
        build(long, [machines[1]], tmp_path / "out", passes=demo_passes())
    assert build(long, [machines[1]], tmp_path / "out", passes=demo_passes(), setups=Setup(turn=1)).ok


def test_machines_and_setups_that_cannot_be_told_apart(machines: list[Machine], one_plate: Job, tmp_path: Path) -> None:
    with pytest.raises(InputError, match="no machine"):
        build(one_plate, [], tmp_path / "out")
    with pytest.raises(InputError, match="two machines have the name"):
        build(one_plate, [machines[0], machines[0]], tmp_path / "out")
    alike = dataclasses.replace(machines[0], name="GRBL back right!")
    with pytest.raises(InputError, match="two machines have the folder"):
        build(one_plate, [machines[0], alike], tmp_path / "out")
    with pytest.raises(UnknownName, match="no machine of this build"):
        build(one_plate, machines, tmp_path / "out", setups={"the big one": Setup()})


def test_stopping_leaves_nothing(machines: list[Machine], one_plate: Job, tmp_path: Path) -> None:
    told: list[tuple[int, int]] = []

    def watch(done: int, total: int, message: str) -> bool:
        told.append((done, total))
        return done < 3

    with pytest.raises(Refused, match="nothing was written"):
        build(one_plate, machines, tmp_path / "out", passes=demo_passes(), progress=watch)
    assert told == [(0, 15), (1, 15), (2, 15), (3, 15)]
    assert not (tmp_path / "out").exists()


def test_foreign_files_are_found_before_the_work(machines: list[Machine], one_plate: Job, tmp_path: Path) -> None:
    (tmp_path / "thesis.txt").write_text("precious")
    with pytest.raises(InputError, match="was not written by a build"):
        build(one_plate, machines[:1], tmp_path, passes=demo_passes())
    assert build(one_plate, machines[:1], tmp_path, passes=demo_passes(), force=True).ok
    assert (tmp_path / "thesis.txt").read_text() == "precious"


def test_a_job_that_cannot_be_cut_names_the_cut_and_the_machine(
    machines: list[Machine], one_plate: Job, tmp_path: Path
) -> None:
    blunt = dataclasses.replace(one_plate.toolpaths[0].tool, centre_cutting=False)
    paths = tuple(dataclasses.replace(path, tool=blunt) for path in one_plate.toolpaths)
    with pytest.raises(Refused) as raised:
        build(one_plate.with_toolpaths(paths), machines[:1], tmp_path / "out", passes=demo_passes())
    assert {f.toolpath for f in raised.value.findings} == {f"plate 01 hole {k}" for k in (1, 2, 3, 4)}
    assert {f.file for f in raised.value.findings} == {"grbl-back-right"}
    assert not (tmp_path / "out").exists()


def test_a_cut_over_the_boards_edge_is_told_at_its_line(tmp_path: Path) -> None:
    """A part that is flush with two edges of its board: the 3 mm bit goes round it in the air there."""
    text = DISC.replace("shapes.hole.points = [[40, 40]]", "shapes.edge.rectangle = { width = 60, depth = 30 }")
    text = text.replace('kind = "drill", shape = "hole", bottom.from_top = 3',
                        'kind = "contour", shape = "edge", bottom.through = true, stepdown = 2')  # fmt: skip
    made = build_orders(orders_of(job_file_of(text, "disc.toml"), [load_machine("grbl-front-left")]), tmp_path / "o")
    assert made.ok
    (found,) = (finding for finding in made.findings if finding.check == "board edges")
    assert (found.severity, found.file, found.line) == ("warning", "disc.toml", 10)
    assert "'disc' runs over the board's edge: 3.00 mm at the left, 3.00 mm at the front" in found.what
