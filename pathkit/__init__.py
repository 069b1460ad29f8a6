"""pathkit: post-processing and toolpath optimisation for small 3-axis CNC routers, with proof.

Everything public is a name of this module, listed in ``__init__.pyi``. Each is imported when it is first used, so that
importing the package is quick; numba, scipy, shapely and networkx load only when they are needed.
"""

import lazy_loader

__version__ = "0.1.0"

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
__all__ += ["__version__"]
