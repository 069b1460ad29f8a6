"""Faults to seed into modules of the library: some are written by hand, the others drawn from a module's syntax tree.

A fault is put in while its module is being loaded: no file is changed.
"""

from __future__ import annotations

import ast
import importlib.abc
import importlib.machinery
import importlib.util
import pkgutil
import random
import sys
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from types import ModuleType

PACKAGES = ("pathkit.operations", "pathkit.passes", "pathkit.lowering", "pathkit.dialect")
_OF_JOBS = ("bits", "boards", "cut", "depths", "edges", "holes", "nested", "planning", "rest", "shapes", "toolpaths")
MODULES = ("pathkit.machine.orientation", *(f"pathkit.jobs.{name}" for name in _OF_JOBS))
LEFT_OUT = ("_kernel", ".base", ".measuring", ".promises", ".feeds", ".webs")
"""Modules whose names end so get no faults: compiled loops (a minute to compile) and what only measures or warns."""

NAMED: tuple[tuple[str, str, str], ...] = (
    ("pathkit.jobs.depths", "return stock.top - depth.from_top", "return stock.bed + depth.from_top"),
    ("pathkit.jobs.toolpaths", "stepover=stepover, islands", "stepover=0.9, islands"),
    ("pathkit.jobs.toolpaths", "peck=form.peck", "peck=None"),
    ("pathkit.jobs.toolpaths", "wall_allowance=form.wall_allowance", "wall_allowance=0.0"),
    ("pathkit.jobs.toolpaths", "direction=form.direction, bottom", 'direction="conventional", bottom'),
    ("pathkit.jobs.cut", "self.stepdown = bits.stepdown(use.stepdown, use.tool, deep)", "self.stepdown = None"),
    ("pathkit.jobs.boards", "width=size.width", "width=size.width / 2.0"),
    ("pathkit.operations.contour", "side=side", 'side="on"'),
    ("pathkit.operations.copies", "placed(each.curve, place)", "each.curve"),
    ("pathkit.operations.offset", "quad_segs=quarter", "quad_segs=2"),
    ("pathkit.operations.engrave", "bottom=bottom", "bottom=bottom - 0.2"),
    ("pathkit.lowering.entries", "math.tan(math.radians(", "math.tan(2.0 * math.radians("),
    ("pathkit.lowering.cut", "stock.highest_underside + tab.height", "stock.highest_underside + tab.height / 2.0"),
    ("pathkit.lowering.levels", "rows.sink(top, cutting.feed)", "rows.sink(top - 1.0, cutting.feed)"),
    ("pathkit.lowering.holes", "math.ceil(depth / peck - QUOTIENT_ROUNDING)", "1"),
    ("pathkit.lowering.air", "machine.heights.travel", "2.0"),
    ("pathkit.lowering.air", "apart < radius + BESIDE", "apart < -1.0"),
    ("pathkit.passes.ramp_entries", "self.angle", "3.0 * self.angle"),
    ("pathkit.passes.hold_tabs", "self.count", "1"),
    ("pathkit.passes.hold_tabs", "self.width", "1.0"),
    ("pathkit.dialect.script", "spin_up", "0.0 * spin_up"),
)


@dataclass(frozen=True)
class Fault:
    """``what`` is done to ``module`` (its import name) at ``line``; ``site`` is the place's number in the module."""

    module: str
    line: int
    what: str
    site: int
    text: tuple[str, str] | None = None

    def __str__(self) -> str:
        return f"{self.module}:{self.line} {self.what}"


def faults(count: int, seed: int) -> list[Fault]:
    """The named faults, and enough drawn ones to make ``count``. Raises `ValueError` for one whose text is gone."""
    found: list[Fault] = []
    for module, old, new in NAMED:
        source = _source(module)
        line = source[: source.index(old)].count("\n") + 1
        found.append(Fault(module, line, f"{old!r} -> {new!r}", -1, (old, new)))
    drawn = [fault for module in modules() for fault in _sites(module)]
    random.Random(seed).shuffle(drawn)
    return [*found, *drawn[: max(0, count - len(found))]]


def modules() -> Iterator[str]:
    """Import names of the modules that faults are drawn from."""
    for package in PACKAGES:
        names = [name for _, name, _ in pkgutil.walk_packages(importlib.import_module(package).__path__, f"{package}.")]
        yield from (name for name in sorted(names) if not any(part in name for part in LEFT_OUT))
    yield from MODULES


def _source(module: str) -> str:
    spec = importlib.util.find_spec(module)
    assert spec is not None
    assert isinstance(spec.loader, importlib.abc.InspectLoader)
    return spec.loader.get_source(module) or ""


def _sites(module: str) -> list[Fault]:
    mutator = _Mutator(-1)
    mutator.visit(ast.parse(_source(module)))
    return [Fault(module, line, what, site) for site, (line, what) in enumerate(mutator.seen)]


_COMPARED = {ast.Lt: ast.GtE, ast.LtE: ast.Gt, ast.Gt: ast.LtE, ast.GtE: ast.Lt, ast.Eq: ast.NotEq, ast.NotEq: ast.Eq}
_COUNTED = {ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult}
_CALLED = {"min": "max", "max": "min", "ceil": "floor", "floor": "ceil", "sin": "cos", "cos": "sin"}


class _Mutator(ast.NodeTransformer):
    """Counts the places where a fault is possible, and puts one in at the place numbered ``site``."""

    def __init__(self, site: int) -> None:
        self.site = site
        self.seen: list[tuple[int, str]] = []
        self.inside = 0

    def _here(self, node: ast.AST, what: str) -> bool:
        self.seen.append((getattr(node, "lineno", 0), what))
        return len(self.seen) - 1 == self.site

    def visit_FunctionDef(self, node: ast.FunctionDef) -> ast.AST:
        self.inside += 1
        self.generic_visit(node)
        self.inside -= 1
        return node

    def visit_Assert(self, node: ast.Assert) -> ast.AST:
        return node

    def visit_Raise(self, node: ast.Raise) -> ast.AST:
        return node

    def visit_JoinedStr(self, node: ast.JoinedStr) -> ast.AST:
        return node

    def visit_AnnAssign(self, node: ast.AnnAssign) -> ast.AST:
        if node.value is not None and self.inside:
            node.value = self.visit(node.value)
        return node

    def visit_Compare(self, node: ast.Compare) -> ast.AST:
        self.generic_visit(node)
        kind = type(node.ops[0])
        if self.inside and kind in _COMPARED and self._here(node, f"comparison {kind.__name__} turned round"):
            node.ops[0] = _COMPARED[kind]()
        return node

    def visit_BinOp(self, node: ast.BinOp) -> ast.AST:
        self.generic_visit(node)
        kind = type(node.op)
        if self.inside and kind in _COUNTED and self._here(node, f"{kind.__name__} turned round"):
            node.op = _COUNTED[kind]()
        return node

    def visit_UnaryOp(self, node: ast.UnaryOp) -> ast.AST:
        self.generic_visit(node)
        if self.inside and isinstance(node.op, ast.USub | ast.Not) and self._here(node, "sign or not dropped"):
            return node.operand
        return node

    def visit_Constant(self, node: ast.Constant) -> ast.AST:
        if isinstance(node.value, float) and node.value > 1e-3 and self._here(node, f"{node.value} half as much again"):
            return ast.copy_location(ast.Constant(node.value * 1.5), node)
        return node

    def visit_Call(self, node: ast.Call) -> ast.AST:
        self.generic_visit(node)
        name = node.func.id if isinstance(node.func, ast.Name) else getattr(node.func, "attr", "")
        if self.inside and name in _CALLED and self._here(node, f"{name} for {_CALLED[name]}"):
            if isinstance(node.func, ast.Name):
                node.func.id = _CALLED[name]
            elif isinstance(node.func, ast.Attribute):
                node.func.attr = _CALLED[name]
        if self.inside and len(node.args) == 2 and self._here(node, f"arguments of {name or 'a call'} exchanged"):
            node.args.reverse()
        return node

    def visit_keyword(self, node: ast.keyword) -> ast.AST:
        self.generic_visit(node)
        if (
            self.inside
            and node.arg is not None
            and isinstance(node.value, ast.Attribute)
            and self._here(node, f"{node.arg} given as None")
        ):
            node.value = ast.copy_location(ast.Constant(None), node.value)
        return node

    def visit_Expr(self, node: ast.Expr) -> ast.AST:
        self.generic_visit(node)
        if self.inside and isinstance(node.value, ast.Call) and self._here(node, "statement dropped"):
            return ast.copy_location(ast.Pass(), node)
        return node


class _Spoiling(importlib.abc.MetaPathFinder, importlib.abc.Loader):
    def __init__(self, fault: Fault) -> None:
        self.fault = fault
        self.origin: str | None = None

    def find_spec(
        self, name: str, path: Sequence[str] | None, target: ModuleType | None = None
    ) -> importlib.machinery.ModuleSpec | None:
        del target
        if name != self.fault.module:
            return None
        spec = importlib.machinery.PathFinder.find_spec(name, path)
        assert spec is not None
        self.origin = spec.origin
        return importlib.util.spec_from_file_location(name, spec.origin, loader=self)

    def exec_module(self, module: ModuleType) -> None:
        assert self.origin is not None
        with open(self.origin, encoding="utf-8") as file:
            source = file.read()
        if self.fault.text is not None:
            source = source.replace(*self.fault.text)
        tree = _Mutator(self.fault.site).visit(ast.parse(source))
        exec(compile(ast.fix_missing_locations(tree), self.origin, "exec"), module.__dict__)


def spoil(fault: Fault) -> None:
    """From now on this process loads the fault's module with the fault in it."""
    if fault.module in sys.modules:
        raise ImportError(f"{fault.module} is loaded already")
    sys.meta_path.insert(0, _Spoiling(fault))
