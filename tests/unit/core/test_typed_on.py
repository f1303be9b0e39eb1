"""What is held ready while a hint is typed on changes no answer, and is found as it was packed."""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence

import pytest
from hypothesis import given
from hypothesis import strategies as st
from support.odd_lists import a_hint, a_lot, crowded_list, long_list, small_list

from tagger.core.checklist.checklist import Checklist
from tagger.core.index.flat_arrays import Texts, pack_texts
from tagger.core.index.index import Index
from tagger.core.index.vocabulary import Begun
from tagger.core.matching.matcher import Matcher
from tagger.core.matching.priors.context import Context
from tagger.core.model.tags import Parallel, Row, Tags

GOLD, SILVER = Parallel("Gold", 50), Parallel("Silver", 25)


def _matcher(rows: Sequence[Row]) -> Matcher:
    return Matcher(Index(Checklist(tuple(rows))))


WORDS = ("number", "name", "slip", "set", "team", "parallel", "serial")


@pytest.mark.parametrize("drawn", [small_list, crowded_list, long_list])
@pytest.mark.parametrize("seed", [1, pytest.param(2, marks=pytest.mark.nightly)])
def test_a_hint_means_the_same_whatever_was_typed_before(
    drawn: Callable[[random.Random], tuple[Row, ...]], seed: int
) -> None:
    source = random.Random(f"typed on {seed}")
    rows = drawn(source)
    typed_on, index = _matcher(rows), Index(Checklist(rows))
    for _ in range(15):
        hint = a_hint(source, rows, source.sample(WORDS, source.randint(1, 3)))
        lot = a_lot(source, rows)
        for end in range(1, len(hint) + 1):
            typed_on.rank(hint[:end], lot)
        # a letter is taken back, a word goes, and the same words come in another lot
        for text in (hint[:-1], hint.partition(" ")[2], hint):
            other = a_lot(source, rows)
            fresh = Matcher(Index.opened(index.sections))
            assert typed_on.rank(text, other) == fresh.rank(text, other), (text, other)


def test_a_slip_that_was_looked_for_is_none_where_it_is_not_looked_for() -> None:
    row = Row("1987 Harbor Light", "23", "Ada Marsh", "Gulls", (GOLD,))
    typed_on, card = _matcher([row]), Tags(row.set, row.number, row.subject, listed=True)
    assert dict(typed_on.rank("23 mrash")[0].reasons)["mrash"] == "subject, mistyped"
    assert typed_on.listed(card, Context(), "mrash", whole=False) == _matcher([row]).listed(
        card, Context(), "mrash", whole=False
    )


def test_a_serial_number_that_fits_nothing_is_told_with_the_print_runs_of_its_own_card() -> None:
    rows = [
        Row("1987 Harbor Light", "23", "Ada Marsh", "Gulls", (GOLD,)),
        Row("1991 Copper Gate", "23", "Lee Gold", "Foxes", (GOLD, SILVER)),
        Row("1994 Tidewater", "23", "Ivo Lund", "Foxes", (GOLD,)),
    ]
    problems = {one.tags.set: one.problem for one in _matcher(rows).rank("23 12/60")}
    assert "(listed: /50)" in problems["1987 Harbor Light"]
    assert "(listed: /25, /50)" in problems["1991 Copper Gate"]
    assert "(listed: /50)" in problems["1994 Tidewater"]


def test_the_card_of_several_with_the_same_print_runs_has_its_own_parallel() -> None:
    rows = [
        Row("1987 Harbor Light", "23", "Ada Marsh", "Gulls", (Parallel("Gold", 50),)),
        Row("1991 Copper Gate", "23", "Lee Lund", "Foxes", (Parallel("Silver", 50),)),
    ]
    found = {(one.tags.set, one.tags.parallel) for one in _matcher(rows).rank("23 12/")}
    assert {("1987 Harbor Light", "Gold"), ("1991 Copper Gate", "Silver")} <= found


def test_a_word_of_thousands_of_letters_is_read() -> None:
    matcher = _matcher([Row("1987 Harbor Light", "23", "Ada Marsh")])
    assert matcher.rank("a" * 5000) == []
    assert all(one.problem for one in matcher.rank("9" * 5000))


_TEXTS = st.lists(st.text("abñ日", max_size=4), unique=True)


@given(_TEXTS, st.text("abñ日", max_size=4))
def test_texts_are_found_by_their_beginning(given_texts: list[str], prefix: str) -> None:
    texts = sorted(given_texts)
    packed = Texts(pack_texts("t", texts), "t")
    begun = Begun(packed)
    for end in range(len(prefix) + 1):
        found = begun.starting(prefix[:end])
        assert found == packed.starting(prefix[:end])
        assert texts[found.start : found.stop] == [
            text for text in texts if text.startswith(prefix[:end])
        ]
    assert begun.find(prefix) == (texts.index(prefix) if prefix in texts else -1)


@given(_TEXTS, st.data())
def test_texts_of_several_places(given_texts: list[str], data: st.DataObject) -> None:
    texts = sorted(given_texts)
    some = st.lists(st.integers(0, len(texts) - 1), unique=True) if texts else st.just([])
    places = sorted(data.draw(some))
    packed = Texts(pack_texts("t", texts), "t")
    assert packed.several(places) == [texts[place] for place in places]
