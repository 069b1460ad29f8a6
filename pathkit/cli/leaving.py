"""How a command exits that cannot finish: interrupted, or unable to print its result."""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence
from contextlib import suppress

from pathkit.findings import Finding

INTERRUPTED = 130
"""128 + SIGINT, as shells have it."""

FAULT = 70
"""EX_SOFTWARE of sysexits.h: a fault in pathkit itself, not a failed check."""


def stopped(error: BaseException, written: Sequence[str]) -> tuple[int, Finding]:
    """Exit code and message for an interrupt, or for a question without anybody to answer it (for the library of the
    command line an interrupt, too). ``written`` are the folders and files that the command has put in place."""
    if isinstance(error.__context__, EOFError):
        fix = "give what it asks for as options; see --help"
        return 2, Finding(check="command line", what=f"a question was not answered; {_left(written)}", fix=fix)
    return INTERRUPTED, Finding(check="command line", what=f"stopped; {_left(written)}")


def system_refusal(error: BaseException, written: Sequence[str]) -> Finding:
    """Message for a refusal of the system: standard output cannot be written, or something else failed."""
    cause = error if isinstance(error, OSError) else error.__context__
    reason = (cause.strerror if isinstance(cause, OSError) else None) or str(cause)
    if not _takes_no_more(error):
        return Finding(check="command line", what=f"the system refused: {reason}; {_left(written)}")
    what = f"standard output cannot be written: {reason}; {_left(written)}"
    return Finding(check="command line", what=what, fix="the result could not be printed; redirect it to a file")


def close_quietly() -> None:
    """Give up on output: Python would try again on exit, and end with another exit code."""
    for stream, number in ((sys.__stdout__, 1), (sys.__stderr__, 2)):
        try:
            if stream is not None:
                stream.flush()
        except OSError:
            with suppress(OSError):
                os.dup2(os.open(os.devnull, os.O_WRONLY), number)


def _takes_no_more(error: BaseException) -> bool:
    # The library of the tables ends the process itself when a pipe is closed; a failing file is named.
    return isinstance(error, SystemExit) or (isinstance(error, OSError) and error.filename is None)


def _left(written: Sequence[str]) -> str:
    return f"{', '.join(dict.fromkeys(written))}: written whole before that" if written else "nothing was written"
