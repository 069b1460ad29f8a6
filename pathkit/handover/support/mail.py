"""What is told about a line, laid out as text that fits into a mail."""

from __future__ import annotations

from collections.abc import Iterable
from textwrap import wrap
from typing import TYPE_CHECKING, Final

from pathkit.findings import Finding
from pathkit.handover.support.texts import named, plain
from pathkit.texts.findings import in_words, said_with_remedy
from pathkit.texts.language import ENGLISH, Language
from pathkit.units import clock

if TYPE_CHECKING:
    from pathkit.handover.support.differing import Cut, Difference, Place
    from pathkit.handover.support.explaining import Explained, Where
    from pathkit.handover.support.starting_again import Again

WIDTH: Final = 76
"""Characters in a line, so that a reply can quote it."""

_WORD: Final = 12
_SPOTS: Final = {"begins": "mail-begins", "ends": "mail-ends"}


def block(text: str, first: str = "", then: str = "  ") -> list[str]:
    """A text in lines that are no longer than `WIDTH`, if its words allow that."""
    return wrap(text, WIDTH, initial_indent=first, subsequent_indent=then, break_long_words=False,
                break_on_hyphens=False)  # fmt: skip


def cautions(findings: Iterable[Finding], say: Language = ENGLISH) -> list[str]:
    """A paragraph for each."""
    lines = []
    for finding in findings:
        what, severity = said_with_remedy(finding, say), finding.severity
        if finding.file is None:
            lines += block(say("mail-finding", severity=severity, what=what))
        else:
            whose = in_words(finding.file, say)
            lines += block(say("mail-finding-of", severity=severity, file=whose, what=what))
    return lines


def as_mail(told: Explained, say: Language = ENGLISH) -> tuple[str, ...]:
    """The explanation as lines of text."""
    head = say("mail-line", file=told.file, line=told.line)
    lines = [head, f"  {told.text if told.text.strip() else say('mail-blank')}", ""]
    lines += block(told.sentence, then="")
    if told.message is not None:
        lines += ["", *block(say("mail-message", code=told.message.code, means=told.message.means))]
        lines += [part for each in told.message.likely for part in block(each, "  - ", "    ")]
    lines += ["", *where(told.where, say)]
    for spot in told.spots:
        lines += block(say(_SPOTS[spot.name], place=spot.axes or say("mail-unknown-place")))
        lines += block(say("mail-on-board", place=spot.on_board), "  ", "  ") if spot.on_board else []
    every = (*told.words, *told.carried)
    if every:
        size = min(max(len(word) for word, _ in every), _WORD)
        lines += ["", say("mail-word-by-word")]
        for word, means in every:
            lines += block(f"{word[:40]:<{size}}  {means}", "  ", " " * (size + 4))
    return _ended(lines, told.cautions, say)


def difference_as_mail(told: Difference, say: Language = ENGLISH) -> tuple[str, ...]:
    """How a file that came back differs, as lines of text."""
    lines = [say("mail-as-sent", file=told.sent), say("mail-as-returned", file=told.returned), ""]
    lines += block(_verdict(told, say), then="")
    if told.cut is not None:
        lines += ["", *_cut(told.cut, say)]
    if told.edits:
        name = "mail-first-places" if told.edits > len(told.places) else "mail-places"
        lines += ["", *block(say(name, count=told.edits, shown=len(told.places)))]
        lines += [line for place in told.places for line in _place(place, say)]
    if told.moves and (told.cut is None or told.cut.partial is not None):
        lines += ["", say("mail-moves-changed")]
        lines += [line for each in told.moves for line in block(each, "  - ", "    ")]
    if told.objections:
        lines += ["", say("mail-objections")]
        for finding in told.objections:
            about = {"line": str(finding.line), "what": in_words(finding.what, say)}
            code = finding.code
            line = say("mail-objection-code", code=code, **about) if code else say("mail-objection", **about)
            lines += block(line, "  - ", "    ")
    if told.edits and told.moves and told.cut is None:
        lines += ["", *_board(told.board, say, told.units)]
    return _ended(lines, told.cautions, say)


def _ended(lines: Iterable[str], found: Iterable[Finding], say: Language) -> tuple[str, ...]:
    said = cautions(found, say)
    return tuple(map(plain, (*lines, *([""] if said else []), *said, "", say("mail-manual"))))


def _verdict(told: Difference, say: Language) -> str:
    if told.same_bytes:
        return say("mail-same-bytes")
    if told.layout:
        return say("mail-only-layout", layout=say.listed(told.layout))
    if not told.ok:
        return say("mail-not-the-same" if told.moves else "mail-taken-otherwise")
    return say("mail-same-moves-apart", mm=say.number(f"{told.apart:.4f}")) if told.apart else say("mail-same-moves")


def _cut(cut: Cut, say: Language) -> list[str]:
    about = {"after": cut.after, "missing": cut.missing}
    if cut.toolpath is None:
        lines = block(say("mail-cut-short", **about))
    else:
        lines = block(say("mail-cut-short-toolpath", toolpath=named(cut.toolpath), **about))
    if cut.partial is not None:
        lines += [*block(say("mail-partial")), f"    {cut.partial}", *block(cut.does, "    ", "    ")]
    return [*lines, *_again(cut.again, say)]


def _again(again: Again | None, say: Language) -> list[str]:
    if again is None:
        return block(say("mail-again-unknown"))
    if again.toolpath is None or again.start is None:
        return block(say("mail-again-nothing"))
    toolpath, start = named(again.toolpath), named(again.start)
    lines = block(say("mail-again-begun" if again.begun else "mail-again-not-begun", toolpath=toolpath))
    lines += block(say("mail-again-here" if start == toolpath else "mail-again-earlier", toolpath=start))
    if again.command is not None:
        lines += ["", f"  {again.command}", ""]
    return lines + block(say("mail-again-never-in-the-middle"))


def _place(place: Place, say: Language) -> list[str]:
    at = say("mail-at-line", line=place.line)
    if place.toolpath is not None:
        at = say("mail-at-line-toolpath", line=place.line, toolpath=named(place.toolpath))
    lines = ["", *block(at, "  ", "  ")]
    sides = (
        ("mail-sent", place.sent, place.counts[0], place.as_sent),
        ("mail-back", place.returned, place.counts[1], place.as_returned),
    )
    for name, texts, count, does in sides:
        lines += [f"    {say(f'{name}-line', line=number, text=text)}" for number, text in texts]
        if not count:
            lines.append(f"    {say(f'{name}-nothing')}")
        elif count > len(texts):
            lines.append(f"    {say(f'{name}-more', count=count - len(texts))}")
        for each in does:
            lines += block(each, "      ", "        ")
    return lines


def _board(found: Iterable[Finding] | None, say: Language, units: str) -> list[str]:
    if found is None:
        return block(say("mail-board-not-compared"))
    told = []
    for each in found:
        what = in_words(each.what, say, units)
        line = what if each.line is None else say("mail-board-line", what=what, line=each.line)
        told += block(line, "  - ", "    ")
    return [say("mail-board"), *told] if told else block(say("mail-board-same"))


def where(place: Where, say: Language = ENGLISH) -> list[str]:
    """Toolpath and part, what comes before and after, how far through the file: a paragraph each."""
    lines = []
    if place.toolpath is not None:
        toolpath = named(place.toolpath)
        told = say("mail-belongs", toolpath=toolpath)
        part = place.part
        lines += block(told if part is None else say("mail-belongs-part", toolpath=toolpath, part=named(part)))
    if place.toolpath is not None or place.before is not None or place.after is not None:
        before, after = ("none" if name is None else named(name) for name in (place.before, place.after))
        lines += block(say("mail-between", before=before, after=after))
    if place.seconds is not None and place.total:
        percent = f"{100.0 * place.seconds / place.total:.0f}"
        lines += block(say("mail-time", time=clock(place.seconds), total=clock(place.total), percent=percent))
    return lines
