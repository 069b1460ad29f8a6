"""Tests of a kit that a value is known to fail: run as strict expected failures, so that none is forgotten."""

from __future__ import annotations

import functools
from collections.abc import Mapping
from typing import Any, ClassVar

import pytest


class Deviating:
    """``deviations`` maps names of tests to the reason why each fails; one that passes nevertheless fails the suite."""

    deviations: ClassVar[Mapping[str, str]] = {}

    def __init_subclass__(cls, **rest: Any) -> None:
        super().__init_subclass__(**rest)
        for name, reason in cls.__dict__.get("deviations", {}).items():
            law = getattr(cls, name, None)
            if not name.startswith("test_") or not callable(law):
                raise TypeError(f"{cls.__name__}.deviations: there is no test called {name!r}")
            if not isinstance(reason, str) or not reason.strip():
                raise TypeError(f"{cls.__name__}.deviations: {name} needs its reason")
            setattr(cls, name, _expected_to_fail(law, reason))


def _expected_to_fail(law: Any, reason: str) -> Any:
    @functools.wraps(law)
    def deviating(self: Any) -> None:
        law(self)

    return pytest.mark.xfail(strict=True, reason=reason)(deviating)
