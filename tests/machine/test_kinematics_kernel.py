"""The compiled planner does the same as its Python source."""

from __future__ import annotations

import os
import subprocess
import sys

import numpy as np


def test_the_kernel_equals_its_plain_python_self() -> None:
    code = (
        "import math, numpy as np\n"
        "from pathkit.machine.kinematics import run_time\n"
        "from pathkit.machine.profile import *\n"
        "from pathkit.motion.program import *\n"
        "r = np.random.default_rng(1)\n"
        "e = np.cumsum(r.normal(0, 3, (40, 3)), axis=0)\n"
        "k = np.where(np.arange(40) % 3 == 0, RAPID, LINE); k[20] = ARC\n"
        "c = np.full((40, 2), np.nan); c[20] = e[19, :2] + [5, 0]; e[20, :2] = c[20] + [0, 5]\n"
        "s = np.full(40, np.nan); s[20] = -math.pi / 2\n"
        "n = np.full(40, -1)\n"
        "p = Program(np.zeros(3), k, e, c, s, np.full(40, 1500.0), n, n, n, (Dwell(0.1),), [7], frame='controller')\n"
        "m = Motion((6000, 3000, 1200), (3000, 2400, 600), (400, 200, 100), steps_per_mm=(80, 160, 400))\n"
        "x = Machine('m', 'any', Axes(), Travel(9, 9, 9), m, bytes_per_second=800.0)\n"
        "t = run_time(p, x, line_bytes=np.full(40, 20))\n"
        "print(t.planned_moves, t.per_move.tobytes().hex(), t.standing.tobytes().hex())\n"
    )
    compiled, plain = (
        subprocess.run(
            [sys.executable, "-c", code], capture_output=True, text=True, check=True,
            env={**os.environ, "NUMBA_DISABLE_JIT": switch},
        ).stdout
        for switch in ("0", "1")
    )  # fmt: skip
    planned, *columns = zip(compiled.split(), plain.split(), strict=True)
    assert planned[0] == planned[1]
    for fast, slow in columns:
        # The compiler may fuse a multiplication and an addition: only the last bits differ.
        assert np.allclose(np.frombuffer(bytes.fromhex(fast)), np.frombuffer(bytes.fromhex(slow)), rtol=1e-12)
