"""A recipient's bit that is too wide for one region: where that is, which bit fits, and leaving the operation out."""

from __future__ import annotations

import json
import math
from pathlib import Path
from typing import Any, Final

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import Polygon, box

from pathkit.cli.main import run
from pathkit.errors import InputError
from pathkit.findings import Finding
from pathkit.jobs import bits as bits_module
from pathkit.jobs import reach, toolpaths
from pathkit.jobs.audit import Asked, Made, audit
from pathkit.jobs.bits import Bits
from pathkit.jobs.order import Order
from pathkit.model.codec import dumps
from pathkit.registry import load_machine
from tests.jobs.made import checks_of, finished, orders_from, proofs_of

MACHINE = load_machine("grbl-front-left")

# Two rooms, and a neck of 5 mm between them.
NECK: Final[list[list[float]]] = [
    [16, 8], [28, 8], [28, 12.5], [40, 12.5], [40, 8], [52, 8], [52, 22], [40, 22], [40, 17.5], [28, 17.5], [28, 22],
    [16, 22],
]  # fmt: skip


def with_neck(tags: str) -> str:
    old = "recess.rectangle = { corner = [16, 8], width = 36, depth = 14, radius = 3 }"
    assert old in tags
    text = tags.replace(old, f"recess.polygon = {NECK}").replace("hole.points = [[8, 15]]", wide_hole(8))
    return text.replace("peck = 2", "stepdown = 2")


def wide_hole(diameter: float) -> str:
    return f"hole.circle = {{ centre = [8, 15], radius = {diameter / 2:g} }}"


def orders(text: str, *bits: str, without: tuple[str, ...] = ()) -> tuple[Order, ...]:
    return orders_from(text, bits=bits, without=without)


def refused(text: str, *bits: str, without: tuple[str, ...] = ()) -> tuple[Finding, ...]:
    with pytest.raises(InputError) as raised:
        orders(text, *bits, without=without)
    return raised.value.findings


def failed(every: tuple[Order, ...]) -> list[str]:
    found = []
    for order in every:
        checks = checks_of(order, finished(order), every)
        found += [f.what for check in checks for f in check.findings if check.status == "failed"]
        assert all(check.status in ("passed", "failed") for check in checks)
    return found


def test_a_neck_too_narrow_for_the_bit_is_named_with_its_place_and_the_widest_bit(tags: str) -> None:
    (finding,) = refused(with_neck(tags), "6mm")
    assert finding.toolpath == "tag recess"
    assert finding.line == next(k for k, line in enumerate(tags.splitlines(), 1) if 'kind = "pocket"' in line) - 1
    assert "does not reach (34.0, 15.0)" in finding.what
    # The neck's own width, which a bit must be narrower than, less a hundredth.
    assert "the widest bit that fits has 4.99 mm" in finding.fix
    assert "--without 'tag recess'" in finding.fix
    # What the refusal says works.
    assert orders(with_neck(tags), "4.99mm")
    assert not failed(orders(with_neck(tags), "4.99mm"))


@pytest.mark.parametrize(
    ("shape", "operation", "place", "widest"),
    [
        ("gap.rectangle = { corner = [40, 4], width = 12, depth = 4 }", 'kind = "pocket"', "(46.0, 6.0)", "3.99 mm"),
        ("gap.rectangle = { corner = [40, 4], width = 12, depth = 4 }", 'kind = "contour"\nside = "inside"',
         "(46.0, 6.0)", "3.99 mm"),
        ("gap.line = [[40, 6], [50, 6]]", 'kind = "slot"\nwidth = 4', "(40.0, 6.0)", "4 mm"),
        ("gap.circle = { centre = [45, 6], radius = 2 }", 'kind = "drill"', "(45.0, 6.0)", "4 mm"),
    ],
)  # fmt: skip
def test_every_kind_of_region_has_its_place(tags: str, shape: str, operation: str, place: str, widest: str) -> None:
    text = tags.replace("hole.points = [[8, 15]]", f"{wide_hole(8)}\n{shape}").replace("peck = 2", "stepdown = 2")
    text += f'\n[[part.operations]]\n{operation}\nshape = "gap"\nbottom.from_top = 2\n'
    (finding,) = refused(text, "5mm")
    assert finding.toolpath == "tag gap"
    assert place in finding.what
    assert widest in finding.fix
    assert finding.fix.endswith("--without 'tag gap'")


def test_a_notch_in_the_outline_is_not_lost(tags: str) -> None:
    notched = "outline.polygon = [[0, 0], [60, 0], [60, 30], [56, 30], [56, 24], [52, 24], [52, 30], [0, 30]]"
    text = with_neck(tags).replace("outline.rectangle = { width = 60, depth = 30, radius = 6 }", notched)
    (finding,) = refused(text, "4.5mm")
    assert finding.toolpath == "tag outline"
    assert "does not reach (54.0, " in finding.what
    assert "has 3.99 mm" in finding.fix or "has 4 mm" in finding.fix
    # Leaving out the cut that frees the part is no way out.
    assert "--without" not in finding.fix


def test_rounder_corners_are_accepted(tags: str) -> None:
    square = tags.replace("width = 36, depth = 14, radius = 3", "width = 36, depth = 14")
    square = square.replace("hole.points = [[8, 15]]", wide_hole(8)).replace("peck = 2", "stepdown = 2")
    assert not failed(orders(square, "6mm"))
    # Slots, holes and open ends as well: the tags themselves, by a narrower bit.
    assert not failed(orders(tags, "2mm"))


def test_a_bit_that_is_the_jobs_own_is_refused_without_the_flag(tags: str) -> None:
    (finding,) = refused(tags.replace("width = 36, depth = 14, radius = 3", "width = 36, depth = 2"))
    assert "--without" not in finding.fix


@given(st.floats(1.0, 10.0), st.floats(1.0, 12.0))
def test_no_bit_so_wide_as_the_jobs_own_loses_anything(own: float, width: float) -> None:
    shape = Polygon(np.array(NECK)).union(box(52, 14 - width / 2, 70, 14 + width / 2))
    assert reach._unreached(shape, own / 2.0, own / 2.0) is None
    assert reach._unreached(shape, own / 2.0, own / 2.5) is None


@given(st.floats(0.5, 3.0), st.floats(60.0, 170.0))
def test_corners_of_sixty_degrees_and_more_are_no_loss(own: float, angle: float) -> None:
    """A disc of radius r in a corner of the angle a lies r / sin(a/2) from its tip: elementary geometry."""
    half = math.radians(angle / 2.0)
    wedge = Polygon([(0, 0), (90 * math.cos(half), -90 * math.sin(half)), (90 * math.cos(half), 90 * math.sin(half))])
    sharper = min(math.radians(angle), math.radians(180.0 - angle) / 2.0)
    wide = 1.9 * own
    lost = reach._unreached(wedge, own, wide)
    depth = (wide - own) * (1.0 / math.sin(sharper / 2.0) - 1.0)
    assert (lost is None) == (depth <= max(0.5, wide - own)) or abs(depth - max(0.5, wide - own)) < 0.02


def test_an_operation_is_left_out_by_its_name_or_its_parts_and_its_own(tags: str) -> None:
    for name in ("recess", "tag recess"):
        (order,) = every = orders(with_neck(tags), "6mm", without=(name,))
        assert not [path for path in order.job.toolpaths if "recess" in path.name]
        assert len(order.job.parts[0].recesses) == 0
        assert order.recipe["left_out"] == [name]
        (note,) = (note for note in order.notes if "left out" in note.what)
        assert note.severity == "warning"
        assert "'recess' of 'tag' is left out" in note.what
        assert not failed(every)


@pytest.mark.parametrize(
    ("names", "said", "fix"),
    [
        (("reces",), "fits no operation", "'tag recess', 'tag hole'"),
        (("outline",), "would leave the part in the board", "use a bit that can cut it"),
        (("recess", "x", "outline"), "fits no operation", "'tag recess'"),
    ],
)
def test_what_cannot_be_left_out_is_refused(tags: str, names: tuple[str, ...], said: str, fix: str) -> None:
    findings = refused(tags, without=names)
    assert any(said in f.what and fix in f.fix for f in findings)


def test_a_name_of_two_parts_needs_the_part(tags: str) -> None:
    part = tags[tags.index("[[part]]") :].replace('name = "tag"', 'name = "lid"').replace("width = 60,", "width = 50,")
    text = tags + "\n" + part
    (finding,) = refused(text, without=("hole",))
    assert "fits several operations" in finding.what
    assert finding.fix == "one of: 'tag hole', 'lid hole'"


def test_something_of_every_part_is_left(tags: str) -> None:
    text = tags[: tags.rindex("[[part.operations]]")].replace('name = "tag"', 'name = "tag"\noutline = "outline"')
    (finding,) = refused(text, without=("recess", "hole"))
    assert "nothing to cut in the part 'tag'" in finding.what


# Faults that only the audit finds.


def test_the_audit_sees_a_neck_that_was_lost(tags: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(toolpaths, "refuse_unreached", lambda *args: None)
    every = orders(with_neck(tags), "6mm")
    (said,) = failed(every)
    assert "'tag' 'recess' stays uncut at (" in said
    _, proofs = proofs_of(finished(every[0]))
    assert not [f for proof in proofs for f in proof.findings if f.severity == "error"]


def test_the_audit_sees_a_notch_that_was_lost(tags: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(toolpaths, "refuse_unreached_beside", lambda *args: None)
    notched = "outline.polygon = [[0, 0], [60, 0], [60, 30], [56, 30], [56, 24], [52, 24], [52, 30], [0, 30]]"
    text = with_neck(tags).replace("outline.rectangle = { width = 60, depth = 30, radius = 6 }", notched)
    assert any("'outline' stays uncut" in said for said in failed(orders(text, "4.5mm")))


def test_the_audit_sees_what_is_cut_though_it_was_left_out(tags: str, monkeypatch: pytest.MonkeyPatch) -> None:
    every = Bits.cut

    def all_of_them(bits: Bits, part: int) -> Any:
        return every(Bits(bits.file, bits.swaps), part)

    monkeypatch.setattr(bits_module.Bits, "cut", all_of_them)
    said = failed(orders(tags, without=("recess",)))
    assert any("no operation of the job file asks for it" in what for what in said)


def test_the_audit_sees_what_is_left_out_unasked(tags: str) -> None:
    (order,) = orders(tags, without=("recess",))
    assert order.sources is not None
    job = json.loads(dumps(finished(order)))
    checks = audit(Asked(order.sources.job, {}), Made(job))
    assert any("'tag' 'recess' is not cut" in f.what for check in checks for f in check.findings)
    checks = audit(Asked(order.sources.job, {}, left_out=("nothing",)), Made(job))
    assert any(check.status == "failed" for check in checks)


def test_the_folder_says_what_was_left_out(tags: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    job, out = tmp_path / "job.toml", tmp_path / "out"
    job.write_text(with_neck(tags))
    words = ["build", str(job), "--machine", "grbl-front-left", "--out", str(out), "--bit", "6mm", "--effort", "0"]
    assert run(words) == 2
    assert "--without 'tag recess'" in capsys.readouterr().err
    assert run([*words, "--without", "tag recess"]) == 0
    told = capsys.readouterr().out
    line = next(line for line in told.splitlines() if "'recess' of 'tag' is left out" in line)
    assert line.startswith(f"warning: {job}:30, $.part[0].operations[0]: ")
    folder = out / "grbl-front-left"
    assert "is left out" in (folder / "setup-sheet.html").read_text(encoding="utf-8")
    certificate = json.loads(next(folder.glob("*.proof.json")).read_text(encoding="utf-8"))
    assert certificate["sources"]["left_out"] == ["tag recess"]
    assert run(["check", str(out)]) == 0
    assert "left out, as asked: 'tag recess'" in capsys.readouterr().out
    assert run(["check", str(out), "--job", str(job)]) == 0
    # A certificate that hides it does not get past the audit.
    (path,) = folder.glob("*.proof.json")
    path.write_text(json.dumps({**certificate, "sources": {**certificate["sources"], "left_out": []}}))
    assert run(["check", str(out)]) == 1
    assert "'tag' 'recess' is not cut" in capsys.readouterr().out
