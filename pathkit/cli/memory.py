"""How this process holds memory, as long as it is pathkit's own."""

from __future__ import annotations

import sys
from contextlib import suppress
from typing import Final

_TRIM_THRESHOLD: Final = -1
_MMAP_MAX: Final = -4
"""Names of settings of ``mallopt`` in ``malloc.h`` of the GNU C library (its manual page, mallopt(3))."""


def keep_memory() -> None:
    """Let the C library keep what was freed for what is asked for next, until this process ends.

    By itself it gives every array of more than 32 MB back at once; the next one is made of pages that the system has
    to fetch and clear first. With millions of moves that takes longer than all the arithmetic. The most memory that is
    held at a time grows by about a tenth.

    Only for processes that are pathkit's own, such as those of its command line: a program that uses the library
    decides this for itself. Does nothing where the C library is another one.
    """
    if sys.platform != "linux":
        return
    import ctypes

    # Another library may have no such function, or give these numbers no meaning.
    with suppress(AttributeError, OSError):
        library = ctypes.CDLL(None)
        library.gnu_get_libc_version  # noqa: B018 - looked up, to know that it is there
        library.mallopt(_MMAP_MAX, 0)
        library.mallopt(_TRIM_THRESHOLD, -1)
