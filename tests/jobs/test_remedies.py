"""Every refusal of a job file names the key to change, with a value that works: what it says is put in, and builds."""

from __future__ import annotations

from typing import NamedTuple

import pytest

from pathkit.errors import PathkitError
from pathkit.findings import Finding
from pathkit.jobs.planning import orders_of
from pathkit.jobs.reading import job_file_of
from pathkit.passes.pipeline import Pipeline
from pathkit.registry import load_machine

MACHINE = load_machine("grbl-front-left")


def built(text: str) -> None:
    for order in orders_of(job_file_of(text, "job.toml"), [MACHINE], effort=0):
        Pipeline(order.passes).run(order.job, order.machine, setup=order.setup, check=True)


def refused(text: str) -> tuple[Finding, ...]:
    with pytest.raises(PathkitError) as raised:
        built(text)
    return raised.value.findings


class Case(NamedTuple):
    """``old`` becomes ``new``, which is refused; ``says`` stands in the remedy, and ``old`` as ``mended`` builds."""

    old: str
    new: str
    says: str
    mended: str


POCKET = 'kind = "pocket"\nshape = "recess"'
CASES = (
    Case("thickness = 6\n", "", "thickness = 6, say", "thickness = 6\n"),
    Case("depth = 200\n", "", "depth = 200, say", "depth = 200\n"),
    Case("diameter = 3\n", "", "diameter = 3, say", "diameter = 3\n"),
    Case("plunge = 400\n", "", "plunge = 400, say", "plunge = 400\n"),
    Case("bottom.from_top = 2\n", "", "bottom.through = true, say", "bottom.through = true\n"),
    Case("thickness = 6", "thickness = 6\nthickness_tolerance = 6", "less than the thickness, say 0.6",
         "thickness = 6\nthickness_tolerance = 0.6"),
    Case("underlay = 2", "underlay = 2\nunderlay_tolerance = 3", "give at most 2",
         "underlay = 2\nunderlay_tolerance = 0.1"),
    Case("bottom.from_top = 2", "bottom.from_top = 2\nbottom.through = true", "keep one", "bottom.through = true"),
    Case("bottom.from_top = 2", "bottom = {}", "give from_top", "bottom.from_top = 3"),
    Case("bottom.from_top = 2", 'bottom.through = "deep"', '"1/4in"', 'bottom.through = "0.3mm"'),
    Case(POCKET, f"{POCKET}\nstepover = 0.9", "stepover = 0.86 at most", f"{POCKET}\nstepover = 0.86"),
    Case(POCKET, f"{POCKET}\nwall_allowance = 2", "wall_allowance = 0.375", f"{POCKET}\nwall_allowance = 0.375"),
    Case("width = 300\ndepth = 200", "width = 50\ndepth = 20", "use a board of width = 60, depth = 30",
         "width = 60\ndepth = 30"),
    Case("[[8, 15]]", "[[8, 15, 0]]", "a point is [x, y]", "[[8, 15]]"),
    Case("spindle = 18000", 'spindle = "18000"', "without quotes", "spindle = 18000"),
    Case('name = "tag"', 'name = "tag"\noutline = "outlin"', "'outline'", 'name = "tag"\noutline = "outline"'),
    Case('shape = "hole"', 'shape = "hole"\nname = "recess"', 'name = "recess 2"', 'shape = "hole"\nname = "recess 2"'),
    Case("diameter = 3", 'diameter = 3\nkind = "compression"', "tip_length = 5, say",
         'diameter = 3\nkind = "compression"\ntip_length = 5'),
    Case("stepdown = 2", "stepdown = 0", "give more", "stepdown = 1"),
    Case("outline.rectangle = { width = 60, depth = 30, radius = 6 }",
         "outline.polygon = [[0, 0], [60, 30], [60, 0], [0, 30]]", "give its points in order along the outline",
         "outline.polygon = [[0, 0], [60, 0], [60, 30], [0, 30]]"),
)  # fmt: skip


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.new.replace("\n", " ")[:40] or case.old[:40])
def test_what_a_refusal_says_works(tags: str, case: Case) -> None:
    assert case.old in tags
    findings = [f for f in refused(tags.replace(case.old, case.new, 1)) if f.severity == "error"]
    assert len(findings) == 1, [str(f) for f in findings]
    assert case.says in f"{findings[0].what} {findings[0].fix}", str(findings[0])
    assert findings[0].line or findings[0].toolpath
    built(tags.replace(case.old, case.mended, 1))


TAILS = (
    ("[layout]\nmargin = 90\n", "margin = 85", "[layout]\nmargin = 85\n"),
    ("[layout]\nspacing = 1\n", "spacing = 3", "[layout]\nspacing = 6\n"),
    ("[layout]\nspacing = 7\n", "least_web", "[layout]\nspacing = 7\nleast_web = 1\n"),
    ("[passes]\nhold_tabs = { height = 7 }\n", "height = 2.7 in hold_tabs", "[passes]\nhold_tabs = { height = 2.7 }\n"),
    ("[passes]\nhold_tabs = { width = 140 }\n", "smaller width or count", "[passes]\nhold_tabs = { width = 4 }\n"),
    (
        "[passes]\nramp_entries = { angle = '3' }\n",
        "give a number, without quotes: angle = 3",
        "[passes]\nramp_entries = { angle = 3 }\n",
    ),
    ("[passes]\nhold_tabs = { width = [6] }\n", "mm without quotes", "[passes]\nhold_tabs = { width = 6 }\n"),
    ("[passes]\nhold_tabs = { widht = 6 }\n", "'width'", "[passes]\nhold_tabs = { width = 6 }\n"),
)


@pytest.mark.parametrize(("tail", "says", "mended"), TAILS, ids=[tail[0].replace("\n", " ") for tail in TAILS])
def test_what_a_refusal_of_layout_or_passes_says_works(tags: str, tail: str, says: str, mended: str) -> None:
    findings = refused(f"{tags}\n{tail}")
    assert all(says in f"{f.what} {f.fix}" for f in findings), [str(f) for f in findings]
    built(f"{tags}\n{mended}")


def test_a_part_over_the_left_edge_is_told_by_how_much_to_move(tags: str) -> None:
    text = tags.replace("outline.rectangle = { width", "outline.rectangle = { corner = [-5, -2], width")
    (finding,) = refused(text)
    assert "move its shapes by [5, 2]" in finding.fix


def test_no_refusal_of_form_is_without_a_remedy(tags: str) -> None:
    wrong = tags.replace("thickness = 6", "thickness = -6").replace("width = 300", "width = 1e9")
    wrong = wrong.replace("centre_cutting = true", "centre_cutting = 1\nflutes = 2.5\nkind = 'drll'")
    wrong = wrong.replace('name = "tag"', 'name = ""').replace("peck = 2", "peck = 1e-9")
    found = refused(wrong)
    assert len(found) >= 7
    for finding in found:
        assert finding.fix or "'drill'" in finding.what, str(finding)
