"""From the bytes of a line to words: what a controller drops, what acts at once, and how it reads a number."""

from __future__ import annotations

import re
from collections.abc import Iterator
from math import inf
from typing import Final

import numpy as np
from numpy.typing import NDArray

from pathkit.machine.grammar import Checksum, Grammar
from pathkit.readback.checksums import without_checksum
from pathkit.readback.faults import Refusal, Unread

# Possessive, so that a line of any length is scanned once and never again from the middle.
_WORDS: Final = re.compile(r"(?:[A-Z][+-]?(?:[0-9]++(?:\.[0-9]*+)?|\.[0-9]++))*+")
_NO_WORDS: Final = re.compile(r"(?:N[0-9]+)?%?")
_WORD: Final = re.compile(r"([A-Z])([+-]?[0-9]*\.?[0-9]*)")
_LONG: Final = 4096
_PLAIN_LENGTH: Final = 15  # digits that a float holds exactly
_KEPT: Final = 40  # further digits change no float


class Tokenizer:
    """Strips lines and splits them into words, by one grammar."""

    def __init__(self, grammar: Grammar) -> None:
        self._grammar = grammar
        alternatives = []
        for opening, closing in grammar.comments:
            start = re.escape(opening.encode())
            if not closing:
                alternatives.append(start + b".*")
            elif grammar.open_comments:
                alternatives.append(start + b"[^%b]*%b?" % (re.escape(closing.encode()), re.escape(closing.encode())))
            else:
                both = re.escape((opening + closing).encode())
                alternatives.append(start + b"[^%b]*%b" % (both, re.escape(closing.encode())))
        self._comment = re.compile(b"(?:%b)++" % b"|".join(alternatives), re.DOTALL) if alternatives else None
        marks = b"".join(re.escape(opening.encode()) for opening, _ in grammar.comments)
        self._mark = re.compile(b"[%b]" % marks if marks else b"(?!)")
        self._brackets = [(o.encode(), c.encode()) for o, c in grammar.comments if c]
        self._dropped = grammar.blanks + (b"/" if grammar.slash == "ignored" else b"")
        self._real_time = re.compile(b"[%b]" % re.escape(grammar.real_time)) if grammar.real_time else None

    def real_time(self, raw: bytes) -> tuple[int, int, int] | None:
        """The first byte that acts at once, its index, and how many there are; None if there are none."""
        if self._real_time is None or (first := self._real_time.search(raw)) is None:
            return None
        return raw[first.start()], first.start(), len(raw) - len(raw.translate(None, self._grammar.real_time))

    def bare(self, raw: bytes) -> str:
        """The line without real-time bytes, comments and blanks, in capitals. Raises `Refusal`."""
        grammar = self._grammar
        if grammar.line_limit is not None and grammar.line_counts == "all" and len(raw) > grammar.line_limit:
            raise Refusal("line too long", grammar.line_limit, raw=True)
        if grammar.checksum is not None:
            return self._checked(raw, grammar.checksum)
        return self._bare(raw)

    def _checked(self, raw: bytes, rule: Checksum) -> str:
        """The bare line before its checksum; what holds no words needs none."""
        body = without_checksum(raw, rule)
        if body is not None:
            return self._bare(body)
        bare = self._bare(raw)
        if not _NO_WORDS.fullmatch(bare):
            raise Refusal("checksum", max(raw.rfind(rule.mark.encode("ascii")), 0), raw=True)
        return bare

    def _bare(self, raw: bytes) -> str:
        grammar = self._grammar
        line = raw.translate(None, grammar.real_time) if grammar.real_time else raw
        if self._comment is not None and self._mark.search(line):
            line = self._comment.sub(b"", line)
            if not grammar.open_comments:
                self._check_closed(raw, line)
        line = line.translate(None, self._dropped)
        if grammar.line_limit is not None and grammar.line_counts == "bare" and len(line) > grammar.line_limit:
            raise Refusal("line too long", grammar.line_limit)
        # Latin-1 gives every byte one character, so that indices stay indices.
        return (line.upper() if grammar.lower_case else line).decode("latin-1")

    def _check_closed(self, raw: bytes, line: bytes) -> None:
        for opening, closing in self._brackets:
            if opening not in line:
                continue
            o, c = re.escape(opening), re.escape(closing)
            closed = re.match(b"(?:[^%b]++|%b[^%b%b]*+%b)*+" % (o, o, o, c, c), raw)
            at = closed.end() if closed else 0
            rest = raw[at + 1 :]
            nested = 0 <= rest.find(opening) < (rest.find(closing) if closing in rest else len(rest))
            raise Refusal("nested comment" if nested else "open comment", at, raw=True)

    def column(self, raw: bytes, index: int) -> int:
        """Column (from 1, in bytes) in the line of the character at ``index`` of its bare block."""
        real_time = self._grammar.real_time
        stream = raw.translate(None, real_time) if real_time else raw
        kept = ~_table(self._dropped)[np.frombuffer(stream, np.uint8)]
        # The controller finds comments after it has taken real-time bytes out of the stream, and so does this.
        for comment in self._comment.finditer(stream) if self._comment is not None else ():
            kept[comment.start() : comment.end()] = False
        places = np.flatnonzero(~_table(real_time)[np.frombuffer(raw, np.uint8)])[kept]
        return int(places[index]) + 1 if index < len(places) else max(len(raw), 1)

    def words(self, bare: str) -> Iterator[tuple[str, str, int]]:
        """(letter, number as written, index) of each word in turn. Raises `Refusal` or `Unread` at a bad one."""
        clean = _WORDS.match(bare)
        end = clean.end() if clean else 0
        at = 0
        # A list is faster, but must not grow with a line of a million words.
        found = _WORD.findall(bare, 0, end) if end < _LONG else (m.groups() for m in _WORD.finditer(bare, 0, end))
        for letter, number in found:
            yield letter, number, at
            at += 1 + len(number)
        if end == len(bare):
            return
        lettered = "A" <= bare[end] <= "Z"
        culprit = bare[end + 1 : end + 2] if lettered else bare[end]
        if self._grammar.expressions and culprit and culprit in "#[":
            what = "an expression or a parameter: its value is known to the controller alone"
            raise Unread(what, "write plain numbers", end)
        raise Refusal("bad number" if lettered else "letter expected", end, bare[end : end + 12])


def number(text: str, digits: int | None) -> float:
    """The value of a number of which only the first ``digits`` digits count (None: all); later digits count as zeros.

    Decimal text gives the nearest float64; a controller that computes in single precision differs by 6e-8 of the value.
    """
    if len(text) <= (digits or _PLAIN_LENGTH):
        return float(text)
    sign = -1.0 if text[0] == "-" else 1.0
    whole, _, fraction = text.lstrip("+-").partition(".")
    written = whole + fraction
    kept = written[: digits or max(_KEPT, len(written) - len(written.lstrip("0")) + _KEPT)]
    # Dropped digits before the point still make the number larger; kept ones after it make it smaller.
    exponent = max(len(whole) - len(kept), 0) - max(len(kept) - len(whole), 0)
    kept = kept.lstrip("0") or "0"
    if kept == "0":
        return 0.0 * sign
    return sign * (inf if exponent > 400 else float(f"{kept}e{exponent}"))


def _table(members: bytes) -> NDArray[np.bool_]:
    """(256,): whether each byte is one of the members."""
    table = np.zeros(256, np.bool_)
    table[list(members)] = True
    return table
