"""A third round of lists, to measure what the second one's changes are worth elsewhere."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any

from support.hobby.world import Card, Made, Maker, World, bare, grid, plain, without
from support.hobby.writers import book, delimited, typed

_HEADS = ["Set", "No.", "Player", "Team", "Price"]
_FIELDS = "set number subject team price"
THIRD: dict[str, Maker] = {}


def third(maker: Maker) -> Maker:
    """Enter a maker of the third round."""
    THIRD[maker.__name__] = maker
    return maker


def _text(lines: Sequence[str], cards: Sequence[Card], name: str = "typed.txt") -> Made:
    return Made(name, typed(lines), tuple(cards))


def _line(shape: str, card: Card, **more: str) -> str:
    said = {name: plain(getattr(card, name)) for name in ("number", "subject", "team", "price")}
    return shape.format(**said, **more)


def _typed(shape: str, of: int = 1) -> Maker:
    """Lines of one shape; `of`: on each so many-th line alone what stands behind `|`."""
    often, _, seldom = shape.partition("|")

    def made(w: World) -> Made:
        cards = without(w.cards(15), price="")
        lines = [
            _line(often + (seldom if at % of == 0 else ""), card, at=str(at + 1))
            for at, card in enumerate(cards)
        ]
        return _text([plain(cards[0].set), *lines], cards)

    return made


THIRD["typed_counted_twice"] = _typed("{at}. #{number} {subject}, {team}")
THIRD["typed_remarks_behind"] = _typed("{number} {subject}, {team}| // need", 4)
THIRD["typed_marks_in_brackets"] = _typed("{number} {subject} ({team})| (RC)", 4)
THIRD["typed_rookie_run"] = _typed("{number} {subject}, {team}| RC", 4)
THIRD["typed_dots_number_last"] = _typed("{subject} ({team}) ..... {number}")
THIRD["typed_colon_team"] = _typed("{team}: {subject} #{number}")
THIRD["typed_long_dash_tight"] = _typed("{number}–{subject}–{team}")
THIRD["typed_two_brackets"] = _typed("{number} {subject} ({team}) (NM)")
THIRD["typed_from_team"] = _typed("{number} {subject} of {team}")
THIRD["typed_quotes"] = _typed('"{number}" "{subject}" "{team}"')
THIRD["typed_tabs_and_dashes"] = _typed("{number}\t- {subject}\t- {team}")


def _table(heads: Sequence[str], fields: str, **how: Any) -> Maker:
    def made(w: World) -> Made:
        cards = w.cards(8) + w.cards(8)
        if "price" not in fields:
            cards = without(cards, price="")
        return Made("t.csv", delimited(grid(cards, heads, fields), **how), tuple(cards))

    return made


THIRD["heads_with_pictures"] = _table(
    ["📦 Set", "🔢 No.", "👤 Player", "🏟 Team", "💰 Price"], _FIELDS
)
THIRD["heads_with_examples"] = _table(
    [
        "Set (e.g. 1987 Topaz)",
        "No. (e.g. 12a)",
        "Player (e.g. A. Name)",
        "Team",
        "Price (in $, e.g. 1.50)",
    ],
    _FIELDS,
)
THIRD["heads_of_stickers"] = _table(
    ["Sammlung", "Bild-Nr.", "Bezeichnung", "Verein"], "set number subject team"
)
THIRD["heads_numbers_last"] = _table(
    ["Spieler", "Verein", "Set", "Nr."], "subject team set number", delimiter=";"
)
THIRD["heads_with_spaces"] = _table(
    ["  Set ", " No ", " Player ", " Team  "], "set number subject team", delimiter="\t"
)
THIRD["heads_plural_possessive"] = _table(
    ["Sets", "Card #s", "Players' names", "Teams", "Prices"], _FIELDS
)
THIRD["heads_with_question"] = _table(["Set?", "Number?", "Player?", "Team?", "Price?"], _FIELDS)
THIRD["heads_abbreviated"] = _table(["Set", "Crd No", "Plyr Nm", "Tm Nm", "Prc"], _FIELDS)


def _changed(change: Callable[[list[list[str]]], list[list[str]]], name: str = "t.csv") -> Maker:
    def made(w: World) -> Made:
        cards = w.cards(14)
        return Made(name, delimited(change(grid(cards, _HEADS, _FIELDS))), tuple(cards))

    return made


THIRD["rows_types_below_heads"] = _changed(
    lambda r: [r[0], ["text", "int", "text", "text", "decimal"], *r[1:]]
)
THIRD["rows_end_of_report"] = _changed(
    lambda r: [*r, ["-- end of report --"], ["Printed 3/5/2021 10:12, page 1"]]
)
THIRD["rows_heads_in_capitals_again"] = _changed(
    lambda r: [*r[:8], [c.upper() for c in r[0]], *r[8:]]
)
THIRD["rows_alphabet"] = _changed(
    lambda r: [*r[:5], ["", "", "B", "", ""], *r[5:9], ["", "", "C", "", ""], *r[9:]]
)
THIRD["rows_with_tags"] = _changed(
    lambda r: [r[0], *[[*x[:2], f"<b>{x[2]}</b>", *x[3:]] for x in r[1:]]]
)
THIRD["rows_unnamed_first"] = _changed(lambda r: [["", *r[0][1:]], *r[1:]])


@third
def heads_merged_downwards(w: World) -> Made:
    cards = w.cards(12)
    rows = [_HEADS, ["", "", "", "", "2021"], *grid(cards, [], _FIELDS)[1:]]

    def merge(made: Any) -> None:
        for column in "ABCD":
            made.active.merge_cells(f"{column}1:{column}2")

    return Made("m.xlsx", book(rows, merge), tuple(cards))


@third
def years_as_headings(w: World) -> Made:
    parts = [bare(w.cards(6, f"19{year} Tidewater")) for year in (81, 82)]
    rows = [["No.", "Player"]]
    for part in parts:
        rows += [[plain(part[0].set)[:4], ""], *grid(part, [], "number subject")[1:]]
    return Made("Tidewater.csv", delimited(rows), tuple(c for part in parts for c in part))


@third
def teams_counted_as_headings(w: World) -> Made:
    teams = w.teams(3)
    name = "1990 Tidewater"
    cards = [replace(c, team=(teams[at // 4], "")) for at, c in enumerate(bare(w.cards(12, name)))]
    lines = [f"{name} by team"]
    for at, team in enumerate(teams):
        lines += [
            "",
            f"{team} (4)",
            *[f"{plain(c.number)} {plain(c.subject)}" for c in cards[4 * at : 4 * at + 4]],
        ]
    return _text(lines, cards)


@third
def sets_beside_under_merged_titles(w: World) -> Made:
    one, two = bare(w.cards(8, "1987 Tidewater")), bare(w.cards(8, "1988 Tidewater"))
    rows = [["1987 Tidewater", "", "1988 Tidewater", ""], ["No.", "Name", "No.", "Name"]]
    rows += [
        [*[plain(x) for c in pair for x in (c.number, c.subject)]]
        for pair in zip(one, two, strict=True)
    ]

    def merge(made: Any) -> None:
        made.active.merge_cells("A1:B1")
        made.active.merge_cells("C1:D1")

    return Made("beside.xlsx", book(rows, merge), (*one, *two))


def _kinds(head: Sequence[str], cells: Sequence[str], kinds: tuple[str, ...]) -> Maker:
    def made(w: World) -> Made:
        cards = bare(w.cards(9))
        rows = [["Set", "No.", "Player", *head]]
        rows += [[plain(c.set), plain(c.number), plain(c.subject), *cells] for c in cards]
        return Made("k.csv", delimited(rows), tuple(replace(c, parallels=kinds) for c in cards))

    return made


THIRD["kinds_in_three_columns"] = _kinds(
    ["Parallel 1", "Parallel 2", "Parallel 3"], ["Gold /50", "Silver", ""], ("Gold /50", "Silver")
)
THIRD["kinds_with_slashes_between"] = _kinds(
    ["Parallels"], ["Gold / Silver / Bronze"], ("Gold", "Silver", "Bronze")
)
THIRD["kinds_bare_numbers"] = _kinds(
    ["Parallels"], ["Gold 50 | Silver 99"], ("Gold /50", "Silver /99")
)
THIRD["kinds_plus_signs"] = _kinds(["Variations"], ["Gold + Silver"], ("Gold", "Silver"))
THIRD["kinds_boxes"] = _kinds(["Gold", "Silver", "Blue"], ["☑", "☐", "☑"], ("Gold", "Blue"))
THIRD["kinds_one_and_zero"] = _kinds(["Gold", "Silver", "Blue"], ["1", "0", "1"], ("Gold", "Blue"))
THIRD["kinds_proofs_beside"] = _kinds(
    ["Parallel", "Print Run"], ["Gold", "50 + 5 AP"], ("Gold /50",)
)


@third
def kinds_with_prices_in_cells(w: World) -> Made:
    cards = bare(w.cards(9))
    rows = [["Set", "No.", "Player", "Parallels"]]
    rows += [
        [plain(c.set), plain(c.number), plain(c.subject), "Gold /50 ($3.50); Silver /99 ($1.00)"]
        for c in cards
    ]
    said = [replace(c, parallels=("Gold /50", "Silver /99")) for c in cards]
    return Made("priced.csv", delimited(rows), tuple(said))


@third
def numbers_with_points(w: World) -> Made:
    cards = [replace(c, number=f"{at // 5 + 1}.{at % 5 + 1}") for at, c in enumerate(w.cards(15))]
    return Made("points.csv", delimited(grid(cards, _HEADS, _FIELDS)), tuple(cards))


@third
def numbers_slash_letters(w: World) -> Made:
    cards = [replace(c, number=f"{at // 2 + 1}/{'AB'[at % 2]}") for at, c in enumerate(w.cards(14))]
    return Made("slash.csv", delimited(grid(cards, _HEADS, _FIELDS)), tuple(cards))


@third
def sheet_called_by_set_total_first(w: World) -> Made:
    cards = w.cards(10, "1990 Tidewater")
    rows = [["Total: 10", "", "", ""], *grid(cards, _HEADS[1:], "number subject team price")]
    return Made("box.xlsx", book({"1990 Tidewater": rows}), tuple(cards))


@third
def errors_and_corrections(w: World) -> Made:
    first = without(w.cards(6), price="")
    cards = [replace(c, number=f"{c.number}{x}") for c in first for x in "ab"]
    lines = [
        _line("{number} {subject}, {team}", c) + (" ERR" if plain(c.number)[-1] == "a" else " COR")
        for c in cards
    ]
    return _text([plain(cards[0].set), *lines], cards)
