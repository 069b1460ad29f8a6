"""Files that are not made of words: read by a function from their dialect, which may fail in any way."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Protocol

from pathkit.errors import PathkitError, PluginError
from pathkit.machine.capabilities import Capabilities
from pathkit.readback.interpret import Reading


class Read(Protocol):
    """A text, the capabilities of its controller, and the file's name for findings → a `Reading`."""

    def __call__(self, text: str | bytes, capabilities: Capabilities, *, file: str | None = None) -> Reading: ...


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
            raise PluginError(
                f"the reader of the dialect {dialect!r} failed: {type(error).__name__}: {error}"
            ) from error
        if not isinstance(reading, Reading) or reading.program.frame != "controller":
            raise PluginError(f"the reader of the dialect {dialect!r} returned no Reading in the controller's frame")
        return Reading(reading.program, tuple(finding.at(file=file) for finding in reading.findings))

    return read
