"""Where in the job file a finding belongs that speaks of a toolpath, or of a finished part, of the job made from it."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Final

from pathkit.findings import Finding

_OF_PART: Final = re.compile(r"\$\.parts\[(\d+)\](?:\.(recesses|holes)\[(\d+)\])?")
_OF_TOOLPATH: Final = re.compile(r"\$\.toolpaths\[(\d+)\]")
_FEATURE: Final = re.compile(r"\b(?:recess|hole)(?:s|es)? \d+ of(?= the part )")
_BORED: Final = re.compile(r" entry( \d+)?$")

KEYS: Final[Mapping[str, str]] = {
    "hold_tabs": "[passes] hold_tabs: width, count, height; or false",
    "ramp_entries": "[passes] ramp_entries: angle, helix_diameter",
    "asked tabs": "[passes] hold_tabs: width, count",
    "webs": "[layout] web or spacing",
    "spare_top_edge": "[passes] spare_top_edge: strict; or false",
}
"""The keys of a job file that passes go by, and what looks at tabs and webs."""


@dataclass(frozen=True)
class Origin:
    """A place in the job file, the operation that stands there by its ``title``, and the shape (``told``) where it has
    several."""

    line: int | None
    path: str
    title: str = ""
    told: str = ""


@dataclass
class Origins:
    """The places of one job file, ``file``, gathered as its toolpaths are made.

    Toolpaths go by their names before copies are numbered, finished shapes by (part, "recesses" or "holes", number),
    parts by their names.
    """

    file: str = ""
    toolpaths: dict[str, Origin] = field(default_factory=dict)
    features: dict[tuple[str, str, int], Origin] = field(default_factory=dict)
    parts: dict[str, Origin] = field(default_factory=dict)

    def join(self, other: Origins) -> None:
        """Take down all that ``other`` has."""
        self.toolpaths |= other.toolpaths
        self.features |= other.features
        self.parts |= other.parts

    def add(
        self, origin: Origin, part: str, toolpaths: Iterable[str], features: Mapping[str, Iterable[int]],
        told: Mapping[str, str],
    ) -> None:  # fmt: skip
        """Take down what an operation made; ``told`` says by the beginning of a toolpath's name which shape it cuts."""
        for name in toolpaths:
            known = max((head for head in told if name == head or name.startswith(f"{head} ")), key=len, default="")
            self.toolpaths[name] = replace(origin, told=told.get(known, ""))
        for group, numbers in features.items():
            for number in numbers:
                self.features[part, group, number] = origin

    def placed(
        self, findings: Iterable[Finding], parts: Sequence[str] = (), toolpaths: Sequence[str] = ()
    ) -> tuple[Finding, ...]:  # fmt: skip
        """The findings with their place in the job file, where there is one. ``parts`` and ``toolpaths`` are the names
        in the job that the findings speak of: paths into it are of no use to whoever wrote the job file."""
        return tuple(self._placed(each, parts, toolpaths) for each in findings)

    def _placed(self, finding: Finding, parts: Sequence[str], toolpaths: Sequence[str]) -> Finding:
        origin = self._origin(finding, parts, toolpaths)
        if origin is None:
            return finding
        what = _FEATURE.sub(lambda _: f"{origin.title!r} of", finding.what) if origin.title else finding.what
        what = f"{what}; it is {origin.told}" if origin.told else what
        fix = f"{finding.fix}; {KEYS[finding.check]}" if finding.fix and finding.check in KEYS else finding.fix
        asked = f"{self.file}:{origin.line}" if origin.line is not None else self.file
        if finding.line is not None:
            # It points into a cut file, and there it stays.
            return replace(finding, what=f"{what}; {asked} asks for it", fix=fix, path=origin.path)
        where = f"{finding.file}: " if finding.file else ""
        return replace(finding, what=f"{where}{what}", fix=fix, file=self.file, line=origin.line, path=origin.path)

    def _origin(self, finding: Finding, parts: Sequence[str], toolpaths: Sequence[str]) -> Origin | None:
        name = finding.toolpath
        if name is None and (found := _OF_TOOLPATH.match(finding.path or "")) and int(found[1]) < len(toolpaths):
            name = toolpaths[int(found[1])]
        if name is not None:
            return self._of_toolpath(_BORED.sub("", name))
        found = _OF_PART.match(finding.path or "")
        if found is None or int(found[1]) >= len(parts):
            return None
        part = self._part(parts[int(found[1])])
        if part is None:
            return None
        feature = self.features.get((part, found[2], int(found[3]))) if found[2] else None
        return feature or self.parts[part]

    def _of_toolpath(self, name: str) -> Origin | None:
        if name in self.toolpaths:
            return self.toolpaths[name]
        for part in self.parts:
            # In a layout the number of the copy stands after the part's name.
            copy = re.match(rf"{re.escape(part)} \d+(?= )", name)
            if copy is not None and (origin := self.toolpaths.get(part + name[copy.end() :])) is not None:
                return origin
        return None

    def _part(self, name: str) -> str | None:
        return name if name in self.parts else next(
            (part for part in self.parts if re.fullmatch(rf"{re.escape(part)} \d+", name)), None
        )  # fmt: skip
