"""What was read on a card, weighed against lists that have its row, or do not."""

from __future__ import annotations

import pytest
from support.read_cards import a_set, card, line, listed

from tagger.core.index.index import Index
from tagger.core.reading.book import CardKey, ReadingBook
from tagger.core.reading.evidence import LIKELY, evidence_of
from tagger.core.reading.numbers_read import numbers_read, spot_of
from tagger.core.reading.places import CardPlaces, SetPlaces
from tagger.core.reading.printed import Box, CardReading, PrintedText, Spot

PEOPLE = ["Ivo Lund", "Ada Marsh", "Abe Marsden", "Nils Sørvik", "Jo O'Nealy", "Ida Gold"]
OWN = a_set("1987 Harbor Light", PEOPLE)  # 21 to 26
ADA = card("22", "Ada Marsh", "Harbor Light, a set of 120")
RIM = Box(0.91, 0.1, 0.96, 0.28)
AT_CORNER = (Spot("back", Box(0.08, 0.06, 0.16, 0.12)),)


def alone(index: Index, reading: CardReading, places=None) -> tuple[str, str, str] | None:
    learned = {id: SetPlaces(numbers=spots) for id, spots in (places or {}).items()}
    step = evidence_of(index, reading, learned).alone
    return None if step is None else index.row(step)[:3]


def test_a_card_says_by_itself_which_row_it_is() -> None:
    index = listed(OWN, a_set("1988 Harbor Light", PEOPLE[::-1]))
    found = evidence_of(index, ADA, {})
    assert alone(index, ADA) == ("1987 Harbor Light", "22", "Ada Marsh")
    assert found.number_at == ADA.texts[1].spot
    assert found.name_at is not None
    assert max(found.weights.values()) == found.weights[found.alone]  # type: ignore[index]


def test_of_two_lines_with_the_name_the_one_that_runs_across_is_shown() -> None:
    up = line("front", "ADA MARSH", 0.05, 0.2, turn=90)
    reading = CardReading((up, *ADA.texts[1:]), True)
    found = evidence_of(listed(OWN), reading, {})
    assert found.name_at == ADA.texts[2].spot
    alone_up = CardReading((up, *(text for text in ADA.texts[1:] if "Ada" not in text.text)), True)
    found = evidence_of(listed(OWN), alone_up, {})
    assert found.name_at == up.spot
    assert up.spot.turn == 90


@pytest.mark.parametrize(
    ("lists", "why"),
    [
        ([OWN[:1] + OWN[2:]], "its own row is missing"),
        ([a_set("1988 Harbor Light", PEOPLE)], "the year is another one"),
        ([a_set("1987 Squall Line", PEOPLE)], "its set is not listed, one of that year is"),
        ([OWN, a_set("1987 Harbor Light Tiffany", PEOPLE)], "the rest may not be printed"),
        ([[row._replace(number="45") for row in OWN]], "the number is one of a table"),
        ([[row._replace(subject="Abe Marsden") for row in OWN]], "the name is one of a sentence"),
    ],
)
def test_nothing_is_sure_where(lists, why: str) -> None:
    """Also once it is known where the set has its numbers."""
    index = listed(*lists)
    assert alone(index, ADA) is None, why
    assert alone(index, ADA, dict.fromkeys(range(len(index.sets)), AT_CORNER)) is None, why


def test_a_set_with_the_same_people_is_told_apart_by_its_name() -> None:
    index = listed(OWN, a_set("1987 Squall Line", PEOPLE))
    assert alone(index, ADA) == ("1987 Harbor Light", "22", "Ada Marsh")
    squall = card("22", "Ada Marsh", "SQUALL LINE")
    assert alone(index, squall) == ("1987 Squall Line", "22", "Ada Marsh")
    assert alone(index, card("22", "Ada Marsh", "Quayball")) is None


def test_one_misread_letter_of_a_name_is_borne_and_a_surname_is_not_enough() -> None:
    index = listed(OWN)
    assert alone(index, card("25", "Jo 0'Nealy", "Harbor Light")) is not None
    assert alone(index, card("24", "Nils Sorvik", "Harbor Light")) is not None
    assert alone(index, card("22", "Marsh", "Harbor Light")) is None


def test_the_name_protects_a_number_that_was_misread() -> None:
    """A number that runs up the side is often read as another one."""
    index = listed(OWN, [*a_set("1987 Harbor Light", ["Una Berg"], 2)])
    reading = card("2", "Ada Marsh", "Harbor Light")
    assert alone(index, reading) is None
    step = evidence_of(index, reading, {}).best(LIKELY)
    assert step is not None
    assert index.row(step).subject == "Ada Marsh"


def test_the_next_likely_reading_of_a_number_counts() -> None:
    index = listed(OWN)
    texts = list(ADA.texts)
    texts[1] = line("back", "2Z", 0.1, 0.08, 0.5, others=(("22", 0.45), ("27", 0.02)))
    assert alone(index, CardReading(tuple(texts)), {0: AT_CORNER}) is None  # too little
    step = evidence_of(index, CardReading(tuple(texts)), {0: SetPlaces(numbers=AT_CORNER)}).best(
        LIKELY
    )
    assert step is not None
    assert index.row(step).number == "22"


@pytest.mark.parametrize(
    ("said", "number"),
    [
        ("Harbor Light card number HL-36.", "hl36"),
        ("© 1987 Lantern Card Works · 22", "22"),
        ("1987 Lantern Works. RC-7", "rc7"),
        ("1987 Harbor Light, a set of 120", ""),
        ("his card 12 times over", ""),
        # as cards of games have it (common practice, no source)
        ("NM-012/110", "nm12"),
        ("012/110 R", "12"),
        ("TG05/TG30", "tg5"),
        ("OP05-119", "op5-119"),
        ("N2-012/110", "n2-12"),
    ],
)
def test_a_number_is_found_at_the_end_of_a_line_that_has_more(said: str, number: str) -> None:
    found = [read.number for read in numbers_read([line("back", said, 0.1, 0.9)])]
    assert found == ([number] if number else [])


@pytest.mark.parametrize(
    ("turn", "box"),
    [
        (0, (0.726, 0.2, 0.8, 0.3)),
        (180, (0.2, 0.2, 0.274, 0.3)),
        (90, (0.2, 0.2, 0.8, 0.212)),
        (270, (0.2, 0.288, 0.8, 0.3)),
    ],
)
def test_of_a_line_with_more_the_number_alone_is_shown(turn: int, box: tuple[float, ...]) -> None:
    """In the loupe and on a page of proofs a whole last line would be too small to be read."""
    there = Box(0.2, 0.2, 0.8, 0.3)
    text = PrintedText("back", "© 1987 Elm Works · 22", 0.99, there, on_card=there, turn=turn)
    (read,) = numbers_read([text])
    spot = spot_of(read)
    assert tuple(spot.box) == pytest.approx(box, abs=0.002)
    assert (spot.side, spot.turn) == ("back", turn)


@pytest.mark.parametrize("said", ["© 198B", "© I9", "© 198l Lantern", "1987 Lantern Card Works"])
def test_the_next_year_is_not_taken_for_a_year_that_was_read_badly(said: str) -> None:
    """A card that is listed with its number and name a year later, too, and is read in parts."""
    parts = [text for text in ADA.texts if "©" not in text.text]
    reading = CardReading((*parts, line("back", said, 0.1, 0.94)))
    assert alone(listed(a_set("1988 Harbor Light", PEOPLE)), reading) is None


def test_where_cards_of_a_set_have_a_year_one_without_is_not_sure() -> None:
    """Nor is it where the whole card was read: the year is there, and may be another one."""
    undated = card("24", "Nils Sørvik", "Harbor Light", "Lantern Card Works")
    found = []
    for year in ("© 1987 Lantern Card Works", "Lantern Card Works"):
        book = ReadingBook()
        book.use(listed(OWN))
        for at, name in enumerate(PEOPLE[:3]):
            book.put(keyed(at), card(str(21 + at), name, "Harbor Light", year))
        book.put(keyed(3), undated)
        evidence = book.evidence(keyed(3))
        found.append(evidence is not None and evidence.alone is not None)
    assert found == [False, True]


def test_a_digit_of_a_year_may_be_read_as_a_letter() -> None:
    index = listed(a_set("2001 Harbor Light", PEOPLE), a_set("2002 Harbor Light", PEOPLE))
    reading = card("22", "Ada Marsh", "Harbor Light", "© 200I Lantern Card Works")
    assert alone(index, reading) == ("2001 Harbor Light", "22", "Ada Marsh")


def test_a_number_in_one_line_with_the_last_line_is_at_its_place() -> None:
    """On most cards of a set it was found by itself."""
    index, places = listed(OWN), {0: (Spot("back", Box(0.69, 0.94, 0.74, 0.97)),)}
    last = line("back", "© 1987 Lantern Card Works . 22", 0.14, 0.94)
    texts = [*(text for text in ADA.texts if text.text != "22" and "©" not in text.text), last]
    assert alone(index, CardReading(tuple(texts)), places) == (
        "1987 Harbor Light",
        "22",
        "Ada Marsh",
    )


def test_a_last_line_that_named_cards_have_names_those_that_do_not() -> None:
    """A logo is not read on each card; a set of another maker is not taken for it."""
    book = ReadingBook()
    book.use(listed(OWN, a_set("1987 Squall Line", PEOPLE)))
    for at, name in enumerate(PEOPLE[:3]):
        book.put(keyed(at), card(str(21 + at), name, "Harbor Light"))
    book.put(keyed(3), card("24", "Nils Sørvik", "~"))
    book.put(keyed(4), card("24", "Nils Sørvik", "~", "© 1987 Kettle & Rook Printing"))
    found = [book.evidence(keyed(at)) for at in (3, 4)]
    assert [one is not None and one.alone is not None for one in found] == [True, False]


def test_nothing_is_said_of_a_card_without_print() -> None:
    assert evidence_of(listed(OWN), CardReading(whole=True), {}).weights == {}


def keyed(number: int) -> CardKey:
    return CardKey(f"{number}a.jpg", 0, f"{number}b.jpg", 0)


def test_a_set_is_read_whole_three_times_and_then_where_it_has_its_numbers() -> None:
    book = ReadingBook()
    book.use(listed(OWN))
    for at, name in enumerate(PEOPLE[:3]):
        assert book.wanted(keyed(at)) == {}  # all of it
        book.put(keyed(at), card(str(21 + at), name, "Harbor Light"))
        assert book.wanted(keyed(at)) is None
    parts = book.wanted(keyed(3))
    assert parts
    assert sum(box.bottom - box.top for box in parts["back"]) < 0.45
    assert book.number_places("1987 Harbor Light")
    # what does not stand out by its parts is read whole after all, once
    book.put(keyed(3), CardReading((line("back", "24", 0.1, 0.08),)))
    assert book.wanted(keyed(3)) == {}
    book.put(keyed(3), card("24", "Nils Sørvik", "Harbor Light"))
    assert book.wanted(keyed(3)) is None


def test_a_number_up_the_rim_beside_the_name_has_no_table_read() -> None:
    """And a logo in two lines is read on the next card, too: it is what names the set."""

    def up(at: int, name: str) -> CardReading:
        logo = [line("front", word, 0.1, y) for word, y in (("HARBOR", 0.05), ("LIGHT", 0.085))]
        number = PrintedText(
            "back", str(at), 0.99, RIM, on_card=RIM, turn=90,
        )  # fmt: skip
        last = line("back", "© 1987 Lantern Card Works", 0.1, 0.94)
        return CardReading((*logo, line("back", name, 0.1, 0.06), number, last), True)

    book = ReadingBook()
    book.use(listed(OWN))
    for at, name in enumerate(PEOPLE[:3]):
        book.put(keyed(at), up(21 + at, name))
    parts = book.wanted(keyed(3))
    assert parts
    assert sum((box.right - box.left) * (box.bottom - box.top) for box in parts["back"]) < 0.25
    assert any(box.top < 0.06 and box.bottom > 0.11 for box in parts["front"])


def test_numbers_that_end_at_one_place_have_one_place() -> None:
    learned = SetPlaces()
    for at, left in enumerate((0.91, 0.85, 0.74)):
        learned.learn(at, CardPlaces((Spot("back", Box(left, 0.06, 0.95, 0.12)),), ()))
    (place,) = learned.numbers
    assert place.box == Box(0.74, 0.06, 0.95, 0.12)


def test_a_number_on_both_sides_has_both_places_whatever_is_learned_later() -> None:
    """Else the place moves with the first card of which one of the two was not read, and the cards
    that were read at the other one count for nothing."""
    front, back = Spot("front", Box(0.85, 0.9, 0.95, 0.95)), Spot("back", Box(0.05, 0.9, 0.2, 0.94))
    by_chance = Spot("back", Box(0.6, 0.56, 0.7, 0.59))
    learned = SetPlaces()
    for at, number in enumerate(("3", "3", "3")):  # one card, three times
        learned.learn(at, CardPlaces((front, by_chance), (), number=number))
    assert learned.numbers == (front,)
    learned = SetPlaces()
    for at, spots in enumerate([(front, back)] * 4 + [(back, by_chance)]):
        learned.learn(at, CardPlaces(spots, (), number=str(at)))
    assert set(learned.numbers) == {front, back}


def test_other_lists_weigh_what_was_read_and_nothing_is_read_again() -> None:
    book = ReadingBook()
    book.use(listed(a_set("1988 Harbor Light", PEOPLE)))
    book.put(keyed(1), ADA)
    before = book.evidence(keyed(1))
    assert before is not None
    assert before.alone is None
    book.use(listed(OWN))
    after = book.evidence(keyed(1))
    assert after is not None
    assert after.alone is not None
    assert book.wanted(keyed(1)) is None
