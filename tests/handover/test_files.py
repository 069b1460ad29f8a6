"""Only regular files are read, and never more bytes than were asked for."""

from __future__ import annotations

import os
import socket
from pathlib import Path

import pytest

from pathkit.cli.main import run
from pathkit.cli.showing import WRONG
from pathkit.errors import InputError
from pathkit.files import read_bytes, read_text


def test_a_file_is_read_whole_and_not_beyond_its_bound(tmp_path: Path) -> None:
    path = tmp_path / "a"
    path.write_bytes(b"12345")
    (tmp_path / "link").symlink_to(path)
    assert read_bytes(tmp_path / "link", 5) == read_bytes(str(path)) == b"12345"
    with pytest.raises(InputError, match="larger than 4 bytes"):
        read_bytes(path, 4)
    path.write_bytes("\ufeffä".encode())
    assert read_text(path) == "ä"
    path.write_bytes(b"ab\xff")
    with pytest.raises(InputError, match=r"not UTF-8 text \(byte 2\)"):
        read_text(path)


def irregular(tmp_path: Path) -> dict[str, str]:
    os.mkfifo(tmp_path / "fifo.toml")
    (tmp_path / "folder.toml").mkdir()
    (tmp_path / "zero.toml").symlink_to("/dev/zero")
    with socket.socket(socket.AF_UNIX) as listener:
        os.chdir(tmp_path)  # a socket's path must be short
        listener.bind("socket.toml")
    return {
        "fifo.toml": "a pipe", "folder.toml": "a folder", "zero.toml": "a device", "socket.toml": "a socket",
        "gone.toml": "not there", "ga\0p.toml": "null",
    }  # fmt: skip


def test_what_has_no_end_or_no_beginning_is_refused_unopened(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:  # fmt: skip
    monkeypatch.chdir(tmp_path)
    kinds = irregular(tmp_path)
    monkeypatch.setattr(os, "open", lambda *_: pytest.fail("opening a port can reset a machine"))
    for name, said in kinds.items():
        with pytest.raises(InputError, match=said):
            read_bytes(tmp_path / name)


PROFILE = ["--machine", "grbl-front-left"]


@pytest.mark.parametrize(
    "words",
    [
        ["check", "IT", *PROFILE],
        ["check", "IT", "--rules-only", *PROFILE],
        ["check", "cut.nc", "--machine", "IT"],
        ["check", "cut.nc", "--job", "IT", *PROFILE],
        ["build", "IT", *PROFILE, "--out", "out"],
        ["build", "job.toml", "--machine", "IT", "--out", "out"],
        ["build", "table.toml", *PROFILE, "--out", "out"],
        ["build", "drawing.toml", *PROFILE, "--out", "out"],
        ["time", "IT", *PROFILE],
        ["compare", "IT", "IT", *PROFILE],
        ["resume", "IT", "--from", "a", "--out", "b.nc"],
        ["rehearse", "IT", *PROFILE, "--out", "out"],
        ["rehearse", "--machine", "IT", "--letter-reads", "yes", "--rectangle-fits", "yes"],
    ],
)
def test_no_command_waits_for_a_pipe_or_reads_a_device(
    words: list[str], tmp_path: Path, tags: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """A pipe that nobody writes to would block the command for ever; a device would fill the memory."""
    monkeypatch.chdir(tmp_path)
    kinds = irregular(tmp_path)
    (tmp_path / "cut.nc").write_text("G21\nG0 Z5\nM2\n")
    (tmp_path / "job.toml").write_text(tags)
    for name in ("fifo.toml", "zero.toml"):
        (tmp_path / "table.toml").write_text(f'tool_table = "{name}"\n{tags}')
        start = tags.index("outline.rectangle")
        line = tags[start : tags.index("\n", start)]
        (tmp_path / "drawing.toml").write_text(tags.replace(line, f'outline.svg = "{name}"'))
        assert run([name if word == "IT" else word for word in words]) == WRONG
        said = capsys.readouterr().err
        assert f"it is {kinds[name]}" in said
        assert name in said
    assert not (tmp_path / "out").exists()
