"""What one machine is asked for where its [[machine]] table says that it is not strong enough for all of it."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

import pathkit as pk
from pathkit.errors import InputError
from pathkit.handover.build import build_orders
from pathkit.handover.recheck import recheck
from pathkit.jobs import bits as bits_module
from pathkit.jobs.audit.bits import _part_of
from pathkit.jobs.bits import _lowered
from pathkit.jobs.strength import Strength
from tests.jobs.made import checks_of, finished, orders_from

TWO = """
[[machine]]
profile = "grbl-front-left"
cutting = { SHARES }
[[machine]]
profile = "grbl-back-right"
"""


def orders(text: str, shares: str, **options: Any) -> dict[str, Any]:
    every = orders_from(text + TWO.replace("SHARES", shares), (), **options)
    return {order.machine.name: order for order in every}


def audit_of(order: Any, every: Any) -> dict[str, Any]:
    return {check.name: check for check in checks_of(order, finished(order), every)}


def test_each_machine_gets_its_share(tags: str) -> None:
    made = orders(tags, 'feed = "70%", plunge = "50%", spindle = "80%", stepdown = "50%", stepover = "75%"')
    weak, strong = made["grbl-front-left"].job, made["grbl-back-right"].job
    cutting = weak.by_name["tag outline"].cutting
    assert (cutting.feed, cutting.plunge, cutting.spindle) == (980.0, 200.0, 14400.0)
    assert strong.by_name["tag outline"].cutting == pk.Cutting(feed=1400.0, plunge=400.0, spindle=18000.0)
    assert weak.by_name["tag outline"].stepdown == pytest.approx(1.0)
    assert strong.by_name["tag outline"].stepdown == 2.0
    # The recess gives none: half of its 2.5 mm (2 mm into a board that may be 0.5 mm thicker) at once.
    assert strong.by_name["tag recess rows"].stepdown is None
    assert weak.by_name["tag recess rows"].stepdown == pytest.approx(1.25)
    # Rows 0.4 · 3 mm apart, and three quarters of that.
    strong_rows, weak_rows = (
        sorted(set(job.by_name["tag recess rows"].curve.points[:, 1].round(4))) for job in (strong, weak)
    )
    assert len(weak_rows) > len(strong_rows)


def test_the_audit_works_the_share_out_itself(tags: str) -> None:
    made = orders(tags, 'feed = "70%", plunge = "55%", spindle = "83%", stepdown = "50%", stepover = "75%"')
    for order in made.values():
        assert {c.status for c in audit_of(order, made.values()).values()} == {"passed"}


def test_it_goes_with_another_bit(tags: str) -> None:
    made = orders(tags, 'feed = "70%", stepdown = "50%"', bits=("2mm",))
    path = made["grbl-front-left"].job.by_name["tag outline"]
    # 1400 · 2/3 · 0.7 = 653.3; stepdown 2 · 2/3 · 0.5.
    assert path.cutting.feed == 650.0
    assert path.stepdown == pytest.approx(2.0 / 3.0)
    assert {c.status for c in audit_of(made["grbl-front-left"], made.values()).values()} == {"passed"}


@pytest.mark.parametrize(
    ("wrong", "caught_by"),
    [
        (Strength(), "feeds as asked"),
        (Strength(feed=0.8, stepdown=0.5, stepover=0.75), "feeds as asked"),
        (Strength(feed=0.7, spindle=0.9, stepdown=0.5, stepover=0.75), "feeds as asked"),
        (Strength(feed=0.7, stepdown=0.6, stepover=0.75), "depths as asked"),
        (Strength(feed=0.7, stepdown=0.5), "cuts as asked"),
    ],
)
def test_a_share_that_is_forgotten_or_another_is_told(
    tags: str, wrong: Strength, caught_by: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    from pathkit.jobs import planning

    monkeypatch.setattr(planning, "strength_of", lambda form: wrong)
    made = orders(tags, 'feed = "70%", stepdown = "50%", stepover = "75%"')
    failed = [name for name, c in audit_of(made["grbl-front-left"], made.values()).items() if c.status == "failed"]
    assert caught_by in failed


def test_the_share_of_another_machine_is_told(tags: str) -> None:
    """The strong machine's job handed over for the weak one."""
    from dataclasses import replace

    made = orders(tags, 'feed = "70%"')
    swapped = replace(made["grbl-front-left"], job=made["grbl-back-right"].job)
    checks = audit_of(swapped, made.values())
    assert checks["feeds as asked"].status == "failed"
    assert "asks for 980" in checks["feeds as asked"].findings[0].what


def test_a_profile_in_a_file_may_be_called_anything(tags: str, tmp_path: Path) -> None:
    """Its name does not tell which table is its own; the one that explains the job is held against it."""
    from importlib.resources import files

    profile = (files("pathkit_posts") / "machines" / "grbl-front-left.toml").read_text(encoding="utf-8")
    (tmp_path / "mine.toml").write_text(profile.replace('"grbl-front-left"', '"by the window"'), encoding="utf-8")
    text = tags + '[[machine]]\nprofile = "mine.toml"\ncutting = { feed = "50%" }\n'
    (order,) = orders_from(text, (), tmp_path)
    assert order.job.by_name["tag outline"].cutting.feed == 700.0
    assert {c.status for c in audit_of(order, [order]).values()} == {"passed"}


@pytest.mark.parametrize(
    ("shares", "what"),
    [
        ('feed = "170%"', 'a share of what the job asks, from "1%" to "100%"'),
        ('feed = "0%"', 'a share of what the job asks, from "1%" to "100%"'),
        ("feed = 0.7", "text in quotes"),
        ('stepdwon = "50%"', "did you mean 'stepdown'"),
        ('ramp = "50%"', "known here: feed, plunge, spindle, stepdown, stepover"),
    ],
)
def test_what_is_no_share_is_refused(tags: str, shares: str, what: str) -> None:
    with pytest.raises(InputError) as raised:
        orders(tags, shares)
    assert what in str(raised.value)
    assert all(f.line == tags.count("\n") + 4 for f in raised.value.findings)


def test_a_spindle_that_is_too_slow_can_be_asked_for_less(tags: str, tmp_path: Path) -> None:
    """Out of the machine's speeds is refused; with a share that fits it is cut."""
    fast = tags.replace("spindle = 18000", "spindle = 30000")
    with pytest.raises(pk.Refused, match="its spindle speed is 27000 rpm"):
        build_orders(list(orders(fast, 'spindle = "90%"').values())[:1], tmp_path / "no")
    assert build_orders(list(orders(fast, 'spindle = "80%"').values())[:1], tmp_path / "yes").ok


def test_the_sheet_says_so_and_the_folder_proves_again(tags: str, tmp_path: Path) -> None:
    made = orders(tags, 'feed = "70%", stepdown = "50%"')
    result = build_orders(list(made.values()), tmp_path / "out")
    assert result.ok, result.findings
    weak, strong = (
        (tmp_path / "out" / made[name].folder / "setup-sheet.html").read_text(encoding="utf-8")
        for name in ("grbl-front-left", "grbl-back-right")
    )
    assert "asked for a share of what the job file says: <strong>feed 70 %, stepdown 50 %</strong>" in weak
    assert "asked for a share" not in strong
    assert all(one.ok and not one.proof.unproved for one in recheck(tmp_path / "out"))


@given(st.floats(1.0, 20000.0), st.integers(1, 100), st.floats(0.2, 2.5))
def test_a_feed_is_never_more_than_its_share_and_hardly_less(feed: float, percent: int, bit: float) -> None:
    share = bit * percent / 100.0
    lowered = _lowered(feed, share)
    assert lowered <= feed * share * (1.0 + 1e-9) + 1e-6
    assert lowered > feed * share - 10.0 - 1e-6
    assert math.isclose(lowered, _part_of(feed, share)), "as the audit works it out"
    assert _lowered(1300.0, 0.7) == 910.0


def test_one_table_does_not_touch_the_other(tags: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """A share that leaks into every machine is told where the machine has none."""
    real = bits_module.Bits.cutting
    monkeypatch.setattr(
        bits_module.Bits, "cutting",
        lambda bits, *args: real(replace(bits, strength=Strength(feed=0.7)), *args),
    )  # fmt: skip
    made = orders(tags, 'feed = "70%"')
    assert audit_of(made["grbl-front-left"], made.values())["feeds as asked"].status == "passed"
    assert audit_of(made["grbl-back-right"], made.values())["feeds as asked"].status == "failed"
