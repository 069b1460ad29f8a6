"""The compiled kernels: what is compiled, and what happens where no code can be kept."""

from __future__ import annotations

import os
import subprocess
import sys
import warnings
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import pathkit as pk
from pathkit import kernels
from pathkit.kernels import kernel
from pathkit.tour.kernel.costs import draw, seeded


# Every test has a function of its own: code that is kept for one must not be loaded for another.
def twice(x: int) -> int:
    return 2 * x


def double(x: int) -> int:
    return x + x


def doubled(x: int) -> int:
    return x - -x


def thrice_itself(x: int) -> int:
    return x + x + x


def two_times(x: int) -> int:
    return x * 2


def tenfold(x: int) -> int:
    return 10 * x


def test_compiling_is_told_beforehand_and_never_printed(
    caplog: pytest.LogCaptureFixture, capfd: pytest.CaptureFixture[str]
) -> None:
    one: Any = kernel(tenfold)
    one._cache.flush()
    told = list[str]()
    with caplog.at_level("INFO", "pathkit"), kernels.announcing(told.append):
        assert one(2) == 20
        assert one(3) == 30
    assert told == [f"compiling {__name__}.tenfold, once"] == [record.message for record in caplog.records]
    assert "".join(capfd.readouterr()) == ""


def test_what_other_kernels_call_is_compiled_once_and_is_no_door() -> None:
    part = kernel(twice)

    @kernel
    def thrice(x: int, y: np.int32) -> int:
        return part(x) + part(y)  # type: ignore[arg-type]

    assert thrice(7, np.int32(-3)) == 8
    callee: Any = part
    assert [str(kind) for (kind,) in callee.callee.signatures] == ["int64"]
    assert callee.signatures == [], "no code for Python was made"
    assert part(4) == 8, "and is, when Python calls it"


def test_a_kernel_calls_one_that_python_calls_too() -> None:
    random = seeded(1)
    assert 0 <= draw(random, 3) < 3
    plain: Any = draw
    assert draw(seeded(1), 1 << 30) == plain.py_func(seeded(1), 1 << 30)


def test_a_numba_that_is_built_otherwise_costs_only_time(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delattr("numba.core.typed_passes.AnnotateTypes")
    assert kernels._callee_compiler() is None
    monkeypatch.setattr(kernels, "_CalleeCompiler", None)
    part = kernel(thrice_itself)

    @kernel
    def six_times(x: int) -> int:
        return 2 * part(x)

    assert six_times(7) == 42


def test_without_a_place_to_keep_code_one_warning_is_given_and_work_goes_on(monkeypatch: pytest.MonkeyPatch) -> None:
    def nowhere(_: Any) -> None:
        raise RuntimeError("cannot cache function: no locator available")

    monkeypatch.setattr(kernels, "_warned", [])
    monkeypatch.setattr(kernels, "_Cache", nowhere)
    with pytest.warns(UserWarning, match="set NUMBA_CACHE_DIR"):
        first = kernel(double)
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        second = kernel(doubled)
    assert (first(2), second(3)) == (4, 6)


def test_a_full_disk_is_no_fault(monkeypatch: pytest.MonkeyPatch, tmp_path: Any) -> None:
    def full(*_: Any) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(kernels, "_warned", [])
    monkeypatch.setattr("numba.core.caching.FunctionCache.save_overload", full)
    made = kernel(two_times)
    with pytest.warns(UserWarning, match="No space left on device"):
        assert made(4) == 8
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        assert made(2.5) == 5.0  # type: ignore[arg-type]


def test_code_kept_by_an_earlier_version_is_made_anew(tmp_path: Path) -> None:
    """An argument's type had another name in the earlier version, so the kept code cannot be read any more."""
    (tmp_path / "use.py").write_text(USE)
    environment = {**os.environ, "XDG_CACHE_HOME": str(tmp_path / "caches"), "NUMBA_CACHE_DIR": ""}
    for name in ("Old", "New"):
        (tmp_path / "shape.py").write_text(SHAPE.replace("Old", name))
        done = subprocess.run(
            [sys.executable, "use.py"], cwd=tmp_path, capture_output=True, text=True, check=False, env=environment
        )
        assert (done.returncode, done.stdout) == (0, "7\n"), done.stderr
    kept = list(tmp_path.rglob("*.nbi"))
    assert len(kept) == 1
    if sys.platform == "linux":
        assert kept[0].is_relative_to(tmp_path / "caches" / "pathkit" / pk.__version__), "nothing beside the module"


def test_kept_code_is_loaded_without_what_only_compiling_needs(tmp_path: Path) -> None:
    """A second process reads the machine code; one that has read some may still compile other kernels."""
    (tmp_path / "sums.py").write_text(SUMS)
    environment = {**os.environ, "NUMBA_CACHE_DIR": str(tmp_path / "kept")}
    said = [
        subprocess.run(
            [sys.executable, "-c", f"from sums import {name}"],
            cwd=tmp_path, capture_output=True, text=True, check=True, env=environment,
        ).stdout.splitlines()
        for name in ("total", "total", "both")
    ]  # fmt: skip
    assert said == [["total 6.0", "True"], ["total 6.0", "False"], ["total 6.0", "both 12.0", "True"]]


SUMS = """
import sys
import numpy as np
from pathkit.kernels import kernel

@kernel
def part(x):
    grown = np.empty(1)
    grown[0] = x
    return grown[0]

@kernel
def summed(x):
    whole = 0.0
    for each in x:
        whole += part(each)
    return whole

@kernel
def double(x):
    return summed(x) + summed(x)

def __getattr__(name):
    if name.startswith("__"):
        raise AttributeError(name)
    print("total", summed(np.array([1.0, 2.0, 3.0])))
    if name == "both":
        print("both", double(np.array([1.0, 2.0, 3.0])))
    print("numba.np.arraymath" in sys.modules)
"""

SHAPE = """
from typing import NamedTuple
class Old(NamedTuple):
    width: int
def shape():
    return Old(3)
"""
USE = """
from pathkit.kernels import kernel
from shape import shape
@kernel
def more(of, by):
    return of.width + by
print(more(shape(), 4))
"""
