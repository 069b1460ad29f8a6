"""Lengths and feeds of a job file may be texts with their unit; inside, and to the audit, they are mm and mm/min."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pathkit.errors import InputError
from pathkit.jobs.audit.lengths import FEEDS, LENGTHS, millimetres
from pathkit.jobs.audit.tables import read_tables
from pathkit.jobs.planning import orders_of, passes_of
from pathkit.jobs.reading import JobFile, job_file_of
from pathkit.jobs.schema import json_schema
from pathkit.passes.hold_tabs import HoldTabs
from pathkit.passes.ramp_entries import RampEntries
from pathkit.passes.standard import standard_passes
from pathkit.registry import load_machine
from pathkit.units import FEED, LENGTH, quantities_of
from tests.jobs.audit.conftest import audits


def read(text: str, folder: Path | str = ".") -> JobFile:
    return job_file_of(text, "job.toml", folder)


def faults(text: str) -> list[tuple[int | None, str]]:
    with pytest.raises(InputError) as raised:
        read(text)
    return [(finding.line, str(finding)) for finding in raised.value.findings]


# NIST Special Publication 811 (2008), appendix B.8: 1 inch is 25.4 mm exactly. The third column is 25.4 times the
# second, by hand.
@pytest.mark.parametrize(
    ("text", "inches", "mm"),
    [
        ("1/16in", Fraction(1, 16), 1.5875), ("1/8in", Fraction(1, 8), 3.175), ("3/16 in", Fraction(3, 16), 4.7625),
        ("1/4in", Fraction(1, 4), 6.35), ("0.25in", Fraction(1, 4), 6.35), (".5in", Fraction(1, 2), 12.7),
        ("5.5in", Fraction(11, 2), 139.7), ("1 1/2in", Fraction(3, 2), 38.1), ("-2in", Fraction(-2), -50.8),
        ("48in", Fraction(48), 1219.2),
    ],
)  # fmt: skip
def test_inches_are_exact(text: str, inches: Fraction, mm: float) -> None:
    assert LENGTH.read(text) == mm == float(inches * 254 / 10)
    assert millimetres(text) == mm


@pytest.mark.parametrize(
    "text",
    ["", "in", "5.5", "5.5 inch", "1/0in", "1/2/3in", "1 2in", "5,5in", "1e3mm", "٣in", "5in\n", "5\nin", "5in/min",
     "--5in", "nanmm", "1234567890mm", "1 0.5in", "5.in"],
)  # fmt: skip
def test_other_texts_are_no_lengths(text: str) -> None:
    assert LENGTH.read(text) is None
    with pytest.raises((ValueError, ZeroDivisionError)):
        millimetres(text)


@given(st.fractions(-1000, 1000, max_denominator=1000), st.sampled_from(["mm", "in"]))
def test_both_readers_agree(value: Fraction, unit: str) -> None:
    whole, rest = divmod(abs(value), 1)
    sign = "-" if value < 0 else ""
    text = f"{sign}{whole} {rest.numerator}/{rest.denominator}{unit}"
    assert LENGTH.read(text) == millimetres(text)
    assert LENGTH.read(text) == pytest.approx(float(value) * (25.4 if unit == "in" else 1.0), rel=1e-15)


IN_INCHES = (
    ("thickness = 6", 'thickness = "1/4in"', 6.35),
    ("underlay = 2", 'underlay = ".1in"', 2.54),
    ("width = 300", 'width = "12in"', 304.8),
    ("diameter = 3", 'diameter = "1/8in"', 3.175),
    ("feed = 1400", 'feed = "50in/min"', 1270.0),
    ("plunge = 400", 'plunge = "400mm/min"', 400.0),
    ("width = 60", 'width = "2.5in"', 63.5),
    ("corner = [16, 8]", 'corner = ["5/8in", 8]', 15.875),
    ("radius = 3", 'radius = "1/8in"', 3.175),
    ("[[8, 15]]", '[["3/8in", "15mm"]]', 9.525),
    ("bottom.from_top = 2", 'bottom.from_top = "1/8in"', 3.175),
    ("peck = 2", 'peck = "2mm"', 2.0),
    ("stepdown = 2", 'stepdown = "0.1in"', 2.54),
)


def test_a_job_in_inches_is_the_same_job(tags: str) -> None:
    tail = (
        '\n[layout]\ncopies = 2\nmargin = "{margin}"\n[passes]\nhold_tabs = {{ width = {width}, height = {height} }}\n'
    )
    inches, plain = tags, tags
    for old, new, mm in IN_INCHES:
        key, _, value = old.partition(" = ")
        assert old in tags
        inches = inches.replace(old, new, 1)
        number = f"{mm:g}" if key != "corner" else f"[{mm:g}, 8]"
        plain = plain.replace(old, f"{key} = {number}" if value else f"[[{mm:g}, 15]]", 1)
    inches += tail.format(margin="0.4in", width='"1/4in"', height='"1.5mm"')
    plain += tail.format(margin="10.16mm", width="6.35", height="1.5")
    one, other = (orders_of(read(text), [load_machine("grbl-front-left")])[0] for text in (inches, plain))
    assert one.job == other.job
    assert one.passes == other.passes
    assert {check.status for board in audits(inches) for check in board} == {"passed"}


def test_a_shared_table_of_bits_may_be_in_inches(tags: str, tmp_path: Path) -> None:
    (tmp_path / "bits.toml").write_text('[tools."1/4in mill"]\ndiameter = "1/4in"\ncut_length = "1in"\n')
    text = tags.replace('[tools."3 mm mill"]\ndiameter = 3\ncentre_cutting = true', "").replace(
        'name = "key tags"', 'name = "key tags"\ntool_table = "bits.toml"'
    )
    tool = read(text, tmp_path).tools["1/4in mill"]
    assert (tool.name, tool.diameter, tool.cut_length) == ("1/4in mill", 6.35, 25.4)
    tables = read_tables(text.encode(), {"bits.toml": (tmp_path / "bits.toml").read_bytes()})
    assert tables.tools["1/4in mill"]["diameter"] == 6.35


def test_names_that_look_like_lengths_stay_names(tags: str) -> None:
    text = tags.replace('"tag"', '"1in"').replace('"recess"', '"2mm"').replace("recess.", '"2mm".')
    assert read(text).form.part[0].name == "1in"
    assert "2mm" in read_tables(text.encode(), {}).parts[0]["shapes"]


@pytest.mark.parametrize(
    ("old", "new", "what", "fix"),
    [
        ("width = 300", 'width = "300"', "a number, not '300'", '"5.5in"'),
        ("width = 300", 'width = "-3in"', "greater than 0, not '-3in'", "mm"),
        ("width = 300", 'width = "40in/min"', "not '40in/min'", '"140mm"'),
        ("feed = 1400", 'feed = "55in"', "a number, not '55in'", '"100in/min"'),
        ("spindle = 18000", 'spindle = "18000mm"', "number", "without quotes"),
        ("[[8, 15]]", '[["x", 15]]', "not 'x'", '"1/4in"'),
    ],
)
def test_what_is_no_length_is_refused_with_its_line(tags: str, old: str, new: str, what: str, fix: str) -> None:
    line = next(k for k, text in enumerate(tags.splitlines(), 1) if old in text)
    ((at, said),) = faults(tags.replace(old, new))
    assert at == line
    assert what in said
    assert fix in said


@pytest.mark.parametrize(
    ("old", "new", "quoted"),
    [
        ("width = 300", "width = 11.8in", '"11.8in"'),
        ("[[8, 15]]", "[[8, 15 mm]]", '"15mm"'),
        ("[[8, 15]]", "[[-1in, 15]]", '"-1in"'),
        ("width = 300", "width = 11 3/4 in", '"11 3/4in"'),
        ("feed = 1400", "feed = 55in/min", '"55in/min"'),
        ("radius = 6 }", "radius = 1/4in }", '"1/4in"'),
    ],
)
def test_a_unit_without_quotes_is_shown_with_them(tags: str, old: str, new: str, quoted: str) -> None:
    ((_, said),) = faults(tags.replace(old, new))
    assert f"put a number with its unit in quotes: {quoted}" in said


def test_other_faults_of_toml_speak_of_no_units(tags: str) -> None:
    ((_, said),) = faults(tags.replace("width = 300", 'width = = "3in" # 3 mm'))
    assert "quotes" not in said


def test_lengths_of_passes_are_known_by_their_types(tags: str) -> None:
    known = {step.name: sorted(quantities_of(type(step))) for step in standard_passes()}
    assert known["hold_tabs"] == ["height", "least_width", "width"]
    assert known["ramp_entries"] == ["helix_diameter"]
    text = f'{tags}[passes]\nhold_tabs = {{ width = "1/4in" }}\nramp_entries = {{ helix_diameter = "1/16in" }}\n'
    steps = {step.name: step for step in passes_of(read(text))}
    assert steps["hold_tabs"] == HoldTabs(width=6.35)
    assert steps["ramp_entries"] == RampEntries(helix_diameter=1.5875)
    with pytest.raises(InputError, match=r"width is 'wide', which is no number.*1/4in") as raised:
        passes_of(read(text.replace('"1/4in"', '"wide"')))
    assert raised.value.findings[0].line == len(text.splitlines()) - 1


def written(schema: Any, name: str = "") -> Iterator[tuple[str, list[str]]]:
    """Every key of a JSON schema behind which numbers may stand, and the patterns of the texts that may stand there."""
    for kind in (schema, *schema.get("$defs", {}).values()):
        for key, inner in kind.get("properties", {}).items():
            found = list(members(inner))
            if any(each.get("type") == "number" for each in found):
                yield key, [each["pattern"] for each in found if each.get("type") == "string" and "pattern" in each]


def members(schema: Any) -> Iterator[Any]:
    yield schema
    for each in (*schema.get("anyOf", ()), *schema.get("oneOf", ()), *([schema["items"]] if "items" in schema else ())):
        yield from members(each)


def test_every_number_is_a_length_a_feed_or_known_to_be_neither() -> None:
    plain = {key for key, patterns in written(json_schema()) if not patterns}
    # The machine of a hand-out has mm/s², rpm and seconds.
    machine = {"acceleration", "min", "max", "spin_up"}
    assert plain == {"scale", "grain", "angle", "spindle", "stepover", "power"} | machine


def test_the_audit_has_the_same_lengths_and_feeds_on_its_own_list() -> None:
    by_pattern = {LENGTH.pattern: set[str](), FEED.pattern: set[str]()}
    for key, patterns in written(json_schema()):
        for pattern in patterns:
            by_pattern[pattern].add(key)
    options = {name for step in standard_passes() for name in quantities_of(type(step))}
    assert by_pattern[LENGTH.pattern] | options == LENGTHS
    assert by_pattern[FEED.pattern] == FEEDS
