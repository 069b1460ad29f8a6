"""The laws hold for every way to declare a controller, not only for the dialects that come with pathkit."""

from __future__ import annotations

import importlib.util
import sys
from dataclasses import replace
from pathlib import Path
from typing import Any

from pathkit_posts.grbl import GRAMMAR, Grbl
from pathkit_posts.rs274ngc import Rs274ngc

from pathkit.testing import DialectTests

PLUGIN = Path(__file__).resolve().parent.parent / "plugin" / "shopfloor_posts.py"


class ByRadius(Grbl):
    name = "by-radius"
    capabilities = replace(Grbl.capabilities, arcs="radius", full_circles=False)


class ByPlace(Grbl):
    """Centres as absolute places (G90.1), which some controllers newer than RS274/NGC version 3 take."""

    name = "by-place"
    words = replace(Grbl.words, arc_modes={"absolute": "G90.1"})
    capabilities = replace(
        Grbl.capabilities,
        arcs="absolute",
        grammar=replace(GRAMMAR, codes=GRAMMAR.codes | {"G90.1"}, power_up={**GRAMMAR.power_up}),
    )


class Cyclic(Rs274ngc):
    """Every cycle begins at its plane; lines are numbered; dwells are in thousandths of a second."""

    name = "cyclic"
    capabilities = replace(
        Rs274ngc.capabilities, cycle_returns=False, line_numbers=True, dwell_unit="ms", decimal_point=True, modal=False
    )


class Narrow(Grbl):
    name = "narrow"
    capabilities = replace(
        Grbl.capabilities,
        full_circles=False,
        helical=False,
        units="inch",
        line_numbers=True,
        coolants=frozenset(),
        spindle_senses=frozenset({1}),
    )


class NoArcs(Grbl):
    name = "no-arcs"
    capabilities = replace(Grbl.capabilities, arcs="none", comment=None, line_end="\r\n")


class TestByRadius(DialectTests):
    dialect = ByRadius()


class TestByPlace(DialectTests):
    dialect = ByPlace


class TestCyclic(DialectTests):
    dialect = Cyclic


class TestNarrow(DialectTests):
    dialect = Narrow()


class TestNoArcs(DialectTests):
    dialect = NoArcs()


def plugin() -> Any:
    """The example plugin's module, loaded from its file, so that it need not be installed."""
    spec = importlib.util.spec_from_file_location("shopfloor_posts", PLUGIN)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module
    spec.loader.exec_module(module)
    return module


class TestShopfloor(DialectTests):
    """Block numbers, comments after semicolons, hundredths."""

    dialect = plugin().Shopfloor()
