"""Lists that lay in desk drawers: trackers, stock, mails, pages of friends
(common practice, no source; invented names)."""

from __future__ import annotations

from pathlib import Path

import pytest
from support.read_lists import read, series, told, workbook

from tagger.core.checklist.files import parse_checklist
from tagger.core.checklist.raw.title_names import title_name
from tagger.core.model.tags import Row


def kinds(row: Row) -> list[tuple[str, int | None]]:
    return [(one.name, one.run) for one in row.parallels]


@pytest.mark.parametrize(
    ("run", "listed", "meant"),
    [
        ("149", "Red /25; Black 1/1", [("/149", 149), ("Red", 25), ("Black", 1)]),
        ("/99", "Red /25 | Teal /10", [("/99", 99), ("Red", 25), ("Teal", 10)]),
        ("99", "Gold, Silver", [("/99", 99), ("Gold", None), ("Silver", None)]),
        # said twice, or the run of the one parallel
        ("25", "Red /25; Black 1/1", [("Red", 25), ("Black", 1)]),
        ("50", "Gold", [("Gold", 50)]),
        ("", "Red /25; Black 1/1", [("Red", 25), ("Black", 1)]),
    ],
)
def test_a_print_run_beside_several_parallels_is_that_of_the_card(
    run: str, listed: str, meant: list[tuple[str, int | None]]
) -> None:
    found = read(
        "Set,Number,Player,Print Run,Parallels\n"
        f'1987 Harbor,S-1,Ada Marsh,{run},"{listed}"\n1987 Harbor,S-2,Bo Finn,,Gold /50\n'
    )
    assert kinds(found.rows[0]) == meant


TICKED = (
    "No.,Player,Base,Ice,Gold /50,Red /5\n1,Ada Marsh,{},x,,\n2,Bo Finn,x,,x,\n3,Cy Orr,x,,-,\n"
)
EACH = [("Ice", None), ("Gold", 50), ("Red", 5)]


@pytest.mark.parametrize(
    "legend",
    [
        "x = got it",
        "X: in my binder",
        '"x" means I have it',
        "x = vorhanden",
        "x = la tengo",
        "✓ = ce l'ho",
        "x = still missing",
        "x = have; o = need",
        "(an x is for what is in my album)",
    ],
)
def test_ticks_of_what_the_owner_has_leave_each_card_each_parallel(legend: str) -> None:
    above = read(f"1987 Harbor Light\n{legend}\n{TICKED.format('x')}")
    below = read(f"{TICKED.format('x')}\n,{legend},,,,\n")
    for found in (above, below):
        assert [kinds(row) for row in found.rows] == [EACH, EACH, [("Ice", None), ("Red", 5)]]
        assert not found.problems


def test_a_card_without_any_tick_shows_that_ticks_are_the_owners() -> None:
    found = read(f"{TICKED.format('x')}4,Di Eck,,,,\n")
    assert [kinds(row) for row in found.rows][:2] == [EACH, EACH]
    assert "ticks below 'Ice', 'Gold /50', 'Red /5' are read as what the owner has" in told(found)


def test_ticks_say_what_there_is_where_nothing_says_whose_they_are() -> None:
    found = read(f"1987 Harbor Light\nx = short print\n{TICKED.format('x')}")
    assert [kinds(row) for row in found.rows] == [[("Ice", None)], [("Gold", 50)], []]


STOCK = "Jahr;Hersteller;Serie;Nr.;Name\n1999;Pfeil;{};1;Ada Marsh\n2015;Kuf;;2;Bo Finn\n"


def test_a_maker_whose_sets_have_no_name_is_their_name() -> None:
    found = read(STOCK.format("Eis") + "1999;Pfeil;Eis;3;Cy Orr\n2015;Kuf;;4;Di Eck\n")
    assert [row.set for row in found.rows] == ["1999 Pfeil Eis", "2015 Kuf"] * 2
    # a name that has its maker already, and a year of which the maker has sets with names as well
    found = read(STOCK.format("Pfeil Eis") + "2015;Kuf;Nord;4;Di Eck\n")
    assert [row.set for row in found.rows] == ["1999 Pfeil Eis", "2015 Kuf", "2015 Kuf Nord"]
    assert not found.problems


def test_a_card_without_a_set_may_be_of_the_one_above_or_of_its_makers() -> None:
    found = read(STOCK.format("Eis") + "2015;Kuf;Nord;4;Di Eck\n2015;Kuf;;5;Eli Fox\n")
    assert found.rows[3].set == "2015 Kuf"
    assert "called by its maker ('Kuf'), and not as of the set above" in told(found)


def test_a_set_that_its_first_card_names_alone_holds_for_those_below() -> None:
    found = read(STOCK.format("Eis").replace(";Kuf;;", ";Kuf;Nord;") + "2015;Kuf;;4;Di Eck\n")
    assert [row.set for row in found.rows] == ["1999 Eis", "2015 Nord", "2015 Nord"]


FIVE = "1 Ada Marsh\n2 Bo Finn\n3 Cy Orr\n4 Di Eck\n5 Eli Fox\n"


@pytest.mark.parametrize(
    ("mark", "kept"),
    [
        ("MGR", ("marks", "MGR")),
        ("AS", ("marks", "AS")),
        ("(HOR)", ("marks", "HOR")),
        ("Mgr.", ("marks", "Mgr.")),
        ("NM", ("marks", "NM")),
        ("EX-MT", ("marks", "EX-MT")),
        ("VG+", ("marks", "VG+")),
        ("- sharp!", ("note", "sharp!")),
        ("-- came from my uncle", ("note", "came from my uncle")),
        ("(small crease)", ("note", "small crease")),
        ("; off-center", ("note", "off-center")),
        ("<- bent", ("note", "bent")),
        ("(mancante)", ("note", "mancante")),
        ("(fehlt)", ("note", "fehlt")),
    ],
)
def test_what_is_said_of_a_card_or_a_copy_stands_apart_from_its_name(
    mark: str, kept: tuple[str, str]
) -> None:
    found = read(f"1987 Harbor Light\n\n{FIVE}6 Fay Gunn {mark}\n7 Gus Hale Jr.\n", "harbor.txt")
    assert [row.subject for row in found.rows][5:] == ["Fay Gunn", "Gus Hale Jr."]
    assert found.rows[5].extra == (kept,)
    assert not found.problems


@pytest.mark.parametrize("name", ["Roy Mintex", "THE EX", "The Door - open", "East & West - AS"])
def test_words_that_look_like_marks_stay_in_names(name: str) -> None:
    if name.endswith("AS"):
        name = name.upper()  # capitals are no marks among capitals
    found = read(f"1987 Harbor Light\n\n{FIVE.upper()}6 {name}\n", "harbor.txt")
    assert found.rows[5].subject.startswith(name.split(" - ")[0])
    assert not dict(found.rows[5].extra).get("marks")


def test_states_of_copies_behind_the_titles_of_offers_are_marks() -> None:
    found = read(
        "Item,Title,Price\n11,1987 Harbor Light #4 Ada Marsh RC NM,1.75\n"
        "12,1988 Pond Mill #9 Bo Finn Jr. VG-EX,2.50\n13,1988 Pond Mill #10 Cy Orr,0.99\n"
    )
    assert [row.subject for row in found.rows] == ["Ada Marsh", "Bo Finn Jr.", "Cy Orr"]
    assert dict(found.rows[0].extra)["rookie"] == "RC"
    assert dict(found.rows[1].extra)["marks"] == "VG-EX"


def test_short_forms_of_teams_are_no_states_of_copies() -> None:
    lines = (f"{n} Ada M{n} {('NM', 'TX', 'OH')[n % 3]}" for n in range(1, 13))
    found = read("1987 Harbor Light\n\n" + "\n".join(lines), "harbor.txt")
    assert {row.team for row in found.rows} == {"NM", "TX", "OH"}


def test_the_point_of_a_short_form_before_an_amount_is_kept() -> None:
    found = read(
        "1987 Harbor Light (or $25 for all of them):\n\n1 Ada Marsh Jr. - $2\n"
        "2 Bo Finn ..... $3\n3 Cy Orr - $1\n4 Di E. $1\n",
        "harbor.txt",
    )
    assert [row.subject for row in found.rows] == ["Ada Marsh Jr.", "Bo Finn", "Cy Orr", "Di E."]
    assert {row.set for row in found.rows} == {"1987 Harbor Light"}


def test_a_parallel_in_brackets_behind_a_name_is_one() -> None:
    found = read(
        "Set,#,Player\n1987 Harbor,1,Ada Marsh (Gold /25)\n1987 Harbor,2,Bo Finn\n"
        "1987 Harbor,3,Cy Orr (Tidal #/10)\n1987 Harbor,4,Di Eck [Printing Plate 1/1]\n"
        "1987 Harbor,5,Eli Fox (Die-Cut)\n1987 Harbor,6,Fay Gunn (numbered to 99)\n"
    )
    names = ["Ada Marsh", "Bo Finn", "Cy Orr", "Di Eck", "Eli Fox", "Fay Gunn"]
    assert [row.subject for row in found.rows] == names
    parallels = [("Gold", 25), ("Tidal", 10), ("Printing Plate", 1), ("Die-Cut", None), ("/99", 99)]
    assert [kind for row in found.rows for kind in kinds(row)] == parallels


def test_teams_that_are_called_by_colours_are_teams() -> None:
    lines = "\n".join(f"{n},Ada M{n} ({('Red', 'White', 'Blue')[n % 3]})" for n in range(1, 10))
    found = read(f"1987 Harbor Light\nNo.,Player\n{lines}\n")
    assert {row.team for row in found.rows} == {"Red", "White", "Blue"}
    assert not any(map(kinds, found.rows))


def test_a_parallel_behind_a_name_is_one_beside_those_with_print_runs() -> None:
    found = read(
        "1987 Harbor #1 Ada Marsh Blue /99\n1987 Harbor #2 Bo Finn Orange Wave /25\n"
        "1987 Harbor #3 Cy Orr Silver\n1987 Harbor #4 Lee Gold\n1987 Harbor #5 Eli Fox\n",
        "swap.txt",
    )
    assert [row.subject for row in found.rows] == [
        *("Ada Marsh", "Bo Finn", "Cy Orr", "Lee Gold", "Eli Fox")
    ]
    assert kinds(found.rows[2]) == [("Silver", None)]
    assert "'Silver' behind 'Cy Orr' is read as a parallel" in told(found)


INK = "1987 Harbor Light\n\n1 Ada Marsh\n2 Bo Finn\n\n{}\n\nDS-1 Cy Orr\nDS-2 Di Eck\n"


@pytest.mark.parametrize(
    "heading",
    [
        "Dual Ink (all numbered to 250)",
        "Dual Ink (each #'d /250)",
        "Dual Ink (alle limitiert auf 250)",
        "Dual Ink (tutte numerate a 250)",
        "Dual Ink (toutes numérotées à 250)",
        "Dual Ink\n2 cards. Serial numbered to 250.",
        "Dual Ink\n2 cards, print run 250",
    ],
)
def test_the_print_run_of_all_cards_of_a_part_is_theirs(heading: str) -> None:
    found = read(INK.format(heading), "harbor.txt")
    assert [kinds(row) for row in found.rows] == [[], [], [("/250", 250)], [("/250", 250)]]
    assert [series(row) for row in found.rows][2:] == ["Dual Ink", "Dual Ink"]
    assert not found.problems


def test_the_print_run_of_a_part_stands_beside_its_parallels() -> None:
    found = read(INK.format("Dual Ink\n2 cards. Numbered to 35.\nParallels: Gold #/10"), "h.txt")
    assert kinds(found.rows[2]) == [("/35", 35), ("Gold", 10)]


@pytest.mark.parametrize(
    ("heading", "meant"),
    [
        ("Gold Seal parallel (numbered to 94)", ("Gold Seal", 94)),
        ("Press Proof", ("Press Proof", None)),
        ("Press Proofs (all numbered to 50)", ("Press Proofs", 50)),
    ],
)
def test_cards_that_are_listed_again_below_a_finish_have_it_as_a_parallel(
    heading: str, meant: tuple[str, int | None]
) -> None:
    again = "".join(FIVE.splitlines(keepends=True)[1:4])
    found = read(f"1987 Harbor Light\n\nRegular cards\n{FIVE}\n{heading}\n{again}", "harbor.txt")
    assert [kinds(row) for row in found.rows] == [[], *([meant],) * 3, []]
    assert not any(map(series, found.rows))


def test_cards_that_are_listed_again_below_any_name_are_told() -> None:
    found = read(f"1987 Harbor Light\n\n{FIVE}\nTiffany\n{FIVE}", "harbor.txt")
    assert [series(row) for row in found.rows] == [""] * 5 + ["Tiffany"] * 5
    assert "all cards below 'Tiffany' stand above it as well; if it is a parallel" in told(found)
    found = read(f"1987 Harbor Light\n\n{FIVE}\nTiffany parallel\n{FIVE}", "harbor.txt")
    assert [kinds(row) for row in found.rows] == [[("Tiffany", None)]] * 5
    # what is listed for a club, or for rookies, is no parallel
    for heading in ("Rookies", "FC Harbor"):
        assert not read(f"1987 Harbor Light\n\n{FIVE}\n{heading}\n{FIVE}", "h.txt").problems


def test_remarks_of_a_few_cards_leave_the_teams_of_all() -> None:
    found = read(
        "2007 Harbor\n\n[x] 1 Ada Marsh (Gulls)\n[ ] 2 Bo Finn (Owls) - upgrade needed\n"
        "[ ] 3 Cy Orr (Gulls) // bent\n[x] 4 Di Eck (Owls) <- creased\n"
        "[x] 5 Eli Fox (Gulls) RC -- trade\n",
        "have.txt",
    )
    assert [row.team for row in found.rows] == ["Gulls", "Owls", "Gulls", "Owls", "Gulls"]


def test_other_cards_below_a_finish_are_a_subset() -> None:
    found = read(
        f"1987 Harbor Light\n\n{FIVE}\nGold Rush\n1 Di Eck\n2 Cy Orr\n3 Bo Finn\n", "h.txt"
    )
    assert [series(row) for row in found.rows] == [""] * 5 + ["Gold Rush"] * 3


def test_a_sheet_of_a_parallel_lists_cards_of_the_set_before(tmp_path: Path) -> None:
    cards = [("#", "Player"), *((n, f"Ada M{n}") for n in range(1, 7))]
    found = workbook(
        tmp_path / "binder.xlsx",
        ("93-94", [("1993-94 Harbor Hockey",), *cards]),
        ("Ice", [("1993-94 Harbor Hockey - Gold Ice parallel",), *cards[:4]]),
    )
    assert [kinds(row) for row in found.rows] == [[("Gold Ice", None)]] * 3 + [[]] * 3


def test_numbers_of_how_many_in_one_part_are_numbers() -> None:
    found = read(
        f"1987 Harbor Light\n\n{FIVE}\nDerby insert\n1 of 3 - Ada Marsh\n2 of 3 - B.B. Finn\n"
        "3 of 3 - Cy Orr\n",
        "harbor.txt",
    )
    assert [(row.number, row.subject) for row in found.rows][5:] == [
        *(("1", "Ada Marsh"), ("2", "B.B. Finn"), ("3", "Cy Orr"))
    ]


@pytest.mark.parametrize("head", ["1951 HARBOR MAPLE\n", "1951 HARBOR MAPLE\nNo.,Player\n"])
def test_what_tells_cards_of_one_number_apart_is_a_note(head: str) -> None:
    lines = ("6,FAY GUNN", "7,GUS HALE (CAPTAIN)", "8A,ADA MARSH (FACING LEFT)")
    lines = (*lines, "8B,ADA MARSH (FACING RIGHT)", "9A,BO FINN (OWLS)", "10,CY ORR", "11,DI ECK")
    text = "\n".join((head, *lines))
    found = read(text if "No." in head else text.replace(",", " - "), "harbor.txt")
    assert [row.subject for row in found.rows][:5] == [
        *("FAY GUNN", "GUS HALE (CAPTAIN)", "ADA MARSH", "ADA MARSH", "BO FINN (OWLS)")
    ]
    assert found.rows[2].extra == (("note", "FACING LEFT"),)


def test_letters_of_dos_at_the_ends_of_words_are_seen() -> None:
    text = "1978 Harbor Light\n\n1 José Marsh\n2 René Finn\n3 Cy Orr\n"
    found = parse_checklist(text.encode("cp437"), "CARDS.TXT", "CARDS")
    assert [row.subject for row in found.rows] == ["José Marsh", "René Finn", "Cy Orr"]
    assert "read as cp850 (DOS)" in told(found)
    # an amount in pounds, a quotation: cp1252 has them so
    text = "1978 Harbor Light\n\n1 Ada “Ace” Marsh £3\n2 Bo ‚Bee‘ Finn £2\n3 Cy Orr £1\n"
    found = parse_checklist(text.encode("cp1252"), "cards.txt", "cards")
    assert found.rows[0].subject == "Ada “Ace” Marsh"
    assert not found.problems


def test_a_count_beside_the_total_of_amounts_is_no_card() -> None:
    found = read(
        "Year,Brand,No.,Player,Value\n1978,Harbor,3,Ada Marsh,0.50\n1978,Harbor,4,Bo Finn,1.25\n"
        "2 CARDS,TOTAL,1.75,,\n"
    )
    assert len(found.rows) == 2
    assert not found.problems


@pytest.mark.parametrize(
    "title",
    ["1983 HARBOR LIGHT - ALPHABETICAL", "1983 Harbor Light (in alphabetical order)",
     "1983 Harbor Light alphabetisch", "1983 Harbor Light, ordre alphabétique"],
)  # fmt: skip
def test_the_order_of_a_list_is_not_of_the_name_of_its_set(title: str) -> None:
    assert title_name(title).lower() == "1983 harbor light"


def test_a_second_album_with_its_year_behind_its_name_is_a_set() -> None:
    found = read(
        "Figurine Porto 1972\n\nn. 1 Ada Marsh\nn. 2 Bo Finn (mancante)\nn. 3 Cy Orr\n\n"
        "Figurine Porto Calcio 1973\n\nSquadra: Virtus\nn. 1 Di Eck\nn. 2 Eli Fox\n\n"
        "Squadra: Pro Monte\nn. 3 Fay Gunn\n",
        "figurine.txt",
    )
    assert [(row.set, row.team) for row in found.rows] == [
        *[("Figurine Porto 1972", "")] * 3,
        *[("Figurine Porto Calcio 1973", "Virtus")] * 2,
        ("Figurine Porto Calcio 1973", "Pro Monte"),
    ]
    assert not found.problems


NEEDS = (
    "# {}\n\n## 2001\n\n### Harbor Press\n\n- [ ] **5** Ada Marsh\n- [x] ~~**7** Bo Finn~~\n\n"
    "### Pond Mill\n\n- [ ] **7** Cy Orr RC\n\n## 2004\n\n### Pond Mill\n\n- [ ] **2** Di Eck\n"
)


def test_a_year_over_names_of_sets_is_that_of_each() -> None:
    found = read(NEEDS.format("Bend Timber team set needs"), "needs.md")
    assert [(row.set, row.number, row.subject) for row in found.rows] == [
        ("2001 Harbor Press", "5", "Ada Marsh"),
        ("2001 Harbor Press", "7", "Bo Finn"),
        ("2001 Pond Mill", "7", "Cy Orr"),
        ("2004 Pond Mill", "2", "Di Eck"),
    ]
    assert not found.problems


def test_a_year_over_each_name_of_a_set_needs_no_title() -> None:
    found = read(
        "1988\nHarbor Stars\n1 Ada Marsh\n2 Bo Finn\n\n1989\nPond League\n1 Cy Orr\n", "y.txt"
    )
    assert [row.set for row in found.rows] == ["1988 Harbor Stars"] * 2 + ["1989 Pond League"]
    found = read("1988\nBase set\n1 Ada Marsh\n2 Bo Finn\nInserts\n1 Cy Orr\n", "Harbor Light.txt")
    assert {row.set for row in found.rows} == {"1988 Harbor Light"}


def test_a_year_below_the_name_of_a_set_is_that_of_the_set() -> None:
    found = read(NEEDS.format("Harbor Light"), "light.md")
    assert {row.set for row in found.rows} == {"2001 Harbor Light", "2004 Harbor Light"}


def test_some_sets_of_wants_may_have_names_beside_the_numbers() -> None:
    found = read(
        "Walt's want list\n\n1985 Harbor Light: 3, 17, 22-24\n1986 Harbor Light: 1, 9,\n"
        "   101, 144\n1991 Pond Mill: 14 Marsh, 27 Finn, 60 Orr RC,\n   103 Eck, 129 Fox\n",
        "wants.txt",
    )
    assert [row.number for row in found.rows[:9]] == [*("3", "17", "22", "23", "24"),
                                                     *("1", "9", "101", "144")]  # fmt: skip
    assert [(row.set, row.number, row.subject) for row in found.rows[9:]] == [
        ("1991 Pond Mill", number, name)
        for number, name in zip(
            ("14", "27", "60", "103", "129"), ("Marsh", "Finn", "Orr", "Eck", "Fox"), strict=True
        )
    ]


TRACKER = (
    "# 2025 Harbor Lumen\n\n## Base\n\nParallels:\n\n- Glow\n- Blue Glow /75\n- {}\n\n"
    "| # | Player | Team |\n|--:|---|---|\n| 1 | Ada Marsh | Gulls |\n| 2 | Bo Finn | Owls |\n"
    "| 3 | Cy Orr | Gulls |\n\n## Filament\n\nInsert, 1:6. No parallels.\n\n"
    "| # | Player | Team |\n|---|---|---|\n| F-1 | Di Eck | Owls |\n| F-2 | Eli Fox | Gulls |\n"
)


@pytest.mark.parametrize(
    "listed",
    ["Blackout /5 (rookies 2-3 only)", "Blackout #/5 (2-3)", "Blackout /5, cards 2 to 3",
     "Blackout /5 (nur Karten 2-3)", "Blackout /5 - nos. 2-3"],
)  # fmt: skip
def test_a_parallel_of_some_cards_is_listed_with_their_numbers(listed: str) -> None:
    found = read(TRACKER.format(listed), "README.md")
    all_have: list[tuple[str, int | None]] = [("Glow", None), ("Blue Glow", 75)]
    some = [*all_have, ("Blackout", 5)]
    assert [kinds(row) for row in found.rows] == [all_have, some, some, [], []]
    assert [series(row) for row in found.rows] == ["", "", "", "Filament", "Filament"]
    assert not found.problems


def test_what_a_line_below_a_heading_of_a_table_says_of_its_cards_is_theirs() -> None:
    found = read(
        "1987 Harbor Light\nNo.,Player,Team\n1,Ada Marsh,Gulls\n2,Bo Finn,Owls\nDual Ink,,\n"
        "All cards numbered to 99,,\nD-1,Cy Orr,Gulls\nD-2,Di Eck,Owls\n"
    )
    assert [kinds(row) for row in found.rows] == [[], [], [("/99", 99)], [("/99", 99)]]


def test_print_runs_among_notes_are_print_runs() -> None:
    found = read(
        "1987 Harbor Light\nNo.,Player,Notes\n1,Ada Marsh,RC\n2,Bo Finn,\nS-1,Cy Orr,#/99\n"
        "S-2,Di Eck,/25\n"
    )
    assert [kinds(row) for row in found.rows] == [[], [], [("/99", 99)], [("/25", 25)]]
    # days and shares are none
    found = read("No.,Player,Notes\n1,Ada Marsh,got 3/12\n2,Bo Finn,3/12\n3,Cy Orr,1/2\n")
    assert not any(map(kinds, found.rows))


def test_a_key_beside_the_cards_is_no_part_of_these(tmp_path: Path) -> None:
    found = workbook(
        tmp_path / "harbor.xlsx",
        (
            "List",
            [
                ("1987 Harbor Light", "", "", "", ""),
                ("Card #", "Player", "Team", "", ""),
                ("", "", "", "", "Legend"),
                ("BASE SET (2 cards)", "", "", "", "RC = rookie card"),
                (1, "Ada Marsh", "Gulls", "", "SP = short print"),
                (2, "Bo Finn", "Owls", "", ""),
                ("NIGHT STARS (1:8 packs)", "", "", "", ""),
                ("NS-1", "Cy Orr", "Gulls", "", ""),
            ],
        ),
    )
    assert [(row.number, row.subject) for row in found.rows] == [
        *(("1", "Ada Marsh"), ("2", "Bo Finn"), ("NS-1", "Cy Orr"))
    ]
    assert not found.problems


RAINBOW = (
    "2022 Harbor Prime - rainbow\n\n#,Player / version,Run,Have\n31,Ada Marsh,,x\n,{0},,\n"
    ",Blue,99,\n,{1},50,x\n32,Bo Finn,,\n,{0},,x\n,{1},50,\n,Black,1,\n,spent so far,,\n"
)


@pytest.mark.parametrize("names", [("Silver", "Gold"), ("Silver", "Tidal"), ("Base", "Tidal")])
def test_versions_below_their_card_where_names_stand_are_its_parallels(
    names: tuple[str, str],
) -> None:
    found = read(RAINBOW.format(*names))
    first = [] if names[0] == "Base" else [(names[0], None)]
    assert [(row.number, row.subject) for row in found.rows] == [
        *(("31", "Ada Marsh"), ("32", "Bo Finn"))
    ]
    assert kinds(found.rows[0]) == [*first, ("Blue", 99), (names[1], 50)]
    assert kinds(found.rows[1]) == [*first, (names[1], 50), ("Black", 1)]
    assert not found.problems


def test_cards_without_numbers_among_others_are_cards() -> None:
    found = read("#,Player,Have\n31,Ada Marsh,x\n32,Bo Finn,\n,Lee Gold,x\n,Cy Orr,x\n,Di Eck,\n")
    assert len(found.rows) == 5


ONE = "{}\nYear,Set,Card #,Parallel,Print Run\n2014,Harbor,128,,\n2014,Harbor,128,Gold,50\n"


@pytest.mark.parametrize(
    "title",
    ["Ada Marsh Collection", "My Ada Marsh PC", "Sammlung Ada Marsh", "Collection de Ada Marsh",
     "Player: Ada Marsh"],
)  # fmt: skip
def test_a_list_of_one_persons_cards_says_whose_in_its_title(title: str) -> None:
    found = read(ONE.format(f"{title},,,,"))
    assert [(row.set, row.subject) for row in found.rows] == [("2014 Harbor", "Ada Marsh")]
    assert kinds(found.rows[0]) == [("Gold", 50)]
    assert "no column for the subject; by the title it is 'Ada Marsh' for all cards" in told(found)


@pytest.mark.parametrize("title", ["Vintage Baseball Collection", "1987 Harbor Collection"])
def test_a_title_of_a_collection_of_many_names_nobody(title: str) -> None:
    assert not read(ONE.format(f"{title},,,,")).rows[0].subject


def test_cards_with_breaks_between_in_the_cells_of_a_page_are_lines() -> None:
    found = read(
        "<html><body><h1>My page</h1><h2>1960 Harbor Wagons</h2><table><tr valign=top>\n"
        "<td>1&nbsp;&nbsp;Crane&nbsp;&amp;&nbsp;Holt<br>\n2&nbsp;Oak Duke<br>3 Marsh Six<br>\n"
        "</td>\n"
        "<td>4 Fen Four<p>5 Pond Roamer</td></tr></table><h2>1961 Harbor Wagons</h2>\n"
        "<table><tr><td>1 Reed Falcon<br>2 Mill Meteor<br>3 Dune Star</td></tr></table>"
        "</body></html>",
        "wagons.html",
    )
    assert [(row.set, row.number, row.subject) for row in found.rows] == [
        ("1960 Harbor Wagons", "1", "Crane & Holt"),
        ("1960 Harbor Wagons", "2", "Oak Duke"),
        ("1960 Harbor Wagons", "3", "Marsh Six"),
        ("1960 Harbor Wagons", "4", "Fen Four"),
        ("1960 Harbor Wagons", "5", "Pond Roamer"),
        ("1961 Harbor Wagons", "1", "Reed Falcon"),
        ("1961 Harbor Wagons", "2", "Mill Meteor"),
        ("1961 Harbor Wagons", "3", "Dune Star"),
    ]


def test_a_break_in_a_cell_of_a_table_of_a_page_parts_no_card() -> None:
    found = read(
        "<table><tr><th>No.</th><th>Player</th></tr><tr><td>1</td><td>Ada<br>Marsh</td></tr>\n"
        "<tr><td>2</td><td>Bo<br>Finn</td></tr></table>"
    )
    assert [row.subject for row in found.rows] == ["Ada Marsh", "Bo Finn"]
