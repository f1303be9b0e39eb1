"""How a lot that goes from set to set teaches what comes next, and how sure a number alone is."""

from __future__ import annotations

import random
from itertools import pairwise

import pytest
from support import drawn
from support.memory import MemoryStore

from tagger.core.checklist.files import parse_checklist
from tagger.core.index.index import Index
from tagger.core.matching.candidate import Candidate
from tagger.core.matching.matcher import Matcher
from tagger.core.matching.priors.set_changes import SetChanges
from tagger.core.model.tags import Tags
from tagger.core.session.session import Session

SETS = ("1987 Harbor Light", "1988 Harbor Light", "1991 Copper Gate")
ROWS = {name: drawn.set_rows(name, 200, seed=seed) for seed, name in enumerate(SETS)}
LIST = drawn.checklist_csv([row for rows in ROWS.values() for row in rows])
MATCHER = Matcher(Index(parse_checklist(LIST.encode(), "list.csv", "list")))


def lot_of(*cards: tuple[int, int]) -> Session:
    """A lot in which these cards, each by set and number, were taken."""
    session = Session(MemoryStore(), clock=lambda: 0.0)
    session.take_in([f"scan_{number}.jpg" for number in range(1, 2 * len(cards) + 21)])
    session.candidates.matcher = MATCHER
    for which, number in cards:
        row = ROWS[SETS[which]][number - 1]
        session.take(Candidate(Tags(row.set, row.number, row.subject, row.team, listed=True), 1.0))
    return session


def first(session: Session, hint: str = "") -> Candidate:
    return session.candidates.of(hint)[0]


def learned(sets: str) -> SetChanges:
    changes = SetChanges()
    for before, after in pairwise(sets):
        changes.learn(before, after, None)
    return changes


BY_TURNS = [(at % 2, 11 + at // 2 if at % 2 == 0 else 141 + at // 2) for at in range(16)]


def test_two_sets_by_turns_are_told_from_one_set_after_the_other() -> None:
    session = lot_of(*BY_TURNS)
    assert (first(session).tags.set, first(session).tags.number) == (SETS[0], "19")
    for number in ("19", "20"):
        found = first(session, number)
        assert (found.tags.set, found.sure) == (SETS[0], True)
    session = lot_of(*BY_TURNS, (0, 19))
    assert (first(session).tags.set, first(session).tags.number) == (SETS[1], "149")
    assert not first(session, "20").sure  # it goes on in one set, but it is the other one's turn


def test_one_set_after_the_other_stays_sure() -> None:
    session = lot_of(*((0, number) for number in range(11, 41)), (1, 1), (1, 2), (1, 4))
    assert first(session).tags.set == SETS[1]
    found = first(session, "5")
    assert (found.tags.set, found.sure) == (SETS[1], True)


def test_a_number_alone_is_never_sure_where_cards_lie_in_no_order() -> None:
    source = random.Random(4)
    session = lot_of(*((source.randrange(3), source.randint(1, 200)) for _ in range(60)))
    assert [first(session, str(number)).sure for number in range(1, 200)].count(True) <= 1


def test_what_was_learned_comes_back_with_the_lot() -> None:
    session = lot_of(*BY_TURNS)
    again = Session(session._store, clock=lambda: 0.0)
    again.candidates.matcher = MATCHER
    assert again.candidates.of("") == session.candidates.of("")


def test_the_shares_are_a_distribution() -> None:
    for sets in ("AAAA", "ABAB", "AABBAABB", "ABCABCABC", "ABBACABCAAB"):
        shares = learned(sets).shares(sets[-1], frozenset(sets))
        assert shares.stay + sum(shares.others.values()) + shares.new == pytest.approx(1.0)
        assert min(shares.stay, shares.new, *shares.others.values(), 1.0) >= 0.0


@pytest.mark.parametrize(
    ("sets", "following"),
    [("AAAAAAAAAAAA", "A"), ("ABABABABAB", "A"), ("AABBAABBAABBAAB", "B"), ("ABC" * 8, "A")],
)
def test_a_pattern_is_foretold(sets: str, following: str) -> None:
    shares = learned(sets).shares(sets[-1], frozenset("ABC"))
    found = {sets[-1]: shares.stay, **shares.others}
    assert max(found, key=found.__getitem__) == following
