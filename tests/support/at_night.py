"""Cases of a test that only the nightly run has: other sizes of the terminal, other ways to one
end."""

from __future__ import annotations

import pytest

AT_NIGHT = pytest.mark.nightly


def at_night(*values: object) -> object:
    """One case of a parametrised test, by the values of its parameters."""
    return pytest.param(*values, marks=AT_NIGHT)
