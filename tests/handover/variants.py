"""What the tests of many builds at once share: six routers, and a pass that kills the process that runs it."""

from __future__ import annotations

import importlib
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

import pathkit as pk
from pathkit.jobs.demo import demo_machines
from pathkit.machine.profile import Machine, Sideways, Upright

AXES: tuple[tuple[Sideways, Sideways, Upright, bool], ...] = (
    ("right", "away", "up", False),
    ("away", "right", "up", True),
    ("left", "away", "down", False),
)


def six_routers() -> list[Machine]:
    """Two dialects, each with its axes in three ways: one program serves them all."""
    base = demo_machines()[1]
    return [
        replace(
            base, name=f"router {dialect} {k}", dialect=dialect, output={}, origin="front-left", axes=pk.Axes(x, y, z),
            left_handed=left, homed=False, travel=pk.Travel(900, 900, 80), park=None, rehearsed=None,
        )
        for dialect in ("grbl", "rs274ngc")
        for k, (x, y, z, left) in enumerate(AXES)
    ]  # fmt: skip


DEADLY = '''
import os, signal, time
from dataclasses import dataclass
from pathlib import Path
import pathkit as pk

@dataclass(frozen=True)
class Deadly:
    """A pass that ends its process the first time that it runs: when the file does not exist yet."""
    flag: str
    wait: str = ""
    name: str = "deadly"
    promises: tuple = ()

    def __call__(self, job, machine, *, progress=None):
        if machine.name.endswith("0") and not os.path.exists(self.flag):
            # Something else is finished first.
            for _ in range(600):
                if not self.wait or os.path.exists(self.wait):
                    break
                time.sleep(0.1)
            Path(self.flag).touch()
            os.kill(os.getpid(), signal.SIGKILL)
        return pk.Passed(job)
'''


@contextmanager
def deadly_in(folder: Path) -> Iterator[Any]:
    """The class `Deadly`, in a module in this folder that processes find which are started from now on."""
    (folder / "deadly_pass.py").write_text(DEADLY)
    with pytest.MonkeyPatch.context() as patch:
        patch.syspath_prepend(folder)
        patch.setenv("PYTHONPATH", os.pathsep.join([str(folder), *sys.path]))
        yield importlib.import_module("deadly_pass").Deadly
    del sys.modules["deadly_pass"]
