"""Dialects and demonstration machines that come with pathkit, provided as by any other package."""

from __future__ import annotations

from functools import lru_cache
from importlib.resources import files

from pathkit import Dialect, Machine, hookimpl


@hookimpl
def pathkit_dialects() -> list[Dialect]:
    """One instance of each dialect."""
    from pathkit_posts.csv_moves import CsvMoves
    from pathkit_posts.grbl import Grbl
    from pathkit_posts.grbl_beam import GrblBeam
    from pathkit_posts.grbl_mist import GrblMist
    from pathkit_posts.iso6983 import Iso6983
    from pathkit_posts.reprap import RepRap
    from pathkit_posts.rs274ngc import Rs274ngc

    return [CsvMoves(), Grbl(), GrblBeam(), GrblMist(), Iso6983(), RepRap(), Rs274ngc()]


@hookimpl
def pathkit_machines() -> list[Machine]:
    """The three routers of a makerspace, each profile a file beside this one."""
    return list(_machines())


@lru_cache(maxsize=1)
def _machines() -> tuple[Machine, ...]:
    """Read once: the files come with the package, and a profile cannot be changed."""
    folder = files("pathkit_posts") / "machines"
    profiles = sorted((f for f in folder.iterdir() if f.name.endswith(".toml")), key=lambda f: f.name)
    return tuple(Machine.from_toml(profile.read_text(encoding="utf-8"), profile.name) for profile in profiles)
