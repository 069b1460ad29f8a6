"""Which share of the job's feeds and bites a machine is asked for, as far as its profile's name tells its table."""

from __future__ import annotations

from pathkit.jobs.audit.tables import STRENGTH, Table, Tables

WHOLE: Table = dict.fromkeys(STRENGTH, 1)


def own_table(tables: Tables, machine: Table) -> Table | None:
    """The [[machine]] table whose profile is called as the machine is; None where no name says it."""
    for each in tables.machines:
        profile = str(each["profile"]).replace("\\", "/").rsplit("/", 1)[-1].removesuffix(".toml")
        if profile == str(machine["name"]):
            return each
    return None


def strengths(tables: Tables, machine: Table | None) -> list[Table]:
    """The shares that may be asked of this machine: those of its own table, or, where no name tells which that is, all
    of what the job asks, and the shares of each profile that is a file and may be called anything."""
    if machine is not None and (own := own_table(tables, machine)) is not None:
        return [own["cutting"]]
    files = (each for each in tables.machines if machine is None or str(each["profile"]).endswith(".toml"))
    found: list[Table] = [WHOLE]
    for each in files:
        if each["cutting"] not in found:
            found.append(each["cutting"])
    return found
