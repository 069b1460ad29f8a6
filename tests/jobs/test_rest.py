"""A pocket cut by two bits: proved in one file and in several, audited, and wrong where the audit says so."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any, NamedTuple

import pytest

import pathkit as pk
from pathkit.errors import InputError
from pathkit.jobs import rest as rest_module
from pathkit.model.tool import Cutting, Tool
from pathkit.operations import pocket
from pathkit.proof.result import CheckResult
from tests.jobs.audit.seeds import pieces
from tests.jobs.made import checks_of, finished, order_of, proofs_of

MACHINE = replace(pk.load_machine("grbl-front-left"), output={"tool_change": "pause"})
FILES = replace(MACHINE, output={"tool_change": "files"})

Patch = pytest.MonkeyPatch

TRAY = """
name = "trays"
[stock]
thickness = 9
underlay = 2
[[board]]
width = 90
depth = 70
[tools."6 mm"]
diameter = 6
number = 1
centre_cutting = true
[tools."2 mm"]
diameter = 2
number = 2
centre_cutting = true
[cutting.fast]
feed = 1800
plunge = 500
spindle = 18000
[cutting.fine]
feed = 700
plunge = 200
spindle = 20000
[[part]]
name = "tray"
[part.shapes]
outline.rectangle = { width = 66, depth = 44, radius = 4 }
well.polygon = [[6, 6], [34, 6], [34, 18], [37, 18], [37, 16.5], [46, 16.5], [46, 22],
  [37, 22], [37, 20.5], [34, 20.5], [34, 38], [6, 38]]
land.circle = { centre = [15, 12], radius = 3.6 }
[[part.operations]]
kind = "pocket"
shape = "well"
islands = ["land"]
tool = ["6 mm", "2 mm"]
cutting = ["fast", "fine"]
bottom.from_top = 3
stepdown = [3, 1]
[[part.operations]]
kind = "contour"
shape = "outline"
tool = "6 mm"
cutting = "fast"
bottom.through = 0.4
stepdown = 3
[layout]
copies = 1
margin = 8
"""
"""A tray with square corners, a chamber behind a neck, and an island that stands near two walls."""


def made(text: str, *bits: str) -> tuple[pk.Job, list[CheckResult]]:
    """The job of a file after its passes, and what the audit says to it."""
    order = order_of(text, MACHINE, bits=bits)
    job = finished(order)
    return job, checks_of(order, job)


def failed(results: list[CheckResult]) -> dict[str, list[str]]:
    return {check.name: [str(f) for f in check.findings] for check in results if check.status != "passed"}


def errors(job: pk.Job, machine: pk.Machine) -> list[str]:
    """What the proof of the job's files finds."""
    _, proofs = proofs_of(job, machine)
    assert len(proofs) == (1 if machine is MACHINE else 3)
    return [str(f) for proof in proofs for f in proof.findings if f.severity in ("error", "warning")]


@pytest.mark.parametrize("machine", [MACHINE, FILES], ids=["one file", "a file for each bit"])
def test_it_is_proved_and_audited_as_asked(machine: pk.Machine) -> None:
    job, results = made(TRAY)
    assert failed(results) == {}
    assert errors(job, machine) == []
    names = [path.name for path in job.toolpaths]
    assert any("well rest rows" in name for name in names)
    last = max(k for k, path in enumerate(job.toolpaths) if "well" in path.name and path.tool.diameter == 6)
    assert last < min(k for k, path in enumerate(job.toolpaths) if "rest" in path.name)
    for path in job.toolpaths:
        assert ("rest" in path.name) == (path.tool.diameter == 2) == (path.cutting.feed == 700)
        assert "rest" not in path.name or path.stepdown == 1


CHANGES = {
    "rings": lambda text: text.replace("stepdown = [3, 1]", 'style = "rings"'),
    "relief": lambda text: text.replace('islands = ["land"]', "relief = true"),
    "conventional": lambda text: text.replace("stepdown = [3, 1]", 'direction = "conventional"\nlead = 0'),
    "one stepdown": lambda text: text.replace("[3, 1]", "2.4"),
    "rows askew": lambda text: text.replace("stepdown = [3, 1]", "angle = 30\nstepover = 0.3\nlead = 2"),
    "two wells": lambda text: text.replace("[[part.operations]]", "spare.rectangle = { corner = [40, 26], width = 16, "
                                           "depth = 10 }\n[[part.operations]]", 1).replace(
                                               'shape = "well"', 'shape = ["well", "spare"]'),
}  # fmt: skip


@pytest.mark.parametrize("name", CHANGES)
def test_honest_jobs_raise_no_alarm(name: str) -> None:
    job, results = made(CHANGES[name](TRAY))
    assert failed(results) == {}
    assert any("rest" in path.name for path in job.toolpaths)
    if name == "one stepdown":
        assert all(path.stepdown == pytest.approx(0.8) for path in job.toolpaths if "rest" in path.name)


@pytest.mark.parametrize("bit", ["2 mm=2.2mm", "6 mm=1/4in", "6 mm=4mm"])
def test_it_is_built_for_the_bit_of_whoever_cuts(bit: str) -> None:
    job, results = made(TRAY, bit)
    assert failed(results) == {}
    assert errors(job, MACHINE) == []


def test_a_bit_given_without_the_name_it_stands_for_is_refused() -> None:
    with pytest.raises(InputError, match="say which bit it replaces"):
        made(TRAY, "3mm")
    with pytest.raises(InputError, match="name the wider bit first"):
        made(TRAY, "2 mm=8mm")


REFUSED = {
    "only a pocket is cut by two bits": ('tool = "6 mm"', 'tool = ["6 mm", "2 mm"]'),
    "two bits need two sets of feeds": ('cutting = ["fast", "fine"]', 'cutting = "fast"'),
    "cutting is a list, but tool is not": ('tool = ["6 mm", "2 mm"]', 'tool = "6 mm"'),
    "a pocket with open_edges is cut by one bit": ("stepdown = [3, 1]", 'open_edges = ["outline"]'),
    "no bit is called '3 mm'": ('["6 mm", "2 mm"]', '["6 mm", "3 mm"]'),
    "no \\[cutting\\] table is called 'slow'": ('["fast", "fine"]', '["fast", "slow"]'),
    "tool": ('["6 mm", "2 mm"]', '["6 mm", "2 mm", "2 mm"]'),
}


@pytest.mark.parametrize("said", REFUSED)
def test_what_makes_no_sense_is_refused(said: str) -> None:
    old, new = REFUSED[said]
    with pytest.raises(InputError, match=said):
        made(TRAY.replace(old, new, 1))


def test_nothing_left_to_the_second_bit_is_said() -> None:
    text = TRAY.replace('islands = ["land"]', "").replace('shape = "well"', 'shape = "land"').replace("3.6", "6")
    assert any("leaves nothing for the bit '2 mm' to cut" in str(note) for note in order_of(text, MACHINE).notes)
    assert failed(made(text)[1]) == {}


# What can go wrong: the job is sound by itself and its files are proved; only the audit knows what was asked.


def of_rest(**changes: Any) -> Callable[[Patch], None]:
    """Other options for what the second bit cuts."""
    module: Any = rest_module
    real = module.rest
    return lambda patch: patch.setattr(rest_module, "rest", lambda *a, **o: real(*a, **{**o, **changes}))


def without(word: str) -> Callable[[Any], Any]:
    def change(made: Any) -> Any:
        lost = {path.name for path in made.toolpaths if word in path.name}
        return replace(
            made, toolpaths=tuple(path for path in made.toolpaths if path.name not in lost),
            precedence=tuple(pair for pair in made.precedence if not lost & set(pair)),
        )  # fmt: skip

    return change


def whole_pocket(patch: Patch) -> None:
    """The second bit clears all the pocket once more."""

    def again(name: str, shape: Any, tool: Tool, cutting: Cutting, *, wide: Tool, **options: Any) -> Any:
        return pocket(name, shape, tool, cutting, **options)

    patch.setattr(rest_module, "rest", again)


def with_bit(diameter: float) -> Callable[[Any], Any]:
    def change(made: Any) -> Any:
        bit = Tool("3 mm", diameter, number=2, centre_cutting=True)
        paths = (replace(path, tool=bit) if "rest" in path.name else path for path in made.toolpaths)
        return replace(made, toolpaths=tuple(paths))

    return change


def with_feeds(made: Any) -> Any:
    """The second bit runs at the feeds of the first."""
    fast = next(path.cutting for path in made.toolpaths if "rest" not in path.name)
    paths = (replace(path, cutting=fast) if "rest" in path.name else path for path in made.toolpaths)
    return replace(made, toolpaths=tuple(paths))


class Fault(NamedTuple):
    """``alone``: neither the geometry of the proof nor its checks of intent find it."""

    name: str
    caught_by: str
    says: str
    seed: Callable[[Patch], None]
    alone: bool = True


FAULTS = (
    Fault("the second bit cuts nothing", "cuts as asked", "leaves out a wall", pieces(without(" rest ")), True),
    Fault("one corner is left", "cuts as asked", "leaves out a wall", pieces(without("rest wall 1")), False),
    Fault("the chamber is not cleared", "cuts as asked", "leaves wood standing", pieces(without("rest rows")), False),
    Fault("the second bit takes the whole pocket", "cuts as asked", "too far from wood that the first leaves",
          whole_pocket),
    Fault("the wrong bit", "bits as asked", "is cut with '3 mm'", pieces(with_bit(3.0)), False),
    Fault("the wrong feeds", "feeds as asked", "has feed 1800", pieces(with_feeds)),
    Fault("its levels are too deep", "depths as asked", "asks for 1 mm", of_rest(stepdown=3.0)),
    Fault("its walls go down at once", "cuts as asked", "goes down at once", pieces(lambda made: replace(
        made, toolpaths=tuple(replace(p, stepdown=None) if "rest wall" in p.name else p for p in made.toolpaths)))),
    Fault("its rows lie too far apart", "cuts as asked", "mm apart, at", of_rest(stepover=0.79)),
    Fault("its rows run askew", "cuts as asked", "lines at 0 degrees", of_rest(angle=45.0)),
    Fault("its walls run conventional", "cuts as asked", "the wrong way round", of_rest(direction="conventional")),
    Fault("its leads are longer", "cuts as asked", "has a lead of its second bit", of_rest(lead=2.0)),
    Fault("nothing says that it comes second", "order as asked", "with the first bit before", pieces(
        lambda made: replace(made, precedence=())), False),
)  # fmt: skip


@pytest.mark.parametrize("fault", FAULTS, ids=lambda fault: fault.name)
def test_the_audit_catches_it(fault: Fault, monkeypatch: Patch) -> None:
    fault.seed(monkeypatch)
    job, results = made(TRAY)
    found = failed(results)
    assert any(fault.says in what for what in found.get(fault.caught_by, ())), found
    if fault.alone:
        assert errors(job, MACHINE) == []
