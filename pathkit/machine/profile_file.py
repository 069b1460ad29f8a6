"""The TOML edge of a machine profile: names and types checked by pydantic, every finding with its line."""

from __future__ import annotations

import dataclasses
from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from pathkit.errors import ProfileError
from pathkit.findings import Finding
from pathkit.machine import profile
from pathkit.machine.profile import Corner, Direction, Machine
from pathkit.toml_source import Path, TomlSource, parse_toml

Numbers = Annotated[list[float], Field(min_length=3, max_length=3)]


class _Table(BaseModel):
    model_config = ConfigDict(extra="forbid", strict=True, allow_inf_nan=False)


class _Axes(_Table):
    x: Direction
    y: Direction
    z: Direction = "up"


class _Travel(_Table):
    x: float
    y: float
    z: float
    low: Numbers | None = None


class _Motion(_Table):
    rapid: Numbers
    feed_limit: Numbers
    acceleration: Numbers
    junction_deviation: float = 0.01
    arc_tolerance: float = 0.002
    steps_per_mm: Numbers | None = None
    idle_delay: float = 0.025


class _Spindle(_Table):
    control: Literal["words", "manual"] = "words"
    min: float = 0.0
    max: float = 24000.0
    spin_up: float = 3.0


class _Link(_Table):
    bytes_per_second: float | None = None


class _Heights(_Table):
    travel: float = 8.0
    approach: float = 1.0


class _Park(_Table):
    x: float
    y: float


class _Change(_Table):
    x: float
    y: float
    height: float = 5.0


class _Rehearsed(_Table):
    letter_reads: bool
    rectangle_fits: bool
    profile: str


class ProfileFile(_Table):
    """The keys of a machine profile."""

    name: str
    dialect: str
    homed: bool = False
    origin: Corner
    left_handed: bool
    axes: _Axes
    travel: _Travel
    motion: _Motion
    spindle: _Spindle = _Spindle()
    link: _Link = _Link()
    heights: _Heights = _Heights()
    park: _Park | None = None
    change: _Change | None = None
    output: dict[str, Any] = Field(default_factory=dict)
    rehearsed: _Rehearsed | None = None


def machine_from_toml(text: str, source: str) -> Machine:
    """A profile from its text. Raises `ProfileError` with all that is wrong, each with its line."""
    return machine_from_document(parse_toml(text, source))


def machine_from_document(document: TomlSource) -> Machine:
    """From values with the keys of a profile, wherever they stood. Raises `ProfileError` with every finding."""
    try:
        file = ProfileFile.model_validate(document.data)
    except ValidationError as error:
        raise ProfileError(_finding_of(document, e) for e in error.errors()) from None
    found: list[Finding] = []
    section = profile.build_section
    values = {
        "axes": section(profile.Axes, file.axes.model_dump(), found),
        "travel": section(profile.Travel, file.travel.model_dump(), found),
        "motion": section(profile.Motion, file.motion.model_dump(), found),
        "spindle": section(profile.SpindleControl, file.spindle.model_dump(), found),
        "heights": section(profile.Heights, file.heights.model_dump(), found),
    }
    if file.rehearsed is not None:
        values["rehearsed"] = section(profile.Rehearsed, file.rehearsed.model_dump(), found)
    if file.change is not None:
        values["change"] = section(profile.Change, file.change.model_dump(), found)
    if not found:
        try:
            return Machine(
                name=file.name,
                dialect=file.dialect,
                origin=file.origin,
                left_handed=file.left_handed,
                homed=file.homed,
                bytes_per_second=file.link.bytes_per_second,
                park=(file.park.x, file.park.y) if file.park else None,
                output=file.output,
                **values,
            )
        except ProfileError as error:
            found += error.findings
    raise ProfileError(_placed(document, f) for f in found)


def _finding_of(document: TomlSource, error: Any) -> Finding:
    path: Path = tuple(error["loc"])
    dotted = ".".join(map(str, path))
    what, fix = f"{dotted}: {error['msg']}", ""
    if error["type"] == "extra_forbidden":
        what, fix = f"unknown key {dotted!r}", "check its spelling, or remove it"
    elif error["type"] == "missing":
        what, fix = f"{dotted} is missing", "add it"
    elif error["type"] in ("model_type", "dict_type"):
        what, fix = f"{dotted}: must be a table, not {error['input']!r}", f"write [{dotted}] and its keys below"
    elif "input" in error and not isinstance(error["input"], (dict, list)):
        what += f", not {error['input']!r}"
    line = document.line_of(path)
    return Finding(check="profile", what=what, fix=fix, file=document.source, line=line, path="$." + dotted)


def _placed(document: TomlSource, finding: Finding) -> Finding:
    keys = tuple((finding.path or "$").removeprefix("$").strip(".").split("."))
    return dataclasses.replace(finding, file=document.source, line=document.line_of(keys))
