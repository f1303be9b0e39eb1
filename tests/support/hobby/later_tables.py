"""A second round of lists, written after the reader was changed for the first: tables and books."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from typing import Any

from support.hobby.world import ANY, LATER, Card, Made, Maker, World, bare, grid, plain, without
from support.hobby.writers import HAS_OFFICE, book, delimited, typed

_HEADS = ["Set", "No.", "Player", "Team", "Price"]
_FIELDS = "set number subject team price"


def later(maker: Maker) -> Maker:
    """Enter a maker of the second round."""
    LATER[maker.__name__] = maker
    return maker


_TONGUES = {
    "slovak": "Číslo;Hráč;Klub;Séria;Cena (€)",
    "romanian": "Număr;Jucător;Echipă;Serie;Preț",
    "croatian": "Broj;Igrač;Klub;Serija;Cijena",
    "catalan": "Número;Jugador;Equip;Col·lecció;Preu",
    "norwegian": "Kortnummer;Spiller;Lag;Serie;Pris (kr)",
    "indonesian": "Nomor;Pemain;Tim;Seri;Harga",
    "ukrainian": "№;Гравець;Команда;Серія;Ціна",
    "english_odd": "Crd;Star;Squad;Issue;Going rate",
    "english_long": "Card number (as printed);Player's name;Player's team;"
    "Name of the set;Value (ungraded)",
    "german_shop": "Art.-Nr.;Spieler;Team;Edition;VK-Preis",
}


def _tongue(heads: str) -> Maker:
    def made(w: World) -> Made:
        cards = w.cards(12) + w.cards(8)
        return Made(
            "list.csv", delimited(grid(cards, heads.split(";"), _moved(_FIELDS)), ";"), tuple(cards)
        )

    return made


def _moved(fields: str) -> str:
    first, *rest = fields.split()
    return " ".join([*rest[:3], first, *rest[3:]])


for _name, _heads in _TONGUES.items():
    LATER[f"later_{_name}"] = _tongue(_heads)


def _cells(change: Callable[[list[str], int], list[str]], **said: Any) -> Maker:
    def made(w: World) -> Made:
        cards = w.cards(14)
        rows = grid(cards, _HEADS, _FIELDS)
        rows = [rows[0], *[change(row, at) for at, row in enumerate(rows[1:])]]
        return Made("cells.csv", delimited(rows), tuple(without(cards, **said)), tells=("counted",))

    return made


LATER["subjects_in_capitals"] = _cells(lambda r, _: r)
LATER["price_per_piece"] = _cells(
    lambda r, _: [*r[:4], r[4].replace(".", ",") + " € / Stück"], price=ANY
)
LATER["price_with_count"] = _cells(lambda r, _: [*r[:4], f"2 x {r[4]}"], price=ANY)


def _subjects(name: str, subjects: list[str], **more: Any) -> None:
    def made(w: World) -> Made:
        cards = [
            replace(c, subject=s) for c, s in zip(w.cards(len(subjects)), subjects, strict=True)
        ]
        return Made("names.csv", delimited(grid(cards, _HEADS, _FIELDS)), tuple(cards))

    LATER[f"subjects_{name}"] = made


_subjects(
    "like_totals",
    ["Total Eclipse", "Sum of Parts", "Average Day", "Grand Total", "Count Marrow", "Subtotal Sam"],
)
_subjects(
    "like_parallels",
    ["Gold Rush", "Silver Fox", "Black Knight", "Emerald Ice", "Red Foil Baron", "Holo Hound"],
)
_subjects(
    "like_headings",
    ["Number Nine", "Team Spirit", "Title Fight", "Player One", "Set Piece", "Price War"],
)
_subjects(
    "with_suffixes",
    [
        "Odo Stroud Jr.",
        "Odo Stroud Sr.",
        "Hob Tarrow III",
        "Dr. Pell Crake",
        "J. T. Mossop",
        "St. Ann Sallow",
    ],
)
_subjects(
    "of_checklists",
    [
        "Checklist 1-132",
        "Checklist: Cards 1-66",
        "Team Card",
        "Header Card",
        "Page 3",
        "League Leaders (Runs)",
    ],
)


@later
def subjects_beside_positions(w: World) -> Made:
    cards = w.cards(12)
    rows = grid(cards, _HEADS, _FIELDS)
    for at, row in enumerate(rows[1:]):
        row[2] += f" ({['P', 'C', 'OF', 'SS'][at % 4]})"
    said = [
        replace(c, subject=(plain(c.subject), row[2]))
        for c, row in zip(cards, rows[1:], strict=True)
    ]
    return Made("pos.csv", delimited(rows), tuple(said))


@later
def sets_as_columns(w: World) -> Made:
    """A matrix: each set a column, with the names in the cells."""
    sets = ["1981 Tidewater", "1982 Tidewater", "1983 Tidewater"]
    parts = [bare(w.cards(10, name)) for name in sets]
    rows = [
        ["No.", *sets],
        *[[str(at + 1), *[plain(part[at].subject) for part in parts]] for at in range(10)],
    ]
    return Made(
        "matrix.xlsx",
        book(rows),
        tuple(c for part in parts for c in part),
        tells=("subject", "set"),
    )


@later
def stock_with_unit_price(w: World) -> Made:
    cards = w.cards(12)
    rows = [["Set", "No.", "Player", "Team", "Qty", "Unit Price", "Total Price"]]
    rows += [
        [
            *[plain(x) for x in (c.set, c.number, c.subject, c.team)],
            "3",
            plain(c.price),
            f"{3 * float(plain(c.price)):.2f}",
        ]
        for c in cards
    ]
    return Made("stock.csv", delimited(rows), tuple(cards))


@later
def value_beside_paid(w: World) -> Made:
    cards = w.cards(12)
    rows = [["Paid", "Set", "No.", "Player", "Team", "Value", "Profit"]]
    rows += [
        ["0.05", *[plain(x) for x in (c.set, c.number, c.subject, c.team, c.price)], "0.10"]
        for c in cards
    ]
    return Made("worth.csv", delimited(rows), tuple(cards))


@later
def dates_beside(w: World) -> Made:
    cards = w.cards(12)
    rows: list[list[Any]] = [["Added", "Set", "No.", "Player", "Team", "Price", "Last sold"]]
    rows += [
        [
            date(2020, 1, 1 + at),
            *[plain(x) for x in (c.set, c.number, c.subject, c.team, c.price)],
            date(2021, 3, 1 + at),
        ]
        for at, c in enumerate(cards)
    ]
    return Made("dated.xlsx", book(rows), tuple(cards))


@later
def pictures_and_links(w: World) -> Made:
    cards = w.cards(12)
    rows = [["Image", "Set", "No.", "Player", "Team", "Price", "Link"]]
    rows += [
        [
            f"img/{at:03}.jpg",
            *[plain(x) for x in (c.set, c.number, c.subject, c.team, c.price)],
            f"https://example.org/c/{at}",
        ]
        for at, c in enumerate(cards)
    ]
    return Made("pics.csv", delimited(rows), tuple(cards))


@later
def same_card_on_three_lines(w: World) -> Made:
    """Stock: each copy has a line of its own."""
    cards = without(w.cards(6), price="")
    rows = [["Set", "No.", "Player", "Team", "Condition"]]
    rows += [
        [*[plain(x) for x in (c.set, c.number, c.subject, c.team)], state]
        for c in cards
        for state in ("NM", "EX", "VG")
    ]
    return Made("copies.csv", delimited(rows), tuple(cards))


@later
def type_column_of_base_and_inserts(w: World) -> Made:
    name = "2001 Stone Bridge"
    base, stars = bare(w.cards(8, name)), without(bare(w.cards(6, name)), subset="Bridge Keepers")
    rows = grid(
        [*without(base, subset="Base"), *stars],
        ["Set", "Card Type", "No.", "Player"],
        "set subset number subject",
    )
    return Made("types.csv", delimited(rows), (*without(base, subset=("Base", "")), *stars))


@later
def set_holds_its_subset(w: World) -> Made:
    base, stars = (
        bare(w.cards(8, "2001 Stone Bridge")),
        bare(w.cards(6, "2001 Stone Bridge - Bridge Keepers")),
    )
    return Made(
        "dash.csv",
        delimited(grid([*base, *stars], ["Set", "No.", "Player"], "set number subject")),
        (*base, *stars),
    )


@later
def parallels_with_base_and_none(w: World) -> Made:
    cells = ["Base; Gold /50", "None", "Base", "Gold /50; Base; Silver", "n/a", ""]
    kinds: list[tuple[str, ...]] = [("Gold /50",), (), (), ("Gold /50", "Silver"), (), ()]
    cards = [replace(c, parallels=kind) for c, kind in zip(bare(w.cards(6)), kinds, strict=True)]
    rows = [["Set", "No.", "Player", "Parallels"]]
    rows += [
        [plain(c.set), plain(c.number), plain(c.subject), cell]
        for c, cell in zip(cards, cells, strict=True)
    ]
    return Made("some.csv", delimited(rows), tuple(cards))


@later
def parallel_and_run_pairs(w: World) -> Made:
    rows = [["Set", "No.", "Player", "Gold", "Gold Run", "Silver", "Silver Run"]]
    cards = []
    for card in bare(w.cards(8)):
        rows.append(
            [plain(card.set), plain(card.number), plain(card.subject), "x", "50", "x", "99"]
        )
        cards.append(replace(card, parallels=("Gold /50", "Silver /99")))
    return Made("pairs.csv", delimited(rows), tuple(cards))


@later
def name_with_number_behind(w: World) -> Made:
    cards = without(w.cards(10, "1990 Amber Coast"), price="")
    rows = [["Card", "Team"], *[[f"{c.subject} ({c.number})", plain(c.team)] for c in cards]]
    return Made("1990 Amber Coast.csv", delimited(rows), tuple(cards), tells=("number",))


@later
def number_slash_name(w: World) -> Made:
    cards = without(w.cards(10, "1990 Amber Coast"), price="")
    rows = [["Card #/Name", "Team"], *[[f"{c.number}/{c.subject}", plain(c.team)] for c in cards]]
    return Made("1990 Amber Coast.csv", delimited(rows), tuple(cards), tells=("number",))


@later
def table_named_above(w: World) -> Made:
    """A spreadsheet of a phone writes the table's name first."""
    cards = w.cards(10)
    return Made("t.csv", delimited([["Table 1"], *grid(cards, _HEADS, _FIELDS)]), tuple(cards))


@later
def heads_far_below(w: World) -> Made:
    cards = w.cards(10)
    notes = [[f"Rule {at}: keep sorted"] for at in range(1, 17)]
    return Made("far.xlsx", book([*notes, [], *grid(cards, _HEADS, _FIELDS)]), tuple(cards))


@later
def units_below_heads(w: World) -> Made:
    cards = w.cards(10)
    rows = grid(cards, _HEADS, _FIELDS)
    return Made("units.csv", delimited([rows[0], ["", "", "", "", "USD"], *rows[1:]]), tuple(cards))


@later
def padded_by_format(w: World) -> Made:
    cards = w.cards(10)

    def pad(made: Any) -> None:
        for row in made.active.iter_rows(min_row=2, min_col=2, max_col=2):
            row[0].number_format = "000"

    said = [replace(c, number=(plain(c.number), f"{plain(c.number):0>3}")) for c in cards]
    return Made("pad.xlsx", book(grid(cards, _HEADS, _FIELDS), pad), tuple(said))


@later
def hidden_old_column(w: World) -> Made:
    cards = w.cards(10)
    rows = [
        ["Old No.", *_HEADS],
        *[[str(900 + at), *row] for at, row in enumerate(grid(cards, [], _FIELDS)[1:])],
    ]

    def hide(made: Any) -> None:
        made.active.column_dimensions["A"].hidden = True

    return Made("old.xlsx", book(rows, hide), tuple(cards))


@later
def numbers_in_thousands(w: World) -> Made:
    cards = w.cards(12, start=995)
    rows = grid(cards, _HEADS, _FIELDS)
    for row in rows[1:]:
        row[1] = f"{int(row[1]):,}"
    return Made("thousand.csv", delimited(rows), tuple(cards))


@later
def years_on_sheets(w: World) -> Made:
    parts = [w.cards(8, f"19{year} Tidewater") for year in (87, 88)]
    sheets = {
        plain(part[0].set)[:4]: grid(part, _HEADS[1:], "number subject team price")
        for part in parts
    }
    return Made("Tidewater.xlsx", book(sheets), tuple(c for part in parts for c in part))


@later
def year_in_title_set_in_column(w: World) -> Made:
    cards = bare(w.cards(9, "1987 Tidewater"))
    rows = [
        ["Season 1987"],
        [],
        ["Set", "No.", "Player"],
        *[["Tidewater", plain(c.number), plain(c.subject)] for c in cards],
    ]
    said = without(cards, set=("1987 Tidewater", "Tidewater"))
    return Made("season.csv", delimited(rows), tuple(said))


@later
def two_players_in_two_columns(w: World) -> Made:
    cards = bare(w.cards(8))
    others = w.people(8)
    rows = [["Set", "No.", "Player 1", "Player 2"]]
    rows += [
        [plain(c.set), plain(c.number), plain(c.subject), other]
        for c, other in zip(cards, others, strict=True)
    ]
    said = [
        replace(c, subject=f"{c.subject} / {other}") for c, other in zip(cards, others, strict=True)
    ]
    return Made("dual.csv", delimited(rows), tuple(said))


@later
def two_currencies(w: World) -> Made:
    cards = w.cards(9)
    rows = [["Set", "No.", "Player", "Team", "USD", "EUR"]]
    rows += [
        [*[plain(x) for x in (c.set, c.number, c.subject, c.team, c.price)], "9.99"] for c in cards
    ]
    said = [replace(c, price=(plain(c.price), "9.99")) for c in cards]
    return Made("both.csv", delimited(rows), tuple(said))


@later
def ranges_without_names(w: World) -> Made:
    rows = [
        ["Set", "Cards", "Team"],
        ["1987 Tidewater", "1-10", "Harbor Herons"],
        ["1987 Tidewater", "11-20", "Copper Rooks"],
    ]
    cards = [
        Card("1987 Tidewater", ANY, "", "Harbor Herons"),
        Card("1987 Tidewater", ANY, "", "Copper Rooks"),
    ]
    return Made("ranges.csv", delimited(rows), tuple(cards), tells=("several", "number", "subject"))


@later
def html_called_xlsx(w: World) -> Made:
    cards = bare(w.cards(5))
    lines = ["<html><body><table>", "<tr><th>No.</th><th>Name</th></tr>"]
    lines += [f"<tr><td>{c.number}</td><td>{c.subject}</td></tr>" for c in cards] + [
        "</table></body></html>"
    ]
    said = without(cards, set=("web", plain(cards[0].set)))
    return Made("web.xlsx", typed(lines), tuple(said), tells=("html", "web page"))


if HAS_OFFICE:

    @later
    def links_by_formulas(w: World) -> Made:
        cards = without(w.cards(8, "1990 Tidewater"), price="", team="")
        rows = [
            ["Set", "No", "Player"],
            *[
                [
                    plain(c.set),
                    plain(c.number),
                    f'=HYPERLINK("https://example.org/{c.number}","{c.subject}")',
                ]
                for c in cards
            ],
        ]
        return Made("links.xlsx", book(rows), tuple(cards), convert="ods")

    @later
    def ods_of_german_csv(w: World) -> Made:
        cards = w.cards(9)
        rows = grid(cards, ["Serie", "Nr.", "Spieler", "Verein", "Preis"], _FIELDS)
        rows = [
            [cell.replace(".", ",") if at == 4 else cell for at, cell in enumerate(row)]
            for row in rows
        ]
        return Made("de.csv", b"sep=;\r\n" + delimited(rows, ";"), tuple(cards))
