"""The audit shares no code with what it judges, and knows every key that a job file may have."""

from __future__ import annotations

import dataclasses
import math
import subprocess
import sys
from typing import Any

import pytest

from pathkit.forms import Table
from pathkit.jobs import schema, shape_forms
from pathkit.jobs.audit import Asked, Made, audit, tables
from pathkit.jobs.audit.figures import figure_of
from pathkit.jobs.audit.plane import apart, area, line, vertices, without_ends
from pathkit.jobs.audit.report import MOST, Report, not_run
from pathkit.jobs.layout_form import Layout
from pathkit.jobs.planning import orders_of
from pathkit.jobs.reading import job_file_of
from pathkit.jobs.sources import audited, boards_of
from pathkit.jobs.strength_form import Strength
from pathkit.model.codec import dumps
from pathkit.passes.pipeline import Pipeline
from pathkit.passes.standard import standard_passes
from pathkit.registry import load_machine

PAIRS: list[tuple[type[Table], Any]] = [
    (schema.JobForm, tables.JOB), (schema.Stock, tables.STOCK), (schema.Board, tables.BOARD),
    (schema.Zone, tables.ZONE), (schema.Tool, tables.TOOL), (schema.Cutting, tables.CUTTING),
    (schema.Depth, tables.DEPTH), (schema.Part, tables.PART), (Layout, tables.LAYOUT),
    (Strength, tables.STRENGTH),
    (schema.Machine, tables.MACHINE), (schema.PartZone, tables.ZONE), (schema.Contour, tables.OPERATIONS["contour"]),
    (schema.Pocket, tables.OPERATIONS["pocket"]), (schema.Slot, tables.OPERATIONS["slot"]),
    (schema.Chamfer, tables.OPERATIONS["chamfer"]),
    (schema.Drill, tables.OPERATIONS["drill"]), (schema.Engrave, tables.OPERATIONS["engrave"]),
    (shape_forms.Rectangle, tables.SHAPES["rectangle"]), (shape_forms.Circle, tables.SHAPES["circle"]),
    (shape_forms.SlotShape, tables.SHAPES["slot"]),
]  # fmt: skip


@pytest.mark.parametrize(("form", "own"), PAIRS, ids=lambda each: getattr(each, "__name__", ""))
def test_keys_and_defaults_agree_with_the_form(form: type[Table], own: dict[str, Any]) -> None:
    """Keys and defaults are listed twice: a change in one place alone is seen here, and by the audit."""
    assert set(own) == set(form.model_fields)
    for name, field in form.model_fields.items():
        if field.is_required():
            assert own[name] is tables.NEEDED
        elif own[name] in ((), {}) or isinstance(own[name], tuple):
            assert list(own[name]) == list(field.get_default(call_default_factory=True) or ())
        else:
            assert own[name] == field.get_default(call_default_factory=True)


def test_shapes_and_passes_are_all_known() -> None:
    assert set(shape_forms.Shape.model_fields) == {*tables.SHAPES, *tables.OF_SHAPES}
    for step in standard_passes():
        assert dataclasses.is_dataclass(step)
        options = {name: getattr(step, name) for name in tables.PASSES[step.name]}
        # Set-up and material are no options of the file's [passes].
        fields = {field.name for field in dataclasses.fields(step)} - {"setup", "material"}
        assert fields == set(tables.PASSES[step.name])
        assert step.name == "ramp_entries" or options == dict(tables.PASSES[step.name])


def test_a_key_that_is_not_known_is_named_and_nothing_is_said(tags: str) -> None:
    text = tags.replace("stepdown = 1.5", "stepdown = 1.5\nwobble = 2")
    results = audit(Asked(text.encode(), {}), Made({}))
    assert {check.status for check in results} == {"not run"}
    assert "$.part[0].operations[0].wobble" in results[0].reason


def test_neither_forms_nor_what_makes_jobs_is_loaded() -> None:
    code = "import sys; from pathkit.jobs.audit import audit, judging, drawings; print(*sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    loaded = set(done.stdout.split())
    assert not {name for name in loaded if name.startswith(("pydantic", "numba"))}
    rooms = ("handover", "operations", "passes", "lowering", "model", "geometry", "machine", "motion", "toml_source")
    assert not {name for name in loaded if name.startswith(tuple(f"pathkit.{room}" for room in rooms))}


def test_an_arc_is_a_circle_by_its_area() -> None:
    # A half circle of radius 5 over its diameter has π r² / 2.
    half = vertices([(-5.0, 0.0), (5.0, 0.0)], [-3.141592653589793, 0.0], closed=True)
    assert area(half[:-1]) == pytest.approx(-3.141592653589793 * 12.5, rel=1e-3)
    assert float(half[:, 1].max()) == pytest.approx(5.0, abs=1e-3)
    three_quarters = vertices([(1.0, 0.0), (0.0, -1.0)], [3.0 * 1.5707963267948966])
    assert abs((three_quarters**2).sum(axis=1) - 1.0).max() < 1e-9


def test_rounds_may_fill_the_side_of_a_rectangle() -> None:
    given = {"corner": (8.0, 8.0), "width": 12.0, "depth": 14.0, "radius": 6.0}
    figure = figure_of({"kind": "rectangle", "is": given, "at": None}, {})
    assert figure.corners == ((),)
    assert area(figure.rings[0][:-1]) == pytest.approx(math.pi * 36.0 + 24.0, rel=1e-3)


def test_how_far_lines_lie_apart_is_seen_between_their_ends() -> None:
    bent = vertices([(0.0, 0.0), (50.0, 4.0), (100.0, 0.0)])
    off, place = apart([vertices([(0.0, 0.0), (100.0, 0.0)])], line(bent))
    assert off == pytest.approx(4.0, abs=0.05)
    assert place == pytest.approx([50.0, 0.0], abs=1.0)
    assert without_ends(bent, 10.0)[0] == pytest.approx([9.968, 0.797], abs=1e-3)


def test_many_findings_are_counted() -> None:
    report = Report()
    for k in range(30):
        report.add("cuts as asked", f"fault {k}")
    (failed,) = (check for check in report.results() if check.status == "failed")
    assert len(failed.findings) == MOST
    assert "and 22 more" in failed.findings[-1].what
    assert not_run("why")[0].reason == "why"


def test_a_folder_of_an_earlier_version_is_understood(tags: str) -> None:
    """The floor of a pocket used to be called ``raster``, in the job file and in the job."""
    orders = orders_of(job_file_of(tags, "job.toml"), [load_machine("grbl-front-left")], effort=0)
    order = orders[0]
    job = Pipeline(order.passes).run(order.job, order.machine, setup=order.setup).job
    written = dumps(job).replace(" rows", " raster").encode()
    assert written != dumps(job).encode()
    assert not [check for check in audited(order, boards_of(orders, order), written) if check.status == "failed"]
