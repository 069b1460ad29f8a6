"""The built-in checks, provided in the same way as a plugin's."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pluggy

if TYPE_CHECKING:
    from collections.abc import Sequence

    from pathkit.findings import Check

hookimpl = pluggy.HookimplMarker("pathkit")


@hookimpl
def pathkit_checks() -> Sequence[Check]:
    """The checks that every file must pass; `pathkit.proof.verify` runs them first, in the order of a report."""
    from pathkit.proof.verify import CHECKS

    return CHECKS
