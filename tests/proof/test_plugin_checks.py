"""A plugin's check that breaks has proved nothing: the proof fails, and names the check and the line."""

from __future__ import annotations

from typing import Any

import pytest

import pathkit as pk
from pathkit.proof.verify import verify
from pathkit.registry import capabilities_of


class Broken:
    name = "house rule"
    needs: Any = frozenset({"text"})
    limits = "looks at nothing"

    def __call__(self, evidence: pk.Evidence) -> Any:
        return evidence.text["nothing"]  # type: ignore[call-overload]


class Misled(Broken):
    """Calls the library wrongly: what raises is the library, what is wrong is here."""

    def __call__(self, evidence: pk.Evidence) -> Any:
        return pk.lower(evidence, evidence.machine)  # type: ignore[arg-type]


class Vague(Broken):
    def __call__(self, evidence: pk.Evidence) -> Any:
        return ["something is wrong"]


class Mistyped(Broken):
    needs = ("text",)

    def __call__(self, evidence: pk.Evidence) -> Any:
        return None


class Greedy(Broken):
    needs = 3


@pytest.mark.parametrize(
    ("check", "said", "line"),
    [
        (Broken(), "TypeError", 20),
        (Misled(), "InputError: .*job is an Evidence", 27),
        (Vague(), "'something is wrong', which is no Finding", None),
        (Mistyped(), "TypeError", None),
        (Greedy(), "TypeError", None),
    ],
)
def test_a_check_that_raises_is_named_and_fails(check: Any, said: str, line: int | None) -> None:
    machine = pk.load_machine("grbl-front-left")
    bit, feeds = pk.Tool("3 mm", 3.0, centre_cutting=True), pk.Cutting(feed=600.0, plunge=200.0, spindle=9000.0)
    path = pk.Toolpath("line", pk.Curve.polyline([[10, 10], [40, 10]]), bit, feeds, bottom=-2.0)
    program = pk.lower(pk.Job("plate", pk.Stock(60, 40, 6), [path]), machine)
    proof = verify(pk.post(program, machine), program, machine, capabilities_of(machine), checks=[check])
    assert not proof.ok
    (finding,) = proof["house rule"].findings
    assert proof["house rule"].status == "failed"
    assert "house rule" in finding.what
    with pytest.raises(AssertionError, match=said):
        raise AssertionError(finding.what)
    if line is not None:
        assert f"{__file__}, line {line}" in finding.what
