"""The preview: what it carries, and what makes one."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

import pathkit as pk
from pathkit.cli.main import run
from pathkit.handover.build import build_orders
from pathkit.handover.pages.preview import PER_MM, PER_SECOND, Scene, Watched, preview_page
from pathkit.handover.result import BuildResult
from pathkit.handover.revision import PREVIEW
from pathkit.jobs.planning import orders_of
from pathkit.jobs.reading import job_file_of
from pathkit.machine.orientation import to_bench
from pathkit.model.job import Setup
from pathkit.registry import load_machine
from tests.handover.previews import FRONT, NASTY, carried, read_back, timed


def test_a_page_carries_the_moves_and_times_of_the_text(previewed: BuildResult) -> None:
    for k, folder in enumerate(previewed.folders):
        text, program, clock = read_back(previewed, k)
        about, columns, shown = carried(folder.files[PREVIEW])
        assert shown == text.decode("ascii").replace("\r\n", "\n")
        assert columns[7, 1:].tolist() == program.line.tolist()
        assert about["total"] == pytest.approx(clock.total)
        assert about["total"] == pytest.approx(folder.clock.total, rel=0.01)
        ends = np.cumsum(clock.per_move) + np.cumsum(clock.standing[:-1])
        assert np.abs(columns[4, 1:] / PER_SECOND - ends).max() <= 1.0 / PER_SECOND
        bench = to_bench(program, folder.machine, folder.job.stock, folder.setup)
        known = np.isfinite(bench.end).all(axis=1)
        assert folder.setup.turn == 0
        assert np.abs(columns[:3, 1:].T / PER_MM - bench.end)[known].max() <= 1.0 / PER_MM
        assert {about["names"][at] for at in columns[9, 1:] if at >= 0} == {path.name for path in folder.job.toolpaths}
        assert set(columns[8, 1:].tolist()) == {0}


def test_a_turned_board_is_shown_as_it_lies(tags: str, tmp_path: Path) -> None:
    orders = orders_of(job_file_of(tags, "job.toml"), [load_machine(FRONT)])
    turned = build_orders([replace(order, setup=Setup(turn=1)) for order in orders], tmp_path / "out")
    assert turned.ok, turned.findings
    about, columns, _ = carried(turned.folders[0].files[PREVIEW])
    straight = build_orders(orders, tmp_path / "straight")
    _, plain, _ = carried(straight.folders[0].files[PREVIEW])
    board = turned.folders[0].job.stock
    assert (about["board"]["width"], about["board"]["depth"]) == (board.depth, board.width)
    # A quarter turn takes the board's front left corner to its front right: the same cuts, as seen from there.
    low, low_plain = (each[:, each[2] < about["board"]["top"] * PER_MM] for each in (columns, plain))
    assert low[1].max() == pytest.approx(low_plain[0].max(), abs=2)
    assert board.depth * PER_MM - low[0].min() == pytest.approx(low_plain[1].max(), abs=2)


def test_files_for_several_bits_are_one_cut(tags: str, tmp_path: Path) -> None:
    text = tags.replace("[cutting.wood]", "[tools.wide]\ndiameter = 5\ncentre_cutting = true\n\n[cutting.wood]")
    text = text.replace('shape = "recess"\n', 'shape = "recess"\ntool = "wide"\n')
    text = text.replace('shape = "hole"\n', 'shape = "hole"\ntool = "3 mm mill"\n')
    text = text.replace('shape = "outline"\n', 'shape = "outline"\ntool = "3 mm mill"\n')
    made = build_orders(orders_of(job_file_of(text, "job.toml"), [load_machine(FRONT)]), tmp_path / "out")
    assert made.ok, made.findings
    (folder,) = made.folders
    about, columns, shown = carried(folder.files[PREVIEW])
    assert [file["name"] for file in about["files"]] == list(folder.cut_files)
    assert len(folder.cut_files) == 2
    assert f"Next file: {folder.cut_files[1]}" in [event["what"] for event in about["events"]]
    lines, first, clocks = shown.split("\n"), 0, []
    for k, name in enumerate(folder.cut_files):
        program = pk.read(folder.files[name], folder.machine.dialect).program
        clocks.append(timed(folder.files[name], program, folder.machine))
        here = (columns[7] > first) & (columns[7] <= first + about["files"][k]["lines"])
        assert (columns[7, here] - first).tolist() == program.line.tolist()
        assert lines[first : first + 2] == folder.files[name].decode("ascii").splitlines()[:2]
        assert {about["bits"][at]["name"] for at in columns[8, here]} == {folder.job.tools[k].name}
        first += about["files"][k]["lines"]
    assert about["total"] == pytest.approx(sum(clock.total for clock in clocks))
    assert (np.diff(columns[4]) >= 0).all()
    assert run(["check", str(tmp_path / "out")]) == 0


def test_names_and_comments_never_become_markup(previewed: BuildResult) -> None:
    for folder in previewed.folders:
        page = folder.files[PREVIEW].decode("utf-8")
        assert page.count("<script") == page.count("</script>") == 7
        assert "<img" not in page
        assert "http" not in page.replace("http-equiv", "")
        assert "default-src 'none'" in page
        assert f"<code>{folder.order.mark}</code>" in page


def test_sheet_and_index_lead_to_the_preview_and_the_folder_checks(previewed: BuildResult) -> None:
    index = (previewed.out / "index.html").read_text(encoding="utf-8")
    for folder in previewed.folders:
        assert f'<a href="{folder.name}/{PREVIEW}">preview</a>' in index
        assert f'<a href="{PREVIEW}">' in (previewed.out / folder.name / folder.sheet_file).read_text(encoding="utf-8")
    assert run(["check", str(previewed.out)]) == 0


def test_a_file_without_moves_makes_a_page() -> None:
    machine = load_machine(FRONT)
    program = pk.read("G21\nM2\n", "grbl").program
    none = np.zeros(0, np.int32)
    page = preview_page(
        Scene("empty", "", machine, Setup(), None, ()), [Watched("e.nc", b"G21\nM2\n", program, none, none)]
    )
    about, columns, text = carried(page)
    assert (about["rows"], columns.shape, text) == (1, (10, 1), "G21\nM2\n")


def test_the_command_makes_a_page_of_any_file(
    previewed: BuildResult, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = previewed.folders[0]
    cut = previewed.out / folder.name / folder.cut_file
    assert run(["preview", str(cut), "--out", str(tmp_path / "p.html")]) == 0
    assert "not a proof of the machine" in capsys.readouterr().out
    mine, theirs = (carried(page) for page in ((tmp_path / "p.html").read_bytes(), folder.files[PREVIEW]))
    assert mine[0]["board"] == theirs[0]["board"]
    assert (mine[1][:9] == theirs[1][:9]).all()
    assert run(["preview", str(cut), "--out", str(tmp_path / "p.html"), "--json"]) == 0
    # A file from elsewhere: without its board, and with what is wrong where it is wrong.
    (tmp_path / "own.nc").write_text(
        f"G21 G90 G17 G94\nG54\nG0 Z5\nG0 X1 Y1\n({NASTY})\nG99 X3\nG1 Z-2 F100\nX40 Y30\n"
    )
    assert run(["preview", str(tmp_path / "own.nc"), "--out", str(tmp_path / "own.html")]) == 2
    assert "--machine" in capsys.readouterr().err
    words = ["preview", str(tmp_path / "own.nc"), "--out", str(tmp_path / "own.html"), "--machine", FRONT]
    assert run(words) == 1
    assert "error" in capsys.readouterr().out
    about, columns, _ = carried((tmp_path / "own.html").read_bytes())
    assert not about["board"]["known"]
    assert 6 in {found["line"] for found in about["findings"]}
    assert (columns[:2, -1] / PER_MM).tolist() == [40.0, 30.0]


def test_a_file_that_starts_again_has_its_page(previewed: BuildResult, tmp_path: Path) -> None:
    folder = previewed.folders[0]
    last = folder.job.toolpaths[-1]
    cut = previewed.out / folder.name / folder.cut_file
    assert run(["resume", str(cut), "--from", last.name, "--out", str(tmp_path / "rest.nc")]) == 0
    page, text = (tmp_path / "rest-preview.html").read_bytes(), (tmp_path / "rest.nc").read_bytes()
    about, columns, shown = carried(page)
    assert shown == text.decode("ascii").replace("\r\n", "\n")
    assert {about["names"][at] for at in columns[9] if at >= 0} == {last.name}
    assert {about["bits"][at]["name"] for at in columns[8]} == {last.tool.name}
    assert (columns[9] >= 0).any()
    assert b"What was cut before this file is not shown" in page
    assert b"What was cut before this file is not shown" not in folder.files[PREVIEW]


def test_a_rehearsal_has_a_page_on_which_nothing_is_cut(previewed: BuildResult, tmp_path: Path) -> None:
    folder = previewed.folders[0]
    job = previewed.out / folder.name / folder.job_file
    assert run(["rehearse", str(job), "--machine", FRONT, "--out", str(tmp_path / "air")]) == 0
    about, columns, shown = carried((tmp_path / "air" / "rehearsal-preview.html").read_bytes())
    names = [file["name"] for file in about["files"]]
    assert [name.split("-")[1] for name in names] == ["letter", "rectangle"]
    assert all((tmp_path / "air" / name).read_text("ascii").replace("\r\n", "\n") in shown + "\n" for name in names)
    assert about["board"]["known"]
    assert columns[2, columns[7] > 0].min() > about["board"]["top"] * PER_MM
    assert set(columns[8].tolist()) == set(columns[9].tolist()) == {-1}


# In a real browser.
