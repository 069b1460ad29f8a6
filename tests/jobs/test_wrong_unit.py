"""Numbers that look like inches are asked about; thin boards, fine bits and numbers with a unit are not."""

from __future__ import annotations

from dataclasses import replace

import pytest

from pathkit.errors import InputError, PathkitError, Refused
from pathkit.findings import Finding
from pathkit.jobs.demo import demo_orders
from pathkit.jobs.planning import orders_of
from pathkit.jobs.reading import job_file_of
from pathkit.machine.profile import Machine, Travel
from pathkit.registry import load_machine

MACHINE = load_machine("grbl-front-left")

# A job as somebody writes it who thinks in inches, and forgets to say so.
INCHES = """
name = "shelf pegs"
[stock]
thickness = 0.75
thickness_tolerance = 0.02
underlay = 0.25
[[board]]
width = 24
depth = 48
[tools."quarter inch"]
diameter = 0.25
centre_cutting = true
[cutting.wood]
feed = 100
plunge = 40
spindle = 18000
[[part]]
name = "peg"
[part.shapes]
outline.rectangle = { width = 3, depth = 2 }
[[part.operations]]
kind = "contour"
shape = "outline"
bottom.from_top = 0.5
stepdown = 0.125
"""


def asked(text: str, machine: Machine = MACHINE) -> dict[str, str]:
    """Key path to fix, of every number that is asked about, whether the job is refused or not."""
    findings: list[Finding] = []
    try:
        for order in orders_of(job_file_of(text, "job.toml"), [machine]):
            findings += order.notes
    except PathkitError as error:
        findings += error.findings
    return {str(f.path): f.fix for f in findings if "looks like in" in f.what}


def refused(text: str, machine: Machine = MACHINE) -> tuple[Finding, ...]:
    with pytest.raises((InputError, Refused)) as raised:
        orders_of(job_file_of(text, "job.toml"), [machine])
    return raised.value.findings


def test_a_job_all_in_inches_is_asked_about_number_by_number() -> None:
    said = asked(INCHES)
    assert set(said) == {
        "$.board[0]", "$.stock.thickness", "$.tools.quarter inch.diameter", "$.part[0].shapes", "$.cutting.wood.feed",
    }  # fmt: skip
    assert 'width = "24in", depth = "48in"' in said["$.board[0]"]
    assert '"0.25in"' in said["$.tools.quarter inch.diameter"]
    assert '"100in/min"' in said["$.cutting.wood.feed"]


def test_they_are_warnings_with_a_line_and_nothing_is_changed() -> None:
    (order,) = orders_of(job_file_of(INCHES, "job.toml"), [MACHINE])
    notes = [note for note in order.notes if "looks like in" in note.what]
    assert {note.severity for note in notes} == {"warning"}
    assert all(note.line for note in notes)
    assert (order.job.stock.width, order.job.stock.thickness) == (24.0, 0.75)
    assert order.job.toolpaths[0].tool.diameter == 0.25


@pytest.mark.parametrize(
    ("old", "new", "path"),
    [
        ("diameter = 3", "diameter = 0.25", "$.tools.3 mm mill.diameter"),
        ("diameter = 3", "diameter = 0.125", "$.tools.3 mm mill.diameter"),
        ("thickness = 6", "thickness = 0.25", "$.stock.thickness"),
        ("width = 300\ndepth = 200", "width = 12\ndepth = 8", "$.board[0]"),
    ],
)
def test_one_number_in_inches_among_millimetres(tags: str, old: str, new: str, path: str) -> None:
    text = tags.replace("[[board]]", "thickness_tolerance = 0.1\n[[board]]").replace(old, new)
    assert set(asked(text)) == {path}


def test_a_part_in_inches_among_millimetres() -> None:
    text = INCHES.replace("width = 24", "width = 600").replace("depth = 48", "depth = 300")
    text = text.replace("thickness = 0.75", "thickness = 18").replace("diameter = 0.25", "diameter = 6")
    text = text.replace("feed = 100", "feed = 2500").replace("underlay = 0.25", "underlay = 6")
    said = asked(text)
    assert set(said) == {"$.part[0].shapes"}
    assert '"1.5in"' in said["$.part[0].shapes"]
    assert not asked(text.replace("width = 3,", 'width = "3mm",'))


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("diameter = 3", "diameter = 3"),
        # Fine work in thin material, as for printed circuits: nothing of it is deeper than its bit can go.
        ("diameter = 3", "diameter = 0.8"),
        ("thickness = 6", "thickness = 1.6"),
        ("feed = 1400", "feed = 150"),
        ("diameter = 3", 'diameter = "0.25mm"'),
        ("thickness = 6", 'thickness = "0.25mm"'),
        ("width = 300\ndepth = 200", 'width = "12mm"\ndepth = 8'),
    ],
)
def test_what_may_well_be_meant_is_not_asked_about(tags: str, old: str, new: str) -> None:
    assert not asked(tags.replace("[[board]]", "thickness_tolerance = 0.1\n[[board]]").replace(old, new))


def test_a_unit_ends_the_question() -> None:
    text = INCHES
    for key, value, unit in (("width", 24, "in"), ("depth", 48, "in"), ("thickness", 0.75, "in"),
                             ("diameter", 0.25, "in"), ("feed", 100, "in/min")):  # fmt: skip
        text = text.replace(f"\n{key} = {value}\n", f'\n{key} = "{value}{unit}"\n')
    text = text.replace("width = 3, depth = 2", 'width = "3in", depth = "2in"')
    assert not asked(text)


def test_a_refusal_says_what_looks_like_inches(tags: str) -> None:
    text = tags.replace("width = 300", "width = 24").replace("depth = 200", "depth = 18")
    findings = refused(text)
    assert findings[0].severity == "error"
    assert [f.fix for f in findings if f.severity == "warning"] == [
        'if so, write width = "24in", depth = "18in"; if it is right, width = "24mm", depth = "18mm"'
    ]


def test_the_demo_is_asked_nothing() -> None:
    assert not [note for order in demo_orders(effort=0) for note in order.notes if note.check == "units"]
    assert not [n for order in demo_orders(effort=0) for n in order.notes if "looks like" in n.what]


def test_a_machine_whose_travel_looks_like_inches_is_named(tags: str) -> None:
    small = replace(MACHINE, travel=Travel(24.0, 16.0, 4.0))
    findings = refused(tags, small)
    assert next(f.what for f in findings if f.severity == "error").startswith("the board needs 300 mm along X")
    (warning,) = [f for f in findings if f.severity == "warning"]
    assert "609.6 × 406.4 × 101.6 mm" in warning.what
    assert "x = 609.6, y = 406.4" in warning.fix
    tiny = tags.replace("width = 300", "width = 20").replace("depth = 200", "depth = 15")
    assert any("24 × 16 × 4 mm" in f.what for f in refused(tiny, small))


TWO_BITS = """
name = "trays"
[stock]
thickness = 12
[[board]]
width = 200
depth = 150
[tools.end]
diameter = 0.4
centre_cutting = true
[tools.fine]
diameter = 0.3
centre_cutting = true
[cutting.wood]
feed = 1200
plunge = 300
spindle = 18000
[[part]]
name = "tray"
shapes.well.rectangle = { corner = [20, 20], width = 40, depth = 30 }
[[part.operations]]
kind = "pocket"
shape = "well"
bottom.from_top = 5.5
stepdown = 0.2
tool = "end"
"""


def test_bits_that_share_a_pocket_are_asked_about_as_well() -> None:
    """5.5 mm is deeper than twelve diameters of either bit, and no more than that of bits 25.4 times as wide."""
    by = "$.tools.{}.diameter".format
    assert asked(TWO_BITS).keys() == {by("end")}
    both = TWO_BITS.replace('tool = "end"', 'tool = ["end", "fine"]\ncutting = ["wood", "wood"]')
    assert asked(both).keys() == {by("end"), by("fine")}
