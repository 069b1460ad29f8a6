"""The audit as a whole: tables first, then where the copies lie, then everything in them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any, Final

from pathkit.jobs.audit.bits import exchanged
from pathkit.jobs.audit.boards import BOARD, judge_board, judge_zones
from pathkit.jobs.audit.chamfers import print_of
from pathkit.jobs.audit.copies import (
    COPIES,
    Frame,
    Room,
    frame_of,
    judge_copies,
    judge_count,
    judge_full,
    judge_inside,
    judge_whole,
    most_copies,
    place_of,
    places_of,
    turns_of,
)  # fmt: skip
from pathkit.jobs.audit.cuts import CUTS, Judge, Place, Verdict
from pathkit.jobs.audit.figures import CannotRead
from pathkit.jobs.audit.finished import PARTS, Promised, edge_of, features_of, judge_part, skin_of
from pathkit.jobs.audit.nested import judge_nested, judge_quantities, judge_title, lying, turns_of_part
from pathkit.jobs.audit.reached import judge_reach
from pathkit.jobs.audit.report import CHECKS, Report
from pathkit.jobs.audit.rest import together
from pathkit.jobs.audit.strength import strengths
from pathkit.jobs.audit.tables import Table, Tables, read_tables
from pathkit.jobs.audit.works import Copy, copies_of, figures_of, without, works_of

if TYPE_CHECKING:
    from pathkit.jobs.audit import Asked, Made
    from pathkit.proof.result import CheckResult

OF_CUTS: Final = tuple(name for name in CHECKS if name not in (BOARD, COPIES, PARTS))
"""The checks of what an unknown pass may have changed."""

_UNREADABLE: Final = (
    ArithmeticError, AssertionError, AttributeError, LookupError, RecursionError, TypeError, ValueError,
)  # fmt: skip
"""What values of an unexpected kind raise. The folder may come from anywhere."""


def judge(asked: Asked, made: Made) -> tuple[CheckResult, ...]:
    """Every check of the audit, with its verdict."""
    report = Report()
    try:
        tables = read_tables(asked.job, asked.beside)
        if tables.unknown:
            # What an unknown key means cannot be guessed: it may change everything else.
            report.leave_all_open(
                f"the audit does not understand these keys of the job file: {', '.join(tables.unknown[:8])}"
            )
        else:
            # If the profile's name does not tell which table is its own, the one that fits the job best is used.
            drawn = figures_of(tables, asked.beside)
            trials: list[Report] = []
            for strength in strengths(tables, asked.machine):
                trials.append(Report())
                _Audit(asked, made, tables, drawn, trials[-1], strength).run()
            report = min(trials, key=lambda trial: trial.errors)
    except _UNREADABLE as error:
        report.add(BOARD, f"job file and job cannot be compared ({type(error).__name__}: {error})")
        report.leave_all_open("job file and job cannot be compared")
    return report.results()


class _Audit:
    """One board of one machine, which takes the shares ``strength`` of the job file's feeds and bites."""

    def __init__(
        self, asked: Asked, made: Made, tables: Tables, drawn: Any, report: Report, strength: Table
    ) -> None:  # fmt: skip
        self.asked, self.made, self.tables, self.report = asked, made, tables, report
        self.swaps = exchanged(tables, asked.bits)
        self.figures, self.unread = drawn
        self.works = works_of(tables, self.figures, self.unread, self.swaps, strength)
        # The shapes of an operation that is left out still bound its part, but must not be cut.
        self.cut = without(self.works, asked.left_out)
        self.stock: Table = made.job["stock"]
        self.promised: dict[int, Promised] = {}
        # What was found in the cuts of each copy when its place was looked for.
        self.judged: list[Report] = []
        self.parts: Mapping[str, Table] = {part["name"]: part for part in made.job.get("parts", ())}

    def run(self) -> None:
        report, tables = self.report, self.tables
        for strange in tables.strange:
            report.leave_all_open(f"the audit does not know what the pass {strange!r} does", OF_CUTS)
        if not tables.each_by_itself:
            judge_whole(str(self.made.job["name"]), tables, self.made.last, report)
        board = judge_board(tables, self.stock, self.asked.machine, self.asked.turn, report, self.asked.board)
        copies = copies_of(self.cut, self.made.job["toolpaths"], report)
        try:
            frame = frame_of(tables, self.works, self.figures)
            places = self._best(copies)
        except CannotRead as reason:
            report.leave_all_open(str(reason), (BOARD, COPIES, CUTS, *OF_CUTS, PARTS))
            return
        if tables.each_by_itself:
            self._nested(frame, copies, places)
        else:
            self._count(frame, board, len(copies))
        if tables.layout is not None and copies and not tables.each_by_itself:
            judge_copies(tables, frame, places, copies, self.stock, report)
            barred = any(zone["kind"] != "tape" for zone in self.stock.get("zones", ()))
            if barred and tables.layout["copies"] == "fill":
                judge_full(frame, Room.of(tables.layout, frame), places, self.stock, report)
        judge_reach(self.cut, report)
        judge_inside(self.cut, copies, places, tables, self.stock, report)
        if board is not None:
            of_part = [
                [place for copy, place in zip(copies, places, strict=True) if copy.has(p)]
                for p in range(len(tables.parts))
            ]
            judge_zones(tables, board, self.stock, self.figures, of_part, self.asked.beside, report)
        if not tables.strange:
            self._cuts(copies, places, report)
            self._pairs(copies)
        self._parts(copies, places, report)
        for unread in self.unread:
            for why in unread.values():
                report.leave_all_open(why, (CUTS, PARTS))

    def _best(self, copies: Sequence[Copy]) -> list[Place]:
        """Where the copies lie: of the turns that are allowed, at the one that fits the job best."""
        if self.tables.each_by_itself:
            return self._best_of_each(copies)
        options: list[tuple[int, list[Place]]] = []
        turns = turns_of(self.tables.layout)
        for turn in turns:
            places = places_of(copies, self.cut, self.tables, self.parts, turn)
            trial = Report()
            if len(turns) > 1:
                self._cuts(copies, places, trial)
                self._parts(copies, places, trial)
            options.append((trial.errors, places))
        return min(options, key=lambda option: option[0])[1]

    def _best_of_each(self, copies: Sequence[Copy]) -> list[Place]:
        """The same if every copy may have a turn of its own."""
        known: dict[Any, Verdict] = {}
        found: list[Place] = []
        for copy in copies:
            assert copy.part is not None
            options: list[tuple[int, Place, Report]] = []
            for turn in turns_of_part(self.tables, copy.part):
                place = place_of(copy, self.cut, self.tables, self.parts, turn)
                cuts, shape = Report(), Report()
                self._judge(cuts, known).copy(copy, place)
                self._part(copy.part, copy, place, shape)
                errors = cuts.errors + shape.errors
                options.append((errors, place, cuts))
                if not errors:
                    break
            _, best, cuts = min(options, key=lambda option: option[0])
            found.append(best)
            self.judged.append(cuts)
        return found

    def _promised(self, p: int) -> Promised:
        """What the job file promises of a part, worked out once for all copies. Raises `CannotRead`."""
        if p not in self.promised:
            asked = [feature for work in self.cut if work.part == p for feature in features_of(work)]
            bevels = [work for work in self.cut if work.part == p and work.kind == "chamfer"]
            edge, skin = edge_of(self.tables, self.works, p), skin_of(self.works, p)
            self.promised[p] = Promised(edge, skin, asked, bevels)
        return self.promised[p]

    def _part(self, p: int, copy: Copy, place: Place, report: Report) -> None:
        made = self.parts.get(copy.called(self.tables.parts[p]["name"]))
        if made is not None:
            judge_part(made, self._promised(p), place, report)

    def _nested(self, frame: Frame, copies: Sequence[Copy], places: Sequence[Place]) -> None:
        tables, made = self.tables, self.made
        counts = [sum(copy.part == p for copy in copies) for p in range(len(tables.parts))]
        judge_title(str(made.job["name"]), tables, (len(copies), made.times, *counts), made.boards, self.report)
        judge_quantities(tables, copies, made.times, made.boards, self.report)
        there = lying(tables, self.works, self.figures, copies, places)
        judge_nested(tables, there, places, frame, self.stock, self.report)

    def _count(self, frame: Frame, board: int | None, copies: int) -> None:
        tables, made = self.tables, self.made
        here = (copies if tables.layout is not None else 1, made.times)
        most = None
        if tables.layout is not None and board is not None:
            most = most_copies(tables, frame, tables.boards[board])
        boards = [(board[0], board[1]) for board in made.boards if len(board) == 2]
        judge_count(tables, most, here, boards, self.report)

    def _judge(self, report: Report, known: dict[Any, Verdict]) -> Judge:
        tools: Mapping[str, Table] = self.made.job["tools"]
        return Judge(self.tables, self.cut, tools, self.asked.tabs, report, self.asked.machine, known)

    def _cuts(self, copies: Sequence[Copy], places: Sequence[Place], report: Report) -> None:
        for cuts in self.judged:
            report.join(cuts)
        if not self.judged:
            one = self._judge(report, {})
            for copy, place in zip(copies, places, strict=True):
                one.copy(copy, place)
        if not copies:
            report.add(CUTS, "nothing that the job file asks for is cut", ("part",))

    def _parts(self, copies: Sequence[Copy], places: Sequence[Place], report: Report) -> None:
        """Every part of every copy with its finished shapes, and no other part."""
        left = dict(self.parts)
        alike: dict[Any, bool] = {}
        for p, part in enumerate(self.tables.parts):
            try:
                promised = self._promised(p)
            except CannotRead as reason:
                report.leave_open(PARTS, str(reason))
                left = {name: made for name, made in left.items() if not name.startswith(part["name"])}
                continue
            for copy, place in zip(copies, places, strict=True):
                if not copy.has(p):
                    continue
                made = left.pop(copy.called(part["name"]), None)
                if made is None:
                    if promised.edge is not None or promised.features or promised.chamfers:
                        what = f"{copy.called(part['name'])!r} is not among the finished parts"
                        report.add(PARTS, what, ("part", p))
                    continue
                key = (p, place.turn, _fingerprint(made, place))
                if key not in alike:
                    alike[key] = True
                    judge_part(made, promised, place, report)
                report.count(PARTS, "parts", 1)
        for name in left:
            report.add(PARTS, f"{name!r} is a finished part that the job file does not ask for", ("part",))

    def _pairs(self, copies: Sequence[Copy]) -> None:
        """The job file's own pairs (``precedence``), in every copy."""
        made = {tuple(pair) for pair in self.made.job.get("precedence", ())}
        checked = self._wide_first(copies, made)
        for p, part in enumerate(self.tables.parts):
            mine = {work.title: work for work in self.works if work.part == p}
            for k, (first, second) in enumerate(part["precedence"]):
                for copy in (copy for copy in copies if copy.has(p)):
                    pairs = [(a["name"], b["name"]) for a in copy.of(mine[first]) for b in copy.of(mine[second])]
                    checked += len(pairs)
                    for pair in pairs:
                        if pair not in made:
                            what = f"{pair[0]!r} before {pair[1]!r} is asked for, and the job does not say so"
                            self.report.add("order as asked", what, ("part", p, "precedence", k))
        self.report.count("order as asked", "pairs", checked)

    def _wide_first(self, copies: Sequence[Copy], made: set[tuple[str, ...]]) -> int:
        """Of two bits in one pocket, all cuts of the first come before all of the second. Returns how many pairs were
        checked."""
        pairs = [
            (work, wide["name"], narrow["name"])
            for copy in copies
            for work in self.works
            if work.rest is not None
            for narrow in copy.of(work)
            if work.is_rest(narrow)
            for wide in copy.of(work)
            if not work.is_rest(wide) and together(wide["name"], narrow["name"])
        ]
        for work, wide, narrow in pairs:
            if (wide, narrow) not in made:
                what = f"{wide!r} with the first bit before {narrow!r} is asked for, and the job does not say so"
                self.report.add("order as asked", what, (*work.key, "tool"))
        return len(pairs)


def _fingerprint(part: Table, place: Place) -> Any:
    """A key that is equal for finished parts that are alike to a millionth of a millimetre."""
    curves: list[tuple[Any, ...]] = []
    edge = [{"curve": part["outline"]}] if part.get("outline") is not None else []
    for feature in (*edge, *part.get("recesses", ()), *part.get("holes", ())):
        for curve in (feature["curve"], *feature.get("islands", ())):
            home = (place.back(curve["points"]).round(6) + 0.0).tobytes()
            curves.append((home, tuple(curve.get("sweeps", ())), feature.get("bottom"), feature.get("core")))
    for chamfer in part.get("chamfers", ()):
        home = (place.back(chamfer["curve"]["points"]).round(6) + 0.0).tobytes()
        curves.append((home, tuple(chamfer["curve"].get("sweeps", ())), *print_of(chamfer)))
    return (part.get("skin"), *curves)
