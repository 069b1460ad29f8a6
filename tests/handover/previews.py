"""What the tests of previews share: a build of hostile names, and pages taken apart."""

from __future__ import annotations

import base64
import json
import re
import zlib
from pathlib import Path
from typing import Any

import numpy as np

import pathkit as pk
from pathkit.handover.build import build_orders
from pathkit.handover.result import BuildResult
from pathkit.jobs.planning import orders_of
from pathkit.jobs.reading import job_file_of
from pathkit.machine.kinematics import RunTime, run_time
from pathkit.motion.program import Program
from pathkit.registry import load_machine

NASTY = "</script><img src=x onerror=alert(1)> & {{ 7 * 7 }}"
FRONT, BACK = "grbl-front-left", "grbl-back-right"
FOREIGN = ["G21 G90 G17 G94", "G54", "G0 Z5", "G0 X1 Y1", f"({NASTY})", "G99 X3", "G1 Z-2 F100", "X40 Y30", "M2"]


def hostile_build(tags: str, out: Path) -> BuildResult:
    """Key tags of a hostile name, for two machines; the board lies turned on one of them."""
    text = tags.replace('name = "key tags"', f"name = '{NASTY}'").replace('name = "tag"', f"name = '{NASTY}'")
    text = text.replace('tools."3 mm mill"', f"tools.'{NASTY}'").replace('"3 mm mill"', f"'{NASTY}'")
    orders = orders_of(job_file_of(text, "job.toml"), [load_machine(FRONT), load_machine(BACK)])
    made = build_orders(orders, out)
    assert made.ok, made.findings
    return made


def carried(page: bytes, columns: int = 10) -> tuple[dict[str, Any], np.ndarray, str]:
    """What a page carries, taken apart by hand: its figures, its ``columns`` (k, n), and the text."""
    found = dict(re.findall(rb'<script type="[a-z/]+" id="(\w+)">(.*?)</script>', page, re.S))
    about = json.loads(found[b"about"])
    planes = np.frombuffer(zlib.decompress(base64.b64decode(found[b"moves"])), np.uint8).reshape(
        columns, 4, about["rows"]
    )
    numbers = np.cumsum(planes.transpose(0, 2, 1).copy().view("<i4")[:, :, 0], axis=1, dtype=np.int64)
    return about, numbers, zlib.decompress(base64.b64decode(found[b"text"])).decode("utf-8")


def timed(text: bytes, program: Program, machine: Any) -> RunTime:
    """The run time of a file, its lines sent one after the other."""
    sizes = [len(line) for line in text.splitlines(keepends=True)]
    sent, last = [], 0
    for line in program.line.tolist():
        sent.append(sum(sizes[last:line]))
        last = max(last, line)
    return run_time(program, machine, line_bytes=sent if machine.bytes_per_second else None)


def read_back(built: BuildResult, k: int) -> tuple[bytes, Program, RunTime]:
    folder = built.folders[k]
    text = folder.files[folder.cut_file]
    program = pk.read(text, folder.machine.dialect).program
    return text, program, timed(text, program, folder.machine)
