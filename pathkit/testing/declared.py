"""Laws about what a grammar calls needed: a file that lacks it is refused, line by line."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from typing import ClassVar

from pathkit.dialect.base import Dialect
from pathkit.findings import Finding
from pathkit.machine.capabilities import Capabilities
from pathkit.machine.grammar import Fault, Grammar
from pathkit.motion.program import LINE, RAPID
from pathkit.posting import post
from pathkit.readback.faults import WORDING
from pathkit.readback.interpret import interpret
from pathkit.testing.programs import demonstration, machine_for, suited


class DeclaredLaws:
    """Part of `DialectTests`."""

    dialect: ClassVar[Dialect | type[Dialect]]

    def test_a_word_that_every_block_needs_is_missed(self) -> None:
        """For a grammar that is not modal: a cut without its motion code, or without its feed, is refused."""
        dialect = self.dialect
        assert isinstance(dialect, Dialect)
        grammar, words = dialect.capabilities.grammar, dialect.words
        if grammar is None:
            return
        needed: list[tuple[str, Fault]] = []
        if not grammar.modal:
            needed.append((rf"\b{re.escape(words.line)}\b{re.escape(words.between)}?", "no motion mode"))
        if not grammar.modal_feed:
            needed.append((rf"{re.escape(words.between)}?{re.escape(words.feed)}[\d.]+", "no feed"))
        for word, fault in needed:
            lines, unsummed = self._without_checksums(grammar)
            read = interpret("\n".join(lines), unsummed)
            row = int(read.program.line[read.program.kind == LINE][-1]) - 1
            lines[row], times = re.subn(word, "", lines[row])
            assert times == 1, f"{lines[row]!r} does not hold {word}"
            self._refused(interpret("\n".join(lines), unsummed).findings, row + 1, fault)

    def test_a_slanting_rapid_is_refused(self) -> None:
        """For a grammar that takes none."""
        dialect = self.dialect
        assert isinstance(dialect, Dialect)
        grammar, words = dialect.capabilities.grammar, dialect.words
        if grammar is None or grammar.slanting_rapids:
            return
        lines, unsummed = self._without_checksums(grammar)
        read = interpret("\n".join(lines), unsummed)
        row = int(read.program.line[read.program.kind == RAPID][-1]) - 1
        lines[row] = f"{words.rapid} {words.x}1 {words.y}2 {words.z}90"
        self._refused(interpret("\n".join(lines), unsummed).findings, row + 1, "slanting rapid")

    def test_a_damaged_line_is_refused(self) -> None:
        """For a grammar with checksums: a line of which one byte is another, and a line without a checksum."""
        dialect = self.dialect
        assert isinstance(dialect, Dialect)
        grammar = dialect.capabilities.grammar
        if grammar is None or grammar.checksum is None:
            return
        lines = self._lines()
        read = interpret("\n".join(lines), dialect.capabilities)
        row = int(read.program.line[-1]) - 1
        digit = next(k for k in range(len(lines[row]) - 1, 0, -1) if lines[row][k - 1].isalpha())
        another = lines[row][:digit] + str(int(lines[row][digit]) ^ 1) + lines[row][digit + 1 :]
        for damaged in (another, lines[row][: lines[row].rfind(grammar.checksum.mark)]):
            text = "\n".join([*lines[:row], damaged, *lines[row + 1 :]])
            self._refused(interpret(text, dialect.capabilities).findings, row + 1, "checksum")

    def _lines(self) -> list[str]:
        dialect = self.dialect
        assert isinstance(dialect, Dialect)
        program = suited(demonstration(), dialect.capabilities)
        return post(program, machine_for(dialect), dialect=dialect).text.splitlines()

    def _without_checksums(self, grammar: Grammar) -> tuple[list[str], Capabilities]:
        """The lines of a file and the capabilities to read them by, as if there were no checksums."""
        dialect, rule = self.dialect, grammar.checksum
        lines = self._lines()
        if rule is None:
            return lines, dialect.capabilities
        bare = [re.sub(rf"{re.escape(rule.mark)}[0-9A-F]+$", "", line) for line in lines]
        return bare, replace(dialect.capabilities, checksum=None, grammar=replace(grammar, checksum=None))

    def _refused(self, findings: Sequence[Finding], line: int, fault: Fault) -> None:
        what = WORDING[fault][0]
        assert any(f.line == line and f.what.startswith(what) for f in findings), f"line {line}: not refused: {what}"
