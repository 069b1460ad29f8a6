"""Plugins: found by entry point, named when broken, refused when two claim the same name."""

from __future__ import annotations

import importlib.metadata
import types
from collections.abc import Callable
from pathlib import Path

import pytest

import pathkit as pk
from pathkit.registry import Registry, capabilities_of, find_dialect, find_pass, installed


class Shout:
    name = "shout"


def plugin(**hooks: Callable[..., object]) -> types.SimpleNamespace:
    return types.SimpleNamespace(**{name: pk.hookimpl(function) for name, function in hooks.items()})


def test_the_built_in_dialects_come_through_the_entry_point() -> None:
    provided = installed().provided("dialect")
    assert {p.name for p in provided} >= {"grbl", "rs274ngc"}
    assert all("pathkit_posts" in p.package for p in provided if p.name in ("grbl", "rs274ngc"))


def test_the_built_in_passes_and_machines_are_found_by_name() -> None:
    for name in ("MergeStepdowns", "RampEntries", "HoldTabs", "OrderTravel"):
        cls = getattr(pk, name)
        assert find_pass(cls.name) is cls
    for found in installed().provided("machine"):
        assert pk.load_machine(found.name) == found.value
        assert capabilities_of(found.value).units in ("mm", "inch")


def test_an_unknown_name_says_what_there_is() -> None:
    with pytest.raises(pk.UnknownName, match="did you mean 'grbl'"):
        find_dialect("grlb")
    with pytest.raises(pk.UnknownName, match="no machine is called 'nowhere'"):
        pk.load_machine("nowhere")


def test_two_packages_of_one_name_are_refused_and_both_named() -> None:
    registry = Registry()
    registry.add(plugin(pathkit_dialects=lambda: [Shout()]), "package-a")
    registry.add(plugin(pathkit_dialects=lambda: [Shout()]), "package-b")
    with pytest.raises(pk.PluginError, match="package-a and package-b"):
        registry.find("dialect", "shout")


def test_a_plugin_that_raises_is_named_and_the_others_stay() -> None:
    registry = Registry()
    registry.add(plugin(pathkit_dialects=lambda: 1 / 0), "broken")
    registry.add(plugin(pathkit_dialects=lambda: [Shout()]), "sound")
    assert registry.find("dialect", "shout").name == "shout"
    assert [f.what for f in registry.broken] == ["broken: pathkit_dialects failed: ZeroDivisionError: division by zero"]
    with pytest.raises(pk.UnknownName, match="broken: pathkit_dialects failed"):
        registry.find("dialect", "other")


def test_a_module_that_does_not_import_is_a_finding() -> None:
    registry = Registry()
    entry = importlib.metadata.EntryPoint("gone", "pathkit_no_such_module", "pathkit")
    registry.load([(entry, "some-package")])
    assert "'gone' of some-package was left out" in registry.broken[0].what
    assert registry.provided("dialect") == ()


def test_a_hook_that_does_not_exist_is_refused() -> None:
    with pytest.raises(pk.PluginError, match="pathkit_dialekts"):
        Registry().add(plugin(pathkit_dialekts=lambda: [Shout()]), "typo")


def test_same_entry_point_name_from_two_packages_is_loaded_twice() -> None:
    # pluggy alone would silently skip the second.
    registry = Registry()
    entry = importlib.metadata.EntryPoint("twin", "tests_plugin_gone", "pathkit")
    registry.load([(entry, "first"), (entry, "second")])
    assert len(registry.broken) == 2


@pytest.mark.parametrize("content", [None, b"\xff\xfe", b"name ="])
def test_an_unreadable_profile_is_named(tmp_path: Path, content: bytes | None) -> None:
    path = tmp_path / "machine.toml"
    if content is not None:
        path.write_bytes(content)
    with pytest.raises(pk.InputError, match=r"machine\.toml"):
        pk.load_machine(path)


def test_the_checks_of_the_house_are_found_like_any_other() -> None:
    provided = installed().provided("check")
    assert {p.name for p in provided} >= {"same path", "gouges", "holding", "room"}
    for found in provided:
        assert isinstance(found.value, pk.Check)
        assert found.value.limits
        assert installed().find("check", found.name) is found.value
