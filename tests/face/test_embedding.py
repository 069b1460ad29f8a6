"""The same program in one thread, in several, and in forked and spawned processes: the same bytes, nothing printed."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

SCRIPT = Path(__file__).with_name("embedding.py")


def run(kind: str) -> str:
    done = subprocess.run([sys.executable, str(SCRIPT), kind], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    assert done.stderr == "", "the library prints nothing by itself"
    return done.stdout


@pytest.fixture(scope="module")
def alone() -> str:
    return run("none")


def test_one_after_the_other_they_are_proved(alone: str) -> None:
    lines = alone.splitlines()
    assert len(set(lines)) == 3
    assert all(line.endswith(" True") for line in lines)


@pytest.mark.parametrize("kind", ["threads", "fork", "spawn"])
def test_beside_each_other_they_have_the_same_bytes(kind: str, alone: str) -> None:
    if kind == "fork" and sys.platform in ("win32", "darwin"):
        pytest.skip("this system does not fork safely")
    assert run(kind) == alone
