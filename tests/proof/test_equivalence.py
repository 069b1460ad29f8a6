"""Two files, two machines, two orders: the same board or not, and where they differ."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

import pathkit as pk
from pathkit.cli.main import run
from pathkit.cli.showing import DONE, FAILED, WRONG
from pathkit.operations import contour, drill, moved, pocket, rectangle, slot
from pathkit.proof.equivalence import same_board
from pathkit.proof.evidence import Evidence, gather
from pathkit.proof.material.cross_sections import Level
from pathkit.proof.result import Proof
from pathkit.registry import capabilities_of

BIT = pk.Tool("4 mm end mill", 4.0, number=1, centre_cutting=True)
FEEDS = pk.Cutting(feed=1200.0, plunge=400.0, spindle=16000.0)
STOCK = pk.Stock(160, 100, 6, z_zero="bed", underlay=2)
THROUGH = STOCK.underside - 0.3
FRONT, BACK, INCH = (pk.load_machine(n) for n in ("grbl-front-left", "grbl-back-right", "portrait-inch"))


def plate_job() -> pk.Job:
    toolpaths = (
        *pocket("recess", rectangle((45, 35), 30, 20, radius=4), BIT, FEEDS, bottom=5.0, stock=STOCK),
        *drill("hole", [(110, 40)], BIT, FEEDS, bottom=THROUGH),
        *slot("slot", pk.Curve.polyline([(100, 60), (120, 60)]), BIT, FEEDS, bottom=THROUGH, stepdown=3),
        *contour("outline", rectangle((30, 25), 100, 50, radius=6), BIT, FEEDS, bottom=THROUGH, stepdown=3),
    )
    return pk.Job("plate", STOCK, toolpaths)


def improved(job: pk.Job, machine: pk.Machine) -> pk.Job:
    return pk.Pipeline([pk.HoldTabs(), pk.RampEntries(angle=3.0), pk.OrderTravel()]).run(job, machine).job


JOB = improved(plate_job(), FRONT)


def filed(job: pk.Job, machine: pk.Machine, setup: pk.Setup | None = None) -> Evidence:
    posted = pk.post(pk.lower(job, machine, setup), machine, setup)
    return gather(posted.text, None, machine, capabilities_of(machine), job=job, setup=setup, file=machine.name)


def changed(name: str, change: Callable[[pk.Toolpath], pk.Toolpath]) -> pk.Job:
    return JOB.with_toolpaths(tuple(change(t) if t.name.startswith(name) else t for t in JOB.toolpaths))


def held(job: pk.Job, machine: pk.Machine = FRONT, setup: pk.Setup | None = None) -> Proof:
    return same_board(filed(JOB, FRONT), filed(job, machine, setup))


@pytest.mark.parametrize(("machine", "setup"), [(FRONT, None), (BACK, None), (INCH, None), (BACK, pk.Setup(turn=2))])
def test_machine_order_and_turn_do_not_change_the_board(machine: pk.Machine, setup: pk.Setup | None) -> None:
    job = pk.Pipeline([pk.OrderTravel(seed=5, by="part")]).run(JOB, machine, setup=setup).job
    proof = held(job.with_toolpaths(job.toolpaths[:2][::-1] + job.toolpaths[2:]), machine, setup)
    assert proof.ok, [str(f) for f in proof.findings]
    assert float(proof["same board"].figures["heights"]) > 5


def test_ways_down_do_not_change_the_board() -> None:
    straight = JOB.with_toolpaths(tuple(replace(t, entry=pk.Plunge()) for t in JOB.toolpaths))
    assert held(straight).ok


@pytest.mark.parametrize(
    ("name", "change"),
    [
        ("slot", lambda t: replace(t, curve=moved(t.curve, (0.1, 0.0)))),
        ("hole", lambda t: replace(t, curve=moved(t.curve, (0.0, 0.1)))),
        ("recess", lambda t: replace(t, bottom=t.bottom - 0.1)),
        ("outline", lambda t: replace(t, tabs=t.tabs[:1])),
        ("outline", lambda t: replace(t, tabs=tuple(replace(tab, height=tab.height + 0.2) for tab in t.tabs))),
        ("outline", lambda t: replace(t, tabs=tuple(replace(tab, width=tab.width + 0.2) for tab in t.tabs))),
    ],
    ids=["slot moved", "hole moved", "recess deeper", "tab gone", "tab higher", "tab wider"],
)
def test_a_board_that_differs_by_a_tenth_is_refuted(
    name: str, change: Callable[[pk.Toolpath], pk.Toolpath]
) -> None:  # fmt: skip
    proof = held(changed(name, change), INCH)
    assert not proof.ok
    assert proof["same board"].status == "failed"
    assert all(f.line is not None and f.file in (FRONT.name, INCH.name) for f in proof["same board"].findings)


def test_a_missing_cut_is_named_in_the_file_that_has_it() -> None:
    proof = held(JOB.with_toolpaths(tuple(t for t in JOB.toolpaths if not t.name.startswith("hole"))))
    findings = proof["same board"].findings
    assert {f.file for f in findings} == {FRONT.name}
    assert "near x 110" in findings[0].what
    assert "y 40" in findings[0].what


def test_a_file_that_would_be_refused_proves_nothing() -> None:
    whole = filed(JOB, FRONT)
    text = whole.text.decode().replace("G90", "G90 G64", 1)
    spoiled = gather(text, None, FRONT, capabilities_of(FRONT), job=JOB, file="spoiled")
    assert not same_board(whole, spoiled).ok


def test_the_command(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    job_file = tmp_path / "plate.json"
    job_file.write_text(plate_job().to_json())
    words = ["build", str(job_file), "--out", str(tmp_path / "out")]
    assert run([*words, "--machine", FRONT.name, "--machine", INCH.name]) == DONE
    one, two = tmp_path / "out" / FRONT.slug / "plate.nc", tmp_path / "out" / INCH.slug / "plate.ngc"
    assert run(["compare", str(one), str(two)]) == DONE
    assert "cut the same board" in capsys.readouterr().out
    alone = tmp_path / "alone.nc"
    alone.write_bytes(one.read_bytes())
    assert run(["compare", str(alone), str(two)]) == WRONG
    assert "no certificate beside" in capsys.readouterr().err
    known = ["--machine", FRONT.name, "--machine", INCH.name, "--job", str(one.with_name("plate.job.json"))]
    assert run(["compare", str(alone), str(two), *known]) == DONE
    alone.write_text(one.read_text().replace("X110 Y40", "X110.5 Y40"))
    assert run(["compare", str(alone), str(two), *known]) == FAILED
    assert "alone.nc:" in capsys.readouterr().out


def test_heights_at_which_nothing_changes_are_swept_once(monkeypatch: pytest.MonkeyPatch) -> None:
    def straight(job: pk.Job) -> pk.Job:
        return job.with_toolpaths(tuple(replace(t, entry=pk.Plunge(), tabs=()) for t in job.toolpaths))

    other = straight(changed("slot", lambda t: replace(t, curve=moved(t.curve, (0.1, 0.0)))))
    swept = Level.swept
    count: list[int] = []

    def counted(level: Level, lines: Any) -> Any:
        count.append(1)
        return swept(level, lines)

    monkeypatch.setattr(Level, "swept", counted)
    few = same_board(filed(straight(JOB), FRONT), filed(other, FRONT))
    swept_once = len(count)
    assert swept_once < 2 * float(few["same board"].figures["heights"])
    monkeypatch.setattr("pathkit.proof.equivalence._alike", lambda *_: False)
    every = same_board(filed(straight(JOB), FRONT), filed(other, FRONT))
    assert len(count) - swept_once == 2 * float(every["same board"].figures["heights"])
    assert [str(f) for f in few.findings] == [str(f) for f in every.findings]
    assert not few.ok
