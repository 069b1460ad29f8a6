"""The face is what is written down: names and signatures change only on purpose."""

from __future__ import annotations

import difflib
from dataclasses import fields
from pathlib import Path

import pytest

import pathkit as pk
from pathkit.fields import hints
from tests.face.listing import FACE, listing


def test_the_face_is_the_one_written_down() -> None:
    written, now = FACE.read_text(encoding="utf-8"), listing()
    different = difflib.unified_diff(written.splitlines(), now.splitlines(), "written", "now", n=0, lineterm="")
    changed = "\n".join(different)
    assert not changed, f"{changed}\nif this is meant: python tests/face/listing.py, and see DEVELOPERS.md"


def test_setup_follows_the_machine_wherever_it_is_asked_for() -> None:
    verbs = [line for line in listing().splitlines() if "setup: 'Setup | None'" in line and "machine: " in line]
    assert len(verbs) >= 5
    assert all("machine: 'Machine', setup: 'Setup | None' = None" in line for line in verbs), verbs


def test_a_board_is_measured_by_the_same_names_in_job_files_and_in_code() -> None:
    from pathkit.jobs import board_forms

    named = {*board_forms.Board.model_fields, *board_forms.Stock.model_fields}
    assert {field.name for field in fields(pk.Stock) if field.name != "_"} <= named
    assert {"width", "depth", "thickness"} <= hints(pk.Stock).keys()


def test_angles_at_the_face_are_degrees() -> None:
    quarter = pk.Curve.polyline([(10, 0), (0, 10)], angles=[90.0])
    # A quarter of a circle of radius 10 about the origin is 5π mm long (geometry of the circle).
    assert quarter.length == pytest.approx(15.70796326794897, rel=1e-12)
    assert quarter.at(quarter.length / 2.0).tolist() == pytest.approx([50**0.5, 50**0.5])
    with pytest.raises(pk.ModelError, match="degrees"):
        pk.Curve.polyline([(10, 0), (0, 10)], angles="round")


def test_a_profile_is_read_from_text_and_from_a_file() -> None:
    from pathkit_posts import pathkit_machines

    source = next(iter((Path(__file__).resolve().parents[2] / "posts").rglob("*.toml")))
    machine = pk.Machine.from_file(source)
    assert machine == pk.Machine.from_toml(source.read_text(encoding="utf-8"))
    assert machine == pk.load_machine(source)
    assert machine in pathkit_machines()
    with pytest.raises(pk.InputError, match="nowhere"):
        pk.Machine.from_file("nowhere.toml")
