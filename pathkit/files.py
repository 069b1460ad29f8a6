"""Bytes from outside: only from regular files, and never more than a limit.

A device has no end, a pipe may never begin, and merely opening a serial port can reset the controller at its other end:
what is not a regular file is refused before it is opened.
"""

from __future__ import annotations

import os
import re
import stat
from pathlib import Path
from typing import Final

from pathkit.errors import InputError
from pathkit.findings import Finding

LARGEST: Final = 256_000_000
"""Most bytes that are read of a cut file or a job of toolpaths: some ten million moves."""

LARGEST_TEXT: Final = 10_000_000
"""Most bytes that are read of a text written by people: a job file, a profile."""

_GCODE_WORD: Final = re.compile(rb"[A-Za-z][ \t]*[+-]?\d|,-?\d")

_KINDS: Final = (
    (stat.S_ISDIR, "a folder", "name a file in it"),
    (stat.S_ISFIFO, "a pipe", "write its content to a file, and name that"),
    (stat.S_ISCHR, "a device", "name a file"),
    (stat.S_ISBLK, "a device", "name a file"),
    (stat.S_ISSOCK, "a socket", "name a file"),
)


def read_bytes(path: str | Path, largest: int = LARGEST) -> bytes:
    """The bytes of a regular file (a link is followed), at most ``largest`` of them.

    Raises `InputError` for a path that does not exist, is not a regular file, cannot be read, or is larger.
    """
    try:
        # Checked before opening, because opening acts, and after it, because the name may lead elsewhere by then.
        _refuse_irregular(path, os.stat(path))
        handle = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0))
        with open(handle, "rb") as file:
            _refuse_irregular(path, os.fstat(handle))
            data = file.read(largest + 1)
    except InputError:
        raise
    except FileNotFoundError:
        raise _refusal(path, "is not there, so it cannot be read", "check the name") from None
    except OSError as error:
        raise _refusal(path, f"cannot be read: {error.strerror or error}", "check the name") from None
    except ValueError as error:
        # A name with a zero byte in it.
        raise _refusal(path, f"cannot be read: {error}", "check the name") from None
    if len(data) > largest:
        raise _refusal(path, f"is larger than {largest} bytes, which is the most that is read", "make it smaller")
    return data


def read_text(path: str | Path, largest: int = LARGEST_TEXT) -> str:
    """A regular file as text, UTF-8 with or without a byte order mark. Raises what `read_bytes` raises, and
    `InputError` for bytes that are not UTF-8."""
    data = read_bytes(path, largest)
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        what = f"cannot be read: it is not UTF-8 text (byte {error.start})"
        raise _refusal(path, what, "store it as UTF-8") from None


def _refuse_irregular(path: str | Path, there: os.stat_result) -> None:
    for holds, kind, fix in _KINDS:
        if holds(there.st_mode):
            raise _refusal(path, f"cannot be read: it is {kind}", fix)


def _refusal(path: str | Path, what: str, fix: str) -> InputError:
    return InputError([Finding(check="file", what=f"{str(path)!r} {what}", fix=fix)])


def read_gcode(path: Path) -> bytes:
    """The bytes of a cut file. Raises `InputError` for a file that cannot be read, or that holds no word of G-code."""
    data = read_bytes(path)
    if b"\0" in data or not _GCODE_WORD.search(data):
        raise InputError(f"{str(path)!r} is not G-code; name a cut file")
    return data
