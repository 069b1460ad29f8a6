"""What is told about a line, laid out as text that fits into a mail."""

from __future__ import annotations

from collections.abc import Iterable
from textwrap import wrap
from typing import TYPE_CHECKING, Final

from pathkit.findings import Finding
from pathkit.handover.support.texts import joined, named, plain
from pathkit.units import clock

if TYPE_CHECKING:
    from pathkit.handover.support.differing import Cut, Difference, Place
    from pathkit.handover.support.explaining import Explained, Where
    from pathkit.handover.support.starting_again import Again

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
        whose = f"{finding.file}: " if finding.file else ""
        lines += block(f"{finding.severity}: {whose}{finding.what}{remedy}")
    return lines


def as_mail(told: Explained) -> tuple[str, ...]:
    """The explanation as lines of text."""
    lines = [f"{told.file}, line {told.line}:", f"  {told.text}" if told.text.strip() else "  (blank)", ""]
    lines += block(told.sentence, then="")
    if told.message is not None:
        lines += ["", *block(f"{told.message.code} says: {told.message.means}. Most likely:")]
        lines += [part for each in told.message.likely for part in block(each, "  - ", "    ")]
    lines += ["", *where(told.where)]
    for spot in told.spots:
        lines += block(f"It {spot.name} at {spot.axes or 'a place that is not known'}.")
        lines += block(f"On the board that is {spot.on_board}.", "  ", "  ") if spot.on_board else []
    every = (*told.words, *told.carried)
    if every:
        size = min(max(len(word) for word, _ in every), _WORD)
        lines += ["", "Word by word:"]
        for word, means in every:
            lines += block(f"{word[:40]:<{size}}  {means}", "  ", " " * (size + 4))
    said = cautions(told.cautions)
    return tuple(map(plain, (*lines, *([""] if said else []), *said, "", MANUAL)))


def difference_as_mail(told: Difference) -> tuple[str, ...]:
    """How a file that came back differs, as lines of text."""
    lines = [f"As sent: {told.sent}", f"As it came back: {told.returned}", "", *block(_verdict(told), then="")]
    if told.cut is not None:
        lines += ["", *_cut(told.cut)]
    if told.edits:
        shown = f", the first {len(told.places)} of them" if told.edits > len(told.places) else ""
        lines += ["", *block(f"The texts differ in {_count(told.edits, 'place')}{shown}:")]
        lines += [line for place in told.places for line in _place(place)]
    if told.moves and (told.cut is None or told.cut.partial is not None):
        lines += ["", "What that does to the moves of the file that came back:"]
        lines += [line for each in told.moves for line in block(each, "  - ", "    ")]
    if told.objections:
        lines += ["", "What its controller would refuse or take otherwise:"]
        for finding in told.objections:
            code = f" ({finding.code})" if finding.code else ""
            lines += block(f"line {finding.line}{code}: {finding.what}", "  - ", "    ")
    if told.edits and told.moves and told.cut is None:
        lines += ["", *_board(told.board)]
    said = cautions(told.cautions)
    return tuple(map(plain, (*lines, *([""] if said else []), *said, "", MANUAL)))


def _verdict(told: Difference) -> str:
    if told.same_bytes:
        return "They are the same, byte for byte."
    if told.layout:
        return f"They make the same moves. They differ only in {joined(told.layout)}."
    if not told.ok and not told.moves:
        return "They do NOT do the same: the moves are alike, but the controller takes the returned file otherwise."
    if not told.ok:
        return "They do NOT make the same moves."
    apart = f", nowhere further apart than {told.apart:.4f} mm" if told.apart else ""
    return f"They make the same moves{apart}, though their text differs."


def _cut(cut: Cut) -> list[str]:
    where = "" if cut.toolpath is None else f", in or after toolpath {named(cut.toolpath)}"
    after = f"after line {cut.after} of the file as sent" if cut.after else "before its first whole line"
    missing = _count(cut.missing, "line")
    lines = block(f"It is cut short: it ends {after}{where}; {missing} {_is(cut.missing)} missing or not whole.")
    if cut.partial is not None:
        what = "Its last line is only a beginning, and a number there may have lost digits; look at the board where it"
        lines += [*block(f"{what} leads:"), f"    {cut.partial}", *block(cut.does, "    ", "    ")]
    return [*lines, *_again(cut.again)]


def _again(again: Again | None) -> list[str]:
    if again is None:
        return block(
            "With which toolpath to start again is not known: for that the file as sent must be the proved cut file"
            " beside its certificate and its job."
        )
    if again.toolpath is None or again.start is None:
        return block(
            "All its toolpaths are there; only the end is missing. Nothing is to be cut again: see that the spindle is"
            " off and the bit stands clear."
        )
    state = "was begun and not finished" if again.begun else "was not begun"
    lines = block(
        f"If the machine ran this, toolpath {named(again.toolpath)} {state}. The spindle may still turn, and the bit"
        " may stand in the wood."
    )
    if again.start != again.toolpath:
        lines += block(f"It leans on what comes before it, so start again with toolpath {named(again.start)}:")
    else:
        lines += block(f"Start again with toolpath {named(again.start)}, by a file of its own:")
    if again.command is not None:
        lines += ["", f"  {again.command}", ""]
    return lines + block(
        "Do not start the file in its middle: what stands before a line decides how it is read, and the bit would go"
        " across the board at the height where it stands."
    )


def _place(place: Place) -> list[str]:
    where = "" if place.toolpath is None else f" (toolpath {named(place.toolpath)})"
    lines = ["", *block(f"at line {place.line} of the file as sent{where}:", "  ", "  ")]
    sides = (
        ("sent", place.sent, place.counts[0], place.as_sent),
        ("back", place.returned, place.counts[1], place.as_returned),
    )
    for name, texts, count, does in sides:
        lines += [f"    {name} {number}: {text}" for number, text in texts]
        if not count:
            lines.append(f"    {name}: nothing")
        elif count > len(texts):
            lines.append(f"    {name}: and {_count(count - len(texts), 'more line')}")
        for each in does:
            lines += block(each, "      ", "        ")
    return lines


def _board(found: Iterable[Finding] | None) -> list[str]:
    if found is None:
        return block(
            "What stays of the board was not compared: that needs the job beside the file as sent, and two files that"
            " can be read to their end."
        )
    told = []
    for each in found:
        line = "" if each.line is None else f" (it cuts there in its line {each.line})"
        told += block(f"{each.what}{line}", "  - ", "    ")
    if not told:
        return block(
            "In the end nothing changes on the board: both cut away the same wood. How they do it differs: depth at"
            " once, speeds, order or travel. That can still break a bit."
        )
    return ["On the board (x to the right, y away):", *told]


def _count(number: int, word: str) -> str:
    return f"{number} {word}{'' if number == 1 else 's'}"


def _is(number: int) -> str:
    return "is" if number == 1 else "are"


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
        lines += block(f"In this file {before} comes before it, and {after} after it.")
    if place.seconds is not None and place.total:
        share = 100.0 * place.seconds / place.total
        lines += block(
            f"The controller comes to it after about {clock(place.seconds)} of {clock(place.total)} ({share:.0f} %),"
            " by the run-time model, pauses not counted."
        )
    return lines
