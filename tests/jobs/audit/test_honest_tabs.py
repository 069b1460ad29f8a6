"""As many tabs as hold: honest jobs raise no alarm, and too few tabs are told."""

from __future__ import annotations

from collections.abc import Callable
from itertools import product
from typing import Any

import pytest

from tests.how_long import usually

Alarms = Callable[..., list[str]]


MATERIALS = ("softwood", "plywood", "mdf", "acrylic")
LAYOUTS = ("", "keep_grain = false\n")
OPTIONS: tuple[dict[str, Any], ...] = ({}, {"bits": ("3 mm mill=2.5mm",)}, {"turn": 1})
PAIRS = [(wood, options, LAYOUTS[(m + k) % 2]) for m, wood in enumerate(MATERIALS) for k, options in enumerate(OPTIONS)]
"""Any two values of two of these stand together in at least one case."""


@pytest.mark.parametrize(("material", "options", "layout"), usually(PAIRS, of=product(MATERIALS, OPTIONS, LAYOUTS)))
def test_as_many_tabs_as_hold(
    alarms: Alarms, tags: str, material: str, layout: str, options: dict[str, Any]
) -> None:  # fmt: skip
    text = tags.replace("thickness = 6", f'thickness = 6\ngrain = 30\nmaterial = "{material}"')
    text = text.replace("margin = 8\n", f"margin = 8\n{layout}")
    if options:
        text = text.replace("stepdown = 2\n[layout]", "stepdown = 2\nlead = 3\n[layout]")
    assert not alarms(
        text.replace("count = 2, width = 5, height = 2", 'count = "auto", width = 8, height = 3'), **options
    )


def finished_tags(tags: str, count: str) -> str:
    text = tags.replace("thickness = 6", 'thickness = 6\nmaterial = "plywood"').replace("copies = 3", "copies = 1")
    text = text.replace("bottom.through = 0.4", "bottom.through = 0.4\nfinish = { allowance = 0.3 }")
    return text.replace("count = 2, width = 5, height = 2", f"count = {count}, width = 8, height = 3")


def test_as_many_tabs_as_hold_a_wall_that_is_finished(alarms: Alarms, tags: str) -> None:
    """The lap takes off little at full depth: what its tabs bear is the cut before it."""
    assert alarms(finished_tags(tags, '"auto"')) == []


def test_too_few_tabs_on_a_wall_that_is_finished_are_told(
    alarms: Alarms, tags: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("pathkit.passes.hold_tabs.used", lambda *_: 0.0)
    (said,) = alarms(finished_tags(tags, '"auto"').replace("feed = 1400", "feed = 4000"))
    assert said.startswith("tabs as asked: failed")
    assert "outline'" in said
    assert "outline finish'" in said
