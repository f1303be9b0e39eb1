"""Lists that collectors had at hand: names in sentences, headings that ask, prices below the cards
(common practice, no source; invented names)."""

from __future__ import annotations

from pathlib import Path

import pytest
from support.read_lists import read, series, told, workbook

from tagger.core.checklist.headings.meaning import meaning_of
from tagger.core.checklist.raw.prices import says_prices
from tagger.core.checklist.raw.title_names import title_name
from tagger.core.model.tags import Row


@pytest.mark.parametrize(
    ("title", "name"),
    [
        ("Clockfair Duel card list (2nd printing)", "Clockfair Duel (2nd printing)"),
        ("Clockfair Duel checklist (Hobby)", "Clockfair Duel (Hobby)"),
        ("1987 Harbor Light - Signature List", "1987 Harbor Light"),
        ("1987 Harbor Light – Autogrammliste", "1987 Harbor Light"),
        ("Hierbij de lijst van Harbor Licht 1987, alles wat ik dubbel heb:", "Harbor Licht 1987"),
        ("Estos son los cromos que me sobran de la Puerto Liga 1987-88:", "Puerto Liga 1987-88"),
        ("Ecco la lista delle figurine della raccolta Porto Alto 1988:", "Porto Alto 1988"),
        ("Voici la liste des images du Port de Brume 1987, merci :", "Port de Brume 1987"),
        ("Anbei die Liste der Bilder aus dem Album Hafenlicht 1987:", "Hafenlicht 1987"),
    ],
)
def test_titles(title: str, name: str) -> None:
    assert title_name(title) == name


@pytest.mark.parametrize(
    "title",
    [
        "Stars of the Sea from Harbor 1987",
        "Gem Harvest Trading Cards (1994)",
        "Night Signatures",
        "Legends of the Harbor 1987",
    ],
)
def test_names_that_are_left_as_they_are(title: str) -> None:
    assert title_name(title) == title


def test_a_subset_of_signatures_keeps_its_name() -> None:
    assert title_name("Rookie Signatures Checklist") == "Rookie Signatures"


@pytest.mark.parametrize(
    ("above", "name"),
    [
        ("Finally finished the checklist for **1987 Harbor Light**, enjoy!", "1987 Harbor Light"),
        ("Home > Trading Cards > 1987 Harbor Light", "1987 Harbor Light"),
        ("Start » Listen » Harbor Light 1987", "Harbor Light 1987"),
    ],
)
def test_a_set_in_a_sentence_above_a_table(above: str, name: str) -> None:
    found = read(f"{above}\n\n#\tName\n1\tAda Marsh\n2\tBo Fen\n", "paste.txt")
    assert {row.set for row in found.rows} == {name}


def test_where_a_list_is_from_names_no_set() -> None:
    text = "Source: 1987 Harbor Light forum, updated\n\n#\tName\n1\tAda Marsh\n2\tBo Fen\n"
    assert {row.set for row in read(text, "paste.txt").rows} == {"paste"}


@pytest.mark.parametrize(
    ("heading", "meaning"),
    [
        ("Serial #d to", "run"),
        ("#'d", "run"),
        ("Sequence", "run"),
        ("In album", ""),
        ("Im Sammelalbum", ""),
        ("Album", "set"),
    ],
)
def test_headings(heading: str, meaning: str) -> None:
    assert meaning_of(heading)[0] == meaning


@pytest.mark.parametrize("heading", ["Foil (Y/N)", "Foil (ja/nein)", "Foil?", "Foil (x)", "Foil"])
def test_a_heading_that_asks_is_the_parallel(heading: str) -> None:
    text = f"#,Name,{heading}\n" + "1,Ada Marsh,Y\n2,Bo Fen,N\n3,Cy Reed,Y\n"
    found = read(text, "1987 Harbor Light.csv")
    assert [[one.name for one in row.parallels] for row in found.rows] == [["Foil"], [], ["Foil"]]


def test_what_stands_on_the_back_is_no_team() -> None:
    tips = ("Wear a helmet", "Say please", "Stop and look")
    lines = "".join(f"{at},Ada Marsh {at},{tips[at % 3]}\n" for at in range(1, 13))
    found = read(f"Card,Player,Tip on back\n{lines}", "1987 Harbor Safety.csv")
    assert {row.team for row in found.rows} == {""}
    assert ("Tip on back", "Say please") in found.rows[0].extra


def test_a_price_for_each_below_the_cards_is_no_card() -> None:
    text = (
        "1987 Harbor Light\n\n#1 Ada Marsh\n#5 Bo Fen\n#9 Cy Reed\n\n50c each or $10 for the lot\n"
    )
    assert [row.number for row in read(text).rows] == ["1", "5", "9"]
    assert says_prices("€ 0,50 per stuk")
    assert says_prices("0,20 € pro Karte, Porto extra")
    assert not says_prices("50 Each Peach")
    assert not says_prices("12p Ada Marsh")


def test_all_cards_on_the_line_of_their_title() -> None:
    text = "1953 Harbor Boxers: 1 Ada Marsh; 2 Bo Fen; 3 Cy Reed; 4 Di Pell.\n"
    found = read(text, "line.txt")
    assert [(row.set, row.number, row.subject) for row in found.rows] == [
        ("1953 Harbor Boxers", "1", "Ada Marsh"),
        ("1953 Harbor Boxers", "2", "Bo Fen"),
        ("1953 Harbor Boxers", "3", "Cy Reed"),
        ("1953 Harbor Boxers", "4", "Di Pell"),
    ]


@pytest.mark.parametrize(
    "heads", [("Communes", "Rares", "Légendaires"), ("Rares", "Mythics", "Epics")]
)
def test_headings_of_rarities_are_no_teams(heads: tuple[str, ...]) -> None:
    names = iter(("Ada Marsh", "Bo Fen", "Cy Reed", "Di Pell", "Ed Tarn", "Fay Gull"))
    blocks = [
        f"{head} :\n{2 * at + 1}. {next(names)}\n{2 * at + 2}. {next(names)}\n"
        for at, head in enumerate(heads)
    ]
    found = read("Brume Haute : Les Vents\n\n" + "\n".join(blocks), "brume.txt")
    assert {row.team for row in found.rows} == {""}
    assert {series(row) for row in found.rows} == set(heads)
    assert "read as teams" not in told(found)


def test_the_first_of_several_headings_is_no_set_where_the_file_is_called_by_it() -> None:
    text = (
        "== Pro Sasso ==\n1) Ada Marsh\n2) Bo Fen\n\n== Virtus Porto ==\n3) Cy Reed\n4) Di Pell\n\n"
        "== AC Valle ==\n5) Ed Tarn\n6) Fay Gull\n"
    )
    found = read(text, "Album Stella 1974.txt")
    assert {row.set for row in found.rows} == {"Album Stella 1974"}
    assert [row.team for row in found.rows[::2]] == ["Pro Sasso", "Virtus Porto", "AC Valle"]
    assert "read as teams" in told(found)


def test_the_first_line_is_the_set_where_the_file_says_none_or_numbers_begin_anew() -> None:
    text = "Pond Mill\n1 Ada Marsh\n2 Bo Fen\n\nRares\n{} Cy Reed\n\nHeroes\n5 Di Pell\n"
    assert read(text.format(3), "cards.txt").rows[0].set == "Pond Mill"
    assert read(text.format(3), "Pond Mill 1974.txt").rows[0].set == "Pond Mill"
    assert read(text.format(1), "Harbor 1974.txt").rows[0].set == "Pond Mill"


NAMES = ("Ada Marsh", "Bo Fen", "Cy Reed", "Di Pell", "Ed Tarn", "Fay Gull")


def test_a_title_beside_captions_is_the_set_and_series_its_parts() -> None:
    cells = [(part, at, NAMES[at - 1]) for part in "AB" for at in range(1, 7)]
    lines = "".join(f"Rocket Friends,1958,{part},{at},{name}\n" for part, at, name in cells)
    found = read(f"Title,Year,Series,Card,Caption\n{lines}", "space.csv")
    assert {row.set for row in found.rows} == {"1958 Rocket Friends"}
    assert [row.subject for row in found.rows[:6]] == [*NAMES]
    assert {series(row) for row in found.rows} == {"A", "B"}
    assert "'Title' is the same for many cards" in told(found)


def test_a_title_that_differs_from_card_to_card_is_the_subject() -> None:
    lines = "".join(f"{at},{name},Scene {at}\n" for at, name in enumerate(NAMES, start=1))
    found = read(f"No,Title,Caption\n{lines}", "1987 Harbor Light.csv")
    assert [row.subject for row in found.rows] == [*NAMES]


def kinds(row: Row) -> list[tuple[str, int | None]]:
    return [(one.name, one.run) for one in row.parallels]


def test_ticks_beside_those_of_the_plain_card_are_parallels() -> None:
    lines = "1,Ada Marsh,x,,,\n2,Bo Fen,x,x,x,x\n3,Cy Reed,x,x,,\n"
    text = f"#,Card,Normal,Reverse,Stamped,Missing\n{lines}"
    found = read(text, "1987 Harbor Light.csv")
    two = [("Reverse", None), ("Stamped", None)]
    assert [kinds(row) for row in found.rows] == [[], two, two[:1]]


def test_counts_beside_those_of_the_plain_card_say_which_parallels_there_are() -> None:
    text = (
        "#,Naam,Normaal,Foil,Reverse Foil\n1,Ada Marsh,1,2,1\n2,Bo Fen,3,,\n3,Cy Reed,2,0,4\n"
        "4,Di Pell,1,3,2\n"
    )
    found = read(text, "1987 Harbor Light.csv")
    both = [("Foil", None), ("Reverse Foil", None)]
    assert [kinds(row) for row in found.rows] == [both, [], both[1:], both]
    assert ("Foil", "2") in found.rows[0].extra
    assert "counts of copies" in told(found)


def test_counts_without_those_of_the_plain_card_are_only_told() -> None:
    text = "#,Name,Foil\n1,Ada Marsh,2\n2,Bo Fen,\n3,Cy Reed,3\n4,Di Pell,1\n"
    found = read(text, "1987 Harbor Light.csv")
    assert {row.parallels for row in found.rows} == {()}
    assert "numbers that may mean a parallel" in told(found)


def test_a_finish_behind_the_condition_is_the_parallel() -> None:
    text = (
        "Number,Name,Condition,Price\n1,Ada Marsh,Near Mint,1.00\n1,Ada Marsh,Near Mint Foil,2.50\n"
        "2,Bo Fen,Lightly Played,0.50\n3,Cy Reed,NM - Reverse Holo,4.00\n"
    )
    found = read(text, "1987 Harbor Light.csv")
    assert [kinds(row) for row in found.rows] == [[("Foil", None)], [], [("Reverse Holo", None)]]
    assert ("Price Foil", "2.50") in found.rows[0].extra


def test_finishes_of_copies_that_stand_alone_are_told() -> None:
    text = "Number,Name,Condition\n1,Ada Marsh,Near Mint\n2,Bo Fen,Near Mint Foil\n3,Cy Reed,NM\n"
    found = read(text, "1987 Harbor Light.csv")
    assert {row.parallels for row in found.rows} == {()}
    assert "has finishes behind conditions; they are only kept" in told(found)


def test_a_condition_alone_is_no_parallel() -> None:
    text = (
        "Number,Name,Condition\n1,Ada Marsh,Near Mint\n2,Bo Fen,Near Mint German\n3,Cy Reed,Gold\n"
    )
    assert {row.parallels for row in read(text).rows} == {()}


def test_tables_side_by_side_with_the_same_headings_mean_the_same() -> None:
    places = ("High Moor", "Gulf Coast", "Northern Plains")
    lines = "".join(
        f"{at},{name} One,Tri-River,,{at + 6},{name} Two,{places[at % 3]}\n"
        for at, name in enumerate(NAMES, start=1)
    )
    head = "No.,Name,Region,,No.,Name,Region\n"
    found = read(head + lines, "1987 Harbor Light.csv")
    assert {row.number: row.team for row in found.rows}["1"] == "Tri-River"
    assert all(row.team for row in found.rows)


def test_a_part_named_behind_the_base_set_is_a_parallel_of_its_cards() -> None:
    parts = (("Base Set", ""), ("Base Set - Crimson", 75), ("Night Games", ""))
    lines = "".join(
        f"{part},{at},{name},{run}\n"
        for part, run in (*parts, ("Night Games (Dusk)", 5))
        for at, name in enumerate(NAMES, start=1)
    )
    found = read(f"Card Set,Card #,Athlete,Sequence\n{lines}", "1987 Harbor Light.csv")
    assert len(found.rows) == 12
    assert kinds(found.rows[0]) == [("Crimson", 75)]
    assert kinds(found.rows[6]) == [("Dusk", 5)]
    assert series(found.rows[6]) == "Night Games"


def test_a_part_with_cards_of_its_own_stays_one() -> None:
    lines = "".join(
        f"{part},{at},{name}{end}\n"
        for part, end in (("Base Set", ""), ("Base Set - Legends", " Sr."))
        for at, name in enumerate(NAMES, start=1)
    )
    found = read(f"Card Set,Card #,Athlete\n{lines}", "1987 Harbor Light.csv")
    assert [series(row) for row in found.rows[5:7]] == ["Base Set", "Base Set - Legends"]


def test_a_sheet_of_months_and_sums_has_no_cards(tmp_path: Path) -> None:
    found = workbook(
        tmp_path / "1987 Harbor Light.xlsx",
        ("Cards", [("Card Number", "Card Name"), ("1", "Ada Marsh"), ("2", "Bo Fen")]),
        ("Prices history", [("Month", "Total €"), ("2024-01", 324), ("2024-02", 368)]),
    )
    assert [row.subject for row in found.rows] == ["Ada Marsh", "Bo Fen"]
    assert "a date and a number each" in told(found)


@pytest.mark.parametrize(
    "text",
    [
        "1987 Harbor Light - 1 Ada Marsh; 2 Bo Fen; 3 Cy Reed; 4 Di Pell",
        "1987 Harbor Light: 1. Ada Marsh; 2. Bo Fen; 3. Cy Reed; 4. Di Pell.",
        "1987 Harbor Light\n1 Ada Marsh, 2 Bo Fen, 3 Cy Reed, 4 Di Pell\n",
    ],
)
def test_cards_on_one_line_with_any_mark_between(text: str) -> None:
    found = read(text, "line.txt")
    assert {row.set for row in found.rows} == {"1987 Harbor Light"}
    assert [(row.number, row.subject) for row in found.rows] == [
        (str(at), name) for at, name in enumerate(NAMES[:4], start=1)
    ]


def test_a_comma_before_a_team_parts_no_cards() -> None:
    text = "1987 Harbor Light\n1 Ada Marsh, 3 Oaks Gulls\n2 Bo Fen, 3 Oaks Gulls\n"
    found = read(text, "line.txt")
    assert (found.rows[0].subject, found.rows[0].team) == ("Ada Marsh", "3 Oaks Gulls")


def test_a_sheet_of_members_has_no_cards(tmp_path: Path) -> None:
    people = [(at, name, "Oxby", f"m{at}@example.org") for at, name in enumerate(NAMES, start=1)]
    found = workbook(
        tmp_path / "Harbor Club.xlsx",
        ("1987 Harbor Light", [("No.", "Player"), ("1", "Ada Marsh"), ("2", "Bo Fen")]),
        ("Members", [("Member No.", "Name", "Town", "E-mail"), *people]),
    )
    assert [(row.set, row.subject) for row in found.rows] == [
        ("1987 Harbor Light", "Ada Marsh"),
        ("1987 Harbor Light", "Bo Fen"),
    ]
    assert "people and their addresses" in told(found)


def test_cards_with_the_address_of_their_seller_are_cards() -> None:
    text = "No.,Player,Seller e-mail\n1,Ada Marsh,a@example.org\n2,Bo Fen,b@example.org\n"
    assert len(read(text, "1987 Harbor Light.csv").rows) == 2
