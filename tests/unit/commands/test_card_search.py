"""Finding a card again: the answer is that of going through every card of every lot; places are
counted right."""

from __future__ import annotations

import json
import random
from collections.abc import Sequence
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from support.plain_scan import PlainScan
from support.plain_words import Word

from tagger.cli import main
from tagger.core.index.index import Index
from tagger.core.index.location_builder import name_of, pack_locations, rows_of
from tagger.core.index.location_index import IndexedCard, IndexedLot, LocationIndex
from tagger.core.matching.hint import parse_hint
from tagger.core.matching.matcher import NOWHERE
from tagger.core.matching.priors.context import Context
from tagger.core.matching.read import POOR
from tagger.core.matching.variants.option import Option
from tagger.core.model.tags import Mark, State, Tags
from tagger.core.reports.card_search import SearchHit, find, problem_of
from tagger.core.session.session import Session
from tagger.store.caches import catalogue as kept
from tagger.store.lot.documents import mark_document, read_mark
from tagger.store.lot.lot_file import LotFile, read_lot
from tagger.store.machine.lots import LotList
from tagger.store.machine.paths import LotPlace, catalogue_folder, data_folder

SETS = ("1987 Harbor Light", "1985 Mill Pond", "Quarry Gate")
SUBJECTS = (
    "Ada Marsh",
    "Abe Marsden",
    "Lee Gold",
    "Ida Gold / Gil Golder",
    "Ivo Lund",
    "Ann O'Neil",
    "Mara St. Clair",
)
NUMBERS = ("1", "2", "12", "23", "117a", "RC-7")
TEAMS = ("", "Harbor Gulls", "Mill Foxes")
VARIANTS = (
    ("", ""),
    ("", ""),
    ("Gold", "12/99"),
    ("Gold", "7/99"),
    ("Silver", ""),
    ("Blue Wave", ""),
    ("", "3/5"),
)
PLACES = ("", "box 3, row 1", "box 3, row 2")

tags = st.builds(
    lambda set, number, subject, team, variant, condition, place: Tags(
        set, number, subject, team, *variant, condition, place
    ),
    *map(
        st.sampled_from,
        (SETS, NUMBERS, SUBJECTS, TEAMS, VARIANTS, ("", "Near Mint", "Poor"), PLACES),
    ),
)
marks = st.one_of(
    st.builds(
        Mark,
        st.just(State.TAGGED),
        tags,
        st.just(""),
        st.sampled_from(("", "", "", "sold", "pulled")),
    ),
    st.builds(Mark, st.just(State.SET_ASIDE), tags, st.just("torn")),
    st.just(Mark()),
)
lots = st.lists(st.lists(marks, max_size=9), max_size=4)
WORDS = (
    "1 2 23 12 117a rc7 marsh mar ada am gold g silver blue 12/99 /99 /5 nm poor base lund lee 87 "
    "1985 harbor quarry "
    "gulls foxes torn clair oneil set=mill name=gold parallel=gold #12"
)
hints = st.lists(st.sampled_from(WORDS.split()), min_size=1, max_size=3).map(" ".join)


def laid(every: Sequence[Sequence[Mark]]) -> list[IndexedLot]:
    """Lots with these marks; a card's scans say where it lies."""
    return [
        IndexedLot(
            f"lot {at}",
            [IndexedCard(f"{at} {place}", "", mark) for place, mark in enumerate(cards, start=1)],
        )
        for at, cards in enumerate(every)
    ]


def packed(every: Sequence[IndexedLot]) -> LocationIndex:
    return LocationIndex(Index.opened(pack_locations(every)))


def whole(part: LocationIndex) -> tuple[LocationIndex, range]:
    return part, range(len(part.lots))


class AnyPlace(PlainScan):
    """Goes through all rows, none of which the lot points to."""

    def _at_hand(self, read: list[Word], only: set[str] | None, context: Context) -> set[str]:
        return super()._at_hand(read, only, context) if any(word.sets for word in read) else set()

    def fitting(self, hint: str) -> list[tuple[tuple[str, ...], Option]]:
        """(name, variant) of all rows that every word fits, those that need a guess only where
        there are no others."""
        found = []
        self._begin(NOWHERE)
        for tokens in self._spellings(parse_hint(hint).tokens, NOWHERE):
            left, condition = self._take_condition(tokens)
            for _, step, option in self._weigh(left, condition, NOWHERE) if left else ():
                if not option.problem and all(meaning for _, meaning in option.reasons):
                    found.append((self.rows[step][:4], option))
        return found


def _is_of(tags: Tags, option: Option) -> bool:
    """Whether a card shows all that was asked for of its variant."""
    for word, meaning in option.reasons:
        if (
            meaning.startswith("parallel") or meaning == "serial number"
        ) and tags.parallel != option.parallel:
            return False
        if meaning == "serial number" and not ("/" + tags.serial).endswith(word):
            return False
        if meaning == "condition" and tags.condition != option.condition:
            return False
    return True


CONDITIONS = {"nm": "Near Mint", "poor": "Poor"}


def _says_of_copy(mark: Mark, word: str) -> bool:
    """Whether a word is said of a copy, its team or why it was set aside, read plainly."""
    tags, tied = mark.tags, word.startswith("parallel=")
    word = word.removeprefix("parallel=")
    if word == "base":
        return bool(tags.number or tags.subject) and not tags.parallel
    if any(one.startswith(word) for one in tags.parallel.lower().split()):
        return True
    if tied:
        return False
    if "/" in word:
        return tags.serial.endswith(word) if word.startswith("/") else tags.serial == word
    team = [one for one in tags.team.lower().split() if len(word) > 1 and one.startswith(word)]
    return bool(team) or mark.reason == word or CONDITIONS.get(word, "no") == tags.condition


def by_going_through(every: Sequence[IndexedLot], hint: str) -> set[str]:
    """The cards that a hint means, by looking at each card."""
    rows = rows_of(card for lot in every for card in lot.cards)
    sure, guessed = set(), set()
    cards = [card for lot in every for card in lot.cards]
    for name, option in AnyPlace(rows).fitting(hint) if rows else ():
        guess = any(meaning in POOR for _, meaning in option.reasons)
        for card in cards:
            if name_of(card.mark.tags)[:4] == name and _is_of(card.mark.tags, option):
                (guessed if guess else sure).add((card.front, card.mark.gone))
    # a dealer asks for all of a parallel, a condition, a team as well as for a name
    sure |= {
        (card.front, card.mark.gone)
        for card in cards
        if all(_says_of_copy(card.mark, word) for word in hint.split())
    }
    return {front for front, gone in sure or guessed if not gone}


def fronts(found: Sequence[SearchHit]) -> list[str]:
    return [card.front for card in found]


@given(lots, hints)
def test_the_answer_is_that_of_going_through_every_card(every: list[list[Mark]], hint: str) -> None:
    held = laid(every)
    found = fronts(find([whole(packed(held))], hint, limit=100).cards)
    assert sorted(found) == sorted(by_going_through(held, hint))


@given(lots, lots, hints)
def test_it_is_the_same_in_two_parts_where_nothing_is_guessed(
    some: list[list[Mark]], more: list[list[Mark]], hint: str
) -> None:
    held = laid([*some, *more])
    one = find([whole(packed(held))], hint, limit=100)
    parts = [whole(packed(held[: len(some)])), whole(packed(held[len(some) :]))]
    if one.cards and not _guessed(held, hint):
        assert sorted(fronts(find(parts, hint, limit=100).cards)) == sorted(fronts(one.cards))


def _guessed(every: Sequence[IndexedLot], hint: str) -> bool:
    options = AnyPlace(rows_of(card for lot in every for card in lot.cards)).fitting(hint)
    return all(any(meaning in POOR for _, meaning in option.reasons) for _, option in options)


@given(lots)
def test_a_lot_comes_out_as_it_was_packed(every: list[list[Mark]]) -> None:
    held = laid(every)
    part = packed(held)
    assert [part.lot(at) for at in range(len(part.lots))] == held
    assert len(part) == sum(map(len, every))


@given(st.lists(marks, min_size=1, max_size=12))
def test_the_count_from_the_front_is_that_of_a_hand_that_counts(cards: list[Mark]) -> None:
    part = packed(laid([cards]))
    for at, mark in enumerate(cards):
        same = [
            n
            for n, other in enumerate(cards)
            if other.tags.place == mark.tags.place and not other.gone
        ]
        ahead, behind = [n for n in same if n < at], [n for n in same if n > at]
        assert part.place_in(at) == (at + 1, len(cards), len(ahead) + 1)
        assert part.neighbours(at) == (ahead[-1] if ahead else None, behind[0] if behind else None)


def test_a_lot_that_does_not_count_gives_no_answer() -> None:
    part = packed(laid([[Mark(State.TAGGED, Tags(SETS[0], "23", "Ada Marsh"))]] * 3))
    assert fronts(find([(part, {0, 2})], "marsh").cards) == ["0 1", "2 1"]


def test_all_copies_of_a_card_are_told_and_the_limit_counts_different_ones() -> None:
    copies = [
        Mark(State.TAGGED, Tags(SETS[0], number, "Ada Marsh")) for number in ("1", "1", "2", "1")
    ]
    answer = find([whole(packed(laid([copies])))], "marsh", limit=1)
    assert (fronts(answer.cards), answer.more) == (["0 1", "0 2", "0 4"], True)


@pytest.mark.parametrize(
    ("hint", "told"),
    [
        ("marsh", ["0 1", "0 2", "0 3", "0 4"]),
        ("marsh gold", ["0 2", "0 3"]),
        ("marsh base", ["0 1", "0 4"]),
        ("marsh 7/99", ["0 3"]),
        ("marsh 3/5", ["0 4"]),
        ("marsh /99", ["0 2", "0 3"]),
        ("marsh poor", ["0 1"]),
        ("marsh at=row 2", ["0 2"]),
        ("marsh silver", []),
    ],
)
def test_what_the_hint_says_of_the_variant_tells_copies_apart(hint: str, told: list[str]) -> None:
    variants = (
        ("", "", "Poor"),
        ("Gold", "12/99", "", "box 3, Row 2"),
        ("Gold", "7/99"),
        ("", "3/5"),
    )
    cards = [
        Mark(State.TAGGED, Tags(SETS[0], "23", "Ada Marsh", "", *variant)) for variant in variants
    ]
    assert fronts(find([whole(packed(laid([cards])))], hint).cards) == told


@pytest.mark.parametrize(
    ("hint", "told", "gone"),
    [
        ("at=box 3", ["0 1", "1 1", "0 3"], 1),
        ("at=box 3, row 1", ["0 1", "1 1"], 1),
        ("at=BÓX 3, ROW 2", ["0 3"], 0),
        ("note=corner", ["0 3"], 0),
        ("at=box 3 note=corner", ["0 3"], 0),
        ("at=box 4", [], 0),
    ],
)
def test_a_place_alone_has_its_cards_from_the_front(hint: str, told: list[str], gone: int) -> None:
    """As a hand scanner types it from the label of a box."""

    def card(place: str, note: str = "", gone: str = "") -> Mark:
        return Mark(
            State.TAGGED, Tags(SETS[0], "23", "Ada Marsh", place=place, note=note), gone=gone
        )

    one = [card("box 3, row 1"), card("box 3, row 1", gone="sold"), card("box 3, row 2", "corner")]
    part = whole(packed(laid([one, [card("box 3, row 1")]])))
    assert problem_of(hint) == ""
    answer = find([part], hint)
    assert (fronts(answer.cards), answer.gone) == (told, gone)


def _copies() -> list[Mark]:
    signed = (("Insert", "Deep Signed"), ("price", "3"))
    return [
        Mark(
            State.TAGGED,
            Tags(SETS[0], "1", "Ada Marsh", "Gulls", "Gold", "012/99", "Near Mint", "box 1"),
        ),
        Mark(State.TAGGED, Tags(SETS[0], "2", "Bo Lund", condition="Very Good", place="box 12")),
        Mark(State.SET_ASIDE, Tags(SETS[1], "3", "Lee Gold", place="box 1, row 2"), "damaged"),
        Mark(State.TAGGED, Tags(SETS[1], "3", "Ivo Hern", extra=signed, place="box 1, row 20")),
        Mark(State.TAGGED, Tags(SETS[1], "3", "Ivo Hern", condition="Good"), gone="sold"),
        Mark(),
    ]


@pytest.mark.parametrize(
    ("hint", "told"),
    [
        ("gold", [3, 1]),
        ("parallel=gold", [1]),
        ("nm", [1]),
        ("gold nm gulls", [1]),
        ("condition=near_mint", [1]),
        ("very good", [2]),
        ("good", []),
        ("12/99", [1]),
        ("serial=12", [1]),
        ("/99", [1]),
        ("gulls", [1]),
        ("base", [4, 3, 2]),
        ("damaged", [3]),
        ("deep", [4]),
        ("signed 3", [4]),
        ("price=3.00", [4]),
        ("at=box 1", [1, 3, 4]),
        ("at=box 1, row 2", [3]),
        ("ivo at=box 1", [4]),
        ("base at=box 1", [4, 3]),
        ("at=bo", [1, 3, 4, 2]),
        ("gold silver", []),
    ],
)
def test_a_card_is_found_by_what_is_said_of_its_copy(hint: str, told: list[int]) -> None:
    part = packed(laid([_copies()]))
    assert problem_of(hint) == ""
    found = find([whole(part)], hint, limit=9)
    assert fronts(found.cards) == [f"0 {at}" for at in told]
    assert not fronts(find([(part, [])], hint).cards)


def test_of_many_cards_of_one_kind_the_first_are_told_and_all_that_left_are_counted() -> None:
    gone = [
        Mark(State.TAGGED, Tags(SETS[0], str(n), "Ada", "", "Gold"), gone="sold")
        for n in range(1, 8)
    ]
    here = [Mark(State.TAGGED, Tags(SETS[0], str(n), "Bo", "", "Gold")) for n in (11, 12, 11, 13)]
    found = find([whole(packed(laid([gone, here])))], "gold", limit=1)
    assert (fronts(found.cards), found.gone, found.more) == (["1 1", "1 3"], 7, True)


def test_a_slip_of_the_finger_counts_where_nothing_else_does() -> None:
    part = whole(packed(laid([[Mark(State.TAGGED, Tags(SETS[0], "23", "Ada Marsh"))]])))
    assert fronts(find([part], "mrash").cards) == ["0 1"]
    named = whole(packed(laid([[], [Mark(State.TAGGED, Tags(SETS[0], "24", "Bo Mrash"))]])))
    assert fronts(find([part, named], "mrash").cards) == ["1 1"]


# On disk

CARDS = (
    "23 name=ada name=marsh at=box 3, row 2",
    "45 name=lee name=gold at=box 3, row 2",
    "47 name=ivo name=lund at=box 3, row 2",
)


def lot_of(tmp_path: Path, name: str, hints: Sequence[str] = CARDS) -> LotPlace:
    place = LotPlace(tmp_path / name, tmp_path / name)
    place.folder.mkdir(exist_ok=True)
    scans = [f"scan_{number:04d}.jpg" for number in range(1, 2 * len(hints) + 1)]
    for scan in scans:
        (place.folder / scan).write_bytes(b"")
    session = Session(LotFile(place.home, place.name), clock=lambda: 1.0)
    session.take_in(scans)
    for hint in hints:
        session.take_unlisted(hint)
    session.close()
    LotList(data_folder()).opened(place)
    return place


def said(capsys: pytest.CaptureFixture[str], *arguments: str, status: int = 0) -> str:
    assert main(list(arguments)) == status
    return capsys.readouterr().out


def document(capsys: pytest.CaptureFixture[str], *arguments: str, status: int = 0) -> dict:
    return json.loads(said(capsys, *arguments, "--json", status=status))


def test_where_a_card_lies(tmp_path, capsys):
    lot_of(tmp_path, "box 3")
    text = said(capsys, "find", "gold")
    assert "box 3: box 3, row 2, card 2 of 3; 2 from the front, between #23 and #47" in text
    assert "scan_0003.jpg scan_0004.jpg" in text
    (card,) = document(capsys, "find", "45", "lee")["cards"]
    assert (card["lot"], card["position"], card["depth"], card["number"]) == (
        "box 3",
        2,
        2,
        "45",
    )


def test_a_field_that_is_not_clear_is_asked(tmp_path, capsys):
    lot_of(tmp_path, "box 1")
    assert main(["find", "23", "n=ada"]) == 2
    assert "'n=' could be number, name or note: type one more letter." in capsys.readouterr().err


def test_a_card_that_was_sold_is_not_counted_and_comes_back(tmp_path, capsys):
    place = lot_of(tmp_path, "box")
    folder = str(place.folder)
    assert said(capsys, "sold", folder, "2") == "Card 2 sold: #45 Lee Gold, base, unlisted.\n"
    assert read_lot(place.home).card_at(2).mark.gone == "sold"
    answer = document(capsys, "find", "gold")
    assert (answer["cards"], answer["sold_or_pulled"]) == ([], 1)
    (lund,) = document(capsys, "find", "lund")["cards"]
    assert (lund["position"], lund["depth"], lund["previous_card"]) == (3, 2, "#23")
    said(capsys, "sold", folder, "2", "--returned")
    (lund,) = document(capsys, "find", "lund")["cards"]
    assert (lund["depth"], lund["previous_card"]) == (3, "#45")
    said(capsys, "sold", folder, "1-2", "--pulled")
    assert document(capsys, "find", "lund")["cards"][0]["depth"] == 1
    said(capsys, "fix", folder, "undo")
    assert document(capsys, "find", "lund")["cards"][0]["depth"] == 3


def test_of_a_card_that_was_sold_it_is_said_when_and_to_which_order(tmp_path, capsys):
    folder = str(lot_of(tmp_path, "box").folder)
    said(capsys, "sold", folder, "2", "--order", "A-17", "--price", "4.50", "--on", "2026-11-02")
    assert main(["find", "gold"]) == 0
    told = capsys.readouterr()
    assert "sold 2026-11-02, 4.50, order A-17, to be pulled; 2 from the front" in told.out
    said(capsys, "sold", folder, "2", "--returned")
    said(capsys, "sold", folder, "2", "--price", "4.50", "--on", "2026-11-02")
    assert main(["find", "gold"]) == 0
    told = capsys.readouterr()
    assert "card 2 of 3; sold 2026-11-02, 4.50" in told.out
    assert "No card" not in told.err


@pytest.mark.parametrize(
    ("words", "status"),
    [("4", 2), ("0", 2), ("x", 2), ("3-1", 2), ("1 --returned", 3), ("1 --returned --pulled", 2)],
)
def test_what_cannot_be_sold_is_said_and_changes_nothing(tmp_path, capsys, words, status):
    place = lot_of(tmp_path, "box")
    before = read_lot(place.home).marks
    said(capsys, "sold", str(place.folder), *words.split(), status=status)
    assert dict(read_lot(place.home).marks) == dict(before)


def test_a_lot_that_is_gone_is_named_and_the_others_answer(tmp_path, capsys):
    lot_of(tmp_path, "one")
    other = lot_of(tmp_path, "two")
    assert len(document(capsys, "find", "marsh")["cards"]) == 2
    for path in other.folder.iterdir():
        path.unlink()
    assert main(["find", "marsh"]) == 1
    told = capsys.readouterr()
    assert "one: " in told.out
    assert "two: " not in told.out
    assert "The lot two is gone" in told.err


def test_only_lots_that_changed_are_read_again(tmp_path, monkeypatch):
    places = [lot_of(tmp_path, name) for name in ("one", "two", "three")]
    read: list[str] = []
    real = kept.look
    monkeypatch.setattr(kept, "look", lambda home: read.append(home.name) or real(home))
    for small in (20_000, 0):  # into the smaller file, and all into the larger one
        monkeypatch.setattr(kept, "SMALL", small)
        kept.catalogue(places, catalogue_folder())
        read.clear()
        kept.catalogue(places, catalogue_folder())
        assert read == []
        session = Session(LotFile(places[1].home, "two"), clock=lambda: 2.0)
        session.go(1)
        session.take_unlisted(f"7 name=new{small}")
        session.close()
        found = kept.catalogue(places, catalogue_folder())
        assert read == ["two"]
        assert [card.position for card in find(found.parts, f"new{small}").cards] == [1]
        assert len(find(found.parts, "gold").cards) == 3
        read.clear()


def test_a_lot_that_is_in_both_files_counts_once(tmp_path, monkeypatch):
    """As after a run that was stopped between the two."""
    places = [lot_of(tmp_path, "one")]
    kept.catalogue(places, catalogue_folder())
    small = {path: path.read_bytes() for path in catalogue_folder().iterdir()}
    places.append(lot_of(tmp_path, "two"))
    monkeypatch.setattr(kept, "SMALL", 0)
    kept.catalogue(places, catalogue_folder())
    for path, data in small.items():
        path.write_bytes(data)
    assert len(find(kept.catalogue(places, catalogue_folder()).parts, "gold").cards) == 2


def test_a_damaged_file_is_made_anew(tmp_path, capsys):
    lot_of(tmp_path, "one")
    document(capsys, "find", "marsh")
    source = random.Random(3)
    for _ in range(20):
        for path in catalogue_folder().iterdir():
            data = bytearray(path.read_bytes())
            data[source.randrange(len(data))] ^= 1 << source.randrange(8)
            path.write_bytes(data)
        assert len(document(capsys, "find", "marsh")["cards"]) == 1


@given(marks)
def test_a_mark_is_read_as_it_was_written(mark: Mark) -> None:
    assert read_mark(mark_document(mark)) == mark
    assert ("gone" in mark_document(mark)) == bool(mark.gone)
