"""Lists of all kinds, counted before anything was done for them."""

from __future__ import annotations

import unicodedata
from dataclasses import replace

from support.clubs.world import File, World, of_money, shape
from support.clubs.writers import book, grid, table, text


@shape
def parallel_prices(w: World) -> File:
    s = w.set()
    x, y = w.cols(2)
    c = w.cards(10, s, pars=((x, None), (y, None)), price=True)
    return File(
        "pp.csv",
        table(
            [["Set", "#", "Player", "Team", "Base", x, y]]
            + [
                [
                    s,
                    r.number,
                    r.name,
                    r.team,
                    f"${r.price:.2f}",
                    f"${r.price * 2:.2f}",
                    f"${r.price * 4:.2f}",
                ]
                for r in c
            ]
        ),
        c,
    )


@shape
def spaces_number_blank_subset(w: World) -> File:
    s = w.set()
    c = w.cards(12, s)
    return File(
        "sb.csv",
        table(
            [["  Set ", "Subset", "  Card  #", "Player ", "Team "]]
            + [[f" {s} ", "", f" {r.number} ", f" {r.name} ", f" {r.team}  "] for r in c]
        ),
        c,
    )


@shape
def utf8_latin_mojibake(w: World) -> File:
    s = w.set()
    c = [replace(r, name=r.name.replace("a", "á", 1)) for r in w.cards(12, s, ascii=True)]
    return File(
        "mo.csv",
        table([["Set", "No", "Player", "Team"]] + [[s, r.number, r.name, r.team] for r in c])
        .decode()
        .encode("utf-8")
        .decode("cp1252", "replace")
        .encode("utf-8"),
        [],
        must_tell=True,
        loose={"rows": 1},
    )


@shape
def nfd(w: World) -> File:

    s = w.set()
    c = [replace(r, name=r.name.replace("a", "á", 1)) for r in w.cards(12, s, ascii=True)]
    return File(
        "nf.csv",
        table(
            [["Set", "No", "Player", "Team"]]
            + [[s, r.number, unicodedata.normalize("NFD", r.name), r.team] for r in c]
        ),
        c,
    )


@shape
def thousand_numbers(w: World) -> File:
    s = w.set()
    c = w.cards(8, s, start=997)
    return File(
        "th.csv",
        table(
            [["Set", "No", "Player", "Team"]]
            + [[s, f"{int(r.number):,}", r.name, r.team] for r in c]
        ),
        c,
    )


@shape
def cards_in_columns_wide(w: World) -> File:
    s = w.set()
    c = w.cards(30, s, team=False)
    return File(
        f"{s}.txt",
        text(
            [
                f"{a.number:>3} {a.name:<26}{b.number:>3} {b.name:<26}{d.number:>3} {d.name}"
                for a, b, d in zip(c[:10], c[10:20], c[20:], strict=False)
            ]
        ),
        c,
    )


@shape
def section_counts_colon(w: World) -> File:
    s = w.set()
    A = w.cards(8, s)
    B = w.cards(4, s, start=9, subset="Legends of the Pitch")
    return File(
        "sc.txt",
        text(
            [f"{s}:", f"Base ({len(A)}):"]
            + [f"{r.number} {r.name} ({r.team})" for r in A]
            + [f"Legends of the Pitch ({len(B)}):"]
            + [f"{r.number} {r.name} ({r.team})" for r in B]
        ),
        A + B,
    )


@shape
def quoted_price_eu_thousand(w: World) -> File:
    s = w.set()
    c = [replace(r, price=1250.0) for r in w.cards(10, s)]
    return File(
        "eu.csv",
        table(
            [["Set", "Nr", "Spieler", "Verein", "Preis"]]
            + [[s, r.number, r.name, r.team, "1.250,00 €"] for r in c],
            ";",
        ),
        c,
    )


@shape
def sheet_notes_below(w: World) -> File:
    s = w.set()
    c = w.cards(12, s)
    return File(
        "nb.xlsx",
        book(
            {
                "S": grid(
                    [["Set", "No", "Player", "Team"]]
                    + [[s, int(r.number), r.name, r.team] for r in c]
                    + [
                        [None],
                        [None],
                        ["Notes"],
                        ["Card 4 exists with two backs."],
                        ["Prices to be added"],
                    ]
                )
            }
        ),
        c,
    )


@shape
def index_letter_groups(w: World) -> File:
    s = w.set()
    c = sorted(w.cards(15, s, ascii=True), key=lambda r: r.name.split()[-1])
    g = [["No", "Player", "Team"]]
    last = ""
    for r in c:
        k = r.name.split()[-1][0]
        if k != last:
            g.append([k, "", ""])
            last = k
        g.append([r.number, r.name, r.team])
    return File(f"{s}.csv", table(g), c)


@shape
def reverse_two_line_header_units(w: World) -> File:
    s = w.set()
    c = w.cards(12, s, price=True)
    return File(
        "un.csv",
        table(
            [["Set", "Card", "Player", "Team", "Price"], ["", "(no.)", "(name)", "(club)", "(EUR)"]]
            + [[s, r.number, r.name, r.team, of_money(r.price)] for r in c]
        ),
        c,
    )


@shape
def have_numbers_star(w: World) -> File:
    s = w.set()
    c = w.cards(12, s)
    return File(
        "hs.txt",
        text(
            [s, "(* = have)"]
            + [f"{'*' if w.r.random() < 0.4 else ' '} {r.number} {r.name}, {r.team}" for r in c]
        ),
        c,
    )


@shape
def dots_number_price(w: World) -> File:
    s = w.set()
    c = w.cards(12, s, price=True, team=False)
    return File(
        "dp.txt", text([s] + [f"{r.number} {r.name} {'.' * 10} ${r.price:.2f}" for r in c]), c
    )


@shape
def set_then_inserts_then_set(w: World) -> File:
    s1, s2 = w.set(1993), w.set(1994)
    a = w.cards(8, s1)
    b = w.cards(4, s1, fmt="PP{}", subset="Power Play")
    c = w.cards(8, s2)
    d = w.cards(4, s2, fmt="PP{}", subset="Power Play")

    def f(r):
        return f"{r.number} {r.name}, {r.team}"

    return File(
        "all.txt",
        text(
            [
                s1,
                *list(map(f, a)),
                "",
                "Power Play",
                *list(map(f, b)),
                "",
                s2,
                *list(map(f, c)),
                "",
                "Power Play",
                *list(map(f, d)),
            ]
        ),
        a + b + c + d,
    )


@shape
def csv_sets_and_sections(w: World) -> File:
    s1, s2 = w.set(1993), w.set(1994)
    a = w.cards(6, s1)
    b = w.cards(4, s1, fmt="R{}", subset="Rookie Class")
    c = w.cards(6, s2)

    def r_(r):
        return [r.number, r.name, r.team]

    return File(
        "my.csv",
        table(
            [
                ["Card", "Player", "Club"],
                [s1],
                *list(map(r_, a)),
                ["Rookie Class"],
                *list(map(r_, b)),
                [s2],
                *list(map(r_, c)),
            ]
        ),
        a + b + c,
    )
