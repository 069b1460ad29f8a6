"""A dialect that claims what it cannot do is named, with the claim; other dialects still work."""

from __future__ import annotations

import importlib.metadata
import re
import types
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from pathkit_posts.csv_moves import CsvMoves
from pathkit_posts.grbl import GRAMMAR, Grbl
from pathkit_posts.rs274ngc import Rs274ngc

import pathkit as pk
from pathkit import registry
from pathkit.cli.main import run
from pathkit.cli.showing import DONE, WRONG
from pathkit.dialect.claims import claims


def own(base: type[pk.Dialect], **fields: Any) -> pk.Dialect:
    made: pk.Dialect = type("Own", (base,), {"name": "own", **fields})()
    return made


def grbl(**capabilities: Any) -> pk.Dialect:
    return own(Grbl, capabilities=replace(Grbl.capabilities, **capabilities))


FALSE: dict[str, tuple[Any, str]] = {
    "drill cycles": (grbl(drill_cycles=frozenset({"G81", "G83"})), "drill_cycles.*G81, G83"),
    "a tool changer": (grbl(tool_change="word"), "tool_change.*M6"),
    "mist": (grbl(coolants=frozenset({"mist"})), "coolants.*M7"),
    "an offset too many": (grbl(offsets=("G54", "G59.3")), r"offsets.*G59\.3"),
    "an end it does not read": (grbl(program_end="M60"), "program_end.*M60"),
    "absolute centres": (grbl(arcs="absolute"), "arcs = 'absolute'"),
    "absolute centres by a word": (
        own(Grbl, words=replace(Grbl.words, arc_modes={"absolute": "G90.1"}),
            capabilities=replace(Grbl.capabilities, arcs="absolute")),
        r"arcs.*G90\.1",
    ),
    "a mode it refuses": (own(Grbl, words=replace(Grbl.words, modes=Grbl.words.modes + " G64")), "modes.*G64"),
    "longer lines than it reads": (grbl(line_length=200), "79"),
    "lines without limit": (grbl(line_length=None), "any length"),
    "comments it does not read": (grbl(comment=("/*", "*/")), "comments"),
    "a tape mark": (grbl(tape_mark=True), "tape marks"),
    "units without a word": (own(Grbl, words=replace(Grbl.words, units={"mm": "G21"})), "units inch"),
    "coolant without a word": (
        own(Rs274ngc, words=replace(Rs274ngc.words, coolant={"flood": "M8", "off": "M9"})), "coolant mist"),
    "a sense without a word": (own(Grbl, words=replace(Grbl.words, spindle={1: "M3", 0: "M5"})), "spindle -1"),
    "line numbers without a word": (own(CsvMoves, capabilities=replace(CsvMoves.capabilities, line_numbers=True)),
                                    "line numbers"),
    "nothing to be read by": (own(Grbl, capabilities=replace(Grbl.capabilities, grammar=None)), "reader"),
    "no capabilities": (own(pk.Dialect, title="t"), "capabilities"),
    "no title": (own(Grbl, title=None), "title"),
    "no dialect at all": (types.SimpleNamespace(name="own"), "not an instance"),
    "a class": (Grbl, "not an instance"),
}  # fmt: skip


@pytest.mark.parametrize("name", FALSE)
def test_a_false_claim_is_named(name: str) -> None:
    dialect, words = FALSE[name]
    found = claims(dialect)
    assert found
    assert any(re.search(words, finding.what) for finding in found), [f.what for f in found]
    assert all(finding.fix for finding in found)


@pytest.fixture
def beside(monkeypatch: pytest.MonkeyPatch) -> Any:
    """The registry with everything that is installed, and one more plugin."""

    def install(**hooks: Any) -> None:
        everything = registry.Registry()
        entries = [
            (entry, distribution.metadata["Name"])
            for distribution in importlib.metadata.distributions()
            for entry in distribution.entry_points
            if entry.group == registry.GROUP and entry.value.startswith("pathkit")
        ]
        everything.load(sorted(set(entries), key=lambda pair: pair[0].name))
        plugin = types.SimpleNamespace(**{name: pk.hookimpl(function) for name, function in hooks.items()})
        everything.add(plugin, "stranger (own)")
        monkeypatch.setattr(registry, "installed", lambda: everything)

    return install


def test_it_is_left_out_of_the_list_with_a_warning_and_the_others_stay(
    beside: Any, capsys: pytest.CaptureFixture[str]
) -> None:
    beside(pathkit_dialects=lambda: [grbl(tool_change="word")])
    assert run(["dialects"]) == DONE
    said = capsys.readouterr()
    assert "the dialect 'own' cannot be used" in said.err
    assert "stranger" not in said.out
    assert "rs274ngc" in said.out


def profile(tmp_path: Path, dialect: str) -> Path:
    root = Path(__file__).resolve().parent.parent.parent
    text = (root / "posts/pathkit_posts/machines/grbl-front-left.toml").read_text(encoding="utf-8")
    path = tmp_path / "m.toml"
    path.write_text(text.replace('dialect = "grbl"', f'dialect = "{dialect}"'), encoding="utf-8")
    return path


def job(tmp_path: Path) -> Path:
    bit = pk.Tool("3 mm", 3.0, centre_cutting=True)
    path = pk.Toolpath(
        "line",
        pk.Curve.polyline([[10, 10], [40, 10]]),
        bit,
        pk.Cutting(feed=600.0, plunge=200.0, spindle=9000.0),
        bottom=-1,
    )
    file = tmp_path / "job.json"
    file.write_text(pk.Job("line", pk.Stock(60, 40, 6), (path,)).to_json(), encoding="utf-8")
    return file


def broken_reader(text: bytes, capabilities: Any) -> Any:
    raise ZeroDivisionError("oh")


def wrong_reader(text: bytes, capabilities: Any) -> Any:
    return 42


CASES: dict[str, tuple[Any, str]] = {
    "it claims what it lacks": (lambda: [grbl(tool_change="word")], "cannot be used"),
    "two of one name": (lambda: [own(Grbl), own(Grbl)], "two packages provide"),
    "it raises": (lambda: 1 / 0, "ZeroDivisionError"),
    "it has no name": (lambda: [object()], "AttributeError"),
    "its prologue raises": (lambda: [own(Grbl, prologue=lambda self, context: 1 / 0)], "own"),
    "its lines are no lines": (lambda: [own(Grbl, epilogue=lambda self, context: ["M5!"])], "own"),
    "its reader raises": (lambda: [own(CsvMoves, reader=staticmethod(broken_reader))], "ZeroDivisionError: oh"),
    "its reader gives something else": (lambda: [own(CsvMoves, reader=staticmethod(wrong_reader))], "no Reading"),
}


@pytest.mark.parametrize("name", CASES)
def test_using_it_ends_with_2_and_other_dialects_go_on(
    name: str, beside: Any, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    hook, words = CASES[name]
    beside(pathkit_dialects=hook)
    build = ["build", str(job(tmp_path)), "--effort", "0", "--out", str(tmp_path / "out"), "--machine"]
    assert run([*build, str(profile(tmp_path, "own"))]) == WRONG
    said = capsys.readouterr().err
    assert words in said
    assert "Traceback" not in said
    assert not (tmp_path / "out").exists()
    assert run([*build, "grbl-front-left"]) == DONE


def test_the_kit_asks_for_its_claims_too() -> None:
    from pathkit.testing import DialectTests

    kit = type("Kit", (DialectTests,), {"dialect": grbl(coolants=frozenset({"mist"}))})()
    with pytest.raises(AssertionError):
        kit.test_it_can_do_what_it_claims()
    assert GRAMMAR.codes.isdisjoint({"M7"})
