"""Files that are not made of words: read by a function from their dialect, which may fail in any way."""

from __future__ import annotations

import traceback
from collections.abc import Callable
from pathlib import Path
from typing import Any, Protocol

from pathkit.errors import PathkitError, PluginError
from pathkit.findings import Finding
from pathkit.machine.capabilities import Capabilities
from pathkit.motion.program import Program
from pathkit.readback.interpret import Reading


class Read(Protocol):
    """A text, the capabilities of its controller, and the file's name for findings → a `Reading`."""

    def __call__(self, text: str | bytes, capabilities: Capabilities, *, file: str | None = None) -> Reading: ...


_NEVER = "let it report what it cannot read as a Finding with its line, and never raise"
_COLUMNS = "give Reading a Program: a row for each move, with the line that it stands in"


def _wrong(dialect: str, what: str, fix: str) -> PluginError:
    return PluginError([Finding(check="reader", what=f"the reader of the dialect {dialect!r} {what}", fix=fix)])


def _told(value: object) -> str:
    return f"a value of type {type(value).__name__}"


def _failed(error: Exception) -> str:
    """How the reader failed, and at which last line of its own code."""
    said = f"{type(error).__name__}: {error}"
    frames = traceback.extract_tb(error.__traceback__)
    if not frames:
        return f"failed: {said}"
    last = frames[-1]
    return f"failed in {last.name}, line {last.lineno} of {Path(last.filename).name}: {said}"


def guarded(dialect: str, function: Callable[..., Any]) -> Read:
    """The function of a dialect as a reader: any failure in it becomes a `PluginError` that names the dialect."""

    def read(text: str | bytes, capabilities: Capabilities, *, file: str | None = None) -> Reading:
        data = text.encode("utf-8", "surrogatepass") if isinstance(text, str) else bytes(text)
        try:
            reading = function(data, capabilities)
        except PathkitError:
            raise
        # Code of a plugin may raise anything.
        except Exception as error:
            raise _wrong(dialect, _failed(error), _NEVER) from error
        if not isinstance(reading, Reading):
            raise _wrong(dialect, f"returned {_told(reading)}, and no Reading", "return Reading(program, findings)")
        if not isinstance(reading.program, Program):
            raise _wrong(dialect, f"returned a Reading of {_told(reading.program)}, and no Program", _COLUMNS)
        if reading.program.frame != "controller":
            raise _wrong(
                dialect, f"returned a program in the {reading.program.frame} frame",
                'give Program(…, frame="controller"): the numbers as they stand in the file',
            )  # fmt: skip
        if strange := [each for each in reading.findings if not isinstance(each, Finding)]:
            raise _wrong(
                dialect, f"returned {_told(strange[0])} among its findings", "Finding(check=…, what=…, line=…)"
            )
        return Reading(reading.program, tuple(finding.at(file=file) for finding in reading.findings))

    return read
