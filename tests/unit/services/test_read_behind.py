"""Cards read behind the desk: in order, again where the process died, and never twice."""

from __future__ import annotations

import os
import signal
import time
from collections.abc import Callable
from pathlib import Path
from queue import Empty, Queue
from typing import ClassVar

import pytest
from PIL import Image
from support.read_cards import a_set, card, listed

from tagger.config import Settings
from tagger.core.model.arrangement import Arrangement, Card, Pair
from tagger.errors import ReadingError
from tagger.imaging.reading.asked import CardAsked, ModelFiles, SideAsked, model_files
from tagger.services.reading import lot_readings, reader
from tagger.services.reading.lot_readings import LotReadings, readings_of
from tagger.services.reading.reading_process import MEMORY, ReadingLost, ReadingProcess

PEOPLE = ["Ivo Lund", "Ada Marsh", "Abe Marsden", "Nils Sørvik", "Jo O'Nealy", "Ida Gold"]
INDEX = listed(a_set("1987 Harbor Light", PEOPLE))
PAIRS = tuple(Pair(at, f"{at}a.png", f"{at}b.png") for at in range(1, 7))
FILES = ModelFiles(Path("finds"), Path("reads"))


class Laid:
    """Stands in for the process: reads what was laid down, dies where it is told to."""

    made: ClassVar[list[Laid]] = []
    dies_at: ClassVar[dict[str, int]] = {}

    def __init__(self, folder: Path, files: ModelFiles) -> None:
        self.read_cards: list[str] = []
        Laid.made.append(self)

    def read(self, asked: CardAsked):
        front = asked.sides["front"].scan
        if Laid.dies_at.get(front, 0):
            Laid.dies_at[front] -= 1
            raise ReadingLost("it ended")
        self.read_cards.append(front)
        at = int(front[:-5])
        return card(str(20 + at), PEOPLE[at - 1], "Harbor Light", whole=not asked.parts)

    def rest(self) -> None: ...

    def pids(self) -> list[int]:
        return []

    def close(self) -> None: ...


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    for pair in PAIRS:
        for at, scan in enumerate(pair.scans):
            Image.new("RGB", (8, 8), (pair.id, at, 0)).save(tmp_path / scan)
    Laid.made, Laid.dies_at = [], {}
    monkeypatch.setattr(reader, "ReadingProcess", Laid)
    monkeypatch.setattr(lot_readings, "PAUSES", (0.0,))
    return tmp_path


def followed(
    folder: Path, until: Callable[[list[str]], bool], position: int = 3
) -> tuple[LotReadings, list[str]]:
    """Readings of the lot with the dealer at a card, once `until` holds of what was told."""
    told: list[str] = []
    news: Queue[str] = Queue()
    readings = LotReadings(folder, lambda: FILES)
    readings.know(INDEX)
    readings.ahead(Arrangement(pairs=PAIRS), position, "")
    readings.begin(news.put)
    readings.read_on()
    while not until(told):
        try:
            told.append(news.get(timeout=20))
        except Empty:
            pytest.fail(f"only {told} was told")
    return readings, told


def came_about(fact: Callable[[], bool]) -> bool:
    """Wait for a fact, on a busy machine long."""
    for _ in range(1000):
        if fact():
            return True
        time.sleep(0.02)
    return False


def at_desk(at: int) -> Card:
    return Card(at, f"{at}a.png", f"{at}b.png")


def test_the_next_cards_are_read_first_and_nothing_is_read_twice(folder: Path) -> None:
    readings, told = followed(folder, lambda told: len(told) == len(PAIRS))
    assert Laid.made[0].read_cards == [f"{at}a.png" for at in (3, 4, 5, 6, 2, 1)]
    assert set(told) == {""}
    found = readings.evidence_of(at_desk(4))
    assert found is not None
    assert found.alone is not None
    assert INDEX.row(found.alone).subject == "Nils Sørvik"
    assert readings.of(at_desk(4)) is not None
    assert readings.of(at_desk(99)) is None
    readings._reader.settle()  # type: ignore[union-attr]
    readings.close()
    # what was renamed meanwhile is known by what it is
    os.rename(folder / "5a.png", folder / "7a.png")
    again = LotReadings(folder, lambda: FILES)
    again.know(INDEX)
    moved = tuple(pair if pair.id != 5 else Pair(5, "7a.png", "5b.png") for pair in PAIRS)
    again.ahead(Arrangement(pairs=moved), 6, "")  # of which only parts were read
    again.begin(lambda told: None)
    # what is kept is there before anything may be read, and what is not kept stays unread
    assert came_about(lambda: not again.catching_up)
    assert (last := again.evidence_of(at_desk(6))) is not None
    assert last.alone is not None
    assert again.evidence_of(Card(5, "7a.png", "5b.png")) is not None
    assert again.evidence_of(at_desk(1)) is not None
    again.ahead(Arrangement(pairs=(*moved, Pair(8, "1a.png", "2b.png"))), 7, "")
    assert came_about(lambda: not again.catching_up)
    assert Laid.made[1].read_cards == []
    again.close()


def test_a_process_that_dies_is_told_once_and_another_goes_on(folder: Path) -> None:
    """A card over which it dies each time is left."""
    Laid.dies_at = {"3a.png": 1, "5a.png": 9}
    readings, told = followed(folder, lambda told: told.count("") == 5)
    assert [one for one in told if one] == [lot_readings.STOPPED.format(why="it ended")]
    assert readings.of(at_desk(3)) is not None
    assert readings.of(at_desk(5)) is None
    assert Laid.dies_at["5a.png"] == 9 - lot_readings.TRIES
    readings.close()


def test_what_is_missing_is_told_and_the_desk_goes_on(folder: Path) -> None:
    def missing() -> ModelFiles:
        raise ReadingError("The reading model is missing.")

    told: Queue[str] = Queue()
    readings = LotReadings(folder, missing)
    readings.know(INDEX)
    readings.begin(told.put)
    assert told.get(timeout=20) == "The reading model is missing."
    assert readings.evidence_of(at_desk(1)) is None
    readings.close()
    assert readings_of(folder, Settings(read=False)) is None


def test_the_real_process_gives_way_and_another_follows_where_it_hangs(tmp_path: Path) -> None:
    Image.new("RGB", (90, 120), (240, 240, 240)).save(tmp_path / "a.png")
    process = ReadingProcess(tmp_path, model_files())
    wish = CardAsked({"front": SideAsked("a.png")})
    # what the desk holds when the process begins is not the process's own: it goes on
    held = bytearray(b"x") * MEMORY
    assert process.read(wish).texts == ()
    (pid,) = process.pids()
    del held
    assert os.getpriority(os.PRIO_PROCESS, pid) == 19
    os.kill(pid, signal.SIGSTOP)
    process._patience = 0.2
    with pytest.raises(ReadingLost, match="did not answer"):
        process.read(wish)
    process._patience = 600  # it gives way to all else on a busy machine
    assert process.read(wish).whole
    (other,) = process.pids()
    assert other != pid
    os.kill(other, signal.SIGKILL)
    process.close()
    with pytest.raises(ReadingLost):
        process.read(wish)
