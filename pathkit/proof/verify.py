"""`verify`: read a file back and run every check that the evidence at hand allows."""

from __future__ import annotations

import traceback
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Final

from pathkit.findings import Check, Finding
from pathkit.machine.capabilities import Capabilities
from pathkit.machine.profile import Machine
from pathkit.model.job import Job, Setup
from pathkit.motion.program import Program
from pathkit.proof.checks import (
    axis_feeds,
    beam,
    chamfers,
    changes,
    clearance,
    finished_shape,
    gouges,
    holding,
    path_mode,
    stock_removal,
    travel,
    words,
)
from pathkit.proof.checks import job as job_check
from pathkit.proof.evidence import Evidence, ProofCheck, Scope, gather
from pathkit.proof.intent import INTENT
from pathkit.proof.judged import Judged
from pathkit.proof.result import CheckResult, Proof, run_check

if TYPE_CHECKING:
    from pathkit.posting import Posted
    from pathkit.readback.foreign import Read

CHECKS: Final[tuple[ProofCheck, ...]] = (
    words.controller,
    words.unknown_state,
    words.same_path,
    words.feeds,
    words.spindle,
    words.tool_changes,
    words.events,
    changes.bit_changes,
    words.end_state,
    path_mode.path_mode,
    travel.first_motion,
    travel.travel_limits,
    axis_feeds.axis_feeds,
    travel.room,
    travel.above_the_bed,
    travel.keep_out_zones,
    travel.travel_height,
    clearance.rapids_clear_the_wood,
    clearance.plunges,
    clearance.tabs,
    stock_removal.stock_removal,
    stock_removal.bit_length,
    holding.holding,
    holding.tab_strength,
    gouges.gouges,
    finished_shape.finished_shape,
    chamfers.chamfered_edges,
    job_check.same_job,
    job_check.precedence,
    *INTENT,
)
"""The built-in checks, in the order of a report."""

BEAM_CHECKS: Final[tuple[ProofCheck, ...]] = (beam.ready_and_off, beam.power, beam.every_line)
"""What is judged besides, if the controller has a beam."""

FOR_BITS: Final = frozenset(
    each.name
    for each in (
        words.spindle, changes.bit_changes, travel.travel_height, clearance.rapids_clear_the_wood, clearance.plunges,
        clearance.tabs, stock_removal.stock_removal, stock_removal.bit_length, holding.holding, holding.tab_strength,
        gouges.gouges, finished_shape.finished_shape, chamfers.chamfered_edges, *INTENT,
    )
)  # fmt: skip
"""Names of what is judged only of a bit: its spindle, the height at which it travels, the wood that it takes."""

_MISSING: Final = {
    "program": "no program (or job) to compare with",
    "board": "the board is not known",
    "job": "no job was given",
    "parts": "the job draws no parts",
}


def verify(  # noqa: PLR0913 - each is asked for by its name
    posted: Posted | str | bytes,
    program: Program | None,
    machine: Machine,
    capabilities: Capabilities,
    *,
    job: Job | None = None,
    setup: Setup | None = None,
    file: str | None = None,
    rules_only: bool = False,
    checks: Sequence[Check] | None = None,
    reader: Read | None = None,
    judged: Judged | None = None,
) -> Proof:
    """Read a file back and prove that it makes the program's moves, and safely.

    ``capabilities`` are the controller's, the profile's ``[output]`` applied. ``program`` may be in either frame; None
    means that nothing is compared, which is an error unless ``rules_only``. ``setup`` is the posted file's own by
    default. ``checks`` are the built-in ones unless given; `with_more` adds others. ``reader`` reads a file that is not
    made of words. ``judged`` keeps what was found right for other files that make the same moves on the bench.

    Raises `InputError` for what cannot be held together (several files, a program without its stock).
    """
    evidence = gather(
        posted, program, machine, capabilities, job=job, setup=setup, file=file, reader=reader, judged=judged
    )
    chosen = (*(CHECKS if checks is None else checks), *(BEAM_CHECKS if capabilities.beam else ()))
    results = tuple(run_one(one, evidence, compared=not rules_only) for one in chosen)
    compared = {"program", "board"} <= evidence.available
    return Proof(results, evidence.comparison.deviation if compared else float("nan"), evidence.file)


def with_more(more: Sequence[Check]) -> tuple[Check, ...]:
    """The built-in checks, and after them those of ``more`` that have other names."""
    names = {one.name for one in CHECKS}
    return (*CHECKS, *(one for one in more if one.name not in names))


def scope_of(one: Check) -> Scope:
    """Whether a check judges a file by itself or all files of a job; a plugin's that looks at the job, all of them."""
    given: Scope | None = getattr(one, "scope", None)
    return given or ("whole" if "job" in one.needs else "file")


def run_one(one: Check, evidence: Evidence, *, compared: bool) -> CheckResult:
    """The result of one check; it is not run where what it needs is missing, which may be a fault if ``compared``."""
    if one not in CHECKS and one not in BEAM_CHECKS:
        return _of_plugin(one, evidence)
    if evidence.capabilities.beam and one.name in FOR_BITS:
        reason = "it judges a bit in wood, and this is a beam: how deep it burns is not known"
        return CheckResult(one.name, "not run", one.limits, reason=reason)
    missing = one.needs - evidence.available
    if missing:
        reason = "; ".join(_MISSING.get(name, f"no {name}") for name in sorted(missing))
        if one.name == "same path" and compared:
            what = "not compared: there is no program or job to hold the file against"
            fix = "give the job, or ask for the rules only"
            return CheckResult(one.name, "failed", one.limits, (Finding(check=one.name, what=what, fix=fix),))
        return CheckResult(one.name, "not run", one.limits, reason=reason)
    return run_check(one, evidence)


def _of_plugin(one: Check, evidence: Evidence) -> CheckResult:
    """The result of a plugin's check. Its code may raise anything: then it has proved nothing, and has failed."""
    try:
        if missing := frozenset(one.needs) - evidence.available:
            reason = "; ".join(_MISSING.get(name, f"no {name}") for name in sorted(missing))
            return CheckResult(one.name, "not run", one.limits, reason=reason)
        return run_check(one, evidence)
    except Exception as error:
        places = traceback.extract_tb(error.__traceback__)
        # What raised may be a function of the library that the check called wrongly: its own last line tells more.
        own = [place for place in places if not Path(place.filename).is_relative_to(_LIBRARY)] or places
        at = own[-1]
        said = f"{type(error).__name__}: {error}"
        what = f"the check {one.name!r} of a plugin failed: {said} ({at.filename}, line {at.lineno})"
        finding = Finding(check=one.name, what=what, fix="repair or remove that plugin")
        return CheckResult(one.name, "failed", getattr(one, "limits", ""), (finding,))


_LIBRARY: Final = Path(__file__).resolve().parent.parent
