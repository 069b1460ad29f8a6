"""Machines share a program only if passes and lowering read nothing of them that differs."""

from __future__ import annotations

from dataclasses import fields, replace
from typing import Any

import pytest

import pathkit as pk
from pathkit.handover.lowered import WITHOUT_EFFECT, Shared, key_of, lowered
from pathkit.jobs.demo import demo_passes
from pathkit.jobs.order import Order
from pathkit.machine.profile import Change, Corner, Machine, Rehearsed
from pathkit.model.job import Job, Setup
from pathkit.passes.steady_load import SteadyLoad
from tests.demo import demo_plates

MACHINE = Machine(
    "router", "grbl", pk.Axes(), pk.Travel(600, 600, 80),
    pk.Motion((5000, 5000, 2000), (4000, 4000, 1000), (400, 400, 200)),
)  # fmt: skip


@pytest.fixture(scope="module")
def job() -> Job:
    return demo_plates("plate 01", "plate 02")


def order(job: Job, setup: Setup | None = None, **changed: Any) -> Order:
    return Order(replace(MACHINE, **changed), setup or Setup(), job, demo_passes())


@pytest.mark.parametrize(
    "changed",
    [
        {"name": "another"},
        {"dialect": "rs274ngc"},
        {"output": {"units": "in"}},
        {"rehearsed": Rehearsed(True, True, "x")},
        # The work zero stays where it is; the axes run another way from it.
        {"axes": pk.Axes("right", "toward"), "left_handed": True},
        {"axes": pk.Axes("away", "right"), "left_handed": True},
        {"axes": pk.Axes("left", "toward", "up")},
        {"axes": pk.Axes("right", "away", "down"), "left_handed": True},
    ],
    ids=str,
)
def test_machines_that_differ_in_words_or_directions_share(job: Job, changed: dict[str, Any]) -> None:
    one, other = order(job), order(job, **changed)
    assert key_of(one) == key_of(other)
    a, b = lowered(one), lowered(other)
    assert a.text == b.text
    assert a.program == b.program
    shared = Shared()
    assert shared(one) is shared(other)


@pytest.mark.parametrize(
    "changed",
    [
        {"heights": pk.Heights(12.0, 1.0)},
        {"heights": pk.Heights(8.0, 2.0)},
        {"spindle": pk.SpindleControl(spin_up=5.0)},
        {"spindle": pk.SpindleControl(max=20000.0)},
        {"origin": "back-right"},
        {"park": (10.0, 10.0)},
        {"change": Change(5.0, 5.0)},
        {"change": Change(5.0, 5.0, 9.0)},
        {"motion": replace(MACHINE.motion, acceleration=(800, 400, 200))},
        {"motion": replace(MACHINE.motion, rapid=(5000, 3000, 2000))},
        {"motion": replace(MACHINE.motion, feed_limit=(900, 900, 900))},
        {"travel": pk.Travel(700, 600, 80)},
        {"bytes_per_second": 11520.0},
    ],
    ids=str,
)
def test_a_machine_that_passes_or_lowering_may_see_as_another_has_its_own(job: Job, changed: dict[str, Any]) -> None:
    one, other = order(job), order(job, **changed)
    assert key_of(one) != key_of(other)
    shared = Shared()
    assert shared(one) is not shared(other)


def test_places_and_rates_count_on_the_bench(job: Job) -> None:
    """A park at one place of the bench is one, whatever the machine calls it; at another place it is not."""
    depth = job.stock.depth
    front = order(job, park=(10.0, 20.0))
    swapped = order(job, park=(20.0, 10.0), axes=pk.Axes("away", "right"), left_handed=True)
    mirrored = order(job, park=(10.0, 20.0), axes=pk.Axes("right", "toward"), left_handed=True)
    assert key_of(front) == key_of(swapped)
    assert lowered(front).program == lowered(swapped).program
    assert key_of(front) != key_of(mirrored)
    assert depth > 0.0
    uneven = replace(MACHINE.motion, acceleration=(800, 400, 200))
    across = replace(MACHINE.motion, acceleration=(400, 800, 200))
    turned = pk.Axes("away", "right")
    assert key_of(order(job, motion=uneven)) == key_of(order(job, motion=across, axes=turned, left_handed=True))
    assert key_of(order(job, motion=uneven)) != key_of(order(job, motion=uneven, axes=turned, left_handed=True))


def test_setups_share_only_if_they_put_everything_at_the_same_place(job: Job) -> None:
    assert key_of(order(job)) == key_of(order(job, Setup(zero_at=(-400.0, -300.0, -60.0))))
    assert key_of(order(job)) != key_of(order(job, Setup(offset="G55")))
    assert key_of(order(job)) != key_of(order(job, Setup(turn=1)))


def test_other_passes_and_those_that_plan_by_the_run_time_share_nothing(job: Job) -> None:
    steady = (*demo_passes(), SteadyLoad())
    one = replace(order(job), passes=steady)
    assert key_of(one) != key_of(replace(order(job, name="another"), passes=steady))
    assert key_of(replace(order(job), passes=demo_passes(seed=1))) != key_of(order(job))
    path = job.toolpaths[0]
    ranged = replace(path.cutting, slowest=0.5 * path.cutting.feed, fastest=2.0 * path.cutting.feed)
    with_range = job.with_toolpaths((replace(path, cutting=ranged), *job.toolpaths[1:]))
    assert ranged.steady
    assert key_of(order(with_range)) != key_of(order(with_range, name="another"))


def test_nothing_that_is_left_out_of_the_key_is_read(job: Job) -> None:
    """The machine watched while passes and lowering look at it: what is left out is read only as a place or a rate."""
    seen: set[str] = set()

    class Watched(Machine):
        def __getattribute__(self, name: str) -> Any:
            seen.add(name)
            return super().__getattribute__(name)

    values = {f.name: getattr(MACHINE, f.name) for f in fields(Machine)}
    watched = Watched(**{**values, "park": (3.0, 4.0), "change": Change(1.0, 2.0)})
    seen.clear()
    lowered(Order(watched, Setup(), job, demo_passes()))
    read = seen & {f.name for f in fields(Machine)}
    assert read & WITHOUT_EFFECT <= {"axes", "origin", "park", "change", "motion"}
    assert {"axes", "origin", "park"} <= read
    assert read - WITHOUT_EFFECT <= {"heights", "spindle"}


def test_a_refusal_names_its_own_machine(job: Job) -> None:
    shared = Shared()
    slow = pk.SpindleControl(max=5000.0)
    for name in ("first", "second"):
        with pytest.raises(pk.Refused, match=name):
            shared(order(job, name=name, spindle=slow))


CORNERS: tuple[Corner, ...] = ("front-left", "front-right", "back-left", "back-right", "centre")


@pytest.mark.parametrize("corner", CORNERS)
def test_a_shared_program_is_the_machines_own(job: Job, corner: Corner) -> None:
    shared = Shared()
    shared(order(job, origin=corner))
    other = order(job, origin=corner, axes=pk.Axes("toward", "left", "down"), dialect="rs274ngc")
    assert shared(other).program == lowered(other).program
