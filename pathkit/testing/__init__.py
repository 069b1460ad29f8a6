"""For whoever writes a dialect: laws that every dialect must keep, and programs to try them with.

Subclass `DialectTests` in a test file, name your dialect, and run pytest; hypothesis must be installed.
"""

from pathkit.testing.dialects import DialectTests
from pathkit.testing.programs import demonstration, grid_programs, hostile_texts, machine_for

__all__ = ["DialectTests", "demonstration", "grid_programs", "hostile_texts", "machine_for"]
