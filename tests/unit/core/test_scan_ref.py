"""A lot and its scans as values: found again from a line of text, and another value once the lot is
another."""

from __future__ import annotations

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tagger.core.model.scan_ref import LotRef, ScanRef

stamps = st.none() | st.tuples(st.integers(0), st.integers(0))
lots = st.builds(LotRef, st.text(), st.text(), st.lists(stamps, max_size=2).map(tuple))


@given(lots)
def test_law_a_lot_is_read_as_it_was_written(lot):
    assert LotRef.read(lot.text) == lot
    assert hash(ScanRef(LotRef.read(lot.text), "a.jpg")) == hash(ScanRef(lot, "a.jpg"))
    assert "\n" not in lot.text


@given(lots, lots)
def test_law_two_lots_have_two_lines(one, other):
    assert (one == other) == (one.text == other.text)


@pytest.mark.parametrize("text", ["", "[]", '["only a folder"]', "{"])
def test_another_line_is_refused(text):
    with pytest.raises(ValueError):  # noqa: PT011  (the words are json's)
        LotRef.read(text)


def test_folders_that_are_no_text_stay_what_they_are():
    lot = LotRef("/scans/\udcff", "/lots/\udcff", ((1, 2), None))
    assert LotRef.read(lot.text) == lot
    json.loads(lot.text)
