"""For whoever writes a dialect or a pass: laws that every one of them must keep, and values to try them with.

Subclass `DialectTests` or `PassTests` in a test file, name your own, and run pytest; hypothesis must be installed.
"""

from pathkit.testing.dialects import DialectTests
from pathkit.testing.passes import PassTests
from pathkit.testing.programs import demonstration, grid_programs, hostile_texts, machine_for

__all__ = ["DialectTests", "PassTests", "demonstration", "grid_programs", "hostile_texts", "machine_for"]
