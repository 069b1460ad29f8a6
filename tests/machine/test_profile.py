"""Machine profiles: what is read, and every way to be refused: all faults at once, each with its line."""

from __future__ import annotations

import dataclasses
import itertools
import math
import pickle
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pathkit.errors import InputError, ProfileError
from pathkit.machine.profile import Axes, Heights, Machine, Motion, Sideways, SpindleControl, Travel, Upright, slug
from pathkit.registry import find_dialect, load_machine

FULL = """\
name = "Workshop router"
dialect = "grbl"
homed = true
origin = "back-right"
left_handed = false
[axes]
x = "left"
y = "toward"
z = "up"
[travel]
x = 600
y = 400
z = 80
low = [-600, -400, -80]
[motion]
rapid = [5000, 5000, 2000]
feed_limit = [4000, 4000, 1000]
acceleration = [400, 400, 200]
junction_deviation = 0.02
arc_tolerance = 0.005
steps_per_mm = [160, 160, 400]
idle_delay = 0.01
[spindle]
control = "manual"
min = 8000
max = 18000
spin_up = 4.5
[link]
bytes_per_second = 11520
[heights]
travel = 9.0
approach = 2.0
[park]
x = 5
y = 6
[output]
units = "inch"
"""

LEAST = """\
name = "m"
dialect = "grbl"
origin = "front-left"
left_handed = false
[axes]
x = "right"
y = "away"
[travel]
x = 1
y = 1
z = 1
[motion]
rapid = [1, 1, 1]
feed_limit = [1, 1, 1]
acceleration = [1, 1, 1]
"""


def test_every_key_is_read() -> None:
    machine = Machine.from_toml(FULL)
    assert machine == Machine(
        "Workshop router",
        "grbl",
        Axes("left", "toward", "up"),
        Travel(600, 400, 80, (-600, -400, -80)),
        Motion((5000, 5000, 2000), (4000, 4000, 1000), (400, 400, 200), 0.02, 0.005, (160, 160, 400), 0.01),
        origin="back-right",
        homed=True,
        spindle=SpindleControl("manual", 8000, 18000, 4.5),
        bytes_per_second=11520,
        heights=Heights(9.0, 2.0),
        park=(5, 6),
        output={"units": "inch"},
    )


def test_what_is_optional_has_its_default() -> None:
    machine = Machine.from_toml(LEAST)
    assert machine.motion == Motion((1, 1, 1), (1, 1, 1), (1, 1, 1), 0.01, 0.002, None, 0.025)
    assert (machine.heights, machine.spindle) == (Heights(8.0, 1.0), SpindleControl("words", 0.0, 24000.0, 3.0))
    assert (machine.park, machine.bytes_per_second, machine.homed, dict(machine.output)) == (None, None, False, {})


def test_a_machine_can_be_sent_to_another_process() -> None:
    machine = Machine.from_toml(FULL)
    assert pickle.loads(pickle.dumps(machine)) == machine


# Refusals.


@pytest.mark.parametrize(
    ("old", "new", "line", "what"),
    [
        ('name = "Workshop router"', 'name = ""', 1, "name is empty"),
        ('name = "Workshop router"', "name = 5", 1, "name"),
        ('dialect = "grbl"\n', "", None, "dialect is missing"),
        ('origin = "back-right"', 'origin = "back right"', 4, "origin"),
        ("left_handed = false", "left_handed = true", 5, "are right-handed, but left_handed = true"),
        ("left_handed = false\n", "", None, "left_handed is missing"),
        ('x = "left"', 'x = "west"', 7, "axes.x"),
        ('x = "left"', 'x = "away"', 8, "the same line"),
        ('z = "up"', 'z = "left"', 9, "axes.z"),
        ('z = "up"', 'z = "down"', 5, "are left-handed, but left_handed = false"),
        ("x = 600", "x = 0", 11, "travel.x: must be greater than 0, not 0"),
        ("x = 600", 'x = "600"', 11, "travel.x"),
        ("x = 600", "x = nan", 11, "travel.x"),
        ("low = [-600, -400, -80]", "", 10, "homed without low"),
        ("low = [-600, -400, -80]", "low = [-600, -400]", 14, "travel.low"),
        (
            "rapid = [5000, 5000, 2000]",
            "rapid = [5000, -1, 2000]",
            16,
            "motion.rapid[1]: must be greater than 0",
        ),
        ("feed_limit = [4000, 4000, 1000]", "feed_limit = 4000", 17, "motion.feed_limit"),
        ("acceleration = [400, 400, 200]", "acceleration = [400, inf, 200]", 18, "motion.acceleration"),
        ("acceleration = [400, 400, 200]", "acceleration = [400, true, 200]", 18, "motion.acceleration"),
        ("junction_deviation = 0.02", "junction_deviation = -0.02", 19, "must be greater than or equal to 0"),
        ("arc_tolerance = 0.005", "arc_tolerance = 0", 20, "must be greater than 0"),
        ("steps_per_mm = [160, 160, 400]", "steps_per_mm = [160, 0, 400]", 21, "motion.steps_per_mm[1]"),
        ("idle_delay = 0.01", "idle_delay = -1", 22, "must be greater than or equal to 0"),
        ('control = "manual"', 'control = "by hand"', 24, "spindle.control"),
        ("min = 8000", "min = 80000", 25, "min 80000 is above max 18000"),
        ("bytes_per_second = 11520", "bytes_per_second = 0", 29, "link.bytes_per_second"),
        ("bytes_per_second = 11520", "baud = 115200", 29, "unknown key 'baud' (known here: bytes_per_second)"),
        ("approach = 2.0", "approach = 20.0", 32, "approach 20 is above travel 9"),
        ("[park]\nx = 5", "[park]", 33, "park.x is missing"),
        ("[park]\nx = 5\ny = 6", "park = [5, 6]", None, "park"),
        ("[link]", "[lnk]", 28, "unknown key 'lnk' (did you mean 'link'?)"),
    ],
)
def test_each_fault_is_named_with_its_line(old: str, new: str, line: int | None, what: str) -> None:
    assert old in FULL
    with pytest.raises(ProfileError) as caught:
        Machine.from_toml(FULL.replace(old, new, 1), "router.toml")
    found = [finding for finding in caught.value.findings if what in str(finding)]
    assert found, str(caught.value)
    assert found[0].file == "router.toml"
    if line is not None:
        assert found[0].line == line
    # The names that pydantic uses are not shown to people.
    assert "_" + "Axes" not in str(caught.value)
    assert "instance of" not in str(caught.value)


def test_all_faults_at_once() -> None:
    text = FULL.replace("x = 600", "x = 0").replace("min = 8000", "min = -1").replace("travel = 9.0", "travel = -9.0")
    with pytest.raises(ProfileError) as caught:
        Machine.from_toml(text)
    assert [finding.line for finding in caught.value.findings] == [11, 25, 31]


def test_a_fault_here_hides_none_there() -> None:
    with pytest.raises(ProfileError) as caught:
        plain(name="", left_handed=True, homed=True, park=(1, math.nan), bytes_per_second=-1)
    paths = [finding.path for finding in caught.value.findings]
    assert sorted(map(str, paths)) == ["$.bytes_per_second", "$.left_handed", "$.name", "$.park.y", "$.travel.low"]


def test_what_is_not_toml_is_refused_with_its_line() -> None:
    with pytest.raises(InputError) as caught:
        Machine.from_toml('name = "m"\ndialect = \n', "m.toml")
    assert (caught.value.findings[0].file, caught.value.findings[0].line) == ("m.toml", 2)


def test_a_table_that_is_a_number_is_named_plainly() -> None:
    with pytest.raises(ProfileError, match="axes: must be a table, not 3"):
        Machine.from_toml(
            LEAST.replace('[axes]\nx = "right"\ny = "away"\n', "").replace("left_handed", "axes = 3\nleft_handed")
        )


def plain(**changes: Any) -> Machine:
    values: dict[str, Any] = {
        "name": "m", "dialect": "grbl", "axes": Axes(), "travel": Travel(1, 1, 1),
        "motion": Motion((1, 1, 1), (1, 1, 1), (1, 1, 1)),
    }  # fmt: skip
    return Machine(**{**values, **changes})


@pytest.mark.parametrize(
    ("build", "path"),
    [
        (lambda: Axes("up", "away"), "$.x"),  # type: ignore[arg-type]
        (lambda: Axes("right", "left"), "$.y"),
        (lambda: Travel(math.nan, 1, 1), "$.x"),
        (lambda: Travel(1, 1, 1, (1, 2)), "$.low"),  # type: ignore[arg-type]
        (lambda: Motion((1, 1, 1), (1, 1, 0), (1, 1, 1)), "$.feed_limit.z"),
        (lambda: Motion((1, 1, 1), (1, 1, 1), 5), "$.acceleration"),  # type: ignore[arg-type]
        (lambda: SpindleControl(spin_up=-1), "$.spin_up"),
        (lambda: Heights(travel=0), "$.travel"),
        (lambda: plain(name=7), "$.name"),
        (lambda: plain(origin="middle"), "$.origin"),
        (lambda: plain(left_handed=True), "$.left_handed"),
        (lambda: plain(homed=True), "$.travel.low"),
        (lambda: plain(bytes_per_second=True), "$.bytes_per_second"),
        (lambda: plain(park=(1, math.inf)), "$.park.y"),
        (lambda: plain(park=(1, 2, 3)), "$.park"),
        (lambda: plain(park=4), "$.park"),
        (lambda: plain(axes=None), "$.axes"),
        (lambda: plain(motion={"rapid": 1}), "$.motion"),
    ],
)
def test_impossible_values_are_refused_in_python_too(build: Callable[[], object], path: str) -> None:
    with pytest.raises(InputError) as caught:
        build()
    assert path in [finding.path for finding in caught.value.findings]


@given(st.text(max_size=80))
def test_a_slug_is_a_safe_name_of_a_folder(name: str) -> None:
    safe = slug(name)
    assert safe
    assert set(safe) <= set("abcdefghijklmnopqrstuvwxyz0123456789-")
    assert not safe.startswith("-")
    assert not safe.endswith("-")
    assert slug(safe) == safe


def test_slugs_by_hand() -> None:
    assert [slug(name) for name in ("Fräse №3", "../etc", "日本", "A" * 99)] == [
        "frase-no3",
        "etc",
        "unnamed",
        "a" * 60,
    ]


# Handedness: the sign of the determinant of the three directions (linear algebra).


def test_handedness_is_the_determinant() -> None:
    import numpy as np

    unit = {
        "right": (1, 0, 0), "left": (-1, 0, 0), "away": (0, 1, 0), "toward": (0, -1, 0), "up": (0, 0, 1),
        "down": (0, 0, -1),
    }  # fmt: skip
    seen = 0
    sides: tuple[Sideways, ...] = ("right", "left", "away", "toward")
    ends: tuple[Upright, ...] = ("up", "down")
    for x, y, z in itertools.product(sides, sides, ends):
        determinant = np.linalg.det(np.array([unit[x], unit[y], unit[z]]))
        if determinant:
            assert Axes(x, y, z).left_handed == (determinant < 0)
            seen += 1
    assert seen == 16


def test_where_bits_are_changed() -> None:
    """A table of its own, or else the park; it survives a certificate, and a height of nothing is refused."""
    from pathkit.proof.certificate import machine_as_dict

    text = FULL + "\n[change]\nx = -20\ny = 35.5\n"
    machine = Machine.from_toml(text)
    assert machine.change is not None
    assert (machine.change_place, machine.change.height) == ((-20.0, 35.5), 5.0)
    assert Machine.from_toml(FULL).change_place == Machine.from_toml(FULL).park == (5.0, 6.0)
    assert machine_as_dict(machine)["change"] == {"x": -20.0, "y": 35.5, "height": 5.0}
    assert pickle.loads(pickle.dumps(machine)) == machine
    with pytest.raises(ProfileError) as caught:
        Machine.from_toml(text + "height = 0.5\n")
    assert "change.height" in str(caught.value)
    with pytest.raises(ProfileError, match=r"change\.y is missing"):
        Machine.from_toml(FULL + "\n[change]\nx = 1\n")


@pytest.mark.parametrize(("up", "uppermost"), [("up", -1.0), ("down", -79.0)])
def test_how_high_a_homed_machine_lifts_the_bit(up: str, uppermost: float) -> None:
    """By hand: Z from -80 to 0, and 1 mm off the switch at its upper end."""
    axes = Axes("right", "away", up)  # type: ignore[arg-type]
    travel = Travel(600.0, 400.0, 80.0, (-600.0, -400.0, -80.0))
    homed = plain(axes=axes, left_handed=axes.left_handed, homed=True, travel=travel)
    assert homed.uppermost == uppermost
    assert dataclasses.replace(homed, homed=False).uppermost is None


def test_capabilities_on_a_machine_are_worked_out_once_for_what_they_depend_on() -> None:
    changed, own = dataclasses.replace, find_dialect("grbl").capabilities
    machine = load_machine("grbl-front-left")
    numbered = changed(machine, output={"line_numbers": True, "line_number_step": 1, "speed": 1000})
    assert own.on(changed(numbered, name="another")) is own.on(numbered)
    # Each of these is part of the answer; True is no number, though Python takes it for 1.
    assert own.on(changed(numbered, output={"line_number_step": 2})).line_number_step == 2
    assert own.on(changed(numbered, spindle=changed(machine.spindle, max=8000.0))).speed_full == 8000.0
    assert changed(own, decimals={"mm": 4, "inch": 5}).on(numbered).decimals == {"mm": 4, "inch": 5}
    travel = changed(machine.travel, low=(-300.0, -300.0, -80.0))
    homed = [changed(machine, homed=each, travel=travel, park=None) for each in (True, False)]
    to_places = changed(own, machine_coordinates=True)
    assert [to_places.on(each).machine_coordinates for each in homed] == [True, False]
    wrong: tuple[object, ...] = (True, 1.0, [1])
    for value in wrong:
        with pytest.raises(ProfileError, match="line_number_step"):
            own.on(changed(numbered, output={"line_number_step": value}))
