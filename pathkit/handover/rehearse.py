"""Rehearsing a new machine: two small files that only move in the air, and the answer kept in the profile.

A profile says in words which way each axis runs, and no proof of a text can tell whether the words are true. A letter
can, if it looks different when mirrored or turned: whoever stands at the machine sees at once whether it reads. The
second file goes round the board, outside it by the bit's radius, and shows whether zero, corner and travel are right.
"""

from __future__ import annotations

import json
import math
import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from pathkit.errors import InputError, OutputError, Refused
from pathkit.fields import plain
from pathkit.files import read_text
from pathkit.findings import Finding, errors_of
from pathkit.handover.journal import replace_file
from pathkit.handover.pages.names import size_name
from pathkit.handover.pages.sheet import before_a_start, zero_findings
from pathkit.machine.profile import Machine, Rehearsed
from pathkit.model.job import Job, Setup
from pathkit.motion.program import Dwell, Event, Note, Offset, Pause, Program, Stop
from pathkit.texts.language import ENGLISH, Language
from pathkit.tolerances import SAME_PLACE

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from pathkit.proof.result import Proof

LETTER: Final = ((0.0, 0.0), (0.0, 5.0), (3.0, 5.0), (0.0, 5.0), (0.0, 3.0), (2.0, 3.0))
"""F on a grid of 3 × 5, in one stroke: no mirror image and no rotation of it reads as an F."""

LARGEST: Final = 12.0  # mm a grid square: a letter 60 mm high can be seen without leaning over the machine
FEED: Final = 1000.0  # mm/min: slow enough to follow, quick enough not to bore (common practice, no source)
WAIT: Final = 1.0  # s at each corner
MEASURE: Final = {"mm": (100.0, 10.0), "inch": (4.0 * 25.4, 0.5 * 25.4)}
"""mm to be measured by a reader of each unit, and the steps by which it is less on a small board."""

ANSWER: Final = "pathkit rehearse --machine PROFILE.toml --letter-reads yes --rectangle-fits yes"
"""How what was seen is kept."""


@dataclass(frozen=True)
class Rehearsal:
    """Two or three proved files, by their bare names, and what to look for."""

    machine: Machine
    files: Mapping[str, bytes]
    letter_file: str
    rectangle_file: str
    proofs: tuple[Proof, ...]
    questions: tuple[str, ...]
    """What to do with the files, in this order."""
    measure_file: str = ""

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        return {
            "ok": all(proof.ok for proof in self.proofs),
            "machine": self.machine.name,
            "letter_file": self.letter_file,
            "rectangle_file": self.rectangle_file,
            "proofs": [proof.as_dict() for proof in self.proofs],
            "questions": list(self.questions),
        }


def rehearse(
    job: Job, machine: Machine, setup: Setup | None = None, *, measured: bool = False, say: Language = ENGLISH
) -> Rehearsal:  # fmt: skip
    """Make and prove the files for the board of ``job``, a third one to measure by if ``measured``; nothing is written.
    What to do with them is told in the language of ``say``; comments in the files stay English, in plain ASCII.

    Raises `Refused` if they cannot be proved (for example because the rectangle needs more room than the machine has),
    or if the file sets its own zero and no bit can reach it.
    """
    from pathkit import api, registry
    from pathkit.proof.rehearsal import verify_rehearsal

    if unfit := errors_of(zero_findings(job, machine)):
        raise Refused(unfit)
    setup = setup or Setup()
    files: dict[str, bytes] = {}
    proofs: list[Proof] = []
    programs = [letter(job, machine, setup), rectangle(job, machine, setup)]
    programs += [measure(job, machine, setup)] if measured else []
    for program in programs:
        posted = api.post(program, machine, setup)
        proof = verify_rehearsal(
            posted, program, machine, registry.capabilities_of(machine), setup=setup, reader=api.reader_of(machine)
        )
        if broken := errors_of(proof.findings):
            raise Refused(broken)
        files[posted.files[0].name] = posted.files[0].data
        proofs.append(proof)
    first, second, *third = files
    return Rehearsal(machine, files, first, second, tuple(proofs), _questions(job, machine, say), "".join(third))


def _questions(job: Job, machine: Machine, say: Language) -> tuple[str, ...]:
    ready = " ".join([say("rehearse-ready"), *before_a_start(job, machine, say)])
    answers = say("rehearse-write-down", command=ANSWER)
    return ready, say("rehearse-letter"), say("rehearse-rectangle"), answers


def use_of_piece(machine: Machine, say: Language = ENGLISH) -> tuple[str, ...]:
    """What to do with a test piece (`pathkit.jobs.fit_piece`), in this order."""
    from pathkit.jobs.fit_piece import FITS

    least, most = (size_name(machine, fit, say=say) for fit in (FITS[0], FITS[-1]))
    cut = say("rehearse-piece-cut", least=least, most=most)
    return cut, say("rehearse-piece-find"), say("rehearse-piece-write")


# The word comes before the machine's name: names of files are cut short at their end.
def letter(job: Job, machine: Machine, setup: Setup) -> Program:
    """An F over the middle of the board, upright as seen from the front of the machine however the board is turned."""
    stock = job.stock
    across, away = (stock.width, stock.depth) if setup.turn % 2 == 0 else (stock.depth, stock.width)
    square = min(LARGEST, across / 6.0, away / 8.0)
    seen = (np.array(LETTER) - (1.5, 2.5)) * square
    # The board is turned counter-clockwise on the bed; the letter must be turned back by as much on the board.
    quarter = np.array([[0.0, 1.0], [-1.0, 0.0]])
    plan = seen @ np.linalg.matrix_power(quarter, setup.turn).T + (stock.width / 2.0, stock.depth / 2.0)
    ask = "it draws an F in the air: see if it reads from the front"
    return _in_the_air(f"rehearsal letter {machine.slug}", plan, ask, job, machine, setup, wait=0.0)


def rectangle(job: Job, machine: Machine, setup: Setup) -> Program:
    """Round the board, outside its edges by the radius of the job's widest bit, with a short wait at each corner."""
    r = max((tool.radius for tool in job.tools), default=0.0)
    low, far, deep = -r, job.stock.width + r, job.stock.depth + r
    plan = np.array([(low, low), (far, low), (far, deep), (low, deep), (low, low)])
    ask = "it goes round the board in the air: see if it fits"
    return _in_the_air(f"rehearsal rectangle {machine.slug}", plan, ask, job, machine, setup, wait=WAIT)


def measure(job: Job, machine: Machine, setup: Setup) -> Program:
    """Over the middle of the board: a known way to the side and back, then away and back, with a wait at each end."""
    units = machine.units
    stock, sides = job.stock, measured_sides(job, units)
    middle = np.array([stock.width / 2.0, stock.depth / 2.0])
    half = np.diag(sides) / 2.0
    left, right, near, far = middle - half[0], middle + half[0], middle - half[1], middle + half[1]
    told = " and ".join(f"{side / (25.4 if units == 'inch' else 1.0):g} {units}" for side in sides)
    ask = f"it moves {told} there and back: measure it"
    plan = np.array([left, right, left, near, far, near])
    return _in_the_air(f"rehearsal measure {machine.slug}", plan, ask, job, machine, setup, wait=WAIT)


def measured_sides(job: Job, units: str) -> tuple[float, float]:
    """mm that `measure` goes along the board's width and along its depth."""
    whole, step = MEASURE[units]
    sizes = job.stock.width, job.stock.depth
    across, away = (max(step, min(whole, math.floor(size / step + SAME_PLACE) * step)) for size in sizes)
    return across, away


def _in_the_air(
    title: str, plan: NDArray[np.float64], ask: str, job: Job, machine: Machine, setup: Setup, *, wait: float
) -> Program:
    """Along the plan (k, 2), bench frame, at travel height: first Z alone, a pause, then everything at a feed."""
    from pathkit.lowering.lower import travel_height
    from pathkit.lowering.rows import Rows
    from pathkit.machine.orientation import orientation

    height = travel_height(job, machine)
    feed = min(FEED, *machine.motion.feed_limit[:2])
    rows = Rows()
    notes = (
        Note(title),
        Note("nothing is cut: it moves in the air only"),
        Note("take the bit out, keep the spindle off"),
    )
    opening: tuple[Event, ...] = (*notes, Offset(setup.offset))
    for event in opening:
        rows.event(event)
    rows.rapid(math.nan, math.nan, height)
    rows.event(Pause(ask))
    rows.rapid(float(plan[0, 0]), float(plan[0, 1]), height)
    for x, y in plan[1:]:
        if wait:
            rows.event(Dwell(wait))
        rows.line(float(x), float(y), height, feed)
    if machine.park is not None:
        park = orientation(machine, job.stock, setup).points_back(np.array([[*machine.park, 0.0]]))[0]
        rows.rapid(float(park[0]), float(park[1]), height)
    rows.event(Stop())
    return rows.program((), job.stock, title)


def rehearsal_findings(machine: Machine) -> tuple[Finding, ...]:
    """What a profile's ``[rehearsed]`` means for a build: an error if the letter did not read."""
    seen = machine.rehearsed
    fix = "rehearse it: pathkit rehearse JOB --machine PROFILE.toml --out DIR"
    if seen is None:
        what = f"{machine.name!r} has not been rehearsed: nobody has seen whether its axes run as the profile says"
        return (Finding(check="rehearsal", what=what, fix=fix, severity="note"),)
    if seen.profile != machine.fingerprint:
        what = f"axes, corner or words of {machine.name!r} have changed since it was rehearsed"
        return (Finding(check="rehearsal", what=what, fix=fix, severity="warning"),)
    found: list[Finding] = []
    if not seen.letter_reads:
        what = f"the rehearsal's letter does not read on {machine.name!r}: it would cut a mirrored or turned image"
        remedy = "correct [axes] and left_handed in the profile, and rehearse again"
        found.append(Finding(check="rehearsal", what=what, fix=remedy))
    if not seen.rectangle_fits:
        what = f"the rehearsal's rectangle did not fit the board on {machine.name!r}"
        remedy = "check origin in the profile, the zero and the board's size, and rehearse again"
        found.append(Finding(check="rehearsal", what=what, fix=remedy))
    return tuple(found)


def record(profile: str | Path, *, letter_reads: bool, rectangle_fits: bool) -> Machine:
    """Write the answer into the profile's ``[rehearsed]`` table; everything else in the file stays as it is.

    Raises `InputError` if the file cannot be read or the table cannot be set, `OutputError` if it cannot be written;
    the file is then as it was.
    """
    path = Path(profile)
    text = read_text(path)
    machine = Machine.from_toml(text, str(path))
    answer = Rehearsed(letter_reads, rectangle_fits, machine.fingerprint)
    changed = _with_table(text, answer)
    try:
        same = Machine.from_toml(changed, str(path)) == replace(machine, rehearsed=answer)
    except InputError:
        same = False
    if not same:
        raise InputError(f"[rehearsed] cannot be set in {str(path)!r}; remove the table in it and try again")
    try:
        replace_file(path, changed.encode("utf-8"))
    except OSError as error:
        raise OutputError(f"{str(path)!r} cannot be written: {error.strerror or error}; it is as it was") from None
    return replace(machine, rehearsed=answer)


def _with_table(text: str, answer: Rehearsed) -> str:
    """The text with its ``[rehearsed]`` table replaced, or with one added at its end."""
    # Truth values and plain text are written in TOML as in JSON.
    table = "[rehearsed]\n" + "".join(f"{key} = {json.dumps(value)}\n" for key, value in plain(answer).items())
    if "rehearsed" not in tomllib.loads(text):
        return f"{text.rstrip()}\n\n{table}"
    own = re.compile(r"^\[rehearsed\][^\n]*\n(?:(?!\s*\[)[^\n]*(?:\n|$))*", re.MULTILINE)
    return own.sub(lambda _: table + "\n", text, count=1).rstrip() + "\n"
