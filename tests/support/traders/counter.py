"""The second lot, tables: what stands behind a shop's counter, on shared sheets and on the web."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from support.clubs.world import File, World, of_money, with_each
from support.clubs.writers import book, grid, table, text
from support.traders.kit import Lot, tabled

SECOND = Lot()


@SECOND
def titles_of_a_marketplace(w: World) -> File:
    cards = w.cards(14, w.set(), price=True)
    return tabled(
        "listings.csv",
        cards,
        ["*Action", "*Title", "*StartPrice", "*Quantity"],
        lambda c: ["Add", f"{c.set} {c.name} #{c.number} {c.team}", of_money(c.price), 1],
    )


@SECOND
def boxes_of_a_shared_sheet(w: World) -> File:
    cards = w.cards(18, w.set())
    return tabled(
        f"{cards[0].set}.xlsx",
        cards,
        ["Owned?", "Card #", "Player", "Team", "Graded?"],
        lambda c: [w.r.random() < 0.5, int(c.number), c.name, c.team, False],
    )


@SECOND
def codes_of_sets_on_another_sheet(w: World) -> File:
    one, two = w.cards(8, w.set(1987)), w.cards(8, w.set(1988))
    pages = {
        "Cards": grid(
            [["Code", "No.", "Player", "Team"]]
            + [["S87", c.number, c.name, c.team] for c in one]
            + [["S88", c.number, c.name, c.team] for c in two]
        ),
        "Sets": grid(
            [["Code", "Set name", "Cards"], ["S87", one[0].set, 8], ["S88", two[0].set, 8]]
        ),
    }
    return File("collection.xlsx", book(pages), one + two)


@SECOND
def card_in_one_cell(w: World) -> File:
    cards = w.cards(16, w.set())
    return tabled(
        f"{cards[0].set}.csv",
        cards,
        ["Card", "Have"],
        lambda c: [f"{c.number} - {c.name} - {c.team}", w.r.choice(["", "x"])],
    )


@SECOND
def team_behind_in_name_cell(w: World) -> File:
    cards = w.cards(16, w.set())
    return tabled(
        f"{cards[0].set}.csv",
        cards,
        ["Number", "Player", "Stock"],
        lambda c: [c.number, f"{c.name}, {c.team}", w.r.randint(0, 3)],
    )


@SECOND
def team_first_no_heads_titles(w: World) -> File:
    cards = w.cards(16, w.set())
    return tabled(
        "old list.csv",
        cards,
        [],
        lambda c: [c.team, c.name, c.number],
        above=[[cards[0].set], ["typed by Wilma"]],
        write={"delim": ";"},
    )


@SECOND
def year_behind_name_of_set(w: World) -> File:
    cards = w.cards(14, w.set(1987))
    cards = with_each(cards, set=f"{cards[0].set[5:]} 1987/88")
    return tabled(
        "season.csv",
        cards,
        ["No", "Player", "Club"],
        lambda c: [c.number, c.name, c.team],
        above=[[cards[0].set]],
    )


@SECOND
def kinds_in_notes(w: World) -> File:
    cards = w.cards(18, w.set())
    return tabled(
        f"{cards[0].set}.csv",
        cards,
        ["#", "Name", "Team", "Notes"],
        lambda c: [c.number, c.name, c.team, w.r.choice(["", "", "RC", "AS", "IA", "CL"])],
    )


@SECOND
def prices_not_all_known(w: World) -> File:
    cards = [c if w.r.random() < 0.7 else replace(c, price=None)
             for c in w.cards(16, w.set(), price=True)]  # fmt: skip
    return tabled(
        f"{cards[0].set}.csv",
        cards,
        ["Nr.", "Name", "Verein", "Wert"],
        lambda c: [c.number, c.name, c.team,
                   "n.b." if c.price is None else f"ca. {of_money(c.price).replace('.', ',')} €"],
        write={"delim": ";", "enc": "cp1252"},
    )  # fmt: skip


@SECOND
def gaps_between_all_lines(w: World) -> File:
    cards = w.cards(14, w.set())
    rows: list[list[Any]] = [
        [cards[0].set, "", "", ""],
        ["", "", "", ""],
        ["No.", "Player", "Team", ""],
    ]
    for c in cards:
        rows += [[c.number, c.name, c.team, ""], ["", "", "", ""]]
    return File("gaps.csv", table(rows), cards)


@SECOND
def inserts_in_another_order(w: World) -> File:
    s = w.set(2001)
    base, more = w.cards(12, s), w.cards(6, s, fmt="GL-{}", subset="Golden Lanterns")
    rows: list[list[Any]] = [[s], ["No.", "Player", "Team"]]
    rows += [[c.number, c.name, c.team] for c in base]
    rows += [[], ["Golden Lanterns"], ["Player", "Team", "No."]]
    rows += [[c.name, c.team, c.number] for c in more]
    return File("two.csv", table(rows), base + more)


@SECOND
def title_of_two_lines_in_a_cell(w: World) -> File:
    cards = w.cards(14, w.set())

    def put(page: Any) -> None:
        page["A2"] = f"{cards[0].set}\nChecklist"
        page.merge_cells("A2:D3")
        for at, head in enumerate(["No.", "Player", "Team", "Check"], start=1):
            page.cell(5, at, head)
        for row, c in enumerate(cards, start=6):
            for at, value in enumerate([int(c.number), c.name, c.team], start=1):
                page.cell(row, at, value)

    return File("sheet.xlsx", book({"Sheet1": put}), cards)


@SECOND
def pasted_with_buttons(w: World) -> File:
    cards = w.cards(14, w.set(), price=True)
    lines = [cards[0].set, "Sort by: Number", "Image\tNumber\tCard\tTeam\tPrice\t"]
    lines += [f"[image]\t#{c.number}\t{c.name}\t{c.team}\t${of_money(c.price)}\tAdd to cart"
              for c in cards]  # fmt: skip
    return File("paste.txt", text(lines), cards)


@SECOND
def two_teams_in_a_cell(w: World) -> File:
    cards = [replace(c, team=f"{c.team}/{w.teams(1)[0]}") if int(c.number) % 5 == 0 else c
             for c in w.cards(15, w.set())]  # fmt: skip
    return tabled(
        f"{cards[0].set}.csv", cards, ["Card", "Player", "Team(s)"],
        lambda c: [c.number, c.name, c.team],
    )  # fmt: skip


@SECOND
def groups_of_heads(w: World) -> File:
    cards = w.cards(14, w.set(), price=True)

    def put(page: Any) -> None:
        page.append(["Card", None, None, "Stock", None])
        page.append(["No.", "Name", "Team", "Qty", "Price"])
        page.merge_cells("A1:C1")
        page.merge_cells("D1:E1")
        for c in cards:
            page.append([int(c.number), c.name, c.team, w.r.randint(1, 4), c.price])

    return File(f"{cards[0].set}.xlsx", book({"Sheet1": put}), cards)


@SECOND
def sheet_of_each_team(w: World) -> File:
    s, teams = w.set(), w.teams(4)
    cards = [replace(c, team=teams[at // 5]) for at, c in enumerate(w.cards(20, s))]
    pages = {
        team: grid([["No.", "Player"]] + [[int(c.number), c.name] for c in cards if c.team == team])
        for team in teams
    }
    return File(f"{s}.xlsx", book(pages), cards)


@SECOND
def names_of_a_set_spelled_in_two_ways(w: World) -> File:
    cards = w.cards(14, w.set(1999))
    return tabled(
        "mixed.csv",
        cards,
        ["Set", "No", "Player"],
        lambda c: [c.set if int(c.number) < 8 else c.set.upper(), c.number, c.name],
        must_tell=True,
        meant=[replace(c, team="") for c in cards[:7]],
    )


@SECOND
def shelves_and_barcodes(w: World) -> File:
    cards = w.cards(15, w.set(), price=True)
    return tabled(
        "pos.csv",
        cards,
        ["Barcode", "Bin", "Product", "Collector #", "Card name", "Team", "On hand", "Retail"],
        lambda c: [f"40{w.r.randint(10**9, 10**10)}", f"B-{w.r.randint(1, 9)}-{w.r.randint(1, 40)}",
                   c.set, c.number, c.name, c.team, w.r.randint(1, 9), f"${of_money(c.price)}"],
    )  # fmt: skip


@SECOND
def have_and_need_beside(w: World) -> File:
    cards = w.cards(20, w.set())
    have, need = cards[::2], cards[1::2]
    rows: list[list[Any]] = [[cards[0].set], ["HAVE", "", "", "", "NEED"],
                             ["No", "Player", "Team", "", "No", "Player", "Team"]]  # fmt: skip
    rows += [[a.number, a.name, a.team, "", b.number, b.name, b.team]
             for a, b in zip(have, need, strict=True)]  # fmt: skip
    return File("hn.csv", table(rows), cards)


@SECOND
def slash_for_the_run(w: World) -> File:
    names = w.cols(3)
    cards = [replace(c, pars=((names[at % 3], 25 * (at % 3 + 1)),))
             for at, c in enumerate(w.cards(12, w.set()))]  # fmt: skip
    return tabled(
        "hits.csv",
        cards,
        ["Player", "Set", "#", "Parallel", "/", "Auto", "Relic"],
        lambda c: [
            c.name,
            c.set,
            c.number,
            c.pars[0][0],
            c.pars[0][1],
            w.r.choice(["Y", "N"]),
            "N",
        ],
        meant=with_each(cards, team=""),
    )


@SECOND
def suffix_in_its_own_column(w: World) -> File:
    cards = w.cards(15, w.set(), ascii=True)
    cards = [replace(c, name=f"{c.name} Jr.") if int(c.number) % 6 == 0 else c for c in cards]
    return tabled(
        f"{cards[0].set}.csv",
        cards,
        ["Number", "First", "Last", "Suffix", "Team"],
        lambda c: [c.number, *c.name.removesuffix(" Jr.").split(), "Jr." * c.name.endswith("Jr."),
                   c.team],
    )  # fmt: skip


@SECOND
def prefix_in_its_own_column(w: World) -> File:
    s = w.set()
    base, more = w.cards(10, s), w.cards(6, s, fmt="SD{}")
    dashed = [replace(c, number=c.number.replace("SD", "SD-")) for c in more]
    return tabled(
        f"{s}.csv",
        base + more,
        ["Prefix", "No", "Player", "Team"],
        lambda c: ["SD" if c.number.startswith("SD") else "", c.number.removeprefix("SD"), c.name,
                   c.team],
        also=[base + dashed],
    )  # fmt: skip


@SECOND
def names_of_pictures(w: World) -> File:
    cards = w.cards(14, w.set())
    return tabled(
        "scans.csv",
        cards,
        ["front", "back", "set", "card_no", "player", "team", "notes"],
        lambda c: [f"scan_{c.number}_f.jpg", f"scan_{c.number}_b.jpg", c.set, c.number, c.name,
                   c.team, ""],
    )  # fmt: skip


@SECOND
def sold_in_place_of_prices(w: World) -> File:
    cards = [c if int(c.number) % 5 else replace(c, price=None)
             for c in w.cards(15, w.set(), price=True)]  # fmt: skip
    return tabled(
        f"{cards[0].set}.xlsx",
        cards,
        ["No.", "Player", "Team", "Price"],
        lambda c: [int(c.number), c.name, c.team, "SOLD" if c.price is None else c.price],
        loose={"price": 1},
    )


@SECOND
def inserts_behind_a_dash_in_set(w: World) -> File:
    s = w.set(2010)
    cards = w.cards(10, s) + w.cards(5, f"{s} - Night Stars", fmt="NS{}")
    return tabled(
        "db.csv", cards, ["Set Name", "Card Number", "Subject", "Team Name"],
        lambda c: [c.set, c.number, c.name, c.team],
    )  # fmt: skip


@SECOND
def key_below_the_table(w: World) -> File:
    cards = w.cards(15, w.set())
    return tabled(
        f"{cards[0].set}.csv",
        cards,
        ["No", "Player", "Team", "Type"],
        lambda c: [c.number, c.name, c.team, w.r.choice(["", "RC", "SP"])],
        below=[[], ["Legend:"], ["RC = rookie card"], ["SP = short print"]],
    )


@SECOND
def colons_between_cells(w: World) -> File:
    cards = w.cards(14, w.set())
    lines = ["no::player::team"] + [f"{c.number}::{c.name}::{c.team}" for c in cards]
    return File(f"{cards[0].set}.txt", text(lines), cards)


@SECOND
def sizes_of_runs_in_heads_of_groups(w: World) -> File:
    one, two = w.cols(2)
    cards = [replace(c, pars=((one, 199), (two, 5))) for c in w.cards(12, w.set())]
    return tabled(
        f"{cards[0].set}.csv",
        cards,
        ["#", "Player", "Team", f"{one} (of 199)", f"{two} (of 5)"],
        lambda c: [c.number, c.name, c.team, "✓", "✓"],
    )
