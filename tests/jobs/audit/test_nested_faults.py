"""Parts laid out one by one: honest jobs pass the audit, and each fault seeded behind the job file's back is caught."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any, NamedTuple

import pytest

import pathkit as pk
from pathkit.jobs import drawn, nested, planning, toolpaths
from pathkit.jobs.planning import orders_of
from pathkit.jobs.reading import job_file_of
from pathkit.jobs.sources import audited, boards_of
from pathkit.model.codec import dumps
from pathkit.operations import Placement
from pathkit.proof.result import CheckResult
from tests.jobs.audit.seeds import wrapped

MACHINE = pk.load_machine("grbl-front-left")
Patch = pytest.MonkeyPatch


def judged(text: str, without: tuple[str, ...] = ()) -> list[CheckResult]:
    every = orders_of(job_file_of(text, "job.toml"), [MACHINE], without=without, effort=0)
    return [
        check
        for order in every
        for check in audited(
            order, boards_of(every, order), dumps(pk.Pipeline(order.passes).run(order.job, MACHINE).job).encode()
        )
    ]


def with_leads(text: str) -> str:
    """The web is left to pathkit; cuts come on beside their outlines, and a last lap finishes them."""
    more = '"outline"\nlead = 2.5\nfinish = { allowance = 0.3 }\nbottom'
    return text.replace("web = 4", "least_web = 0.5").replace('"outline"\nbottom', more)


def with_much_else(text: str) -> str:
    """A bored hole, an opening, leads, a skin under a part, tabs by what they must hold, on a weak machine."""
    more = """hole.circle = { centre = [66, 10], radius = 3.5 }
window.circle = { centre = [62, 35], radius = 11 }
[[part.operations]]
kind = "drill"
shape = "hole"
bottom.through = true
stepdown = 3
[[part.operations]]
kind = "contour"
shape = "window"
side = "inside"
bottom.through = true
stepdown = 3
"""
    machine = """[[machine]]
profile = "grbl-front-left"
cutting = { feed = "70%", stepdown = "50%", stepover = "50%" }
"""
    begin = text.index('[[part.operations]]\nkind = "engrave"')
    text = text[:begin] + text[text.index('[[part.operations]]\nkind = "contour"') :]
    for old, new in (
        ("[[part.operations]]", more + "[[part.operations]]"),
        ("[layout]\nweb = 4", "skin = 0.5\n[layout]"),
        ("grain = 10", 'grain = 10\nz_zero = "bed"\nmaterial = "plywood"'),
        ("depth = 170", "depth = 190"),
        ("from_top = 0.5", "from_top = 1"),
        ("count = 2, width = 6", 'count = "auto", width = 8'),
    ):
        assert old in text
        text = text.replace(old, new, 1)
    return text.replace('"outline"\nbottom', '"outline"\nlead = 2.5\nbottom') + machine


def test_an_honest_job_passes(boxes: str) -> None:
    results = judged(boxes)
    assert [str(check) for check in results if check.status != "passed"] == []
    counted = {key: n for check in results if check.name == "copies as asked" for key, n in check.figures.items()}
    assert counted["copies"] == 6


@pytest.mark.parametrize(
    "change",
    [
        lambda text: text.replace("margin = 10", "margin = 10\nkeep_grain = false"),
        lambda text: text.replace("quantity = 3", "quantity = 8").replace("number_from = 7", 'text = "A"'),
        lambda text: text.replace("quantity = 3", "quantity = 3\nturn = 3").replace("turn = 1", "turn = 2"),
        lambda text: text.replace('name = "corner"', 'name = "corner"\nzones = [{ kind = "tape", shape = "outline" }]'),
        lambda text: text.replace("grain = 10", "grain = 90").replace("web = 4", 'web = 4\norder = "part"'),
        lambda text: text[: text.index("[layout]")] + text[text.index("[passes]") :],
        with_much_else,
    ],
)
def test_other_honest_jobs_pass_too(boxes: str, change: Callable[[str], str]) -> None:
    assert [str(check) for check in judged(change(boxes)) if check.status != "passed"] == []


def test_what_is_left_out_is_missed_in_no_copy(boxes: str) -> None:
    turned = boxes.replace("margin = 10", "margin = 10\nkeep_grain = false")
    results = judged(turned, ("plate text", "lid recess"))
    assert [str(check) for check in results if check.status != "passed"] == []


class Fault(NamedTuple):
    name: str
    caught_by: str
    told: str
    seed: Callable[[Patch], None]


def boards(change: Callable[[list[Any]], Any]) -> Callable[[Patch], None]:
    """What nesting answers, changed."""

    def seed(patch: Patch) -> None:
        wrapped(patch, planning, "nested_boards", lambda every: tuple(change(list(every))))

    return seed


def moved(name: str, place: Callable[[Placement], Placement]) -> Callable[[Patch], None]:
    """The first copy of a part carried elsewhere."""

    def change(every: list[Any]) -> list[Any]:
        for k, board in enumerate(every):
            for m, each in enumerate(board.placed):
                if board.items[each.item].name == name:
                    there = (*board.placed[:m], replace(each, place=place(each.place)), *board.placed[m + 1 :])
                    every[k] = replace(board, placed=there)
                    return every
        raise AssertionError(name)

    return boards(change)


def without_one(every: list[Any]) -> list[Any]:
    return [replace(every[0], placed=every[0].placed[1:]), *every[1:]]


def onto_the_corner(place: Placement) -> Placement:
    return Placement(30.0, 30.0, place.turn)


def other_text(patch: Patch) -> None:
    real = toolpaths.piece_of
    patch.setattr(nested, "piece_of", lambda *args, copy, **options: real(*args, copy=1 - copy % 2, **options))


def numbered_on_every_board(patch: Patch) -> None:
    real = nested.cut_out
    patch.setattr(planning, "cut_out", lambda board, pieces, order, before, of: real(
        board, pieces, order, tuple(n + (k == 0) for k, n in enumerate(before)), of))  # fmt: skip


def nearer(patch: Patch) -> None:
    def change(asked: Any) -> Any:
        sheet, items, fixed = asked
        return replace(sheet, apart=sheet.apart - 0.4), items, fixed

    wrapped(patch, nested, "_asked", change)


def without_its_own(patch: Patch) -> None:
    """A part that is like another, and nothing else: its own recess forgotten."""
    wrapped(patch, planning, "drawn", lambda made: replace(
        made, shapes={**made.shapes, (1, "recess"): made.shapes[0, "recess"]}))  # fmt: skip


def grain_of_the_board(patch: Patch) -> None:
    real = toolpaths.piece_of
    patch.setattr(nested, "piece_of", lambda *args, grain, **options: real(*args, grain=10.0, **options))


FAULTS = (
    Fault("a copy lost", "copies as asked", "on all boards together, and 3 are asked for", boards(without_one)),
    Fault("a board lost", "copies as asked", "on all boards together", boards(lambda every: every[:-1])),
    Fault("a board too many", "copies as asked", "on all boards together", boards(
        lambda every: [*every[:-1], replace(every[-1], times=2)])),
    Fault("a part on another", "copies as asked", "overlap", moved("plate", onto_the_corner)),
    Fault("parts too near", "copies as asked", "mm apart, and 12 mm are asked for", nearer),
    Fault("a part over the edge", "copies as asked", "from the board's edge", moved(
        "plate", lambda place: Placement(-9.0, place.y, place.turn))),
    Fault("a part beside its place", "copies as asked", "is asked for", moved(
        "corner", lambda place: Placement(place.x - 0.1, place.y, place.turn))),
    Fault("a part turned otherwise", "cuts as asked", "", moved(
        "corner", lambda place: Placement(place.x - 50.0, place.y, 0))),
    Fault("the text of another copy", "cuts as asked", "text", other_text),
    Fault("copies numbered otherwise", "copies as asked", "have wrong numbers", numbered_on_every_board),
    Fault("what differs in a like part lost", "cuts as asked", "'lid' 'recess'", without_its_own),
)  # fmt: skip


def on_several_boards(boxes: str) -> str:
    return boxes.replace("depth = 170", "depth = 110")


def test_without_a_fault_it_passes(boxes: str) -> None:
    assert all(check.status == "passed" for check in judged(on_several_boards(boxes)))


@pytest.mark.parametrize("fault", FAULTS, ids=lambda fault: fault.name)
def test_the_audit_catches_it(fault: Fault, boxes: str, monkeypatch: Patch) -> None:
    text = on_several_boards(boxes)
    fault.seed(monkeypatch)
    failed = [check for check in judged(text) if check.status == "failed"]
    found = [str(finding) for check in failed if check.name == fault.caught_by for finding in check.findings]
    assert any(fault.told in each for each in found), [str(f) for check in failed for f in check.findings]


def test_parts_that_lie_too_near_for_their_leads_are_caught(boxes: str, monkeypatch: Patch) -> None:
    assert all(check.status == "passed" for check in judged(with_leads(boxes)))
    monkeypatch.setattr(drawn, "widest_lead", lambda file: 0.0)
    found = [check for check in judged(with_leads(boxes)) if check.status == "failed"]
    assert [check.name for check in found] == ["copies as asked"]
    assert "mm apart, and 17 mm are asked for" in str(found[0].findings[0])


def test_rows_that_do_not_turn_with_the_part_are_caught(boxes: str, monkeypatch: Patch) -> None:
    text = boxes.replace("quantity = 3", "quantity = 3\nturn = 1")
    assert all(check.status == "passed" for check in judged(text))
    grain_of_the_board(monkeypatch)
    assert "cuts as asked" in {check.name for check in judged(text) if check.status == "failed"}


def test_the_counts_of_the_certificate_are_held_against_the_board(boxes: str) -> None:
    every = orders_of(job_file_of(boxes, "job.toml"), [MACHINE], effort=0)
    job = dumps(pk.Pipeline(every[0].passes).run(every[0].job, MACHINE).job).encode()
    there = boards_of(every, every[0])
    for wrong in (((there[0][0], 1),), ((there[0][0] + 1, *there[0][1:]), *there[1:])):
        checks = audited(every[0], wrong, job)
        assert [check.name for check in checks if check.status == "failed"] == ["copies as asked"]
