"""What one machine is strong enough for: shares of the cutting values that the job file asks for."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathkit.jobs import schema


@dataclass(frozen=True)
class Strength:
    """Shares from 0.01 to 1 of the job's own values (see `pathkit.jobs.strength_form.Strength`)."""

    feed: float = 1.0
    plunge: float = 1.0
    spindle: float = 1.0
    stepdown: float = 1.0
    stepover: float = 1.0

    def __str__(self) -> str:
        """The values that are not asked for in full: ``feed 70 %, stepdown 50 %``; empty if all are."""
        shares = {f.name: getattr(self, f.name) for f in fields(self)}
        return ", ".join(f"{name} {100.0 * share:g} %" for name, share in shares.items() if share != 1.0)


def strength_of(form: schema.Machine | None) -> Strength:
    """The strength in a [[machine]] table; all shares are 1 if there is no table, or it has no ``cutting``."""
    if form is None or form.cutting is None:
        return Strength()
    shares = form.cutting.model_dump()
    return Strength(**{name: int(text.removesuffix("%")) / 100.0 for name, text in shares.items()})
