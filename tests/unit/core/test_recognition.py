"""What is remembered of a lot's cards by their look, and what is proposed by it, without a process
or a picture."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from support.at_work import LIGHT, MATCHER, POND, SCANS, take
from support.memory import MemoryStore

from tagger.core.audit.fingerprint import Fingerprint
from tagger.core.audit.measured import Measured
from tagger.core.audit.signature import CardSides, Signature, known_card
from tagger.core.fixes.feeding import SwapSides
from tagger.core.model.tags import State, Tags
from tagger.core.session.fixer import Fixer
from tagger.core.session.proposal import Deed
from tagger.core.session.recognition import KnownMatch
from tagger.core.session.recognizer import Recognizer
from tagger.core.session.seen import Seen
from tagger.core.session.session import Session

FOLDER = "/scans/box 12"


def a_print(seed: str) -> Fingerprint:
    rng = random.Random(seed)
    return Fingerprint(rng.getrandbits(256), rng.getrandbits(256), rng.randbytes(48))


PRINTS = {scan: Measured("whole", print=a_print(scan)) for scan in SCANS}


def desk() -> Session:
    session = Session(MemoryStore(), clock=lambda: 1000.0)
    session.candidates.matcher = MATCHER
    session.take_in(SCANS)
    return session


def familiar(session: Session) -> Recognizer:
    found = Recognizer(session.view, session.candidates, FOLDER, "box 12")
    found.learn(PRINTS)
    return found


def known(tags: Tags, scans: CardSides, sure: bool = True) -> KnownMatch:
    return KnownMatch(known_card(scans, "box 7", tags, Signature(a_print("a"), None)), sure)


def seen(session: Session, position: int, found: KnownMatch) -> Seen:
    """What was seen of a card that looks like a known one."""
    card = session.view.card_at(position)
    return Seen(card.id, familiar(session).resemblance(card, found))


ELSEWHERE = CardSides("/scans/box 7", "scan_1.jpg", "scan_2.jpg")


def test_a_tagged_card_is_remembered_once_and_forgotten_when_it_is_cleared():
    session = desk()
    mind = familiar(session)
    mind.news()
    take(session, "set=87 1")
    session.touched()
    news = mind.news([session.view.card_at(1).id])
    assert [(card.scans, card.number) for card in news.remember] == [
        (CardSides(FOLDER, *SCANS[:2]), "1")
    ]
    assert not news.forget
    assert not mind.news([session.view.card_at(1).id])
    assert not mind.news()
    session.undo()
    assert mind.news(session.touched()).forget == [CardSides(FOLDER, *SCANS[:2])]
    session.redo()
    assert [card.number for card in mind.news(session.touched()).remember] == ["1"]


def test_what_a_look_does_not_show_is_not_remembered():
    session = desk()
    mind = familiar(session)
    session.carry("ex")
    take(session, "set=87 1 gold 12/99")
    [card] = mind.news().remember
    offered = card.offered()
    assert (offered.set, offered.number, offered.subject, offered.team) == (
        LIGHT,
        "1",
        "Ada Marsh",
        "Gulls",
    )
    assert (offered.parallel, offered.serial, offered.condition, offered.place, offered.note) == (
        "",
    ) * 5


def test_a_card_is_remembered_when_both_its_sides_are_measured():
    session = desk()
    mind = Recognizer(session.view, session.candidates, FOLDER, "box 12")
    take(session, "set=87 1")
    mind.learn({SCANS[0]: PRINTS[SCANS[0]]})
    assert mind.look(session.view.card_at(1)) is None
    assert not mind.news().remember
    mind.learn({SCANS[1]: PRINTS[SCANS[1]]})
    assert len(mind.news().remember) == 1


def test_cards_that_are_untagged_when_the_lot_is_opened_are_forgotten():
    session = desk()
    take(session, "set=87 1")
    news = familiar(session).news()
    assert [scans.front for scans in news.forget] == [SCANS[at] for at in range(2, 12, 2)]


def test_a_card_whose_sides_are_mended_is_remembered_under_its_scans_as_they_are_then():
    session = desk()
    mind = familiar(session)
    take(session, "set=87 1")
    mind.news()
    Fixer(session).mend([SwapSides(SCANS[0], SCANS[1])])
    news = mind.news()
    assert news.forget == [CardSides(FOLDER, *SCANS[:2])]
    assert [card.scans for card in news.remember] == [CardSides(FOLDER, SCANS[1], SCANS[0])]


DEEDS = st.sampled_from(["take", "take", "clear", "aside", "undo", "redo", "go"])
EDITS = st.lists(st.tuples(DEEDS, st.integers(1, 6)), max_size=25)


@given(EDITS, st.lists(st.booleans(), min_size=25, max_size=25))
@settings(max_examples=60, deadline=None)
def test_law_what_is_remembered_is_what_is_tagged(edits, tell):
    from tagger.errors import Refused

    session = desk()
    mind = familiar(session)
    held: dict[CardSides, tuple[str, str]] = {}

    def heard(news) -> None:
        for scans in news.forget:
            held.pop(scans, None)
        held.update({card.scans: (card.set, card.number) for card in news.remember})

    heard(mind.news())
    for (deed, number), now in zip(edits, tell, strict=False):
        try:
            if deed == "take":
                take(session, f"set=87 {number}")
            elif deed == "go":
                session.go(number)
            elif deed == "aside":
                session.set_aside("look")
            else:
                getattr(session, deed)()
        except Refused:
            pass
        if now:
            heard(mind.news(session.touched()))
    heard(mind.news())
    cards = [
        card for card in map(session.view.card_at, range(1, 7)) if card.mark.state is State.TAGGED
    ]
    assert held == {
        CardSides(FOLDER, card.front, card.back): (LIGHT, card.mark.tags.number) for card in cards
    }


def test_the_card_that_it_looks_like_is_taken_by_enter_with_what_is_carried():
    session = desk()
    session.carry("ex")
    session.carry("set=87 gold")
    found = known(Tags(set=LIGHT, number="5", subject="Edo Ferstad", team="Gulls"), ELSEWHERE)
    alike = seen(session, 1, found)
    proposal = session.proposals.of("", 0, alike)
    assert proposal.deed is Deed.TAKE
    assert proposal.note == "check its parallel and condition"
    assert proposal.candidate.explained() == "the scan: like one in box 7"
    assert len({(c.tags.set, c.tags.number) for c in proposal.candidates}) == len(
        proposal.candidates
    )
    session.accept("", 0, alike)
    tags = session.view.card_at(1).mark.tags
    assert (tags.set, tags.number, tags.parallel, tags.condition, tags.serial) == (
        LIGHT,
        "5",
        "Gold",
        "Excellent",
        "",
    )
    assert session.view.card_at(1).mark.unsure is False
    assert session.proposals.of("").candidate.reasons == ()


def test_what_is_carried_meanwhile_counts():
    session = desk()
    session.carry("set=87 gold")
    found = known(Tags(set=LIGHT, number="5", subject="Edo Ferstad", team="Gulls"), ELSEWHERE)
    alike = seen(session, 1, found)
    assert session.proposals.of("", 0, alike).candidate.tags.parallel == "Gold"
    session.drop("parallel")
    assert session.proposals.of("", 0, alike).candidate.tags.parallel == ""


def test_what_is_typed_goes_before_a_look():
    session = desk()
    found = known(Tags(set=LIGHT, number="5", subject="Edo Ferstad"), ELSEWHERE)
    alike = seen(session, 1, found)
    typed = session.proposals.of("set=87 3", 0, alike)
    assert typed.candidate.tags.number == "3"
    # and it is told that the look speaks against it
    assert len(typed.warnings) == 1
    assert typed.warnings[0].startswith("it looks like ")
    assert "#5 " in typed.warnings[0]
    assert session.proposals.of("set=87 5", 0, alike).warnings == ()
    assert session.proposals.of("", 0, alike).candidate.tags.number == "5"


def test_another_parallel_of_the_card_in_this_lot_is_asked_about():
    session = desk()
    take(session, "set=87 5 gold 12/99")
    found = known(session.view.card_at(1).mark.tags, CardSides(FOLDER, *SCANS[:2]), sure=False)
    alike = seen(session, 2, found)
    proposal = session.proposals.of("", 0, alike)
    assert "Card 1 is Gold. Is this one too?" in proposal.warnings
    assert (proposal.candidate.tags.parallel, proposal.candidate.tags.serial) == ("", "")
    assert proposal.candidate.explained() == "the scan: maybe card 1"


@pytest.mark.parametrize(
    "tags", [Tags(set="1999 Nowhere", number="5"), Tags(set=LIGHT, number="99"), Tags()]
)
def test_a_card_that_no_checklist_of_the_lot_has_is_not_proposed(tags):
    session = desk()
    assert familiar(session).resemblance(session.view.card_at(1), known(tags, ELSEWHERE)) is None


def test_a_tagged_card_is_not_proposed_anew():
    session = desk()
    found = known(Tags(set=LIGHT, number="5", subject="Edo Ferstad"), ELSEWHERE)
    alike = seen(session, 1, found)
    take(session, "set=87 3")
    session.go(1)
    assert session.proposals.of("", 0, alike).deed is Deed.KEEP
    assert not alike.alike.is_of(session.view.card)


def test_words_of_a_known_card_are_printed_safely():
    session = desk()
    found = known(Tags(set=LIGHT, number="5", subject="Edo Ferstad"), ELSEWHERE)
    hostile = KnownMatch(
        found.card.__class__(**{**_fields(found.card), "lot": "box\x1b[2J7"}), True
    )
    alike = seen(session, 1, hostile)
    said = alike.alike.known + session.proposals.of("", 0, alike).candidate.explained()
    assert "\x1b" not in said


def _fields(card) -> dict:
    return {name: getattr(card, name) for name in card.__dataclass_fields__}


@pytest.mark.parametrize(
    ("hint", "number", "parallel", "serial", "condition"),
    [
        ("gold 12/99", "5", "Gold", "12/99", ""),
        ("gol", "5", "Gold", "", ""),
        ("12/99", "5", "Gold", "12/99", ""),
        ("ex", "5", "", "", "Excellent"),
        ("silver nm", "5", "Silver", "", "Near Mint"),
        ("3", "3", "", "", ""),
        ("bo gold", "2", "Gold", "", ""),
        ("3 gold 7/99", "3", "Gold", "7/99", ""),
        ("hana", "8", "", "", ""),
    ],
)
def test_a_hint_that_names_no_card_says_more_of_the_one_it_looks_like(
    hint, number, parallel, serial, condition
):
    session = desk()
    session.carry("set=87")
    found = known(Tags(set=LIGHT, number="5", subject="Edo Ferstad", team="Gulls"), ELSEWHERE)
    alike = seen(session, 1, found)
    tags = session.proposals.of(hint, 0, alike).candidate.tags
    assert (tags.number, tags.parallel, tags.serial, tags.condition) == (
        number,
        parallel,
        serial,
        condition,
    )
    assert session.proposals.of("gold 12/99").candidate.tags.number == "1"


def test_a_number_that_the_look_agrees_with_is_no_slip():
    session = desk()
    session.carry("set=87")
    for number in (11, 12, 13, 14, 15):
        session.take_unlisted(str(number))
    tags = Tags(set=LIGHT, number="6", subject="Fenn Holby", team="Gulls")
    assert "is out of sequence" in " ".join(session.review.warnings(6, tags))
    alike = seen(session, 6, known(tags, ELSEWHERE))
    assert session.review.warnings(6, tags, alike) == ()
    other = known(replace(tags, number="7", subject="Gil Norett"), ELSEWHERE)
    alike = seen(session, 6, other)
    assert "is out of sequence" in " ".join(session.review.warnings(6, tags, alike))


@pytest.mark.parametrize(
    ("looks", "hint", "wanted"),
    [
        ((POND, "3", "Fenn Holby"), "3", (POND, "3")),
        ((POND, "3", "Fenn Holby"), "4", (LIGHT, "4")),
        ((POND, "3", "Fenn Holby"), "", (POND, "3")),
        ((POND, "3", "Fenn Holby"), "set=87 3", (LIGHT, "3")),
        ((POND, "6", "Cyr Torwick"), "torwick", (POND, "6")),
        ((POND, "6", "Cyr Torwick"), "3", (LIGHT, "3")),
        ((LIGHT, "3", "Cyr Torwick"), "3", (LIGHT, "3")),
    ],
)
def test_of_cards_that_a_hint_names_in_the_same_way_the_look_chooses(looks, hint, wanted):
    session = desk()
    session.carry("set=87")
    found = known(Tags(set=looks[0], number=looks[1], subject=looks[2]), ELSEWHERE)
    alike = seen(session, 1, found)
    [first, *_] = session.candidates.of(hint, alike)
    assert (first.tags.set, first.tags.number) == wanted
    if wanted == looks[:2]:
        assert first.sure


def test_a_card_that_cannot_be_taken_is_not_put_first_by_its_look():
    session = desk()
    session.carry("set=87")
    found = known(Tags(set=POND, number="3", subject="Fenn Holby"), ELSEWHERE)
    alike = seen(session, 1, found)
    [first, *_] = session.candidates.of("3 gold", alike)  # no card of the other set is gold
    assert (first.tags.set, first.tags.parallel, first.problem) == (LIGHT, "Gold", "")
