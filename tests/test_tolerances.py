"""Every tolerance stands in one place, and each is as wide as what it must hold."""

from __future__ import annotations

import ast
import math
from collections.abc import Iterator
from pathlib import Path

import pytest

from pathkit import tolerances as here
from pathkit.jobs.audit import tolerances as audit
from pathkit.machine.profile import Motion
from pathkit.units import MM_PER_INCH

ROOT = Path(__file__).resolve().parent.parent / "pathkit"
DECLARED = {Path("tolerances/making.py"), Path("tolerances/judging.py"), Path("jobs/audit/tolerances.py")}

PLAIN = {0.5, 0.25, 0.125}
"""Halves, quarters and eighths divide things; they are not tolerances."""

ROOMS = {
    "testing": "figures of examples",
    "machine/grammar.py": "what a controller's own source says",
    "machine/capabilities.py": "what a controller's own source says",
    "machine/profile.py": "settings of a controller as it is delivered",
    "jobs/audit/tables.py": "what a key of the job file means where it is left out",
    "handover/pages/picture.py": "how a picture is drawn",
    "handover/pages/colours.py": "colours, and what a standard says of them",
    "handover/pages/labels.py": "how wide letters are",
    "tour/bound": "how a search goes on, not what it takes to be alike",
    "tour/constrained": "how a search goes on, not what it takes to be alike",
    "tour/symmetric": "how a search goes on, not what it takes to be alike",
}
NAMES = {
    "cli/tuning.py": {"_SLOWEST": "a fact of the trade"},
    "drawings/dxf.py": {"_INSUNITS": "units"},
    "jobs/audit/holes.py": {"STEP": "a default of the job file", "LEAST_PITCH": "a fact of the trade"},
    "jobs/audit/figures.py": {"JOIN": "a default of the job file", "PEG": "a default of the job file"},
    "jobs/audit/heights.py": {"THROUGH": "a fact of the trade"},
    "jobs/audit/lines.py": {"_SHORTEST": "a share that is tried"},
    "jobs/audit/pockets.py": {"ALLOWANCE": "a default of the job file"},
    "jobs/audit/reached.py": {"_lost": "how finely a shape is looked at"},
    "jobs/overlaps.py": {"twice": "how finely a shape is looked at"},
    "lowering/engagement.py": {"TURN": "how finely an arc is looked at"},
    "lowering/steady_load.py": {"IN_AIR": "how little wood counts as none"},
    "lowering/entries.py": {"place_helix": "radii that are tried"},
    "machine/kinematics.py": {"DWELL_STEP": "what a controller's own source says"},
    "model/stock.py": {"THROUGH": "a fact of the trade"},
    "model/tool.py": {"SMALLEST": "a fact of the trade"},
    "model/toolpath.py": {"MIN_RAMP": "a fact of the trade", "FINEST": "a fact of the trade",
                          "LEAST_PITCH": "a fact of the trade"},
    "feeds/materials.py": {"USUAL": "a fact of the trade"},
    "feeds/chips.py": {"DRILLED": "a fact of the trade"},
    "operations/judging.py": {"_engagement": "how finely a shape is looked at"},
    "handover/pages/holding.py": {"_taped_areas": "how finely a shape is looked at"},
    "jobs/audit/tab_loads.py": {"load": "mm³ to m³", "_parts": "no division by nothing"},
    "passes/tab_strength.py": {"TAPE": "a fact of the trade", "load_of": "mm³ to m³",
                               "used": "how finely a shape is looked at"},
    "operations/leads.py": {"SHARES": "shares that are tried", "_CLEAR": "a fact of the trade"},
    "operations/nesting/strip_process.py": {"EVERY": "seconds between two looks"},
    "operations/open_edges.py": {"_STEEP": "how far a wall is followed"},
    "operations/pocket.py": {"FINEST_STEPOVER": "a fact of the trade", "STEPOVER": "a fact of the trade",
                             "ALLOWANCE": "a default of the job file"},
    "operations/relief.py": {"CLEARANCE": "room that is cut"},
    "tour/stopping.py": {"TICK": "seconds between two looks"},
    "passes/entry_in_waste.py": {"SHARE": "a fact of the trade"},
    "passes/ramp_entries.py": {"HELIX_SHARES": "shares that are tried"},
    "passes/tab_places.py": {
        "END_GRAIN": "what speaks for a place, weighed", "HIDDEN": "what speaks for a place, weighed",
        "places_on": "what speaks for a place, weighed", "_weighed": "what speaks for a place, weighed",
        "spread": "what speaks for a place, weighed",
    },
    "proof/intent/direction.py": {"GOLDEN": "the golden section"},
    "proof/intent/sections.py": {"_candidates": "what speaks for a toolpath, weighed"},
    "proof/material/heightmap.py": {"SKIN": "a fact of the trade"},
    "readback/arcs.py": {"in_single": "hundredths and tenths of a number"},
    "readback/chords.py": {"READ_CHORDS": "asked for, and the grid of a usual file"},
    "readback/elsewhere/differences.py": {"SAME_READING": "digits that a controller drops"},
    "readback/elsewhere/family.py": {"GRAMMAR": "what controllers' documents say"},
    "readback/events.py": {"_dwell": "seconds in a millisecond"},
    "readback/interpret.py": {"__init__": "seconds in a millisecond"},
}  # fmt: skip


def small_numbers(tree: ast.AST, within: str = "") -> Iterator[tuple[str, float, int]]:
    """Name of the function or module constant that holds it, value and line of each small float."""
    for node in ast.iter_child_nodes(tree):
        name = within
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            name = node.name
        elif isinstance(node, ast.Assign | ast.AnnAssign) and not within:
            target = node.target if isinstance(node, ast.AnnAssign) else node.targets[0]
            name = target.id if isinstance(target, ast.Name) else ""
        if isinstance(node, ast.Constant) and isinstance(node.value, float) and 0.0 < node.value < 0.6:
            if node.value not in PLAIN:
                yield within, node.value, node.lineno
        else:
            yield from small_numbers(node, name)


def undeclared(sources: dict[Path, str]) -> tuple[list[str], set[str]]:
    """Small floats that stand nowhere in the lists, as ``file:line``; and which entries of the lists were needed."""
    found, needed = [], set()
    for path, text in sources.items():
        if path in DECLARED:
            continue
        room = next((room for room in ROOMS if path.is_relative_to(room)), None)
        for name, value, line in small_numbers(ast.parse(text)):
            if name in NAMES.get(path.as_posix(), {}):
                needed.add(f"{path.as_posix()} {name}")
            elif room is not None:
                needed.add(room)
            else:
                found.append(f"pathkit/{path.as_posix()}:{line} ({name}): {value}")
    return found, needed


def test_no_tolerance_stands_bare_in_logic() -> None:
    sources = {path.relative_to(ROOT): path.read_text(encoding="utf-8") for path in sorted(ROOT.rglob("*.py"))}
    found, needed = undeclared(sources)
    assert not found, "give it a name in pathkit/tolerances"
    listed = {*ROOMS, *(f"{path} {name}" for path, names in NAMES.items() for name in names)}
    assert listed == needed, "drop what is no longer there from the lists"


@pytest.mark.parametrize(
    "text",
    ["def f(a):\n    return a < 1e-6", "def f(a, by=0.01): ...", "HAIR = 1e-3", "class A:\n    within: float = 0.02"],
)
def test_a_bare_tolerance_is_seen(text: str) -> None:
    assert len(undeclared({Path("motion/program.py"): text})[0]) == 1


@pytest.mark.parametrize("text", ["def f(a):\n    return a < 0.5 * here.ROUNDING", "SIZE = 25.4", "def f(a=0.0): ..."])
def test_other_numbers_are_let_pass(text: str) -> None:
    assert undeclared({Path("motion/program.py"): text})[0] == []


COUNTS = {"mm": 1e-3, "inch": 1e-4 * MM_PER_INCH}


@pytest.mark.parametrize("unit", COUNTS)
def test_a_wall_may_be_off_by_all_that_moves_it(unit: str) -> None:
    """Grid, path and shape together stay within what the proof grants a wall; a step more on top would not."""
    count = COUNTS[unit]
    grid = math.hypot(0.5, 0.5) * count
    path = here.ARC_DRIFT * count
    granted = here.WALL + count + here.WALL_CHORDS
    assert grid + path + here.OFFSET_AGREES <= granted < 2.0 * (grid + path + here.OFFSET_AGREES)


@pytest.mark.parametrize("unit", COUNTS)
def test_a_path_may_be_off_by_all_that_moves_it(unit: str) -> None:
    count, chords = COUNTS[unit], Motion.arc_tolerance
    moved = here.ARC_COUNTS * count + chords + here.CURVE_CHORDS
    assert here.ARC_DRIFT < here.ARC_COUNTS
    assert 0.5 < here.HALF_COUNT < 1.0 < here.FALL_COUNTS
    assert math.hypot(0.5, 0.5) * count + chords + here.CURVE_CHORDS <= here.GROUND_SLACK
    assert moved <= here.BESIDE_CUT <= here.BESIDE_CURVE
    assert here.GRAZE + moved <= here.BESIDE_CUT
    assert math.hypot(0.5, 0.5) * count + chords + here.PROFILE_CHORDS <= here.OVER_TAB
    assert count < here.BEHIND_TAB


def test_the_audit_grants_what_was_made_its_own_tolerances() -> None:
    made = here.OFFSET_AGREES + here.SHAPE_CHORDS + audit.CHORD
    assert made + here.ON_OPEN_LINE <= audit.EXACT
    assert here.DRAWN_CURVE <= audit.CHORDED
    assert here.INSIDE_EXTREME + made <= audit.EDGE
    assert here.SAME_DIAMETER <= audit.AS_WIDE
    assert here.ROUND_HOLE <= audit.ROUND
    assert here.ON_THE_SPOT < audit.TINY


def test_what_is_one_place_lies_far_from_what_is_written() -> None:
    finest = 1e-6  # mm: six decimals, the most that a profile may ask for
    assert here.ROUNDING < here.REPEATED < here.SAME_PLACE == here.SAME_HEIGHT == audit.HAIR <= finest
    assert math.ulp(1e6) < here.ROUNDING, "float64 keeps it up to the end of the bench"
    assert here.OFF_VERTEX / 2.0 > here.SAME_PLACE
    assert here.WIDEST_BIT * 10.0 <= here.WIDEST_BIT_STEP


FACTS = {
    "ROUNDING", "ANGLE_ROUNDING", "RELATIVE_ROUNDING", "QUOTIENT_ROUNDING", "STEP_ROUNDING", "SAME_PLACE",
    "SAME_HEIGHT",
}  # fmt: skip
"""Rounding and the finest grid: facts, not judgements."""


def test_what_judges_shares_no_judgement_with_what_it_judges() -> None:
    """A figure that both took would be wrong in both, and nothing would say so."""
    taken: dict[bool, set[str]] = {True: set(), False: set()}
    for path in ROOT.rglob("*.py"):
        judges = path.relative_to(ROOT).parts[0] in ("proof", "readback")
        text = path.read_text(encoding="utf-8")
        for node in ast.walk(ast.parse(text)) if "tolerances" in text else ():
            if isinstance(node, ast.ImportFrom) and node.module == "pathkit.tolerances":
                taken[judges] |= {name.name for name in node.names}
    assert taken[True] & taken[False] <= FACTS
    assert taken[True] | taken[False] == {name for name in vars(here) if name.isupper()}, "drop what nobody takes"
