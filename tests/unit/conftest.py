"""Property tests try the same examples at every run, and none is judged by its time."""

from __future__ import annotations

import os

from hypothesis import HealthCheck, settings

settings.register_profile(
    "unit",
    deadline=None,
    derandomize=True,
    database=None,
    suppress_health_check=[HealthCheck.too_slow],
)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "unit"))
