"""Folders at a URL: whoever follows the manifest never sees a half, wherever an upload fails."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import suppress
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

import pathkit as pk
from pathkit.handover.atomic_write import MANIFEST, listed_in
from pathkit.handover.many import build_many, orders_from
from pathkit.handover.pages.render import index_of
from pathkit.handover.remote import RemoteTarget, handed_over, opened
from pathkit.handover.result import Folder
from pathkit.jobs.demo import demo_machines, demo_passes
from pathkit.model.job import Job

fsspec = pytest.importorskip("fsspec")

Place = tuple[Any, str]


@pytest.fixture(scope="module")
def job(one_plate: Job) -> Job:
    return one_plate


@pytest.fixture(scope="module")
def folders(job: Job) -> tuple[Folder, Folder]:
    """Two versions of one folder."""
    from pathkit.handover.build import prepared, with_sheet

    orders = orders_from(job, demo_machines()[:1], demo_passes(), None)
    later = orders_from(job, demo_machines()[:1], demo_passes(), pk.Setup(offset="G55"))
    old, new = (with_sheet(prepared(order, ())) for order in (*orders, *later))
    return old, new


@pytest.fixture(params=["memory", "file"])
def place(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Place]:
    """A place in memory, and one of files that is written to as if it were an object store."""
    if request.param == "file":
        yield fsspec.filesystem("file"), str(tmp_path / "store")
        return
    system = fsspec.filesystem("memory")
    system.store.clear()
    yield system, "/store"
    system.store.clear()


def target(place: Place, *, force: bool = False) -> RemoteTarget:
    return RemoteTarget(*place, force=force, mark="", title="plates", index=index_of)


def seen(place: Place) -> dict[str, bytes]:
    return {name: data for name, data in handed_over(place).items() if not name.startswith("index-")}


def of(folder: Folder) -> dict[str, bytes]:
    return {f"{folder.name}/{name}": data for name, data in folder.files.items()}


class Failing:
    """A file system on which call ``at`` of those that change something fails; a put is then done by half."""

    CALLS = ("pipe_file", "mv", "rm_file", "makedirs")

    def __init__(self, system: Any, at: int, watch: Callable[[], None] = lambda: None, *, gone: bool = False) -> None:
        self.system, self.at, self.calls, self.watch, self.gone = system, at, 0, watch, gone

    def __getattr__(self, name: str) -> Any:
        real = getattr(self.system, name)
        if name not in self.CALLS:
            return real

        def call(*args: Any, **more: Any) -> Any:
            self.calls += 1
            self.watch()
            if self.calls - 1 == self.at or (self.gone and self.calls > self.at >= 0):
                if name == "pipe_file" and self.calls - 1 == self.at:
                    real(args[0], args[1][: len(args[1]) // 2])
                raise OSError("the connection was lost")
            result = real(*args, **more)
            self.watch()
            return result

        return call


@pytest.mark.parametrize("gone", [False, True], ids=["one call fails", "the connection is gone"])
def test_wherever_it_fails_a_reader_sees_all_of_the_old_or_all_of_the_new(
    place: Place, folders: tuple[Folder, Folder], gone: bool
) -> None:
    system, root = place
    old, new = folders
    ended = []
    for at in range(200):
        here = system, f"{root}/{at}"
        target(here).put(old, "1")

        def watch(here: Place = here) -> None:
            assert seen(here) in (of(old), of(new))

        failing = Failing(system, at, watch, gone=gone)
        with suppress(pk.OutputError):
            made = RemoteTarget(failing, here[1], force=False, mark="", title="plates", index=index_of)
            made.put(new, "2")
            made.close()
        ended.append(seen(here) == of(new))
        # The next start knows what is finished, takes away what nobody names, and completes it.
        again = target(here)
        finished = again.finished({new.name: "2"})
        assert (new.name in finished) == ended[-1]
        again.put(new, "2")
        assert seen(here) == of(new)
        if failing.calls <= at:
            break
    assert set(ended) == {False, True}


def test_litter_goes_at_the_next_start_and_foreign_objects_stay(place: Place, folders: tuple[Folder, Folder]) -> None:
    system, root = place
    old, new = folders
    made = target(place)
    made.put(old, "1")
    made.put(new, "2")
    made.close()
    before = len(system.find(root))
    again = target(place)
    assert len(system.find(root)) == before - len(old.files), "what the old manifest named is gone now"
    assert again.finished({new.name: "2"}) == {new.name}
    assert again.finished({new.name: "1"}) == frozenset()
    system.pipe_file(f"{root}/thesis.txt", b"precious")
    with pytest.raises(pk.InputError, match="was not written by a build") as raised:
        target(place)
    assert raised.value.findings[0].file == f"{root}/thesis.txt"
    target(place, force=True).put(old, "1")
    assert system.cat_file(f"{root}/thesis.txt") == b"precious"


def test_edited_objects_are_refused_and_with_force_built_anew(place: Place, folders: tuple[Folder, Folder]) -> None:
    system, root = place
    target(place).put(folders[0], "1")
    name = next(n for n in system.find(root) if n.endswith(".proof.json"))
    system.pipe_file(name, b"edited")
    with pytest.raises(pk.InputError, match="bytes are not those"):
        handed_over(place)
    with pytest.raises(pk.InputError, match="changed since"):
        target(place)
    forced = target(place, force=True)
    assert forced.finished({folders[0].name: "1"}) == frozenset()
    forced.put(folders[0], "1")
    assert seen(place) == of(folders[0])
    system.rm_file(name)
    assert target(place).finished({folders[0].name: "1"}) == frozenset()


def test_a_second_build_meanwhile_is_noticed(place: Place, folders: tuple[Folder, Folder]) -> None:
    one, other = target(place), target(place)
    one.put(folders[0], "1")
    with pytest.raises(pk.InputError, match="another build"):
        other.put(folders[1], "2")
    assert seen(place) == of(folders[0])


def test_a_build_into_memory(job: Job) -> None:
    fsspec.filesystem("memory").store.clear()
    url, machines = "memory://plates/out", demo_machines()[:1]
    first = list(build_many(job, machines, url, passes=demo_passes()))
    assert [v.status for v in first] == ["built"], first[0].findings
    files = handed_over(url)
    assert first[0].result is not None
    assert {n: d for n, d in files.items() if "/" in n} == of(first[0].result)
    (index,) = [data for name, data in files.items() if name.startswith("index-")]
    assert b"setup-sheet.html" in index
    assert [v.status for v in build_many(job, machines, url, passes=demo_passes())] == ["finished before"]
    other = replace(machines[0], name="other")
    more = build_many(job, [*machines, other], url, passes=demo_passes())
    assert [v.status for v in more] == ["finished before", "built"]
    fsspec.filesystem("memory").store.clear()


def test_a_file_url_is_a_folder_of_this_computer(job: Job, tmp_path: Path) -> None:
    out = tmp_path / "out"
    assert opened(f"file://{out}") == out
    (variant,) = build_many(job, demo_machines()[:1], f"file://{out}", passes=demo_passes())
    assert variant.ok
    assert (out / MANIFEST).is_file()
    assert handed_over(f"file://{out}").keys() == listed_in(out).keys()


def test_a_url_that_cannot_be_used_says_what_to_do(job: Job, monkeypatch: pytest.MonkeyPatch) -> None:
    with pytest.raises(pk.InputError, match="cannot be used"):
        next(build_many(job, demo_machines()[:1], "nowhere://x"))
    with pytest.raises(pk.InputError, match="no manifest"):
        handed_over("memory://empty")
    monkeypatch.setitem(sys.modules, "fsspec.core", None)
    with pytest.raises(pk.InputError, match=r"install pathkit-cam\[remote\]"):
        next(build_many(job, demo_machines()[:1], "s3://bucket/out"))
