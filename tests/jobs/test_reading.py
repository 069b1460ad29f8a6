"""All that is wrong with a job file is told at once, each fault with its line; what the file says is cut."""

from __future__ import annotations

import contextlib
import json
import math
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pathkit.errors import InputError
from pathkit.jobs.demo import demo_text
from pathkit.jobs.reading import job_file_of, read_job_file
from pathkit.jobs.schema import JobForm, json_schema
from pathkit.toml_source import parse_toml


def line_of(text: str, part: str) -> int:
    return next(k for k, line in enumerate(text.splitlines(), 1) if part in line)


def faults(text: str, folder: Path | str = ".") -> dict[int | None, str]:
    with pytest.raises(InputError) as raised:
        job_file_of(text, "job.toml", folder)
    assert all(finding.file for finding in raised.value.findings)
    return {finding.line: str(finding) for finding in raised.value.findings}


def test_the_example_and_the_demo_hold_together(tags: str) -> None:
    assert job_file_of(tags, "job.toml").tools["3 mm mill"].diameter == 3.0
    assert len(job_file_of(demo_text(), "demo").form.board) == 2


def test_everything_that_is_wrong_is_said_at_once_with_its_line(tags: str) -> None:
    wrong = (
        tags.replace("thickness = 6", "thickness = -6")
        .replace("width = 300", 'width = "300"')
        .replace("diameter = 3\n", 'diameter = 3\nkind = "vee"\n')
        .replace("plunge = 400", "plungee = 400")
        .replace('shape = "recess"', 'shape = "reces"')
        .replace("bottom.from_top = 2", "bottom.from_top = 2\nbottom.above_bed = 3")
        .replace("peck = 2", "peck = nan\nstepover = 0.4")
        .replace('kind = "contour"', 'kind = "outline"')
        .replace("[8, 15]", "[8, 15, 3]")
    )
    said = faults(wrong)
    for part, what in (
        ("thickness", "greater than 0, not -6"),
        ('width = "300"', "number, not '300'"),
        ('kind = "vee"', ""),
        ("plungee", "did you mean 'plunge'?"),
        ('"reces"', "no shape is called 'reces'"),
        ("bottom.from_top = 2", "exactly one of from_top, above_bed, through is needed, not from_top and above_bed"),
        ("peck = nan", "finite number"),
        ("stepover", "unknown key 'stepover'"),
        ('kind = "outline"', "one of: contour, pocket, slot, drill, engrave"),
        ("hole.points", ""),
    ):
        line = line_of(wrong, part) if part != 'kind = "vee"' else line_of(wrong, "[tools.")
        assert line in said, (part, said)
        assert what in said[line], said[line]
    assert "a vee without its angle" in said[line_of(wrong, "[tools.")]
    assert any("plunge is missing" in each for each in said.values())


@pytest.mark.parametrize(
    ("old", "new", "what"),
    [
        ('name = "key tags"', "", "name is missing"),
        ("[cutting.wood]", "[cutting]", "must be a table"),
        ('name = "key tags"', 'name = "key\\ntags"', "name"),
        ("radius = 6 }", 'radius = 6 }\nodd.line = [[0, 0], [1, 1]]\nodd.path = "M0 0"', "exactly one of rectangle"),
        ("hole.points = [[8, 15]]", 'hole = { circle = { centre = [8, 15], radius = 2 }, layer = "x" }',
         "layer is only for a drawing"),
        ('name = "tag"', 'name = "tag"\noutline = "edge"', "no shape is called 'edge'"),
        ('name = "tag"', 'name = "tag"\nprecedence = [["recess", "hol"]]', "no operation is called 'hol'"),
        ('name = "tag"', 'name = "tag"\nzones = [{ kind = "tape", shape = "t" }]', "no shape is called 't'"),
        ('kind = "drill"', 'kind = "drill"\ntool = "5 mm"', "no bit is called '5 mm'"),
        ('kind = "drill"', 'kind = "drill"\nname = "recess"', "two operations are called 'recess'"),
        ("[cutting.wood]", "[cutting.oak]\nfeed = 1\nplunge = 1\nspindle = 1\n[cutting.wood]", "name one; there"),
        ("[[board]]", '[[machine]]\nprofile = "grbl-front-left"\nboard = "big"\n[[board]]', "no board is called 'big'"),
        ("[stock]", 'tool_table = "none.toml"\n[stock]', "none.toml' is not there"),
    ],
)  # fmt: skip
def test_single_faults_have_clear_words(tags: str, old: str, new: str, what: str) -> None:
    assert old in tags
    said = faults(tags.replace(old, new, 1))
    assert any(what in each for each in said.values()), said
    assert None not in said


def test_a_shared_table_of_bits(tags: str, tmp_path: Path) -> None:
    (tmp_path / "bits.toml").write_text('[tools.quarter]\ndiameter = 6.35\n[tools."3 mm mill"]\ndiameter = 3\n')
    own = tags.replace("[stock]", 'tool_table = "bits.toml"\n[stock]')
    assert "the bit '3 mm mill' is in 'bits.toml' too" in str(faults(own, tmp_path))
    without = own.replace('[tools."3 mm mill"]\ndiameter = 3\ncentre_cutting = true\n', "")
    without = without.replace('shape = "', 'tool = "quarter"\nshape = "')
    (tmp_path / "job.toml").write_text(without)
    assert read_job_file(tmp_path / "job.toml").tools["quarter"].diameter == 6.35
    (tmp_path / "bits.toml").write_text("[tools.quarter]\ndiameter = 0\nflute = 2\n")
    said = faults(without, tmp_path)
    assert "greater than or equal to 0.05" in said[2]
    assert "did you mean 'flutes'?" in said[3]


@pytest.mark.parametrize("text", ["", "[", "= 1", "a = [1,", "\x00", "[[board]]\n[board]"])
def test_what_is_no_toml_or_empty_is_said_so(text: str) -> None:
    assert faults(text)


def test_files_that_cannot_be_read(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="is not there"):
        read_job_file(tmp_path / "none.toml")
    (tmp_path / "b.toml").write_bytes(b"name = '\xff'")
    with pytest.raises(InputError, match="not UTF-8"):
        read_job_file(tmp_path / "b.toml")
    with pytest.raises(InputError, match="it is a folder"):
        read_job_file(tmp_path)


def test_the_schema_knows_every_key_and_is_plain_json() -> None:
    schema = json_schema()
    assert json.loads(json.dumps(schema)) == schema
    assert set(schema["properties"]) == set(JobForm.model_fields)
    assert schema["additionalProperties"] is False
    assert {"name", "stock", "board", "cutting", "part"} <= set(schema["required"])


JUNK = st.recursive(
    st.one_of(st.integers(), st.floats(), st.booleans(), st.text(max_size=4)),
    lambda inner: st.one_of(st.lists(inner, max_size=3), st.dictionaries(st.sampled_from(
        ["name", "kind", "shape", "shapes", "operations", "width", "points", "bottom", "from_top", "zones", "tool"]
    ), inner, max_size=3)),
    max_leaves=8,
)  # fmt: skip


@given(st.sampled_from(["stock", "board", "tools", "cutting", "part", "layout", "passes", "machine", "extra"]), JUNK)
def test_junk_anywhere_is_findings_and_never_a_crash(key: str, junk: object) -> None:
    document = parse_toml(demo_text(), "demo")
    data = {**document.data, key: junk}

    def written(value: object) -> str:
        if isinstance(value, dict):
            return "{" + ", ".join(f"{json.dumps(k)} = {written(v)}" for k, v in value.items()) + "}"
        if isinstance(value, list):
            return "[" + ", ".join(map(written, value)) + "]"
        if isinstance(value, float) and not math.isfinite(value):
            return "nan"
        return json.dumps(value).replace("\x7f", "\\u007f")

    text = "\n".join(f"{name} = {written(value)}" for name, value in data.items())
    # Any other kind of error fails the test.
    with contextlib.suppress(InputError):
        job_file_of(text, "job.toml")


@pytest.mark.parametrize(("old", "new"), [("raster", "rows"), ("offset", "rings")])
def test_a_value_that_was_renamed_is_told_its_new_name(tags: str, old: str, new: str) -> None:
    text = tags.replace("bottom.from_top = 2", f'bottom.from_top = 2\nstyle = "{old}"')
    with pytest.raises(InputError, match=f"has another name now .write style = '{new}'") as raised:
        job_file_of(text, "job.toml")
    assert [finding.line for finding in raised.value.findings] == [text[: text.index("style =")].count("\n") + 1]
