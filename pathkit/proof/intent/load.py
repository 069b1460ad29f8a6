"""A range of feeds is used the right way round: slow in much wood, fast in little."""

from __future__ import annotations

import numpy as np

from pathkit.findings import Finding
from pathkit.motion.program import RAPID
from pathkit.proof.evidence import Evidence, check
from pathkit.proof.intent.places import first_of_each, runs_and_falls
from pathkit.proof.result import Verdict
from pathkit.tolerances import LOAD_NOISE, SAME_HEIGHT


@check(
    "steady load",
    "board",
    "job",
    scope="whole",
    limits=f"Only cuts with a range of feeds, and of these no move shorter than the bit's radius; to {LOAD_NOISE:g} "
    "times the load, by a map of points. Force and chips are not worked out.",
)
def steady_load(evidence: Evidence) -> Verdict:
    """Where a cut has a range of feeds, no level move takes more wood in a minute than the cut's own feed would in the
    heaviest wood that the cut meets."""
    job, bench, sections = evidence.job, evidence.bench, evidence.sections
    assert job is not None
    steady = np.array([path.cutting.steady for path in job.toolpaths], dtype=bool)
    if not steady.any():
        return Verdict(figures={"cuts": 0, "moves": 0})
    rows = np.flatnonzero((sections.owner >= 0) & (bench.kind != RAPID))
    rows = rows[steady[sections.owner[rows]]]
    owner = sections.owner[rows]
    run, fall = (column[rows] for column in runs_and_falls(bench))
    long = run >= np.array([path.tool.radius for path in job.toolpaths])[owner]
    rows, owner, run, level = rows[long], owner[long], run[long], np.abs(fall[long]) <= SAME_HEIGHT
    # mm² of wood across each move.
    section = evidence.removal.volume[rows] / run
    heaviest = np.zeros(len(job.toolpaths))
    np.maximum.at(heaviest, owner, section)
    most = np.array([path.cutting.feed for path in job.toolpaths])[owner] * heaviest[owner]
    found: list[Finding] = []
    for k in first_of_each(owner, level & (section * bench.feed[rows] > LOAD_NOISE * most)):
        own, row = job.toolpaths[owner[k]], int(rows[k])
        what = (
            f"takes {section[k] * bench.feed[row] / 1000.0:.1f} cm³ a minute at {bench.feed[row]:g} mm/min, and at its"
            f" own feed of {own.cutting.feed:g} mm/min it would take {most[k] / 1000.0:.1f} at most"
        )
        place = {"line": evidence.line(row), "toolpath": own.name}
        found.append(Finding(check="steady load", what=what, fix="post the job again", **place))
    return Verdict(found, figures={"cuts": int(steady.sum()), "moves": len(rows)}, proved=evidence.removal.known)
