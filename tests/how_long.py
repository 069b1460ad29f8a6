"""How long the tests look: by default at a fixed share of what the profiles `dev` and `nightly` look at in full."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final, TypeVar

from hypothesis import settings

Case = TypeVar("Case")

LONGER: Final = settings().max_examples >= 50


def usually(few: Iterable[Case], *, of: Iterable[Case]) -> list[Case]:
    """A ``few`` cases by default, and every one ``of`` these in the profiles that look longer."""
    some, every = list(few), list(of)
    unknown = [case for case in some if case not in every]
    assert not unknown, unknown
    return every if LONGER else some
