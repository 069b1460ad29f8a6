"""Findings that the code puts together from parts: each way they can come out is a sentence of the catalogue."""

from __future__ import annotations

from itertools import product

import pytest

from pathkit.drawings.drawing import loops
from pathkit.drawings.dxf import read_dxf
from pathkit.drawings.svg import read_svg
from pathkit.errors import InputError
from pathkit.handover.pages.holding import _TOO_WEAK
from pathkit.handover.pages.sheet import _CORNER, _JOG
from pathkit.model.tool import Tool
from pathkit.operations.judging import _of_chips
from pathkit.texts.findings import in_words
from pathkit.texts.language import Language

GERMAN = Language("de")


def test_what_is_said_of_chips() -> None:
    bit = Tool("flat", 6.0)
    at = ["", " at the 800 mm/min that 'router' can move"]
    across = ["", " with 0.5 mm of it in the wood"]
    deep = ["", " at 9 mm deep"]
    for so, a, b, c in product(("it rubs and burns", "it may break"), across, at, deep):
        if so == "it may break" and a:
            continue
        told = in_words(_of_chips(bit, 0.01, a + b, f"usual in plywood is 0.020 to 0.080 mm{c}", so), GERMAN)
        assert told.startswith("'flat' nimmt 0,010 mm je Zahn")
        assert "usual" not in told


def test_what_is_said_of_a_weak_hold() -> None:
    for by in ("2 tabs", "2 tabs and the tape", "nothing but the board around it",
               "nothing but the board around it and the tape"):  # fmt: skip
        told = in_words(_TOO_WEAK.format("plate", 40.0, 12.0, by), GERMAN)
        assert told.startswith("geschätzt schiebt ein stumpfer Fräser 'plate' mit 40 N")
        assert told.endswith("halten kann" if "board" in by and "tape" not in by else "halten können")


def test_where_a_bit_is_jogged() -> None:
    told = [in_words(_JOG.format(corner), GERMAN) for corner in _CORNER.values()]
    assert all(each.startswith("fahren Sie ihn vor jedem Start von Hand") for each in told)
    assert len(set(told)) == len(_CORNER)


def svg(inside: str) -> bytes:
    page = '<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="50mm" viewBox="0 0 100 50">'
    return f'{page}<g fill="none" stroke="#000">{inside}</g></svg>'.encode()


@pytest.mark.parametrize(
    ("inside", "said"),
    [
        ('<path id="a" d="M0 0 L 1"/>', "path 'a': kein Pfad in der Syntax von SVG: L mit '1'"),
        ('<path d="L 1 1"/>', "path ohne id: kein Pfad in der Syntax von SVG: Er beginnt mit L, nicht mit M"),
        ('<path id="a: b" d="M0 0 x"/>', "path 'a: b': kein Pfad in der Syntax von SVG: 'x' ist kein Befehl"),
        ('<polygon id="p" points="1 2 3"/>', "polygon 'p': points ist '1 2 3', keine Zahlenpaare"),
        ('<rect id="r" width="1" height="2furlong"/>',
         "rect 'r': height ist '2furlong', keine Länge, die hier zu gebrauchen ist"),
        ('<use id="u" href="#x"/>', "use 'u': verweist auf '#x', was in dieser Zeichnung nicht vorkommt"),
        ('<g id="g" transform="twist(3)"/>', "g 'g': transform 'twist(3)' ist nicht zu lesen: twist with 1 numbers"),
        ('<circle r="0"/>', "circle ohne id: hat keine Größe"),
    ],
)  # fmt: skip
def test_what_is_said_of_an_element(inside: str, said: str) -> None:
    with pytest.raises(InputError) as raised:
        read_svg(svg(inside), "part.svg")
    assert [in_words(finding.what, GERMAN) for finding in raised.value.findings] == [said]
    assert all(in_words(finding.fix, GERMAN) != finding.fix for finding in raised.value.findings)


def test_what_is_said_of_loops() -> None:
    """The names in a drawing may hold anything, a sentence of the catalogue too."""
    drawn = read_svg(
        svg(
            '<polygon id="the spindle off" points="0,0 10,10 10,0 0,10"/><polygon id="b" points="0,0 10,10 5,5"/>'
            '<polyline id="tabs" points="20,20 30,20 30,25"/>'
        ),
        "part.svg",
    )
    with pytest.raises(InputError) as raised:
        loops(drawn.pick(), "part.svg")
    assert sorted(in_words(finding.what, GERMAN) for finding in raised.value.findings) == [
        "polygon 'b': die Form schließt nichts ein",
        "polygon 'the spindle off': die Form kreuzt sich selbst: Schnittpunkt [5 45]",
        "polyline 'tabs': Der Linienzug ist um 11,2 mm offen, von (20,000; 30,000) bis (30,000; 25,000)",
    ]
    with pytest.raises(InputError) as raised:
        drawn.pick("cut", "#ff0000")
    (finding,) = raised.value.findings
    assert in_words(finding.what, GERMAN) == "keine Form auf Layer 'cut' und in der Farbe '#ff0000'"
    assert in_words(finding.fix, GERMAN).startswith("Layer: ")


def test_a_list_of_changes_is_told_one_by_one() -> None:
    changes = (
        "2 cuts are gone (hole, outline), bottom of 12 cuts changed (a (1), b, …), the order, the precedence or how a"
        " cut is entered changed, the machine's profile changed"
    )
    assert in_words(f"stale: {changes}", GERMAN) == (
        "veraltet: 2 Schnitte sind weggefallen (hole, outline), bottom von 12 Schnitten hat sich geändert"
        " (a (1), b, …), Reihenfolge, Vorrang oder die Art des Eintauchens haben sich geändert, das Profil der Maschine"
        " hat sich geändert"
    )


def test_what_is_no_dxf() -> None:
    pytest.importorskip("ezdxf")
    with pytest.raises(InputError) as raised:
        read_dxf(b"0\nnothing", "part.dxf")
    (finding,) = raised.value.findings
    assert in_words(finding.what, GERMAN) == "keine DXF-Zeichnung"
