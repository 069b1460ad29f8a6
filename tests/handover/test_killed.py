"""Whenever a writer is killed, the next start makes its folder wholly old or wholly new."""

from __future__ import annotations

import os
import subprocess
import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any

import pytest

from pathkit.cli.main import run
from pathkit.cli.showing import FAILED
from pathkit.errors import InputError, OutputError
from pathkit.handover import claim, journal
from pathkit.handover.atomic_write import MANIFEST, OWN, claim_folder, write_beside, write_folder
from pathkit.handover.claim import LOCK, claimed
from pathkit.handover.journal import JOURNAL, STAGING, is_broken_off, settle

OLD = {"a/cut.nc": b"G0 Z8\n", "gone/old.nc": b"G0 Z1\n"}
NEW = {"a/cut.nc": b"G0 Z9\n", "b/cut.nc": b"G0 Z10\n"}
CALLS = ("mkdir", "rename", "replace", "rmdir", "unlink", "open", "write", "fsync")


@pytest.fixture(autouse=True)
def _no_waiting_for_the_disk(monkeypatch: pytest.MonkeyPatch) -> None:
    """Flushing still counts as a call; waiting for the disk is not tested here."""
    monkeypatch.setattr(os, "fsync", lambda descriptor: None)


class Killed(BaseException):
    """Stands for the end of the process."""


@contextmanager
def dying(at: int, *, gone: bool = True, error: BaseException | None = None) -> Iterator[list[str]]:
    """Counts the calls that touch the disk. Call ``at`` fails (a write is done by half), and if the process is
    ``gone``, so do all calls after it. Closing always works, since locks end with their process."""
    made: list[str] = []
    real = {name: getattr(os, name) for name in CALLS}

    def wrapped(name: str) -> Callable[..., Any]:
        def call(*args: Any, **more: Any) -> Any:
            made.append(name)
            if len(made) - 1 == at or (gone and len(made) > at >= 0):
                if name == "write" and len(made) - 1 == at:
                    real["write"](args[0], bytes(args[1])[: len(args[1]) // 2])
                raise error or Killed
            return real[name](*args, **more)

        return call

    with pytest.MonkeyPatch.context() as patch:
        for name in CALLS:
            patch.setattr(os, name, wrapped(name))
        yield made


def tree(out: Path) -> dict[str, bytes]:
    """The files that a person finds: all but the manifest and what the next start clears away."""
    found = {p.relative_to(out).as_posix(): p for p in sorted(out.rglob("*")) if p.is_file() or p.is_symlink()}
    return {name: p.read_bytes() for name, p in found.items() if name.split("/")[0] not in OWN and name != MANIFEST}


def calls_of(write: Callable[[], object]) -> int:
    with dying(-1) as made:
        write()
    return len(made)


def every_kill(
    prepare: Callable[[Path], object], write: Callable[[Path], object], tmp: Path, step: int = 1
) -> Iterator[Path]:
    """For each call at which ``write`` can be killed, the folder that is left."""
    (tmp / "counted").mkdir()
    prepare(tmp / "counted" / "out")
    count = calls_of(lambda: write(tmp / "counted" / "out"))
    assert count > 20
    for at in range(0, count, step):
        home = tmp / f"kill{at}"
        home.mkdir()
        prepare(home / "out")
        with dying(at), pytest.raises(Killed):
            write(home / "out")
        yield home / "out"


def test_killed_at_every_call_the_next_start_has_all_of_the_old_or_all_of_the_new(tmp_path: Path) -> None:
    seen = set()
    for out in every_kill(lambda out: write_folder(out, OLD), lambda out: write_folder(out, NEW), tmp_path):
        mixed = tree(out) not in (OLD, NEW)
        assert is_broken_off(out) or not mixed, "what is mixed is known to be"
        with claim_folder(out):
            here = tree(out)
        assert here in (OLD, NEW)
        assert {p.name for p in out.iterdir()}.isdisjoint(OWN), "nothing is left of it"
        seen.add((mixed, here == NEW))
        # And the next build knows these files as its own.
        write_folder(out, OLD)
        assert tree(out) == OLD
    assert seen == {(False, False), (True, True), (False, True)}


def test_killed_at_every_call_of_a_first_build(tmp_path: Path) -> None:
    for out in every_kill(lambda out: None, lambda out: write_folder(out, NEW), tmp_path):
        with claim_folder(out):
            assert tree(out) in ({}, NEW)
        write_folder(out, NEW)
        assert tree(out) == NEW


def test_what_is_foreign_outlives_a_kill(tmp_path: Path) -> None:
    """Files of other names stay; one of the same name, given up by --force, is whole until the new one is there."""
    mine = {"notes.txt": b"mine", "b/mine.nc": b"mine too", "b/cut.nc": b"given up"}

    def prepare(out: Path) -> None:
        write_folder(out, OLD)
        for name, data in mine.items():
            (out / name).parent.mkdir(exist_ok=True)
            (out / name).write_bytes(data)

    for out in every_kill(prepare, lambda out: write_folder(out, NEW, force=True), tmp_path):
        with claim_folder(out, force=True):
            assert tree(out) in ({**OLD, **mine}, {**mine, **NEW})


def test_killed_while_it_writes_beside_other_things(tmp_path: Path) -> None:
    def prepare(out: Path) -> None:
        out.mkdir()
        (out / "letter.txt").write_bytes(b"mine")

    new = {"m.toml": b"name = 1\n", "m.svg": b"<svg/>\n"}
    for out in every_kill(prepare, lambda out: write_beside(out, new), tmp_path):
        write_beside(out, {"other.toml": b"x"})
        assert tree(out) in ({"letter.txt": b"mine", "other.toml": b"x", **rest} for rest in ({}, new))


def test_killed_in_a_folder_as_large_as_the_demo(tmp_path: Path) -> None:
    """A sample of the calls, with 22 files: most change, two go and three are new."""
    names = [f"machine-{m}/file-{k}.nc" for m in range(3) for k in range(7)]
    old = {name: name.encode() * 50 for name in names}
    new = {**{name: data + b"!" for name, data in old.items()}, "index.html": b"<p>", "machine-9/a.nc": b"G0"}
    del new[names[3]], new[names[-1]]
    for out in every_kill(lambda out: write_folder(out, old), lambda out: write_folder(out, new), tmp_path, 17):
        with claim_folder(out):
            assert tree(out) in (old, new)


def test_a_start_that_is_killed_while_it_finishes_is_finished_by_the_one_after(tmp_path: Path) -> None:
    def prepare(out: Path) -> None:
        write_folder(out, OLD)
        with dying(_first_replace(tmp_path)), pytest.raises(Killed):
            write_folder(out, NEW)
        assert is_broken_off(out)

    def start(out: Path) -> None:
        with claim_folder(out):
            pass

    for out in every_kill(prepare, start, tmp_path):
        start(out)
        assert tree(out) == NEW


def _first_replace(tmp: Path) -> int:
    """The number of the call that puts the first of the new files in place."""
    out = tmp / f"found{len(list(tmp.iterdir()))}"
    write_folder(out, OLD)
    with dying(-1) as made:
        write_folder(out, NEW)
    return made.index("replace")


@pytest.mark.parametrize("error", [KeyboardInterrupt(), OSError(28, "No space left on device")])
def test_one_call_that_fails_is_taken_back_at_once(tmp_path: Path, error: BaseException) -> None:
    """An interrupt or a full disk leaves the process alive: it undoes what it did, and tells the truth about it."""
    for at in range(200):
        out = tmp_path / f"out{at}"
        write_folder(out, OLD)
        before = len(journal.completed)
        # If what is there already cannot be read, the folder is refused as somebody else's.
        with dying(at, gone=False, error=error) as made, suppress(KeyboardInterrupt, OutputError, InputError):
            write_folder(out, NEW)
        told = len(journal.completed) > before
        assert tree(out) == (NEW if told else OLD)
        assert {p.name for p in out.iterdir()} & {STAGING} == set()
        if at >= len(made):
            return
    pytest.fail("it never came to its end")


def broken_off(tmp_path: Path) -> Path:
    out = tmp_path / "out"
    write_folder(out, OLD)
    with dying(_first_replace(tmp_path)), pytest.raises(Killed):
        write_folder(out, NEW)
    assert is_broken_off(out)
    return out


def test_what_was_put_there_since_is_not_overwritten_unasked(tmp_path: Path) -> None:
    out = broken_off(tmp_path)
    (out / "a/cut.nc").write_bytes(b"mine")
    with pytest.raises(InputError, match="changed since") as raised:
        write_folder(out, NEW)
    assert raised.value.findings[0].file == str(out / "a/cut.nc")
    assert (out / "a/cut.nc").read_bytes() == b"mine"
    write_folder(out, NEW, force=True)
    assert tree(out) == NEW


@pytest.mark.parametrize("damage", ["journal", "version", "staged", "outside", "link", "loose"])
def test_what_cannot_be_finished_is_left_alone(tmp_path: Path, damage: str) -> None:
    out, victim = broken_off(tmp_path), tmp_path / "victim"
    victim.mkdir()
    (victim / "cut.nc").write_bytes(b"precious")
    staging = out / STAGING
    if damage == "journal":
        (staging / JOURNAL).write_bytes(b"\0")
    elif damage == "version":
        (staging / JOURNAL).write_text((staging / JOURNAL).read_text().replace('"version": 1', '"version": 2'))
    elif damage == "staged":
        (staging / "new/b/cut.nc").write_bytes(b"half")
    elif damage == "outside":
        (staging / JOURNAL).write_text((staging / JOURNAL).read_text().replace("a/cut.nc", "../victim/cut.nc"))
    elif damage == "link":
        (out / "b").rmdir()
        (out / "b").symlink_to(victim)
    else:
        (staging / JOURNAL).unlink()
    (out / LOCK).unlink()
    before = {p: p.read_bytes() for p in sorted(tmp_path.rglob("*")) if p.is_file()}
    for force in (False, True):
        with pytest.raises(InputError, match="broken off"):
            write_folder(out, NEW, force=force)
        assert {p: p.read_bytes() for p in sorted(tmp_path.rglob("*")) if p.is_file()} == before


def test_a_link_in_place_of_the_staging_folder_is_not_followed(tmp_path: Path) -> None:
    out = tmp_path / "out"
    write_folder(out, OLD)
    (tmp_path / "x").mkdir()
    other = broken_off(tmp_path / "x")
    (out / STAGING).symlink_to(other / STAGING)
    before = tree(other)
    with pytest.raises(InputError):
        write_folder(out, NEW)
    assert tree(out) == OLD
    assert tree(other) == before


def test_the_second_of_two_builds_is_refused(tmp_path: Path) -> None:
    out = tmp_path / "out"
    with claim_folder(out):
        for write in (lambda: write_folder(out, NEW), lambda: write_beside(out, NEW)):
            with pytest.raises(InputError, match="another build is writing"):
                write()
        assert tree(out) == {}
    assert not out.exists(), "a folder made for nothing goes again"
    write_folder(out, NEW)
    assert [p.name for p in out.iterdir() if p.name == LOCK] == []


def test_a_lock_on_a_file_that_has_gone_bars_nobody_and_so_is_none(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:  # fmt: skip
    """The process that held the folder removes the lock file just after it was opened: then it is opened again."""
    out, lock = tmp_path / "out", claim._lock
    gone: list[int] = []

    def late(held: int) -> None:
        if not gone:
            gone.append(held)
            (out / LOCK).unlink()
        lock(held)

    monkeypatch.setattr(claim, "_lock", late)
    with claimed(out), pytest.raises(InputError, match="another build"), claimed(out):
        pass
    assert gone


def test_of_many_at_once_one_writes_at_a_time(tmp_path: Path) -> None:
    out, inside, most, done = tmp_path / "out", [0], [0], [0]

    def work() -> None:
        for _ in range(60):
            try:
                with claimed(out):
                    inside[0] += 1
                    most[0] = max(most[0], inside[0])
                    (out / "x").write_bytes(b"x")
                    (out / "x").unlink()
                    done[0] += 1
                    inside[0] -= 1
            except InputError:
                pass

    threads = [threading.Thread(target=work) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert most[0] == 1
    assert done[0] > 0
    assert not out.exists() or list(out.iterdir()) == []


def test_a_process_that_truly_dies_bars_nobody(tmp_path: Path) -> None:
    """In another process: no handler runs at all, and only the operating system gives the lock back."""
    out = tmp_path / "out"
    write_folder(out, OLD)
    script = f"""
import os, pathlib
from pathkit.handover.atomic_write import write_folder
os.replace = lambda *_: os._exit(9)
write_folder(pathlib.Path({str(out)!r}), {NEW!r})
"""
    assert subprocess.run([sys.executable, "-c", script], check=False).returncode == 9
    assert (out / LOCK).exists()
    assert is_broken_off(out)
    write_folder(out, NEW)
    assert tree(out) == NEW
    assert {p.name for p in out.iterdir()}.isdisjoint(OWN)


def test_settling_what_is_whole_changes_nothing(tmp_path: Path) -> None:
    write_folder(tmp_path, OLD)
    settle(tmp_path)
    assert tree(tmp_path) == OLD


def test_check_says_what_to_do_about_it(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = broken_off(tmp_path)
    for named in (out, tmp_path):
        assert run(["check", str(named)]) == FAILED
        said = capsys.readouterr().out
        assert f"{out}: a build was broken off here" in said
        assert "build into this folder again" in said
