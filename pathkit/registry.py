"""What plugins provide: dialects, passes, machines and checks, gathered and looked up by name.

pluggy loads entry points unguarded and silently skips a second one of the same name. Here each is loaded separately:
one that fails is reported and left out, and two providers of one name are refused, with both packages named.
"""

from __future__ import annotations

import importlib.metadata
import warnings
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from difflib import get_close_matches
from functools import lru_cache
from pathlib import Path
from types import SimpleNamespace
from typing import TYPE_CHECKING, Any, Literal

import pluggy

from pathkit import hookspecs
from pathkit.door import expect
from pathkit.errors import PluginError, UnknownName
from pathkit.findings import Finding

if TYPE_CHECKING:
    from pathkit.dialect.base import Dialect
    from pathkit.findings import Check
    from pathkit.machine.capabilities import Capabilities
    from pathkit.machine.profile import Machine
    from pathkit.passes.base import Pass

GROUP = "pathkit"
HERE = "this program"
"""Where a dialect comes from that no package provides."""
Kind = Literal["dialect", "pass", "machine", "check"]
_HOOKS: dict[Kind, str] = {
    "dialect": "pathkit_dialects",
    "pass": "pathkit_passes",
    "machine": "pathkit_machines",
    "check": "pathkit_checks",
}


@dataclass(frozen=True)
class Provided:
    """One named thing and the package it came from."""

    name: str
    value: Any
    package: str


@dataclass
class Registry:
    """Plugins by the hooks that they implement. `installed` gives the one for all installed packages.

    >>> registry = pk.Registry()
    >>> from pathkit_posts.grbl import Grbl
    >>> registry.add(Grbl())
    >>> registry.find("dialect", "grbl").title
    'GRBL 1.1'
    """

    manager: pluggy.PluginManager = field(default_factory=lambda: _manager())
    broken: list[Finding] = field(default_factory=list)

    def add(self, plugin: object, package: str = HERE) -> None:
        """Add a plugin module (or object); refused if it marks a hook that does not exist.

        A dialect may be added as it is, in a notebook say: it can then be found by its name, in this process only.
        Adding another one of that name replaces it, unless a package provides it. Raises `PluginError`.
        """
        from pathkit.dialect.base import Dialect

        if isinstance(plugin, Dialect) or (isinstance(plugin, type) and issubclass(plugin, Dialect)):
            plugin, package = self._made_here(plugin, package)
        try:
            self.manager.register(plugin, name=package)
            self.manager.check_pending()
        except (pluggy.PluginValidationError, ValueError) as error:
            if self.manager.has_plugin(package):
                self.manager.unregister(name=package)
            raise PluginError(f"the plugin of {package!r} cannot be used: {error}") from None

    def _made_here(self, dialect: Any, package: str) -> tuple[object, str]:
        """A plugin that provides one dialect, and the name that it goes by."""
        sound(dialect)
        name = f"{package} ({dialect.name})"
        if self.manager.has_plugin(name):
            self.manager.unregister(name=name)
        others = [p.package for p in self.provided("dialect") if p.name == dialect.name]
        if others:
            what = f"{others[0]} already provides a dialect called {dialect.name!r}"
            fix = "give yours another name, or hand it over as post(…, dialect=…)"
            raise PluginError([Finding(check="dialect", what=what, fix=fix)])
        return SimpleNamespace(pathkit_dialects=hookspecs.hookimpl(lambda: [dialect])), name

    def remove(self, dialect: Dialect, package: str = HERE) -> None:
        """Take out a dialect that was added as it is; nothing happens if it is not there."""
        if self.manager.has_plugin(name := f"{package} ({dialect.name})"):
            self.manager.unregister(name=name)

    def load(self, entries: Iterable[tuple[importlib.metadata.EntryPoint, str]]) -> None:
        """Load entry points one by one; a broken one becomes a finding and is left out."""
        for entry, package in entries:
            try:
                self.add(entry.load(), f"{package} ({entry.name})")
            # A plugin's module may raise anything while it is imported.
            except Exception as error:
                what = f"the plugin {entry.name!r} of {package} was left out: {type(error).__name__}: {error}"
                fix = "repair or remove that package"
                self.broken.append(Finding(check="plugin", what=what, fix=fix, severity="warning"))

    def provided(self, kind: Kind) -> tuple[Provided, ...]:
        """Everything of one kind, sorted by name. A provider that raises is reported and left out."""
        found: list[Provided] = []
        for plugin_name, plugin in sorted(self.manager.list_name_plugin()):
            hook = _HOOKS[kind]
            function = getattr(plugin, hook, None)
            if plugin is None or function is None or self.manager.parse_hookimpl_opts(plugin, hook) is None:
                continue
            try:
                found += [Provided(str(value.name), value, plugin_name) for value in function()]
            except Exception as error:
                what = f"{plugin_name}: {hook} failed: {type(error).__name__}: {error}"
                finding = Finding(check="plugin", what=what, fix="repair or remove that package", severity="warning")
                if finding not in self.broken:
                    self.broken.append(finding)
        return tuple(sorted(found, key=lambda p: (p.name, p.package)))

    def find(self, kind: Kind, name: str) -> Any:
        """The one of that name. `UnknownName` lists the known names; `PluginError` if two packages provide it."""
        everything = self.provided(kind)
        matches = [p for p in everything if p.name == name]
        if len(matches) > 1:
            packages = " and ".join(p.package for p in matches)
            raise PluginError(f"two packages provide a {kind} called {name!r}: {packages}; remove one of them")
        if not matches:
            names = sorted({p.name for p in everything})
            near = get_close_matches(name, names, 1)
            fix = f"did you mean {near[0]!r}?" if near else f"there are: {', '.join(names) or 'none'}"
            what = f"no {kind} is called {name!r}"
            what += "".join(f"; {f.what}" for f in self.broken)
            raise UnknownName([Finding(check=kind, what=what, fix=fix)])
        return matches[0].value


@lru_cache(maxsize=1)
def installed() -> Registry:
    """The registry of everything installed, loaded once.

    >>> [found.name for found in pk.installed().provided("machine")][0]
    'grbl-back-right'
    """
    registry = Registry()
    entries = []
    for distribution in importlib.metadata.distributions():
        package = distribution.metadata["Name"] or "?"
        entries += [(e, package) for e in distribution.entry_points if e.group == GROUP]
    registry.load(sorted(set(entries), key=lambda pair: (pair[1], pair[0].name)))
    for finding in registry.broken:
        warnings.warn(str(finding), stacklevel=2)
    return registry


@contextmanager
def using(*dialects: Dialect) -> Iterator[None]:
    r"""Dialects that can be found by their names until the block ends, in this process: for notebooks and tests.

    Raises `PluginError` for one that claims what it cannot do, or whose name is taken.

    >>> from pathkit_posts.grbl import Grbl
    >>> mine = type("Mine", (Grbl,), {"name": "mine"})()
    >>> with pk.using(mine):
    ...     print(len(pk.read("G21 G90\nG0 Z5", "mine").program))
    1
    """
    added: list[Dialect] = []
    try:
        for dialect in dialects:
            installed().add(dialect)
            added.append(dialect)
        yield
    finally:
        for dialect in added:
            installed().remove(dialect)


def sound(dialect: Dialect) -> Dialect:
    """The dialect itself. `PluginError` if it claims what it cannot do."""
    from pathkit.dialect.claims import claims

    if false := claims(dialect):
        raise PluginError(false)
    return dialect


def find_dialect(name: str | Dialect) -> Dialect:
    """The dialect of that name, or the one given. `PluginError` if it claims what it cannot do; others still work."""
    return sound(installed().find("dialect", name) if isinstance(name, str) else name)


def find_pass(name: str) -> type[Pass]:
    """The pass of that name. Raises `UnknownName`."""
    found: type[Pass] = installed().find("pass", name)
    return found


def checks() -> tuple[Check, ...]:
    """The checks that plugins add to the proof."""
    return tuple(p.value for p in installed().provided("check"))


def load_machine(path_or_name: str | Path) -> Machine:
    """A profile from a TOML file, or the one that a plugin provides under that name.

    Raises `InputError` if the file cannot be read, `ProfileError` for faults in it, `UnknownName` for a name.

    >>> pk.load_machine("grbl-front-left").name
    'grbl-front-left'
    """
    from pathkit.machine.profile import Machine

    expect("load_machine", path_or_name=(path_or_name, str, Path))
    path = Path(path_or_name)
    if isinstance(path_or_name, str) and path.suffix != ".toml" and not path.exists():
        machine: Machine = installed().find("machine", path_or_name)
        return machine
    return Machine.from_file(path)


def capabilities_of(machine: Machine, dialect: str | Dialect | None = None) -> Capabilities:
    """What this machine's controller takes: its dialect's capabilities with the profile's ``[output]`` applied."""
    capabilities: Capabilities = find_dialect(dialect or machine.dialect).capabilities.on(machine)
    return capabilities


def _manager() -> pluggy.PluginManager:
    manager = pluggy.PluginManager(GROUP)
    manager.add_hookspecs(hookspecs)
    return manager
