"""Counts in words."""

from __future__ import annotations

import pytest

from tagger.core.model.counted import counted


@pytest.mark.parametrize(
    ("count", "what", "text"),
    [
        (1, ("card",), "1 card"),
        (0, ("card",), "0 cards"),
        (2, ("finding needs", "findings need"), "2 findings need"),
    ],
)
def test_one_is_not_several(count, what, text):
    assert counted(count, *what) == text
