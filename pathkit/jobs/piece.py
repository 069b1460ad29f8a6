"""What a job file comes to before copies of it are laid out."""

from __future__ import annotations

from dataclasses import dataclass, field

from pathkit.findings import Finding
from pathkit.jobs.origins import Origins
from pathkit.model.curve import Curve
from pathkit.model.job import Part
from pathkit.model.stock import Zone
from pathkit.model.toolpath import Toolpath


@dataclass(frozen=True)
class Piece:
    """All parts of a job once, as drawn. ``zones`` are the zones of its parts, ``marked`` the engraved lines by part;
    ``origins`` says where in the job file everything comes from."""

    toolpaths: tuple[Toolpath, ...]
    parts: tuple[Part, ...]
    zones: tuple[Zone, ...]
    precedence: tuple[tuple[str, str], ...]
    notes: tuple[Finding, ...]
    marked: dict[str, tuple[Curve, ...]] = field(default_factory=dict)
    origins: Origins = field(default_factory=Origins)
