"""A form knows what its dataclass knows, and says what is wrong in words that help."""

from __future__ import annotations

import dataclasses
import json
from dataclasses import dataclass
from typing import Annotated, Any, Literal

import numpy as np
import pytest
from annotated_types import Ge, Gt, Len
from hypothesis import given, settings
from hypothesis import strategies as st

from pathkit.errors import ModelError
from pathkit.fields import Text, at_default, default_of, hints, plain
from pathkit.findings import Finding
from pathkit.forms import Filled, Table, filled, fills, form_of, read
from pathkit.jobs import schema
from pathkit.machine.capabilities import Capabilities
from pathkit.machine.profile import Axes, Heights, Machine, Motion, SpindleControl, Travel
from pathkit.machine.profile_file import ProfileFile, machine_from_document
from pathkit.model.checking import Checked, Faults, surely_fits
from pathkit.model.job import Setup
from pathkit.model.stock import Stock
from pathkit.model.tool import Tool
from pathkit.model.toolpath import Tab, Toolpath
from pathkit.proof.certificate import machine_as_dict
from pathkit.toml_source import TomlSource, parse_toml


@dataclass(frozen=True)
class Drawer(Checked):
    """A drawer."""

    width: Annotated[float, Gt(0.0)]
    knobs: Annotated[int, Ge(1)] = 1
    kind: Literal["deep", "flat"] = "flat"
    lined: bool = False
    corners: tuple[float, float] | None = None


@dataclass(frozen=True)
class Chest(Checked):
    """A chest of drawers, numbered in the order in which they stand."""

    name: str
    drawers: tuple[Drawer, ...]
    spare: Drawer = dataclasses.field(default_factory=lambda: Drawer(300.0))
    note: Annotated[str, Text(r"^[a-z ]+$", 20)] | None = None
    marks: Annotated[tuple[int, ...], Len(0, 3)] = ()

    def _check(self, faults: Faults) -> None:
        faults.raise_any()
        if any(drawer.width > self.spare.width for drawer in self.drawers):
            faults.add("the spare drawer is too narrow", "make it as wide as the widest", "spare.width")


CHEST = form_of(Chest)

FIELDS = [hint for kind in (Drawer, Chest, Toolpath, Tool, Tab, Stock, Setup, Machine, Motion, Capabilities)
          for hint in hints(kind).values()]  # fmt: skip
NUMBERS = st.sampled_from((-1.0, 0.0, 1.0, 250.0, 1e9, float("inf"), float("nan"), True, -1, 0, 1, 3, np.float64(2.0)))
WORDS = st.sampled_from(("", "deep", "bed", "mm", "G54", "G81", "flood", "flat", "word", "incremental"))
SINGLE = NUMBERS | WORDS | st.sampled_from((None, Drawer(10.0), Stock(9.0, 9.0, 9.0), Chest("tools", ()), b"deep"))
ANYTHING = SINGLE | st.builds(
    lambda kind, values: kind(values), st.sampled_from((tuple, list, frozenset, iter)), st.lists(SINGLE, max_size=4)
) | st.lists(st.tuples(NUMBERS, NUMBERS).map(tuple), max_size=2).map(tuple)  # fmt: skip

WHOLE = """\
name = "tools"
note = "oiled"
marks = [3, 1]
[spare]
width = 400
[[drawers]]
width = 250
corners = [1, 2]
[[drawers]]
width = 400
kind = "deep"
lined = true
"""


def findings(text: str, form: type[Table] = CHEST) -> dict[int | None, str]:
    found: list[Finding] = []
    assert read(form, parse_toml(text, "chest.toml"), "chest", found) is None
    assert all((each.file, each.check) == ("chest.toml", "chest") for each in found)
    return {each.line: f"{each.path}: {each.what} ({each.fix})" for each in found}


@settings(max_examples=20 * settings().max_examples)
@given(st.sampled_from(FIELDS), ANYTHING)
def test_what_surely_fits_is_taken_as_it_is(hint: Any, value: Any) -> None:
    if surely_fits(hint)(value):
        faults = Faults("chest")
        assert faults.fits(value, hint, "field") == value
        assert faults.findings == []


def test_almost_all_that_fits_is_told_to_at_once() -> None:
    """Of a bit's and a machine's fields all but a table; what is left out is looked at closely."""
    tried: tuple[tuple[Any, Any], ...] = (
        (Drawer, Drawer(10.0, corners=(1.0, 2.0))), (Tool, Tool("bit", 6.0)), (Travel, Travel(600.0, 400.0, 80.0))
    )  # fmt: skip
    for kind, value in tried:
        assert [name for name, hint in hints(kind).items() if not surely_fits(hint)(getattr(value, name))] == []
    wrong = [(Drawer, "width", 0.0), (Drawer, "knobs", True), (Drawer, "kind", "tall"), (Chest, "name", ""),
             (Chest, "drawers", (1,)), (Drawer, "corners", (1.0,)), (Drawer, "width", float("nan"))]  # fmt: skip
    assert [name for each, name, value in wrong if surely_fits(hints(each)[name])(value)] == []


def test_a_form_fills_its_dataclass_with_all_that_is_in_it() -> None:
    drawers = (Drawer(250.0, corners=(1.0, 2.0)), Drawer(400.0, kind="deep", lined=True))
    chest = Chest("tools", drawers, Drawer(400.0), "oiled", (3, 1))
    assert read(CHEST, parse_toml(WHOLE, ""), "", []).value() == chest
    least = read(CHEST, parse_toml('name = "a"\ndrawers = []', ""), "", []).value()
    assert least == Chest("a", ())


def test_what_is_written_without_defaults_fills_the_form_again() -> None:
    chest = read(CHEST, parse_toml(WHOLE, ""), "", []).value()
    written = plain(chest, at_default)
    assert written["drawers"] == [
        {"width": 250.0, "corners": [1.0, 2.0]},
        {"width": 400.0, "kind": "deep", "lined": True},
    ]
    assert written["spare"] == {"width": 400.0}
    assert json.loads(json.dumps(written)) == written
    for data in (written, plain(chest)):
        assert read(CHEST, TomlSource(data, {}, ""), "", []).value() == chest


@pytest.mark.parametrize(
    ("old", "new", "line", "what"),
    [
        ("lined = true", "lind = true", 12, "$.drawers[1].lind: unknown key 'lind' (did you mean 'lined'?)"),
        ("lined = true", "x = 1", 12, "unknown key 'x' (known here: corners, kind, knobs, lined, width)"),
        ("lined = true", "lined = 1", 12, "$.drawers[1].lined: drawers[1].lined: must be a boolean, not 1 (true or"),
        ("width = 250", "width = 0", 7, "drawers[0].width: must be greater than 0, not 0 (give more"),
        ("width = 250", "width = nan", 7, "must be a finite number"),
        ("width = 250\n", "", 6, "$.drawers[0].width: drawers[0].width is missing (add it)"),
        ("width = 250", "width = 250\nknobs = 1.5", 8, "drawers[0].knobs"),
        ('kind = "deep"', 'kind = "high"', 11, "must be 'deep' or 'flat', not 'high'"),
        ("[1, 2]", "[1, 2, 3]", 8, "at most 2 items"),
        ('"oiled"', '"OILED"', 2, "pattern"),
        ('"oiled"', '"a word and another one"', 2, "at most 20 characters"),
        ("[3, 1]", "[1, 2, 3, 4]", 3, "at most 3 items"),
        (
            "[spare]\nwidth = 400\n",
            "spare = 5\n",
            4,
            "spare: must be a table, not 5 (write [spare] and its keys below)",
        ),
        ("width = 400\n[[", "width = 399\n[[", 5, "$.spare.width: the spare drawer is too narrow (make it as wide"),
    ],
)
def test_each_fault_is_said_with_place_and_remedy(old: str, new: str, line: int, what: str) -> None:
    assert old in WHOLE
    said = findings(WHOLE.replace(old, new, 1))
    assert what in said[line], said


def test_all_faults_of_all_tables_come_at_once() -> None:
    wrong = WHOLE.replace("width = 250", "width = -1").replace('"tools"', "7").replace("lined", "lind")
    assert sorted(findings(wrong), key=int) == [1, 7, 12]  # type: ignore[arg-type]


def test_keys_that_stand_elsewhere_are_left_out_or_are_needed() -> None:
    @fills(Drawer, "corners", needed=("knobs",))
    class Inner(Filled):
        left: float

        def elsewhere(self) -> dict[str, Any]:
            return {"corners": (self.left, 0.0)}

    class Outer(Table):
        drawer: filled(Inner)  # type: ignore[valid-type]

    said = findings("[drawer]\nwidth = 1\ncorners = [1, 2]\nleft = 3\n", Outer)
    assert "unknown key 'corners'" in said[3]
    assert "drawer.knobs is missing" in said[1]
    assert read(Inner, parse_toml("width = 1\nknobs = 2\nleft = 3", ""), "", []).value() == Drawer(
        1.0, 2, corners=(3.0, 0.0)
    )


def test_what_stands_in_for_a_field_is_never_handed_out() -> None:
    table = schema.Tool.model_validate({"diameter": 3.0})
    assert table.value(name="mill").name == "mill"
    with pytest.raises(TypeError):
        table.value()


@pytest.mark.parametrize(
    ("form", "kind", "left_out"),
    [
        (schema.Tool, None, {"name"}), (schema.Cutting, None, set()), (schema.Zone, None, set()),
        (schema.PartZone, None, set()), (schema.Machine, None, set()),
        (schema.Stock, None, {"width", "depth", "zones"}),
        (schema.Board, Stock, set(hints(Stock)) - {"width", "depth", "zones"}),
        (ProfileFile, None, {"bytes_per_second"}),
    ],
)  # fmt: skip
def test_every_field_of_the_model_can_be_said_in_a_file(form: Any, kind: Any, left_out: set[str]) -> None:
    kind = kind or form.kind_
    assert set(hints(kind)) - set(form.model_fields) == left_out
    for field in dataclasses.fields(kind):
        said = form.model_fields.get(field.name)
        if said is not None and not said.is_required():
            default = said.get_default(call_default_factory=True)
            assert default == default_of(field) or (default, default_of(field)) == ([], ())


SPEED = st.floats(0.01, 1e5)
TRIPLE = st.tuples(SPEED, SPEED, SPEED)
MACHINES = st.builds(
    Machine,
    st.text(min_size=1, max_size=9),
    st.just("grbl"),
    st.just(Axes("left", "toward")),
    st.builds(Travel, SPEED, SPEED, SPEED, st.none() | TRIPLE),
    st.builds(Motion, TRIPLE, TRIPLE, TRIPLE, SPEED, SPEED, st.none() | TRIPLE, SPEED),
    origin=st.sampled_from(["front-left", "centre"]),
    spindle=st.builds(SpindleControl, st.sampled_from(["words", "manual"]), st.just(1.0), st.just(2.0), SPEED),
    bytes_per_second=st.none() | SPEED,
    heights=st.builds(Heights, st.just(7.0), st.just(0.5)),
    park=st.none() | st.tuples(SPEED, SPEED),
    output=st.dictionaries(st.sampled_from(["units", "suffix"]), st.text(max_size=3)),
)


@given(MACHINES)
def test_any_machine_comes_back_from_its_profile(machine: Machine) -> None:
    """A field that were forgotten on the way out or in would come back as its default."""
    values = json.loads(json.dumps(machine_as_dict(machine)))
    assert machine_from_document(TomlSource(values, {}, "")) == machine


def test_limits_hold_in_python_as_in_a_file() -> None:
    with pytest.raises(ModelError) as caught:
        Drawer(0.0, 0, "high", 1, (1.0, "x"))  # type: ignore[arg-type]
    assert [each.path for each in caught.value.findings] == ["$.width", "$.knobs", "$.kind", "$.lined", "$.corners.y"]
    with pytest.raises(ModelError) as caught:
        Chest("", (Drawer(1.0), 2), None)  # type: ignore[arg-type]
    assert [each.path for each in caught.value.findings] == ["$.name", "$.drawers[1]", "$.spare"]
