"""The TOML edge of a machine profile: its form is derived from `Machine`; every finding has its line."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from pathkit.errors import ProfileError
from pathkit.fields import Above0
from pathkit.findings import Finding
from pathkit.forms import Filled, Table, filled, fills, read
from pathkit.machine.profile import Axes, Machine
from pathkit.toml_source import TomlSource, parse_toml


@fills(Axes, needed=("x", "y"))
class _Axes(Filled):
    """Where the bit goes over the board, as you stand at the front: ``x`` as X grows, ``y`` as Y grows, ``z`` as Z
    grows. A table that moves goes the other way.
    """


class _Link(Table):
    """The line to the controller: ``bytes_per_second`` is how much it takes, for estimates of the run time."""

    bytes_per_second: Above0 | None = None


class _Park(Table):
    """Where the bit stands at the end, in work coordinates: ``x`` and ``y`` from the zero, controller's axes, mm."""

    x: float
    y: float


@fills(
    Machine, "bytes_per_second", "park", needed=("origin", "left_handed"),
    types={Axes: filled(_Axes), Mapping[str, Any]: dict[str, Any]},
)  # fmt: skip
class ProfileFile(Filled):
    """The keys of a machine profile.

    ``name`` is yours for the machine. ``dialect`` is that of its controller. With ``left_handed`` its X, Y and Z are a
    left-handed frame, which is rare: it confirms what the axes say. ``homed`` says that it finds its machine
    coordinates by switches before each job. ``output`` holds what differs from the dialect's own; ``rehearsed`` is what
    was seen in the air. ``change`` is where bits are changed by hand: where it parks unless given.
    """

    link: _Link = _Link()
    park: _Park | None = None

    def elsewhere(self) -> Mapping[str, Any]:
        """What the machine has under other names than its file."""
        park = None if self.park is None else (self.park.x, self.park.y)
        return {"bytes_per_second": self.link.bytes_per_second, "park": park}


def machine_from_toml(text: str, source: str) -> Machine:
    """A profile from its text. Raises `ProfileError` with all that is wrong, each with its line."""
    return machine_from_document(parse_toml(text, source))


def machine_from_document(document: TomlSource) -> Machine:
    """From values with the keys of a profile, wherever they stood. Raises `ProfileError` with every finding."""
    found: list[Finding] = []
    file = read(ProfileFile, document, "profile", found)
    if file is None:
        raise ProfileError(found)
    machine: Machine = file.value()
    return machine
