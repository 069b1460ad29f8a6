"""What a plugin may provide. Every hook returns a list of values; the built-ins are provided the same way.

A plugin is a module named by an entry point of the group ``pathkit``; it marks its functions with `pathkit.hookimpl`.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import pluggy

if TYPE_CHECKING:
    from pathkit.dialect.base import Dialect
    from pathkit.findings import Check
    from pathkit.machine.profile import Machine
    from pathkit.passes.base import Pass

hookspec = pluggy.HookspecMarker("pathkit")
hookimpl = pluggy.HookimplMarker("pathkit")
"""Marks a plugin's functions."""


@hookspec
def pathkit_dialects() -> Sequence[Dialect]:  # type: ignore[empty-body]
    """Dialects, as instances, each with its own ``name``."""


@hookspec
def pathkit_passes() -> Sequence[type[Pass]]:  # type: ignore[empty-body]
    """Passes, as classes, each with its own ``name``."""


@hookspec
def pathkit_machines() -> Sequence[Machine]:  # type: ignore[empty-body]
    """Machine profiles, to be loaded by name."""


@hookspec
def pathkit_checks() -> Sequence[Check]:  # type: ignore[empty-body]
    """Checks that the proof runs in addition to its own."""
