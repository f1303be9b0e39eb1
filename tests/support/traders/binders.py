"""The first lot, workbooks: binders, grids and want lists as they stand in a spreadsheet."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from openpyxl.styles import Font

from support.clubs.world import File, Row, World, of_money
from support.clubs.writers import book, grid
from support.traders.kit import tabled
from support.traders.stock import FIRST


@FIRST
def card_set_of_a_maker(w: World) -> File:
    s = w.set(2019)
    cards = w.cards(14, s) + w.cards(6, s, fmt="SD-{}", subset="Sky Dancers")
    cards += w.cards(6, s, fmt="LA-{}", subset="Lantern Autographs")
    return tabled(
        "checklist.xlsx",
        cards,
        ["Program", "Card Set", "Card #", "Athlete", "Team", "Position"],
        lambda c: [s, c.subset or "Base Set", c.number, c.name, c.team, "Guard"],
        also=[[replace(c, subset=c.subset or "Base Set") for c in cards]],
    )


@FIRST
def team_blocks_beside(w: World) -> File:
    s = w.set()
    blocks = [[replace(c, team=team) for c in w.cards(6, s, start=at * 6 + 1)]
              for at, team in enumerate(w.teams(3))]  # fmt: skip

    def put(page: Any) -> None:
        for at, block in enumerate(blocks):
            left = at * 3 + 1
            page.cell(1, left, block[0].team)
            page.merge_cells(start_row=1, end_row=1, start_column=left, end_column=left + 1)
            page.cell(2, left, "No")
            page.cell(2, left + 1, "Player")
            for row, card in enumerate(block, start=3):
                page.cell(row, left, int(card.number))
                page.cell(row, left + 1, card.name)

    return File(f"{s}.xlsx", book({"Sheet1": put}), [c for block in blocks for c in block])


@FIRST
def four_columns_without_heads(w: World) -> File:
    cards = w.cards(24, w.set())
    rows = []
    for at in range(8):
        some = cards[at::8]
        rows.append([cell for c in some for cell in ("", int(c.number), c.name, "")])
    return File(f"{cards[0].set}.xlsx", book({"Sheet1": grid(rows)}),
                [replace(c, team="") for c in cards])  # fmt: skip


@FIRST
def state_of_the_set_above(w: World) -> File:
    cards = w.cards(16, w.set())
    return tabled(
        "mine.xlsx",
        cards,
        ["Have", "No.", "Player", "Team"],
        lambda c: [1 if w.r.random() < 0.5 else None, int(c.number), c.name, c.team],
        above=[[cards[0].set], ["Complete", "8/16"], ["Percent", 0.5], ["Missing", 8], []],
    )


@FIRST
def two_names_in_a_cell(w: World) -> File:
    cards = []
    for card in w.cards(12, w.set()):
        if int(card.number) % 4 == 0:
            card = replace(card, name=f"{card.name}\n{w.name()}")
        cards.append(card)

    def joined(mark: str) -> list[Row]:
        return [replace(c, name=c.name.replace("\n", mark)) for c in cards]

    return tabled(
        f"{cards[0].set}.xlsx",
        cards,
        ["No.", "Player", "Team"],
        lambda c: [int(c.number), c.name, c.team],
        meant=joined(" / "),
        also=[joined(" & "), joined(", ")],
    )


@FIRST
def formulas_of_subtotals(w: World) -> File:
    cards = w.cards(12, w.set(), price=True)
    rows: list[list[Any]] = [["Card", "Player", "Team", "Price"]]
    rows += [[int(c.number), c.name, c.team, c.price] for c in cards]
    rows += [[None, None, "Sum", "=SUM(D2:D13)"], [None, None, "Mean", "=AVERAGE(D2:D13)"]]
    return File(f"{cards[0].set}.xlsx", book({"Sheet1": grid(rows)}), cards)


@FIRST
def sheet_of_base_and_inserts(w: World) -> File:
    s = w.set(2005)
    base, more = w.cards(14, s), w.cards(8, s, fmt="NN{}", subset="Night Nine")
    heads = ["Card", "Player", "Team"]
    pages = {
        name: grid([heads, *([c.number, c.name, c.team] for c in cards)])
        for name, cards in (("Base", base), ("Night Nine", more))
    }
    return File(f"{s}.xlsx", book(pages), base + more,
                also=[[replace(c, subset=c.subset or "Base") for c in base + more]])  # fmt: skip


@FIRST
def hidden_columns_of_cost(w: World) -> File:
    cards = w.cards(14, w.set(1990), price=True)

    def hide(page: Any) -> None:
        page.column_dimensions["D"].hidden = True
        page.freeze_panes = "A2"
        page.auto_filter.ref = "A1:F15"

    return tabled(
        f"{cards[0].set}.xlsx",
        cards,
        ["No.", "Player", "Team", "Cost", "Asking", "Sold to"],
        lambda c: [float(c.number), c.name, c.team, (c.price or 0) / 2, c.price, None],
        write={"then": hide},
    )


@FIRST
def cards_struck_out(w: World) -> File:
    cards = w.cards(16, w.set())

    def strike(page: Any) -> None:
        for row in range(3, 9):
            page.cell(row, 2).font = Font(strike=True)

    return tabled(
        "Want List.xlsx",
        cards,
        ["Card No.", "Name", "Club"],
        lambda c: [int(c.number), c.name, c.team],
        above=[[f"{cards[0].set} - what I still need"]],
        write={"then": strike},
    )


@FIRST
def parallels_have_numbers(w: World) -> File:
    one, two = w.cols(2)
    cards = [replace(c, pars=((one, 50), (two, 10))) for c in w.cards(12, w.set())]
    return tabled(
        f"{cards[0].set}.xlsx",
        cards,
        ["No.", "Player", "Team", "Parallel", "Print run"],
        lambda c: [int(c.number), c.name, c.team, f"{one}\n{two}", "50\n10"],
    )


@FIRST
def prices_by_grade_above(w: World) -> File:
    cards = w.cards(12, w.set())

    def put(page: Any) -> None:
        page.append(["No.", "Player", "Team", "Graded values", None, None])
        page.append([None, None, None, "8", "9", "10"])
        page.merge_cells("D1:F1")
        for c in cards:
            page.append([int(c.number), c.name, c.team, *(w.price() for _ in "abc")])

    return File(f"{cards[0].set}.xlsx", book({"Sheet1": put}), cards, loose={"price": 1})


@FIRST
def sets_as_blocks_with_banners(w: World) -> File:
    sets = [w.cards(6, w.set(year)) for year in (1971, 1974, 1977)]

    def put(page: Any) -> None:
        page.append(["No.", "Player", "Team"])
        for some in sets:
            page.append([some[0].set])
            page.merge_cells(start_row=page.max_row, end_row=page.max_row,
                             start_column=1, end_column=3)  # fmt: skip
            for c in some:
                page.append([int(c.number), c.name, c.team])

    return File("all.xlsx", book({"Sheet1": put}), [c for some in sets for c in some])


@FIRST
def stock_by_place(w: World) -> File:
    cards = w.cards(16, w.set(1993), price=True)
    return tabled(
        "stock.xlsx",
        cards,
        ["Location", "Qty", "Item", "Card no.", "Player", "Team", "Ask", "Last checked"],
        lambda c: [f"Box {w.r.randint(1, 4)}", w.r.randint(1, 3), c.set, c.number, c.name, c.team,
                   f"${of_money(c.price)}", "2022-01-05"],
    )  # fmt: skip


@FIRST
def players_down_sets_across(w: World) -> File:
    sets = [w.set(1985), w.set(1986)]
    names = [w.name() for _ in range(10)]
    cards = [Row(s, str(at * 3 + n), name) for at, name in enumerate(names)
             for n, s in enumerate(sets, start=1)]  # fmt: skip
    rows = [["Player", *sets]] + [[name, at * 3 + 1, at * 3 + 2] for at, name in enumerate(names)]
    return File("by player.xlsx", book({"Sheet1": grid(rows)}), cards)
