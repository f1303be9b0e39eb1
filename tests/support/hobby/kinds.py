"""Parallels, print runs, ticks and other columns that say more than one card."""

from __future__ import annotations

from dataclasses import replace

from support.hobby.world import MAKERS, Card, Made, Maker, World, bare, grid, making, plain, without
from support.hobby.writers import book, delimited, typed

_KINDS = ("Gold /50", "Silver /99", "Black /1")
_CELLS = {
    "semicolons": "Gold /50; Silver /99; Black /1",
    "brackets": "Gold (50), Silver (99), Black (1)",
    "lines": "Gold /50\nSilver /99\nBlack 1/1",
    "bars": "Gold #/50 | Silver #/99 | Black #/1",
    "words": "Gold (#'d to 50), Silver (#'d to 99), Black (one of one)",
    "dashes": "Gold - /50, Silver - /99, Black - 1/1",
    "numbered_to": "Gold numbered to 50; Silver numbered to 99; Black 1 of 1",
}


def _cell(written: str) -> Maker:
    def made(w: World) -> Made:
        cards = [replace(c, parallels=_KINDS) if at % 2 else c for at, c in enumerate(w.cards(12))]
        rows = grid(
            cards,
            ["Set", "No", "Player", "Team", "Parallels", "Price"],
            "set number subject team x price",
        )
        rows = [
            rows[0],
            *[[*row[:4], written if at % 2 else "", row[5]] for at, row in enumerate(rows[1:])],
        ]
        return Made("kinds.csv", delimited(rows), tuple(cards))

    return made


for _name, _written in _CELLS.items():
    MAKERS[f"kinds_in_cell_{_name}"] = _cell(_written)


def _columns(
    w: World, heads: list[str], marks: list[str], kinds: tuple[str, ...]
) -> tuple[list[list[str]], tuple[Card, ...]]:
    """A table with one column a parallel, marked at random."""
    rows = [["Set", "No", "Player", *heads]]
    cards = []
    for card in bare(w.cards(14)):
        has = [w.random.random() < 0.7 for _ in heads]
        rows.append(
            [
                plain(card.set),
                plain(card.number),
                plain(card.subject),
                *[m if h else "" for m, h in zip(marks, has, strict=True)],
            ]
        )
        cards.append(
            replace(card, parallels=tuple(k for k, h in zip(kinds, has, strict=True) if h))
        )
    return rows, tuple(cards)


_MARKS = {
    "crosses": (["Gold", "Silver", "Holo Foil"], ["x", "x", "X"], ("Gold", "Silver", "Holo Foil")),
    "ticks": (["Gold", "Silver", "Holo Foil"], ["✓", "✓", "✔"], ("Gold", "Silver", "Holo Foil")),
    "true": (
        ["Gold", "Silver", "Holo Foil"],
        ["TRUE", "TRUE", "TRUE"],
        ("Gold", "Silver", "Holo Foil"),
    ),
    "runs": (["Gold", "Silver", "Black"], ["/50", "/99", "1/1"], _KINDS),
    "hash_runs": (["Gold", "Silver", "Black"], ["#/50", "#/99", "#/1"], _KINDS),
    "bare_runs": (["Gold", "Silver", "Black"], ["50", "99", "1"], _KINDS),
    "runs_in_heads": (["Gold /50", "Silver /99", "Black 1/1"], ["x", "x", "x"], _KINDS),
    "runs_in_brackets": (["Gold (50)", "Silver (99)", "Black (1)"], ["x", "x", "x"], _KINDS),
    "yes": (["Gold", "Silver", "Black"], ["yes", "yes", "yes"], ("Gold", "Silver", "Black")),
}


def _marked(heads: list[str], marks: list[str], kinds: tuple[str, ...]) -> Maker:
    def made(w: World) -> Made:
        rows, cards = _columns(w, heads, marks, kinds)
        return Made("cross.csv", delimited(rows), cards)

    return made


for _name, _how in _MARKS.items():
    MAKERS[f"kinds_by_{_name}"] = _marked(*_how)


@making
def kinds_yes_and_no(w: World) -> Made:
    rows, cards = _columns(
        w, ["Gold", "Silver", "Black"], ["yes", "yes", "yes"], ("Gold", "Silver", "Black")
    )
    rows = [[cell or "no" for cell in row] for row in rows]
    return Made("yn.xlsx", book(rows), cards)


def _priced(w: World, heads: list[str], parallels: tuple[str, str]) -> tuple[list, tuple]:
    """Rows and cards of a list with a column for the price of the base card, of a Gold and of a
    Silver, headed so."""
    rows, cards = [["Set", "No", "Player", *heads]], []
    for card in without(w.cards(12), team=""):
        gold, silver = w.price(), w.price()
        told = (card.set, card.number, card.subject, card.price)
        rows.append([*map(plain, told), gold, silver])
        prices = (("Gold", gold), ("Silver", silver))
        cards.append(replace(card, parallels=parallels, prices=prices))
    return rows, tuple(cards)


@making
def kinds_columns_of_prices(w: World) -> Made:
    """What each parallel costs, a column for each; the base card's price in its own."""
    rows, cards = _priced(w, ["Base", "Gold", "Silver"], ("Gold", "Silver"))
    return Made("pp.csv", delimited(rows), cards, tells=("Gold", "Silver"))


@making
def kinds_columns_of_prices_with_runs(w: World) -> Made:
    heads = ["Base $", "Gold /50 $", "Silver /99 $"]
    rows, cards = _priced(w, heads, ("Gold /50", "Silver /99"))
    return Made("ppr.csv", delimited(rows), cards, tells=("Gold", "Silver"))


@making
def kinds_runs_below_heads(w: World) -> Made:
    rows, cards = _columns(w, ["Gold", "Silver", "Black"], ["x", "x", "x"], _KINDS)
    rows.insert(1, ["", "", "", "/50", "/99", "1/1"])
    return Made("below.csv", delimited(rows), cards)


@making
def kinds_a_line_each(w: World) -> Made:
    rows = [["Set", "No", "Player", "Parallel", "Print Run", "Price"]]
    cards = []
    for card in without(w.cards(10), team=""):
        gold = w.price()
        for kind, run, price in (("Base", "", plain(card.price)), ("Gold", "50", gold)):
            rows.append(
                [plain(card.set), plain(card.number), plain(card.subject), kind, run, price]
            )
        cards.append(replace(card, parallels=("Gold /50",), prices=(("Gold", gold),)))
    return Made("each.xlsx", book(rows), tuple(cards))


@making
def kinds_a_line_each_german(w: World) -> Made:
    rows = [["Serie", "Nr.", "Spieler", "Variante", "Auflage"]]
    cards = []
    for card in bare(w.cards(10)):
        for kind, run in (("", ""), ("Gold", "1.000"), ("Silber", "99 Stück")):
            rows.append([plain(card.set), plain(card.number), plain(card.subject), kind, run])
        cards.append(replace(card, parallels=("Gold /1000", "Silber /99")))
    return Made("jede.csv", delimited(rows, ";"), tuple(cards))


@making
def runs_in_words(w: World) -> Made:
    words = ["/50", "#/50", "50 copies", "50", "1,000", "#'d /50", "1/1", "unlimited", ""]
    truth = ["/50", "/50", "/50", "/50", "/1000", "/50", "/1", "", ""]
    cards, rows = [], [["Set", "No", "Player", "Parallel", "Serial Numbered"]]
    for card, word, run in zip(bare(w.cards(9)), words, truth, strict=True):
        rows.append([plain(card.set), plain(card.number), plain(card.subject), "Gold", word])
        cards.append(replace(card, parallels=(f"Gold {run}".strip(),)))
    return Made("runs.csv", delimited(rows), tuple(cards))


@making
def odds_are_not_runs(w: World) -> Made:
    rows = [["Set", "No", "Player", "Parallel", "Odds"]]
    cards = []
    for card in bare(w.cards(9)):
        rows.append([plain(card.set), plain(card.number), plain(card.subject), "Gold", "1:24"])
        cards.append(replace(card, parallels=("Gold",)))
    return Made("odds.csv", delimited(rows), tuple(cards))


_TICKS = {
    "have_need": (["Have", "Need"], ["x", "x"]),
    "got": (["Got it?"], ["✓"]),
    "owned": (["Owned"], ["Y"]),
    "hab_ich": (["Habe ich", "Fehlt"], ["x", "x"]),
    "tengo": (["Tengo", "Me falta"], ["X", "X"]),
    "qty": (["Qty"], ["2"]),
    "rookie": (["RC"], ["x"]),
    "for_trade": (["For trade", "Sold"], ["x", "x"]),
    "collected": (["☑"], ["☑"]),
    "doubles": (["Doppelt"], ["3"]),
    "in_binder": (["In binder", "Graded"], ["TRUE", "TRUE"]),
    "years_seen": (["2019", "2020"], ["x", "x"]),
}


def _ticked(heads: list[str], marks: list[str]) -> Maker:
    def made(w: World) -> Made:
        rows, cards = _columns(w, heads, marks, tuple(heads))
        return Made("ticks.csv", delimited(rows), tuple(without(cards, parallels=())))  # type: ignore[arg-type]

    return made


for _name, _ticks in _TICKS.items():
    MAKERS[f"ticks_{_name}"] = _ticked(*_ticks)


@making
def ticks_first_without_heading(w: World) -> Made:
    rows, cards = _columns(w, [""], ["x"], ("",))
    rows = [[row[3], *row[:3]] for row in rows]
    return Made("first.csv", delimited(rows), tuple(without(cards, parallels=())))  # type: ignore[arg-type]


@making
def ticks_beside_kinds(w: World) -> Made:
    """What there is stands in one column, what the collector has in others."""
    cards = [replace(c, parallels=("Gold", "Silver")) for c in bare(w.cards(12))]
    rows = [["Set", "No", "Player", "Parallels", "Have base", "Have Gold", "Have Silver"]]
    rows += [
        [
            plain(c.set),
            plain(c.number),
            plain(c.subject),
            "Gold, Silver",
            "x",
            "x" if at % 3 else "",
            "",
        ]
        for at, c in enumerate(cards)
    ]
    return Made("has.csv", delimited(rows), tuple(cards))


@making
def rarity_and_position_are_further(w: World) -> Made:
    cards = bare(w.cards(12))
    rows = [["Set", "No", "Name", "Rarity", "Pos", "Born", "Grade"]]
    rows += [
        [
            plain(c.set),
            plain(c.number),
            plain(c.subject),
            "Rare" if at % 3 else "Common",
            "C",
            "1961",
            "8.5",
        ]
        for at, c in enumerate(cards)
    ]
    return Made("more.csv", delimited(rows), tuple(cards))


@making
def insert_shares_numbers(w: World) -> Made:
    name = "1997 Stone Bridge"
    base, stars = bare(w.cards(9, name)), without(bare(w.cards(6, name)), subset="Bridge Keepers")
    rows = grid(
        [*base, *stars],
        ["Set", "Insert Set", "Card Number", "Athlete"],
        "set subset number subject",
    )
    return Made("ins.csv", delimited(rows), (*base, *stars))


@making
def card_game(w: World) -> Made:
    cards = [
        replace(c, number=(f"{plain(c.number):0>3}/102", f"{plain(c.number):0>3}", plain(c.number)))
        for c in bare(w.cards(14, "Moorland Base"))
    ]
    rows = [["Expansion", "Collector No.", "Card name", "Type", "Rarity", "Holo"]]
    rows += [
        [
            plain(c.set),
            plain(c.number),
            plain(c.subject),
            "Marsh",
            "R" if at % 4 else "C",
            "x" if at % 4 else "",
        ]
        for at, c in enumerate(cards)
    ]
    cards = [replace(c, parallels=("Holo",)) if at % 4 else c for at, c in enumerate(cards)]
    return Made("game.csv", delimited(rows), tuple(cards))


@making
def stickers_without_names(w: World) -> Made:
    """Album stickers: a number and a team, and no name."""
    cards = without(w.cards(14, "1982 Tidewater Album"), subject="", price="")
    rows = grid(cards, ["Album", "Sticker No.", "Team"], "set number team")
    return Made("album.csv", delimited(rows), tuple(cards))


@making
def kinds_below_a_heading(w: World) -> Made:
    name = "2003 Amber Coast"
    cards = without(w.cards(9, name), price="", parallels=("Gold /50", "Blue"))  # type: ignore[arg-type]
    lines = [
        name,
        "Parallels:",
        "- Gold /50",
        "- Blue",
        "",
        *[f"{c.number} {c.subject}, {c.team}" for c in cards],
    ]
    return Made("below.txt", typed(lines), tuple(cards))
