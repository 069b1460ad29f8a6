"""What the command line asks of the C library's memory: freed arrays are used again, in its own processes only."""

from __future__ import annotations

import subprocess
import sys

import pytest

LARGE = 10_000_000
"""Doubles of an array: 80 MB, more than the C library keeps by itself (its M_MMAP_THRESHOLD is 32 MB at most)."""

_FAULTS = f"""
import resource, sys
import numpy as np
if sys.argv[1] == "kept":
    from pathkit.cli.memory import keep_memory
    keep_memory()
else:
    import pathkit.cli.main
np.ones({LARGE})
before = resource.getrusage(resource.RUSAGE_SELF).ru_minflt
np.ones({LARGE})
print(resource.getrusage(resource.RUSAGE_SELF).ru_minflt - before)
"""


def pages_fetched(how: str) -> int:
    done = subprocess.run([sys.executable, "-c", _FAULTS, how], capture_output=True, text=True, check=True)
    return int(done.stdout)


@pytest.mark.skipif(sys.platform != "linux", reason="the setting is one of the GNU C library")
def test_freed_memory_is_used_again_where_it_is_asked_for_and_nowhere_else() -> None:
    # mallopt(3): blocks above M_MMAP_THRESHOLD are mapped anew for each request, unless M_MMAP_MAX is 0. Pages have
    # 4 kB, or 2 MB where the system gives numpy larger ones.
    kept, embedded = pages_fetched("kept"), pages_fetched("embedded")
    assert embedded >= LARGE * 8 / 2**21
    assert kept < embedded / 2
