"""A folder is written whole or not at all, and no other file in it is lost."""

import json
import os
import resource
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pathkit.errors import InputError, OutputError
from pathkit.handover import atomic_write
from pathkit.handover.atomic_write import MANIFEST, about, listed_in, write_folder
from pathkit.handover.journal import STAGING
from tests.handover.folders import tree

FILES = {"a/cut.nc": b"G0 Z8\n", "a/cut.json": b"{}\n", "b/cut.nc": b"G0 Z9\n"}


def test_fresh_folder_and_its_manifest(tmp_path: Path) -> None:
    out = tmp_path / "deep" / "out"
    written = write_folder(out, FILES)
    assert written.new == ("a/cut.json", "a/cut.nc", "b/cut.nc", MANIFEST)
    here = tree(out)
    assert {name: data for name, data in here.items() if name != MANIFEST} == FILES
    # The digest of the known text (FIPS 180-4), from coreutils' sha256sum.
    assert json.loads(here[MANIFEST])["files"]["a/cut.json"] == (
        "ca3d163bab055381827226140568f3bef7eaac187cebd76878e0b63e9e442356"
    )
    assert [p.name for p in out.parent.iterdir()] == ["out"], "no staging folder is left"


def test_rebuilding_touches_only_what_changed(tmp_path: Path) -> None:
    write_folder(tmp_path, FILES)
    os.utime(tmp_path / "a/cut.nc", (1, 1))
    assert write_folder(tmp_path, FILES).unchanged == ("a/cut.json", "a/cut.nc", "b/cut.nc", MANIFEST)
    changed = write_folder(tmp_path, {"a/cut.nc": FILES["a/cut.nc"], "a/cut.json": b"[]\n"})
    assert changed.changed == ("a/cut.json", MANIFEST)
    assert changed.removed == ("b/cut.nc",)
    assert (tmp_path / "a/cut.nc").stat().st_mtime == 1
    assert not (tmp_path / "b").exists(), "an emptied folder goes with its last file"


@pytest.mark.parametrize("name", ["notes.txt", "a/mine.nc", "c/other.txt"])
def test_foreign_files_stand_in_the_way_and_survive_force(tmp_path: Path, name: str) -> None:
    (tmp_path / name).parent.mkdir(exist_ok=True)
    (tmp_path / name).write_text("precious")
    before = tree(tmp_path)
    with pytest.raises(InputError, match="was not written by a build") as raised:
        write_folder(tmp_path, FILES)
    assert raised.value.findings[0].file == str(tmp_path / name)
    assert tree(tmp_path) == before
    write_folder(tmp_path, FILES, force=True)
    assert tree(tmp_path).items() >= {**FILES, name: b"precious"}.items()


def test_a_file_changed_by_hand_is_foreign(tmp_path: Path) -> None:
    write_folder(tmp_path, FILES)
    (tmp_path / "a/cut.nc").write_text("edited")
    with pytest.raises(InputError, match="changed since"):
        write_folder(tmp_path, FILES)
    assert (tmp_path / "a/cut.nc").read_text() == "edited"
    write_folder(tmp_path, FILES, force=True)
    assert tree(tmp_path)["a/cut.nc"] == FILES["a/cut.nc"]


def test_droppings_of_file_browsers_are_no_strangers(tmp_path: Path) -> None:
    (tmp_path / ".DS_Store").write_bytes(b"x")
    write_folder(tmp_path, FILES)
    assert (tmp_path / ".DS_Store").exists()


def test_a_manifest_from_elsewhere_removes_nothing_outside(tmp_path: Path) -> None:
    victim = tmp_path / "victim.txt"
    victim.write_bytes(b"precious")
    out = tmp_path / "out"
    out.mkdir()
    for name in ("../victim.txt", str(victim)):
        listed = {"pathkit": "manifest", "version": 1, "files": {name: atomic_write.sha256(b"precious")}}
        (out / MANIFEST).write_text(json.dumps(listed))
        write_folder(out, FILES, force=True)
        assert victim.read_bytes() == b"precious"


@pytest.mark.parametrize(
    "text", ["", "[]", "{}", '{"pathkit": "manifest", "version": 99, "files": {}}', "\x00", "[" * 9999]
)
def test_an_unreadable_manifest_vouches_for_nothing(tmp_path: Path, text: str) -> None:
    write_folder(tmp_path, FILES)
    (tmp_path / MANIFEST).write_text(text)
    with pytest.raises(InputError, match="was not written by a build"):
        write_folder(tmp_path, FILES)


def test_the_same_manifest_is_read_once_until_it_changes(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A hand-out asks for it again for every file, so that the time grew with the square of its folders."""
    write_folder(tmp_path, FILES)
    read: list[bytes] = []
    loads = json.loads

    def counted(text: bytes) -> object:
        read.append(text)
        return loads(text)

    monkeypatch.setattr(json, "loads", counted)
    (tmp_path / MANIFEST).write_text(json.dumps({**loads((tmp_path / MANIFEST).read_bytes()), "about": {"mark": "a"}}))
    listed, notes = listed_in(tmp_path), about(tmp_path)
    assert set(listed) == set(FILES)
    assert notes == {"mark": "a"}
    assert len(read) == 1
    listed.clear()
    notes.clear()
    assert (set(listed_in(tmp_path)), about(tmp_path)) == (set(FILES), {"mark": "a"}), "nobody else's copy"
    assert len(read) == 1
    text = (tmp_path / MANIFEST).read_text()
    (tmp_path / MANIFEST).write_text(text.replace('"mark": "a"', '"mark": "b"'))
    assert about(tmp_path) == {"mark": "b"}


def test_links_are_not_followed(tmp_path: Path) -> None:
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    out = tmp_path / "out"
    out.mkdir()
    (out / "a").symlink_to(elsewhere)
    for force in (False, True):
        with pytest.raises(InputError):
            write_folder(out, FILES, force=force)
    assert list(elsewhere.iterdir()) == []


def test_a_file_where_the_folder_should_be(tmp_path: Path) -> None:
    (tmp_path / "out").write_text("precious")
    with pytest.raises(InputError, match="not a folder"):
        write_folder(tmp_path / "out", FILES, force=True)
    with pytest.raises(OutputError, match="cannot be written"):
        write_folder(tmp_path / "out" / "below", FILES)
    assert (tmp_path / "out").read_text() == "precious"


@pytest.mark.parametrize("exists", [True, False])
def test_a_write_that_fails_leaves_nothing_half_done(tmp_path: Path, exists: bool) -> None:
    """The operating system itself refuses to let a file grow, as on a full disk."""
    out = tmp_path / "out"
    if exists:
        write_folder(out, FILES)
    before = tree(tmp_path)
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (1000, hard))
    try:
        with pytest.raises(OutputError, match="it is as it was before"):
            write_folder(out, {**FILES, "a/cut.nc": b"new\n", "z.nc": b"x" * 100_000})
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))
    assert tree(tmp_path) == before
    assert out.exists() == exists
    assert not list(tmp_path.rglob(f"*{STAGING}*"))


@given(fails_at=st.integers(0, 12))
def test_a_rename_that_fails_is_undone(tmp_path_factory: pytest.TempPathFactory, fails_at: int) -> None:
    out = tmp_path_factory.mktemp("out")
    write_folder(out, {**FILES, "gone/old.nc": b"old"})
    before = tree(out)
    count = 0
    rename = os.rename

    def failing(here: Path, there: Path) -> None:
        nonlocal count
        count += 1
        if count == fails_at + 1:
            raise OSError(5, "Input/output error")
        rename(here, there)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(os, "rename", failing)
        new = {"a/cut.nc": b"changed", "a/cut.json": b"changed", "fresh/new.nc": b"new"}
        try:
            write_folder(out, new)
        except OutputError:
            assert tree(out) == before
        else:
            assert count <= fails_at
            assert {k: v for k, v in tree(out).items() if k != MANIFEST} == new
    assert not (out / STAGING).exists()


def test_what_a_broken_off_build_left_is_cleared(tmp_path: Path) -> None:
    (tmp_path / STAGING / "new").mkdir(parents=True)
    (tmp_path / STAGING / "new" / "half.nc").write_text("G0")
    write_folder(tmp_path, FILES)
    assert not (tmp_path / STAGING).exists()
