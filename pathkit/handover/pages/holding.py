"""What the tabs and the tape of a board hold by estimate, in words: with every figure, and never as proved."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

from pathkit.findings import Finding
from pathkit.handover.pages.names import area_name, force_name, pressure_name
from pathkit.machine.profile import Machine
from pathkit.model.job import Job
from pathkit.model.toolpath import Toolpath
from pathkit.passes.hold_tabs import leaves_a_core
from pathkit.passes.tab_strength import PRACTICE, SAFETY, TAPE, WOOD, Load, load_of, taped, used
from pathkit.texts.findings import in_words
from pathkit.texts.language import ENGLISH, Language
from pathkit.units import shown


@dataclass(frozen=True)
class Held:
    """Parts that are held alike: ``count`` of them, one by ``name``, with the cut that frees them and its load.

    ``share`` of what their tabs may be asked is taken (None without tabs); ``tape`` mm² lie under each.
    """

    name: str
    count: int
    path: Toolpath
    load: Load
    share: float | None
    tape: float

    @property
    def breaks(self) -> bool:
        """Whether a dull bit is stronger, by the estimate, than tabs without any safety, and than the tape."""
        by_tabs = self.share is not None and self.share <= SAFETY
        return not by_tabs and taped(self.tape) * SAFETY < max(self.load.push, self.load.lift)


def held_parts(job: Job, material: str | None, machine: Machine) -> tuple[Held, ...]:
    """Every kind of part that is cut free; nothing where the material's strength is not known."""
    wood = WOOD.get(material or "")
    if wood is None:
        return ()
    found: dict[object, Held] = {}
    areas = _taped_areas(job)
    for path in job.toolpaths:
        # A lap that takes off an allowance leaves the tabs of the cut before it, which takes more wood. A core that is
        # to be dropped is not held at all, and where the bit takes all the wood there is nothing to hold.
        frees = bool(path.tabs) or (path.role == "outline" and path.hold and leaves_a_core(path))
        if (
            not frees
            or path.finishes is not None
            or path.curve.is_trace
            or not path.goes_through(job.stock)
            or path.cutting.spindle <= 0.0
        ):
            continue
        load = load_of(path, job.stock, wood, machine)
        share = used(path, path.tabs, job.stock, wood, load) if path.tabs else None
        tape = areas.get(path.part or "", 0.0)
        about = tuple(round(value, 2) for value in (load.push, load.lift, -1.0 if share is None else share, tape))
        key = (about, len(path.tabs), path.tabs[0].width if path.tabs else 0.0)
        same = found.get(key)
        first = Held(path.part or path.name, 1, path, load, share, tape)
        found[key] = first if same is None else replace(same, count=same.count + 1)
    return tuple(found.values())


def _taped_areas(job: Job) -> dict[str, float]:
    """mm² of each part that lie over tape."""
    import shapely

    zones = [zone.shape for zone in job.stock.zones if zone.kind == "tape"]
    if not zones:
        return {}
    tape = shapely.union_all(zones)
    return {
        part.name: float(shapely.Polygon(part.outline.flattened(0.1)).intersection(tape).area)
        for part in job.parts
        if part.outline is not None
    }


def holding_lines(job: Job, material: str | None, machine: Machine, say: Language = ENGLISH) -> list[str]:
    """What is shown of the estimate: the load, what tabs and tape may be asked, and where each figure is from."""
    lines = []
    for held in held_parts(job, material, machine):
        assert material is not None
        wood, load = WOOD[material], held.load
        practice, safety = in_words(PRACTICE, say), say.number(f"{SAFETY:g}")
        said = [
            say(
                "sheet-estimate", count=held.count, name=f"{held.name!r}", weight=force_name(load.weight, machine, say),
                push=force_name(load.push, machine, say), lift=force_name(load.lift, machine, say),
            )
        ]  # fmt: skip
        if held.share is not None:
            tab = held.path.tabs[0]
            said.append(
                say(
                    "sheet-estimate-tabs", percent=f"{100.0 * held.share:.0f}", count=len(held.path.tabs),
                    width=say.number(shown(tab.width, machine.units)),
                    height=say.number(shown(tab.height, machine.units)), safety=safety,
                    material=say("sheet-material", material=material), strength=in_words(wood.source, say),
                    force=practice, alike="yes" if wood.source == PRACTICE else "no",
                )
            )  # fmt: skip
        if held.tape:
            said.append(
                say(
                    "sheet-estimate-tape", area=area_name(held.tape, machine, say),
                    newton=force_name(taped(held.tape), machine, say),
                    strength=pressure_name(TAPE, machine, say), safety=safety, source=practice,
                )
            )  # fmt: skip
        lines.append(" ".join(said))
    return lines


_TOO_WEAK: Final = "by estimate a dull bit pushes {!r} with {:.0f} N and lifts it with {:.0f} N, more than {} can hold"


def holding_findings(job: Job, material: str | None, machine: Machine) -> tuple[Finding, ...]:
    """Warnings where a dull bit is stronger, by the estimate, than what holds a part."""
    found = []
    for held in held_parts(job, material, machine):
        if not held.breaks:
            continue
        by = "nothing but the board around it" if held.share is None else f"{len(held.path.tabs)} tabs"
        what = _TOO_WEAK.format(held.name, held.load.push, held.load.lift, f"{by} and the tape" if held.tape else by)
        fix = 'hold_tabs = { count = "auto" } takes as many tabs as the estimate asks; or put tape under it'
        found.append(Finding(check="tab estimate", what=what, fix=fix, severity="warning", toolpath=held.path.name))
    return tuple(found)
