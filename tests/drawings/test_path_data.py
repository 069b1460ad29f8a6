"""The syntax of SVG paths: what is read is held against the library svg.path, another reading of the same standard."""

from __future__ import annotations

import cmath
import math
import subprocess
import sys
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from svg.path import parse_path

from pathkit.drawings.path_data import Segment, ellipse_of, segments_of
from pathkit.errors import InputError
from pathkit.jobs.drawn import drawn
from pathkit.jobs.reading import job_file_of

numbers = st.decimals(-50, 50, places=2).map(str)
flags = st.sampled_from("01")
SETS = {"M": "nn", "L": "nn", "T": "nn", "H": "n", "V": "n", "S": "nnnn", "Q": "nnnn", "C": "nnnnnn", "A": "pptffnn"}
KINDS = {"n": numbers, "f": flags, "p": st.decimals(1, 60, places=1).map(str), "t": st.integers(-90, 90).map(str)}


@st.composite
def commands(draw: st.DrawFn) -> str:
    kind = draw(st.sampled_from([*SETS, "Z"]))
    wanted = SETS.get(kind, "")
    sets = [[draw(KINDS[each]) for each in wanted] for _ in range(draw(st.integers(1, 3)) if wanted else 1)]
    between = draw(st.sampled_from([" ", ",", " , "]))
    return draw(st.sampled_from([kind, kind.lower()])) + " ".join(between.join(each) for each in sets)


paths = st.lists(commands(), min_size=1, max_size=8).map(lambda each: "M 3 4 " + " ".join(each))


def places_of(segment: Segment) -> list[complex]:
    shares = [k / 6 for k in range(7)]
    if segment.kind == "move":
        return [segment.end]
    if segment.kind == "arc" and (arc := ellipse_of(segment)) is not None:
        angles = [arc.start + arc.delta * share for share in shares]
        rx, ry = arc.radii.real, arc.radii.imag
        turn = cmath.exp(1j * arc.tilt)
        return [arc.centre + complex(rx * math.cos(a), ry * math.sin(a)) * turn for a in angles]
    return [_casteljau(segment.points, share) for share in shares]


def _casteljau(points: tuple[complex, ...], share: float) -> complex:
    while len(points) > 1:
        points = tuple(a + (b - a) * share for a, b in pairwise(points))
    return points[0]


@given(paths)
def test_every_path_is_the_one_that_another_reading_makes_of_it(text: str) -> None:
    there = [s for s in parse_path(text) if type(s).__name__ != "Arc" or s.start != s.end]
    here = segments_of(text)
    assert len(here) == len(there)
    for mine, other in zip(here, there, strict=True):
        wanted = [other.end] if type(other).__name__ == "Move" else [other.point(k / 6) for k in range(7)]
        # Where an arc only just reaches from end to end its centre hangs on rounding.
        assert max(abs(a - b) for a, b in zip(places_of(mine), wanted, strict=True)) < 1e-4, text


@pytest.mark.parametrize(
    ("text", "kinds"),
    [
        ("M0 0h1v1H0z", "move line line line close"),
        ("m1-2.5.5-3e1", "move line"),
        ("M0,0a1 1 0 1120 5", "move arc"),  # flags need nothing between them (SVG 1.1, 8.3.9)
        ("M0 0 1 1z m 2 2 3 3", "move line close move line"),
        ("M0 0zL1 1", "move close line"),
    ],
)
def test_what_may_be_left_out(text: str, kinds: str) -> None:
    assert " ".join(segment.kind for segment in segments_of(text)) == kinds


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "it has no command"),
        ("L 0 0", "begins with L, not with M"),
        ("5 5", "begins with '5 5', not with M"),
        ("M 0", "M with '0'"),
        ("M 0 0 L 1 2 3", "L with '1 2 3'"),
        ("M 0 0 L 1,,2", "L with '1,,2'"),
        ("M 0 0 A 1 1 0 2 0 5 5", "A with '1 1 0 2 0 5 5'"),
        ("M 0 0 z 4", "'4' is not a command"),
        ("M 0 0 Z,", "Z with ','"),
        ("M 0 0 R 4 4", "'R 4 4' is not a command"),
        ("M 0 0 L 1e999 0", "numbers that are not finite"),
        ("M 0 0 L 1 1; M 3 3", "'; M 3 3' is not a command"),
    ],
)
def test_what_is_no_path_is_named(text: str, said: str) -> None:
    with pytest.raises(InputError) as caught:
        segments_of(text)
    assert said in str(caught.value)


JOB = """
name = "badge"
stock.thickness = 6
board = [{ width = 100, depth = 100 }]
tools.mill = { diameter = 3, centre_cutting = true }
cutting.wood = { feed = 900, plunge = 300, spindle = 18000 }
[[part]]
name = "badge"
shapes.edge.path = "M 0 10 A 10 10 0 0 1 20 10 C 20 22 0 22 0 10 Z"
operations = [{ kind = "contour", shape = "edge", bottom.through = true }]
"""


def test_a_path_in_the_job_file_needs_no_extra(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "defusedxml", None)
    (shape,) = drawn(job_file_of(JOB, "job.toml")).shapes.values()
    assert shape.curves[0].closed


def test_making_shapes_does_not_touch_the_library_that_vouches_for_them(tmp_path: Path) -> None:
    (tmp_path / "job.toml").write_text(JOB)
    code = "import sys; from pathkit.jobs.reading import read_job_file; from pathkit.jobs.drawn import drawn; "
    code += "drawn(read_job_file('job.toml')); print([name for name in sys.modules if name.startswith('svg')])"
    done = subprocess.run([sys.executable, "-c", code], cwd=tmp_path, capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
