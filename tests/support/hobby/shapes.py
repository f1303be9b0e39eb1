"""Tables in odd shapes: beside and below each other, turned, merged, with gaps, pages, totals."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from support.hobby.world import Made, World, bare, grid, making, plain, without
from support.hobby.writers import book, delimited


@making
def turned_by_a_quarter(w: World) -> Made:
    cards = without(w.cards(12), price="")
    rows = grid(cards, ["Set", "Number", "Player", "Team"], "set number subject team")
    return Made(
        "turned.xlsx",
        book([list(row) for row in zip(*rows, strict=True)]),
        tuple(cards),
        tells=("across", "column", "transpose", "turn"),
    )


@making
def three_beside_with_heads(w: World) -> Made:
    cards = bare(w.cards(30))
    rows = [["No.", "Name", ""] * 3]
    rows += [
        [
            cell
            for part in range(3)
            for cell in (
                plain(cards[at + 10 * part].number),
                plain(cards[at + 10 * part].subject),
                "",
            )
        ]
        for at in range(10)
    ]
    return Made(f"{cards[0].set}.csv", delimited(rows), tuple(cards))


@making
def two_beside_without_heads(w: World) -> Made:
    cards = bare(w.cards(24))
    rows = [[plain(cards[0].set), "", "", ""]]
    rows += [
        [
            plain(cell)
            for at_card in (at, at + 12)
            for cell in (cards[at_card].number, cards[at_card].subject)
        ]
        for at in range(12)
    ]
    return Made("binder.csv", delimited(rows), tuple(cards))


@making
def two_sets_beside(w: World) -> Made:
    left, right = bare(w.cards(12, "1974 Tidewater")), bare(w.cards(8, "1975 Tidewater"))
    rows: list[list[str]] = [
        ["1974 Tidewater", "", "", "1975 Tidewater", ""],
        ["#", "Player", "", "#", "Player"],
    ]
    for at in range(12):
        second = [plain(right[at].number), plain(right[at].subject)] if at < 8 else ["", ""]
        rows.append([plain(left[at].number), plain(left[at].subject), "", *second])
    return Made("two sets.xlsx", book(rows), (*left, *right))


@making
def summary_at_the_right(w: World) -> Made:
    cards = w.cards(14)
    rows = grid(cards, ["No", "Player", "Team", "Price"], "number subject team price")
    box = [["", "", ""], ["", "Cards", "14"], ["", "I have", "6"], ["", "Missing", "8"]]
    rows = [row + (box[at] if at < len(box) else ["", "", ""]) for at, row in enumerate(rows)]
    return Made(f"{cards[0].set}.xlsx", book(rows), tuple(cards))


@making
def starts_at_c5(w: World) -> Made:
    cards = w.cards(14)
    rows = grid(cards, ["Set", "No", "Player", "Team", "Price"], "set number subject team price")
    return Made("c5.xlsx", book([[], [], [], [], *[["", "", *row] for row in rows]]), tuple(cards))


@making
def empty_columns_between(w: World) -> Made:
    cards = w.cards(14)
    rows = grid(
        cards,
        ["Set", "", "No", "", "Player", "", "Team", "Price"],
        "set x number x subject x team price",
    )
    return Made("gaps.csv", delimited(rows, ";"), tuple(cards))


@making
def empty_rows_between(w: World) -> Made:
    cards = w.cards(14)
    rows = grid(cards, ["Set", "No", "Player", "Team", "Price"], "set number subject team price")
    spaced = [line for row in rows for line in (row, [""] * 5)]
    return Made("airy.csv", delimited(spaced), tuple(cards))


@making
def long_tail_of_empty_rows(w: World) -> Made:
    cards = without(w.cards(8), price="")
    rows = grid(cards, ["Set", "No", "Player", "Team"], "set number subject team")
    return Made("tail.csv", delimited([*rows, *[[""] * 26] * 900]), tuple(cards))


@making
def heads_again_on_each_page(w: World) -> Made:
    cards = w.cards(36)
    heads = ["No.", "Player", "Team", "Value"]
    rows: list[list[str]] = [[plain(cards[0].set), "", "", ""]]
    for page in range(3):
        rows += grid(cards[12 * page : 12 * page + 12], heads, "number subject team price")
        rows += [["", f"Page {page + 1} of 3", "", ""], ["", "", "", ""]]
    return Made("print.csv", delimited(rows), tuple(cards))


@making
def notes_of_how_many_on_each_page(w: World) -> Made:
    """A shop's search results, copied page by page."""
    cards = w.cards(30)
    rows: list[list[str]] = []
    for page in range(3):
        rows.append([f"{page * 10 + 1}-{page * 10 + 10} of 30", "", "", "", ""])
        rows += grid(
            cards[10 * page : 10 * page + 10],
            ["Set", "No.", "Player", "Team", "Price"],
            "set number subject team price",
        )
    return Made("results.csv", delimited(rows), tuple(cards))


@making
def set_merged_down(w: World) -> Made:
    parts = [bare(w.cards(9, "1981 Stone Bridge")), bare(w.cards(7, "1982 Stone Bridge"))]
    cards = [card for part in parts for card in part]
    rows = grid(cards, ["Set", "No", "Player"], "set number subject")

    def merge(made: Any) -> None:
        made.active.merge_cells("A2:A10")
        made.active.merge_cells("A11:A17")

    return Made("merged.xlsx", book(rows, merge), tuple(cards))


@making
def team_merged_down(w: World) -> Made:
    cards = without(w.cards(12), price="")
    teams = w.teams(3)
    cards = [replace(card, team=teams[at // 4]) for at, card in enumerate(cards)]
    rows = grid(cards, ["Team", "No", "Player"], "team number subject")

    def merge(made: Any) -> None:
        for first in (2, 6, 10):
            made.active.merge_cells(f"A{first}:A{first + 3}")

    return Made(f"{cards[0].set}.xlsx", book(rows, merge), tuple(cards))


@making
def set_only_on_first_line(w: World) -> Made:
    parts = [bare(w.cards(6, f"19{year} Amber Coast")) for year in (91, 92, 93)]
    rows = [["Set", "Number", "Player"]]
    for part in parts:
        part_rows = grid(part, [], "set number subject")[1:]
        rows += [[row[0] if at == 0 else "", *row[1:]] for at, row in enumerate(part_rows)]
    return Made("once.csv", delimited(rows), tuple(card for part in parts for card in part))


@making
def title_merged_above(w: World) -> Made:
    cards = w.cards(14, "1968 Night Ferry")
    rows = [
        ["1968 Night Ferry Checklist"],
        [],
        *grid(cards, ["#", "Player", "Team", "Price"], "number subject team price"),
    ]
    cards = without(cards, set=("1968 Night Ferry", "1968 Night Ferry Checklist"))
    return Made("nf.xlsx", book(rows, lambda made: made.active.merge_cells("A1:D1")), tuple(cards))


@making
def title_with_count_and_date(w: World) -> Made:
    cards = w.cards(14, "1968 Night Ferry")
    top = [
        ["1968 Night Ferry (14 cards)"],
        ["Last update: 3 May 2021"],
        ["Source: my own binder"],
        ["2 pages"],
        [],
    ]
    rows = [*top, *grid(cards, ["#", "Player", "Team", "Price"], "number subject team price")]
    return Made("list.csv", delimited(rows), tuple(cards))


@making
def coloured_rows(w: World) -> Made:
    """Colours say what the collector has; the legend stands above."""
    from openpyxl.styles import PatternFill

    cards = w.cards(14)
    rows = [
        ["Yellow = have it, red = want it"],
        *grid(cards, ["Set", "#", "Player", "Team", "Price"], "set number subject team price"),
    ]

    def colour(made: Any) -> None:
        for at in range(3, 9):
            for cell in made.active[at]:
                cell.fill = PatternFill("solid", fgColor="FFFF00")

    return Made("colours.xlsx", book(rows, colour), tuple(cards))


@making
def comments_in_cells(w: World) -> Made:
    from openpyxl.comments import Comment

    cards = w.cards(14)
    rows = grid(cards, ["Set", "#", "Player", "Team", "Price"], "set number subject team price")

    def comment(made: Any) -> None:
        made.active["C3"].comment = Comment("Bought 2 at the fair, 3.50", "me")
        made.active["B5"].comment = Comment("99", "me")

    return Made("comments.xlsx", book(rows, comment), tuple(cards))


@making
def totals_below(w: World) -> Made:
    cards = w.cards(14)
    total = f"{sum(float(plain(card.price)) for card in cards):.2f}"
    rows = grid(cards, ["Set", "#", "Player", "Team", "Price"], "set number subject team price")
    rows += [["", "", "", "", ""], ["Total", "14", "", "", total], ["Average", "", "", "", "1.00"]]
    return Made("totals.xlsx", book(rows), tuple(cards))


@making
def subtotals_between(w: World) -> Made:
    parts = [w.cards(7, f"19{year} Amber Coast") for year in (61, 62)]
    rows = [["Set", "#", "Player", "Team", "Price"]]
    for part in parts:
        rows += grid(part, [], "set number subject team price")[1:]
        rows.append([f"{plain(part[0].set)} Total", "", "", "", "12.40"])
    rows.append(["Grand Total", "", "", "", "24.80"])
    return Made("pivot.csv", delimited(rows), tuple(card for part in parts for card in part))


@making
def german_total(w: World) -> Made:
    cards = w.cards(9)
    rows = grid(
        cards, ["Serie", "Nr.", "Spieler", "Verein", "Preis"], "set number subject team price"
    )
    rows = [
        [cell.replace(".", ",") if at == 4 else cell for at, cell in enumerate(row)] for row in rows
    ]
    rows += [["Summe", "", "", "", "41,35"], ["Anzahl Karten", "9", "", "", ""]]
    rows[0][1] = "Nr."
    return Made("summe.csv", delimited(rows, ";"), tuple(cards))


@making
def footnotes(w: World) -> Made:
    cards = w.cards(12)
    rows = grid(cards, ["Set", "#", "Player", "Team", "Price"], "set number subject team price")
    rows[3][2] += "*"
    rows[7][2] += " **"
    rows += [["* short print"], ["** corrected later"], ["Prices from 2019, without warranty."]]
    return Made("foot.csv", delimited(rows), tuple(cards))


@making
def note_column_with_numbers(w: World) -> Made:
    cards = w.cards(12)
    rows = grid(
        cards, ["Set", "#", "Player", "Team", "Price", "Notes"], "set number subject team price x"
    )
    rows[2][5], rows[5][5], rows[6][5] = (
        "ex #12, see 1990",
        "/50 exist?",
        "3 copies; 1 creased, 2 fine",
    )
    return Made("notes.csv", delimited(rows), tuple(cards))


@making
def tables_below_each_other(w: World) -> Made:
    parts = [w.cards(8, "1990 Tidewater"), w.cards(6, "1991 Tidewater")]
    rows: list[list[str]] = []
    for part in parts:
        rows += [[plain(part[0].set)], ["No", "Player", "Team", "Price"]]
        rows += [*grid(part, [], "number subject team price")[1:], [], []]
    return Made("both.csv", delimited(rows), tuple(card for part in parts for card in part))


@making
def tables_below_with_other_columns(w: World) -> Made:
    parts = [w.cards(8, "1990 Tidewater"), without(w.cards(6, "1991 Lantern Hill"), team="")]
    rows = [
        *grid(parts[0], ["Set", "No", "Player", "Team", "Price"], "set number subject team price"),
        [],
    ]
    rows += grid(parts[1], ["No", "Price", "Player", "Set"], "number price subject set")
    return Made("both.xlsx", book(rows), tuple(card for part in parts for card in part))


@making
def section_lines_of_subsets(w: World) -> Made:
    name = "1996 Old Orchard"
    base, stars = bare(w.cards(10, name)), without(bare(w.cards(5, name)), subset="Orchard Stars")
    rows = [["#", "Player"], *grid(base, [], "number subject")[1:], ["Orchard Stars (5 cards)", ""]]
    rows += grid(stars, [], "number subject")[1:]
    return Made(f"{name}.csv", delimited(rows), (*base, *stars))


@making
def section_with_own_prefix(w: World) -> Made:
    name = "1996 Old Orchard"
    base = bare(w.cards(10, name))
    gold = [
        replace(card, number=f"NW{card.number}", subset="Night Watch")
        for card in bare(w.cards(5, name))
    ]
    rows = [
        ["#", "Player"],
        *grid(base, [], "number subject")[1:],
        [],
        ["Night Watch (NW1-NW5)", ""],
    ]
    rows += grid(gold, [], "number subject")[1:]
    return Made(f"{name}.xlsx", book(rows), (*base, *gold))


@making
def team_sections_named(w: World) -> Made:
    teams = w.teams(3)
    cards = [replace(card, team=teams[at // 5]) for at, card in enumerate(bare(w.cards(15)))]
    rows = [["Number", "Name"]]
    for at, team in enumerate(teams):
        rows += [[f"Team: {team}", ""], *grid(cards[5 * at : 5 * at + 5], [], "number subject")[1:]]
    return Made(f"{cards[0].set}.csv", delimited(rows), tuple(cards))


@making
def reversed_and_shuffled(w: World) -> Made:
    cards = w.cards(20)
    w.random.shuffle(cards)
    rows = grid(cards, ["Price", "Team", "Player", "No", "Set"], "price team subject number set")
    return Made("any.csv", delimited(rows), tuple(cards))


@making
def filtered_rows_hidden(w: World) -> Made:
    """Rows hidden by a filter are on the list all the same."""
    cards = w.cards(20)
    rows = grid(cards, ["Set", "No", "Player", "Team", "Price"], "set number subject team price")

    def hide(made: Any) -> None:
        made.active.auto_filter.ref = "A1:E21"
        for at in range(5, 12):
            made.active.row_dimensions[at].hidden = True

    return Made("filter.xlsx", book(rows, hide), tuple(cards))
