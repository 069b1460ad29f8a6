"""Which shares of the job file's feeds and bites a machine takes, found by the name of its profile."""

from __future__ import annotations

from pathkit.jobs.audit.tables import STRENGTH, Table, Tables

WHOLE: Table = dict.fromkeys(STRENGTH, 1)


def name_of(profile: str) -> str:
    """The name of a machine by what a [[machine]] table says of its profile: a name, or a file."""
    return profile.replace("\\", "/").rsplit("/", 1)[-1].removesuffix(".toml")


def own_table(tables: Tables, machine: Table) -> Table | None:
    """The [[machine]] table whose profile has the machine's name; None if there is none."""
    for each in tables.machines:
        if name_of(str(each["profile"])) == str(machine["name"]):
            return each
    return None


def strengths(tables: Tables, machine: Table | None) -> list[Table]:
    """The shares that this machine may take: those of its own table. If no name tells which that is, they are the whole
    of what the job file asks for, and the shares of each table whose profile is a file, since that may have any name;
    if ``machine`` is None, those of every table."""
    if machine is not None and (own := own_table(tables, machine)) is not None:
        return [own["cutting"]]
    files = (each for each in tables.machines if machine is None or str(each["profile"]).endswith(".toml"))
    found: list[Table] = [WHOLE]
    for each in files:
        if each["cutting"] not in found:
            found.append(each["cutting"])
    return found
