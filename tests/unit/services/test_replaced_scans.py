"""What becomes of tags where the scans of a lot are replaced, renamed, removed or added between two
sittings: every tag stays on its card, or it is asked."""

from __future__ import annotations

import json
import os
import random
from pathlib import Path

import pytest
from fuzz.replaced import (
    Tray,
    cases,
    exchange,
    number_anew,
    opened,
    rename_all,
    rename_some,
    scan,
    tag,
    tagged,
    touch_all,
)

from tagger.cli import main
from tagger.core.lot.change import ScansSeen
from tagger.core.lot.scan_stamps import not_digested
from tagger.core.model.tags import State
from tagger.core.session.replaced_answers import another_card, same_card
from tagger.errors import Refused
from tagger.services.opening import look_at_scans
from tagger.services.scans.scan_check import digested
from tagger.store.machine.paths import LotPlace

SHORT, LONG = 40, 500


def test_every_tag_is_on_its_card_or_asked(tmp_path: Path) -> None:
    assert not cases(tmp_path / "lots", range(SHORT))


@pytest.mark.nightly
def test_every_tag_is_on_its_card_or_asked_in_many_lots(tmp_path: Path) -> None:
    assert not cases(tmp_path / "lots", range(SHORT, SHORT + LONG))


# Told everywhere, asked and answered


@pytest.fixture
def tray(tmp_path: Path) -> Tray:
    """Eight cards in a folder, all tagged in a sitting that was ended as it should be."""
    tray = Tray(tmp_path / "box 12", random.Random(7))
    tray.feed(8, 1)
    with opened(tray.folder) as session:
        for position in range(1, 9):
            tag(session, tray, position)
    return tray


def run(*words: object) -> int:
    return main([str(word) for word in words])


def test_scans_replaced_under_the_same_names_are_told_by_whatever_reads_the_lot(
    tray: Tray, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    lot, out = tray.folder, tmp_path / "out"
    tray.feed(8, 1)
    for words in (
        ["status", lot], ["audit", lot], ["export", lot, "--to", f"{out}.csv"],
        ["page", lot, "--to", f"{out}.html"], ["value", lot], ["value"],
        ["sold", lot, 1],
    ):  # fmt: skip
        assert run(*words) == 1, words
        assert (
            "the scans of 8 cards, starting with card 1, were replaced since they were tagged"
            in capsys.readouterr().err
        ), words
    run("audit", lot, "--json")
    asked = list(json.loads(capsys.readouterr().out)["findings"])[:8]
    assert {one["kind"] for one in asked} == {"replaced_scan"}
    assert "than when card 1 was tagged #1 X000001" in asked[0]["detail"]
    # which answer is right, no number of a problem can say
    assert run("fix", lot, "--finding", 1) == 1
    assert run("fix", lot, 1, "same") == 1
    assert run("fix", lot, 2, "another", "to", 8) == 0
    assert run("status", lot) == 0
    assert run("fix", lot, "undo") == 1
    assert "the scans of 7 cards" in capsys.readouterr().err
    assert run("fix", lot, "undo") == 1
    assert "the scans of 8 cards" in capsys.readouterr().err
    assert run("fix", lot, 1, "same", "on") == 0
    with opened(lot) as session:
        assert len(tagged(session)) == 8
        assert not session.scans.replaced.positions()
        with pytest.raises(Refused, match="No scan was replaced here"):
            same_card(session, [1])


def test_another_time_of_the_same_file_is_no_news(tray: Tray) -> None:
    touch_all(tray)
    assert run("status", tray.folder) == 0
    with opened(tray.folder) as session:
        assert not session.scans.replaced.positions()
        stamps = dict(session.view.stamps)
    assert len(stamps) == 16
    assert all(
        os.stat(tray.folder / name).st_mtime_ns == stamp.time for name, stamp in stamps.items()
    )


@pytest.mark.parametrize("happens", [rename_all, rename_some, number_anew, exchange])
def test_tags_follow_scans_that_were_renamed(tray: Tray, happens: object) -> None:
    assert callable(happens)
    happens(tray)
    assert run("status", tray.folder) in (0, 1)
    with opened(tray.folder) as session:
        asked = session.scans.replaced.positions()
        assert happens is exchange or not asked
        for position in range(1, session.view.cards + 1):
            card = session.view.card_at(position)
            if card.mark.state is State.TAGGED and position not in asked:
                assert tray.shows(card.front)[:6] == card.mark.tags.subject[1:]
        assert len(tagged(session)) == 8


def test_who_names_the_card_anew_is_asked_no_more(tray: Tray) -> None:
    tray.write(scan(1), 99, "front")
    with opened(tray.folder) as session:
        assert session.scans.replaced.positions() == (1,)
        session.go(1)
        session.set_aside("check again")
        assert session.scans.replaced.positions() == (1,)
        session.go(1)
        session.take_unlisted("5 name=x000099")
        assert not session.scans.replaced.positions()
        session.undo()
        assert session.scans.replaced.positions() == (1,)
        session.redo()
        assert not session.scans.replaced.positions()
    assert run("status", tray.folder) == 0


def test_a_side_that_is_scanned_again_under_a_new_name_is_not_asked_about(tray: Tray) -> None:
    tray.write("scan_0100.jpg", 3, "back ")
    with opened(tray.folder):
        pass
    assert run("fix", tray.folder, 3, "rescan", "back", "scan_0100.jpg") == 0
    with opened(tray.folder) as session:
        assert session.view.card_at(3).back == "scan_0100.jpg"
        assert session.view.stamps["scan_0100.jpg"].digest
    # and from then on it is known
    tray.write("scan_0100.jpg", 4, "back ")
    assert run("status", tray.folder) == 1


def test_a_joined_lot_brings_what_its_scans_were(tray: Tray, tmp_path: Path) -> None:
    other = Tray(tmp_path / "box 13", random.Random(8))
    other.feed(2, 1)
    with opened(other.folder) as session:
        tag(session, other, 1)
        tag(session, other, 2)
    other.write(scan(3), 77, "front")
    assert run("fix", tray.folder, "join", "../box 13") == 1
    with opened(tray.folder) as session:
        assert session.scans.replaced.positions() == (10,)


def test_a_lot_of_an_earlier_version_opens_and_is_known_from_then_on(tray: Tray) -> None:
    journal = tray.folder / "lot.journal"
    with opened(tray.folder) as session:
        wanted = dict.fromkeys(session.view.stamps)
        session._store.note(ScansSeen(tuple(wanted.items())))  # type: ignore[attr-defined]
        assert len(not_digested(session.view)) == 16
    assert journal.exists()
    tray.write(scan(1), 99, "front")
    assert run("status", tray.folder) == 0  # nobody can know
    with opened(tray.folder) as session:
        # as the desk does behind the first card
        session.scans.read(digested(tray.folder, not_digested(session.view)))
        assert not not_digested(session.view)
    tray.write(scan(1), 98, "front")
    assert run("status", tray.folder) == 1


def test_what_is_there_to_be_read_is_read_once_and_only_what_there_is_room_for(tray: Tray) -> None:
    with opened(tray.folder) as session:
        found = digested(tray.folder, list(session.view.stamps), room=30)
        assert len(found) == 2
    assert not digested(tray.folder, ["gone.jpg", "../../etc/passwd", "a\0b.jpg"])
    (tray.folder / "pipe.jpg").unlink(missing_ok=True)
    os.mkfifo(tray.folder / "pipe.jpg")
    assert not digested(tray.folder, ["pipe.jpg"])
    (looked, changed) = look_at_scans(LotPlace(tray.folder, tray.folder))
    assert not changed
    assert looked.lot.cards == 8


def test_another_card_leaves_the_tags_of_one_that_was_sold(tray: Tray) -> None:
    assert run("sold", tray.folder, "1", "--order", "A-17") == 0
    tray.feed(8, 1)
    with opened(tray.folder) as session:
        asked = session.scans.replaced.positions()
        assert {1, 2} <= set(asked)
        with pytest.raises(Refused, match="Card 1 was sold"):
            another_card(session, [1])
        said = another_card(session, asked)
        assert "unchanged: 1 card" in said
        states = [session.view.card_at(at).mark.state for at in (1, 2)]
        assert states == [State.TAGGED, State.UNTAGGED]
