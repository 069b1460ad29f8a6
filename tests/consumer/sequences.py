"""What others write against the face, with lists where pathkit keeps tuples: both type checkers read it."""

from __future__ import annotations

import pathkit as pk
from pathkit.tour import Item, Problem, Tour, solve

bit = pk.Tool("6 mm", 6.0, centre_cutting=True)
feeds = pk.Cutting(feed=2400, plunge=600, spindle=16000)
line = pk.Toolpath("a", pk.Curve.polyline([[10, 10], [50, 10]]), bit, feeds, levels=[-1.0, -2.0], tabs=[])
other = pk.Toolpath("b", pk.Curve.polyline([(10, 10), (50, 10)]), bit, feeds, bottom=-2)
ring = pk.Curve.circle((60, 60), 20)
part = pk.Part("plate", ring, recesses=[pk.Feature(ring, -3.0, islands=[])], holes=[])
job = pk.Job("plate", pk.Stock(300, 200, 12, zones=[]), [line, other], precedence=[("a", "b")], parts=[part])
names: tuple[str, ...] = tuple(path.name for path in job.toolpaths)

machine = pk.load_machine("grbl-front-left")
outcome = pk.Pipeline([pk.HoldTabs(count=2), pk.OrderTravel()]).run(job, machine, setup=pk.Setup(turn=1))
program: pk.Program = pk.lower(outcome.job, machine)
posted: pk.Posted = pk.post(program, machine, about=["the makerspace"])
text: str = posted.text
twin = pk.air_cut(posted, machine)
proof: pk.Proof = pk.verify(posted, program, machine, job=outcome.job)
trusted: bool = proof.ok and pk.verify_twin(twin, posted, machine).ok
said: list[tuple[str, str]] = [(finding.what, finding.severity) for finding in proof.findings]
lowest = float(program.end[:, 2].min())
seconds: float = pk.run_time(program, machine).total
reading: pk.Reading = pk.read(text, machine)
moves: int = len(reading.program)

done = pk.Passed(job, findings=[pk.Finding(check="house", what="seen")], figures={"seen": 1})
moved = pk.Program(
    [0, 0, 5], [pk.LINE], [[10, 0, 5]], [[0, 0]], [0.0], [600.0], [-1], [0], [-1], event=[pk.Stop()], event_at=[1]
)

tour: Tour = solve(Problem.from_points([[0, 0], [1, 1]], start=(0, 0)), initial=[1, 0])
entered = solve(Problem.from_items([Item([((0, 0), (5, 0))], reversible=True), Item.at(3, 3)])).order
