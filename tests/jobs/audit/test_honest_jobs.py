"""Honest jobs raise no alarm: random small job files, those of README and demo, and ones that once showed a gap."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from pathkit.errors import PathkitError
from pathkit.handover.demo import demo_machines, demo_text

Alarms = Callable[..., list[str]]

ROOT = Path(__file__).resolve().parents[3]

HEAD = """
name = "{name}"
[stock]
thickness = {thickness}
z_zero = "{z_zero}"
underlay = {underlay}
thickness_tolerance = {tolerance}
grain = {grain}
[[board]]
width = {width}
depth = {depth}
{zones}
[tools.bit]
diameter = {bit}
number = 1
centre_cutting = true
[cutting.wood]
feed = {feed}
plunge = 310
spindle = 17000
[[part]]
name = "plate"
[part.shapes]
{shapes}
"""


@st.composite
def job_files(draw: st.DrawFn) -> tuple[str, tuple[str, ...], bool]:
    """The text of a small job file, bits to build for, and whether tabs are wanted."""

    def chosen(*values: object) -> object:
        return draw(st.sampled_from(values))

    def number(low: float, high: float) -> float:
        return round(draw(st.floats(low, high)), 2)

    bit = chosen(2.0, 3.0, 3.175, 4.0)
    shapes = ["outline.polygon = [[0, 0], [70, 0], [70, 34], [52, 48], [0, 48]]"]
    if chosen(True, False):
        shapes = [f"outline.rectangle = {{ width = 70, depth = 48, radius = {chosen(0, 5, 9.5)} }}"]
    shapes += [
        f"window.rectangle = {{ corner = [8, 8], width = {number(12, 22)}, depth = 14, radius = {chosen(0, 2.5, 6)} }}",
        "island.circle = { centre = [18, 15], radius = 2.1 }",
        f"ring.circle = {{ centre = [46, 14], radius = {number(4, 9)} }}",
        f"groove.line = [[8, 34], [{number(20, 32)}, 34], [34, {number(36, 42)}]]",
        f"spots.points = [[{number(40, 44)}, 34], [50, 38]]",
        "mark.polygon = [[40, 26], [48, 27], [44, 30]]",
        f"bar.slot = {{ first = [10, 29], last = [28, {number(26, 29)}], width = {number(5, 6)} }}",
    ]
    depth = chosen("bottom.through = true", "bottom.from_top = 2.5", "bottom.from_top = 1")
    step = chosen("stepdown = 2", "stepdown = 0.9", "")
    way = chosen('direction = "conventional"', 'direction = "climb"', "")
    lead = chosen("lead = 2", "lead = 0", "")
    works = {
        "pocket": f'kind = "pocket"\nshape = "window"\nbottom.from_top = 2\n{step}\n{lead}\n{way}\n'
        + chosen('islands = ["island"]\n', 'style = "offset"\n', "stepover = 0.3\nangle = 35\n", "relief = true\n", ""),
        "inside": f'kind = "contour"\nshape = "ring"\nside = "inside"\n{depth}\n{step}\n{way}\n{lead}\n',
        "slot": f'kind = "slot"\nshape = "groove"\nbottom.from_top = 3\n{step}\n'
        + chosen("width = 4.5\n", "width = 6\n", ""),
        "drill": f'kind = "drill"\nshape = "spots"\n{depth}\n' + chosen("peck = 1.5\n", "diameter = 5\n", ""),
        "on": f'kind = "contour"\nshape = "mark"\nside = "on"\nbottom.from_top = 1\n{way}\n',
        "engrave": 'kind = "engrave"\nshape = ["mark", "groove"]\nbottom.from_top = 0.4\nname = "words"\n',
        "bar": f'kind = "pocket"\nshape = "bar"\nbottom.from_top = 1.5\n{lead}\n',
    }
    picked = draw(st.lists(st.sampled_from(sorted(works)), unique=True, max_size=3))
    text = HEAD.format(
        name=chosen("plates", "a job"), thickness=chosen(6, 9.0), z_zero=chosen("top", "bed"),
        underlay=chosen(2, 4.5), tolerance=chosen(0, 0.2, 0.5), grain=chosen(0, 30), width=number(100, 260),
        depth=number(90, 200), bit=bit, feed=chosen(1400, 1733.5), shapes="\n".join(shapes),
        zones=chosen("", "zones = [{ kind = 'clamp', height = 12, shape.rectangle = { width = 14, depth = 11 } }]"),
    )  # fmt: skip
    for work in picked:
        text += f"[[part.operations]]\n{works[work]}"
    text += f'[[part.operations]]\nkind = "contour"\nshape = "outline"\nbottom.through = true\n{step}\n{way}\n{lead}\n'
    text += chosen(
        "", "[layout]\n", "[layout]\ncopies = 3\nweb = 2\n", "[layout]\nkeep_grain = false\nmargin = 9\n",
        '[layout]\norder = "part"\nspacing = 13\nalign = "centre"\n',
    )  # fmt: skip
    text += chosen("", "[passes]\nramp_entries = { angle = 4 }\n", "[passes]\nhold_tabs = { count = 3, width = 4 }\n")
    return text, chosen((), (), ("2.5mm",), ("1/8in",)), chosen(True, True, False)  # type: ignore[return-value]


@settings(max_examples=25)
@given(made=job_files())
def test_random_honest_jobs_raise_no_alarm(alarms: Alarms, made: tuple[str, tuple[str, ...], bool]) -> None:
    text, bits, tabs = made
    try:
        found = alarms(text, bits=bits, tabs=tabs)
    except PathkitError:
        assume(False)
        return
    assert not found, text


def test_the_demo_is_as_asked_on_every_machine(alarms: Alarms) -> None:
    for machine in demo_machines():
        assert not alarms(demo_text(), machine=machine)


def test_the_job_file_of_readme_is_as_asked(alarms: Alarms) -> None:
    (text,) = re.findall(r"```toml\n(.*?)```", (ROOT / "README.md").read_text(encoding="utf-8"), re.S)
    assert not alarms(text)


@pytest.mark.parametrize("turn", [0, 1, 3])
def test_a_board_may_lie_turned(alarms: Alarms, tags: str, turn: int) -> None:
    assert not alarms(tags, turn=turn)
