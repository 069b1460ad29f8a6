"""Equal copies: what is said of one never depends on the others."""

from __future__ import annotations

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

import pathkit as pk
from pathkit.proof.material.copies import Known
from tests.proof.checks.test_finished_shape import IN_INCHES, MACHINE, cut_of, proved, row_of_slots


@settings(max_examples=8)
@given(
    st.lists(st.sampled_from([0.0, 0.002, 0.006, 0.009, 0.0105, 0.0115, 0.013, 0.016, 0.03]), min_size=6, max_size=6)
)
@example([0.0, 0.0115, 0.013, 0.009, 0.0, 0.016])
def test_what_is_said_of_a_copy_never_depends_on_the_others(aside: list[float]) -> None:
    """Slots that lie a little beside their place, each another bit, up to where it is too much and a count beyond."""
    job = row_of_slots(lambda k: cut_of(k, aside=aside[k]))
    for machine in (MACHINE, IN_INCHES):
        program = pk.lower(job, machine)
        posted = pk.post(program, machine)
        shared = pk.verify(posted, program, machine, job=job)["finished shape"]
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(Known, "vouch_for", lambda *_: False)
            alone = pk.verify(posted, program, machine, job=job)["finished shape"]
        assert shared.as_dict() == alone.as_dict()


def test_a_shallow_gouge_is_named_beside_a_deep_one() -> None:
    aside = {1: 0.5, 2: 0.05, 4: 0.5, 5: 0.02}
    job = row_of_slots(lambda k: cut_of(k, aside=aside.get(k, 0.0)))
    gouges = proved(job)["gouges"]
    said = {f.path: f.what for f in gouges.findings}
    assert set(said) == {f"$.parts[{k}]" for k in aside}
    assert all(said[f"$.parts[{k}]"].startswith(f"cuts {by:.2f}") for k, by in aside.items())
    assert float(gouges.figures["deepest_mm"]) == pytest.approx(0.5, abs=0.002)
