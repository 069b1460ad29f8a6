"""What one line of a handed-over cut file does, in words that can be sent in a mail.

The line is read by the reader that proves files (`pathkit.readback`), in the state in which the controller comes to it.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from pathkit.errors import InputError
from pathkit.findings import Finding
from pathkit.handover.support.messages import Message, alarm_at, error_at
from pathkit.handover.support.moves import Teller
from pathkit.handover.support.placing import Known, known
from pathkit.handover.support.texts import Units, file_name, on_board, shown, trimmed
from pathkit.handover.support.words import SETTINGS, beam_in_words, carried, code_in_words, in_force, meanings
from pathkit.motion.program import Pause, Spindle, Stop
from pathkit.readback.at_line import LineRead, foreign_line, read_line
from pathkit.texts.findings import in_words
from pathkit.texts.language import ENGLISH, Language

if TYPE_CHECKING:
    from pathkit.machine.profile import Machine

_MOST_CLAUSES: Final = 6


@dataclass(frozen=True)
class Where:
    """Where a line stands in its file. ``toolpath``: that of its moves, or the one within which it stands; None between
    two and where toolpaths are not known. ``before`` and ``after`` are the toolpaths next to that place. ``seconds``
    have passed when the controller comes to the line, of ``total``; None if the moves cannot be timed."""

    toolpath: str | None
    part: str | None
    before: str | None
    after: str | None
    seconds: float | None
    total: float | None

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        values = {name: getattr(self, name) for name in ("toolpath", "part", "before", "after")}
        share = None if not self.total or self.seconds is None else round(self.seconds / self.total, 4)
        return {**values, "seconds": self.seconds, "total_s": self.total, "share": share}


@dataclass(frozen=True)
class Spot:
    """Where the moves of a line begin or end. ``axes`` in words and ``numbers`` are in the file's axes and ``unit``;
    ``on_board`` in words and ``bench`` (mm) are on the board: to the right, away, up. None for what is not known."""

    name: str
    unit: str
    axes: str
    numbers: tuple[float | None, ...]
    on_board: str = ""
    bench: tuple[float | None, ...] | None = None

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        bench = None if self.bench is None else dict(zip("xyz", self.bench, strict=True))
        return {"unit": self.unit, "file": dict(zip("xyz", self.numbers, strict=True)), "board_mm": bench}


@dataclass(frozen=True)
class Explained:
    """``sentence`` says what the line does, ``kind`` in one word; ``words`` are (word, what it means), ``carried``
    those of earlier lines that decide what this one does. ``spots`` are where its moves begin and end."""

    file: str
    line: int
    text: str
    kind: str
    sentence: str
    words: tuple[tuple[str, str], ...]
    carried: tuple[tuple[str, str], ...]
    spots: tuple[Spot, ...]
    where: Where
    message: Message | None
    cautions: tuple[Finding, ...]

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        return {
            "ok": True,
            "file": self.file,
            "line": self.line,
            "text": self.text,
            "kind": self.kind,
            "sentence": self.sentence,
            "words": [{"word": word, "means": means} for word, means in self.words],
            "from_earlier_lines": [{"word": word, "means": means} for word, means in self.carried],
            **{spot.name: spot.as_dict() for spot in self.spots},
            **self.where.as_dict(),
            "message": None if self.message is None else self.message.as_dict(),
            "cautions": [finding.as_dict() for finding in self.cautions],
        }


def explain(
    file: str | Path, line: int, *, machine: Machine | None = None, message: int | None = None,
    alarm: int | None = None, say: Language = ENGLISH,
) -> Explained:  # fmt: skip
    """What line ``line`` (from 1) of a cut file does, read as its controller reads it.

    Machine, board and toolpaths come from the certificate beside the file; without one ``machine`` says how to read it,
    and neither toolpaths nor board are known. ``message`` and ``alarm`` are numbers that GRBL showed at that line.
    Sentences are in the language of ``say``.

    Raises `InputError` for what cannot be read, a line that is not there, and a number that is not known.
    """
    from pathkit import api

    if message is not None and alarm is not None:
        raise InputError("--message and --alarm are two questions; give one of them")
    given = known(file, machine)
    capabilities, text = given.evidence.capabilities, given.evidence.text
    foreign = api.reader_of(given.machine)
    name = Path(file).name
    read = (
        read_line(text, capabilities, line, file=name)
        if foreign is None
        else foreign_line(text, capabilities, line, foreign, file=name)
    )
    teller = teller_of(read, given, say)
    units = teller.units
    kind, sentence = sentence_of(read, teller)
    return Explained(
        file=file_name(name),
        line=line,
        text=shown(read.raw, say=say),
        kind=kind,
        sentence=sentence,
        words=meanings(read, capabilities, units),
        carried=carried(read, units),
        spots=_spots(read, given, teller),
        where=_where(read, given),
        message=error_at(message, read, given, say) if message is not None
        else alarm_at(alarm, read, given, units) if alarm is not None else None,
        cautions=(*_said(read), *given.cautions),
    )  # fmt: skip


def teller_of(read: LineRead, given: Known, say: Language = ENGLISH) -> Teller:
    """Tells in the unit and with the shift of numbers that are in force at a line."""
    if read.before is None:
        return Teller(given, Units(given.evidence.capabilities.units == "inch", say))
    return Teller(given, Units(in_force(read).get("units") in ("G20", "G70"), say), read.before.place.base)


def sentence_of(read: LineRead, teller: Teller) -> tuple[str, str]:
    """The kind of the line in one word, and the sentence about it."""
    say, line, raw = teller.say, read.number, read.raw
    if not raw.strip(b" \t"):
        return "blank", say("explain-blank", line=line)
    if read.before is not None and read.bare == "%" and not read.findings:
        return "mark", say("explain-mark", line=line)
    if read.ended:
        return "after the end", say("explain-after-the-end", line=line)
    refused = [f for f in read.findings if f.check == "controller" and f.severity == "error"]
    if refused:
        what, code = in_words(refused[0].what, say), refused[0].code
        told = say("explain-refused", line=line, what=what)
        return "refused", say("explain-refused-code", line=line, code=code, what=what) if code else told
    if read.before is not None and _is_comment(read):
        if at_once := [finding.what for finding in read.findings if finding.check == "real-time bytes"]:
            return "acts at once", say("explain-acts-at-once", line=line, what=in_words(at_once[0], say))
        return "comment", say("explain-comment", line=line, text=shown(raw.strip(), say=say))
    kind, clauses = _done(read, teller)
    settings = _settings(read, say)
    if not clauses:
        kind, clauses = _set(read, teller)
    if settings:
        kind, clauses = ("setting", settings) if kind == "nothing" else (kind or "setting", [*settings, *clauses])
    more = len(clauses) - _MOST_CLAUSES
    if more > 0:
        clauses = [*clauses[:_MOST_CLAUSES], say("explain-more", count=more)]
    return kind, say("explain-line", line=line, does=say.listed(clauses))


def _is_comment(read: LineRead) -> bool:
    """Whether nothing stands beside a comment but, at most, the number of the line."""
    numbered = [letter for letter, _ in read.words] == ["N"]
    return not read.bare or (numbered and len(read.bare) < len(read.raw.translate(None, b" \t")))


def _done(read: LineRead, teller: Teller) -> tuple[str, list[str]]:
    """What the line does by itself: events, then moves, then a stop, as the controller orders them."""
    clauses: list[str] = []
    kinds: list[str] = []
    turning = 0 if read.before is None else read.before.turning.sense
    late = [event for event in read.events if isinstance(event, Pause | Stop)]
    for event in read.events:
        if event in late or (isinstance(event, Spindle) and late and event.sense == 0 and _ends(read)):
            continue
        clauses.append(teller.happening(event, turning))
        kinds.append(_KINDS.get(type(event).__name__, ""))
        turning = event.sense if isinstance(event, Spindle) else turning
    moves = _moves(read, teller)
    clauses += moves
    kinds += ["move"] * bool(moves)
    for event in late:
        clauses.append(teller.happening(event, turning))
        kinds.append(_KINDS[type(event).__name__])
    if _ends(read) and turning and any(isinstance(event, Spindle) and event.sense == 0 for event in read.events):
        clauses[-1] = teller.say("explain-also-off", does=clauses[-1])
    return ("move" if "move" in kinds else kinds[0] if kinds else ""), [clause for clause in clauses if clause]


_KINDS: Final = {
    "Spindle": "spindle", "Beam": "beam", "Dwell": "dwell", "Pause": "pause", "ToolChange": "bit change",
    "Coolant": "coolant", "Lift": "move", "Stop": "program end", "Offset": "setting",
}  # fmt: skip


def _ends(read: LineRead) -> bool:
    return any(isinstance(event, Stop) for event in read.events)


def _moves(read: LineRead, teller: Teller) -> list[str]:
    program, first, last = read.program, read.first_row, len(read.program) - 1
    if last < first:
        return []
    say, units = teller.say, teller.units
    holes = [cycle for cycle in program.cycles if cycle.first >= first]
    if holes:
        depth = np.array([np.nan, np.nan, holes[-1].bottom])
        peck = holes[-1].peck
        told = say(
            "moves-drills", count=len(holes), place=teller.place(program.end[holes[-1].last], "XY"),
            bottom=teller.place(depth, "Z"), peck="none" if peck is None else units.told(peck),
            feed=units.feed(holes[-1].feed),
        )  # fmt: skip
        return [_over(told, teller.height(depth), say)]
    moves = [teller.move(program, row) for row in range(first, min(last + 1, first + _MOST_CLAUSES + 1))]
    return [*moves[:-1], _over(moves[-1], teller.height(program.end[last]), say)]


def _over(move: str, height: str, say: Language) -> str:
    return say("moves-over", move=move, height=height) if height else move


def _settings(read: LineRead, say: Language) -> list[str]:
    """The clause for what the line says of how it and the lines after it are read."""
    told = [code_in_words(code, say) for group, code in read.codes.items() if group in SETTINGS]
    return [say("explain-settings", settings="; ".join(told))] if told else []


def _set(read: LineRead, teller: Teller) -> tuple[str, list[str]]:
    """What a line sets that neither moves nor switches anything."""
    codes, values, say, capabilities = read.codes, read.values, teller.say, teller.known.evidence.capabilities
    found: list[tuple[str, str]] = []
    own = codes.get("non-modal")
    if own in ("G10", "G28.1", "G30.1", "G92", "G92.1", "G92.2", "G92.3"):
        found.append(("offset", say("explain-stores", means=code_in_words(own, say))))
    if "motion" in codes:
        found.append(("setting", say("explain-chooses", means=code_in_words(codes["motion"], say))))
    if "F" in values and read.before is not None and in_force(read).get("feed mode") == "G94":
        feed = say.number(f"{values['F']:g} {teller.units.name}/min")
        found.append(("setting", say("explain-sets-feed", feed=feed)))
    if "S" in values and own != "G4" and capabilities.beam:
        found.append(("beam", beam_in_words("S", values["S"], capabilities, say)))
    elif "S" in values and own != "G4":
        turning = read.before is not None and read.before.turning.sense
        speed = say.number(trimmed(values["S"] * capabilities.rpm_per_s, 1))
        name = "explain-sets-speed" if turning else "explain-sets-speed-for-later"
        found.append(("spindle", say(name, speed=speed)))
    if "spindle" in codes and capabilities.beam:
        found.append(("beam", beam_in_words(codes["spindle"], 0.0, capabilities, say)))
    elif "spindle" in codes:
        found.append(("spindle", say("explain-off-already" if codes["spindle"] == "M5" else "explain-on-already")))
    if "coolant" in codes:
        means = code_in_words(codes["coolant"], say)
        off = say("explain-coolant-off-already")
        found.append(("coolant", off if codes["coolant"] == "M9" else say("explain-coolant-on-already", means=means)))
    if "T" in values:
        found.append(("bit change", say("explain-names-bit", number=f"{values['T']:g}")))
    if "M1" in codes.values():
        found.append(("pause", say("explain-left-out-pause")))
    if "wait" in codes:
        found.append(("setting", say("explain-waits", means=code_in_words(codes["wait"], say))))
    if not found and "N" in values:
        found.append(("number", say("explain-number-only")))
    if not found and read.findings:
        found.append(("not read", say("explain-not-followed", what=in_words(read.findings[0].what, say))))
    return (found[0][0], [clause for _, clause in found]) if found else ("nothing", [say("explain-nothing")])


def _spots(read: LineRead, given: Known, teller: Teller) -> tuple[Spot, ...]:
    program, first, units = read.program, read.first_row, teller.units
    if len(program) == first:
        return ()
    found = []
    for name, point in (("begins", program.origins[first]), ("ends", program.end[-1])):
        numbers = tuple(units.value(value) for value in (point - np.array(teller.base)).tolist())
        place = teller.place(point)
        axes = units.say("mail-axes", place=place, unit=units.name) if place else ""
        bench = teller.bench(point)
        if bench is None:
            found.append(Spot(name, units.name, axes, numbers))
            continue
        placed = tuple(None if value != value else round(value, 4) for value in bench.tolist())
        found.append(Spot(name, units.name, axes, numbers, on_board(bench, given.top, units), placed))
    return tuple(found)


def _where(read: LineRead, given: Known) -> Where:
    first, last = read.first_row, len(read.program)
    toolpath = given.toolpath
    mine = next((int(t) for t in toolpath[first:last] if t >= 0), -1)
    runs = given.runs
    starts = np.array([row for _, row in runs], dtype=np.int64)
    # The run within which the line's first move lies, or before which it stands.
    index = int(np.searchsorted(starts, first, side="right")) - 1
    if mine < 0 and first == last and 0 < first < len(toolpath) and toolpath[first - 1] == toolpath[first]:
        mine = int(toolpath[first])
    if mine >= 0:
        while index + 1 < len(runs) and runs[index][0] != mine:
            index += 1
        before, after = index - 1, index + 1
    elif first == last and 0 <= index < len(runs) and starts[index] == first:
        before, after = index - 1, index
    else:
        before, after = index, index + 1
    named = [given.names[number] for number, _ in runs]
    name = given.names[mine] if mine >= 0 else None
    job = given.job
    part = None if name is None or job is None or name not in job.by_name else job.by_name[name].part
    clock = given.clock
    seconds = None if clock is None else round(float(clock[min(first, len(clock) - 1)]), 3)
    return Where(
        name, part, named[before] if 0 <= before < len(named) else None, named[after] if after < len(named) else None,
        seconds, None if clock is None else round(float(clock[-1]), 3),
    )  # fmt: skip


def _said(read: LineRead) -> tuple[Finding, ...]:
    """What the reader objects to in the line, without what the sentence says already."""
    return tuple(replace(finding, file=None) for finding in read.findings if finding.check != "controller")
