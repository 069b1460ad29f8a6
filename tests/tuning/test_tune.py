"""Files that were made elsewhere, improved: they cut the same, and are no slower."""

from __future__ import annotations

import random
from collections.abc import Callable

import numpy as np
import pytest

import pathkit as pk
from pathkit.machine.profile import Corner
from pathkit.testing.programs import machine_for
from tests.tuning import written

MACHINE = pk.load_machine("grbl-front-left")
BIT = pk.Tool("3 mm", 3.0)
BOARD = pk.Stock(200.0, 150.0, 9.0, underlay=3.0, thickness_tolerance=0.0)
GRID = [(x, y) for x in (20.0, 60.0, 100.0, 140.0) for y in (20.0, 60.0, 100.0)]


def scattered() -> str:
    places = list(GRID)
    random.Random(3).shuffle(places)
    return written.text(written.drilled(places))


FILES: dict[str, Callable[[], str]] = {
    "drills": scattered,
    "pecks": lambda: written.text([*written.pecked(20, 20), *written.pecked(60, 20)]),
    "squares": lambda: written.text([*written.square(20, 20, 30, (-1, -2, -3)), *written.square(80, 20, 30, (-1,))]),
    "spiral": lambda: written.text(written.spiral(50, 50, 12, -4, 4)),
    "rows": lambda: written.text([*written.rows(20, 20, 40, 8, 2.0), *written.square(18.5, 18.5, 43, (-1.5,))]),
    "chords": lambda: written.text(written.chords(60, 60, 25, -2, 180)),
    "relief": lambda: written.relief(1200, 20, 40.0),
    "inch": lambda: (
        "G20 G90 G94 G17\nS16000 M3\nG0 Z.25\nG0 X1 Y1\nG1 Z-.1 F12\nX3 F40\nY2\nX1\nY1\nG0 Z.25\nM5\nM30\n"
    ),
    "increments": lambda: (
        "G21 G90 G94 G17\nS16000 M3\nG0 X0 Y0 Z6\nG91\nG0 X20 Y20\nG1 Z-8 F300\nX30 F900\nY20\n"
        "X-30\nY-20\nG0 Z8\nG90\nM5\nM30\n"
    ),
}


@pytest.mark.parametrize("name", FILES)
def test_it_cuts_the_same_and_is_no_slower(name: str) -> None:
    tuned = pk.tune(FILES[name](), MACHINE, bits=BIT, stock=BOARD)
    assert tuned.proof.ok, tuned.proof.findings
    assert tuned.proof["same cuts"].status == tuned.proof["no deeper bite"].status == "passed"
    assert tuned.after.run_time is not None
    assert tuned.before.run_time is not None
    # Arcs are a hair longer than their chords.
    assert tuned.after.run_time <= tuned.before.run_time * 1.0002 + 1e-3


@pytest.mark.parametrize("name", ["drills", "squares", "rows", "spiral"])
def test_a_second_time_changes_little(name: str) -> None:
    once = pk.tune(FILES[name](), MACHINE, bits=BIT, stock=BOARD)
    twice = pk.tune(once.posted.text, MACHINE, bits=BIT, stock=BOARD)
    assert twice.proof.ok, twice.proof.findings
    assert (once.after.travel or 0.0) * 0.99 <= (twice.after.travel or 0.0) <= (once.after.travel or 0.0) + 1e-6


@pytest.mark.parametrize("origin", ["front-left", "back-right", "centre"])
@pytest.mark.parametrize("name", ["reprap", "rs274ngc", "iso6983"])
def test_it_is_written_for_other_machines(name: str, origin: Corner) -> None:
    machine = machine_for(pk.installed().find("dialect", name), axes=pk.Axes("toward", "right", "up"), origin=origin)
    tuned = pk.tune(FILES["squares"](), machine, bits=BIT, stock=BOARD)
    assert tuned.proof.ok, tuned.proof.findings


def test_travel_comes_down_to_what_a_sorted_file_has() -> None:
    tuned = pk.tune(scattered(), MACHINE, bits=BIT, stock=BOARD)
    assert not tuned.kept_order
    # A grid of 4 by 3 holes, 40 mm apart: along it, from the work zero and not back (geometry).
    assert tuned.after.travel is not None
    assert tuned.after.travel <= 11 * 40.0 + 1e-6
    assert (tuned.before.travel or 0.0) > 1.5 * tuned.after.travel


def test_circles_of_short_lines_become_arcs() -> None:
    tuned = pk.tune(FILES["chords"](), MACHINE, bits=BIT, stock=BOARD)
    assert tuned.lines[1] < tuned.lines[0] / 3
    assert (tuned.program.kind == pk.ARC).any()
    plain = pk.tune(FILES["chords"](), MACHINE, bits=BIT, stock=BOARD, fit=None)
    assert not (plain.program.kind == pk.ARC).any()


def test_it_goes_as_high_as_the_file_unless_the_board_is_clear() -> None:
    high = FILES["squares"]().replace("Z6", "Z22")
    kept = pk.tune(high, MACHINE, bits=BIT, stock=BOARD)
    assert float(np.nanmax(kept.program.end[:, 2])) == 22.0
    between = kept.program.kind == pk.RAPID
    across = between & (np.nan_to_num(kept.program.end - kept.program.origins)[:, :2] != 0.0).any(axis=1)
    assert (kept.program.end[across, 2] == 22.0).all()
    free = pk.tune(high, MACHINE, bits=BIT, stock=BOARD, clear=True)
    assert float(np.nanmax(free.program.end[:, 2])) == MACHINE.heights.travel


def test_passes_that_change_the_cut_leave_it_unproved() -> None:
    tuned = pk.tune(FILES["squares"](), MACHINE, bits=BIT, stock=BOARD, passes=[pk.RampEntries(angle=3.0)])
    assert tuned.proof.ok
    assert tuned.proof["same cuts"].status == "not run"


def test_feeds_stay_within_the_machine() -> None:
    fast = FILES["rows"]().replace("F1500", "F99000")
    tuned = pk.tune(fast, MACHINE, bits=BIT, stock=BOARD)
    assert tuned.proof["axis feeds"].status == "passed"
    assert any("slowed" in found.what for found in tuned.findings)


@pytest.mark.parametrize(
    ("edit", "said"),
    [
        (("S16000 M3\n", ""), "spindle is off"),
        (("S16000 M3", "S16000 M4"), "counter-clockwise"),
        (("G0 Z6\nG0 X80", "G0 Z6\nM0\nG0 X80"), "waits between two cuts"),
        (("G0 Z6\nG0 X80", "G0 Z6\nG55\nG0 Z6\nG0 X80 Y20\nX80"), "two work offsets"),
        (("G1 Z-2 F300", "G1 Z-2 F300\nS9000"), "within a cut"),
    ],
)
def test_what_is_no_sound_job_is_refused_with_its_line(edit: tuple[str, str], said: str) -> None:
    text = FILES["squares"]()
    assert edit[0] in text
    with pytest.raises(pk.PathkitError, match=said) as refused:
        pk.tune(text.replace(*edit), MACHINE, bits=BIT, stock=BOARD)
    assert all(found.line for found in refused.value.findings)


def test_the_speed_of_a_spindle_switched_by_hand_is_asked_for() -> None:
    text = FILES["squares"]().replace("S16000 M3\n", "").replace("M5\n", "")
    tuned = pk.tune(text, MACHINE, bits=BIT, stock=BOARD, spindle=16000.0)
    assert tuned.job.toolpaths[0].cutting.spindle == 16000.0


def test_an_unknown_board_keeps_its_corner() -> None:
    text = FILES["squares"]()
    tuned = pk.tune(text, MACHINE, bits=BIT)
    assert any("board is not known" in found.what for found in tuned.findings)
    with pytest.raises(pk.InputError, match="corner"):
        pk.tune(text, pk.load_machine("grbl-back-right"), bits=BIT)
    with pytest.raises(pk.InputError, match="both sides of its zero"):
        pk.tune(text.replace("X20", "X-20"), MACHINE, bits=BIT)
    with pytest.raises(pk.InputError, match="never cuts below its zero"):
        pk.tune(text.replace("Z-", "Z"), MACHINE, bits=BIT)


def test_controllers_that_differ_must_be_named() -> None:
    # Without G91.1 some take I and J from the start, others as places.
    text = FILES["spiral"]().replace("G21 G90", "G21 G90 G90.1")
    with pytest.raises(pk.PathkitError):
        pk.tune(text, MACHINE, bits=BIT, stock=BOARD)


def test_a_ground_that_was_fitted_is_left_as_it_is_when_tuned_again() -> None:
    once = pk.tune(written.relief(1200, 20, 40.0), MACHINE, bits=BIT, stock=BOARD)
    again = pk.tune(once.posted.text, MACHINE, bits=BIT, stock=BOARD)
    assert once.lines[1] < 0.8 * once.lines[0]
    assert again.lines[0] == again.lines[1]
