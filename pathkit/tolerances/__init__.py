"""Every tolerance by name: of what makes moves and files, and of what judges them."""

from pathkit.tolerances.judging import *  # noqa: F403
from pathkit.tolerances.making import *  # noqa: F403
