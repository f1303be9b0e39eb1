"""What stands in cells: numbers, prices and years as people and programs write them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date

from support.hobby.world import (
    ANY,
    MAKERS,
    Card,
    Made,
    Maker,
    World,
    bare,
    grid,
    making,
    plain,
    without,
)
from support.hobby.writers import book, delimited

_HEADS = ["Set", "No.", "Player", "Team", "Price"]
_FIELDS = "set number subject team price"

_NUMBERS: dict[str, tuple[str, Callable[[str], tuple[str, ...]]]] = {
    "hash": ("#{0}", lambda n: (n,)),
    "no_dot": ("No. {0}", lambda n: (n,)),
    "nr_dot": ("Nr. {0}", lambda n: (n,)),
    "padded": ("{0:0>3}", lambda n: (f"{n:0>3}", n)),
    "apostrophe": ("'{0}", lambda n: (n,)),
    "of_total": ("{0}/20", lambda n: (f"{n}/20", n)),
    "of_words": ("{0} of 20", lambda n: (n, f"{n} of 20", f"{n}/20")),
    "floats": ("{0}.0", lambda n: (n,)),
    "dotted": ("{0}.", lambda n: (n,)),
    "bracketed": ("({0})", lambda n: (n,)),
    "prefix": ("HL-{0}", lambda n: (f"HL-{n}",)),
    "prefix_space": ("HL {0}", lambda n: (f"HL {n}", f"HL{n}", f"HL-{n}")),
    "prefix_dash": ("HL\u2013{0}", lambda n: (f"HL\u2013{n}", f"HL-{n}")),
    "prefix_none": ("T{0}", lambda n: (f"T{n}",)),
    "suffix": ("{0}S", lambda n: (f"{n}S",)),
    "spaces": ("\u00a0{0}\u00a0", lambda n: (n,)),
    "card_word": ("Card {0}", lambda n: (n,)),
}


def _numbered(shape: str, truth: Callable[[str], tuple[str, ...]]) -> Maker:
    def made(w: World) -> Made:
        cards = w.cards(18)
        written = [replace(card, number=shape.format(plain(card.number))) for card in cards]
        said = [replace(card, number=truth(plain(card.number))) for card in cards]
        return Made("numbers.csv", delimited(grid(written, _HEADS, _FIELDS)), tuple(said))

    return made


for _name, _how in _NUMBERS.items():
    MAKERS[f"number_{_name}"] = _numbered(*_how)

_PRICES: dict[str, tuple[Callable[[float], str], str]] = {
    "dollar_thousands": (lambda p: f"${p:,.2f}", "utf-8"),
    "pound": (lambda p: f"£{p:,.2f}", "cp1252"),
    "euro_behind": (lambda p: f"{p:.2f} €".replace(".", ","), "cp1252"),
    "german_thousands": (lambda p: f"{p:,.2f}".translate(str.maketrans(",.", ".,")), "utf-8"),
    "swiss": (lambda p: f"CHF {p:,.2f}".replace(",", "'"), "utf-8"),
    "french": (lambda p: f"{p:,.2f} €".replace(",", "\u202f").replace(".", ","), "utf-8-sig"),
    "french_space": (lambda p: f"{p:,.2f}".replace(",", " ").replace(".", ","), "utf-8"),
    "no_zero": (lambda p: f"{p:.2f}".lstrip("0"), "utf-8"),
    "code_before": (lambda p: f"EUR {p:.2f}", "utf-8"),
    "code_behind": (lambda p: f"{p:.2f} USD", "utf-8"),
    "about": (lambda p: f"ca. {p:.2f}", "utf-8"),
    "full_dash": (lambda p: f"{p:.0f},-" if p == int(p) else f"{p:.2f}".replace(".", ","), "utf-8"),
}


def _priced(shape: Callable[[float], str], encoding: str) -> Maker:
    def made(w: World) -> Made:
        amounts = [0.25, 1.5, 1250.0, 12.0, 0.1, 999.99, 2400.5, 3.0, 17.75, 1000.0]
        cards = [
            replace(card, price=f"{amount:.2f}")
            for card, amount in zip(w.cards(10), amounts, strict=True)
        ]
        rows = grid(cards, _HEADS, _FIELDS)
        for row, amount in zip(rows[1:], amounts, strict=True):
            row[4] = shape(amount)
        return Made("prices.csv", delimited(rows, ";", encoding), tuple(cards))

    return made


for _name, _price in _PRICES.items():
    MAKERS[f"price_{_name}"] = _priced(*_price)


@making
def price_words_for_none(w: World) -> Made:
    cards = w.cards(12)
    words = ["n/a", "—", "TBD", "?", "#N/A", "none"]
    cards = [replace(card, price="") if at < 6 else card for at, card in enumerate(cards)]
    rows = grid(cards, _HEADS, _FIELDS)
    for at, word in enumerate(words, 1):
        rows[at][4] = word
    return Made("words.csv", delimited(rows), tuple(cards))


@making
def price_cents(w: World) -> Made:
    cards = [
        replace(card, price="0.25" if at % 2 else "0.50") for at, card in enumerate(w.cards(12))
    ]
    rows = grid(cards, _HEADS, _FIELDS)
    rows = [rows[0], *[[*row[:4], {"0.25": "25¢", "0.50": "50¢"}[row[4]]] for row in rows[1:]]]
    return Made("cents.csv", delimited(rows), tuple(cards))


@making
def price_low_and_high(w: World) -> Made:
    """A guide's two prices: neither is the card's in silence."""
    cards = w.cards(12)
    rows = [["Set", "No.", "Player", "Low", "High"]]
    rows += [
        [plain(c.set), plain(c.number), plain(c.subject), plain(c.price), "5.00"] for c in cards
    ]
    cards = [replace(card, team="", price=(plain(card.price), "5", "")) for card in cards]
    return Made("guide.csv", delimited(rows), tuple(cards), tells=())


@making
def price_ranges(w: World) -> Made:
    cards = without(w.cards(6), price=ANY)
    rows = grid(cards, _HEADS, _FIELDS)
    for row in rows[1:]:
        row[4] = "0.25-0.50"
    return Made("ranges.csv", delimited(rows), tuple(cards), tells=("0.25-0.50", "prices"))


@making
def price_currency_in_heading(w: World) -> Made:
    cards = w.cards(12)
    rows = grid(cards, [*_HEADS[:4], "Value in US$ (2021)"], _FIELDS)
    return Made("us.csv", delimited(rows), tuple(cards))


@making
def price_float_dust(w: World) -> Made:
    cards = [
        replace(card, price="0.30" if at % 2 else "1.10") for at, card in enumerate(w.cards(12))
    ]
    rows: list[list[object]] = [list(row) for row in grid(cards, _HEADS, _FIELDS)]
    for row in rows[1:]:
        row[4] = {"0.30": 0.1 + 0.2, "1.10": 1.1000000000000001}[str(row[4])]
    return Made("dust.xlsx", book(rows), tuple(cards))


@making
def numbers_roman(w: World) -> Made:
    roman = ["I", "II", "III", "IV", "V", "VI", "VII", "VIII", "IX", "X", "XI", "XII"]
    cards = [replace(card, number=at) for card, at in zip(w.cards(12), roman, strict=True)]
    return Made("roman.csv", delimited(grid(cards, _HEADS, _FIELDS)), tuple(cards))


@making
def numbers_with_letters(w: World) -> Made:
    numbers = ["1", "2", "3", "4a", "4b", "4c", "5", "6A", "6B", "7"]
    cards = [replace(card, number=at) for card, at in zip(w.cards(10), numbers, strict=True)]
    return Made("letters.xlsx", book(grid(cards, _HEADS, _FIELDS)), tuple(cards))


@making
def numbers_none_on_card(w: World) -> Made:
    cards = w.cards(12)
    cards = [
        replace(card, number=("", "NNO")) if at >= 9 else card for at, card in enumerate(cards)
    ]
    rows = grid(cards, _HEADS, _FIELDS)
    for row in rows[10:]:
        row[1] = "NNO"
    return Made("nno.csv", delimited(rows), tuple(cards))


@making
def numbers_became_dates_xlsx(w: World) -> Made:
    """`1-2` was typed, and the spreadsheet made 2 January of it."""
    cards = w.cards(12)
    rows: list[list[object]] = [list(row) for row in grid(cards, _HEADS, _FIELDS)]
    rows[5][1], rows[6][1] = date(2024, 1, 2), date(2024, 1, 3)
    cards = [replace(c, number=ANY) if at in (4, 5) else c for at, c in enumerate(cards)]
    return Made("dates.xlsx", book(rows), tuple(cards), tells=("date",))


@making
def numbers_became_dates_csv(w: World) -> Made:
    cards = w.cards(12)
    rows = grid(cards, _HEADS, _FIELDS)
    rows[5][1], rows[6][1], rows[7][1] = "02-Jan", "Jan-24", "2024-01-03 00:00:00"
    cards = [replace(c, number=ANY) if at in (4, 5, 6) else c for at, c in enumerate(cards)]
    return Made("dates.csv", delimited(rows), tuple(cards), tells=("date",))


@making
def numbers_became_dates_german(w: World) -> Made:
    cards = w.cards(12)
    rows = grid(cards, ["Serie", "Nr.", "Spieler", "Verein", "Preis"], _FIELDS)
    rows[5][1], rows[6][1] = "01. Feb", "02.01.2024"
    cards = [replace(c, number=ANY) if at in (4, 5) else c for at, c in enumerate(cards)]
    return Made("datum.csv", delimited(rows, ";"), tuple(cards), tells=("date",))


@making
def numbers_became_powers(w: World) -> Made:
    """`1E5` was typed, and the spreadsheet made 100000 of it."""
    cards = [replace(card, number=f"{at}E5") for at, card in enumerate(w.cards(9), 1)]
    rows = grid(cards, _HEADS, _FIELDS)
    rows[3][1], rows[4][1] = "3.00E+05", "4,00E+05"
    cards = [replace(c, number=ANY) if at in (2, 3) else c for at, c in enumerate(cards)]
    return Made("power.csv", delimited(rows), tuple(cards), tells=("power",))


@making
def years_beside_sets(w: World) -> Made:
    cards = [*bare(w.cards(8, "1987 Tidewater")), *bare(w.cards(8, "1988 Tidewater"))]
    rows = [["Year", "Set", "No", "Player"]]
    rows += [[*plain(c.set).split(" ", 1), plain(c.number), plain(c.subject)] for c in cards]
    return Made("years.xlsx", book(rows), tuple(cards))


@making
def years_of_seasons(w: World) -> Made:
    cards = [*bare(w.cards(8, "1987/88 Tidewater")), *bare(w.cards(8, "1988/89 Tidewater"))]
    rows = [["No", "Player", "Set", "Season"]]
    rows += [
        [plain(c.number), plain(c.subject), "Tidewater", plain(c.set).split(" ")[0]] for c in cards
    ]
    return Made("seasons.csv", delimited(rows), tuple(cards))


@making
def years_short(w: World) -> Made:
    cards = [*bare(w.cards(8, "1987 Tidewater")), *bare(w.cards(8, "1988 Tidewater"))]
    rows = [["No", "Player", "Set", "Yr"]]
    rows += [
        [plain(c.number), plain(c.subject), "Tidewater", "'" + plain(c.set)[2:4]] for c in cards
    ]
    said = [replace(c, set=(plain(c.set), f"'{plain(c.set)[2:]}", plain(c.set)[2:])) for c in cards]
    return Made("short.csv", delimited(rows), tuple(said))


@making
def years_as_dates(w: World) -> Made:
    """The year column was formatted as dates."""
    cards = [*bare(w.cards(8, "1987 Tidewater")), *bare(w.cards(8, "1988 Tidewater"))]
    rows: list[list[object]] = [["No", "Player", "Set", "Year"]]
    rows += [[c.number, c.subject, "Tidewater", date(int(plain(c.set)[:4]), 1, 1)] for c in cards]
    return Made("yd.xlsx", book(rows), tuple(cards), tells=("date",))


@making
def year_maker_set_subset(w: World) -> Made:
    cards = bare(w.cards(8, "1987 Tidewater"))
    cards += without(bare(w.cards(5, "1987 Tidewater")), subset="Harbor Nights")
    cards = [replace(card, set=("1987 Tidewater", "1987 Copperleaf Tidewater")) for card in cards]
    rows = [["Year", "Manufacturer", "Set", "Insert", "Card #", "Player"]]
    rows += [
        ["1987", "Copperleaf", "Tidewater", plain(c.subset), plain(c.number), plain(c.subject)]
        for c in cards
    ]
    return Made("full.csv", delimited(rows), tuple(cards))


@making
def series_one_and_two(w: World) -> Made:
    name = "1983 Windmill Lane"
    cards = [
        c for part in "12" for c in without(bare(w.cards(7, name)), subset=(part, f"Series {part}"))
    ]
    rows = grid(cards, ["Set", "Series", "No", "Player"], "set subset number subject")
    return Made("series.csv", delimited(rows), tuple(cards))


@making
def names_last_first(w: World) -> Made:
    cards = w.cards(12)
    rows = grid(cards, _HEADS, _FIELDS)
    for row in rows[1:]:
        row[2] = ", ".join(reversed(row[2].split(" ", 1)))
    said = [
        replace(c, subject=(plain(c.subject), ", ".join(reversed(plain(c.subject).split(" ", 1)))))
        for c in cards
    ]
    return Made("last.csv", delimited(rows), tuple(said))


@making
def names_in_two_columns(w: World) -> Made:
    cards = w.cards(12)
    rows = [["Set", "No.", "Last Name", "First Name", "Team", "Price"]]
    rows += [
        [
            plain(c.set),
            plain(c.number),
            *reversed(plain(c.subject).split(" ", 1)),
            plain(c.team),
            plain(c.price),
        ]
        for c in cards
    ]
    return Made("two.csv", delimited(rows), tuple(cards))


@making
def names_of_pairs(w: World) -> Made:
    cards = [
        replace(card, subject=f"{card.subject} / {who}")
        for card, who in zip(w.cards(10), w.people(10), strict=True)
    ]
    return Made("pairs.csv", delimited(grid(cards, _HEADS, _FIELDS)), tuple(cards))


@making
def names_marked_behind(w: World) -> Made:
    cards = w.cards(12)
    rows = grid(cards, _HEADS, _FIELDS)
    for at, mark in ((1, " RC"), (3, " (SP)"), (5, ", RC"), (7, " [RC]"), (9, " ERR")):
        rows[at][2] += mark
    return Made("marks.csv", delimited(rows), tuple(cards))


@making
def errors_of_formulas(w: World) -> Made:
    cards = [replace(c, team="") if at in (3, 6) else c for at, c in enumerate(w.cards(12))]
    rows = grid(cards, _HEADS, _FIELDS)
    rows[4][3], rows[7][3] = "#N/A", "#REF!"
    return Made("errors.csv", delimited(rows), tuple(cards))


@making
def database_nulls(w: World) -> Made:
    cards = [replace(c, team="") if at in (3, 6) else c for at, c in enumerate(w.cards(12))]
    rows = grid(cards, ["set_name", "card_no", "player", "team", "price"], _FIELDS)
    rows[4][3], rows[7][3] = "\\N", "\\N"
    return Made("dump.tsv", delimited(rows, "\t"), tuple(cards))


@making
def whole_title_in_one_cell(w: World) -> Made:
    """A shop's titles: set, number and name in one cell."""
    cards = without(w.cards(12, "1987 Tidewater"), team="")
    rows = [
        ["Title", "Price"],
        *[[f"{c.set} #{c.number} {c.subject}", plain(c.price)] for c in cards],
    ]
    return Made("shop.csv", delimited(rows), tuple(cards), tells=("number",))


@making
def set_and_number_in_one_cell(w: World) -> Made:
    cards = w.cards(12, "1987 Tidewater")
    rows = [["Card", "Player", "Team", "Price"]]
    rows += [
        [f"{c.set} #{c.number}", plain(c.subject), plain(c.team), plain(c.price)] for c in cards
    ]
    return Made("cards.csv", delimited(rows), tuple(cards), tells=("number",))


@making
def number_and_name_in_one_cell(w: World) -> Made:
    cards = w.cards(12, "1987 Tidewater")
    rows = [["Card", "Team", "Price"]]
    rows += [[f"{c.number} {c.subject}", plain(c.team), plain(c.price)] for c in cards]
    return Made("1987 Tidewater.csv", delimited(rows), tuple(cards), tells=("number",))


@making
def fullwidth_figures(w: World) -> Made:
    wide = str.maketrans("0123456789", "０１２３４５６７８９")
    cards = [
        Card("2004 灯台物語", str(at), name)
        for at, name in enumerate(["佐々野春香", "渡貫一", "小鳥遊海"], 1)
    ]
    rows = [
        ["セット", "番号", "名前"],
        *[[plain(c.set), plain(c.number).translate(wide), plain(c.subject)] for c in cards],
    ]
    return Made("wide.csv", delimited(rows), tuple(cards))
