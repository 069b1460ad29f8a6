"""What was asked for is kept with the files, and is judged again from the folder alone."""

from __future__ import annotations

import hashlib
import json
import shutil
from pathlib import Path
from typing import Any

import pytest

from pathkit import registry
from pathkit.cli.main import run
from pathkit.handover.build import build, build_orders
from pathkit.handover.recheck import recheck
from pathkit.handover.result import BuildResult
from pathkit.jobs.audit import CHECKS
from pathkit.jobs.audit.report import WHOLE
from pathkit.jobs.bits import Bits
from pathkit.jobs.order import Order
from pathkit.jobs.planning import orders_of
from pathkit.jobs.reading import job_file_of
from pathkit.jobs.sources import OLDER, WITHOUT
from pathkit.proof.result import CheckResult

JOB = """
name = "tag"
tool_table = "sub/our tools.toml"
[stock]
thickness = 6
underlay = 2
z_zero = "bed"
[[board]]
width = 90
depth = 60
[cutting.wood]
feed = 1400
plunge = 400
spindle = 18000
[[part]]
name = "tag"
[part.shapes]
outline.rectangle = { width = 50, depth = 24, radius = 4 }
mark = { svg = "../mark (1).svg" }
[[part.operations]]
kind = "engrave"
shape = "mark"
bottom.from_top = 0.8
[[part.operations]]
kind = "contour"
shape = "outline"
bottom.through = true
stepdown = 3
[layout]
copies = 1
margin = 9
"""
TOOLS = '[tools."3 mm mill"]\ndiameter = 3\nnumber = 1\ncentre_cutting = true\n'
MARK = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="50mm" height="24mm" viewBox="0 0 50 24">'
    '<polyline points="12,8 20,10 30,6" stroke="#000" fill="none"/></svg>'
)
NAMES = ("asked-job.toml", "asked-grbl-front-left.json", "asked-our-tools.toml", "asked-mark-1-.svg")


def written(place: Path) -> Path:
    """Write the job file, and the files that it names, below ``place``."""
    folder = place / "jobs"
    (folder / "sub").mkdir(parents=True)
    (folder / "job.toml").write_text(JOB)
    (folder / "sub/our tools.toml").write_text(TOOLS)
    (place / "mark (1).svg").write_text(MARK)
    return folder / "job.toml"


def built(job: Path, out: Path) -> BuildResult:
    machine = registry.load_machine("grbl-front-left")
    return build_orders(orders_of(job_file_of(job.read_text(), str(job), job.parent), [machine], effort=0), out)


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A built folder whose job file and drawings are gone since."""
    place = tmp_path_factory.mktemp("asked")
    assert built(written(place), place / "out").ok
    shutil.rmtree(place / "jobs")
    (place / "mark (1).svg").unlink()
    return place / "out/grbl-front-left"


@pytest.fixture
def folder(made: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(made, tmp_path / "elsewhere"))


def audit_of(folder: Path) -> dict[str, CheckResult]:
    (cut, _) = recheck(folder)
    return {check.name: check for check in cut.proof.checks if check.name in (*CHECKS, WHOLE)}


def altered(folder: Path, change: Any) -> None:
    """Change something in the certificate."""
    path = folder / "tag.nc.proof.json"
    values = json.loads(path.read_bytes())
    change(values)
    path.write_text(json.dumps(values))


def resealed(values: dict[str, Any], name: str, data: bytes) -> None:
    for sealed in (values["job"], *values["sources"]["files"]):
        if sealed["name"] == name:
            sealed["sha256"] = hashlib.sha256(data).hexdigest()


def test_a_folder_holds_what_was_asked_under_safe_names(made: Path) -> None:
    files = {path.name for path in made.iterdir()}
    certificate = json.loads((made / "tag.nc.proof.json").read_bytes())
    listed = certificate["sources"]["files"]
    assert tuple(each["name"] for each in listed) == NAMES
    assert [each["role"] for each in listed] == ["job", "machine", "tools", "drawing"]
    assert files.issuperset(NAMES)
    assert all(hashlib.sha256((made / e["name"]).read_bytes()).hexdigest() == e["sha256"] for e in listed)
    assert {each["name"]: each["status"] for each in certificate["checks"]} | dict.fromkeys(CHECKS, "passed") == {
        each["name"]: each["status"] for each in certificate["checks"]
    }
    assert (made / "asked-job.toml").read_text() == JOB
    assert (made / "asked-mark-1-.svg").read_text() == MARK


def test_it_is_judged_again_anywhere(folder: Path) -> None:
    assert {name: check.status for name, check in audit_of(folder).items()} == dict.fromkeys(CHECKS, "passed")
    assert run(["check", str(folder)]) == 0


@pytest.mark.parametrize("name", NAMES)
def test_what_is_missing_is_named_and_nothing_is_said(folder: Path, name: str) -> None:
    (folder / name).unlink()
    results = audit_of(folder)
    assert {check.status for check in results.values()} == {"not run"}
    assert name in results[WHOLE].reason


@pytest.mark.parametrize("name", NAMES)
def test_changed_bytes_are_an_error(folder: Path, name: str) -> None:
    (folder / name).write_bytes((folder / name).read_bytes() + b"\n")
    (cut, _) = recheck(folder)
    assert not cut.ok
    assert any("made from" in f.what and name in (f.file or "") for f in cut.findings)
    assert run(["check", str(folder)]) == 1


def test_a_job_that_is_another_is_found_by_the_audit_alone(folder: Path) -> None:
    """Whoever changes the job file and seals it again has a consistent folder, except for what the job file asks."""
    data = (folder / "asked-job.toml").read_bytes().replace(b"feed = 1400", b"feed = 1900")
    (folder / "asked-job.toml").write_bytes(data)
    altered(folder, lambda values: resealed(values, "asked-job.toml", data))
    (cut, _) = recheck(folder)
    assert {check.name for check in cut.proof.checks if check.status == "failed"} == {"feeds as asked"}


@pytest.mark.parametrize(
    "change",
    [
        lambda sources: sources.update(boards=[[2, 1]]),
        lambda sources: sources.update(times=4),
        lambda sources: sources.update(bits=["2mm"]),
        lambda sources: sources.update(tabs=False),
        lambda sources: sources.update(last=True),
    ],
)
def test_what_was_said_besides_counts_too(folder: Path, change: Any) -> None:
    altered(folder, lambda values: change(values["sources"]))
    assert "failed" in {check.status for check in audit_of(folder).values()}


def test_older_folders_are_named_as_such(folder: Path) -> None:
    altered(folder, lambda values: values.pop("sources"))
    (check,) = audit_of(folder).values()
    assert (check.status, check.reason) == ("not run", OLDER)


def test_a_job_made_in_python_has_none(tmp_path: Path, made: Path) -> None:
    import pathkit as pk

    job = pk.Job.from_json((made / "tag.job.json").read_bytes())
    result = build(job, [registry.load_machine("grbl-front-left")], tmp_path / "out")
    assert result.ok
    (check,) = audit_of(tmp_path / "out/grbl-front-left").values()
    assert (check.name, check.status, check.reason) == (WHOLE, "not run", WITHOUT)
    assert WHOLE in result.folders[0].unproved


def test_another_job_is_not_judged_by_this_one(folder: Path) -> None:
    import pathkit as pk

    job = pk.Job.from_json((folder / "tag.job.json").read_bytes())
    (cut, _) = recheck(folder, job=job)
    assert cut.proof[WHOLE].status == "not run"


@pytest.mark.parametrize("name", ["../secret.toml", "/etc/passwd", "a/b", "..", ".hidden"])
def test_nothing_outside_the_folder_is_read(folder: Path, name: str) -> None:
    (folder.parent / "secret.toml").write_text(JOB)
    altered(folder, lambda values: values["sources"]["files"][0].update(name=name))
    assert run(["check", str(folder)]) == 2


def test_a_link_out_of_the_folder_is_not_followed(folder: Path) -> None:
    (folder / "asked-job.toml").rename(folder.parent / "asked-job.toml")
    (folder / "asked-job.toml").symlink_to(folder.parent / "asked-job.toml")
    assert "asked-job.toml" in audit_of(folder)[WHOLE].reason


@pytest.mark.parametrize(
    "data", [b"name = " + b"[" * 20_000, b"\xff\xfe", b"name", b".".join([b"a"] * 20_000) + b" = 1"]
)
def test_a_job_file_that_nobody_wrote_is_an_error(folder: Path, data: bytes) -> None:
    (folder / "asked-job.toml").write_bytes(data)
    altered(folder, lambda values: resealed(values, "asked-job.toml", data))
    assert run(["check", str(folder)]) == 1


def test_another_machine_beside_the_certificate_is_an_error(folder: Path) -> None:
    for data in (b"{}", b"[" * 20_000):
        (folder / NAMES[1]).write_bytes(data)
        altered(folder, lambda values, data=data: resealed(values, NAMES[1], data))
        (cut, _) = recheck(folder)
        assert any("not the machine" in f.what for f in cut.findings)


def test_names_are_never_taken_twice() -> None:
    from pathkit.jobs.sources import Sources, source_files

    machine = registry.load_machine("grbl-front-left")
    called = ["a/x.svg", "b/X.svg", "..\\x.svg", "…", "", "con", "x" * 300 + ".svg", "asked-x.svg"]
    sources = Sources("x.svg", b"", dict.fromkeys(called, b""), dict.fromkeys(called, "drawing"))
    files, listed = source_files(sources, machine)
    assert len(files) == len(listed) == len(called) + 2
    assert len({name.lower() for name in files}) == len(files)
    assert all(name.startswith("asked-") and name.isascii() and len(name) < 120 for name in files)


def test_a_build_that_is_not_as_asked_writes_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from dataclasses import replace

    job = written(tmp_path)
    real = Bits.cutting
    monkeypatch.setattr(Bits, "cutting", lambda *args: replace(real(*args), feed=1500.0))
    words = ["build", str(job), "--machine", "grbl-front-left", "--out", str(tmp_path / "out"), "--effort", "0"]
    assert run(words) == 1
    assert not (tmp_path / "out").exists()


def test_a_resumed_file_says_why_it_is_not_judged(folder: Path) -> None:
    out = folder / "rest.nc"
    assert run(["resume", str(folder / "tag.nc"), "--from", "tag 01 outline", "--out", str(out)]) == 0
    (cut,) = recheck(out)
    assert "begins in the middle" in cut.proof[WHOLE].reason


def test_every_board_of_a_machine_is_counted(tmp_path: Path) -> None:
    job = written(tmp_path)
    job.write_text(JOB.replace("copies = 1", "copies = 3").replace("width = 90", "width = 160"))
    orders: tuple[Order, ...] = orders_of(
        job_file_of(job.read_text(), str(job), job.parent), [registry.load_machine("grbl-front-left")], effort=0
    )
    assert [order.folder for order in orders] == ["grbl-front-left/full-boards", "grbl-front-left/last-board"]
    out = tmp_path / "out"
    assert build_orders(orders, out).ok
    shutil.rmtree(out / "grbl-front-left/full-boards")
    results = recheck(out)[0].proof
    assert results["copies as asked"].status == "passed"
