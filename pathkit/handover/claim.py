"""One writer at a time in a folder: the first claims it, and a second is refused.

The claim is a lock of the operating system on a file in the folder: `flock` on Linux and macOS, a locked byte on
Windows. The system drops it when its process ends in any way, so a killed build blocks nobody. A file with a process
number could, since numbers are reused. The file is removed with the claim; one that a killed process left is taken
over.
"""

from __future__ import annotations

import errno
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Final

from pathkit.errors import InputError, OutputError
from pathkit.findings import Finding

LOCK: Final = ".pathkit-lock"
_TRIES: Final = 20
_TAKEN: Final = frozenset({errno.EWOULDBLOCK, errno.EAGAIN, errno.EACCES, errno.EDEADLK})


@contextmanager
def claimed(folder: Path) -> Iterator[None]:
    """Hold ``folder`` (an absolute path) for writing; it is made if need be, and removed again if it stays empty.

    Raises `InputError` if another process, or another thread of this one, holds it; `OutputError` if the folder cannot
    be made or locked.
    """
    made = [p for p in (folder, *folder.parents) if not os.path.lexists(p)]
    held: int | None = None
    try:
        try:
            held = _taken(folder)
        except OSError as error:
            reason = error.strerror or str(error)
            raise OutputError(f"{str(folder)!r} cannot be written: {reason}; it is as it was before") from None
        yield
    finally:
        if held is not None:
            _let_go(folder / LOCK, held)
        for each in made:
            # Only an empty folder is removed: no file of anybody else may vanish with it.
            if not remove_empty(each):
                break


def remove_empty(folder: Path) -> bool:
    """Remove a folder if it is empty; returns whether it was removed."""
    try:
        folder.rmdir()
    except OSError:
        return False
    return True


def _taken(folder: Path) -> int:
    """The open and locked file. If another process removes file or folder between two of these calls, try again."""
    path = folder / LOCK
    for _ in range(_TRIES):
        try:
            folder.mkdir(parents=True, exist_ok=True)
        except FileExistsError:
            if os.path.lexists(folder) and not folder.is_dir():
                raise
            continue  # it was removed as soon as it was found there
        try:
            held = os.open(path, os.O_RDWR | os.O_CREAT | getattr(os, "O_NOFOLLOW", 0), 0o666)
        except FileNotFoundError:
            continue
        except PermissionError:
            if sys.platform == "win32" and path.exists():
                continue  # being removed by whoever held it
            raise
        try:
            _lock(held)
            if _is_still(path, held):
                return held
        except OSError as error:
            os.close(held)
            if error.errno in _TAKEN:
                break
            raise
        except BaseException:
            os.close(held)
            raise
        os.close(held)
    what = "another build is writing into this folder"
    raise InputError([Finding(check="folder", what=what, fix="wait until it ends, or name another", file=str(folder))])


def _is_still(path: Path, held: int) -> bool:
    """Whether the locked file is the one that others would find there."""
    try:
        there = os.stat(path)
    except FileNotFoundError:
        return False
    return os.path.samestat(there, os.fstat(held))


def _let_go(path: Path, held: int) -> None:
    if sys.platform == "win32":
        # An open file cannot be removed there; one that the next process has opened by then stays.
        os.close(held)
        with suppress(OSError):
            os.unlink(path)
        return
    try:
        with suppress(OSError):
            os.unlink(path)
    finally:
        os.close(held)


def _lock(held: int) -> None:
    if sys.platform == "win32":
        import msvcrt

        msvcrt.locking(held, msvcrt.LK_NBLCK, 1)
    else:
        import fcntl

        fcntl.flock(held, fcntl.LOCK_EX | fcntl.LOCK_NB)
