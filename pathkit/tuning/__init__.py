"""A cut file that was made elsewhere, improved and written for another machine."""

from pathkit.tuning.tune import Tuned, tune

__all__ = ["Tuned", "tune"]
