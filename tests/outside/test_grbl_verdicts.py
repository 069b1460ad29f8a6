"""Verdicts on single blocks, against those of the GRBL 1.1h line reader and parser itself.

Data: ``data/grbl_verdicts.tsv``, measured for this project: what the controller's own published code, run on a host,
answered to each block after power-up.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from pathkit_posts.grbl import GRAMMAR

from pathkit.machine.capabilities import Capabilities
from pathkit.readback import interpret, verdict

GRBL = Capabilities(grammar=GRAMMAR, significant_digits=8, line_length=79)

LINES = (Path(__file__).parent / "data" / "grbl_verdicts.tsv").read_text().splitlines()[1:]
ROWS = [(block, answer) for block, answer in (line.split("\t") for line in LINES)]


def test_all_rows_are_here() -> None:
    assert len(ROWS) == 130


@pytest.mark.parametrize(("block", "answer"), ROWS, ids=[block[:30] for block, _ in ROWS])
def test_same_answer_as_the_real_parser(block: str, answer: str) -> None:
    assert verdict(block, GRBL) == answer


@pytest.mark.parametrize(("block", "answer"), ROWS, ids=[block[:30] for block, _ in ROWS])
def test_a_refused_block_moves_nothing_and_says_where(block: str, answer: str) -> None:
    reading = interpret("(first line)\n" + block, GRBL, start=(0.0, 0.0, 0.0))
    refusals = [f for f in reading.findings if f.check == "controller"]
    if answer == "ok":
        assert not refusals
    else:
        assert [f.code for f in refusals] == [answer]
        assert refusals[0].line == 2
        assert refusals[0].column is not None
        assert 1 <= refusals[0].column <= len(block)
        assert len(reading.program) == 0


# The rows below say what the parser does, not only whether it accepts (GRBL 1.1h, reproduced with its own code).
@pytest.mark.parametrize(
    ("word", "value"),
    [("X00001.2345678", 1.234), ("X0000000012", 0.0), ("X123456789", 123456780.0), ("X-.5", -0.5), ("X+1.", 1.0)],
)
def test_only_the_first_eight_digits_count(word: str, value: float) -> None:
    reading = interpret(f"G0{word}", GRBL, start=(0.0, 0.0, 0.0))
    if abs(value) > 1e6:
        assert [f.check for f in reading.findings if f.check == "out of range"]
    else:
        assert reading.program.end[0, 0] == value
