"""The fourth lot: lists brought to fairs, shops that sell on the web, clubs that swap."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from support.clubs.world import File, World, of_money, with_each
from support.clubs.writers import book, grid, table, text
from support.traders.kit import Lot, tabled, typed

FOURTH = Lot()


@FOURTH
def fair_stock(w: World) -> File:
    cards = w.cards(14, w.set(1985), price=True) + w.cards(8, w.set(1986), price=True)
    return tabled(
        "fair.xlsx", cards, ["Box", "Year", "Set", "Card", "Name", "Team", "Cond", "Ask £"],
        lambda c: [w.r.randint(1, 3), int(c.set[:4]), c.set[5:], int(c.number), c.name, c.team,
                   "VG", c.price],
    )  # fmt: skip


@FOURTH
def handles_of_a_web_shop(w: World) -> File:
    cards = w.cards(14, w.set(), price=True)
    return tabled(
        "products.csv",
        cards,
        ["Handle", "Title", "Vendor", "Tags", "Variant SKU", "Variant Price", "Card Number", "Set",
         "Team"],
        lambda c: [f"card-{c.number}", c.name, "Shop", "cards,sport", f"X{c.number}",
                   of_money(c.price), c.number, c.set, c.team],
    )  # fmt: skip


@FOURTH
def swaps_in_two_parts(w: World) -> File:
    s = w.set()
    one, two = w.cards(8, s), w.cards(8, s, start=20)
    lines = [s, "", "I HAVE:", *(f"{c.number} {c.name} ({c.team})" for c in one)]
    lines += ["", "I NEED:", *(f"{c.number} {c.name} ({c.team})" for c in two)]
    return File("swaps.txt", text(lines), one + two)


@FOURTH
def count_of_each_in_brackets(w: World) -> File:
    cards = w.cards(14, w.set())
    return typed("dup.txt", cards, lambda c: f"{c.number} {c.name} ({w.r.randint(2, 4)})",
                 [f"{cards[0].set} duplicates"], meant=with_each(cards, team=""))  # fmt: skip


@FOURTH
def semicolons_and_quotes(w: World) -> File:
    cards = w.cards(14, w.set())
    return tabled("q.csv", cards, ["Set", "Nummer", "Naam", "Club"],
                  lambda c: [c.set, c.number, c.name, c.team],
                  write={"delim": ";", "quoting": 1, "enc": "utf-16"})  # fmt: skip


@FOURTH
def brand_year_and_line(w: World) -> File:
    cards = w.cards(14, "1992 Marlow Harbor Light")
    return tabled("mix.csv", cards, ["Brand", "Year", "Product Line", "Card #", "Athlete", "Club"],
                  lambda c: ["Marlow", 1992, "Harbor Light", c.number, c.name, c.team],
                  also=[with_each(cards, set="1992 Harbor Light")])  # fmt: skip


@FOURTH
def short_prints_by_column(w: World) -> File:
    cards = w.cards(16, w.set())
    return tabled(f"{cards[0].set}.csv", cards, ["No", "SP", "Player", "Team"],
                  lambda c: [c.number, "SP" if int(c.number) % 4 == 0 else "", c.name, c.team],
                  )  # fmt: skip


@FOURTH
def parallels_in_long_rows(w: World) -> File:
    one, two = w.cols(2)
    cards = [replace(c, pars=((one, 25), (two, 5))) for c in w.cards(8, w.set())]
    rows: list[list[Any]] = [["Card", "Player", "Team", "Version", "Print Run"]]
    for c in cards:
        rows += [[c.number, c.name, c.team, "Base", ""], [c.number, c.name, c.team, one, 25],
                 [c.number, c.name, c.team, two, 5]]  # fmt: skip
    return File(f"{cards[0].set}.csv", table(rows), cards)


@FOURTH
def subset_headings_in_number_column(w: World) -> File:
    s = w.set()
    base = w.cards(8, s)
    more = w.cards(5, s, start=9, subset="League Leaders")
    rows: list[list[Any]] = [["#", "Player", "Team"], *([c.number, c.name, c.team] for c in base)]
    rows += [["League Leaders", "", ""], *([c.number, c.name, c.team] for c in more)]
    return File(f"{s}.csv", table(rows), base + more)


@FOURTH
def title_and_date_in_a_footer(w: World) -> File:
    cards = w.cards(16, w.set())
    return tabled("f.csv", cards, ["#", "Player", "Team"], lambda c: [c.number, c.name, c.team],
                  above=[[cards[0].set, "", "as of 3/4/2021"]],
                  below=[["", "", ""], ["Printed 3/4/2021", "", "Page 1"]])  # fmt: skip


@FOURTH
def empty_first_column(w: World) -> File:
    cards = w.cards(14, w.set())
    return tabled(f"{cards[0].set}.xlsx", cards, [None, "No.", "Player", None, "Team"],
                  lambda c: [None, int(c.number), c.name, None, c.team])  # fmt: skip


@FOURTH
def name_in_capitals_then_first(w: World) -> File:
    cards = w.cards(14, w.set(), ascii=True)
    turned = [replace(c, name=f"{c.name.split()[1].upper()} {c.name.split()[0]}") for c in cards]
    return typed("caps.txt", turned, lambda c: f"{c.number} {c.name} ({c.team})", [cards[0].set])


@FOURTH
def one_to_many_numbers(w: World) -> File:
    cards = w.cards(14, w.set())
    return tabled(f"{cards[0].set}.csv", cards, ["Nr", "Tot", "Speler", "Club"],
                  lambda c: [c.number, 14, c.name, c.team])  # fmt: skip


@FOURTH
def grades_by_two_houses(w: World) -> File:
    cards = w.cards(14, w.set(), price=True)
    return tabled(f"{cards[0].set}.csv", cards,
                  ["Card", "Player", "Team", "Grade A", "Grade B", "Current value"],
                  lambda c: [c.number, c.name, c.team, 8, 8.5, f"$ {of_money(c.price)}"],
                  )  # fmt: skip


@FOURTH
def leaders_with_three_names(w: World) -> File:
    cards = []
    for c in w.cards(12, w.set(), ascii=True):
        if int(c.number) % 4 == 0:
            c = replace(c, name=f"{c.name}/{w.name(hard=False)}/{w.name(hard=False)}", team="")
        cards.append(c)
    return tabled(f"{cards[0].set}.csv", cards, ["No.", "Player(s)", "Team"],
                  lambda c: [c.number, c.name, c.team])  # fmt: skip


@FOURTH
def forum_post(w: World) -> File:
    cards = w.cards(12, w.set())
    return typed("post.txt", cards, lambda c: f"[*]{c.number} - {c.name} [{c.team}]",
                 ["[b]" + cards[0].set + "[/b]", "[list]"], ["[/list]", "PM me!"])  # fmt: skip


@FOURTH
def club_abbreviations_explained(w: World) -> File:
    cards = [replace(c, team=w.r.choice(["HG", "EO", "NC"])) for c in w.cards(14, w.set())]
    return tabled("k.csv", cards, ["No.", "Player", "Club"], lambda c: [c.number, c.name, c.team],
                  above=[[cards[0].set], ["HG = Harbor Gulls, EO = Ember Owls, NC = Comets"], []],
                  )  # fmt: skip


@FOURTH
def numbers_with_decimal_places(w: World) -> File:
    cards = w.cards(14, w.set())
    return tabled(f"{cards[0].set}.csv", cards, ["number", "player", "team", "qty"],
                  lambda c: [f"{c.number}.00", c.name, c.team, "1.00"])  # fmt: skip


@FOURTH
def reprint_set_in_same_table(w: World) -> File:
    one = w.cards(8, w.set(1953))
    two = with_each(one, set=f"{one[0].set} Reprint")
    return tabled("r.csv", one + two, ["Card set", "Card number", "Name", "Team"],
                  lambda c: [c.set, c.number, c.name, c.team])  # fmt: skip


@FOURTH
def price_columns_of_parallels(w: World) -> File:
    name = w.cols(1)[0]
    cards = [replace(c, pars=((name, None),)) for c in w.cards(12, w.set(), price=True)]
    heads = ["#", "Player", "Team", "Base price", f"{name} price"]
    return tabled(f"{cards[0].set}.csv", cards, heads,
                  lambda c: [c.number, c.name, c.team, of_money(c.price), "9.50"])  # fmt: skip


@FOURTH
def checklist_in_a_word_table(w: World) -> File:
    cards = w.cards(12, w.set())
    lines = [cards[0].set, "", "No.\tPlayer\tTeam\tTick"]
    lines += [f"{c.number}\t{c.name}\t{c.team}\t□" for c in cards]
    return File("word.txt", text(lines, enc="cp1252" if False else "utf-8"), cards)


@FOURTH
def sections_in_capitals_in_text(w: World) -> File:
    s = w.set()
    base = w.cards(8, s)
    more = w.cards(5, s, fmt="TT-{}", subset="TOWN TALES")
    lines = [s, "BASE CARDS", *(f"{c.number}\t{c.name}\t{c.team}" for c in base), ""]
    lines += ["TOWN TALES", *(f"{c.number}\t{c.name}\t{c.team}" for c in more)]
    return File("sec.txt", text(lines), base + more)


@FOURTH
def odds_below_section(w: World) -> File:
    s = w.set()
    base = w.cards(8, s)
    more = w.cards(5, s, fmt="M{}", subset="Meteor Men")
    lines = [f"{s} checklist", *(f"{c.number} {c.name}, {c.team}" for c in base), ""]
    lines += ["Meteor Men", "(1 in 24 packs)", *(f"{c.number} {c.name}, {c.team}" for c in more)]
    return File("odds.txt", text(lines), base + more)


@FOURTH
def year_heading_then_set_heading(w: World) -> File:
    one, two = w.cards(6, w.set(1988)), w.cards(6, w.set(1989))
    lines = []
    for some in (one, two):
        lines += [some[0].set[:4], some[0].set[5:], *(f"{c.number} {c.name}" for c in some), ""]
    return File("y.txt", text(lines), with_each(one + two, team=""))


@FOURTH
def dates_of_purchase(w: World) -> File:
    cards = w.cards(14, w.set(), price=True)
    return tabled("log.csv", cards,
                  ["Bought", "From", "Set", "No", "Player", "Paid", "Value"],
                  lambda c: ["3/4/2021", "a fair", c.set, c.number, c.name, "1.00",
                             of_money(c.price)],
                  meant=with_each(cards, team=""))  # fmt: skip


@FOURTH
def colours_as_sections_in_table(w: World) -> File:
    one, two = w.cols(2)
    cards = [replace(c, pars=((one, 50), (two, 10))) for c in w.cards(6, w.set())]
    rows: list[list[Any]] = [["No.", "Player", "Team"]]
    rows += [[c.number, c.name, c.team] for c in cards]
    for name, run in ((one, 50), (two, 10)):
        rows += [[f"{name} /{run}", "", ""], *([c.number, c.name, c.team] for c in cards)]
    return File(f"{cards[0].set}.csv", table(rows), cards)


@FOURTH
def sheet_called_as_list_of_sets(w: World) -> File:
    one, two = w.cards(6, w.set(1970)), w.cards(6, w.set(1971))
    pages = {some[0].set: grid([["#", "Player", "Team"]] + [[int(c.number), c.name, c.team]
             for c in some]) for some in (one, two)}  # fmt: skip
    return File("sets.xlsx", book(pages), one + two)


@FOURTH
def franchise_column(w: World) -> File:
    cards = w.cards(14, w.set())
    return tabled(f"{cards[0].set}.csv", cards, ["Card No", "Card Name", "Franchise", "Pos"],
                  lambda c: [c.number, c.name, c.team, "LW"])  # fmt: skip


@FOURTH
def bullets_and_tabs(w: World) -> File:
    cards = w.cards(14, w.set())
    return typed("bul.txt", cards, lambda c: f"•\t{c.number}\t{c.name}\t{c.team}", [cards[0].set])


@FOURTH
def hash_and_pipe(w: World) -> File:
    cards = w.cards(14, w.set())
    return typed("pipe.txt", cards, lambda c: f"#{c.number} | {c.name} | {c.team}",
                 [f"** {cards[0].set} **"])  # fmt: skip


@FOURTH
def trailing_rookie_words(w: World) -> File:
    cards = w.cards(14, w.set())
    return tabled(f"{cards[0].set}.csv", cards, ["#", "Name", "Team"],
                  lambda c: [c.number, c.name + (" (Rookie)" if int(c.number) % 5 == 0 else ""),
                             c.team])  # fmt: skip


@FOURTH
def numbers_not_in_order_with_gaps(w: World) -> File:
    cards = w.cards(20, w.set())
    w.r.shuffle(cards)
    return tabled("want.csv", cards[:12], ["Needed", "Number", "Name", "Side"],
                  lambda c: ["x", c.number, c.name, c.team], above=[[cards[0].set]])  # fmt: skip
