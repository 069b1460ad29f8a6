"""What the examples in docstrings begin with, so that each of them need not say it again."""

from __future__ import annotations

import dataclasses
from typing import Any


def examples() -> dict[str, Any]:
    """Names that an example may use: ``pk``, ``replace``, a small ``job`` of one groove, and a ``machine`` for it."""
    import pathkit as pk

    bit = pk.Tool("3 mm", 3.0, centre_cutting=True)
    line = pk.Curve.polyline([(10, 10), (40, 10)])
    groove = pk.Toolpath("groove", line, bit, pk.Cutting(feed=1200.0, plunge=400.0, spindle=18000.0), bottom=-2.0)
    job = pk.Job("tidy", pk.Stock(60.0, 40.0, 6.0), (groove,))
    return {"pk": pk, "replace": dataclasses.replace, "job": job, "machine": pk.load_machine("grbl-front-left")}
