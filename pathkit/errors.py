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
    """Base of every error the library raises on purpose. ``findings`` lists all that is wrong, not only the first.

    >>> try:
    ...     pk.load_machine("nowhere")
    ... except pk.PathkitError as error:
    ...     print(len(error.findings))
    1
    """

    def __init__(self, message: str | Iterable[Finding]) -> None:
        if isinstance(message, str):
            self.findings: tuple[Finding, ...] = (Finding(check=type(self).__name__, what=message),)
        else:
            self.findings = tuple(message)
        super().__init__("\n".join(str(f) for f in self.findings))

    def __reduce__(self) -> tuple[type[PathkitError], tuple[tuple[Finding, ...]]]:
        return type(self), (self.findings,)


class InputError(PathkitError, ValueError):
    """The input is wrong.

    >>> try:
    ...     pk.Stock(300.0, 200.0, -6.0)
    ... except pk.InputError as error:
    ...     print(error.findings[0].path)
    $.thickness
    """


class ModelError(InputError):
    """An impossible value in a job.

    >>> try:
    ...     pk.Ramp(angle=120.0)
    ... except pk.ModelError as error:
    ...     print(error.findings[0].path)
    $.angle
    """


class ProfileError(InputError):
    """A machine profile that contradicts itself or is incomplete.

    >>> odd = replace(machine, output={"colour": "red"})
    >>> try:
    ...     pk.post(pk.lower(job, machine), odd)
    ... except pk.ProfileError as error:
    ...     print(error.findings[0].path)
    $.output.colour
    """


class UnknownName(InputError, LookupError):
    """No machine, dialect, pass or check of that name.

    >>> try:
    ...     pk.read("", "grlb")
    ... except pk.UnknownName as error:
    ...     print(error.findings[0].fix)
    did you mean 'grbl'?
    """


class Refused(PathkitError):
    """The input is sound, but doing this would be unsafe or impossible.

    >>> issubclass(pk.CapabilityError, pk.Refused)
    True
    """


class CapabilityError(Refused):
    """The controller cannot take it; the finding names the command and the capability.

    >>> fast = replace(machine, spindle=pk.SpindleControl("words", 0.0, 9000.0, 2.0))
    >>> try:
    ...     pk.post(pk.lower(job, machine), fast)
    ... except pk.CapabilityError as error:
    ...     print(error.findings[0].check)
    legalise
    """


class PassRefused(Refused):
    """A pass cannot keep its promises on this job.

    >>> issubclass(pk.PassRefused, pk.Refused)
    True
    """


class PluginError(PathkitError):
    """A plugin is broken, or two packages claim one name.

    >>> try:
    ...     pk.Registry().add(pk.Dialect())
    ... except pk.PluginError as error:
    ...     print(error.findings[0].check)
    dialect
    """


class OutputError(PathkitError):
    """The result cannot be written; nothing was left half done.

    >>> issubclass(pk.OutputError, pk.PathkitError)
    True
    """
