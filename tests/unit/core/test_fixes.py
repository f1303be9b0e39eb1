"""Mending: every scan stays in the lot or is said to be left out, and every tag stays with its
scans."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from support.memory import MemoryStore

from tagger.core.feeding.order import part_name
from tagger.core.fixes.display import Brighten, Dismiss, Turn
from tagger.core.fixes.feeding import InsertGap, MissingSide, NoScan, Reorder, SkipScan, SwapSides
from tagger.core.fixes.fix import Fix
from tagger.core.fixes.parser import read_fix
from tagger.core.fixes.scans import Join, Rescan, RestoreScan, Split
from tagger.core.model.arrangement import Arrangement, Pair
from tagger.core.model.side_order import SideOrder
from tagger.core.model.tags import Mark, State, Tags
from tagger.core.session.arranging import arrange
from tagger.core.session.fixer import Fixer
from tagger.core.session.session import Session
from tagger.errors import Refused
from tagger.store.lot.documents import arrangement_document, read_arrangement


def scan(number: float) -> str:
    """A scan's name; 2.5 lies between 2 and 3."""
    return f"s_{int(number * 10):05d}.jpg"


def lot(names: list[str], sides: SideOrder = SideOrder.ALTERNATE) -> tuple[Session, Fixer]:
    session = Session(MemoryStore(), clock=lambda: 0.0)
    session.take_in(names)
    if sides is not SideOrder.ALTERNATE:
        arrange(session, sides)
    return session, Fixer(session)


def even(cards: int) -> list[str]:
    """Scans of so many cards: f1 b1 f2 b2 …"""
    return [scan(number) for number in range(1, 2 * cards + 1)]


def cards(session: Session) -> list[tuple[str | None, str | None]]:
    return [pair[1:] for pair in session.view.arrangement.pairs]


def tag(session: Session, position: int) -> str:
    """Tag a card with the name of the scan by which it is known, and return that."""
    session.go(position)
    card = session.view.card_at(position)
    by = card.front or card.back or ""
    session.take_unlisted(f"7 name=of{by[2:7]}")
    return by


def marked(session: Session) -> dict[str, str]:
    """The subject of each tagged card, by all of its scans."""
    out = {}
    for position in range(1, session.view.cards + 1):
        card = session.view.card_at(position)
        if card.mark.state is State.TAGGED:
            out |= {
                name: card.mark.tags.subject for name in (card.front, card.back) if name is not None
            }
    return out


def test_a_missing_back_moves_what_was_fed_after_it():
    names = even(5)
    del names[3]  # the back of card 2
    session, mender = lot(names)
    assert (
        mender.mend([MissingSide(2, "back")])
        == "Card 2: its back is missing, later scans shift by one."
    )
    assert cards(session) == [
        (scan(1), scan(2)),
        (scan(3), None),
        (scan(5), scan(6)),
        (scan(7), scan(8)),
        (scan(9), scan(10)),
    ]


def test_a_missing_front_moves_what_was_fed_after_it():
    names = even(4)
    del names[4]  # the front of card 3
    session, mender = lot(names)
    mender.mend([MissingSide(3, "front")])
    assert cards(session) == [
        (scan(1), scan(2)),
        (scan(3), scan(4)),
        (None, scan(6)),
        (scan(7), scan(8)),
    ]


@pytest.mark.parametrize("sides", [SideOrder.ALTERNATE, SideOrder.BACK_FIRST])
@pytest.mark.parametrize("lost", [0, 1])
@pytest.mark.parametrize("before", [False, True])
def test_a_hole_beside_a_scan_is_the_same_whatever_was_mended_in_front_of_it(sides, lost, before):
    """Card 5 lacks the side that is fed first or second; a slip in front of it moves its other scan
    to another side."""
    order = ("back", "front") if sides is SideOrder.BACK_FIRST else ("front", "back")
    names = even(7)
    left = scan(9 + (1 - lost))  # what is there of card 5
    names.remove(scan(9 + lost))
    names.remove(scan(4))  # the second side of card 2
    first = [InsertGap(scan(3), order[1])]
    hole = [InsertGap(left, order[lost])]
    session, mender = lot(names, sides)
    for mends in (first, hole) if before else (hole, first):
        mender.mend(mends)
    fed = [[scan(2 * n + 1), scan(2 * n + 2)] for n in range(7)]
    fed[1][1] = fed[4][lost] = None
    assert cards(session) == [
        tuple(card if sides is SideOrder.ALTERNATE else card[::-1]) for card in fed
    ]


def test_the_missing_side_joins_its_card_when_it_is_scanned_later():
    names = even(5)
    back = names.pop(3)
    session, mender = lot(names)
    mender.mend([MissingSide(2, "back")])
    tagged = {position: tag(session, position) for position in (1, 2, 4)}
    session.take_in([*names, back])
    assert cards(session) == list(zip(even(5)[::2], even(5)[1::2], strict=True))
    assert all(marked(session)[by] for by in tagged.values())


def test_the_newest_scan_can_be_given_to_a_card_that_lacks_it():
    names = even(3)
    del names[3]
    session, mender = lot(names)
    mender.mend([MissingSide(2, "back")])
    session.take_in([*names, scan(99)])
    assert cards(session)[-1] == (scan(99), None)
    wanted = read_fix("2 rescan back", 1, session.view.arrangement)
    mender.mend(wanted.fixes)
    assert cards(session) == [(scan(1), scan(2)), (scan(3), scan(99)), (scan(5), scan(6))]


def test_a_side_that_is_scanned_again_keeps_its_tags_and_leaves_the_old_scan_out():
    session, mender = lot(even(3))
    by = tag(session, 2)
    session.take_in([*even(3), scan(8)])
    mender.mend([Rescan(2, "front", scan(8))])
    assert cards(session) == [(scan(1), scan(2)), (scan(8), scan(4)), (scan(5), scan(6))]
    assert marked(session)[scan(8)] == marked(session)[scan(4)] != ""
    assert session.view.arrangement.mending.left_out == (by,)
    session.take_in([*even(3), scan(8)])
    assert session.view.cards == 3


@pytest.mark.parametrize("side", [0, 1])
def test_a_scan_too_many_is_left_out_and_the_rest_moves_up(side):
    names = even(4)
    names.insert(2 + side, scan(2.5 + side))  # front or back of card 2 went through twice
    session, mender = lot(names)
    mender.mend([SkipScan(scan(2.5 + side))])
    assert cards(session) == list(zip(even(4)[::2], even(4)[1::2], strict=True))
    session.take_in(names)
    assert session.view.cards == 4


def test_a_scan_that_is_alone_on_its_card_goes_and_moves_nothing():
    session, mender = lot([*even(2), scan(5)])
    mender.mend([SkipScan(scan(5))])
    assert cards(session) == [(scan(1), scan(2)), (scan(3), scan(4))]


def test_a_slip_ends_where_another_run_of_the_scanner_begins():
    names = [*even(3), *(f"z_{number:03d}.jpg" for number in range(1, 5))]
    del names[1]
    session, mender = lot(names)
    mender.mend([MissingSide(1, "back")])
    assert cards(session)[:3] == [(scan(1), None), (scan(3), scan(4)), (scan(5), scan(6))]
    assert cards(session)[3:] == [("z_001.jpg", "z_002.jpg"), ("z_003.jpg", "z_004.jpg")]


@pytest.mark.parametrize("reverse", [False, True])
@pytest.mark.parametrize("lost", ["front", "back"])
def test_a_missing_side_in_two_stacks(lost, reverse):
    fronts, fed = [scan(n) for n in range(1, 6)], [scan(n) for n in range(11, 16)]
    truth = list(zip(fronts, reversed(fed) if reverse else fed, strict=True))
    gone = truth[2][0 if lost == "front" else 1]
    sides = SideOrder.FRONTS_THEN_BACKS_REVERSED if reverse else SideOrder.FRONTS_THEN_BACKS
    session, mender = lot([name for name in (*fronts, *fed) if name != gone], sides)
    mender.mend([MissingSide(3, lost)])
    assert cards(session) == [
        tuple(None if name == gone else name for name in card) for card in truth
    ]


def test_a_swapped_pair_is_mended_before_or_after_the_slip_in_front_of_it():
    truth = list(zip(even(6)[::2], even(6)[1::2], strict=True))
    names = even(6)
    names[8], names[9] = names[9], names[8]
    names = [scan(n + 1) for n in range(12)]
    # Card 5 was fed back first: its scans 9 and 10 show back and front. The back of card 2 is
    # missing.
    del names[3]
    wanted = [*truth[:1], (truth[1][0], None), *truth[2:4], (scan(10), scan(9)), truth[5]]
    for mends in (
        [MissingSide(2, "back"), SwapSides(scan(9), scan(10))],
        [SwapSides(scan(9), scan(10)), MissingSide(2, "back")],
    ):
        session, mender = lot(names)
        mender.mend(mends)
        assert cards(session) == wanted


def test_a_stretch_that_was_fed_face_down_and_what_comes_after():
    session, mender = lot(even(4))
    mender.mend(read_fix("3 swap on", 1, session.view.arrangement).fixes)
    assert cards(session) == [
        (scan(1), scan(2)),
        (scan(3), scan(4)),
        (scan(6), scan(5)),
        (scan(8), scan(7)),
    ]
    session.take_in([*even(4), scan(9), scan(10)])
    assert cards(session)[-1] == (scan(10), scan(9))
    mender.mend(read_fix("2 missing front", 1, session.view.arrangement).fixes)
    assert cards(session)[1:3] == [(None, scan(3)), (scan(4), None)]
    assert cards(session)[3:] == [(scan(6), scan(5)), (scan(8), scan(7)), (scan(10), scan(9))]


def test_a_span_is_read_in_another_order_and_the_rest_is_not():
    session, mender = lot(even(4))
    mender.mend(
        read_fix("2 order all fronts, then all backs to 3", 1, session.view.arrangement).fixes
    )
    assert cards(session) == [
        (scan(1), scan(2)), (scan(3), scan(5)), (scan(4), scan(6)), (scan(7), scan(8)),
    ]  # fmt: skip
    mender.mend([MissingSide(4, "front")])
    assert cards(session)[3:] == [(None, scan(7)), (scan(8), None)]


def test_turns_add_up_and_are_said_for_a_stretch():
    session, mender = lot(even(4))
    assert mender.mend(read_fix("2 turn back 180 on", 1, session.view.arrangement).fixes) == (
        "Cards 2 to 4: backs rotated 180°."
    )
    mender.mend(read_fix("2 turn back 270", 1, session.view.arrangement).fixes)
    turns = dict(session.view.arrangement.mending.turns)
    assert turns == {scan(4): 90, scan(6): 180, scan(8): 180}
    session.undo()
    session.undo()
    assert session.view.arrangement.mending.turns == ()


def test_a_sheet_becomes_cards_and_does_not_come_back():
    session, mender = lot([scan(1), scan(2), scan(3), scan(4)])
    parts = tuple(
        (part_name(scan(1), (n, 0, 9, 9)), part_name(scan(2), (n, 0, 9, 9))) for n in range(3)
    )
    mender.mend([Split(1, parts)])
    assert cards(session) == [*parts, (scan(3), scan(4))]
    session.take_in([scan(1), scan(2), scan(3), scan(4), scan(5), scan(6)])
    assert cards(session) == [*parts, (scan(3), scan(4)), (scan(5), scan(6))]


def test_what_was_left_out_can_be_brought_back():
    session, mender = lot(even(2))
    mender.mend([NoScan(scan(2))])
    assert cards(session) == [(scan(1), None), (scan(3), scan(4))]
    mender.mend([RestoreScan(scan(2))])
    assert cards(session) == [(scan(1), scan(2)), (scan(3), scan(4))]
    with pytest.raises(Refused, match="was not skipped"):
        mender.mend([RestoreScan(scan(2))])


def test_another_folder_joins_with_its_tags():
    session, mender = lot(even(2))
    other = Arrangement(
        SideOrder.BACK_FIRST, (Pair(1, "../b/x2.jpg", "../b/x1.jpg"), Pair(4, "../b/x4.jpg", None))
    )
    mark = Mark(State.TAGGED, Tags(subject="Ivo Lund"))
    mender.mend([Join("../b", other, {4: mark})])
    assert cards(session)[2:] == [("../b/x2.jpg", "../b/x1.jpg"), ("../b/x4.jpg", None)]
    assert session.view.card_at(4).mark == mark
    with pytest.raises(Refused, match="already"):
        mender.mend([Join("../b", other, {})])
    session.undo()
    assert session.view.cards == 2
    session.redo()
    session.take_in([*even(2), "../b/x1.jpg", "../b/x2.jpg", "../b/x4.jpg"])
    # its scans were in the folders that were read, and are no longer in those of the lot
    session.undo()
    assert cards(session) == [(scan(1), scan(2)), (scan(3), scan(4))]
    assert list(session.folder.names) == even(2)
    session.redo()
    assert session.view.cards == 4
    assert session.view.card_at(4).mark == mark


def test_joined_cards_get_numbers_that_no_card_of_the_lot_has():
    session, mender = lot(even(2))
    tag(session, 1)
    tag(session, 2)
    other = Arrangement(SideOrder.ALTERNATE, (Pair(1, "../b/x1.jpg", "../b/x2.jpg"),))
    mark = Mark(State.TAGGED, Tags(subject="Ivo Lund"), running=1)
    mender.mend([Join("../b", other, {1: mark})])
    numbers = [session.view.card_at(position).mark.running for position in (1, 2, 3)]
    assert numbers == [1, 2, 3]
    session.undo()
    session.redo()
    assert session.view.card_at(3).mark.running == 3


def test_a_tagged_card_is_never_lost_or_merged():
    session, mender = lot(even(3))
    tag(session, 2)
    mender.mend([NoScan(scan(4))])
    with pytest.raises(Refused, match="would be left without a scan"):
        mender.mend([SkipScan(scan(3))])
    session, mender = lot(even(3))
    for position in (1, 2):
        tag(session, position)
    mender.mend([MissingSide(2, "front")])  # card 2's mark goes on with its front
    assert set(marked(session)) == {scan(1), scan(2), scan(3)}
    assert cards(session)[1] == (None, scan(3))


def test_the_dealer_stays_at_the_same_card():
    session, mender = lot(even(5)[:3] + even(5)[4:])
    session.go(4)
    here = session.view.card
    mender.mend([MissingSide(2, "back")])
    assert here is not None
    assert session.view.card is not None
    assert {here.front, here.back} & {session.view.card.front, session.view.card.back}


def test_scans_that_came_after_a_mend_stay_when_it_is_undone_and_done_again():
    names = even(4)
    session, mender = lot(names)
    mender.mend([Turn((scan(2),), 180)])
    mender.mend([MissingSide(2, "back")])
    session.take_in([*names, scan(9), scan(10)])
    by = tag(session, session.view.cards)
    before = (cards(session), marked(session))
    for _ in range(3):
        session.undo()
    assert {name for card in cards(session) for name in card if name} == {*names, scan(9), scan(10)}
    for _ in range(3):
        session.redo()
    assert (cards(session), marked(session)) == before
    assert by in marked(session)


def test_words_that_are_not_understood_say_what_can_be_said():
    session, _ = lot(even(2))
    for words, said in (
        ("", "Type a fix: "),
        ("fly", "Unknown fix 'fly'. Use one of: "),
        ("re back", "'re' could be rescan or restore"),
        ("drop", "Name the side"),
        ("drop up", "Name the side"),
        ("9 drop back", "There is no card 9"),
        ("swap to 7", "type one from 1 to 2"),
        ("order sideways", "Name the side order"),
        ("restore", "No scan was skipped"),
        ("brighten", "Type 'brighten on'"),
        ("rescan back", "already has a card"),
    ):
        with pytest.raises(Refused, match=said):
            read_fix(words, 1, session.view.arrangement)


def test_a_word_may_be_cut_short_and_a_position_may_come_first():
    session, _ = lot(even(3))
    assert read_fix("2 mis b", 1, session.view.arrangement).fixes == (MissingSide(2, "back"),)
    assert read_fix("sw", 3, session.view.arrangement).fixes == (SwapSides(scan(5), scan(6)),)
    assert read_fix("brighten on set", 3, session.view.arrangement, lambda _: "Squall").fixes == (
        Brighten("Squall", True),
    )
    assert read_fix("2 split", 3, session.view.arrangement).split == 2
    assert read_fix("join ../box 13", 3, session.view.arrangement).join == "../box 13"


NAMES = st.integers(1, 9).map(even)


@st.composite
def a_mend(draw: st.DrawFn, session: Session) -> Fix:
    """Some way of mending that the lot as it is may allow."""
    lot_ = session.view.arrangement
    position = draw(st.integers(1, len(lot_.pairs)))
    side = draw(st.sampled_from(("front", "back")))
    have = [name for pair in lot_.pairs for name in pair[1:] if name is not None]
    one = draw(st.sampled_from(have))
    kind = draw(st.integers(0, 8))
    if kind == 0:
        return SkipScan(one)
    if kind == 1:
        return NoScan(one)
    if kind == 2:
        return MissingSide(position, side)
    if kind == 3:
        return SwapSides(one, draw(st.sampled_from(have)))
    if kind == 4:
        last = draw(st.none() | st.integers(position, len(lot_.pairs)))
        return Reorder(position, last, draw(st.sampled_from(list(SideOrder))))
    if kind == 5:
        return Turn((one,), draw(st.sampled_from((90, 180, 270))))
    if kind == 6:
        return Rescan(position, side, one)
    if kind == 7 and lot_.mending.left_out:
        return RestoreScan(draw(st.sampled_from(lot_.mending.left_out)))
    return Dismiss("x")


@settings(deadline=None, max_examples=300)
@given(st.data())
def test_no_scan_is_lost_and_no_tag_leaves_its_scan(data):
    names = data.draw(NAMES)
    session, mender = lot(names, data.draw(st.sampled_from(list(SideOrder))))
    known: dict[str, str] = {}
    for position in data.draw(st.sets(st.integers(1, session.view.cards))):
        by = tag(session, position)
        known[by] = session.view.card_at(position).mark.tags.subject
    more, states = 100, [(session.view.arrangement, marked(session))]
    for _ in range(data.draw(st.integers(1, 6))):
        if not session.view.cards:
            break
        if data.draw(st.booleans()):
            try:
                mender.mend([data.draw(a_mend(session))])
            except Refused:
                continue
            states.append((session.view.arrangement, marked(session)))
        else:
            names = [*names, scan(more)]
            more += 1
            session.take_in(names)
            states[-1] = (session.view.arrangement, marked(session))
        mending = session.view.arrangement.mending
        have = [name for card in cards(session) for name in card if name is not None]
        assert len(have) == len(set(have))
        assert {*have, *mending.left_out} == set(names)
        assert not set(have) & set(mending.left_out)
        assert len({pair.id for pair in session.view.arrangement.pairs}) == session.view.cards
        assert len(set(marked(session).values())) == len(known)
        assert (
            read_arrangement(arrangement_document(session.view.arrangement))
            == session.view.arrangement
        )
        assert all(begin in have for begin, _ in mending.stretches)
        session.take_in(names)
        assert [name for card in cards(session) for name in card if name is not None] == have


def test_there_is_a_mark_on_each_scan_of_a_tagged_card_after_a_slip_is_mended():
    names = even(6)
    del names[5]
    session, mender = lot(names)
    truth = {}
    for position in range(1, session.view.cards + 1):
        by = tag(session, position)
        truth[by] = session.view.card_at(position).mark.tags.subject
    mender.mend([MissingSide(3, "back")])
    after = marked(session)
    assert sorted(truth.values()) == sorted(set(after.values()))
    assert [after[by] for by in truth] == list(truth.values())
