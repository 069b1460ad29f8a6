"""How the text of a file that came back differs from the one that was sent, line by line."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from pathkit.readback.at_line import LINE_END

MOST_EDITS: Final = 200
"""Places that are told apart; a file that has more is another file."""

_AHEAD: Final = 60
"""Lines searched on either side for the next two that are alike."""

_BLANKS: Final = b" \t"


@dataclass(frozen=True)
class Edit:
    """One place: lines ``sent`` (first, past the last) of the one file stand for ``returned`` of the other. Both count
    in ``Lines.texts``."""

    sent: tuple[int, int]
    returned: tuple[int, int]


@dataclass(frozen=True)
class Lines:
    """The lines of a file that are not blank, without blanks at their ends: ``texts``, and ``numbers`` from 1.
    ``raw`` are all lines as they are, ``ends`` what ends each of them (the last may have no end)."""

    texts: tuple[bytes, ...]
    numbers: tuple[int, ...]
    raw: tuple[bytes, ...]
    ends: tuple[bytes, ...]


def lines_of(data: bytes) -> Lines:
    """The lines of a file, as a controller tells them apart."""
    raw, ends, begin = [], [], 0
    for end in LINE_END.finditer(data):
        raw.append(data[begin : end.start()])
        ends.append(end.group())
        begin = end.end()
    if begin < len(data):
        raw.append(data[begin:])
    stripped = [line.rstrip(_BLANKS) for line in raw]
    kept = [number for number, line in enumerate(stripped) if line]
    return Lines(tuple(stripped[k] for k in kept), tuple(k + 1 for k in kept), tuple(raw), tuple(ends))


def layout(sent: Lines, returned: Lines) -> tuple[str, ...]:
    """In which harmless ways two files differ whose lines say the same: ``ends``, ``trailing`` blanks,
    ``blank`` lines."""
    found = []
    if len(sent.raw) == len(returned.raw):
        if sent.ends != returned.ends:
            found.append("ends")
        if any(a != b for a, b in zip(sent.raw, returned.raw, strict=True)):
            found.append("trailing")
        return tuple(found)
    if set(sent.ends) != set(returned.ends):
        found.append("ends")
    if any(sent.raw[a - 1] != returned.raw[b - 1] for a, b in zip(sent.numbers, returned.numbers, strict=True)):
        found.append("trailing")
    return (*found, "blank")


def cut_short(sent: Sequence[bytes], returned: Sequence[bytes]) -> tuple[int, bool] | None:
    """(how many lines are whole, whether the beginning of one more follows) if the one text is a beginning of the
    other; else None."""
    count = len(returned)
    if count > len(sent) or sent == returned or sent[: max(count - 1, 0)] != returned[:-1]:
        return None
    if not count or sent[count - 1] == returned[count - 1]:
        return count, False
    return (count - 1, True) if sent[count - 1].startswith(returned[count - 1]) else None


def cut_after_edits(sent: Sequence[bytes], returned: Sequence[bytes], last: Edit) -> tuple[int, bool] | None:
    """The same for a text that was edited before it ends too early: what its ``last`` edit is then."""
    (a, b), (c, d) = last.sent, last.returned
    if b < len(sent) or d < len(returned) or a == b:
        return None
    ends = cut_short(sent[a:b], returned[c:d])
    return None if ends is None else (a + ends[0], ends[1])


def edits_of(sent: Sequence[bytes], returned: Sequence[bytes]) -> tuple[Edit, ...]:
    """The places where two texts differ, in order, at most `MOST_EDITS`; the last one then holds all the rest.

    Where they part, the nearest two lines that both have in a row end the place; what no such pair follows within some
    lines is one place up to where the ends of both are alike.
    """
    found: list[Edit] = []
    i = j = 0
    tail = _alike_at_the_end(sent, returned)
    last_i, last_j = len(sent) - tail, len(returned) - tail
    while True:
        while i < last_i and j < last_j and sent[i] == returned[j]:
            i, j = i + 1, j + 1
        if i >= last_i and j >= last_j:
            return tuple(found)
        meet = None if len(found) == MOST_EDITS - 1 else _meet(sent, returned, (i, j), (last_i, last_j))
        a, b = meet or (last_i, last_j)
        found.append(Edit((i, a), (j, b)))
        i, j = a, b


def _alike_at_the_end(sent: Sequence[bytes], returned: Sequence[bytes]) -> int:
    count = 0
    most = min(len(sent), len(returned))
    begin = 0
    while begin < most and sent[begin] == returned[begin]:
        begin += 1
    while count < most - begin and sent[-1 - count] == returned[-1 - count]:
        count += 1
    return count


def _meet(
    sent: Sequence[bytes], returned: Sequence[bytes], begin: tuple[int, int], last: tuple[int, int]
) -> tuple[int, int] | None:  # fmt: skip
    """The nearest place from which two lines in a row (or all that are left) are alike."""
    (i, j), (last_i, last_j) = begin, last
    for far in range(1, _AHEAD):
        pairs = [(i + far, j + k) for k in range(far + 1)] + [(i + k, j + far) for k in range(far)]
        # Equally many lines on both sides first: a line that was changed, rather than one taken out and one put in.
        for a, b in sorted(pairs, key=lambda pair: abs((pair[0] - i) - (pair[1] - j))):
            if a > last_i or b > last_j or (a == last_i) != (b == last_j):
                continue
            # Two lines in a row, or one where the one text has no more.
            pair = min(2, last_i - a, last_j - b)
            if sent[a : a + pair] == returned[b : b + pair]:
                return a, b
    return None
