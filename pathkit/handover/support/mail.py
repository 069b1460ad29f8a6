"""What is told about a line, laid out as text that fits into a mail."""

from __future__ import annotations

from collections.abc import Iterable
from textwrap import wrap
from typing import TYPE_CHECKING, Final

from pathkit.findings import Finding
from pathkit.handover.support.texts import named

if TYPE_CHECKING:
    from pathkit.handover.support.explaining import Explained, Where

MANUAL: Final = "The machine's and the controller's manual come before this text."

WIDTH: Final = 76
"""Characters in a line, so that a reply can quote it."""

_WORD: Final = 12


def block(text: str, first: str = "", then: str = "  ") -> list[str]:
    """A text in lines that are no longer than `WIDTH`, if its words allow that."""
    return wrap(text, WIDTH, initial_indent=first, subsequent_indent=then, break_long_words=False,
                break_on_hyphens=False)  # fmt: skip


def cautions(findings: Iterable[Finding]) -> list[str]:
    """A paragraph for each."""
    lines = []
    for finding in findings:
        remedy = f" ({finding.fix})" if finding.fix else ""
        lines += block(f"{finding.severity}: {finding.what}{remedy}")
    return lines


def as_mail(told: Explained) -> tuple[str, ...]:
    """The explanation as lines of text."""
    lines = [f"{told.file}, line {told.line}:", f"  {told.text}" if told.text.strip() else "  (blank)", ""]
    lines += block(told.sentence, then="")
    if told.message is not None:
        lines += ["", *block(f"{told.message.code} says: {told.message.means}. Most likely:")]
        lines += [part for each in told.message.likely for part in block(each, "  - ", "    ")]
    lines += ["", *where(told.where)]
    lines += [part for name, place in told.places for part in block(f"It {name}: {place}.")]
    every = (*told.words, *told.carried)
    if every:
        size = min(max(len(word) for word, _ in every), _WORD)
        lines += ["", "Word by word:"]
        for word, means in every:
            lines += block(f"{word[:40]:<{size}}  {means}", "  ", " " * (size + 4))
    said = cautions(told.cautions)
    return (*lines, *([""] if said else []), *said, "", MANUAL)


def where(place: Where) -> list[str]:
    """Toolpath and part, what comes before and after, how far through the file: a paragraph each."""
    lines = []
    if place.toolpath is not None:
        part = "" if place.part is None else f", part {named(place.part)}"
        lines += block(f"It belongs to toolpath {named(place.toolpath)}{part}.")
    if place.toolpath is not None or place.before is not None or place.after is not None:
        before, after = (
            "no toolpath" if name is None else f"toolpath {named(name)}" for name in (place.before, place.after)
        )
        lines += block(f"Before it comes {before}, after it {after}.")
    if place.seconds is not None and place.total:
        share = 100.0 * place.seconds / place.total
        lines += block(
            f"The controller comes to it after about {clock(place.seconds)} of {clock(place.total)} ({share:.0f} %),"
            " by the run-time model, pauses not counted."
        )
    return lines


def clock(seconds: float) -> str:
    """``4:05``, ``1:04:05``."""
    minutes, rest = divmod(round(seconds), 60)
    return f"{minutes // 60}:{minutes % 60:02d}:{rest:02d}" if minutes >= 60 else f"{minutes}:{rest:02d}"
