"""Lists as people put them on the web: albums, pages, trackers, logs, price guides (common
practice, no source; invented names)."""

from __future__ import annotations

import pytest
from support.read_lists import read, series, told

from tagger.core.checklist.checklist import Checklist
from tagger.core.checklist.titles import part_of
from tagger.core.model.tags import Row


def cards(found: Checklist) -> list[tuple[str, str, str]]:
    """Number, subject and team of each card."""
    return [(row.number, row.subject, row.team) for row in found.rows]


def notes(row: Row) -> list[str]:
    return [value for name, value in row.extra if name == "note"]


def kinds(row: Row) -> list[tuple[str, int | None]]:
    return [(one.name, one.run) for one in row.parallels]


ALBUM = """Copa Marisma 1979-80
REAL OTERO
1. Escudo
2. Ada Mora (POR)
3. Bo Fina (DEF)
C.D. PEDRAL
4. Escudo
5a. Cy Duna (MED)
5b. Di Ega (MED) - en lugar del anterior
UNIÓN SOTO
6. Escudo
7. Flo Gama (DEL)
8. Gil Hoz (DEF)
9. Hugo Ibar (MED)
ÚLTIMOS FICHAJES
F1. Ivo Jara (Real Otero)
"""


def test_headings_over_a_badge_each_are_teams_and_positions_are_none() -> None:
    found = read(ALBUM, "album.txt")
    assert [row.team for row in found.rows[:4]] == ["REAL OTERO"] * 3 + ["C.D. PEDRAL"]
    assert cards(found)[5] == ("5b", "Di Ega", "C.D. PEDRAL")
    assert notes(found.rows[1]) == ["POR"]
    assert set(notes(found.rows[5])) == {"MED", "en lugar del anterior"}
    assert cards(found)[-1] == ("F1", "Ivo Jara", "Real Otero")
    assert series(found.rows[-1]) == "ÚLTIMOS FICHAJES"
    assert "3 headings such as 'REAL OTERO' are read as teams" in told(found)


def test_short_forms_of_teams_stay_teams_though_one_could_be_a_position() -> None:
    codes = ("MIL", "DAL", "DET", "HOU", "MIL", "DAL")
    text = "".join(f"{at} Ada Marsh{at} ({code})\n" for at, code in enumerate(codes, 1))
    found = read(f"1987 Harbor Light\n{text}", "harbor.txt")
    assert [row.team for row in found.rows] == list(codes)


def test_remarks_in_small_letters_behind_a_few_names_are_notes() -> None:
    text = (
        "1987 Harbor Light\n1 Ada Marsh\n2 Bo Finn (no cap)\n3 Cy Dell\n4 Di Eve [captain]\n"
        "5 Flo Ng\n6 Gil Hart\n7 Hal Ivy -- missing\n8 Ida Jay\n9 Jo Kern\n10 Kit Lowe\n"
        "11 Lu Moor\n12 Mo Nash\n"
    )
    found = read(text, "harbor.txt")
    assert [row.subject for row in found.rows[1:7:2]] == ["Bo Finn", "Di Eve", "Gil Hart"]
    assert found.rows[6].subject == "Hal Ivy"
    assert [notes(found.rows[at]) for at in (1, 3, 6)] == [["no cap"], ["captain"], ["missing"]]
    table = "set,number,subject\n" + "".join(
        f"1958 Marsh Birds,{number},{name}\n"
        for number, name in (
            *(("1", "Avocet"), ("2", "Dunlin"), ("2 bis", "Dunlin (blue sky)"), ("3", "Knot")),
            *(("4", "Robin (male)"), ("5", "Robin (female)"), ("6", "Ruff"), ("7", "Snipe")),
            *(("8", "Reeve (2 of 2)"), ("9", "Gull"), ("10", "Tern"), ("11", "Smew")),
        )
    )
    birds = read(table)
    assert [row.subject for row in birds.rows[2:6]] == [
        *("Dunlin", "Knot", "Robin (male)", "Robin (female)"),
    ]
    assert notes(birds.rows[2]) == ["blue sky"]
    assert birds.rows[8].subject == "Reeve (2 of 2)"


def test_a_heading_over_tables_side_by_side_holds_for_all_of_them() -> None:
    text = (
        "2003 Riverside League,,,\nNo.,Name,No.,Name\nMarl Bay,,,\n1,Ada Marsh,2,Bo Finn\n"
        "3,Cy Dell,4,Di Eve\nUpper Soke,,,\n5,Flo Ng,6,Gil Hart\n7,Hal Ivy,8,Ida Jay\n"
    )
    found = read(text)
    by_number = {row.number: series(row) for row in found.rows}
    assert [by_number[str(n)] for n in range(1, 9)] == ["Marl Bay"] * 4 + ["Upper Soke"] * 4


def test_a_heading_in_one_of_tables_side_by_side_stays_its_own_beside_others() -> None:
    text = (
        "2003 Riverside League,,,\nNo.,Name,No.,Name\nRookies,,,\n1,Ada Marsh,11,Bo Finn\n"
        "2,Cy Dell,12,Di Eve\n,,Stars,\n3,Flo Ng,13,Gil Hart\n4,Hal Ivy,14,Ida Jay\n"
    )
    by_number = {row.number: series(row) for row in read(text).rows}
    assert (by_number["1"], by_number["11"], by_number["13"]) == ("Rookies", "", "Stars")


def test_print_runs_beside_lists_of_parallels_are_those_of_the_cards() -> None:
    rows = (
        'S,1,Ada,,"Feather, Bullseye (/25)"\nS,2,Bo,500,Feather\nS,3,Cy,250,"Feather, Wing (/9)"\n'
    )
    found = read(f"set,number,name,print run,parallels\n{rows}")
    assert kinds(found.rows[0]) == [("Feather", None), ("Bullseye", 25)]
    assert kinds(found.rows[1]) == [("/500", 500), ("Feather", None)]
    assert kinds(found.rows[2]) == [("/250", 250), ("Feather", None), ("Wing", 9)]
    each = read("set,number,name,print run,parallel\nS,1,Ada,50,Gold\nS,1,Ada,25,Red\n")
    assert kinds(each.rows[0]) == [("Gold", 50), ("Red", 25)]
    some = "S,1,Ada,50,Gold\nS,2,Bo,25,Red\nS,3,Cy,10,Gold; Red\n"
    few = read(f"set,number,name,print run,parallel\n{some}")
    assert kinds(few.rows[2]) == [("/10", 10), ("Gold", None), ("Red", None)]
    assert "'print run' stands beside several parallels in 1 row" in told(few)


TRACKER = "2021 Harbor Light\nCard,Name,Base,Green,Orange /75,Black 1/1\n"


def test_crosses_of_a_tracker_say_what_its_owner_has() -> None:
    found = read(f"{TRACKER}1,Ada Marsh,x,,,\n2,Bo Finn,,x,,\n3,Cy Dell,x,,n/a,x\n4,Di Eve,x,,,\n")
    assert kinds(found.rows[0]) == [("Green", None), ("Orange", 75), ("Black", 1)]
    assert kinds(found.rows[2]) == [("Green", None), ("Black", 1)]
    assert "'Green', 'Orange /75', 'Black 1/1' are read as what the owner has" in told(found)


def test_crosses_below_a_full_column_of_the_plain_card_say_what_there_is() -> None:
    found = read(f"{TRACKER}1,Ada Marsh,x,,,\n2,Bo Finn,x,x,,\n3,Cy Dell,x,,x,x\n4,Di Eve,x,,,\n")
    assert [len(row.parallels) for row in found.rows] == [0, 1, 2, 0]
    assert "what the owner has" not in told(found)


def test_a_parallel_of_two_words_behind_a_team_is_none_of_the_name() -> None:
    rows = "A1|1999 Leafton #40 Cy Dell Gulls Gold Refraction /50|1\n"
    rows += "A2|1999 Leafton #41 Di Eve Gulls|1\n"
    found = read(f"SKU|DESCRIPTION|QTY\n{rows}", "shop.csv")
    assert [row.subject for row in found.rows] == ["Cy Dell Gulls", "Di Eve Gulls"]
    assert kinds(found.rows[0]) == [("Gold Refraction", 50)]


def test_a_page_whose_rows_and_cells_have_no_ends() -> None:
    page = (
        "<html><body><nav><table><tr><td>Home<td>Trade</table></nav><h1>2010 Harbor Light</h1>\n"
        "<h2>Base cards</h2><p>Many packs.</p><p>Parallels: Frost (1:3), Deep (numbered to 75).</p>"
        "<table><tr><th>No.<th>Name<th>Team\n<tr><td>1<td>Ada Marsh<sup>1</sup><td>Gulls\n"
        "<tr><td>2<td>Bo Finn<td>Owls</table><p><sup>1</sup> short print</p>\n"
        "<h2>Signatures</h2><table><tr><th>Name<th>Print run\n<tr><td>Cy Dell<td>100</table></html>"
    )
    found = read(page, "page.html")
    assert cards(found) == [
        ("1", "Ada Marsh", "Gulls"),
        ("2", "Bo Finn", "Owls"),
        ("", "Cy Dell", ""),
    ]
    assert {row.set for row in found.rows} == {"2010 Harbor Light"}
    assert kinds(found.rows[0]) == kinds(found.rows[1]) == [("Frost", None), ("Deep", 75)]
    assert kinds(found.rows[2]) == [("/100", 100)]
    assert series(found.rows[2]) == "Signatures"


def test_a_page_whose_columns_are_cells_with_a_card_a_line() -> None:
    page = (
        "<html><body><table><tr><td colspan=2><font size=4>Harbor Tea: Birds (1931)</font>"
        "<p>6 cards with gilt edges</p></td></tr><tr><td>1. Avocet<br>\n2. Dunlin<br>\n3. Knot</td>"
        "<td>4. Ruff<br>\n5. Smew<br>\n6. Tern</td></tr></table><hr>Last change: 2002</body></html>"
    )
    found = read(page, "birds.html")
    assert [row.subject for row in found.rows] == [
        "Avocet",
        "Dunlin",
        "Knot",
        "Ruff",
        "Smew",
        "Tern",
    ]
    assert {row.set for row in found.rows} == {"Harbor Tea: Birds (1931)"}


def test_lines_within_the_cells_of_a_page_stay_apart() -> None:
    page = (
        "<table><tr><th>Card<br>No.</th><th>Name</th><th>Parallels</th></tr>"
        "<tr><td>1</td><td>Ada<br>Marsh</td><td>Gold /50<br>Red</td></tr>"
        "<tr><td>2</td><td>Bo Finn</td><td></td></tr></table>"
    )
    found = read(page, "1987 Harbor Light.html")
    assert cards(found) == [("1", "Ada Marsh", ""), ("2", "Bo Finn", "")]
    assert kinds(found.rows[0]) == [("Gold", 50), ("Red", None)]


def test_numbers_that_a_page_shows_before_the_items_of_a_list() -> None:
    page = (
        "<html><body><ol class='breadcrumb'><li>Home</li><li>Sets</li><li>Heirs</li></ol>"
        "<h1>Ember Point: Heirs</h1><h3>Commons</h3><ol start='1'>\n"
        "<li><a href='/a'>Squire</a></li>\n<li><a href='/b'>Page</a></li>\n<li>Duchess</li>\n"
        "</ol>\n<h3>Rares</h3><ol start='4'>\n"
        "<li>Warden of Ice</li>\n<li>Regent</li>\n<li>Baron</li>\n</ol>"
        "<h2>Promotional cards</h2><ul>\n<li>P1: Regent (alternate art)</li>\n<li>P2: Page</li>\n"
        "<li>P3: Baron (foil)</li></ul></body></html>"
    )
    found = read(page, "heirs.html")
    assert [row.number for row in found.rows] == ["1", "2", "3", "4", "5", "6", "P1", "P2", "P3"]
    assert [row.subject for row in found.rows[-3:]] == ["Regent", "Page", "Baron"]
    assert kinds(found.rows[-1]) == [("Foil", None)] or kinds(found.rows[-1]) == [("foil", None)]
    assert "the numbers are those that a page shows" in told(found)
    own = "<ol><li>12 Ada Marsh</li>\n<li>15 Bo Finn</li>\n<li>17 Cy Dell</li></ol>"
    assert [row.number for row in read(f"<h1>1987 Harbor</h1>{own}").rows] == ["12", "15", "17"]


def test_an_old_page_with_two_cards_a_line() -> None:
    rows = "".join(f"  {n}a  Ada Marsh{n}       {n}b  Bo Finn{n}\n" for n in range(1, 9))
    head = "<HTML><BODY><FONT>1976 Harbor Imps</FONT><BR><B>complete list</B>"
    page = f"{head}<PRE>\n{rows}</PRE></HTML>"
    found = read(page, "imps.htm")
    assert {row.set for row in found.rows} == {"1976 Harbor Imps"}
    assert sorted(row.number for row in found.rows)[:3] == ["1a", "1b", "2a"]
    assert len(found.rows) == 16


@pytest.mark.parametrize(
    ("above", "name"),
    [
        ("GIANTS OF THE ROAD\nEdizioni Lumina, 1966", "1966 GIANTS OF THE ROAD"),
        ("Stars of the Marsh\nHarbor Tea – 1936 – 4 images", "1936 Stars of the Marsh"),
        ("Marsh Dragons\n(Ember Trading Cards 1997)", "Marsh Dragons"),
        ("My wants\nHarbor Gum 1958", "Harbor Gum 1958"),
        ("Harbor Light\n1987 Ember Gum Stars", "1987 Ember Gum Stars"),
    ],
)
def test_the_maker_below_the_title_says_its_year(above: str, name: str) -> None:
    found = read(f"{above}\n\n1. Ada Marsh\n2. Bo Finn\n3. Cy Dell\n4. Di Eve\n", "list.txt")
    assert {row.set for row in found.rows} == {name}


def test_figures_are_numbers_and_the_dash_of_a_title_is_no_team() -> None:
    teams = ("Gulls", "Gulls", "Owls", "Owls", "Gulls", "Owls")
    riders = "".join(f"Fig. {n} - Ada Marsh{n} - {team}\n" for n, team in enumerate(teams, 1))
    stages = "Fig. A - High Harbor - Low Point\nFig. B - The Lake\nFig. C - Round the Marsh\n"
    text = (
        f"Giants 1966\n\nRiders\n{riders}\nStages (with a map on the back)\n{stages}Fig. D - End\n"
    )
    found = read(text, "giants.txt")
    assert cards(found)[0] == ("1", "Ada Marsh1", "Gulls")
    assert cards(found)[6:8] == [("A", "High Harbor - Low Point", ""), ("B", "The Lake", "")]


def test_parallels_of_single_cards_and_of_a_heading_behind_also() -> None:
    text = (
        "2006-07 Harbor Hoops\n\n#1. Marsh A. - Gulls\n#2. Finn B. - Owls (also Chrome /250)\n"
        "#3. Dell C. - Gulls (also Chrome /250 and Ice)\n#4. Eve D. - Owls (auch Ice)\n\n"
        "Rim Rattlers (1 in 8; also Rim Rattlers Gold, numbered to 250)\n\n"
        "#R1. Ng F. - Gulls\n#R2. Hart G. - Owls\n"
    )
    found = read(text, "hoops.txt")
    assert [kinds(row) for row in found.rows[:4]] == [
        [],
        [("Chrome", 250)],
        [("Chrome", 250), ("Ice", None)],
        [("Ice", None)],
    ]
    assert {series(row) for row in found.rows[4:]} == {"Rim Rattlers"}
    assert kinds(found.rows[5]) == [("Gold", 250)]
    assert {row.team for row in found.rows} == {"Gulls", "Owls"}


FORUM = """[b]2014 Harbor Voyage[/b]

[b]Base set[/b]
[i]Parallels of all base cards: Nebula (one per pack), Flare (#/99)[/i]
[list]
[*]01 The Long Dock (1 of 2)
[*]02 The Long Dock (2 of 2)
[*]03 Cinder (1 of 2)
[*]04 Cinder (2 of 2)
[/list]

[b]Ships of the Line[/b] (1:12 packs, die-cut)
[list]
[*][b]S1[/b] Old Bet
[*][b]S2[/b] Ninth Wave
[/list]

[b]Autographs[/b] (two per box, unnumbered; print runs where known)
[list]
[*]Ada Marsh as Captain Finn
[*]Bo Lund as Dr. Dell (#/50)
[*]Cy Orr as Sprocket
[*]Di Eve as Mother
[/list]
"""


def test_parts_of_pictures_packs_of_parallels_and_names_below_autographs() -> None:
    found = read(FORUM, "forum.txt")
    assert cards(found)[1] == ("02", "The Long Dock (2 of 2)", "")
    assert kinds(found.rows[0]) == [("Nebula", None), ("Flare", 99)]
    assert [series(row) for row in found.rows[4:7]] == ["Ships of the Line"] * 2 + ["Autographs"]
    assert cards(found)[7] == ("", "Bo Lund as Dr. Dell", "")
    assert kinds(found.rows[7]) == [("/50", 50)]
    assert len(found.rows) == 10
    assert "names below a heading have no number" in told(found)


def test_sentences_below_a_heading_are_no_cards() -> None:
    text = (
        "1987 Harbor Light\n\n1 Ada Marsh\n2 Bo Finn\n3 Cy Dell\n\nInserts\nThere were none.\n"
        "Nobody has seen one.\nMaybe in cases.\nAsk Ada.\n"
    )
    assert len(read(text, "harbor.txt").rows) == 3


def test_cards_with_boxes_side_by_side_below_and_above_lines_of_text() -> None:
    names = ("Garrick", "Drury", "Holloway-Pym", "Mundy", "Upham", "Sallow", "Purvis", "Dunmore")
    rows = "".join(
        f"( ) {n} A. {name:<20}( ) {n + 8} B. {name:<20}( ) {n + 16} C. {name}\n"
        for n, name in enumerate(names, 1)
    )
    foot = "(c) Harbor Gum Co., Inc.  Printed here"
    found = read(f"1960 HARBOR FOOTBALL\nCHECKLIST  1 to 24\n\n{rows}\n{foot}\n", "back.txt")
    assert len(found.rows) == 24
    assert {row.number: row.subject for row in found.rows}["19"] == "C. Holloway-Pym"


def test_cards_of_a_paragraph_whose_lines_break_anywhere() -> None:
    text = (
        "Harbor Hockey 1971-72\n\nNorrviks IK\n1) Ada Marsh (mv), 2) Bo Lund-Ny, 3) Cy Orr, 4)\n"
        "Di Eve, 5) Flo Ng, 6) Gil Hart / Hal\nHart.\n\nIF Vargen\n7) Ida Jay (mv), 8) Jo Kern,\n"
        "9) Kit Lowe, 10) Lu\nMoor, 11) Mo Nash.\n\nTall HC\n12) Ny Orr, 13) Or Pike, 14) Pa\n"
        "Quill."
    )
    found = read(text, "hockey.txt")
    assert [row.number for row in found.rows] == [str(n) for n in range(1, 15)]
    assert cards(found)[5] == ("6", "Gil Hart / Hal Hart", "Norrviks IK")
    assert cards(found)[8] == ("9", "Kit Lowe", "IF Vargen")


def test_paragraphs_of_lines_that_are_whole_stay_so() -> None:
    text = "1987 Harbor Light\n1. Ada Marsh, Gulls\n2. Bo Finn, Owls\n3. Cy Dell, Gulls\n"
    assert cards(read(text, "light.txt"))[1] == ("2", "Bo Finn", "Owls")


def test_teams_in_capitals_between_names_with_dots_and_numbers() -> None:
    def rows(names: str, first: int) -> str:
        return "".join(f"{n} Marsh {'.' * 20} {at}\n" for at, n in enumerate(names.split(), first))

    text = (
        f"1953 HARBOR OATS PLAYERS\n\nHARBOR GULLS\n\n{rows('Ada Bo Cy', 7)}\n"
        "                - 41 -\n\n"
        f"EMBER OWLS\n\n{rows('Di Eve Flo', 1)}\nPOINT SAINTS\n\n{rows('Gil Hal Ida', 4)}"
    )
    found = read(text, "oats.txt")
    assert len(found.rows) == 9
    assert cards(found)[0] == ("7", "Ada Marsh", "HARBOR GULLS")
    assert cards(found)[3] == ("1", "Di Marsh", "EMBER OWLS")


def test_tables_side_by_side_whose_second_name_is_not_known() -> None:
    rows = "1\tOak\t2\tElm\t3\tAsh\n4\tBeech\t5\tHazel\t6\tFir\n7\tYew\t8\tLarch\t\t\n"
    found = read(
        f"Leaves of the World\t\t\t\t\t\nNo\tTree\tNo\tTree\tNo\tTree\n{rows}", "leaves.tsv"
    )
    assert sorted((row.number, row.subject) for row in found.rows)[:3] == [
        *(("1", "Oak"), ("2", "Elm"), ("3", "Ash")),
    ]
    assert len(found.rows) == 8


def test_conditions_and_prices_of_an_offer_are_no_teams() -> None:
    text = (
        "1938 Harbor Kings\n\n  No. 5 Ada Marsh, EX, back stained  £3.00\n"
        "  No. 7 Bo Finn, Fair  £3.00\n  No. 9 Cy Dell, VG, corner crease  £2.50\n"
        "  No. 12 Di Eve, G  £2.00\n"
        "  No. 14 Flo Ng, EX  £2.00\n  No. 15 Gil Hart, EX  £2.00\n"
    )
    found = read(text, "offer.txt")
    assert cards(found)[:2] == [("5", "Ada Marsh", ""), ("7", "Bo Finn", "")]
    assert ("marks", "EX, back stained") in found.rows[0].extra
    assert ("price", "3.00") in found.rows[1].extra or ("price", "£3.00") in found.rows[1].extra


def test_marks_that_a_line_explains_as_what_the_owner_has_are_left_away() -> None:
    text = (
        "Harbor-Kakao, Sammelbilder 1905\nZustand: + = vorhanden, o = fehlt\n\nSerie 1: Im Teich\n"
        "   Bild 1: Der Frosch  +\n   Bild 2: Der Reiher  o\n   Bild 3: Der Hecht  o\n"
        "   Bild 4: Die Libelle  +\nSerie 2: Am Meer\n   Bild 1: Krabbe  +\n   Bild 2: Wal  o\n"
    )
    subjects = [row.subject for row in read(text, "teich.txt").rows]
    assert subjects == ["Der Frosch", "Der Reiher", "Der Hecht", "Die Libelle", "Krabbe", "Wal"]
    mills = "Elf Molens 1934\nm = mis ik nog\n\nnr. 1 De Hoop\nnr. 2 De Roos   m\nnr. 3 De Koe m\n"
    assert [row.subject for row in read(mills, "molens.txt").rows] == [
        "De Hoop",
        "De Roos",
        "De Koe",
    ]
    plain = "Harbor Keys 1934\n\n1 Key of C\n2 Key of m\n3 Plan o\n"
    assert [row.subject for row in read(plain, "keys.txt").rows] == [
        "Key of C",
        "Key of m",
        "Plan o",
    ]


def test_a_log_of_pulls_is_called_by_its_set() -> None:
    text = (
        "Hits log - 2022 Harbor Pitch\nDate,Card,Player,Insert\n2022-04-01,1,Ada Marsh,Sky High\n"
    )
    assert read(text).rows[0].set == "2022 Harbor Pitch"


def test_a_column_of_signs_has_no_names_and_one_of_small_letters_no_teams() -> None:
    stars = (
        "No.,Dragon,Element,Stars\n1,Marsh Imp,fire,**\n2,Frost Imp,water,***\n3,Ash Imp,air,*\n"
    )
    found = read(f"Dragons 1997\n{stars}")
    assert [row.subject for row in found.rows] == ["Marsh Imp", "Frost Imp", "Ash Imp"]
    box = "1951 Harbor Ring\n1\tAda Marsh\tlight-heavy\n2\tBo Finn\twelter\n3\tCy Dell\tfeather\n"
    assert [row.team for row in read(box, "ring.tsv").rows] == ["", "", ""]
    clubs = "1951 Harbor Ring\n1\tAda Marsh\tGulls\n2\tBo Finn\tOwls\n3\tCy Dell\tGulls\n"
    assert [row.team for row in read(clubs, "ring.tsv").rows] == ["Gulls", "Owls", "Gulls"]


def test_prices_of_any_common_card_are_of_no_card() -> None:
    names = ("The Patrol", "Cloud Cover", "Common Ground", "Ace", "Wings", "Engine", "Old Plane")
    rows = "".join(f"{n},{name},8,16\n" for n, name in enumerate(names, 1))
    text = (
        f"Price guide,,VG,EX\n1941 Harbor Aces,,,\n,Complete set,450,900\n,Common card,8,16\n{rows}"
    )
    assert [row.subject for row in read(text).rows] == [*names]


RACING = """2021 Harbor Racing

BASE SET
5 cards

Parallels:
  Silver (1:2 packs)
  Red - #/199
  Gold - 1/1

1 Ada Marsh, Gulls
2 Bo Finn, Owls
3 Cy Dell, Gulls

Rookies 4-5 (1:4 packs; no Silver or Red)

4 Di Eve, Owls
5 Flo Ng, Gulls

NIGHT RUN
2 cards, 1:6 packs. No parallels.

NR-1 Gil Hart, Owls
NR-2 Hal Ivy, Gulls

SIGNATURES
2 cards

Parallels:
  Gold - #/10

S-1 Ida Jay, Owls #/99
S-2 Jo Kern, Gulls #/49
"""


def test_a_part_that_goes_on_with_the_numbers_has_the_parallels_above_but_some() -> None:
    found = read(RACING, "racing.txt")
    by_number = {row.number: row for row in found.rows}
    assert kinds(by_number["3"]) == [("Silver", None), ("Red", 199), ("Gold", 1)]
    assert kinds(by_number["4"]) == kinds(by_number["5"]) == [("Gold", 1)]
    assert series(by_number["5"]) == "Rookies"
    assert kinds(by_number["NR-1"]) == []
    assert kinds(by_number["S-1"]) == [("/99", 99), ("Gold", 10)]
    assert "says 5 cards" not in told(found)


def test_a_part_of_other_numbers_has_no_parallels_of_the_one_above() -> None:
    found = read(RACING.replace("5 cards", "3 cards").replace("4-5 (1:4", "4-5 (1:3"), "racing.txt")
    assert kinds({row.number: row for row in found.rows}["4"]) == []


@pytest.mark.parametrize(
    ("heading", "name", "run"),
    [
        ("Night Marks (all /25)", "Night Marks", "/25"),
        ("Night Marks (1:12; all #'d /25)", "Night Marks", "/25"),
        ("Night Marks (1 in 12, numbered to 25)", "Night Marks", "/25"),
        ("Night Marks (1:12 packs, die-cut)", "Night Marks", ""),
    ],
)
def test_a_print_run_in_the_brackets_of_a_heading(heading: str, name: str, run: str) -> None:
    part = part_of(heading)
    assert (part.series, part.parallel) == (name, run)


PLAYER = """DELLA VARN MASTER CHECKLIST
(outfielder, Harbor Gulls 1988-97)

1988:
   Ember Point #492 RC
   Harbor Light #188
1995:
   Harbor Light #159
   Harbor Light #159 Blue /25
   Harbor Light #159 Die-Cut
   Night Games #N-7 Gold /100
"""


def test_a_list_of_one_player_has_the_name_in_its_title() -> None:
    found = read(PLAYER, "della.txt")
    assert {row.subject for row in found.rows} == {"DELLA VARN"}
    assert [(row.set, row.number) for row in found.rows] == [
        *(("1988 Ember Point", "492"), ("1988 Harbor Light", "188")),
        *(("1995 Harbor Light", "159"), ("1995 Night Games", "N-7")),
    ]
    assert kinds(found.rows[2]) == [("Blue", 25), ("Die-Cut", None)]
    assert ("rookie", "RC") in found.rows[0].extra
    assert "each card is read as one of 'DELLA VARN' in the title" in told(found)


def test_a_list_with_names_behind_its_numbers_is_none_of_one_player() -> None:
    text = PLAYER.replace(" RC", " Ada Marsh").replace(" Blue /25", " Bo Finn")
    assert "DELLA VARN" not in {row.subject for row in read(text, "della.txt").rows}


def test_the_heads_of_a_catalogue_name_its_sets() -> None:
    text = (
        "HARBOR & SONS, Tobacco Manufacturers\n\n"
        "H-4   MARSH BIRDS.  Small.  Coloured.  Issued 1927.\n"
        "        Nd. (4).  Backs in grey.\n\n      1. Avocet.\n      2. Dunlin.\n      3. Ruff.\n"
        "      4. Old Man.\n\nH-5   INNS.  Small.  Issued 1929.\n\n"
        "      1. The Bell.\n      2. The Ram.\n"
    )
    found = read(text, "harbor.txt")
    assert [(row.set, row.number, row.subject) for row in found.rows] == [
        *(("1927 MARSH BIRDS", "1", "Avocet"), ("1927 MARSH BIRDS", "2", "Dunlin")),
        *(("1927 MARSH BIRDS", "3", "Ruff"), ("1927 MARSH BIRDS", "4", "Old Man")),
        *(("1929 INNS", "1", "The Bell"), ("1929 INNS", "2", "The Ram")),
    ]


def test_second_brackets_behind_the_names_of_a_game_are_notes() -> None:
    rarities, elements = ("RH", "R", "R", "U", "U", "C", "C", "C"), ("Water", "Fire")
    lines = "".join(
        f"{n:03}/008 Marsh{n} ({rarity}) [{elements[n % 2]}]\n"
        for n, rarity in enumerate(rarities, 1)
    )
    found = read(f"Ember Tides\n\n{lines}", "tides.txt")
    assert cards(found)[0] == ("001/008", "Marsh1", "")
    assert notes(found.rows[0]) == ["RH; Fire"]


def test_a_remark_that_tells_two_cards_of_one_number_apart_stays_in_the_name() -> None:
    names = (
        "Ada Marsh",
        "Bo Finn",
        "Cy Dell",
        "Di Eve",
        "Flo Ng",
        "Gil Hart",
        "Hal Ivy",
        "Ida Jay",
    )
    rows = "".join(f"{n} {name}\n" for n, name in enumerate(names, 1))
    found = read(f"1988 Harbor Row\n{rows}7 Hal Ivy (var: no stripe)\n", "row.txt")
    assert found.rows[-1].subject == "Hal Ivy (var: no stripe)"
    lines = "".join(f"S,{n},{name}\n" for n, name in enumerate(names, 1))
    table = read(f"set,number,name\n{lines}S,7,Hal Ivy (no stripe)\n")
    assert table.rows[-1].subject == "Hal Ivy (no stripe)"


def test_the_last_column_of_a_page_may_have_a_card_alone() -> None:
    page = (
        "<table><tr><td>1. Avocet<br>2. Dunlin<br>3. Knot<br>4. Ruff</td><td>5. Smew</td></tr>"
        "</table>"
    )
    found = read(page, "1931 Harbor Birds.html")
    assert [row.number for row in found.rows] == ["1", "2", "3", "4", "5"]


def test_the_master_collection_of_a_player_is_of_this_one() -> None:
    text = PLAYER.replace("DELLA VARN MASTER CHECKLIST", "Della Varn Master Collection")
    assert {row.subject for row in read(text, "della.txt").rows} == {"Della Varn"}


def test_remarks_are_few_or_tell_cards_apart_whose_numbers_differ_in_a_letter() -> None:
    birds = ("Avocet", "Knot", "Ruff", "Smew", "Tern", "Gull", "Snipe", "Reeve")
    rows = "".join(f"S,{n},{name}\n" for n, name in enumerate(birds, 1))
    table = f"set,number,name\n{rows}S,9a,Robin (male)\nS,9b,Robin (female)\nS,10,Duck (no ring)\n"
    found = read(table)
    assert [row.subject for row in found.rows[8:]] == ["Robin", "Robin", "Duck"]
    assert [notes(row) for row in found.rows[8:]] == [["male"], ["female"], ["no ring"]]
