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
from tagger.core.matching.priors.sister_steps import SisterSteps
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


# sorted by number, of each number one of the first set and then one of the second
BY_NUMBER = [(which, number) for number in (11, 14, 15, 19, 20, 26, 27, 33) for which in (0, 1)]


def test_a_lot_that_is_sorted_by_number_goes_on_by_the_number_of_the_card_before() -> None:
    session = lot_of(*BY_NUMBER, (0, 40))
    # the last card of the second set is #33, from which #40 is a jump
    assert (first(session).tags.set, first(session).tags.number) == (SETS[1], "40")
    assert first(session, "40").tags.set == SETS[1]


def test_which_set_lies_first_is_learned_for_each_two() -> None:
    sisters = SisterSteps()
    for _ in range(8):
        sisters.learn("A", "B", 0)
        sisters.learn("B", "A", 1)
    into_b, into_a = (sisters.between(*sets).usual() for sets in ("AB", "BA"))
    assert into_b[0] > into_b[1]
    assert into_a[1] > into_a[0]


@pytest.mark.parametrize("learned", [(), (0, 1, 0, 1), (40, -7, 90), (0, 40, 1)])
def test_the_steps_into_another_set_are_a_distribution(learned: tuple[int, ...]) -> None:
    sisters = SisterSteps()
    for step in learned:
        sisters.learn("A", "B", step)
    for sets in ("AB", "BA"):
        steps = sisters.between(*sets)
        assert sum(steps.usual().values()) + steps.ahead + steps.jump == pytest.approx(1.0)


def test_after_one_card_its_number_could_be_of_a_sister_set_as_well() -> None:
    assert not first(lot_of((0, 20)), "20").sure
    assert first(lot_of(*((0, number) for number in range(11, 21))), "20").sure


def test_what_a_card_has_taught_counts_at_once() -> None:
    """What the lot makes likely is put together once for each card, and not for longer."""
    session = lot_of(*BY_NUMBER)
    before = first(session, "40").confidence
    assert first(session, "40").confidence == before
    session.candidates.learn(Tags(SETS[1], "33", listed=True), Tags(SETS[2], "33", listed=True))
    assert first(session, "40").confidence != before


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


def test_one_letter_of_a_set_tells_two_sets_of_the_lot_apart() -> None:
    session = lot_of(*((at % 3, 11 + 7 * at) for at in range(10)))
    found = first(session, "120 c")
    assert (found.tags.set, found.tags.number, found.sure) == (SETS[2], "120", True)
    assert dict(found.reasons)["c"] == "set"
    assert first(session, "120 g").tags.parallel == "Gold"  # a parallel's letter goes before it
    # alone it names nobody, and in a set that the lot has not met it says nothing
    assert all("set" not in dict(c.reasons).values() for c in session.candidates.of("c"))
    session = lot_of((0, 11), (1, 30))
    assert all(c.tags.set != SETS[2] for c in session.candidates.of("120 c") if not c.problem)


def test_a_set_that_was_carried_by_a_key_does_not_count_as_left_out():
    session = lot_of((0, 1), (0, 2))
    _, changes = session.candidates._steps_and_changes
    was = changes.bare
    session.carry("set=1991")
    session.accept("3")
    assert session.view.tags_before().set == SETS[2]
    assert changes.bare < was


@pytest.mark.parametrize("named", [True, False])
def test_a_number_alone_is_sure_once_each_other_set_was_named(named):
    source, sure = random.Random(4), 0
    session = Session(MemoryStore(), clock=lambda: 0.0)
    session.take_in([f"scan_{number}.jpg" for number in range(1, 401)])
    session.candidates.matcher = MATCHER
    for at in range(195):
        row = ROWS[SETS[at // 15 % 3]][source.randrange(200)]
        changes = at % 15 == 0
        if at > 100 and not changes:
            found = first(session, row.number)
            assert found.tags.set == row.set
            sure += found.sure
        tags = Tags(row.set, row.number, row.subject, row.team, listed=True)
        session.take(Candidate(tags, 1.0, reasons=(("87", "set" if named and changes else ""),)))
    # what is only assumed of dealers makes none sure; what this one did makes most
    assert sure > 40 if named else sure < 5
