"""The place in the job file for findings about a toolpath or a finished part of the job that was made from it."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Final

from pathkit.findings import Finding
from pathkit.jobs.naming import with_shape

_OF_PART: Final = re.compile(r"\$\.parts\[(\d+)\](?:\.(recesses|holes|chamfers)\[(\d+)\])?")
_OF_TOOLPATH: Final = re.compile(r"\$\.toolpaths\[(\d+)\]")
_FEATURE: Final = re.compile(r"\b(?:recess|hole|chamfer)(?:s|es)? \d+ of(?= the part )")
_BORED: Final = re.compile(r" entry( \d+)?$")

KEYS: Final[Mapping[str, str]] = {
    "hold_tabs": "[passes] hold_tabs: width, count, height; or false",
    "ramp_entries": "[passes] ramp_entries: angle, helix_diameter",
    "asked tabs": "[passes] hold_tabs: width, count",
    "webs": "[layout] web or spacing",
    "spare_top_edge": "[passes] spare_top_edge: strict; or false",
}
"""By pass or check: the keys of a job file that change its outcome."""


@dataclass(frozen=True)
class Origin:
    """A place in the job file, the ``title`` of the operation there, and in words which ``shape`` of several it is."""

    line: int | None
    path: str
    title: str = ""
    shape: str = ""


@dataclass
class Origins:
    """The places in the job file ``file``, collected while its toolpaths are made.

    The keys are: for toolpaths their names before copies are numbered, for finished shapes (part, "recesses", "holes"
    or "chamfers", index), for parts their names.
    """

    file: str = ""
    toolpaths: dict[str, Origin] = field(default_factory=dict)
    features: dict[tuple[str, str, int], Origin] = field(default_factory=dict)
    parts: dict[str, Origin] = field(default_factory=dict)

    def join(self, other: Origins) -> None:
        """Add everything in ``other``."""
        self.toolpaths |= other.toolpaths
        self.features |= other.features
        self.parts |= other.parts

    def add(
        self, origin: Origin, part: str, toolpaths: Iterable[str], features: Mapping[str, Iterable[int]],
        shapes: Mapping[str, str],
    ) -> None:  # fmt: skip
        """Add what an operation made. ``shapes`` describes the shape that a toolpath cuts, by the start of its name."""
        for name in toolpaths:
            known = name
            while known not in shapes and " " in known:
                known = known.rpartition(" ")[0]
            self.toolpaths[name] = replace(origin, shape=shapes.get(known, ""))
        for group, numbers in features.items():
            for number in numbers:
                self.features[part, group, number] = origin

    def placed(
        self, findings: Iterable[Finding], parts: Sequence[str] = (), toolpaths: Sequence[str] = ()
    ) -> tuple[Finding, ...]:  # fmt: skip
        """The findings, each with its place in the job file if there is one.

        ``parts`` and ``toolpaths`` are the names in the job that the findings are about, in order: key paths into that
        job are of no use to the author of the job file.
        """
        return tuple(self._placed(each, parts, toolpaths) for each in findings)

    def _placed(self, finding: Finding, parts: Sequence[str], toolpaths: Sequence[str]) -> Finding:
        origin = self._origin(finding, parts, toolpaths)
        if origin is None:
            return finding
        what = _FEATURE.sub(lambda _: f"{origin.title!r} of", finding.what) if origin.title else finding.what
        what = with_shape(what, origin.shape)
        fix = f"{finding.fix}; {KEYS[finding.check]}" if finding.fix and finding.check in KEYS else finding.fix
        asked = f"{self.file}:{origin.line}" if origin.line is not None else self.file
        if finding.line is not None:
            # The finding points into a cut file, and keeps that place.
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
            # In a layout, the number of the copy follows the part's name.
            copy = re.match(rf"{re.escape(part)} \d+(?= )", name)
            if copy is not None and (origin := self.toolpaths.get(part + name[copy.end() :])) is not None:
                return origin
        return None

    def _part(self, name: str) -> str | None:
        return name if name in self.parts else next(
            (part for part in self.parts if re.fullmatch(rf"{re.escape(part)} \d+", name)), None
        )  # fmt: skip
