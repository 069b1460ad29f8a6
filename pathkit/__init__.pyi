# The one list of public names: type checkers read it, and so does __init__.py when the package is imported.
from .errors import (
    CapabilityError as CapabilityError,
    InputError as InputError,
    ModelError as ModelError,
    OutputError as OutputError,
    PassRefused as PassRefused,
    PathkitError as PathkitError,
    PluginError as PluginError,
    ProfileError as ProfileError,
    Refused as Refused,
    UnknownName as UnknownName,
)
from .findings import Check as Check, Finding as Finding, Severity as Severity
from .model.curve import Curve as Curve
from .model.job import Chamfer as Chamfer, Feature as Feature, Job as Job, Part as Part, Setup as Setup
from .model.stock import Stock as Stock, Zone as Zone
from .model.tool import Cutting as Cutting, Tool as Tool
from .model.toolpath import (
    Descend as Descend,
    Entry as Entry,
    Helix as Helix,
    Peck as Peck,
    Plunge as Plunge,
    Ramp as Ramp,
    Role as Role,
    Spiral as Spiral,
    Tab as Tab,
    Toolpath as Toolpath,
)
from .motion.program import (
    ARC as ARC,
    LINE as LINE,
    RAPID as RAPID,
    Beam as Beam,
    Coolant as Coolant,
    Cycle as Cycle,
    Dwell as Dwell,
    Event as Event,
    Lift as Lift,
    Note as Note,
    Offset as Offset,
    Pause as Pause,
    Program as Program,
    Spindle as Spindle,
    Stop as Stop,
    ToolChange as ToolChange,
)
from .machine.capabilities import Capabilities as Capabilities
from .machine.grammar import ArcRule as ArcRule, Checksum as Checksum, Grammar as Grammar
from .machine.kinematics import RunTime as RunTime, run_time as run_time
from .machine.profile import (
    Axes as Axes,
    Heights as Heights,
    Machine as Machine,
    Motion as Motion,
    SpindleControl as SpindleControl,
    Travel as Travel,
)
from .tuning import Tuned as Tuned, tune as tune
from .lifting import Lifted as Lifted, lift as lift
from .lowering.lower import lower as lower
from .passes.base import Pass as Pass, Passed as Passed, Progress as Progress, Promise as Promise
from .passes.fit_arcs import FitArcs as FitArcs
from .passes.hold_tabs import HoldTabs as HoldTabs
from .passes.merge_stepdowns import MergeStepdowns as MergeStepdowns
from .passes.order_travel import OrderTravel as OrderTravel
from .passes.pipeline import Outcome as Outcome, Pipeline as Pipeline
from .passes.promises import (
    levels_within_stepdown as levels_within_stepdown,
    no_blunt_plunge as no_blunt_plunge,
    only_changes as only_changes,
    order_keeps_precedence as order_keeps_precedence,
    precedence_kept as precedence_kept,
    promise as promise,
    same_board as same_board,
    same_contours as same_contours,
    same_depths as same_depths,
    tabs_keep_place as tabs_keep_place,
)
from .passes.ramp_entries import RampEntries as RampEntries
from .passes.spare_top_edge import SpareTopEdge as SpareTopEdge
from .passes.steady_load import SteadyLoad as SteadyLoad
from .dialect.base import Dialect as Dialect
from .dialect.words import Context as Context, Words as Words
from .posting import File as File, Posted as Posted
from .proof.evidence import Evidence as Evidence
from .proof.result import CheckResult as CheckResult, Proof as Proof, Verdict as Verdict
from .readback.interpret import Reading as Reading
from .registry import Registry as Registry, installed as installed, load_machine as load_machine, using as using
from .handover.many import Variant as Variant, build_many as build_many
from .api import (
    air_cut as air_cut,
    interpret as interpret,
    post as post,
    read as read,
    read_any as read_any,
    verify as verify,
    verify_twin as verify_twin,
)

from .hookspecs import hookimpl as hookimpl

__version__: str
