"""kill -9 at random moments: nothing that was accepted is lost, and the lot always opens."""

from __future__ import annotations

import os
import random
import signal
import time
from pathlib import Path

import pytest
from crash.kills import kills
from support import drawn
from support.memory import MemoryStore
from support.terminal import Terminal

from tagger.core.checklist.files import parse_checklist
from tagger.core.index.index import Index
from tagger.core.lot.lot import LotState
from tagger.core.matching.matcher import Matcher
from tagger.core.session.session import Session
from tagger.errors import Refused
from tagger.store.lot.lot_file import LotFile, read_lot

ROWS = drawn.set_rows("1987 Harbor Light", 120, seed=5)
SCANS = [f"scan_{number}.jpg" for number in range(1, 161)]
MATCHER = Matcher(Index(parse_checklist(drawn.checklist_csv(ROWS).encode(), "list.csv", "list")))


def edit(session: Session, source: random.Random) -> None:
    """One random thing that a dealer does. What is refused changes nothing."""
    number = str(source.randrange(1, 121))
    try:
        match source.choices(
            ("take", "aside", "undo", "redo", "carry", "drop", "clear", "back"),
            (60, 6, 10, 6, 6, 3, 3, 6),
        )[0]:
            case "take":
                if session.view.at_end:
                    session.go(source.randrange(1, 81))
                session.take(
                    session.candidates.of(
                        source.choice((number, f"{number} g {number}/99", f"{number} nm"))
                    )[0]
                )
            case "aside":
                session.set_aside("creased")
            case "undo":
                session.undo()
            case "redo":
                session.redo()
            case "carry":
                session.carry(source.choice(("nm", "gold", "ex at=box 3, row 2", "at=box 4")))
            case "drop":
                session.drop("")
            case "clear":
                session.clear()
            case "back":
                session.go(source.randrange(1, 81))
    except Refused:
        pass


def work(store: object, seed: int, edits: int | None, told: int | None) -> None:
    """Edit without end, or so many edits; write a byte to `told` after each one that is done."""
    session = Session(store, clock=lambda: 0.0)  # type: ignore[arg-type]
    session.candidates.matcher = MATCHER
    session.take_in(SCANS)
    source = random.Random(seed)
    done = 0
    while edits is None or done < edits:
        edit(session, source)
        done += 1
        if told is not None:
            os.write(told, b".")


def after(seed: int, edits: int) -> MemoryStore:
    """What the lot and its history are after so many edits."""
    store = MemoryStore()
    work(store, seed, edits, None)
    return store


def kept(lot: LotState, done: list[str], undone: list[str]) -> tuple[object, ...]:
    """What must survive: marks, arrangement, carried tags, history. The place of a mere step may be
    the one before."""
    marks = {id: mark for id, mark in lot.marks.items() if mark.state != "untagged"}
    return marks, lot.arrangement, lot.cursor.carried, done, undone


def of_memory(store: MemoryStore) -> tuple[object, ...]:
    return kept(store.lot, [c.label for c in store.done], [c.label for c in store.undone])


def of_disk(home: Path) -> tuple[object, ...]:
    """What is found at opening; the history as undoing all of it shows it."""
    store = LotFile(home, "lot")
    found = kept(store.lot, [], [])
    undone: list[str] = []
    while change := store.redo():
        undone.insert(0, change.label)
    for _ in undone:
        store.undo()
    done: list[str] = []
    while change := store.undo():
        done.insert(0, change.label)
    store.close()
    return (*found[:3], done, undone)


def killed(home: Path, seed: int, wait: float) -> int:
    """Let a child edit the lot, kill it after `wait` seconds of work, and say how many edits it had
    reported."""
    end, told = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            os.close(end)
            work(LotFile(home, "lot"), seed, None, told)
        finally:
            os._exit(1)
    os.close(told)
    # the first edit is done: from here on a kill is at a random moment of the work
    reported = os.read(end, 1)
    time.sleep(wait)
    os.kill(child, signal.SIGKILL)
    assert os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == -signal.SIGKILL
    while more := os.read(end, 65536):
        reported += more
    os.close(end)
    return len(reported)


@pytest.mark.parametrize("block", range(2))
def test_any_work_outlasts_fifty_kills(tmp_path: Path, block: int) -> None:
    tally = kills(tmp_path, 50, seed=block)
    assert tally.tried == 50
    assert tally.good, str(tally)


@pytest.mark.nightly
@pytest.mark.parametrize("block", range(100))
def test_any_work_outlasts_a_hundred_kills(tmp_path: Path, block: int) -> None:
    tally = kills(tmp_path, 100, seed=100 + block)
    assert tally.good, str(tally)


@pytest.mark.parametrize("kills", [30, pytest.param(500, marks=pytest.mark.nightly)])
def test_nothing_accepted_is_lost_by_kills(tmp_path: Path, kills: int) -> None:
    source = random.Random(kills)
    for seed in range(kills):
        home = tmp_path / str(seed)
        home.mkdir()
        reported = killed(home, seed, source.random() * 0.06)
        # The edit under way when the kill came may be whole or not there; each one before it must
        # be there.
        assert of_disk(home) in (
            of_memory(after(seed, reported)),
            of_memory(after(seed, reported + 1)),
        ), f"{reported} edits"


@pytest.mark.parametrize("kills", [6, pytest.param(200, marks=pytest.mark.nightly)])
@pytest.mark.usefixtures("opened_before")
def test_the_real_program_loses_nothing(tmp_path: Path, tagger: list[str], kills: int) -> None:
    """Numbers are typed into the real program in a terminal; it is killed at random moments. All
    that the screen had shown as tagged is in the lot, and the next opening stands at the card
    after."""
    cards = 12 * kills
    tray = drawn.presorted(ROWS, cards, seed=8)
    folder = tmp_path / "lot"
    drawn.draw_scans(folder, cards, size=(60, 84))
    (tmp_path / "list.csv").write_text(drawn.checklist_csv(ROWS), encoding="utf-8")
    source = random.Random(kills)
    at = 0
    for _ in range(kills):
        with Terminal(
            [*tagger, "open", str(folder), "--checklist", str(tmp_path / "list.csv")]
        ) as terminal:
            shown = terminal.wait_for(r"card (\d+) of")
            assert int(shown[1]) == at + 1
            terminal.wait_for(r"Enter (accepts|does nothing)")
            terminal.send("".join(f"{card.number}\r" for card in tray[at : at + 10]))
            terminal.pump(source.random() * 0.4)
            seen = int(terminal.wait_for(r"card (\d+) of")[1]) - 1
            terminal.signal(signal.SIGKILL)
            terminal.close()
        state = read_lot(folder)
        right = [
            state.marks[pair.id].tags.subject
            for pair in state.arrangement.pairs
            if pair.id in state.marks
        ]
        assert right == [card.subject for card in tray[: len(right)]]
        assert len(right) >= seen
        at = len(right)
