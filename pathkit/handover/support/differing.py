"""How a cut file that came back differs from the one that was sent: in its text, in its moves, and on the board.

Both are read by the reader that proves files, and their moves are compared as a program is with its file
(`pathkit.proof.path`). What stays of the board is compared as `pathkit compare` does it.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from pathkit.errors import InputError
from pathkit.files import read_bytes, read_gcode
from pathkit.findings import Finding, errors_of
from pathkit.handover.support.edits import Edit, Lines, cut_after_edits, cut_short, edits_of, layout, lines_of
from pathkit.handover.support.explaining import sentence_of, teller_of
from pathkit.handover.support.placing import Known, known
from pathkit.handover.support.starting_again import Again, start_again
from pathkit.handover.support.texts import file_name, shown
from pathkit.machine.capabilities import Units
from pathkit.motion.program import Program
from pathkit.proof.evidence import Evidence, gather
from pathkit.proof.path.compare import Comparison, compare
from pathkit.proof.path.events import align, signals_of
from pathkit.readback.at_line import read_line
from pathkit.texts.findings import in_words
from pathkit.texts.language import ENGLISH, Language
from pathkit.tolerances import ROUNDING

if TYPE_CHECKING:
    from pathkit.machine.profile import Machine

SHOWN_EDITS: Final = 5
_SHOWN_LINES: Final = 2
_SHOWN: Final = 5

_READ_AGAIN: Final = 4_000_000
"""Bytes of a file that is read once more for each line that is told."""

_UTF_16: Final = (b"\xff\xfe", b"\xfe\xff")


@dataclass(frozen=True)
class Place:
    """One place where the texts differ. ``sent`` and ``returned`` are (line number, text) of the first lines there,
    ``counts`` how many lines there are in each; ``line`` is where it is in the file as sent. ``as_sent`` and
    ``as_returned`` say what these lines do."""

    line: int
    sent: tuple[tuple[int, str], ...]
    returned: tuple[tuple[int, str], ...]
    counts: tuple[int, int]
    toolpath: str | None
    as_sent: tuple[str, ...]
    as_returned: tuple[str, ...]

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        return {
            "line": self.line,
            "toolpath": self.toolpath,
            "sent": [{"line": number, "text": text} for number, text in self.sent],
            "returned": [{"line": number, "text": text} for number, text in self.returned],
            "lines": list(self.counts),
            "sent_does": list(self.as_sent),
            "returned_does": list(self.as_returned),
        }


@dataclass(frozen=True)
class Cut:
    """The file ends too early: ``after`` is its last whole line in the file as sent (0: none), ``partial`` the
    beginning of the next one, if that is there, and ``does`` what that says as it stands; ``missing`` counts the lines
    that it lacks. ``toolpath`` is the one within which, or behind which, it ends."""

    after: int
    partial: str | None
    does: str
    missing: int
    toolpath: str | None
    again: Again | None

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        return {
            "after_line": self.after,
            "partial": self.partial,
            "partial_does": self.does,
            "missing_lines": self.missing,
            "toolpath": self.toolpath,
            "start_again": None if self.again is None else self.again.as_dict(),
        }


@dataclass(frozen=True)
class Difference:
    """``layout`` names harmless differences if there are no others. ``places`` are the first of ``edits`` places.
    ``moves`` say in what the moves differ, ``objections`` what the controller would refuse or misread in the returned
    file alone, ``board`` where another wood is cut; None: that was not looked at. ``apart`` (mm) is how far the moves
    lie apart where they are the same but for rounding. ``units`` are those of the files."""

    sent: str
    returned: str
    same_bytes: bool
    layout: tuple[str, ...]
    cut: Cut | None
    edits: int
    places: tuple[Place, ...]
    moves: tuple[str, ...]
    objections: tuple[Finding, ...]
    board: tuple[Finding, ...] | None
    apart: float
    cautions: tuple[Finding, ...]
    units: Units = "mm"

    @property
    def ok(self) -> bool:
        """Both files make the same moves, and the controller objects to nothing more in the returned one."""
        return not self.moves and not self.objections

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        return {
            "ok": self.ok,
            "sent": self.sent,
            "returned": self.returned,
            "same_bytes": self.same_bytes,
            "differs_only_in": list(self.layout),
            "cut_short": None if self.cut is None else self.cut.as_dict(),
            "edits": self.edits,
            "places": [place.as_dict() for place in self.places],
            "moves": list(self.moves),
            "objections": [finding.as_dict() for finding in self.objections],
            "board": None if self.board is None else [finding.as_dict() for finding in self.board],
            "apart_mm": round(self.apart, 6),
            "cautions": [finding.as_dict() for finding in self.cautions],
        }


def differ(
    sent: str | Path, returned: str | Path, *, machine: Machine | None = None, say: Language = ENGLISH
) -> Difference:  # fmt: skip
    """How ``returned`` differs from ``sent``, whose certificate (or ``machine``) says how both are read. Sentences are
    in the language of ``say``.

    Raises `InputError` for what cannot be read, is not G-code, or has neither certificate nor ``machine``.
    """
    sent, returned = Path(sent), Path(returned)
    given = known(sent, machine)
    data = _returned(returned)
    mine, theirs = lines_of(given.evidence.text), lines_of(data)
    cut = cut_short(mine.texts, theirs.texts)
    edits = edits_of(mine.texts, theirs.texts) if cut is None else ()
    if edits and (ends := cut_after_edits(mine.texts, theirs.texts, edits[-1])) is not None:
        cut, edits = ends, edits[:-1]
    evidence = _read(data, str(returned), given)
    same_text = mine.texts == theirs.texts
    moves, apart = _moves(given, evidence, say)
    objections = _objections(given.evidence, evidence, mine, theirs)
    beam = given.evidence.capabilities.beam  # how deep it burns is not known
    return Difference(
        sent=file_name(sent.name),
        returned=file_name(returned.name),
        same_bytes=data == given.evidence.text,
        layout=tuple(say("mail-layout", kind=kind) for kind in layout(mine, theirs)) if same_text else (),
        cut=None if cut is None else _cut(cut, mine, theirs, (given, evidence), sent, say),
        edits=len(edits),
        places=tuple(_place(edit, mine, theirs, (given, evidence), say) for edit in edits[:SHOWN_EDITS]),
        moves=moves,
        objections=objections,
        board=None if not (edits and moves) or cut is not None or beam else _board(given.evidence, evidence),
        apart=apart,
        cautions=_cautions(given, changed=not same_text),
        units=given.evidence.capabilities.units,
    )


def _returned(path: Path) -> bytes:
    data = read_bytes(path)
    if data[:2] in _UTF_16:
        what = f"{str(path)!r} was saved as UTF-16, which no controller reads"
        raise InputError([Finding(check="file", what=what, fix="save it as plain text, or send the file packed")])
    return read_gcode(path)


def _read(data: bytes, file: str, given: Known) -> Evidence:
    from pathkit import api

    one = given.evidence
    return gather(
        data, one.program, one.machine, one.capabilities, job=one.job, setup=one.setup, file=file,
        reader=api.reader_of(one.machine),
    )  # fmt: skip


def _moves(given: Known, other: Evidence, say: Language) -> tuple[tuple[str, ...], float]:
    """In what the moves differ, in sentences; and how far they are apart, mm, if they do not."""
    one = given.evidence
    if _equal(one.read, other.read):
        return (), 0.0
    capabilities, offset = one.capabilities, one.setup.offset
    wanted, found = (signals_of(program, offset=offset) for program in (one.read, other.read))
    result = compare(
        one.read, other.read, wanted, found, capabilities, arc_tolerance=one.machine.motion.arc_tolerance
    )  # fmt: skip
    told = _powers(one.read, other.read, result, say)
    if not result.findings:
        return tuple(told), result.deviation
    unmatched = result.owner < 0
    lacking = len(one.read) - len(np.unique(result.owner[~unmatched]))
    if unmatched.any() or lacking:
        alien = int(unmatched.sum())
        told += [say("mail-alien", count=alien, all=len(other.read))] if alien else []
        told += [say("mail-lacking", count=lacking, all=len(one.read))] if lacking else []
    first = next((f for f in result.findings if f.check == "same path"), None)
    if first is not None and first.line is not None:
        row = int(np.searchsorted(other.read.line, first.line))
        before = result.owner[:row][result.owner[:row] >= 0]
        name = _toolpath_at(given, int(before[-1]) + 1 if len(before) else 0)
        parted = say("mail-part-at", line=first.line)
        told.append(parted if name is None else say("mail-part-at-toolpath", line=first.line, toolpath=f"{name!r}"))
    told += _feeds([f for f in result.findings if f.check == "feeds"], say)
    slack = 0.5 * capabilities.speed_step + ROUNDING
    _, missing, extra = align(wanted, found, slack)
    told += [say("mail-lacks", what=in_words(signal.words, say)) for signal in missing[:_SHOWN]]
    told += [say("mail-has", what=in_words(signal.words, say)) for signal in extra[:_SHOWN]]
    return tuple(told or [say("mail-order", count=len(result.findings))]), result.deviation


def _powers(one: Program, other: Program, result: Comparison, say: Language) -> list[str]:
    """How many of the moves that both have burn with another power, and the first of them."""
    if one.power is None or other.power is None:
        return []
    both = np.flatnonzero(result.owner >= 0)
    changed = both[np.abs(other.power[both] - one.power[result.owner[both]]) > ROUNDING]
    return [say("mail-power", count=len(changed), line=int(other.line[changed[0]]))] if len(changed) else []


def _feeds(findings: list[Finding], say: Language) -> list[str]:
    """Each change of feed once, with how many moves have it too."""
    lines: dict[str, list[int | None]] = {}
    for finding in findings:
        lines.setdefault(finding.what.replace(", and the program at", ", as sent at"), []).append(finding.line)
    told = []
    for what, where in list(lines.items())[:_SHOWN]:
        about = {"line": str(where[0]), "what": in_words(what, say)}
        more = len(where) - 1
        told.append(say("mail-feed-more", count=more, **about) if more else say("mail-feed", **about))
    return told


def _equal(one: Program, other: Program) -> bool:
    """Whether two files make the very same moves, whatever their lines."""
    if (
        len(one) != len(other)
        or one.columns != other.columns
        or one.event != other.event
        or not np.array_equal(one.event_at, other.event_at)
    ):
        return False
    names = ["start", *(name for name in one.columns if name not in ("line", "toolpath", "level"))]
    pairs = ((getattr(one, name), getattr(other, name)) for name in names)
    return all(np.array_equal(a, b, equal_nan=a.dtype.kind == "f") for a, b in pairs)


def _said(finding: Finding, lines: Lines) -> tuple[object, ...]:
    """What tells an objection from others: what it says, and of which text."""
    text = lines.raw[finding.line - 1].rstrip() if finding.line is not None and finding.line <= len(lines.raw) else b""
    return finding.check, finding.code, finding.what, text


def _objections(one: Evidence, other: Evidence, mine: Lines, theirs: Lines) -> tuple[Finding, ...]:
    """What the reader objects to in the returned file, and not in the file as sent."""
    before = Counter(_said(finding, mine) for finding in one.reading.findings)
    found = []
    for finding in other.reading.findings:
        said = _said(finding, theirs)
        before[said] -= 1
        found += [finding] if before[said] < 0 else []
    return tuple(replace(finding, file=None) for finding in found[:_SHOWN])


def _board(one: Evidence, other: Evidence) -> tuple[Finding, ...] | None:
    """Where another wood is cut; None if board or bits are not known, or one of the files cannot be followed."""
    from pathkit.proof.equivalence import same_board

    if "job" not in one.available or not (one.cuts.known and other.cuts.known):
        return None
    if errors_of(one.reading.findings) or errors_of(other.reading.findings):
        return None
    proof = same_board(replace(one, file="the file as sent"), replace(other, file="the returned file"))
    return tuple(replace(f, fix="", file=None) for f in proof["same board"].findings[:_SHOWN])


def _place(edit: Edit, mine: Lines, theirs: Lines, both: tuple[Known, Evidence], say: Language) -> Place:
    (a, b), (c, d), (given, other) = edit.sent, edit.returned, both
    sent, back = mine.numbers[a:b], theirs.numbers[c:d]
    line = sent[0] if sent else (mine.numbers[a] if a < len(mine.numbers) else len(mine.raw) + 1)
    row = int(np.searchsorted(given.read.line, line))
    return Place(
        line=line,
        sent=_shown(mine, a, b, say),
        returned=_shown(theirs, c, d, say),
        counts=(b - a, d - c),
        toolpath=_toolpath_at(given, row),
        as_sent=_does(given, sent, say),
        as_returned=_does(replace(given, evidence=other), back, say),
    )


def _shown(lines: Lines, first: int, last: int, say: Language) -> tuple[tuple[int, str], ...]:
    last = min(last, first + _SHOWN_LINES)
    return tuple((lines.numbers[k], shown(lines.raw[lines.numbers[k] - 1], say=say)) for k in range(first, last))


def _does(given: Known, lines: tuple[int, ...], say: Language) -> tuple[str, ...]:
    """What the first of some lines do, a sentence each; nothing for a file so long that reading it again takes long."""
    from pathkit import api

    one = given.evidence
    if len(one.text) > _READ_AGAIN or api.reader_of(given.machine) is not None:
        return ()
    told = []
    for number in lines[:_SHOWN_LINES]:
        read = read_line(one.text, one.capabilities, number)
        told.append(sentence_of(read, teller_of(read, given, say))[1])
    return tuple(told)


def _toolpath_at(given: Known, row: int) -> str | None:
    """The toolpath of a move, or of the last one before it that has any."""
    mine = given.toolpath[: row + 1]
    there = np.flatnonzero(mine >= 0)
    return given.names[int(mine[there[-1]])] if len(there) else None


def _cut(
    cut: tuple[int, bool], mine: Lines, theirs: Lines, both: tuple[Known, Evidence], path: Path, say: Language
) -> Cut:  # fmt: skip
    (count, partial), (given, other) = cut, both
    does = _does(replace(given, evidence=other), theirs.numbers[-1:], say) if partial else ()
    after = mine.numbers[count - 1] if count else 0
    last = shown(theirs.texts[-1], say=say) if partial else None
    row = int(np.searchsorted(given.read.line, after, side="right"))
    return Cut(
        after=after,
        partial=last,
        does="".join(does),
        missing=len(mine.texts) - count,
        toolpath=_toolpath_at(given, row - 1) if row else None,
        again=start_again(given, row, path),
    )


def _cautions(given: Known, *, changed: bool) -> tuple[Finding, ...]:
    found = [finding.at(file="the file as sent") for finding in given.cautions]
    if changed:
        what = "the file that came back is not the one that was sent: nothing that was proved holds for it"
        fix = "do not run it; send the file again, best packed or with its SHA-256"
        found.append(Finding(check="certificate", what=what, fix=fix, severity="warning"))
    return tuple(found)
