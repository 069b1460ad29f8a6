"""Hypothesis profiles: `ci` (the default) repeats the same examples, `dev` explores, `nightly` looks longer."""

import os

from hypothesis import HealthCheck, settings

# The first call of a kernel compiles it, so no example may be timed.
settings.register_profile("dev", deadline=None, max_examples=50)
settings.register_profile(
    "ci", deadline=None, max_examples=25, derandomize=True, suppress_health_check=[HealthCheck.too_slow]
)
settings.register_profile("nightly", deadline=None, max_examples=2000)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "ci"))
