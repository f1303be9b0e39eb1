"""The process that knows how tagged cards look: it answers in order, keeps what it was told, and
may be lost."""

from __future__ import annotations

import os
import random
import signal
import time
from pathlib import Path
from queue import Empty, Queue

import pytest

from tagger.core.audit.fingerprint import Fingerprint
from tagger.core.audit.signature import CardSides, KnownCard, Signature, known_card
from tagger.core.model.tags import Tags
from tagger.services.background.recognition_process import RecognitionProcess


@pytest.fixture(autouse=True)
def _own_folders(tmp_path, monkeypatch):
    for kind in ("CACHE", "DATA", "CONFIG", "STATE"):
        monkeypatch.setenv(f"XDG_{kind}_HOME", str(tmp_path / kind))


def look(seed: str) -> Signature:
    rng = random.Random(seed)
    return Signature(
        *(
            Fingerprint(rng.getrandbits(256), rng.getrandbits(256), rng.randbytes(48))
            for _ in range(2)
        )
    )


def card(folder: Path, number: str) -> KnownCard:
    scans = CardSides(str(folder), f"front {number}.jpg", f"back {number}.jpg")
    return known_card(
        scans, folder.name, Tags(set="1987 Harbor Light", number=number), look(number)
    )


def asked(looks: RecognitionProcess, seed: str, own: CardSides | None = None):
    answers: Queue = Queue()
    looks.find(look(seed), own or CardSides("/elsewhere", "a", "b"), answers.put)
    return answers.get(timeout=30)


def begun() -> RecognitionProcess:
    looks = RecognitionProcess()
    looks.begin()
    return looks


def test_a_card_is_found_as_soon_as_it_was_told_and_in_a_later_sitting(tmp_path):
    looks = begun()
    assert asked(looks, "7") is None
    looks.remember([card(tmp_path, number) for number in "789"], [])
    found = asked(looks, "7")
    assert (found.card.number, found.sure, found.corners) == ("7", True, None)
    looks.close()
    later = begun()
    assert asked(later, "8").card == card(tmp_path, "8")
    later.remember([], [card(tmp_path, "8").scans])
    assert asked(later, "8") is None
    later.close()
    last = begun()
    assert asked(last, "8") is None
    assert asked(last, "9").card.number == "9"
    last.close()


def test_a_card_is_not_found_as_its_own_look_alike(tmp_path):
    looks = begun()
    looks.remember([card(tmp_path, "7")], [])
    assert asked(looks, "7", card(tmp_path, "7").scans) is None
    looks.close()


def test_without_the_process_nothing_is_raised(tmp_path):
    looks = begun()
    assert asked(looks, "7") is None
    for _ in range(3):
        for pid in looks._workers.pids():
            os.kill(pid, signal.SIGKILL)
        looks.remember([card(tmp_path, "7")], [])
        looks.keep()
        looks.find(look("7"), CardSides("", None, None), lambda found: None)
    looks.close()
    looks.close()
    looks.remember([card(tmp_path, "8")], [])
    looks.find(look("7"), CardSides("", None, None), lambda found: pytest.fail("it has ended"))


def test_another_process_takes_the_place_of_one_that_died(tmp_path):
    looks = begun()
    looks.remember([card(tmp_path, "7")], [])
    looks.keep()
    assert asked(looks, "7").card.number == "7"
    for pid in looks._workers.pids():
        os.kill(pid, signal.SIGKILL)
        while looks._workers.pids():
            time.sleep(0.01)
    for _ in range(100):  # the pool takes a moment to notice
        answers: Queue = Queue()
        looks.find(look("7"), CardSides("/elsewhere", "a", "b"), answers.put)
        try:
            assert answers.get(timeout=3).card.number == "7"
            break
        except Empty:
            continue
    else:
        pytest.fail("no process took its place")
    looks.close()


def test_what_was_not_begun_starts_no_process(tmp_path):
    looks = RecognitionProcess()
    looks.remember([card(tmp_path, "7")], [])
    looks.keep()
    assert looks._workers is None
    looks.close()
