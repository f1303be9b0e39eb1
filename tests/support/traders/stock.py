"""The first lot, tables: what traders have in stock and programs put out."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

from support.clubs.world import File, Row, World, of_money
from support.clubs.writers import table, text
from support.traders.kit import Lot, last_first, tabled

FIRST = Lot()


@FIRST
def rows_with_foreign_keys(w: World) -> File:
    sets = [w.set(1988), w.set(1991)]
    cards = w.cards(12, sets[0]) + w.cards(12, sets[1])
    teams = sorted({card.team for card in cards})

    def cells(card: Row) -> list[Any]:
        at = cards.index(card)
        return [
            40_000 + at, 7 + sets.index(card.set), card.set, card.number, 300 + at, card.name,
            teams.index(card.team) + 1, card.team, "2021-03-04 10:11:12",
        ]  # fmt: skip

    heads = ["id", "set_id", "set_name", "card_number", "player_id", "player_name", "team_id",
             "team_name", "created_at"]  # fmt: skip
    return tabled("cards_export.csv", cards, heads, cells)


@FIRST
def lots_of_an_auction(w: World) -> File:
    cards = w.cards(15, w.set(), team=False, price=True)
    return tabled(
        "auction.csv",
        cards,
        ["Lot", "Description", "Start price"],
        lambda c: [200 + int(c.number), f"{c.set} #{c.number} {c.name}", of_money(c.price)],
    )


@FIRST
def club_members_have(w: World) -> File:
    cards = w.cards(20, w.set())
    return tabled(
        f"{cards[0].set}.csv",
        cards,
        ["#", "Player", "Team", "Piet", "Runa", "Hal"],
        lambda c: [c.number, c.name, c.team, *("x" if w.r.random() < 0.5 else "" for _ in "abc")],
    )


@FIRST
def counts_by_condition(w: World) -> File:
    cards = w.cards(18, w.set(), price=True)
    return tabled(
        "stock.csv",
        cards,
        ["Set", "No", "Player", "Team", "NM", "EX", "VG", "Price"],
        lambda c: [c.set, c.number, c.name, c.team, *(w.r.randint(0, 4) for _ in "abc"),
                   of_money(c.price)],
    )  # fmt: skip


@FIRST
def price_history(w: World) -> File:
    cards = w.cards(14, w.set())
    return tabled(
        f"{cards[0].set}.csv",
        cards,
        ["No.", "Name", "Team", "Jan-21", "Feb-21", "Mar-21"],
        lambda c: [c.number, c.name, c.team, *(of_money(w.price()) for _ in "abc")],
        loose={"price": 1},
    )


@FIRST
def errors_and_corrections(w: World) -> File:
    cards: list[Row] = []
    for card in w.cards(14, w.set()):
        if int(card.number) % 5 == 0:
            cards += [replace(card, number=f"{card.number}{mark}") for mark in "ab"]
        else:
            cards.append(card)

    def cells(card: Row) -> list[str]:
        said = {"a": "ERR: number missing on back", "b": "COR"}.get(card.number[-1], "")
        return [card.number, card.name, card.team, said]

    return tabled(f"{cards[0].set}.csv", cards, ["Card", "Player", "Team", "Remarks"], cells)


@FIRST
def set_is_heading_of_names(w: World) -> File:
    cards = w.cards(20, w.set())
    return tabled(
        "list.csv", cards, ["#", cards[0].set, "Team"], lambda c: [c.number, c.name, c.team]
    )


@FIRST
def two_tongues_in_heads(w: World) -> File:
    cards = w.cards(16, w.set(), price=True)
    return tabled(
        "zweisprachig.csv",
        cards,
        ["Nr. / No.", "Spieler / Player", "Verein / Team", "Satz / Set", "Preis / Price"],
        lambda c: [c.number, c.name, c.team, c.set, of_money(c.price).replace(".", ",")],
        write={"delim": ";", "enc": "cp1252"},
    )


@FIRST
def portuguese_stock(w: World) -> File:
    cards = w.cards(16, w.set(1994), price=True)
    return tabled(
        "estoque.csv",
        cards,
        ["Coleção", "Ano", "Nº", "Jogador", "Clube", "Estado", "Preço (R$)"],
        lambda c: [c.set[5:], "1994", c.number, c.name, c.team, "Novo",
                   of_money(c.price).replace(".", ",")],
        write={"delim": ";"},
    )  # fmt: skip


@FIRST
def numbers_of_series_and_card(w: World) -> File:
    cards = w.cards(10, w.set(), fmt="1-{}") + w.cards(10, "", fmt="2-{}")
    cards = [replace(card, set=cards[0].set) for card in cards]
    return tabled(
        f"{cards[0].set}.csv", cards, ["No", "Title", "Team"], lambda c: [c.number, c.name, c.team]
    )


@FIRST
def roman_numbers(w: World) -> File:
    signs = ["I", "II", "III", "IV", "V", "VI", "VII", "VIII", "IX", "X", "XI", "XII"]
    made = w.cards(12, w.set())
    cards = [replace(card, number=signs[int(card.number) - 1]) for card in made]
    return tabled(
        f"{cards[0].set}.csv",
        cards,
        ["No.", "Player", "Team"],
        lambda c: [c.number, c.name, c.team],
    )


@FIRST
def number_with_set_code(w: World) -> File:
    cards = w.cards(18, w.set(1987), fmt="HL87-{:03}")
    return tabled(
        "inv.csv",
        cards,
        ["Shelf", "Card #", "Player", "Club", "Qty", "Set"],
        lambda c: [f"A{w.r.randint(1, 9)}", c.number, c.name, c.team, w.r.randint(1, 5), c.set],
    )


@FIRST
def number_of_all_with_slash(w: World) -> File:
    cards = w.cards(18, w.set(), fmt="{:03}/018")
    plain = [replace(card, number=card.number.split("/")[0]) for card in cards]
    return tabled(
        f"{cards[0].set}.csv",
        cards,
        ["Number", "Name", "Team"],
        lambda c: [c.number, c.name, c.team],
        also=[plain],
    )


@FIRST
def short_heads(w: World) -> File:
    cards = w.cards(18, w.set(1979), price=True)
    return tabled(
        "l.csv",
        cards,
        ["Yr", "Set", "Crd", "Plyr", "Tm", "Pr"],
        lambda c: [c.set[:4], c.set[5:], c.number, c.name, c.team, of_money(c.price)],
    )


@FIRST
def facts_before_the_table(w: World) -> File:
    cards = w.cards(15, w.set(1996))
    return tabled(
        "download.csv",
        cards,
        ["Number", "Player", "Team"],
        lambda c: [c.number, c.name, c.team],
        above=[
            ["Title", cards[0].set],
            ["Compiled by", "Runa"],
            ["Last edit", "4 March 2020"],
            ["Number of cards", "15"],
            [],
        ],
    )


@FIRST
def facts_in_one_line_above(w: World) -> File:
    cards = w.cards(15, w.set(1997))
    return tabled(
        "facts.csv",
        cards,
        ["Number", "Player", "Team"],
        lambda c: [c.number, c.name, c.team],
        above=[[f"Set: {cards[0].set[5:]} | Year: 1997 | Cards: 15"]],
    )


@FIRST
def remarks_between(w: World) -> File:
    cards = w.cards(15, w.set())
    lines = ["# exported by the club's program", f"# set: {cards[0].set}", "num;player;team"]
    for card in cards:
        lines.append(f"{card.number};{card.name};{card.team}")
        if card.number == "7":
            lines.append("# next page")
    return File("prog.csv", text(lines), cards, also=[[replace(c, set="prog") for c in cards]])


@FIRST
def statements_of_sql(w: World) -> File:
    cards = w.cards(14, w.set())
    lines = ["CREATE TABLE cards (num TEXT, player TEXT, team TEXT, setname TEXT);"]
    for card in cards:
        values = (card.number, card.name, card.team, card.set)
        said = ", ".join("'{}'".format(value.replace("'", "''")) for value in values)
        lines.append(f"INSERT INTO cards (num, player, team, setname) VALUES ({said});")
    return File("dump.txt", text(lines), cards)


@FIRST
def cards_in_an_object(w: World) -> File:
    cards = w.cards(14, w.set())
    found = [{"no": c.number, "player": c.name, "team": c.team} for c in cards]
    whole = {"set": cards[0].set, "count": len(cards), "cards": found}
    return File("set.txt", json.dumps(whole, indent=2).encode(), cards)


@FIRST
def columns_of_a_frame(w: World) -> File:
    """As pandas prints one (`DataFrame.to_string`), which not every machine has."""
    cards = w.cards(15, w.set())
    columns = zip(
        ("number", "player", "team"), *((c.number, c.name, c.team) for c in cards), strict=True
    )
    set_right = [[cell.rjust(max(map(len, column))) for cell in column] for column in columns]
    index = ["".ljust(2), *(str(at).ljust(2) for at in range(len(cards)))]
    rows = zip(index, map("  ".join, zip(*set_right, strict=True)), strict=True)
    whole = [f"{at} {row}" for at, row in rows]
    return File(f"{cards[0].set}.txt", "\n".join(whole).encode(), cards)


@FIRST
def table_of_r(w: World) -> File:
    cards = w.cards(15, w.set())
    lines = ['"number","player","team"'] + [
        f'"{at}",{c.number},"{c.name}","{c.team}"' for at, c in enumerate(cards, start=1)
    ]
    return File(f"{cards[0].set}.csv", text(lines), cards)


@FIRST
def rows_standing_up(w: World) -> File:
    cards = w.cards(10, w.set())
    lines = []
    for at, card in enumerate(cards, start=1):
        lines += [
            f"*************************** {at}. row ***************************",
            f" number: {card.number}", f" player: {card.name}", f"   team: {card.team}",
            f"    set: {card.set}",
        ]  # fmt: skip
    return File("query.txt", text(lines), cards)


@FIRST
def boxes_in_front_of_cells(w: World) -> File:
    cards = w.cards(18, w.set())
    return tabled(
        "ticks.csv",
        cards,
        ["", "No.", "Player", "Team"],
        lambda c: [w.r.choice("☐☑"), c.number, c.name, c.team],
        above=[[cards[0].set]],
    )


@FIRST
def short_prints_by_star(w: World) -> File:
    cards = w.cards(20, w.set())
    return tabled(
        f"{cards[0].set}.csv",
        cards,
        ["No.", "Player", "Team"],
        lambda c: [c.number, c.name + ("*" if int(c.number) % 6 == 0 else ""), c.team],
        below=[["* = short print"]],
    )


@FIRST
def reversed_in_capitals(w: World) -> File:
    cards = w.cards(18, w.set(), fmt="{:03}", ascii=True)
    upper = [replace(card, name=last_first(card.name).upper(), team=card.team.upper())
             for card in cards]  # fmt: skip
    return tabled(
        f"{cards[0].set}.csv",
        upper,
        ["CARD NO", "PLAYER", "CLUB"],
        lambda c: [c.number, c.name, c.team],
    )


@FIRST
def group_lines_of_a_report(w: World) -> File:
    cards: list[Row] = []
    rows: list[list[str]] = [["Set", "Number", "Player", "Team"]]
    for year in (1981, 1982, 1983):
        some = w.cards(7, w.set(year))
        cards += some
        rows += [[some[0].set, "", "", ""]]
        rows += [["", c.number, c.name, c.team] for c in some]
        rows += [["", "", "Cards in set:", "7"]]
    return File("report.csv", table(rows), cards)
