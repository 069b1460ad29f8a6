"""One tree of errors. A program that embeds the library catches `PathkitError`; the command line exits with code 2.

PathkitError
├── InputError (also ValueError)      the input is wrong
│   ├── ModelError                    an impossible value in a job
│   ├── ProfileError                  a machine profile that contradicts itself or is incomplete
│   └── UnknownName                   no machine, dialect, pass or check of that name
├── Refused                           the input is sound, but doing this would be unsafe or impossible
│   ├── CapabilityError               the controller cannot take it
│   └── PassRefused                   a pass cannot keep its promises
├── PluginError                       a plugin is broken or two claim one name
└── OutputError                       the result cannot be written; nothing was left half done
"""

from __future__ import annotations

from collections.abc import Iterable

from pathkit.findings import Finding


class PathkitError(Exception):
    """Base of every error the library raises on purpose. ``findings`` lists all that is wrong, not only the first."""

    def __init__(self, message: str | Iterable[Finding]) -> None:
        if isinstance(message, str):
            self.findings: tuple[Finding, ...] = (Finding(check=type(self).__name__, what=message),)
        else:
            self.findings = tuple(message)
        super().__init__("\n".join(str(f) for f in self.findings))

    def __reduce__(self) -> tuple[type[PathkitError], tuple[tuple[Finding, ...]]]:
        return type(self), (self.findings,)


class InputError(PathkitError, ValueError):
    """The input is wrong."""


class ModelError(InputError):
    """An impossible value in a job."""


class ProfileError(InputError):
    """A machine profile that contradicts itself or is incomplete."""


class UnknownName(InputError, LookupError):
    """No machine, dialect, pass or check of that name."""


class Refused(PathkitError):
    """The input is sound, but doing this would be unsafe or impossible."""


class CapabilityError(Refused):
    """The controller cannot take it; the finding names the command and the capability."""


class PassRefused(Refused):
    """A pass cannot keep its promises on this job."""


class PluginError(PathkitError):
    """A plugin is broken, or two packages claim one name."""


class OutputError(PathkitError):
    """The result cannot be written; nothing was left half done."""
