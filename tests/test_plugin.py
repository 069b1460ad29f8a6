"""A third-party plugin, installed beside the library: all that it provides is found and used like a built-in."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

PLUGIN = Path(__file__).resolve().parent / "plugin"

USE_IT = """
import json, pathkit as pk
from dataclasses import replace
from pathkit.registry import find_pass

bit, cutting = pk.Tool("bit", 3.0, centre_cutting=True), pk.Cutting(feed=1000.0, plunge=300.0, spindle=12000.0)
line = pk.Toolpath("line", pk.Curve.polyline([[10, 10], [50, 10]]), bit, cutting, bottom=-2.0)
job = pk.Job("plate", pk.Stock(100, 80, 6), (line,))
machine = pk.load_machine("shopfloor-router")
outcome = pk.Pipeline([find_pass("slow_down")(share=0.25)]).run(job, machine, check=True)
program = pk.lower(outcome.job, machine)
posted = pk.post(program, machine)
monday = pk.lower(replace(outcome.job, name="monday plate"), machine)
print(json.dumps({
    "text": posted.text,
    "file": posted.files[0].name,
    "checks": [c.name for c in pk.verify(posted, program, machine).checks],
    "figures": dict(pk.verify(posted, program, machine)["no mondays"].figures),
    "monday": [str(f) for f in pk.verify(pk.post(monday, machine), monday, machine).findings],
}))
"""


@pytest.fixture(scope="module")
def environment(tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    place = tmp_path_factory.mktemp("site")
    pip = [
        sys.executable,
        "-m",
        "pip",
        "install",
        "--quiet",
        "--no-deps",
        "--no-build-isolation",
        "--target",
        str(place),
    ]
    subprocess.run([*pip, str(PLUGIN)], check=True, capture_output=True, text=True)
    return {**os.environ, "PYTHONPATH": str(place)}


def run(environment: dict[str, str], *words: str) -> str:
    done = subprocess.run([sys.executable, *words], env=environment, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    return done.stdout


def test_its_dialect_and_machine_are_listed_with_their_package(environment: dict[str, str]) -> None:
    for kind, name in (("dialects", "shopfloor"), ("machines", "shopfloor-router")):
        rows = json.loads(run(environment, "-m", "pathkit", kind, "--json"))[kind]
        assert [row["from"] for row in rows if row["name"] == name] == ["shopfloor-posts (shopfloor)"]
        assert any("pathkit-cam" in row["from"] for row in rows)


def test_everything_it_provides_works(environment: dict[str, str]) -> None:
    said = json.loads(run(environment, "-c", USE_IT))
    assert said["file"] == "plate.cut"
    lines = said["text"].splitlines()
    assert any(line.startswith("N") and "F250" in line for line in lines)
    assert any("; pathkit: plate" in line or ";pathkit: plate" in line for line in lines)
    assert "no mondays" in said["checks"]
    assert said["figures"] == {"letters": 5}
    assert len(said["monday"]) == 1
    assert "made on a Monday" in said["monday"][0]
