"""What a grammar may declare of a controller, each judged by itself."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from pathkit_posts.grbl import GRAMMAR

import pathkit as pk
from pathkit.machine.grammar import Checksum, Grammar
from pathkit.readback import interpret
from pathkit.readback.checksums import without_checksum

HEAD = "G21 G90 G94 G17 G54\nG0 Z5\nG0 X0 Y0\n"


def said(text: str, **grammar: Any) -> list[str]:
    """What the controller refuses, and in which line."""
    capabilities = pk.Capabilities(grammar=replace(GRAMMAR, **grammar))
    return [
        f"{f.line}: {f.what.split(';')[0]}"
        for f in interpret(HEAD + text, capabilities).findings
        if f.check == "controller"
    ]


@pytest.mark.parametrize(
    ("line", "rule"),
    [
        # The two examples of the open RepRap page on G-code (from memory).
        ("N3 T0*57", Checksum()),
        ("N4 G92 E0*67", Checksum()),
        # The usual example of an NMEA 0183 sentence, whose checksum is of what stands between $ and * (from memory).
        (
            "GPGGA,123519,4807.038,N,01131.000,E,1,08,0.9,545.4,M,46.9,M,,*47",
            Checksum(hexadecimal=True),
        ),
        ("AB|131", Checksum(mark="|", kind="sum")),
    ],
)
def test_checksums_of_published_examples(line: str, rule: Checksum) -> None:
    raw = line.encode()
    assert without_checksum(raw, rule) == raw[: raw.index(rule.mark.encode())]
    assert without_checksum(raw[:-1] + b"0", rule) is None
    assert without_checksum(raw[: raw.index(rule.mark.encode())], rule) is None


def test_a_code_holds_for_its_own_block_only() -> None:
    assert said("G1 X1 F100\nX2\nM8\nG1 X3", modal=False) == [
        "5: axis words, but no motion mode has been set ('X')"
    ]  # fmt: skip
    assert said("G1 X1 F100\nX2\nM8\nG1 X3") == []


def test_every_cut_needs_its_feed() -> None:
    found = said("G1 X1 F100\nG1 X2\nG0 X3\nG3 X4 I0.5\nG1 X5 F90", modal_feed=False)
    assert found == ["5: a feed move without a feed ('G1')", "7: a feed move without a feed ('G3')"]


def test_a_rapid_moves_z_or_across() -> None:
    found = said("G0 Z6 X1\nG0 X2 Y2\nG0 Z7\nG1 X1 Z2 F100\nG0 Y3 Z9", slanting_rapids=False)
    assert [line.split(" (")[0] for line in found] == [
        "4: a rapid that moves Z together with X or Y", "8: a rapid that moves Z together with X or Y",
    ]  # fmt: skip


def test_another_word_for_a_plane() -> None:
    capabilities = pk.Capabilities(grammar=replace(GRAMMAR, other_words={"G171": "G17", "G181": "G18"}))
    across, upright = (interpret(f"{HEAD}{word}\nG2 X1 Y1 I1 F100", capabilities) for word in ("G171", "G181"))
    assert not across.findings
    assert across.program.sweep[-1] != 0.0
    assert "XZ plane" in upright.findings[0].what
    assert said("G171") == ["4: the controller does not have this ('G171')"]


@pytest.mark.parametrize(
    "wrong", [{"G171": "M3"}, {"G17": "G18"}, {"X1": "G17"}, {"G171": "G999"}, {"G017": "G17"}, {"G171": "G0"}]
)
def test_words_that_cannot_have_another(wrong: dict[str, str]) -> None:
    with pytest.raises(pk.InputError, match=r"cannot stand|can stand|no meaning"):
        replace(GRAMMAR, other_words=wrong)


@pytest.mark.parametrize("wrong", [{"mark": "G"}, {"mark": ""}, {"mark": "("}, {"mark": "!"}, {"kind": "crc"}])
def test_checksums_that_cannot_be(wrong: dict[str, Any]) -> None:
    with pytest.raises(pk.InputError, match="checksum"):
        Checksum(**wrong)


def test_a_grammar_can_be_sent_to_another_process() -> None:
    import pickle

    grammar: Grammar = replace(GRAMMAR, other_words={"G171": "G17"}, checksum=Checksum())
    assert pickle.loads(pickle.dumps(grammar)) == grammar
