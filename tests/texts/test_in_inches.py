"""Findings in inches: lengths, feeds, areas and forces of a sentence are converted, names never."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pathkit.findings import Finding
from pathkit.texts import catalogue, in_inches
from pathkit.texts.findings import FILES, in_words, said, said_with_remedy
from pathkit.texts.language import ENGLISH, LANGUAGES, Language

GERMAN = Language("de")
PLATE = "'3 mm plate, 2 mm/min'"


@pytest.mark.parametrize(
    ("finding", "english", "german"),
    [
        # One length alone has mm beside it. An inch is 25.4 mm (international yard and pound agreement, 1959).
        ("an allowance of 0.02 mm leaves the bit no room to go round",
         "an allowance of 0.0008 in (0.02 mm) leaves the bit no room to go round",
         "ein Aufmaß von 0,0008 in (0,02 mm) lässt dem Fräser keinen Platz herumzufahren"),
        ("its tabs are only 2 mm wide, since it has no room for 25.4 mm",
         "its tabs are only 0.0787 in wide, since it has no room for 1 in",
         "seine Haltestege sind nur 0,0787 in breit, weil für 1 in kein Platz ist"),
        # Coordinates have no unit behind them.
        (f"only 0.5 mm of wood would stand between it and {PLATE} near x 254.0 y -12.7; at least 1.5 mm is wanted",
         f"only 0.0197 in of wood would stand between it and {PLATE} near x 10 y -0.5; at least 0.0591 in is wanted",
         f"zwischen ihm und {PLATE} blieben nahe x 10 y -0,5 nur 0,0197 in Holz stehen; verlangt sind mindestens"
         " 0,0591 in"),
        # A feed whose unit stands further ahead.
        (f"5 moves ask for up to 3000 mm/min, and {PLATE} moves X at most 2540 and Z at most 254: the controller slows"
         " the whole move down until every axis keeps its limit. Where it slows down, chips are thinner than intended;"
         " the run time is computed with the limit",
         f"5 moves ask for up to 118.1 in/min (3000 mm/min), and {PLATE} moves X at most 100 and Z at most 10: the"
         " controller slows the whole move down until every axis keeps its limit. Where it slows down, chips are"
         " thinner than intended; the run time is computed with the limit",
         f"5 Bewegungen verlangen bis zu 118,1 in/min (3000 mm/min), und {PLATE} fährt X höchstens 100 und Z höchstens"
         " 10: die Steuerung verlangsamt die ganze Bewegung, bis jede Achse ihre Grenze einhält. Wo sie langsamer wird,"
         " sind die Späne dünner als beabsichtigt; die Laufzeit ist mit der Grenze gerechnet"),
        # Areas, in a list; and a value that has its unit within.
        ("'b' keeps slivers in corners too sharp for a bit of 6.35 mm: 6.4516 mm² at (25.4, 4.0), 2 mm² at (1, 2)",
         "'b' keeps slivers in corners too sharp for a bit of 0.25 in (6.35 mm): 0.01 in² at (1, 0.1575), 0.0031 in²"
         " at (0.0394, 0.0787)",
         "'b' behält Reste in Ecken, die für einen Fräser von 0,25 in (6,35 mm) zu spitz sind: 0,01 in² bei (1;"
         " 0,1575), 0,0031 in² bei (0,0394; 0,0787)"),
        ("the part 'tag' (127 × 76.2 mm) hangs over the board of 100 × 70 mm",
         "the part 'tag' (5 × 3 in) hangs over the board of 3.937 × 2.756 in",
         "das Teil 'tag' (5 × 3 in) ragt über die Platte von 3,937 × 2,756 in hinaus"),
        # A pound-force is 4.4482216152605 N (NIST SP 811, appendix B.8), a foot 304.8 mm.
        ("by estimate a dull bit pushes 'p' with 40 N and lifts it with 4 N, more than 2 tabs can hold",
         "by estimate a dull bit pushes 'p' with 9 lbf and lifts it with 0.9 lbf, more than 2 tabs can hold",
         "geschätzt schiebt ein stumpfer Fräser 'p' mit 9 lbf und hebt es mit 0,9 lbf, mehr als 2 Haltestege halten"
         " können"),
        ("It looks at places 0.3 mm apart (further apart on curves over 3 m).",
         "It looks at places 0.0118 in apart (further apart on curves over 9.843 ft).",
         "Angesehen werden Stellen im Abstand von 0,0118 in (weiter auseinander auf Kurven über 9,843 ft)."),
        # What goes into a job file says its unit there.
        ("stepdown = 3, or less", 'stepdown = "3mm", or less', 'stepdown = "3mm" oder weniger'),
        ("stepover = 0.4 at most", "stepover = 0.4 at most", "höchstens stepover = 0.4"),
        # What speaks of options in mm, or of the unit itself.
        ("--underlay is 5; give a thickness in mm up to 50, as in --underlay 3",
         "--underlay is 5; give a thickness in mm up to 50, as in --underlay 3",
         "--underlay ist 5; eine Dicke in mm bis 50 angeben, wie in --underlay 3"),
        ("the part 'a' measures 2 mm, which looks like inches (50.8 mm)",
         "the part 'a' measures 2 mm, which looks like inches (50.8 mm)",
         "das Teil 'a' misst 2 mm, was nach Zoll aussieht (50,8 mm)"),
        # By hand: 300 m are 300/0.3048 ft, and a cubic inch is 2.54³ cm³. The second figure has its unit further ahead.
        ("the edge of 'b' runs at 300 m/min, and usual in plywood is 200 at most: it burns or melts",
         "the edge of 'b' runs at 984.3 ft/min, and usual in plywood is 656.2 at most: it burns or melts",
         "die Schneide von 'b' läuft mit 984,3 ft/min, und üblich in Sperrholz sind höchstens 656,2: Das Material"
         " verbrennt oder schmilzt"),
        ("takes 16.4 cm³ a minute at 2540 mm/min, and at its own feed of 1270 mm/min it would take 8.2 at most",
         "takes 1.001 in³ a minute at 100 in/min, and at its own feed of 50 in/min it would take 0.5004 at most",
         "nimmt 1,001 in³ je Minute bei 100 in/min, und bei seinem eigenen Vorschub von 50 in/min wären es höchstens"
         " 0,5004"),
        # Not of the catalogue.
        ("a plugin found 3 mm", "a plugin found 3 mm", "a plugin found 3 mm"),
    ],
)  # fmt: skip
def test_figures_are_in_inches(finding: str, english: str, german: str) -> None:
    assert in_words(finding, ENGLISH, "inch") == english
    assert in_words(finding, GERMAN, "inch") == german
    assert in_words(finding, ENGLISH) == in_words(finding, ENGLISH, "mm") == finding


@given(st.floats(0.0005, 9e5))
def test_a_length_keeps_its_worth(mm: float) -> None:
    """Within a twentieth of a thousandth of an inch, or the fourth figure."""
    given_mm = float(f"{mm:g}")
    told = in_words(f"an allowance of {mm:g} mm leaves the bit no room to go round", ENGLISH, "inch")
    found = re.search(r"of ([\d.]+) in \(", told)
    if "e+" in f"{mm:g}":
        return
    assert found is not None
    assert abs(float(found[1]) - given_mm / 25.4) <= max(0.5e-4, given_mm / 25.4 * 0.6e-3) * 1.001
    assert float(found[1]) > 0.0


@given(st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\ue000\ue001"), min_size=1, max_size=20))
def test_names_stay_as_they_are(name: str) -> None:
    told = in_words(f"the bit {name!r} of 25.4 mm fits nowhere in the shape near (1.0, 2.0)", ENGLISH, "inch")
    assert told == f"the bit {name!r} of 1 in (25.4 mm) fits nowhere in the shape near (0.0394, 0.0787)"


@pytest.mark.parametrize("code", LANGUAGES)
def test_no_length_of_a_message_is_left_in_mm(code: str) -> None:
    """Every message, with numbers for its values."""
    say = Language(code)  # type: ignore[arg-type]
    left = []
    for name in (name for file in FILES for name in catalogue.messages("en", file)):
        message = catalogue.messages("en", name.partition("-")[0])[name]
        values = dict.fromkeys(catalogue.placeholders(message), "25.4")
        if name.startswith(in_inches._OWN_UNITS):
            continue
        told = in_inches.told(say(name, **in_inches.marked(name, values)), say, both=False)
        left += [(name, told)] if re.search(r"25[.,]4 (mm|N\b)|[\ue002-\ue006]", told) else []
    assert left == []


def test_a_finding_is_told_in_inches_and_stays_in_mm() -> None:
    finding = Finding(
        check="feeds", what="its tabs are only 2 mm wide, since it has no room for 3 mm", fix="stepdown = 2, or less",
        file="a.nc", line=3,
    )  # fmt: skip
    assert said(finding, ENGLISH) == str(finding)
    assert said(finding, ENGLISH, "inch").startswith("a.nc:3: its tabs are only 0.0787 in wide")
    assert said(finding, GERMAN, "inch").endswith('(stepdown = "2mm" oder weniger)')
    assert said_with_remedy(finding, ENGLISH, "inch").startswith("its tabs are only 0.0787 in wide")
    assert finding.what.startswith("its tabs are only 2 mm wide")


@pytest.mark.parametrize(
    ("finding", "told"),
    [
        # A plain number of a job file is in mm, whoever reads it.
        ("mend the drawing or its units, or set scale or size = [25.4, 50.8]", "scale or size = [25.4, 50.8]"),
        ("give at a value from [0, 0] to [25.4, 50.8]", "to [25.4, 50.8]"),
        # Words of a file are what they are.
        ("the bit is changed at X25.400 Y50.800, and the profile asks for X0 Y10", "X25.400 Y50.800"),
        # Of two figures to be compared both are told in one unit.
        ("cuts at 254 mm/min, and the job asks for 508", "cuts at 10 in/min (254 mm/min), and the job asks for 20"),
        ("a rapid at 25.400 mm crosses a clamp at (25.4, 0.0); it must be at 50.800", "it must be at 2"),
        ("'a' goes to z = -25.4, below the bed at z = -12.7", "z = -1, below the bed at z = -0.5"),
        (
            "goes down to z = -25.4, and the job file asks for z = -12.7",
            "z = -25.4, and the job file asks for z = -12.7",
        ),
    ],
)
def test_figures_of_a_sentence_are_in_one_unit(finding: str, told: str) -> None:
    assert told in in_words(finding, ENGLISH, "inch")
