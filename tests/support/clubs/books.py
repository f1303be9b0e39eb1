"""Workbooks as clubs and shops keep them."""

from __future__ import annotations

import datetime
import functools
import operator

from support.clubs.world import File, World, shape
from support.clubs.writers import COVER, book, cached, grid, ods


@shape
def merged_set(w: World) -> File:
    s1, s2 = w.set(1988), w.set(1991)
    a = w.cards(12, s1)
    b = w.cards(14, s2)

    def then(ws):
        ws.merge_cells("A2:A13")
        ws.merge_cells("A14:A27")

    g = (
        [["Set", "No.", "Player", "Team"]]
        + [[s1 if i == 0 else None, int(r.number), r.name, r.team] for i, r in enumerate(a)]
        + [[s2 if i == 0 else None, int(r.number), r.name, r.team] for i, r in enumerate(b)]
    )
    return File("merged.xlsx", book({"Sheet1": grid(g, then)}), a + b)


@shape
def sheets_by_set(w: World) -> File:
    s1, s2, s3 = w.set(1988), w.set(1991), w.set(2003)
    C = [w.cards(10, s) for s in (s1, s2, s3)]
    return File(
        "mybinder.xlsx",
        book(
            {
                s: grid(
                    [["Number", "Player", "Team"]] + [[int(r.number), r.name, r.team] for r in c]
                )
                for s, c in zip((s1, s2, s3), C, strict=False)
            }
        ),
        functools.reduce(operator.iadd, C, []),
    )


@shape
def hidden_rows(w: World) -> File:
    s = w.set()
    c = w.cards(30, s)

    def then(ws):
        for i in range(5, 15):
            ws.row_dimensions[i].hidden = True
        ws.auto_filter.ref = "A1:D31"
        ws.column_dimensions["E"].hidden = True

    return File(
        "filtered.xlsx",
        book(
            {
                "List": grid(
                    [["Set", "No", "Player", "Team", "internal"]]
                    + [[s, int(r.number), r.name, r.team, f"k{i}"] for i, r in enumerate(c)],
                    then,
                )
            }
        ),
        c,
    )


@shape
def number_format_000(w: World) -> File:
    s = w.set()
    c = w.cards(30, s, fmt="{:03d}")

    def then(ws):
        for i in range(2, 32):
            ws.cell(i, 2).number_format = "000"

    return File(
        "fmt.xlsx",
        book(
            {
                "List": grid(
                    [["Set", "No", "Player", "Team"]]
                    + [[s, int(r.number), r.name, r.team] for r in c],
                    then,
                )
            }
        ),
        c,
    )


@shape
def formulas_cached(w: World) -> File:
    s = w.set()
    c = w.cards(15, s, price=True, ascii=True)
    vals = {}
    g = [["Set", "No", "First", "Last", "Player", "Team", "Price"]]
    for i, r in enumerate(c, 2):
        a, b = r.name.split(" ", 1)
        g.append([s, "=ROW()-1", a, b, f'=C{i}&" "&D{i}', r.team, f"=ROUND({r.price},2)"])
        vals[(0, f"B{i}")] = int(r.number)
        vals[(0, f"E{i}")] = r.name
        vals[(0, f"G{i}")] = r.price
    return File("formulas.xlsx", cached(book({"List": grid(g)}), vals), c)


@shape
def dates_damage(w: World) -> File:

    s = w.set()
    c = w.cards(20, s, fmt="A-{}")
    g = [["Set", "No", "Player", "Team"]] + [
        [s, datetime.datetime(2024, 1 + i, 2) if i in (3, 4) else r.number, r.name, r.team]
        for i, r in enumerate(c)
    ]
    return File(
        "dates.xlsx",
        book({"List": grid(g)}),
        [r for i, r in enumerate(c) if i not in (3, 4)],
        must_tell=True,
    )


@shape
def side_by_side(w: World) -> File:
    s = w.set()
    c = w.cards(40, s)
    L, R = c[:20], c[20:]
    g = [[s], [], ["No.", "Player", "Team", None, "No.", "Player", "Team"]] + [
        [int(a.number), a.name, a.team, None, int(b.number), b.name, b.team]
        for a, b in zip(L, R, strict=True)
    ]
    return File("side.xlsx", book({"Sheet1": grid(g)}), c)


@shape
def contents_sheet(w: World) -> File:
    s1, s2 = w.set(1988), w.set(1991)
    C = [w.cards(10, s, price=True) for s in (s1, s2)]
    sh = {
        "Read me": grid(
            [["My checklists"], ["Updated March"], ["Sheet", "What"], ["A", s1], ["B", s2]]
        )
    }
    for n, s, c in zip("AB", (s1, s2), C, strict=False):
        sh[n] = grid(
            [[s], [], ["Card #", "Name", "Club", "Value"]]
            + [[int(r.number), r.name, r.team, r.price] for r in c]
        )
    return File("book.xlsx", book(sh), functools.reduce(operator.iadd, C, []))


@shape
def ods_plain(w: World) -> File:
    s = w.set()
    c = w.cards(25, s, price=True)
    return File(
        "club.ods",
        ods(
            {
                "Blad1": [["Set", "Nummer", "Speler", "Ploeg", "Prijs"]]
                + [[s, int(r.number), r.name, r.team, r.price] for r in c]
            }
        ),
        c,
    )


@shape
def parallels_newlines(w: World) -> File:
    s = w.set()
    x, y, z = w.cols(3)
    c = w.cards(15, s, pars=((x, 50), (y, 10), (z, None)))
    return File(
        "nl.xlsx",
        book(
            {
                "L": grid(
                    [["Set", "No", "Player", "Team", "Parallels"]]
                    + [[s, int(r.number), r.name, r.team, f"{x} /50\n{y} /10\n{z}"] for r in c]
                )
            }
        ),
        c,
    )


@shape
def xlsx_floats(w: World) -> File:
    s = w.set(y=False)
    c = w.cards(20, f"1990 {s}", price=True)

    def then(ws):
        for i in range(2, 22):
            ws.cell(i, 6).number_format = '#,##0.00 "€"'

    return File(
        "floats.xlsx",
        book(
            {
                "Tabelle1": grid(
                    [["Jahr", "Serie", "Nr.", "Spieler", "Mannschaft", "Wert"]]
                    + [[1990.0, s, float(r.number), r.name, r.team, r.price] for r in c],
                    then,
                )
            }
        ),
        c,
    )


@shape
def logo_row(w: World) -> File:
    s = w.set()
    c = w.cards(20, s)

    def then(ws):
        ws.merge_cells("A1:E1")
        ws.merge_cells("A2:E2")
        ws.freeze_panes = "A7"

    g = [
        ["THE CARD CORNER"],
        [s],
        ["All cards guaranteed"],
        [None],
        [None],
        ["No.", "Player", "Team", "Have", "Need"],
    ] + [[int(r.number), r.name, r.team, "x" if w.r.random() < 0.5 else None, None] for r in c]
    return File("shop.xlsx", book({"Sheet1": grid(g, then)}), c)


@shape
def merged_ods(w: World) -> File:
    s1, s2 = w.set(1988), w.set(1999)
    a = w.cards(8, s1)
    b = w.cards(9, s2)
    rows = [["Reihe", "Nr", "Name", "Verein"]]
    for c in (a, b):
        for i, r in enumerate(c):
            rows.append(
                [("span", r.set, len(c), 1) if i == 0 else COVER, int(r.number), r.name, r.team]
            )
    return File("m.ods", ods({"T1": rows}), a + b)


@shape
def several_below(w: World) -> File:
    s1, s2 = w.set(1972), w.set(1975)
    a = w.cards(10, s1)
    b = w.cards(10, s2, price=True)
    g = (
        [[s1], ["No.", "Player", "Team"]]
        + [[int(r.number), r.name, r.team] for r in a]
        + [[], [s2], ["Player", "No.", "Price", "Team"]]
        + [[r.name, int(r.number), r.price, r.team] for r in b]
    )
    return File("below.xlsx", book({"x": grid(g)}), a + b)
