"""Union-find with path halving (Tarjan and van Leeuwen, J. ACM 31(2), 1984): the set that an element belongs to."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from pathkit.kernels import kernel


@kernel(allocates=False)
def root(parent: NDArray[np.int32], of: int) -> int:
    """The representative of a set; ``parent`` of a representative is itself. The path to it is halved."""
    while parent[of] != of:
        parent[of] = parent[parent[of]]
        of = parent[of]
    return of
