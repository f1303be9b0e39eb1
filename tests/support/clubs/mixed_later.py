"""Lists of all kinds, counted before anything was done for them."""

from __future__ import annotations

from dataclasses import replace

from support.clubs.world import File, World, of_money, shape, with_each
from support.clubs.writers import book, grid, ods, table, text


@shape
def xlsx_sheet_per_subset_title(w: World) -> File:
    s = w.set()
    a = w.cards(8, s)
    b = w.cards(5, s, fmt="GM-{}", subset="Game Makers")
    return File(
        "x.xlsx",
        book(
            {
                "Base Set": grid(
                    [[s], ["#", "Player", "Team"]] + [[int(r.number), r.name, r.team] for r in a]
                ),
                "Game Makers": grid(
                    [[s], ["#", "Player", "Team"]] + [[r.number, r.name, r.team] for r in b]
                ),
            }
        ),
        a + b,
    )


@shape
def parallel_sections_csv(w: World) -> File:
    s = w.set()
    x = w.cols(1)[0]
    c = w.cards(8, s, pars=((x, 50),))

    def r_(r):
        return [s, r.number, r.name, r.team]

    return File(
        "p.csv",
        table(
            [
                ["Set", "Card", "Player", "Team"],
                *list(map(r_, c)),
                [f"{x} Parallel /50"],
                *list(map(r_, c)),
            ]
        ),
        c,
    )


@shape
def trailing_team_abbrev(w: World) -> File:
    s = w.set()
    ab = ["HBG", "EMO", "NGC", "SMF"]
    c = [replace(r, team=w.r.choice(ab)) for r in w.cards(16, s)]
    return File(
        "ab.txt",
        text([s] + [f"{r.number} {r.name} {r.team}" for r in c]),
        c,
        also=[[replace(r, name=f"{r.name} {r.team}", team="") for r in c]],
    )


@shape
def dup_header_cells(w: World) -> File:
    s = w.set()
    c = w.cards(10, s)
    return File(
        "dh.csv",
        table(
            [["Name", "Name", "Number", "Team", "Set"]]
            + [[r.name, "", r.number, r.team, s] for r in c]
        ),
        c,
    )


@shape
def full_name_plus_first_last(w: World) -> File:
    s = w.set()
    c = w.cards(10, s, ascii=True)
    return File(
        "fn.csv",
        table(
            [["set", "number", "full name", "first name", "last name", "team"]]
            + [[s, r.number, r.name, *r.name.split(" ", 1), r.team] for r in c]
        ),
        c,
    )


@shape
def number_sort_key(w: World) -> File:
    s = w.set()
    c = w.cards(10, s, fmt="T{}")
    return File(
        "sk.csv",
        table(
            [["Sort", "Set", "Card Number", "Player", "Team"]]
            + [[i * 10, s, r.number, r.name, r.team] for i, r in enumerate(c)]
        ),
        c,
    )


@shape
def prices_two_currencies(w: World) -> File:
    s = w.set()
    c = w.cards(10, s, price=True)
    return File(
        "2c.csv",
        table(
            [["Set", "No", "Player", "Team", "Price EUR", "Price USD"]]
            + [[s, r.number, r.name, r.team, of_money(r.price), of_money(r.price * 1.1)] for r in c]
        ),
        c,
    )


@shape
def paid_and_value(w: World) -> File:
    s = w.set()
    c = w.cards(10, s, price=True)
    return File(
        "pv.csv",
        table(
            [["Set", "No", "Player", "Team", "Paid", "Value"]]
            + [[s, r.number, r.name, r.team, "0.05", of_money(r.price)] for r in c]
        ),
        c,
    )


@shape
def bold_md_sections(w: World) -> File:
    s = w.set()
    a = w.cards(6, s)
    b = w.cards(4, s, start=7, subset="Coaches")
    return File(
        "m.md.txt",
        text(
            [f"# {s}", "", "## Base", ""]
            + [f"* {r.number} – {r.name} ({r.team})" for r in a]
            + ["", "## Coaches", ""]
            + [f"* {r.number} – {r.name} ({r.team})" for r in b]
        ),
        a + b,
    )


@shape
def forum_code_table(w: World) -> File:
    s = w.set()
    c = w.cards(10, s)
    return File(
        "fc.txt",
        text(
            [f"[size=150]{s}[/size]", "[code]"]
            + [f"{r.number:>3}  {r.name:<28} {r.team}" for r in c]
            + ["[/code]"]
        ),
        c,
    )


@shape
def outline_numbers(w: World) -> File:
    s = w.set()
    c = w.cards(10, s)
    return File("o.txt", text([s] + [f"{r.number}) {r.name}; {r.team}" for r in c]), c)


@shape
def number_behind_paren(w: World) -> File:
    s = w.set()
    c = w.cards(10, s, team=False)
    return File("nb.txt", text([s] + [f"{r.name} ({r.number})" for r in c]), c)


@shape
def short_year(w: World) -> File:
    s = w.set(y=False)
    c = w.cards(10, f"1987 {s}")
    return File(
        "sy.csv",
        table(
            [["Yr", "Set", "#", "Player", "Team"]]
            + [["87", s, r.number, r.name, r.team] for r in c]
        ),
        c,
        also=[with_each(c, set=f"87 {s}"), with_each(c, set=f"'87 {s}")],
    )


@shape
def team_col_city_nick(w: World) -> File:
    s = w.set()
    c = w.cards(10, s)
    return File(
        "cn.csv",
        table(
            [["Set", "#", "Player", "City", "Nickname"]]
            + [[s, r.number, r.name, r.team.split()[0], r.team.split()[1]] for r in c]
        ),
        with_each(c, team=""),
        also=[c],
    )


@shape
def box_breakdown(w: World) -> File:
    s = w.set()
    a = w.cards(6, s)
    b = w.cards(3, s, fmt="BT{}", subset="Box Toppers")
    return File(
        "bb.txt",
        text(
            [
                s,
                "Release date: March 3",
                "36 packs per box, 10 cards per pack",
                "",
                "BASE (6 CARDS)",
            ]
            + [f"{r.number} {r.name} - {r.team}" for r in a]
            + ["", "BOX TOPPERS (3 CARDS) - one per box"]
            + [f"{r.number} {r.name} - {r.team}" for r in b]
        ),
        a + b,
    )


@shape
def numbered_to_line_in_section(w: World) -> File:
    s = w.set()
    a = w.cards(6, s)
    b = w.cards(4, s, fmt="SS-{}", subset="Silver Screen")
    b = [replace(r, pars=(("/99", 99),)) for r in b]
    return File(
        "nt.txt",
        text(
            [s]
            + [f"{r.number} {r.name} - {r.team}" for r in a]
            + ["", "Silver Screen (#/99)"]
            + [f"{r.number} {r.name} - {r.team}" for r in b]
        ),
        a + b,
        loose={"pars": 1},
    )


@shape
def ods_two_sets_side(w: World) -> File:
    s = w.set()
    c = w.cards(12, s)
    return File(
        f"{s}.ods",
        ods(
            {
                "A": [["Nr.", "Name", "Team", "", "Nr.", "Name", "Team"]]
                + [
                    [int(a.number), a.name, a.team, None, int(b.number), b.name, b.team]
                    for a, b in zip(c[:6], c[6:], strict=False)
                ]
            }
        ),
        c,
    )
