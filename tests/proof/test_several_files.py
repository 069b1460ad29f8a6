"""A file for each bit: all files are read and joined, so what is lost between them or cut twice is found."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings

import pathkit as pk
from pathkit import posting
from pathkit.cli.main import run
from pathkit.errors import InputError, PathkitError
from pathkit.handover.build import build
from pathkit.model.job import Feature
from pathkit.motion.by_tool import by_tool
from pathkit.operations import contour, drill, pocket, rectangle
from pathkit.proof.shares import shares_of
from pathkit.testing import strategies

MACHINE = replace(pk.load_machine("grbl-front-left"), output={"tool_change": "files"})
MILL = pk.Tool("4 mm end mill", 4.0, number=1, centre_cutting=True)
FINE = pk.Tool("2 mm drill", 2.0, number=2, kind="drill")
FEEDS = pk.Cutting(feed=1000.0, plunge=300.0, spindle=16000.0)
STOCK = pk.Stock(120.0, 80.0, 6.0, z_zero="bed", underlay=3.0)
EDGE = rectangle((30.0, 20.0), 60.0, 40.0, radius=6.0)
RECESS = rectangle((40.0, 30.0), 20.0, 20.0, radius=4.0)
HOLES = ((70.0, 30.0), (80.0, 30.0), (80.0, 50.0))

Parts = tuple[pk.Program, ...]


@pytest.fixture(scope="module")
def job() -> pk.Job:
    paths = (
        *pocket("recess", RECESS, MILL, FEEDS, bottom=7.0, stepdown=2.0, stock=STOCK),
        *drill("hole", HOLES, FINE, FEEDS, bottom=STOCK.through()),
        *(
            replace(path, tabs=(pk.Tab(30.0, 6.0, 3.0), pk.Tab(120.0, 6.0, 3.0)))
            for path in contour("outline", EDGE, MILL, FEEDS, bottom=STOCK.through(), stepdown=3.0)
        ),
    )
    round_ = tuple(Feature(pk.Curve.circle(place, 1.0)) for place in HOLES)
    part = pk.Part("plate", EDGE, recesses=(Feature(RECESS, 7.0),), holes=round_)
    return pk.Job("plates", STOCK, paths, parts=(part,))


def proved(job: pk.Job, change: Callable[[pk.Posted], pk.Posted] = lambda posted: posted) -> pk.Proof:
    program = pk.lower(job, MACHINE)
    return pk.verify(change(pk.post(program, MACHINE)), program, MACHINE, job=job)


def failed(proof: pk.Proof) -> set[str]:
    return {check.name for check in proof.checks if check.status == "failed"}


def test_three_files_make_one_board(job: pk.Job) -> None:
    proof = proved(job)
    assert not failed(proof)
    assert proof.proved
    assert proof["finished shape"].figures["shapes"] == 5
    assert proof["every cut"].status == "passed"


def test_a_hole_that_is_lost_between_the_files(job: pk.Job, monkeypatch: pytest.MonkeyPatch) -> None:
    """The fault: the last hole is dropped when the program is split for writing; each file by itself is as posted."""

    def lossy(program: pk.Program, spin_up: float) -> Parts:
        first, second, third = by_tool(program, spin_up)
        name = second.names.index("hole 3")
        keep = second.toolpath != name
        columns = ("kind", "end", "centre", "sweep", "feed", "toolpath", "level", "line")
        at = np.concatenate([[0], np.cumsum(keep)])[second.event_at]
        fewer = second.replace(event_at=at, cycles=(), **{c: getattr(second, c)[keep] for c in columns})
        return first, fewer, third

    monkeypatch.setattr(posting, "by_tool", lossy)
    proof = proved(job)
    assert {"same path", "finished shape", "every cut"} <= failed(proof)
    assert any(finding.file == "plates-2.nc" for finding in proof.findings)


@pytest.mark.parametrize(
    ("order", "wrong"),
    [((0, 1, 0), {"same path", "every cut", "finished shape"}), ((2, 1, 0), {"same path", "safe order"})],
    ids=["the first file once more instead of the last", "the outline before the recess"],
)
def test_a_file_in_anothers_place(job: pk.Job, order: tuple[int, ...], wrong: set[str]) -> None:
    def shuffled(posted: pk.Posted) -> pk.Posted:
        files = tuple(posted.files[k] for k in order)
        drafts = tuple(posted.drafts[k] for k in order)
        return replace(posted, files=files, drafts=drafts)

    assert wrong <= failed(proved(job, shuffled))


def test_a_row_in_two_files(job: pk.Job) -> None:
    """The last cut of the first file also stands at the end of the second."""

    def doubled(posted: pk.Posted) -> pk.Posted:
        first, second, third = posted.files
        lines = second.data.split(b"\n")
        end = lines.index(b"M5")
        more = [b"G0 X50 Y40", b"G0 Z10", b"G1 Z7 F300", b"G0 Z17"]
        wrong = replace(second, data=b"\n".join([*lines[:end], *more, *lines[end:]]))
        return replace(posted, files=(first, wrong, third))

    found = proved(job, doubled)
    assert "same path" in failed(found)
    assert not found.proved


def test_findings_of_the_whole_name_the_file_and_its_line(job: pk.Job) -> None:
    program = pk.lower(job, MACHINE)
    deeper = tuple(replace(p, bottom=6.0, levels=None) if p.name == "recess wall" else p for p in job.toolpaths)
    posted = pk.post(pk.lower(job.with_toolpaths(deeper), MACHINE), MACHINE)
    (finding, *_) = pk.verify(posted, program, MACHINE, job=job)["gouges"].findings
    assert finding.file == "plates-1.nc"
    assert finding.line is not None
    assert b"Z6" in b"\n".join(posted.files[0].data.split(b"\n")[finding.line - 5 : finding.line + 1])


@given(strategies.jobs(least=2, repeats=False))
@settings(max_examples=15)
def test_every_row_is_in_one_share_and_the_files_come_to_the_program(job: pk.Job) -> None:
    try:
        program = pk.lower(job, MACHINE)
        posted = pk.post(program, MACHINE)
    except PathkitError:
        return
    shares = shares_of(program, MACHINE.spindle.spin_up)
    assert [share.first for share in shares[1:]] == [share.last for share in shares[:-1]]
    assert (shares[0].first, shares[-1].last) == (0, len(program))
    assert len(shares) == len(posted.files)
    # The proof splits the program as it was split for writing, by other means.
    assert [share.program for share in shares] == list(by_tool(program, MACHINE.spindle.spin_up))
    if len(shares) > 1:
        assert "same path" not in failed(pk.verify(posted, program, MACHINE, job=job))


def test_a_file_of_several_is_proved_with_those_beside_it(
    job: pk.Job, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    made = build(job, [MACHINE], tmp_path / "out")
    assert made.ok
    folder = tmp_path / "out" / "grbl-front-left"

    def checked(name: str) -> tuple[int, str]:
        return run(["check", str(folder / name)]), capsys.readouterr().out

    # It was built from toolpaths, not from a job file.
    assert "proved: all but job as asked\n" in checked("plates-1.nc")[1]
    (folder / "plates-3.nc").rename(folder / "away")
    code, said = checked("plates-1.nc")
    assert code == 0
    assert "proved: all but bit changes, rapids clear the wood, plunges" in said
    assert "finished shape: not run (the other files of the job are not at hand)" in said
    (folder / "away").rename(folder / "plates-3.nc")
    with (folder / "plates-3.nc").open("ab") as file:
        file.write(b"(more)\n")
    assert "finished shape: not run" in checked("plates-1.nc")[1]


def test_another_number_of_files_than_bits_is_refused(job: pk.Job) -> None:
    def fewer(posted: pk.Posted) -> pk.Posted:
        return replace(posted, files=posted.files[:2], drafts=posted.drafts[:2])

    with pytest.raises(InputError, match="2 files, and for this machine the program has 3"):
        proved(job, fewer)


def test_proved_is_not_said_of_what_was_not_run(job: pk.Job) -> None:
    bare: Any = replace(job, parts=())
    proof = proved(bare)
    assert proof.ok
    assert not proof.proved
    assert {"gouges", "finished shape"} <= set(proof.unproved)
