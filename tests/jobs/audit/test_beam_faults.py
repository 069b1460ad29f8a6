"""Job files for a beam: labels of cable-tidy plates, honest ones and ones with seeded faults."""

from __future__ import annotations

import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

import pathkit as pk
from pathkit.jobs import cut, toolpaths
from pathkit.jobs.planning import orders_of
from pathkit.jobs.reading import job_file_of
from tests.jobs.audit import faults
from tests.jobs.audit.faults import Patch, made

BEAM = replace(pk.load_machine("grbl-front-left"), name="bench beam", dialect="grbl-beam")

LABELS = """
name = "cable-tidy labels"
[stock]
thickness = 3
material = "plywood"
[[board]]
width = 200
depth = 120
[tools."blue beam"]
kind = "beam"
diameter = 0.2
[cutting.mark]
feed = 3000
power = 0.3
[cutting.cut]
feed = 600
power = 0.9
[[part]]
name = "label"
quantity = 4
outline = "edge"
[part.shapes]
edge.rectangle = { width = 50, depth = 20, radius = 4 }
line.line = [[6, 5], [44, 5]]
[[part.operations]]
kind = "burn"
name = "number"
cutting = "mark"
number_from = 7
text_at = [8, 8]
text_height = 6
[[part.operations]]
kind = "burn"
shape = "line"
cutting = "mark"
[[part.operations]]
kind = "burn"
shape = "edge"
cutting = "cut"
passes = 2
[layout]
spacing = 3
"""

BED = LABELS.replace("thickness = 3\n", 'thickness = 3\nz_zero = "bed"\nunderlay = 2\n')


@pytest.fixture(autouse=True)
def on_a_beam(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(faults, "MACHINE", BEAM)


@pytest.mark.parametrize("text", [LABELS, BED, LABELS.replace("feed = 600", 'feed = "24in/min"')],
                         ids=["top", "bed", "inches"])  # fmt: skip
def test_an_honest_job_file_passes(text: str) -> None:
    _, job, results = made(text, Path())
    assert [str(check) for check in results if check.status != "passed"] == []
    assert job.by_beam
    assert {path.cutting.power for path in job.toolpaths} == {0.3, 0.9}
    assert {path.lowest for path in job.toolpaths} == {job.stock.top}
    program = pk.lower(job, BEAM)
    assert pk.verify(pk.post(program, BEAM), program, BEAM, job=job).ok


def changed(**other: Any) -> Callable[[Patch], None]:
    """Every toolpath of the job with other values, such as a mistake on the way from the file would give them."""
    real = toolpaths.piece_of

    def seed(patch: Patch) -> None:
        def piece(*args: Any, **more: Any) -> Any:
            whole = real(*args, **more)
            paths = tuple(replace(p, **{k: v(p) for k, v in other.items()}) for p in whole.toolpaths)
            return replace(whole, toolpaths=paths)

        for module in [each for each in sys.modules.values() if getattr(each, "piece_of", None) is real]:
            patch.setattr(module, "piece_of", piece)

    return seed


def once_less(patch: Patch) -> None:
    real: Any = vars(cut)["burn"]
    patch.setattr(cut, "burn", lambda *args, passes, **more: real(*args, passes=max(1, passes - 1), **more))


def other_height(patch: Patch) -> None:
    real: Any = vars(cut)["burn"]
    patch.setattr(cut, "burn", lambda *args, height, **more: real(*args, height=height - 0.5, **more))


def stretched(path: Any) -> Any:
    return pk.Curve(path.curve.points * [1.02, 1.0, 1.0], closed=path.curve.closed)


FAULTS: dict[str, tuple[str, Callable[[Patch], None]]] = {
    "a pass too few": ("cuts as asked", once_less),
    "another height": ("depths as asked", other_height),
    "another power": (
        "feeds as asked", changed(cutting=lambda p: pk.Cutting.by_beam(feed=p.cutting.feed, power=0.5)),
    ),
    "another feed": (
        "feeds as asked", changed(cutting=lambda p: pk.Cutting.by_beam(feed=900.0, power=p.cutting.power)),
    ),
    "another size": ("cuts as asked", changed(curve=stretched)),
    "another kerf": ("bits as asked", changed(tool=lambda p: replace(p.tool, diameter=0.4))),
}  # fmt: skip


@pytest.mark.parametrize("name", FAULTS)
def test_seeded_faults_are_caught(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    caught_by, seed = FAULTS[name]
    seed(monkeypatch)
    failed = {check.name for check in made(LABELS, Path())[2] if check.status == "failed"}
    assert caught_by in failed


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("power = 0.9", "power = 0.9\nplunge = 400", "a beam has no plunge"),
        ("power = 0.9", "power = 0.9\nspindle = 9000", "a beam has no spindle"),
        ("power = 0.9", "power = 1.5", "power"),
        ("power = 0.9\n", "", "plunge is missing"),
        ("passes = 2", "passes = 0", "passes"),
        ("passes = 2", "bottom.from_top = 1", "a beam has no bottom"),
        ("passes = 2", "stepdown = 1", "a beam has no stepdown"),
        ('kind = "beam"', 'kind = "flat"', "is no beam"),
        (
            'kind = "burn"\nshape = "edge"\ncutting = "cut"\npasses = 2',
            'kind = "contour"\nshape = "edge"\ncutting = "cut"\nbottom.through = true',
            "no depth",
        ),
        ('material = "plywood"', 'material = "pvc"', "must not be cut"),
    ],
)
def test_what_makes_no_sense_is_refused_at_its_line(old: str, new: str, says: str) -> None:
    text = LABELS.replace(old, new)
    assert text != LABELS
    with pytest.raises(pk.InputError, match=says) as caught:
        orders_of(job_file_of(text, "job.toml", "."), [BEAM], effort=0)
    assert all(finding.line for finding in caught.value.findings)


def test_a_weaker_machine_burns_no_slower() -> None:
    """A share of the feed would burn more, not less."""
    text = LABELS + '[[machine]]\nprofile = "grbl-front-left"\ncutting = { feed = "50%" }\n'
    order = orders_of(job_file_of(text, "job.toml", "."), effort=0)[0]
    assert {path.cutting.feed for path in order.job.toolpaths} == {600.0, 3000.0}


def test_another_width_of_kerf_is_no_bit_to_exchange() -> None:
    with pytest.raises(pk.InputError, match="is a beam, which needs more"):
        orders_of(job_file_of(LABELS, "job.toml", "."), [BEAM], bits=("blue beam=0.3mm",), effort=0)
