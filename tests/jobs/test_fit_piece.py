"""The test piece for a fit: made from a job, cut by its bit and feeds, and of the sizes that it promises."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path
from typing import Any

import pytest

import pathkit as pk
from pathkit.cli.main import run
from pathkit.errors import InputError
from pathkit.jobs.demo import demo_text
from pathkit.jobs.fit_piece import FITS, fit_piece
from pathkit.jobs.handout import of_piece, piece_order
from pathkit.jobs.reading import job_file_of
from tests.jobs.made import MACHINE, audit_of, finished, proof_of, said
from tests.jobs.test_fit import JOB
from tests.swept import swept

BARE = [line for line in JOB.splitlines() if "vee" not in line and "tools.drill" not in line]
ONE = "\n".join(BARE).replace('tool = "drill"', 'tool = "mill"')
MARKED = "\n".join(line for line in JOB.splitlines() if "kind =" not in line or "engrave" in line or "tools." in line)


def piece_of(text: str, *bits: str) -> Any:
    return fit_piece(job_file_of(text, "job.toml"), bits)


def test_it_is_cut_from_the_same_board_with_the_same_bit_and_feeds() -> None:
    form, job = piece_of(JOB).file.form, job_file_of(JOB, "job.toml").form
    assert form.stock == job.stock
    assert form.fit == 0.0
    assert form.tools == {"mill": job.tools["mill"]}
    assert form.cutting == job.cutting
    (board,) = form.board
    assert (board.width, board.depth) == piece_of(JOB).board


@pytest.mark.parametrize("turn", range(4))
def test_each_place_has_the_size_of_its_fit(turn: int) -> None:
    file = job_file_of(JOB, "job.toml")
    order = piece_order(file, of_piece(MACHINE), pk.Setup(turn=turn))
    job = finished(order)
    assert audit_of(order, job) == []
    piece = piece_of(JOB)
    wide: dict[str, list[tuple[float, float]]] = {"recess": [], "slot": []}
    for path in job.toolpaths:
        kind, label = path.name.split()[2:4]
        if kind in wide and path.role == "finish":
            left, front, right, back = swept([path]).bounds
            wide[kind].append(((left + right) / 2.0, right - left))
            assert label == "0" or float(label) in FITS
            assert (kind == "slot") == (front > piece.board[1] / 3.0)
            assert back < piece.board[1]
    for kind, middle in (("recess", piece.recess), ("slot", piece.slot)):
        # In steps of 0.1 mm, tight at the left: that is what the page and the signs say.
        sizes = [size for _, size in sorted(wide[kind])]
        assert sizes == pytest.approx([middle + fit for fit in FITS], abs=2e-3)


def test_it_is_proved() -> None:
    order = piece_order(job_file_of(JOB, "job.toml"), of_piece(MACHINE))
    proof = proof_of(finished(order))
    assert proof.ok
    assert said(proof) == []
    assert order.is_test_piece
    assert order.mark == piece_order(job_file_of(JOB, "job.toml"), MACHINE).mark


@pytest.mark.parametrize("bit", ["2mm", "1/4in"])
def test_it_grows_with_a_recipients_bit(bit: str) -> None:
    order = piece_order(job_file_of(ONE, "job.toml"), MACHINE, None, [bit])
    assert audit_of(order, finished(order)) == []


@pytest.mark.parametrize(
    ("text", "why"),
    [
        (JOB.replace("thickness = 6,", "thickness = 1.5, thickness_tolerance = 0.5,"), "too thin"),
        (MARKED, "no recess"),
    ],
)  # fmt: skip
def test_why_there_is_none(text: str, why: str) -> None:
    with pytest.raises(InputError, match=why):
        piece_of(text)


def test_names_of_a_job_file_stay_texts() -> None:
    odd = 'a "b\\\\" = 1\u2028]'
    text = demo_text().replace('"4 mm end mill"', json.dumps(odd, ensure_ascii=False))
    file = job_file_of(text, "cable-tidy.toml")
    assert set(tomllib.loads(fit_piece(file).file.text)["tools"]) == {odd}


def test_the_command_writes_a_proved_folder_and_says_what_to_do(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "job.toml").write_text(JOB, encoding="utf-8")
    asked = ["rehearse", str(tmp_path / "job.toml"), "--machine", "grbl-back-right", "--out", str(tmp_path / "out")]
    assert run([*asked, "--test-piece"]) == 0
    told = capsys.readouterr().out
    assert "test-grbl-back-right/joint-test-piece.nc, proved: yes" in told
    assert "Push in what is to go in" in told
    assert run(["check", str(tmp_path / "out")]) == 0
    sheet = (tmp_path / "out" / "test-grbl-back-right" / "setup-sheet.html").read_text(encoding="utf-8")
    assert "fit from -0.2 mm at the − to 0.2 mm at the +" in sheet
    assert "no parts are cut free of it" in sheet
