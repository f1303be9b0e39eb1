"""A filter of the overview, against a plain reading of its rules: each word against each card,
nothing kept ready."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tagger.core.lot.fields import CardInLot
from tagger.core.model.arrangement import Pair
from tagger.core.model.condition import Condition, Scale
from tagger.core.model.tags import Mark, State, Tags
from tagger.core.model.trade import Trade
from tagger.core.overview.doubles import Doubles
from tagger.core.overview.selection import WORDS, read_filter, select

Plain = Callable[[CardInLot], bool]
SHORT = {"nm": "Near Mint", "gd": "Good"}
WHOLE = {"mint": "Mint", "good": "Good", **SHORT}

texts = st.builds(
    Tags,
    set=st.sampled_from(("", "1987 Harbor Light", "1992 Squall Line")),
    number=st.sampled_from(("", "1", "023", "RC-7", "117a")),
    subject=st.sampled_from(("Ada Marsh", "Ida Gold", "Bo Lund")),
    parallel=st.sampled_from(("", "Gold", "Blue Wave")),
    serial=st.sampled_from(("", "12/99", "7/25")),
    condition=st.sampled_from(("", "Near Mint", "Mint", "Good", "Very Good")),
    place=st.sampled_from(("", "box 3, row 2", "box 12")),
    listed=st.booleans(),
    extra=st.sampled_from(
        (
            (),
            (("price", "0.25"),),
            (("Price", "$6.50"),),
            (("price", "5"),),
            (("Insert", "Deep Signed"), ("price", "5")),
            (("price", "1.00"),),
            (("price", "ask"), ("colour", "9")),
        )
    ),
)
marks = st.one_of(
    st.just(Mark()),
    st.builds(Mark, st.just(State.TAGGED), texts),
    st.builds(Mark, st.just(State.SET_ASIDE), texts, st.just("bent")),
    st.builds(
        Mark,
        st.just(State.TAGGED),
        texts,
        gone=st.sampled_from(("", "sold", "pulled")),
        trade=st.builds(
            Trade,
            listed=st.sampled_from(("", "stall")),
            reserved=st.sampled_from(("", "Ida")),
            returned_on=st.sampled_from(("", "2026-11-28")),
        ),
    ),
)
lots = st.lists(marks, max_size=12).map(
    lambda found: [
        CardInLot(at, Pair(at, f"{at}.jpg", None), mark) for at, mark in enumerate(found, 1)
    ]
)


def same(card: CardInLot) -> tuple[str, ...] | None:
    """What copies of one card have in common."""
    tags = card.mark.tags
    if not card.mark.in_stock or not tags.number + tags.subject:
        return None
    return tags.set, tags.number, tags.subject, tags.parallel


def worded(word: str) -> Plain:
    """A word that is tied to no field."""

    def fits(card: CardInLot) -> bool:
        tags = card.mark.tags
        if word == "base":
            return bool(tags.number + tags.subject) and not tags.parallel
        if "/" in word:
            return tags.serial.endswith(word) if word.startswith("/") else tags.serial == word
        number = re.sub("[^a-z0-9]", "", tags.number.lower()).lstrip("0")
        # what is a condition by itself is that one, and no longer one that has the word in it
        condition = "" if word in WHOLE and WHOLE[word] != tags.condition else tags.condition
        series = dict(tags.extra).get("Insert", "")
        held = f"{tags.set} {tags.subject} {tags.parallel} {condition} {tags.place} {series}"
        held = f"{held} {card.mark.reason}".lower()
        known = re.findall("[a-z0-9]+", held)
        if word.isdigit():
            return word in {
                number,
                *known,
                *(year[2:] for year in known if len(year) == 4 and year.isdigit()),
            }
        return (
            number.startswith(word)
            or any(one.startswith(word) for one in known)
            or SHORT.get(word) == tags.condition
        )

    return fits


def price(card: CardInLot) -> Decimal | None:
    said = {name.lower(): value for name, value in card.mark.tags.extra}.get("price", "").lstrip(
        "$"
    )
    return Decimal(said) if re.fullmatch("[0-9.]+", said) else None


def field(name: str, value: str) -> Plain:
    """A field that must have a value, or that must be empty."""
    if value:
        return lambda card: value in getattr(card.mark.tags, name).lower().split()
    return lambda card: card.mark.state is not State.UNTAGGED and not getattr(card.mark.tags, name)


PLAIN: dict[str, Plain] = {
    "all": lambda card: True,
    "tagged": lambda card: card.mark.state is State.TAGGED and not card.mark.gone,
    "untagged": lambda card: card.mark.state is State.UNTAGGED,
    "aside": lambda card: card.mark.state is State.SET_ASIDE,
    "unlisted": lambda card: card.mark.state is not State.UNTAGGED and not card.mark.tags.listed,
    "sold": lambda card: card.mark.gone == "sold",
    "pulled": lambda card: card.mark.gone == "pulled",
    "reserved": lambda card: not card.mark.gone and bool(card.mark.trade.reserved),
    "listed": lambda card: (
        not card.mark.gone and bool(card.mark.trade.listed) and not card.mark.trade.reserved
    ),
    "returned": lambda card: not card.mark.gone and bool(card.mark.trade.returned_on),
    "stock": lambda card: card.mark.state is State.TAGGED and not card.mark.gone,
    "over 5": lambda card: (price(card) or 0) > 5,
    "under 1": lambda card: (value := price(card)) is not None and value < 1,
    "2-4": lambda card: 2 <= card.position <= 4,
    "9-3": lambda card: 3 <= card.position <= 9,
    "name=gold": field("subject", "gold"),
    "parallel=gold": field("parallel", "gold"),
    "condition=": field("condition", ""),
    "set=": field("set", ""),
    "condition=gd": lambda card: card.mark.tags.condition == "Good",
    "#23": lambda card: card.mark.tags.number == "023",
    "parallel=": worded("base"),
    **{
        word: worded(word)
        for word in (
            "mar", "ida", "gold", "wav", "87", "1987", "23", "1", "3", "12", "box", "near",
            "mint", "rc7", "rc", "117",
            "117a", "nm", "gd", "base", "12/99", "/25", "good", "deep", "signed", "bent",
        )
    },
}  # fmt: skip

signs = st.lists(st.tuples(st.sampled_from(sorted(PLAIN)), st.booleans()), max_size=3)


@given(lots, signs)
def test_a_filter_lists_what_a_plain_reading_of_each_word_lists(
    lot: list[CardInLot], said: list[tuple[str, bool]]
) -> None:
    typed = " ".join(f"-{word}" if without else word for word, without in said)
    plain = [
        card.position for card in lot if all(PLAIN[word](card) != without for word, without in said)
    ]
    assert select(lot, read_filter(typed, Scale()), Doubles(lot)) == plain


def _listed(typed: str, *tags: Tags) -> list[int]:
    lot = [
        CardInLot(at, Pair(at, None, None), Mark(State.TAGGED, one))
        for at, one in enumerate(tags, 1)
    ]
    return select(lot, read_filter(typed, Scale()), Doubles(lot))


@pytest.mark.parametrize(
    ("typed", "listed"),
    [
        ("good", [1, 4]),
        ("-good", [2, 3]),
        ("gd", [1]),
        ("condition=good", [1]),
        ("very good", [2]),
        ("-very good", [1, 3, 4]),
        ("condition=very_good", [2]),
        ("near mint", [3]),
        ("near m", [3]),
        ("mint", []),
        ("near mint near mint", [3]),
        ("ver", [2]),
    ],
)
def test_what_is_a_condition_by_itself_means_that_condition(typed: str, listed: list[int]) -> None:
    cards = (
        Tags(number="1", condition="Good"),
        Tags(number="2", condition="Very Good"),
        Tags(number="3", condition="Near Mint"),
        Tags(number="4", subject="Ida Good", condition="Poor"),
    )
    assert _listed(typed, *cards) == listed


@pytest.mark.parametrize(
    ("typed", "listed"),
    [
        ("serial=12", [1, 2]),
        ("12/", [1, 2]),
        ("/99", [1, 2]),
        ("serial=/25", [3]),
        ("serial=7", [3]),
    ],
)
def test_a_serial_number_is_found_as_a_hint_types_it(typed: str, listed: list[int]) -> None:
    serials = "12/99", "012/99", "7/25"
    assert (
        _listed(typed, *(Tags(number="1", parallel="Gold", serial=one) for one in serials))
        == listed
    )


def test_the_boxes_of_a_filter_are_those_of_a_count() -> None:
    places = "box 1", "box 12", "box 1, row 2", "box 1, row 20", "tray", "tray gold"
    cards = [Tags(number="1", place=place) for place in places]
    said = {
        "at=box 1": [1, 3, 4],
        "at=BOX 1,": [1, 3, 4],
        "at=box 1, row 2": [3],
        "at=bo": [1, 2, 3, 4],
        "at=box 1, r": [3, 4],
        "at=tray": [5],
        "at=tray g": [6],
        "at=box 2": [],
        "-at=tray": [1, 2, 3, 4, 6],
    }
    assert {typed: _listed(typed, *cards) for typed in said} == said
    # where no card lies in exactly that, more may be typed
    assert _listed("at=tray", *cards[5:]) == [1]
    assert _listed("at=box 1", *cards[1:2]) == []


@given(lots)
def test_doubles_lie_next_to_each_other(lot: list[CardInLot]) -> None:
    groups: dict[tuple[str, ...], list[int]] = {}
    for card in lot:
        if (key := same(card)) is not None:
            groups.setdefault(key, []).append(card.position)
    doubles = Doubles(lot)
    expected = [position for group in groups.values() if len(group) > 1 for position in group]
    assert select(lot, read_filter("doubles", Scale()), doubles) == expected
    for card in lot:
        assert list(doubles.of(card.mark)) == groups.get(same(card) or (), [])
    left = select(lot, read_filter("-doubles", Scale()), doubles)
    assert sorted([*left, *expected]) == [card.position for card in lot]


@given(lots, st.text(max_size=30))
def test_any_text_is_a_filter(lot: list[CardInLot], typed: str) -> None:
    listed = select(lot, read_filter(typed, Scale()), Doubles(lot))
    assert set(listed) <= {card.position for card in lot}


@pytest.mark.parametrize("typed", ["", " ", "over", "gold under", "-", "gold -"])
def test_what_is_still_being_typed_does_not_empty_the_list(typed: str) -> None:
    card = CardInLot(
        1, Pair(1, "1.jpg", None), Mark(State.TAGGED, Tags(parallel="Gold", number="1"))
    )
    assert select([card], read_filter(typed, Scale()), Doubles([card])) == [1]


@pytest.mark.parametrize("typed", ["n=gold", "-n=gold", "gold s="])
def test_a_field_that_is_not_clear_lists_nothing_and_is_told(typed: str) -> None:
    lot = [CardInLot(1, Pair(1, None, None), Mark(State.TAGGED, Tags(number="1", parallel="Gold")))]
    wanted = read_filter(typed, Scale())
    assert select(lot, wanted, Doubles(lot)) == []
    assert wanted.unclear.endswith(": type one more letter")


def test_a_place_is_found_with_all_that_follows() -> None:
    lot = [
        CardInLot(at, Pair(at, None, None), Mark(State.TAGGED, Tags(number="1", place=place)))
        for at, place in enumerate(("box 3, row 2", "box 3, row 1", ""), 1)
    ]
    assert select(lot, read_filter("1 at=Box 3, row 2", Scale()), Doubles(lot)) == [1]
    assert select(lot, read_filter("at=", Scale()), Doubles(lot)) == [3]
    assert select(lot, read_filter("place=box 3, row 1", Scale()), Doubles(lot)) == [2]


def test_a_condition_with_a_hyphen_is_found_as_it_is_typed() -> None:
    scale = Scale((Condition("Mint", ("mt",)), Condition("EX-MT"), Condition("Excellent", ("ex",))))
    lot = [
        CardInLot(at, Pair(at, None, None), Mark(State.TAGGED, Tags(number="1", condition=name)))
        for at, name in enumerate(("EX-MT", "Excellent", "Mint"), 1)
    ]
    for typed in ("ex-mt", "condition=ex-mt"):
        assert select(lot, read_filter(typed, scale), Doubles(lot)) == [1]
        # one of another scale is found by its own name
        assert select(lot, read_filter(typed, Scale()), Doubles(lot)) == [1]


@dataclass(frozen=True)
class Doubtful(Mark):
    """A mark that says that the reading was not sure."""

    unsure: bool = True


def test_unsure_cards_are_those_whose_mark_says_so() -> None:
    lot = [
        CardInLot(1, Pair(1, None, None), Doubtful(State.TAGGED)),
        CardInLot(2, Pair(2, None, None), Mark(State.TAGGED)),
        CardInLot(3, Pair(3, None, None), Doubtful(State.TAGGED, unsure=False)),
    ]
    assert select(lot, read_filter("unsure", Scale()), Doubles(lot)) == [1]
    assert select(lot, read_filter("-unsure", Scale()), Doubles(lot)) == [2, 3]


def test_every_word_of_a_state_is_tried_here() -> None:
    assert set(WORDS) - set(PLAIN) == {"unsure", "doubles", "replaced"}


def test_a_line_full_of_one_word_asks_each_card_once() -> None:
    once = read_filter("marsh -gold over 5", Scale())
    often = read_filter("marsh -gold over 5 " * 1000, Scale())
    assert len(often.tests) < len(once.tests) + 1000
    # another price may stand behind the same word
    lot = [CardInLot(1, Pair(1, None, None), Mark(State.TAGGED, Tags("1987", "7", price="6")))]
    for typed, found in (("over 5 over 7", []), ("7 over 5 over 5 7", [1]), ("7 7 -7", [])):
        assert select(lot, read_filter(typed, Scale()), Doubles(lot)) == found, typed
