"""Sittings: what counts as work and what as a break, the words for it, and that the lot keeps
them."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from support.at_work import MATCHER, SCANS, take

from tagger.core.lot.pace import BREAK
from tagger.core.lot.sitting import Sitting, WorkTime, with_sitting
from tagger.core.session.session import Session
from tagger.store.lot.documents import read_sitting, sitting_document
from tagger.store.lot.journal import encode, lines_of
from tagger.store.lot.lot_file import LotFile, read_lot


class Clock:
    """A clock that stands until it is moved on."""

    def __init__(self, now: float) -> None:
        self.now = now

    def __call__(self) -> float:
        return self.now


def opened(home: Path, clock: Clock) -> Session:
    session = Session(LotFile(home, "box 12"), clock=clock)
    session.candidates.matcher = MATCHER
    session.take_in(SCANS)
    return session


def press(session: Session, clock: Clock, *after: float) -> None:
    for seconds in after:
        clock.now += seconds
        session.work.key(clock())


def journal(home: Path) -> list[dict[str, Any]]:
    return [line.record or {} for line in lines_of((home / "lot.journal").read_bytes())]


@given(st.lists(st.floats(0, 400), max_size=30))
def test_law_work_and_breaks_are_all_the_time_there_is(gaps):
    work = WorkTime(1000.0)
    now = 1000.0
    for gap in gaps:
        now += gap
        work.key(now)
    assert work.keys == len(gaps)
    assert work.seconds + work.away == pytest.approx(sum(gaps))
    assert work.away == pytest.approx(sum(gap for gap in gaps if gap > BREAK), abs=1e-6)


def test_a_clock_that_is_put_back_takes_no_time_away():
    work = WorkTime(1000.0)
    for now in (1010.0, 400.0, 405.0):
        work.key(now)
    assert (work.seconds, work.away, work.keys) == (15.0, 0.0, 3)


@pytest.mark.parametrize(
    ("sitting", "told"),
    [
        (
            Sitting(1.0, 540, 120, 84, 3, 176),
            "84 cards in 9 minutes (not counting 2 minutes of breaks), 9.3 a minute, "
            "2.1 keys a card, 3 set aside",
        ),
        (Sitting(1.0, 60, 0, 1, 0, 4), "1 card in 1 minute, 1.0 a minute, 4.0 keys a card"),
        (Sitting(1.0, 1.0, 0, 2, 0, 4), "2 cards in less than a minute, 2.0 keys a card"),
        (Sitting(1.0, 90, 0, 0, 2, 4), "0 cards in 2 minutes, 2 set aside"),
    ],
)
def test_a_sitting_in_words(sitting, told):
    assert sitting.told() == told


def test_a_sitting_is_kept_and_the_next_one_stands_beside_it(tmp_path):
    clock = Clock(5000.0)
    session = opened(tmp_path, clock)
    press(session, clock, 4, 6, 100, 5)
    take(session, "set=87 1")
    take(session, "2")
    session.set_aside("torn")
    session.close()
    first = Sitting(5000.0, 15.0, 100.0, 2, 1, 4)
    assert read_lot(tmp_path).sittings == (first,)
    clock.now = 9000.0
    session = opened(tmp_path, clock)
    press(session, clock, 3)
    session.undo()
    take(session, "4")
    session.close()
    assert read_lot(tmp_path).sittings == (first, Sitting(9000.0, 3.0, 0.0, 1, 0, 1))
    (tmp_path / "lot.json").unlink()  # the journal alone says the same
    assert read_lot(tmp_path).sittings == (first, Sitting(9000.0, 3.0, 0.0, 1, 0, 1))


def test_looking_and_leaving_is_no_sitting(tmp_path):
    clock = Clock(5000.0)
    opened(tmp_path, clock).close()
    before = (tmp_path / "lot.journal").read_bytes()
    session = opened(tmp_path, clock)
    press(session, clock, 1, 1)
    session.close()
    assert (tmp_path / "lot.journal").read_bytes() == before
    assert read_lot(tmp_path).sittings == ()


def test_a_kill_loses_the_last_moments_only(tmp_path):
    """Settled now and then; nothing is closed before the files are read again."""
    clock = Clock(5000.0)
    session = opened(tmp_path, clock)
    for card in (1, 2, 3, 4):
        press(session, clock, 10)
        take(session, f"set=87 {card}")
        session.settle()
    assert [sitting.cards for sitting in read_lot(tmp_path).sittings] == [3]
    press(session, clock, 30)
    session.settle()  # no card more than there is: one that was noted 40 seconds ago is noted again
    assert [sitting.cards for sitting in read_lot(tmp_path).sittings] == [4]
    size = (tmp_path / "lot.journal").stat().st_size
    press(session, clock, 30)
    session.settle()
    assert (tmp_path / "lot.journal").stat().st_size == size
    session.close()


def test_a_record_replayed_twice_is_one_sitting(tmp_path):
    clock = Clock(5000.0)
    session = opened(tmp_path, clock)
    press(session, clock, 4)
    take(session, "set=87 1")
    session.close()
    (said,) = [record for record in journal(tmp_path) if record["k"] == "sitting"]
    number = journal(tmp_path)[-1]["n"] + 1
    with open(tmp_path / "lot.journal", "ab") as file:
        file.write(encode({**said, "n": number}))
    assert read_lot(tmp_path).sittings == (Sitting(5000.0, 4.0, 0.0, 1, 0, 1),)


def test_undo_passes_over_a_sitting(tmp_path):
    clock = Clock(5000.0)
    session = opened(tmp_path, clock)
    take(session, "set=87 1")
    session.close()
    session = opened(tmp_path, clock)
    assert session.undo() == "Undone: card 1: #1 Ada Marsh, base."
    session.close()
    assert read_lot(tmp_path).counts().tagged == 0


SITTINGS = st.builds(
    Sitting,
    st.floats(0, 4e9),
    st.floats(0, 1e6),
    st.floats(0, 1e6),
    *[st.integers(0, 10**6) for _ in range(3)],
)


@given(st.lists(SITTINGS, max_size=6), SITTINGS)
def test_law_one_sitting_a_time_of_opening(sittings, last):
    found: tuple[Sitting, ...] = ()
    for sitting in (*sittings, last, last):
        found = with_sitting(found, sitting)
    assert found[-1] == last
    assert [sitting.at for sitting in found].count(last.at) == 1
    assert {sitting.at for sitting in found} == {sitting.at for sitting in (*sittings, last)}


@given(SITTINGS)
def test_law_a_sitting_is_the_same_after_its_document(sitting):
    assert read_sitting(json.loads(json.dumps(sitting_document(sitting)))) == sitting


@pytest.mark.parametrize("at", [-1, 1e300, float("nan"), float("inf")])
def test_a_time_that_cannot_be_is_none(at):
    with pytest.raises(ValueError, match="sitting"):
        read_sitting({**sitting_document(Sitting(1.0)), "at": at})
