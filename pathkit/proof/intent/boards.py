"""Every cut does the same in each board that the job accepts: through all of them or through none, and into all."""

from __future__ import annotations

from collections.abc import Iterator

from pathkit.findings import Finding
from pathkit.proof.ends import Ends, in_which
from pathkit.proof.evidence import Evidence, check
from pathkit.proof.intent.places import MOST
from pathkit.proof.result import Verdict
from pathkit.tolerances import HALF_COUNT, SAME_HEIGHT


@check(
    "accepted boards",
    "board",
    "job",
    scope="whole",
    limits="It judges each toolpath by its lowest place, and says nothing about cuts above that.",
)
def accepted_boards(evidence: Evidence) -> Verdict:
    """No cut goes through one accepted board and leaves a skin in another, and none passes above the thinnest."""
    job, ends = evidence.job, evidence.ends
    assert job is not None
    found: list[Finding] = []
    for index, path in enumerate(job.toolpaths):
        rows = evidence.sections.rows(index)
        if len(rows) and len(found) < MOST:
            row = int(rows[evidence.bench.end[rows, 2].argmin()])
            lowest = float(evidence.bench.end[row, 2])
            found += [
                Finding(check="accepted boards", what=what, fix=fix, line=evidence.line(row), toolpath=path.name)
                for what, fix in _uneven(lowest, ends, evidence)
            ]
    figures = {
        "highest_top_mm": ends.highest_top, "lowest_top_mm": ends.lowest_top,
        "highest_underside_mm": ends.highest_underside, "lowest_underside_mm": ends.lowest_underside,
    }  # fmt: skip
    return Verdict(found, figures={name: round(value, 6) for name, value in figures.items()})


def _uneven(lowest: float, ends: Ends, evidence: Evidence) -> Iterator[tuple[str, str]]:
    """What and fix of each finding, where a cut down to ``lowest`` differs from one board to another."""
    stock, slack = evidence.board, HALF_COUNT * evidence.count + SAME_HEIGHT
    if ends.lowest_underside + slack < lowest < ends.highest_underside - slack:
        through, rest = f"right through{in_which(stock, 'highest')}", lowest - ends.lowest_underside
        what = f"ends at z = {lowest:.3f} mm: {through}, and leaves {rest:.3f} mm"
        what += in_which(stock, "lowest")
        yield what, "cut past the lowest underside, leave a floor above the highest, or accept fewer boards"
    if lowest > ends.lowest_top - slack and ends.lowest_top < ends.highest_top:
        what = f"ends at z = {lowest:.3f} mm, and the top of the thinnest board lies at {ends.lowest_top:.3f} mm"
        yield what, "cut deeper, accept fewer boards, or set zero on the top"
