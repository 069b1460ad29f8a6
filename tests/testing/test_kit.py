"""The kit is useful only if it catches faults: dialects that are spoiled in one place each must fail it."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import Phase, settings
from pathkit_posts.grbl import Grbl
from pathkit_posts.rs274ngc import Rs274ngc

from pathkit.dialect import arcs, quantise
from pathkit.dialect.base import Dialect
from pathkit.dialect.words import Context, Words
from pathkit.errors import PathkitError
from pathkit.motion.program import Event, Note, Pause, Spindle
from pathkit.testing import DialectTests

MODES = Grbl.words.modes


@pytest.fixture(autouse=True)
def quickly() -> Iterator[None]:
    """These fail on purpose: nobody needs the smallest example, so nothing is shrunk."""
    before = settings.default
    settings.register_profile(
        "quickly", settings(max_examples=20, phases=[Phase.generate], derandomize=True, deadline=None)
    )
    settings.load_profile("quickly")
    yield
    settings.register_profile("before", before)
    settings.load_profile("before")


def breaks(dialect: Dialect, law: str) -> bool:
    kit = type("Kit", (DialectTests,), {"dialect": dialect})()
    try:
        getattr(kit, law)()
    except (AssertionError, PathkitError, BaseExceptionGroup):
        return True
    return False


def worded(words: Words) -> Dialect:
    spoiled: Dialect = type("Spoiled", (Grbl,), {"words": words})()
    return spoiled


class RawNotes(Grbl):
    def event(self, event: Event, context: Context) -> Sequence[str]:
        return [f"({event.text})"] if isinstance(event, Note) else super().event(event, context)


class SpindleFirst(Grbl):
    def prologue(self, context: Context) -> Sequence[str]:
        return [*super().prologue(context), "S1000 M3"]


class Sideways(Grbl):
    def prologue(self, context: Context) -> Sequence[str]:
        return [*super().prologue(context), "G0 X0 Y0"]


class NoUnits(Grbl):
    def prologue(self, context: Context) -> Sequence[str]:
        return [line for line in super().prologue(context) if line not in ("G20", "G21")]


class Counting(Grbl):
    numbers = itertools.count()

    def prologue(self, context: Context) -> Sequence[str]:
        return [*context.comment(f"file {next(self.numbers)}"), *super().prologue(context)]


class DeafToPauses(Grbl):
    def event(self, event: Event, context: Context) -> Sequence[str]:
        return [] if isinstance(event, Pause) else super().event(event, context)


class StaysOff(Grbl):
    def event(self, event: Event, context: Context) -> Sequence[str]:
        return [] if isinstance(event, Spindle) else super().event(event, context)


class NeverEnds(Grbl):
    def epilogue(self, context: Context) -> Sequence[str]:
        return []


class Named(Grbl):
    name = "my dialect"


class Digits(Grbl):
    def prologue(self, context: Context) -> Sequence[str]:
        return [*super().prologue(context), "G4 P0.00000001"]


class StaysCutting(Rs274ngc):
    """The bite of a peck has the wrong letter; no controller of this kind would know it."""

    words = replace(Rs274ngc.words, bite="K")


class ShallowHoles(Rs274ngc):
    words = replace(Rs274ngc.words, plane="Z", z="R")


class NoWait(Rs274ngc):
    words = replace(Rs274ngc.words, drill_wait="G81")


class SameName(Grbl):
    """Ignores the number of decimals that it declares."""

    capabilities = replace(Grbl.capabilities, speed_decimals=0)

    def event(self, event: Event, context: Context) -> Sequence[str]:
        if isinstance(event, Spindle) and event.sense:
            return [f"S{event.speed:g} M3"]
        return super().event(event, context)


class Lowered(Grbl):
    """Its twin starts the spindle with text that is no word."""

    def epilogue(self, context: Context) -> Sequence[str]:
        return [*(["S1"] if not context.spindle else []), *super().epilogue(context)]


READS, FIRST, BYTES = "what_is_written_reads_back_exactly", "the_first_motion_is_z_alone", "same_input_same_bytes"
OFF, PAUSES = "the_spindle_is_off_at_the_end", "pauses_come_with_the_spindle_off"
SPOILED: dict[str, tuple[Dialect, str]] = {
    "arcs swapped": (worded(replace(Grbl.words, clockwise="G3", counter_clockwise="G2")), READS),
    "arcs swapped, once more": (
        worded(replace(Grbl.words, clockwise="G3", counter_clockwise="G2")),
        "every_orientation",
    ),
    "axes swapped": (worded(replace(Grbl.words, x="Y", y="X")), READS),
    "feed lost": (worded(replace(Grbl.words, feed="L")), READS),
    "units swapped": (worded(replace(Grbl.words, units={"mm": "G20", "inch": "G21"})), "units_can_be_changed"),
    "increments": (worded(replace(Grbl.words, modes=MODES.replace("G90", "G91"))), READS),
    "no distance mode": (worded(replace(Grbl.words, modes=MODES.replace("G90 ", ""))), READS),
    "no plane": (worded(replace(Grbl.words, modes=MODES.replace("G17 ", ""))), READS),
    "a mode it refuses": (worded(replace(Grbl.words, modes=MODES + " G64")), READS),
    "spindle reversed": (worded(replace(Grbl.words, spindle={1: "M4", -1: "M3", 0: "M5"})), READS),
    "raw notes": (RawNotes(), "names_do_nothing"),
    "comments without their word": (RawNotes(), "comments_begin_with_a_fixed_word"),
    "spindle in the twin": (SpindleFirst(), "the_air_cut_twin"),
    "sideways first": (Sideways(), FIRST),
    "no units": (NoUnits(), READS),
    "not the same twice": (Counting(), BYTES),
    "no pauses": (DeafToPauses(), PAUSES),
    "no spindle": (StaysOff(), OFF),
    "no end": (NeverEnds(), OFF),
    "digits that are dropped": (Digits(), "text_is_plain"),
    "a wrong name": (Named(), "it_is_declared"),
    "a bite without its letter": (StaysCutting(), "drill_cycles_make_the_holes_of_the_moves"),
    "plane and bottom swapped": (ShallowHoles(), "drill_cycles_make_the_holes_of_the_moves"),
    "no wait at the bottom": (NoWait(), "drill_cycles_make_the_holes_of_the_moves"),
    "rpm instead of percent": (SameName(), "what_a_profile_changes_leaves_the_path"),
    "a speed in the twin": (Lowered(), "the_air_cut_twin"),
}


@pytest.mark.parametrize("spoiled", SPOILED)
def test_a_spoiled_dialect_is_caught(spoiled: str) -> None:
    dialect, law = SPOILED[spoiled]
    assert breaks(dialect, f"test_{law}")
    assert not breaks(Grbl(), f"test_{law}")


@pytest.mark.parametrize("lost", ["open_length", "_in_single"])
def test_a_writer_that_forgets_its_controllers_32_bits_is_caught(lost: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Short arcs with many decimals, which only this law writes, and whole turns in one block."""
    answers = {"open_length": np.zeros(2), "_in_single": False}
    monkeypatch.setattr(arcs, lost, lambda *_: answers[lost])
    monkeypatch.setattr(quantise, "open_length", arcs.open_length)
    whole = type("Whole", (Grbl,), {"capabilities": replace(Grbl.capabilities, full_circles=True)})()
    assert breaks(Grbl() if lost == "open_length" else whole, "test_no_turn_is_left_open")
    if lost == "open_length":
        assert not breaks(Grbl(), f"test_{READS}")
