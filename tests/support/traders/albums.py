"""The third lot: albums, archives, card games, notes on a telephone, sheets of those who like
spreadsheets."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from support.clubs.world import File, World, of_money, with_each
from support.clubs.writers import book, grid, ods, table, text
from support.traders.kit import Lot, last_first, tabled, typed

THIRD = Lot()


@THIRD
def album_pages(w: World) -> File:
    s = w.set()
    teams = w.teams(3)
    cards = [replace(c, team=teams[at // 6]) for at, c in enumerate(w.cards(18, s))]
    return tabled(
        "album.csv",
        cards,
        ["Page", "Place", "Sticker", "Player", "Team", "Glued"],
        lambda c: [int(c.number) // 6 + 1, int(c.number) % 6, c.number, c.name, c.team, "yes"],
        above=[[f"Album: {s}"]],
    )


@THIRD
def archive_record(w: World) -> File:
    s = w.set(1931)
    cards = w.cards(12, s, team=False)
    return tabled(
        "catalogue.csv",
        cards,
        ["Accession no.", "Issue", "No. in series", "Title", "Printer", "Condition", "Remarks"],
        lambda c: [f"1998.{c.number}", s, c.number, c.name, "Tolvane & Sons", "Fine", ""],
    )


@THIRD
def rarities_of_a_game(w: World) -> File:
    cards = w.cards(16, w.set(y=False), fmt="{:03}", team=False)
    return tabled(
        "game.csv",
        cards,
        ["Name", "Set", "Collector Number", "Rarity", "Condition", "Language", "Foil", "Quantity"],
        lambda c: [c.name, c.set, c.number, w.r.choice(["common", "rare"]), "NM", "en", "false", 2],
    )


@THIRD
def deck_lines(w: World) -> File:
    s = w.set(2015)
    cards = w.cards(12, s, team=False)
    return typed(
        "notes.txt", cards, lambda c: f"{c.number} - {c.name}", [f"📒 {s}", "", "have so far:"]
    )


@THIRD
def telephone_ticks(w: World) -> File:
    cards = w.cards(14, w.set())
    return typed(
        "note.txt",
        cards,
        lambda c: f"{w.r.choice(['✅', '❌'])} {c.number} {c.name} ({c.team})",
        [cards[0].set, ""],
    )


@THIRD
def pivot_of_counts_beside(w: World) -> File:
    cards = w.cards(14, w.set())
    teams = sorted({c.team for c in cards})
    rows: list[list[Any]] = [["No.", "Player", "Team", None, "Row Labels", "Count of No."]]
    for at, c in enumerate(cards):
        side = [teams[at], sum(one.team == teams[at] for one in cards)] if at < len(teams) else []
        rows.append([int(c.number), c.name, c.team, None, *side])
    return File(f"{cards[0].set}.xlsx", book({"Data": grid(rows)}), cards)


@THIRD
def lookup_formulas(w: World) -> File:
    cards = w.cards(12, w.set())
    return tabled(
        f"{cards[0].set}.xlsx",
        cards,
        ["Key", "No.", "Player", "Team"],
        lambda c: [f"{c.set}|{c.number}", int(c.number), c.name, c.team],
    )


@THIRD
def years_and_sets_in_one_cell_below_each_other(w: World) -> File:
    one, two = w.cards(8, w.set(1979)), w.cards(8, w.set(1980))

    def put(page: Any) -> None:
        page.append(["Set", "No.", "Player", "Team"])
        for some in (one, two):
            begin = page.max_row + 1
            for at, c in enumerate(some):
                page.append([c.set.replace(" ", "\n", 1) if not at else None, int(c.number), c.name,
                             c.team])  # fmt: skip
            page.merge_cells(start_row=begin, end_row=page.max_row, start_column=1, end_column=1)

    return File("merged.xlsx", book({"Sheet1": put}), one + two)


@THIRD
def italian_figurine(w: World) -> File:
    cards = w.cards(16, w.set(1978))
    return tabled(
        "mancanti.csv",
        cards,
        ["Figurina n.", "Calciatore", "Squadra", "Album", "Anno", "Doppie"],
        lambda c: [c.number, c.name, c.team, c.set[5:], "1978", w.r.randint(0, 3)],
        write={"delim": ";"},
    )


@THIRD
def polish_and_encoded(w: World) -> File:
    cards = [replace(c, name=c.name.replace("l", "ł", 1)) for c in w.cards(14, w.set(), ascii=True)]
    return tabled(
        f"{cards[0].set}.csv",
        cards,
        ["Numer", "Zawodnik", "Klub", "Cena (zł)"],
        lambda c: [c.number, c.name, c.team, "2,50"],
        write={"delim": ";", "enc": "cp1250"},
        loose={"price": 1},
        must_tell=True,
    )


@THIRD
def checklist_back_of_card(w: World) -> File:
    cards = w.cards(20, w.set(), team=False)
    return typed(
        "back.txt",
        cards,
        lambda c: f"☐ {c.number} {c.name}",
        [f"{cards[0].set.upper()}", "CHECKLIST 1-20"],
        meant=[replace(c, set=c.set.upper()) for c in cards],
        also=[cards],
    )


@THIRD
def hyphen_numbers_and_rounds(w: World) -> File:
    cards = w.cards(8, "", fmt="R1-{}") + w.cards(8, "", fmt="R2-{}")
    s = w.set(2004)
    return tabled(
        "rounds.csv",
        with_each(cards, set=s),
        ["Release", "Card", "Name", "Club"],
        lambda c: [s, c.number, c.name, c.team],
    )


@THIRD
def points_and_teams_behind(w: World) -> File:
    cards = w.cards(15, w.set())
    return typed("dots.txt", cards, lambda c: f"{c.number}. {c.name}. {c.team}.", [cards[0].set])


@THIRD
def team_in_short_before_name(w: World) -> File:
    s, teams = w.set(), ["HAR", "EMB", "NOR", "SAL"]
    cards = [replace(c, team=w.r.choice(teams)) for c in w.cards(16, s)]
    return typed("short.txt", cards, lambda c: f"{c.number} {c.team} {c.name}", [s])


@THIRD
def numbers_behind_a_comma(w: World) -> File:
    cards = w.cards(14, w.set())
    return tabled(
        f"{cards[0].set}.csv", cards, [], lambda c: [c.name, c.team, c.number]
    )  # fmt: skip


@THIRD
def one_parallel_a_sheet(w: World) -> File:
    s = w.set(2012)
    one, two = w.cols(2)
    base = w.cards(10, s)
    cards = [replace(c, pars=((one, None), (two, None))) for c in base]
    lines = [["No.", "Player", "Team"], *([int(c.number), c.name, c.team] for c in base)]
    pages = {"Base": grid(lines), f"{one} Parallel": grid(lines), f"{two} Parallel": grid(lines)}
    return File(f"{s}.xlsx", book(pages), cards)


@THIRD
def serial_and_run_of_copies(w: World) -> File:
    name = w.cols(1)[0]
    cards = [replace(c, pars=((name, 99),)) for c in w.cards(10, w.set(2016))]
    return tabled(
        "mine.csv",
        cards,
        ["Set", "Card", "Player", "Team", "Parallel", "Numbered"],
        lambda c: [c.set, c.number, c.name, c.team, name, f"{w.r.randint(1, 99)}/99"],
    )


@THIRD
def notes_of_gradings(w: World) -> File:
    cards = w.cards(14, w.set(), price=True)
    return tabled(
        "graded.csv",
        cards,
        ["Cert", "Set", "Card", "Subject", "Grade", "Est. value"],
        lambda c: [f"{w.r.randint(10**7, 10**8)}", c.set, c.number, c.name, w.r.choice([7, 8, 9]),
                   f"${of_money(c.price)}"],
        meant=with_each(cards, team=""),
    )  # fmt: skip


@THIRD
def two_titles_and_subtitle(w: World) -> File:
    cards = w.cards(14, w.set(1983))
    return tabled(
        "club.csv",
        cards,
        ["Number", "Player", "Team"],
        lambda c: [c.number, c.name, c.team],
        above=[["Harrowgate Card Club"], [cards[0].set], ["Base set, issued in packs of ten"], []],
    )


@THIRD
def no_title_but_heads_in_capitals(w: World) -> File:
    cards = w.cards(14, w.set(1990))
    return tabled(
        "EXPORT.CSV.txt",
        cards,
        ["SET_YEAR", "SET_DESC", "CARD_NBR", "PLAYER_LAST", "PLAYER_FIRST", "TEAM_DESC"],
        lambda c: ["1990", c.set[5:].upper(), c.number, c.name.split(" ", 1)[1].upper(),
                   c.name.split(" ", 1)[0].upper(), c.team.upper()],
        meant=[replace(c, set=c.set.upper(), name=c.name.upper(), team=c.team.upper())
               for c in cards],
    )  # fmt: skip


@THIRD
def team_and_city_apart(w: World) -> File:
    cards = w.cards(14, w.set())
    return tabled(
        f"{cards[0].set}.csv",
        cards,
        ["#", "Player", "City", "Nickname"],
        lambda c: [c.number, c.name, *c.team.split(" ")],
    )


@THIRD
def prices_with_shop_words(w: World) -> File:
    cards = w.cards(14, w.set(), price=True)
    return typed(
        "offer.txt",
        cards,
        lambda c: f"#{c.number} {c.name} - {c.team} - €{of_money(c.price)} each",
        [f"FOR SALE: {cards[0].set}", "postage extra", ""],
    )


@THIRD
def long_sheet_with_breaks(w: World) -> File:
    cards = w.cards(24, w.set())
    rows: list[list[Any]] = []
    for at in range(0, 24, 8):
        rows += [[f"{cards[0].set} (page {at // 8 + 1})"], ["No.", "Player", "Team"]]
        rows += [[int(c.number), c.name, c.team] for c in cards[at : at + 8]] + [[]]
    return File("pages.xlsx", book({"Sheet1": grid(rows)}), cards)


@THIRD
def spans_of_open_document(w: World) -> File:
    cards = w.cards(12, w.set())
    rows: list[list[Any]] = [[("span", cards[0].set, 1, 3)], [None], ["Card", "Name", "Team"]]
    rows += [[int(c.number), c.name, c.team] for c in cards]
    return File("doc.ods", ods({"List": rows}), cards)


@THIRD
def half_of_a_page_each(w: World) -> File:
    cards = w.cards(20, w.set(), ascii=True)
    lines = [cards[0].set]
    for a, b in zip(cards[:10], cards[10:], strict=True):
        left = f"{a.number}. {a.name} ({a.team})"
        lines.append(f"{left:<48}{b.number}. {b.name} ({b.team})")
    return File("halves.txt", text(lines), cards)


@THIRD
def reversed_with_teams(w: World) -> File:
    cards = [replace(c, name=last_first(c.name)) for c in w.cards(14, w.set(), ascii=True)]
    straight = [replace(c, name=" ".join(reversed(c.name.split(", ")))) for c in cards]
    return typed(
        "reversed.txt", cards, lambda c: f"{c.number} {c.name} - {c.team}", [cards[0].set],
        also=[straight],
    )  # fmt: skip


@THIRD
def inserts_by_letter_of_number(w: World) -> File:
    s = w.set(2008)
    cards = w.cards(10, s) + w.cards(5, s, fmt="HR{}", subset="Harbor Reflections")
    cards += w.cards(5, s, fmt="NL{}", subset="Night Lights")

    def cells(c: Any) -> list[Any]:
        return [c.number, c.name, c.team, c.subset]

    return tabled(f"{s}.csv", cards, ["Card #", "Player", "Team", "Insert set"], cells)


@THIRD
def lines_with_quotes_of_names(w: World) -> File:
    cards = [replace(c, name=c.name.replace(" ", ' "Ace" ', 1)) if int(c.number) % 4 == 0 else c
             for c in w.cards(14, w.set(), ascii=True)]  # fmt: skip
    lines = ["number;player;team"] + [f"{c.number};{c.name};{c.team}" for c in cards]
    return File(f"{cards[0].set}.csv", text(lines), cards)


@THIRD
def dash_and_print_run(w: World) -> File:
    cards = [replace(c, pars=((f"/{25 * (int(c.number) % 3 + 1)}", 25 * (int(c.number) % 3 + 1)),))
             for c in w.cards(10, w.set(), fmt="{}")]  # fmt: skip
    return typed(
        "runs.txt", cards, lambda c: f"{c.number} {c.name} - {c.team} #'d {c.pars[0][0]}",
        [cards[0].set],
    )  # fmt: skip


@THIRD
def totals_by_page_and_grand(w: World) -> File:
    cards = w.cards(16, w.set(), price=True)
    rows: list[list[Any]] = [["No.", "Player", "Team", "Price"]]
    for at, c in enumerate(cards, start=1):
        rows.append([c.number, c.name, c.team, of_money(c.price)])
        if at % 8 == 0:
            rows.append(["", "Page total", "", "12.34"])
    return File(f"{cards[0].set}.csv", table([*rows, ["", "Grand total", "", "24.68"]]), cards)


@THIRD
def web_list_of_definitions(w: World) -> File:
    cards = w.cards(12, w.set())
    page = f"<h1>{cards[0].set}</h1>\n<ol>\n" + "".join(
        f"<li>{c.name} <em>({c.team})</em></li>\n" for c in cards
    )
    return File("page.txt", f"{page}</ol>".encode(), cards, must_tell=True, loose={"rows": 1})


@THIRD
def wants_as_a_block(w: World) -> File:
    cards = w.cards(12, w.set(), team=False)
    s = cards[0].set
    lines = [f"{s}: {', '.join(c.number for c in cards)}"]
    return File("wants.txt", text(lines), [], must_tell=True, loose={"rows": 1})


@THIRD
def empty_team_for_some(w: World) -> File:
    cards = [replace(c, team="") if int(c.number) % 3 == 0 else c for c in w.cards(15, w.set())]
    return tabled(
        f"{cards[0].set}.csv", cards, ["Card No.", "Subject", "Affiliation"],
        lambda c: [c.number, c.name, c.team],
    )  # fmt: skip


@THIRD
def heads_with_numbers_of_columns(w: World) -> File:
    cards = w.cards(12, w.set())
    return tabled(
        f"{cards[0].set}.csv",
        cards,
        ["(1) Number", "(2) Name of player", "(3) Name of team"],
        lambda c: [c.number, c.name, c.team],
    )


@THIRD
def dutch_prices_with_dash(w: World) -> File:
    cards = [replace(c, price=float(int(c.number) % 4 + 1)) for c in w.cards(12, w.set())]
    return tabled(
        f"{cards[0].set}.csv",
        cards,
        ["Nr", "Naam", "Ploeg", "Prijs"],
        lambda c: [c.number, c.name, c.team, f"€ {int(c.price or 0)},-"],
        write={"delim": ";", "enc": "utf-8-sig"},
    )


@THIRD
def blocks_with_their_set_in_front(w: World) -> File:
    blocks = [w.cards(5, w.set(year)) for year in (1951, 1952, 1953)]
    rows: list[list[Any]] = []
    for some in blocks:
        rows += [["Set:", some[0].set], ["No.", "Player", "Team"]]
        rows += [[c.number, c.name, c.team] for c in some] + [[]]
    return File("three.csv", table(rows), [c for some in blocks for c in some])


@THIRD
def subset_in_brackets_of_name(w: World) -> File:
    s = w.set()
    cards = w.cards(10, s, team=False) + w.cards(
        4, s, start=11, team=False, subset="League Leaders"
    )
    return tabled(
        f"{s}.csv", cards, ["No.", "Player"],
        lambda c: [c.number, c.name + (f" ({c.subset})" if c.subset else "")],
        also=[[replace(c, name=c.name + (f" ({c.subset})" if c.subset else ""), subset="")
               for c in cards]],
    )  # fmt: skip
