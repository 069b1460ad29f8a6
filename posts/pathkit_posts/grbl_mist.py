"""GRBL 1.1 built with mist coolant."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from pathkit_posts.grbl import GRAMMAR as PLAIN
from pathkit_posts.grbl import Grbl

GRAMMAR: Final = replace(PLAIN, title="GRBL 1.1 with M7", codes=PLAIN.codes | {"M7"})
"""GRBL's interface documents: a build reports its options by `$I`; an M among them says that it has mist coolant (M7),
which can run together with flood (M8) until M9 ends both. Nothing else is assumed that `$I` does not report."""


class GrblMist(Grbl):
    """GRBL 1.1 whose `$I` answers with an M among the letters of [OPT:…]."""

    name = "grbl-mist"
    title = "GRBL 1.1 with mist coolant"
    capabilities = replace(Grbl.capabilities, coolants=frozenset({"flood", "mist"}), grammar=GRAMMAR)
