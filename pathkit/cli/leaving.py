"""How a command leaves that cannot come to its end: interrupted, or without anywhere to tell what came of it."""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence
from contextlib import suppress

from pathkit.findings import Finding

INTERRUPTED = 130
"""128 + SIGINT, as shells have it."""

FAULT = 70
"""EX_SOFTWARE of sysexits.h: a fault of pathkit's own, which is no failed check."""


def stopped(error: BaseException, written: Sequence[str]) -> tuple[int, Finding]:
    """Exit code and words for an interrupt, or for a question that nobody was there to answer (which is one, too, to
    the library of the command line). ``written`` are the folders and files that the command has put in place."""
    if isinstance(error.__context__, EOFError):
        fix = "give what it asks for as options; see --help"
        return 2, Finding(check="command line", what=f"a question was not answered; {_left(written)}", fix=fix)
    return INTERRUPTED, Finding(check="command line", what=f"stopped; {_left(written)}")


def untold(error: BaseException, written: Sequence[str]) -> Finding:
    """Words for what the system refused: standard output that takes nothing more, or something else."""
    cause = error if isinstance(error, OSError) else error.__context__
    reason = (cause.strerror if isinstance(cause, OSError) else None) or str(cause)
    if not _takes_no_more(error):
        return Finding(check="command line", what=f"the system refused: {reason}; {_left(written)}")
    what = f"standard output cannot be written: {reason}; {_left(written)}"
    return Finding(check="command line", what=what, fix="the result could not be printed; redirect it to a file")


def close_quietly() -> None:
    """What could not be told stays untold: Python tries again as it leaves, and would end with a code of its own."""
    for stream, number in ((sys.__stdout__, 1), (sys.__stderr__, 2)):
        try:
            if stream is not None:
                stream.flush()
        except OSError:
            with suppress(OSError):
                os.dup2(os.open(os.devnull, os.O_WRONLY), number)


def _takes_no_more(error: BaseException) -> bool:
    # The tables' library ends the process by itself where a pipe is closed; what fails at a file names it.
    return isinstance(error, SystemExit) or (isinstance(error, OSError) and error.filename is None)


def _left(written: Sequence[str]) -> str:
    return f"{', '.join(dict.fromkeys(written))}: written whole before that" if written else "nothing was written"
