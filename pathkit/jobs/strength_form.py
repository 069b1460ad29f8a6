"""What one machine is strong enough for, as [[machine]] of a job file says it: shares of the job's feeds and bites."""

from __future__ import annotations

import re
from typing import Annotated, Final

from pydantic import AfterValidator, Field

from pathkit.forms import Table

SHARE: Final = r"^(100|[1-9][0-9]?)%$"


def _share(text: str) -> str:
    if re.fullmatch(SHARE, text) is None:
        raise ValueError('give a share of what the job asks, from "1%" to "100%"')
    return text


Share = Annotated[str, AfterValidator(_share), Field(json_schema_extra={"pattern": SHARE})]


class Strength(Table):
    """Shares of the job's own cutting values that one machine is asked for, never more than the whole.

    ``feed`` is for feeds along and on ramps, ``plunge`` for feeds straight down. ``stepdown`` is a share of the
    operation's stepdown, or of its whole depth if it gives none. ``stepover`` is for everything that is cleared.
    ``spindle`` is for its speed.
    """

    feed: Share = "100%"
    plunge: Share = "100%"
    spindle: Share = "100%"
    stepdown: Share = "100%"
    stepover: Share = "100%"
