"""What pathkit returns travels: pickled to another process, copied, shown in a line and in a notebook."""

from __future__ import annotations

import copy
import pickle
from dataclasses import replace
from typing import Any
from xml.etree import ElementTree

import numpy as np
import pytest

import pathkit as pk
from pathkit.proof.result import Verdict
from pathkit.tour import Problem, solve
from tests.face.conftest import Made

SHORT = 200
"""Characters: a line or two of a terminal."""


def values(made: Made) -> dict[str, Any]:
    problem = Problem.from_points(np.random.default_rng(0).random((60, 2)), name="<holes>")
    finding = pk.Finding(check="a", what="b")
    return {
        "job": made.job,
        "machine": made.machine,
        "outcome": made.outcome,
        "report": made.outcome.reports[0],
        "program": made.program,
        "posted": made.posted,
        "file": made.posted.files[0],
        "twin": pk.air_cut(made.posted, made.machine),
        "proof": made.proof,
        "check": made.proof.checks[0],
        "run time": pk.run_time(made.program, made.machine),
        "reading": pk.read(made.posted.text, made.machine),
        "problem": problem,
        "tour": solve(problem, effort=0.01),
        "passed": pk.OrderTravel()(made.job, made.machine),
        "verdict": Verdict([finding], figures={"a": 1.0}, proved=False),
        "finding": finding,
        "error": pk.CapabilityError([finding]),
    }


def same(a: Any, b: Any) -> bool:
    """Equal, or for what compares by identity, equal in every field, arrays and tuples of such fields too."""
    if isinstance(a, np.ndarray):
        return bool(np.array_equal(a, b, equal_nan=a.dtype.kind == "f"))
    if isinstance(a, (tuple, list)):
        return len(a) == len(b) and all(map(same, a, b))
    if isinstance(a, Exception):
        return type(a) is type(b) and str(a) == str(b)
    if not isinstance(a, pk.Program) and hasattr(a, "__dataclass_fields__"):
        return type(a) is type(b) and all(
            same(getattr(a, f), getattr(b, f)) for f in a.__dataclass_fields__ if f != "_"
        )
    return bool(a == b)


def test_every_value_pickles_and_copies(made: Made) -> None:
    for name, value in values(made).items():
        for again in (pickle.loads(pickle.dumps(value)), copy.deepcopy(value), copy.copy(value)):
            assert type(again) is type(value), name
            assert same(value, again), name
    verdict = pickle.loads(pickle.dumps(values(made)["verdict"]))
    assert (dict(verdict.figures), verdict.proved) == ({"a": 1.0}, False)


def test_a_posted_program_is_raised_and_proved_after_its_journey(made: Made) -> None:
    posted = pickle.loads(pickle.dumps(made.posted))
    assert pk.verify(posted, made.program, made.machine).ok
    assert pk.verify_twin(pk.air_cut(posted, made.machine), made.posted, made.machine).ok


def test_their_repr_is_a_line(made: Made) -> None:
    shown = {name: repr(value) for name, value in values(made).items()}
    for name in ("outcome", "report", "program", "posted", "file", "proof", "tour", "problem"):
        assert len(shown[name]) < SHORT, shown[name]
        assert "\n" not in shown[name]
    assert "plate.nc" in shown["posted"]
    assert "order_travel" in shown["outcome"]
    assert "60 items" in shown["tour"]
    bad = pk.verify(made.posted.text.replace("Z-2", "Z-3"), made.program, made.machine)
    assert "errors" in repr(bad)


def test_pictures_are_drawings_of_the_board(made: Made) -> None:
    """Lengths are in proportion: the cut is 40 mm long on a board of 300 mm."""
    name = "{http://www.w3.org/2000/svg}"
    drawn = ElementTree.fromstring(made.job._repr_svg_() or "")
    board, cut = (drawn.find(f"{name}{kind}") for kind in ("polygon", "polyline"))
    assert board is not None
    assert cut is not None
    ends = [np.ptp([float(place.split(",")[0]) for place in each.attrib["points"].split()]) for each in (board, cut)]
    assert ends[1] / ends[0] == pytest.approx(40.0 / 300.0, abs=1e-3)
    moves = ElementTree.fromstring(made.program._repr_svg_() or "")
    assert any("stroke-dasharray" in line.attrib for line in moves.iter(f"{name}polyline"))
    assert made.program.take(slice(0, 0))._repr_svg_() is None


def test_an_arc_is_drawn_round_its_centre(made: Made) -> None:
    ring = replace(made.job.toolpaths[0], curve=pk.Curve.circle((60, 60), 20))
    program = pk.lower(replace(made.job, toolpaths=(ring,)), made.machine)
    drawn = ElementTree.fromstring(program._repr_svg_() or "")
    size = max(float(drawn.attrib[side]) for side in ("width", "height")) - 8.0
    assert size == pytest.approx(640.0, abs=1.0)
    places = [p for line in drawn for p in line.attrib.get("points", "").split()]
    assert len(places) > 36


def test_tables_escape_what_comes_from_outside(made: Made) -> None:
    job = replace(made.job, name="<script>alert(1)</script>")
    assert "<script>" not in (job._repr_svg_() or "")
    bad = replace(made.proof.checks[0], status="failed", findings=(pk.Finding(check="a", what="hello <b>"),))
    said = replace(made.proof, checks=(bad,))._repr_html_()
    assert "<b>" not in said
    assert "&lt;b&gt;" in said
    ElementTree.fromstring(said)
    assert "60 items" in values(made)["tour"]._repr_html_()
