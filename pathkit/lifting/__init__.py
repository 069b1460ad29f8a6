"""A program that was made elsewhere as a job: what its moves cut, and in which order they must stay."""

from pathkit.lifting.lift import Lifted, lift

__all__ = ["Lifted", "lift"]
