"""pathkit: post-processing and toolpath optimisation for small 3-axis CNC routers, with proof.

Everything public is a name of this module; each is imported when it is first used, so that importing the package
costs little and numba, scipy, shapely and networkx are loaded only by what needs them.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

import pluggy

__version__ = "0.1.0"

hookimpl = pluggy.HookimplMarker("pathkit")
"""Marks a plugin's functions; see `pathkit.hookspecs`."""

_HOME = {
    "pathkit.errors": (
        "CapabilityError", "InputError", "ModelError", "OutputError", "PassRefused", "PathkitError", "PluginError",
        "ProfileError", "Refused", "UnknownName",
    ),
    "pathkit.findings": ("Check", "Finding"),
    "pathkit.model.curve": ("Curve",),
    "pathkit.model.tool": ("Cutting", "Tool"),
    "pathkit.model.stock": ("Stock", "Zone"),
    "pathkit.model.toolpath": ("Helix", "Peck", "Plunge", "Ramp", "Spiral", "Tab", "Toolpath"),
    "pathkit.model.job": ("Feature", "Job", "Part", "Setup"),
    "pathkit.model.codec": ("dumps_job", "loads_job"),
    "pathkit.motion.program": (
        "ARC", "LINE", "RAPID", "Coolant", "Cycle", "Dwell", "Note", "Offset", "Pause", "Program", "Spindle", "Stop",
        "ToolChange",
    ),
    "pathkit.machine.capabilities": ("Capabilities",),
    "pathkit.machine.grammar": ("Grammar",),
    "pathkit.machine.profile": ("Axes", "Heights", "Machine", "Motion", "SpindleControl", "Travel"),
    "pathkit.machine.kinematics": ("RunTime", "run_time"),
    "pathkit.lowering.lower": ("lower",),
    "pathkit.passes.base": ("Pass", "Passed"),
    "pathkit.passes.pipeline": ("Outcome", "Pipeline"),
    "pathkit.passes.hold_tabs": ("HoldTabs",),
    "pathkit.passes.merge_stepdowns": ("MergeStepdowns",),
    "pathkit.passes.order_travel": ("OrderTravel",),
    "pathkit.passes.ramp_entries": ("RampEntries",),
    "pathkit.dialect.base": ("Dialect",),
    "pathkit.posting": ("File", "Posted"),
    "pathkit.proof.verify": ("Proof",),
    "pathkit.registry": ("load_machine",),
    "pathkit.verbs": ("air_cut", "post", "read", "verify", "verify_twin"),
}  # fmt: skip

_MODULE_OF = {name: module for module, names in _HOME.items() for name in names}

__all__ = sorted([*_MODULE_OF, "__version__", "hookimpl"])  # noqa: PLE0605


def __getattr__(name: str) -> Any:
    if name not in _MODULE_OF:
        raise AttributeError(f"module 'pathkit' has no attribute {name!r}")
    value = getattr(import_module(_MODULE_OF[name]), name)
    globals()[name] = value
    return value


def __dir__() -> list[str]:
    return __all__


if TYPE_CHECKING:
    from pathkit.errors import CapabilityError as CapabilityError
