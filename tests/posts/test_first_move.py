"""The first move never goes down: on a homed machine up in machine coordinates, then across, and only there down."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

import pathkit as pk
from pathkit.handover.pages.sheet import start_height
from pathkit.handover.rehearse import rehearse
from pathkit.machine.profile import Axes
from pathkit.readback.interpret import interpret
from pathkit.registry import capabilities_of

MILL = pk.Tool("4 mm end mill", 4.0, number=1, centre_cutting=True)
FINE = pk.Tool("3 mm drill", 3.0, number=2, kind="drill")
FEEDS = pk.Cutting(feed=1000.0, plunge=300.0, spindle=16000.0)
STOCK = pk.Stock(120.0, 80.0, 6.0, z_zero="bed", underlay=3.0)
PLAIN = pk.load_machine("grbl-back-right")
HOMED = replace(PLAIN, homed=True)
"""Its Z runs from -80 to 0 in machine coordinates; after homing it stands 1 mm below the switch."""


def hole(name: str, x: float, tool: pk.Tool) -> pk.Toolpath:
    return pk.Toolpath(name, pk.Curve.point((x, 30.0)), tool, FEEDS, bottom=4.0, role="drill", entry=pk.Plunge())


JOB = pk.Job("holes", STOCK, (hole("a", 20.0, MILL), hole("b", 60.0, MILL)))


def blocks(text: str) -> list[str]:
    return [line for line in text.splitlines() if line[0] not in "(;%"]


def verified(text: str | pk.Posted, machine: pk.Machine, job: pk.Job = JOB) -> pk.Proof:
    return pk.verify(text, pk.lower(job, machine), machine, job=job)


def failed(proof: pk.Proof) -> set[str]:
    return {check.name for check in proof.checks if check.status == "failed"}


@pytest.mark.parametrize("dialect", ["grbl", "rs274ngc"])
@pytest.mark.parametrize("units", ["mm", "inch"])
def test_a_homed_machine_goes_up_before_anything(dialect: str, units: str) -> None:
    machine = replace(HOMED, dialect=dialect, output={"units": units})
    posted = pk.post(pk.lower(JOB, machine), machine)
    moves = [line for line in blocks(posted.text) if any(letter in line for letter in "XYZ")]
    top, place, travel = ("-1", "X100 Y50", "17.5") if units == "mm" else ("-0.0394", "X3.937 Y1.9685", "0.689")
    assert moves[:3] == [f"G53 G0 Z{top}", f"G0 {place}", f"G0 Z{travel}"]
    proof = verified(posted, machine)
    assert proof.ok, proof.findings
    assert proof["first motion"].figures["machine_height_mm"] == pytest.approx(-1.0, abs=0.002)
    twin = pk.air_cut(posted, machine)
    assert pk.verify_twin(twin, posted, machine).ok
    assert f"G53 G0 Z{top}" in twin.text, "as high as it can is not raised"


def test_axes_that_grow_downward_have_their_upper_end_below() -> None:
    machine = replace(HOMED, axes=Axes("left", "toward", "down"), left_handed=True)
    posted = pk.post(pk.lower(JOB, machine), machine)
    assert "G53 G0 Z-79" in posted.text
    assert verified(posted, machine).ok


def test_without_homing_or_its_word_the_operator_is_told_instead() -> None:
    """17.5 mm by hand: 9 mm of board and underlay, 0.5 mm of tolerance, 8 mm of travel height."""
    told = ["Before you start a file, see that the bit stands no higher than Z 17.5 mm: its first move goes there."]
    assert "G53" not in pk.post(pk.lower(JOB, PLAIN), PLAIN).text
    assert start_height(JOB, PLAIN) == told
    assert start_height(JOB, HOMED) == []
    iso = replace(HOMED, dialect="iso6983")
    assert "G53" not in pk.post(pk.lower(JOB, iso), iso).text
    assert start_height(JOB, iso) == told
    assert verified(pk.post(pk.lower(JOB, iso), iso), iso).ok
    reprap = replace(PLAIN, dialect="reprap")
    on_top = replace(JOB, stock=replace(STOCK, z_zero="top"), toolpaths=(replace(JOB.toolpaths[0], bottom=-2.0),))
    assert start_height(on_top, reprap) == [], "it starts on the board"


def test_a_rehearsal_says_what_its_machine_needs_before_the_start() -> None:
    """Travel height by hand, nothing on a homed machine, and the zero itself where the files set it."""
    reprap = replace(PLAIN, dialect="reprap")
    on_top = replace(JOB, stock=replace(STOCK, z_zero="top"), toolpaths=(replace(JOB.toolpaths[0], bottom=-2.0),))
    by_hand, homed, own = (
        rehearse(job, machine).questions[0] for job, machine in ((JOB, PLAIN), (JOB, HOMED), (on_top, reprap))
    )
    assert by_hand.startswith(homed)
    assert "the bit stands no higher than Z 17.5 mm" in by_hand
    assert homed.endswith("clear the machine of everything else.")
    assert "no higher" not in own
    assert "Jog it there each time before you start a file: its tip on the top of the board, at the back right" in own


FAULTS = (
    ("too low in machine coordinates", "Z-1\n", "Z-30\n", {"events", "first motion"}),
    ("down before it is over the place", "G0 X100 Y50\n", "G0 X100\n", {"same path", "unknown state", "first motion"}),
    ("no lift", "G53 G0 Z-1\n", "", {"events", "unknown state"}),
    ("sideways as it comes down", "G0 X100 Y50\n", "", {"same path", "first motion"}),
    ("not down to travel height", "G0 Z17.5\n", "G0 Z12\n", {"first motion", "travel height"}),
)


@pytest.mark.parametrize(("name", "old", "new", "caught_by"), FAULTS, ids=[fault[0] for fault in FAULTS])
def test_a_fault_in_how_a_file_begins(name: str, old: str, new: str, caught_by: set[str]) -> None:
    text = pk.post(pk.lower(JOB, HOMED), HOMED).text
    assert old in text, name
    found = failed(verified(text.replace(old, new, 1), HOMED))
    assert found & caught_by, found
    assert "first motion" in found or "unknown state" in found


def test_a_lift_on_a_machine_that_is_not_homed_is_refused() -> None:
    text = pk.post(pk.lower(JOB, HOMED), HOMED).text
    proof = pk.verify(text, pk.lower(JOB, PLAIN), PLAIN, job=JOB)
    assert "a homed machine knows" in " ".join(f.what for f in proof["controller"].findings)


def test_after_a_lift_only_rapids_sideways_are_followed() -> None:
    """From an unknown height a feed move, or a rapid once the height is lost again, is still an objection."""
    caps = capabilities_of(HOMED)
    assert caps.machine_coordinates
    begin = "G21\nG17 G90 G94 G54\nG53 G0 Z-1\n"
    assert interpret(begin + "G0 X1 Y2\nG0 Z5\n", caps).findings == ()
    assert interpret(begin + "G1 X1 Y2 F100\n", caps).findings[0].check == "unknown state"
    assert interpret(begin + "G28\nG0 X1 Y2\n", caps).findings
    assert {f.check for f in interpret("G21\nG17 G90 G94 G54\nG53 G0 X-1 Z-1\n", caps).findings} == {
        "machine coordinates"
    }
    read = interpret(begin + "G0 X1 Y2\nG0 Z5\n", caps).program
    assert np.isnan(read.end[0, 2])
    assert read.end[1].tolist() == [1.0, 2.0, 5.0]
    assert isinstance(read.event[1], pk.Lift) or isinstance(read.event[0], pk.Lift)


def test_every_file_of_several_goes_up_and_a_rehearsal_does() -> None:
    machine = replace(HOMED, output={"tool_change": "files"})
    job = pk.Job("two bits", STOCK, (hole("a", 20.0, MILL), hole("b", 60.0, FINE)))
    program = pk.lower(job, machine)
    posted = pk.post(program, machine)
    assert len(posted.files) == 2
    for each in posted.each_file:
        first = [line for line in blocks(each.text) if any(letter in line for letter in "XYZ")]
        assert first[0] == "G53 G0 Z-1"
        assert set("XYZ") & set(first[1]) == {"X", "Y"}
    proof = pk.verify(posted, program, machine, job=job)
    assert proof.ok, proof.findings
    made = rehearse(JOB, HOMED)
    assert all(proof.ok for proof in made.proofs)
    assert all(b"G53 G0 Z-1" in data for data in made.files.values())


def test_a_manual_spindle_is_told_off_before_the_end(tmp_path: object) -> None:
    machine = replace(PLAIN, spindle=replace(PLAIN.spindle, control="manual"), park=(5.0, 5.0))
    text = pk.post(pk.lower(JOB, machine), machine).text
    told = text.index("switch the spindle off, then go on")
    assert text.index("set the spindle to 16000 rpm") < told < text.index("X5 Y5"), "it does not travel turning"
    assert verified(text, machine).ok
    assert not math.isnan(pk.run_time(pk.lower(JOB, machine), machine).total)
