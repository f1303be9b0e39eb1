"""Property tests try the same examples at every run, and none is judged by its time."""

from __future__ import annotations

import os
from collections.abc import Callable
from concurrent.futures import Future

import pytest
from hypothesis import HealthCheck, settings

settings.register_profile(
    "unit",
    deadline=None,
    derandomize=True,
    database=None,
    suppress_health_check=[HealthCheck.too_slow],
)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "unit"))


@pytest.fixture
def work_at_hand(monkeypatch: pytest.MonkeyPatch) -> None:
    """What a command gives to processes beside it is done here and now, for tests of what comes of
    it: two processes take longer to start than a small lot's work. That processes do the same is
    for test_killed_export, test_background_jobs, tests/pty and tests/faults."""
    from tagger.imaging.survey.workers import Workers

    def submit(_: Workers, work: Callable[..., object], *given: object) -> Future[object]:
        future: Future[object] = Future()
        try:
            future.set_result(work(*given))
        except Exception as error:
            future.set_exception(error)
        return future

    monkeypatch.setattr(Workers, "submit", submit)
