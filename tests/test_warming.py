"""Compiling ahead: what it covers, and that it says what is left."""

from __future__ import annotations

import importlib
from typing import Any

import pytest
from click.testing import CliRunner

from pathkit import kernels, warming
from pathkit.cli.main import cli


@pytest.mark.parametrize("name", warming._EXERCISES)
def test_each_exercise_compiles_the_kernel_that_stands_for_it(name: str) -> None:
    exercise, module, door = warming._EXERCISES[name]
    exercise()
    kernel: Any = getattr(importlib.import_module(module), door)
    assert kernels.is_compiled(kernel)


def test_what_is_not_compiled_is_named_unless_it_cannot_be_kept(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(kernels, "is_compiled", lambda _: False)
    monkeypatch.setattr(kernels, "is_kept", lambda _: True)
    assert warming.cold() == tuple(warming._EXERCISES)
    monkeypatch.setattr(kernels, "is_kept", lambda _: False)
    assert warming.cold() == ()


def test_compiling_happens_in_processes_and_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    told: list[tuple[int, int, str]] = []

    def tell(*said: Any) -> bool:
        told.append(said)
        return True

    monkeypatch.setattr(warming, "cold", lambda: ("run times",))
    assert warming.warm(workers=1, progress=tell) == ("run times",)
    assert told == [(1, 1, "compiled: run times")]


def test_the_command_says_what_it_waits_for(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(warming, "warm", lambda **_: ("run times",))
    monkeypatch.setattr(warming, "cold", lambda: ("run times",))
    assert "once, takes about a minute: run times" in CliRunner().invoke(cli, ["warm"]).stderr
    assert '"compiled": [' in CliRunner().invoke(cli, ["warm", "--json"]).stdout
    monkeypatch.setattr(warming, "cold", lambda: ())
    assert "nothing to compile" in CliRunner().invoke(cli, ["warm"]).stdout


def test_a_kernel_is_kept_and_compiled_or_not(monkeypatch: pytest.MonkeyPatch) -> None:
    def thrice(x: int) -> int:
        return 3 * x

    monkeypatch.setattr(kernels, "_keep", lambda _: None)
    made: Any = kernels.kernel(thrice)
    if made is thrice:
        pytest.skip("compiling is switched off")
    assert not kernels.is_kept(made)
    assert not kernels.is_compiled(made)
    assert made(2) == 6
    assert kernels.is_compiled(made)
    assert kernels.is_compiled(thrice), "plain Python needs no compiling"
