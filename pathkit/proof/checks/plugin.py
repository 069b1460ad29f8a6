"""The checks of the house, provided as any plugin provides its own."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pluggy

if TYPE_CHECKING:
    from collections.abc import Sequence

    from pathkit.findings import Check

hookimpl = pluggy.HookimplMarker("pathkit")


@hookimpl
def pathkit_checks() -> Sequence[Check]:
    """Those that every file is held against; `pathkit.proof.verify` runs them first, in the order of a report."""
    from pathkit.proof.verify import CHECKS

    return CHECKS
