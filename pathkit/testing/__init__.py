"""For authors of dialects and passes: laws that each of them must keep, and values to test them with.

Subclass `DialectTests` or `PassTests` in a test file, name your own, and run pytest; hypothesis must be installed.
"""

from pathkit.testing.dialects import DialectTests
from pathkit.testing.passes import PassTests
from pathkit.testing.programs import demonstration, grid_programs, hostile_texts, machine_for, suited
from pathkit.testing.strategies import jobs, machines, stocks, toolpaths

__all__ = [
    "DialectTests",
    "PassTests",
    "demonstration",
    "grid_programs",
    "hostile_texts",
    "jobs",
    "machine_for",
    "machines",
    "stocks",
    "suited",
    "toolpaths",
]
