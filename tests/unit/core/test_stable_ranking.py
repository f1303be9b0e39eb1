"""The order of candidates while a hint is typed on."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st
from support.at_work import opened

from tagger.core.matching.candidate import Candidate
from tagger.core.matching.ranking.stable_ranking import CLEARLY, steady
from tagger.core.model.tags import Tags


def candidates(*shares: tuple[str, float], problem: str = "") -> list[Candidate]:
    return [
        Candidate(Tags(set="S", number=number), share, problem=problem) for number, share in shares
    ]


def numbers(found: list[Candidate]) -> list[str]:
    return [candidate.tags.number for candidate in found]


BEFORE = candidates(("1", 0.4), ("2", 0.3), ("3", 0.2))


def test_a_little_better_is_no_reason_to_change_places():
    assert numbers(steady(BEFORE, candidates(("2", 0.35), ("1", 0.3), ("3", 0.2)))) == [
        "1",
        "2",
        "3",
    ]


def test_clearly_better_is():
    assert numbers(steady(BEFORE, candidates(("2", 0.6), ("1", 0.3), ("3", 0.05)))) == [
        "2",
        "1",
        "3",
    ]


def test_what_was_not_there_before_stands_where_its_share_puts_it():
    assert numbers(steady(BEFORE, candidates(("9", 0.35), ("2", 0.33), ("1", 0.3)))) == [
        "9",
        "1",
        "2",
    ]


def test_what_must_not_be_taken_never_goes_past_what_may_be():
    now = [*candidates(("2", 0.3)), *candidates(("1", 0.3), problem="no")]
    assert numbers(steady(BEFORE, now)) == ["2", "1"]


shares = st.lists(
    st.tuples(st.sampled_from("123456789"), st.floats(0.01, 1)),
    max_size=9,
    unique_by=lambda pair: pair[0],
)


@given(shares, shares)
def test_only_neighbours_in_likelihood_that_stood_so_before_change_places(before, now):
    stood = [number for number, _ in before]
    ranked = candidates(*sorted(now, key=lambda pair: -pair[1]))
    found = steady(candidates(*before), ranked)
    assert sorted(numbers(found)) == sorted(numbers(ranked))
    for at, first in enumerate(found):
        for second in found[at + 1 :]:
            if second.confidence > first.confidence:
                assert second.confidence < CLEARLY * first.confidence
                assert stood.index(first.tags.number) < stood.index(second.tags.number)
    assert numbers(steady(found, found)) == numbers(found)


def test_enter_takes_what_stood_first_when_the_hint_was_shown(tmp_path):
    session = opened(tmp_path)
    shown = [session.candidates.of(hint) for hint in ("a", "ad", "ada")]
    assert session.candidates.of("ada") == shown[-1]
    assert session.candidates.of("ada") == shown[-1]
