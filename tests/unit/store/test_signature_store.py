"""What is remembered of tagged cards over all lots: kept, forgotten, and as if it never was where a
file is damaged."""

from __future__ import annotations

import os
import random
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tagger.core.audit.fingerprint import Fingerprint
from tagger.core.audit.signature import LOOK_BYTES, CardSides, KnownCard, Signature
from tagger.imaging.survey.hamming_index import NearestNeighbourIndex
from tagger.store.caches import signature_file, signature_store
from tagger.store.caches.sealed import keep_sealed, read_sealed
from tagger.store.caches.signature_store import SignatureStore


def card(folder: Path | str, at: int, number: str = "") -> KnownCard:
    """The card of two scans of a lot."""
    scans = CardSides(str(folder), f"scan_{2 * at:04}.jpg", f"scan_{2 * at + 1:04}.jpg")
    look = random.Random(f"{Path(folder).name!a} {at} {number}").randbytes(LOOK_BYTES)
    return KnownCard(
        scans, "box 12", "1987 Harbor Light", number or str(at), "Ada Marsh", "Harbor Gulls", look
    )


@pytest.fixture
def lots(tmp_path: Path) -> tuple[Path, Path]:
    folders = tmp_path / "one", tmp_path / "two"
    for folder in folders:
        folder.mkdir()
    return folders


def known_in(store: Path) -> list[KnownCard | None]:
    """All that another sitting knows, held against the looks that it hands out."""
    known = SignatureStore(store)
    keys, looks = known.load()
    assert len(set(keys)) == len(keys)
    assert len(looks) == len(keys) * LOOK_BYTES
    cards = [known.card(key) for key in keys]
    assert [one and one.look for one in cards] == [
        looks[at * LOOK_BYTES : (at + 1) * LOOK_BYTES] for at in range(len(keys))
    ]
    return cards


def by_scans(cards: list[KnownCard | None]) -> dict[CardSides, KnownCard]:
    return {one.scans: one for one in cards if one is not None}


def test_another_sitting_knows_what_was_kept(tmp_path, lots):
    first, second = lots
    cards = [
        card(first, 1),
        card(second, 1),
        card(first, 2),
        replace(card(first, 3), scans=CardSides(str(first), "a", None)),
    ]
    known = SignatureStore(tmp_path / "looks")
    keys = known.remember(cards)
    assert [known.card(key) for key in keys] == cards
    assert known_in(tmp_path / "looks") == []
    known.keep()
    assert by_scans(known_in(tmp_path / "looks")) == by_scans(list(cards))


def test_a_lot_that_is_opened_again_goes_on_where_it_was(tmp_path, lots):
    known = SignatureStore(tmp_path / "looks")
    known.remember([card(lots[0], 1), card(lots[0], 2)])
    known.keep()
    again = SignatureStore(tmp_path / "looks")
    keys, _ = again.load()
    mended = card(lots[0], 2, "117a")
    assert again.remember([mended]) == [key for key in keys if again.card(key) == mended]
    again.remember([card(lots[0], 3)])
    assert sorted(again.load()[0])[:2] == sorted(keys)
    again.keep()
    assert by_scans(known_in(tmp_path / "looks")) == by_scans(
        [card(lots[0], 1), mended, card(lots[0], 3)]
    )


def test_what_is_untagged_is_forgotten(tmp_path, lots):
    known = SignatureStore(tmp_path / "looks")
    keys = known.remember([card(lots[0], 1), card(lots[0], 2)])
    known.keep()
    assert known.forget([card(lots[0], 1).scans, CardSides("/nowhere", "a", "b")]) == keys[:1]
    assert known.card(keys[0]) is None
    known.keep()
    assert known_in(tmp_path / "looks") == [card(lots[0], 2)]
    assert known.forget_lot(str(lots[0])) == keys[1:]
    known.keep()
    assert list((tmp_path / "looks").iterdir()) == []


def test_a_lot_whose_folder_is_gone_is_left_out_until_it_is_back(tmp_path, lots):
    known = SignatureStore(tmp_path / "looks")
    known.remember([card(lots[0], 1), card(lots[1], 1)])
    known.keep()
    lots[0].rename(tmp_path / "elsewhere")
    assert known_in(tmp_path / "looks") == [card(lots[1], 1)]
    (tmp_path / "elsewhere").rename(lots[0])
    assert len(known_in(tmp_path / "looks")) == 2


@pytest.mark.parametrize("damage", ["flip", "cut", "longer", "empty"])
def test_a_damaged_file_is_as_none_and_the_other_lots_stay(tmp_path, lots, damage):
    known = SignatureStore(tmp_path / "looks")
    known.remember([card(lots[0], 1), card(lots[1], 1)])
    known.keep()
    rng = random.Random(damage)
    for path in (tmp_path / "looks").iterdir():
        whole = path.read_bytes()
        if os.fsencode(lots[0]) not in whole:
            continue
        for _ in range(60):
            data = bytearray(whole)
            if damage == "flip":
                data[rng.randrange(len(data))] ^= 1 << rng.randrange(8)
            broken = {
                "flip": bytes(data), "cut": whole[: rng.randrange(len(whole))],
                "longer": whole + b"\n", "empty": b"",
            }[damage]  # fmt: skip
            path.write_bytes(broken)
            assert known_in(tmp_path / "looks") == [card(lots[1], 1)]
            assert SignatureStore(tmp_path / "looks").remember([card(lots[0], 2)]) == [0]


@pytest.mark.parametrize(
    "wrong",
    [
        {"number": [1]}, {"front": ["a", "b"]}, {"team": None}, {"folder": "\ud800"},
        {"folder": 7}, {"lot": None},
        {"subject": "A"},
    ],
)  # fmt: skip
def test_a_file_of_another_hand_is_checked(tmp_path, lots, wrong):
    """Its checksum is right, what it says is not."""
    known = SignatureStore(tmp_path / "looks")
    known.remember([card(lots[0], 1)])
    known.keep()
    (path,) = (tmp_path / "looks").iterdir()
    kept = read_sealed(path, signature_file.MARK)
    assert kept is not None
    assert len(known_in(tmp_path / "looks")) == 1
    assert keep_sealed(path, signature_file.MARK, kept.head | wrong, [kept.body])
    assert known_in(tmp_path / "looks") == []
    assert SignatureStore(tmp_path / "looks").remember([card(lots[0], 2)]) == [0]


def test_a_copy_of_a_file_under_another_name_counts_for_nothing(tmp_path, lots):
    known = SignatureStore(tmp_path / "looks")
    known.remember([card(lots[0], 1)])
    known.keep()
    (path,) = (tmp_path / "looks").iterdir()
    path.with_name("copy.looks").write_bytes(path.read_bytes())
    assert known_in(tmp_path / "looks") == [card(lots[0], 1)]


def test_names_that_are_no_text_come_back_as_they_were(tmp_path):
    folder = tmp_path / os.fsdecode(b"box \xff")
    folder.mkdir()
    hostile = replace(
        card(folder, 1),
        subject="\x1b[2J\n‮",
        scans=CardSides(str(folder), os.fsdecode(b"\xfe.jpg"), None),
    )
    known = SignatureStore(tmp_path / "looks")
    known.remember([hostile])
    known.keep()
    assert known_in(tmp_path / "looks") == [hostile]


def test_a_key_of_a_file_that_another_sitting_wrote_anew_says_nothing(tmp_path, lots):
    one, other = SignatureStore(tmp_path / "looks"), SignatureStore(tmp_path / "looks")
    one.remember([card(lots[0], 1), card(lots[0], 2)])
    one.keep()
    keys, _ = other.load()
    one.forget([card(lots[0], 1).scans])
    one.keep()
    assert [other.card(key) for key in keys] == [None, None]
    (key,) = other.load()[0]
    assert other.card(key) == card(lots[0], 2)
    assert key not in keys


def test_the_oldest_lots_go_where_there_are_too_many(tmp_path, monkeypatch):
    monkeypatch.setattr(signature_store, "MOST_LOTS", 3)
    known = SignatureStore(tmp_path / "looks")
    for number in range(5):
        (tmp_path / str(number)).mkdir()
        known.remember([card(tmp_path / str(number), number)])
        known.keep()
        for at, path in enumerate(
            sorted((tmp_path / "looks").iterdir(), key=lambda path: path.stat().st_mtime_ns)
        ):
            os.utime(path, ns=(10**9 * (number + at), 10**9 * (number + at)))
    assert {one.number for one in known_in(tmp_path / "looks") if one} == {"2", "3", "4"}


def test_where_nothing_can_be_written_nothing_is_raised(tmp_path, lots):
    (tmp_path / "looks").write_text("no folder")
    known = SignatureStore(tmp_path / "looks")
    (key,) = known.remember([card(lots[0], 1)])
    known.keep()
    assert known.card(key) == card(lots[0], 1)
    assert known.load() == ([key], card(lots[0], 1).look)
    (tmp_path / "looks").unlink()
    known.keep()
    assert known_in(tmp_path / "looks") == [card(lots[0], 1)]


def test_a_key_that_was_never_given_says_nothing(tmp_path):
    known = SignatureStore(tmp_path / "looks")
    assert [known.card(key) for key in (-1, 0, 1 << 40)] == [None, None, None]
    with pytest.raises(ValueError, match="a look is"):
        known.remember([replace(card(tmp_path, 1), look=b"short")])


steps = st.lists(
    st.tuples(
        st.sampled_from(("remember", "forget", "keep", "again")),
        st.integers(0, 1),
        st.integers(0, 3),
    )
)


@given(steps)
def test_what_was_forgotten_is_never_proposed(tmp_path_factory, steps):
    """A plain dict is told the same; what is proposed for each look is what it holds."""
    home = tmp_path_factory.mktemp("looks")
    folders = [home / "one", home / "two"]
    for folder in folders:
        folder.mkdir()
    known, truth, index = (
        SignatureStore(home / "looks"),
        dict[CardSides, KnownCard](),
        NearestNeighbourIndex(),
    )
    for what, lot, at in steps:
        one = seen(folders[lot], at)
        if what == "remember":
            truth[one.scans] = one
            index.add(known.remember([one]), one.look)
        elif what == "forget":
            truth.pop(one.scans, None)
            index.remove(known.forget([one.scans]))
        else:
            known.keep()
        if what == "again":
            known, index = SignatureStore(home / "looks"), NearestNeighbourIndex()
            index.add(*known.load())
    assert len(index) == len(truth)
    for folder in folders:
        for at in range(4):
            alike = index.find(shown(folder, at))
            proposed = None if alike is None else known.card(alike.key)
            assert proposed == truth.get(seen(folder, at).scans)


def shown(folder: Path, at: int) -> Signature:
    rng = random.Random(f"{folder.name} {at}")
    front, back = (
        Fingerprint(rng.getrandbits(256), rng.getrandbits(256), rng.randbytes(48)) for _ in range(2)
    )
    return Signature(front, back)


def seen(folder: Path, at: int) -> KnownCard:
    one = card(folder, at)
    return replace(one, look=shown(folder, at).kept(one.set, f"{folder.name} {at}"))
