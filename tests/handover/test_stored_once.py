"""Choices of a hand-out that lead to the same cut: its files are stored once, and every choice still finds its own."""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import Any

import pytest

from pathkit.cli.main import run
from pathkit.handover.archive import zipped
from pathkit.handover.atomic_write import MANIFEST, about, listed_in
from pathkit.handover.chooser import build_handout
from pathkit.handover.many import Variant
from pathkit.handover.stored_once import NOTE, shared_in, stored, to_share
from pathkit.jobs.handout import offered_by
from tests.handover.test_handout import JOB, LEAST, data_of, file_of

CENTRED = JOB.replace("[[40, 30]]", "[[60, 40]]") + LEAST
"""One hole in the middle of the board: seen from each corner it lies at (60, 40), in some directions."""


@pytest.fixture(scope="module")
def centred(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, list[Variant]]:
    out = tmp_path_factory.mktemp("once") / "out"
    return out, list(build_handout(file_of(CENTRED), out))


def test_64_choices_lead_to_16_cuts_each_stored_once(centred: tuple[Path, list[Variant]]) -> None:
    out, variants = centred
    assert [variant.status for variant in variants] == ["built"] * 64
    # ± x and ± y, either of them first, and ± z; each is the cut of four choices.
    cuts = sorted(out.rglob("peg-board.nc"))
    assert len(cuts) == len({path.read_bytes() for path in cuts}) == 16
    for name in ("peg-board-air.nc", "peg-board.job.json", "asked-pegs.toml"):
        assert len(list(out.rglob(name))) == 16
    # What speaks of the machine is in every folder: sheet, preview, certificate, profile, and what is rehearsed.
    for name in ("setup-sheet.html", "preview.html", "*.proof.json", "asked-grbl-*.json", "rehearsal-letter-*.nc"):
        assert len(list(out.rglob(name))) == 64
    files = [path for path in out.rglob("*") if path.is_file()]
    assert len(files) == 64 * 11 - 48 * 4 + 2
    assert len(shared_in(about(out))) == 48 * 4
    assert set(listed_in(out)) == {path.relative_to(out).as_posix() for path in files} - {MANIFEST}


def test_each_of_the_64_choices_leads_to_the_bytes_that_were_proved_for_it(
    centred: tuple[Path, list[Variant]],
) -> None:
    out, variants = centred
    built = {variant.folder: variant.result for variant in variants}
    data = data_of(out)
    assert len(data["files"]) == 64
    for each in offered_by(file_of(CENTRED)):
        words = f"{each.choice.x} {each.choice.y} {each.choice.z}"
        place = data["steps"]["corner"].index(each.choice.corner), data["steps"]["directions"].index(words)
        (entry,) = data["files"][f"{place[0]}.{place[1]}.0.0.0.0"]
        (order,) = each.orders
        assert entry["folder"] == order.folder
        folder = built[order.folder]
        assert folder is not None
        for name in (*entry["cut"], *entry["air"]):
            there = out / entry["stored"].get(name, f"{entry['folder']}/{name}")
            assert there.read_bytes() == folder.files[name]
            assert stored(out / entry["folder"] / name) == there
        for name in (entry["sheet"], entry["preview"], entry["letter"], entry["around"], entry["measure"]):
            assert (out / entry["folder"] / name).read_bytes() == folder.files[name]
        sheet = (out / entry["folder"] / entry["sheet"]).read_text(encoding="utf-8")
        assert f"Setup sheet for <strong>{order.machine.name}</strong>" in sheet
        assert "stored once" in sheet


def test_the_page_links_to_where_the_files_are(browser: Any, centred: tuple[Path, list[Variant]]) -> None:
    out, _ = centred
    data = data_of(out)
    key, entry = next((k, e[0]) for k, e in data["files"].items() if e[0]["stored"])
    corner, words = (int(part) for part in key.split(".")[:2])
    x, y, z = data["steps"]["directions"][words].split()
    page = browser.new_page()
    page.goto((out / "index.html").as_uri())
    said = {"corner": data["steps"]["corner"][corner], "x": x, "y": y, "z": z, "dialect": "grbl", "units": "mm"}
    for name, value in {**said, "board": "0", "bit": "0"}.items():
        page.evaluate("s => document.querySelector(s).click()", f'#steps input[name="{name}"][value="{value}"]')
    links: list[str] = page.evaluate("() => [...document.querySelectorAll('#files a')].map(a => a.href)")
    page.close()
    assert (out / entry["stored"][entry["cut"][0]]).as_uri() in links
    assert all((out / link.removeprefix(out.as_uri() + "/")).is_file() for link in links)


def test_every_choice_is_proved_again_from_what_is_stored(centred: tuple[Path, list[Variant]], tmp_path: Path) -> None:
    out, _ = centred
    folders = sorted({name.rpartition("/")[0] for name in shared_in(about(out))})
    assert run(["check", str(out / folders[0])]) == 0
    assert run(["check", str(out)]) == 0
    (tmp_path / "pegs.toml").write_text(CENTRED, encoding="utf-8")
    assert run(["check", str(out), "--job", str(tmp_path / "pegs.toml")]) == 0


def test_what_is_changed_or_gone_fails_every_choice_that_needs_it(
    centred: tuple[Path, list[Variant]], tmp_path: Path
) -> None:
    copy = tmp_path / "out"
    shutil.copytree(centred[0], copy)
    lacking, place = next((n, p) for n, p in shared_in(about(copy)).items() if n.endswith("peg-board.nc"))
    (copy / place).write_bytes((copy / place).read_bytes().replace(b"F400", b"F900"))
    assert run(["check", str((copy / lacking).parent)]) == 1
    (copy / place).unlink()
    assert run(["check", str((copy / lacking).parent)]) != 0


def test_a_second_run_makes_nothing_anew_and_mends_what_is_lost(
    centred: tuple[Path, list[Variant]], tmp_path: Path
) -> None:
    out, _ = centred
    copy = tmp_path / "out"
    shutil.copytree(out, copy)
    again = list(build_handout(file_of(CENTRED), copy))
    assert {variant.status for variant in again} == {"finished before"}
    lacking, place = next((n, p) for n, p in shared_in(about(copy)).items() if n.endswith("peg-board.nc"))
    (copy / place).unlink()
    built = [variant.folder for variant in build_handout(file_of(CENTRED), copy) if variant.status == "built"]
    # The folder that lost its file, and those that looked for it there.
    assert place.rpartition("/")[0] in built
    assert lacking.rpartition("/")[0] in built
    assert len(built) == 4
    assert zipped(copy) == zipped_as(out, copy)


def zipped_as(out: Path, name: Path) -> bytes:
    """The archive of a folder under the name of another."""
    renamed = out.parent / "again" / name.name
    shutil.copytree(out, renamed)
    try:
        return zipped(renamed)
    finally:
        shutil.rmtree(renamed.parent)


def test_the_archive_has_the_same_bytes_whatever_came_first(tmp_path: Path) -> None:
    few = CENTRED.replace("[handout]\n", '[handout]\ndirections = ["right away up", "left toward up"]\n')
    (tmp_path / "pegs.toml").write_text(few, encoding="utf-8")
    for number in ("1", "2"):
        told = ["handout", str(tmp_path / "pegs.toml"), "--out", str(tmp_path / number / "out"), "--zip", "--quiet"]
        assert run([*told, "--workers", number]) == 0
    assert (tmp_path / "1" / "out.zip").read_bytes() == (tmp_path / "2" / "out.zip").read_bytes()
    # Choices that are added later, and come first by their names, are the ones that are stored then.
    later = tmp_path / "3" / "out"
    list(
        build_handout(
            file_of(few.replace("[handout]\n", '[handout]\ncorners = ["front-left", "front-right"]\n')), later
        )
    )
    list(build_handout(file_of(few), later))
    assert shared_in(about(later)) == shared_in(about(tmp_path / "1" / "out"))


def test_only_equal_bytes_are_stored_once_whatever_two_controllers_call_them() -> None:
    def row(folder: str, cut: str) -> dict[str, Any]:
        return {"folder": folder, "cut_files": cut, "air_files": f"air-{cut}"}

    listed = {"a/x.nc": "1", "a/air-x.nc": "2", "a/job": "3", "b/y.ngc": "1", "b/air-y.ngc": "2", "b/job": "4",
              "c/x.nc": "5", "c/air-x.nc": "2", "c/job": "3"}  # fmt: skip
    rows = [row("b", "y.ngc"), row("a", "x.nc"), row("c", "x.nc")]
    assert to_share(listed, {}, rows) == {"b/y.ngc": "a/x.nc", "b/air-y.ngc": "a/air-x.nc"}


@pytest.mark.parametrize("place", ["../../secret.nc", "/etc/passwd", "a/../../secret.nc", 7])
def test_a_manifest_leads_nowhere_out_of_its_folder(tmp_path: Path, place: Any) -> None:
    (tmp_path / "secret.nc").write_text("G0 X1\n")
    out = tmp_path / "out" / "b"
    out.mkdir(parents=True)
    notes = {"pathkit": "manifest", "version": 1, "about": {NOTE: {"b/x.nc": place}}, "files": {}}
    (tmp_path / "out" / MANIFEST).write_text(json.dumps(notes))
    assert stored(out / "x.nc") == out / "x.nc"
