"""Tables as programs export them and dealers keep them."""

from __future__ import annotations

import csv
from dataclasses import replace

from support.clubs.world import File, Row, World, of_money, shape
from support.clubs.writers import table, text


@shape
def export_qty(w: World) -> File:
    s = w.set()
    c = w.cards(40, s, price=True)
    return File(
        "collection_export.csv",
        table(
            [["Set", "Card Number", "Player", "Team", "Qty", "Have", "Condition", "Price"]]
            + [
                [
                    s,
                    r.number,
                    r.name,
                    r.team,
                    w.r.randint(0, 4),
                    w.r.choice("YN"),
                    "NM",
                    of_money(r.price),
                ]
                for r in c
            ]
        ),
        c,
    )


@shape
def german_semicolon(w: World) -> File:
    s = w.set()
    c = [
        replace(r, pars=((w.cols(1)[0], w.r.choice([25, 50, 99])),) if i % 5 == 0 else ())
        for i, r in enumerate(w.cards(30, s, price=True, ascii=True))
    ]
    c = [replace(r, name=r.name.replace("Lenka", "Jürgen")) for r in c]
    rows = [["Serie", "Kartennr.", "Spieler", "Verein", "Parallele", "Auflage", "Preis"]]
    for r in c:
        rows.append(
            [
                s,
                r.number,
                r.name,
                r.team,
                r.pars[0][0] if r.pars else "",
                r.pars[0][1] if r.pars else "",
                of_money(r.price).replace(".", ",") + " €",
            ]
        )
    return File("liste_verein.csv", table(rows, ";", "cp1252"), c)


@shape
def shift_jis(w: World) -> File:
    fam = ["星川", "霧島", "海原", "白浪", "鐘崎", "風間谷", "灯台", "氷室沢"]
    giv = ["一路", "健斗", "翼輝", "陽向", "蓮太", "奏介", "岳丸"]
    s = "2001 灯台コレクション"
    nm = [a + b for a in fam for b in giv]
    w.r.shuffle(nm)
    c = [
        Row(
            s,
            f"{i:03d}",
            nm[i],
            w.r.choice(["港ガルズ", "北門オウルズ", "塩原キツネ"]),
            (),
            float(w.r.choice([50, 80, 100, 1200])),
        )
        for i in range(1, 31)
    ]
    return File(
        "list.csv",
        table(
            [["セット", "番号", "選手名", "チーム", "価格"]]
            + [[s, r.number, r.name, r.team, f"{int(r.price):,}円"] for r in c],
            ",",
            "cp932",
        ),
        c,
    )


@shape
def excel_protected(w: World) -> File:
    s = w.set()
    c = w.cards(30, s, fmt="{:03d}")
    L = ["Set,No.,Name,Team"] + [f'{s},"=""{r.number}""",{r.name},{r.team}' for r in c]
    return File("protected.csv", b"\xef\xbb\xbf" + text(L, eol="\r\n"), c)


@shape
def sep_line(w: World) -> File:
    s = w.set()
    c = w.cards(22, s, price=True)
    return File(
        "sep.csv",
        b"sep=;\r\n"
        + table(
            [["Set", "Nr", "Player", "Team", "Price (GBP)"]]
            + [[s, r.number, r.name, r.team, of_money(r.price)] for r in c],
            ";",
        ),
        c,
    )


@shape
def metadata_lines(w: World) -> File:
    s = w.set()
    c = w.cards(35, s)
    return File(
        "coll.csv",
        table(
            [
                ["Collection:", "My cards"],
                ["Exported on", "2024-03-02 18:22"],
                ["Records", "35"],
                [],
                ["Set Name", "Card No", "Subject", "Team", "Location"],
            ]
            + [[s, r.number, r.name, r.team, "Binder 3"] for r in c]
        ),
        c,
    )


@shape
def newline_heading(w: World) -> File:
    s = w.set()
    c = w.cards(20, s, price=True)
    return File(
        "headings.csv",
        table(
            [["Set\nName", "Card\nNumber", "Player\nName", "Team\nName", "Est.\nValue"]]
            + [[s, r.number, r.name, r.team, f"${r.price:,.2f}"] for r in c],
            quoting=csv.QUOTE_ALL,
        ),
        c,
    )


@shape
def total_line(w: World) -> File:
    s = w.set()
    c = w.cards(28, s, price=True)
    t = sum(r.price for r in c)
    return File(
        "priced.csv",
        table(
            [["Set", "Number", "Name", "Team", "Value"]]
            + [[s, r.number, r.name, r.team, of_money(r.price)] for r in c]
            + [["Total", "", "", "", of_money(t)], ["", "Count", "28"]]
        ),
        c,
    )


@shape
def mac_cr(w: World) -> File:
    s = w.set()
    c = w.cards(20, s, ascii=True)
    return File(
        "oldmac.csv",
        table(
            [["set", "number", "player", "team"]] + [[s, r.number, r.name, r.team] for r in c],
            eol="\r",
        ),
        c,
    )


@shape
def row_a_parallel(w: World) -> File:
    s = w.set()
    a, b = w.cols(2)
    c = w.cards(15, s, pars=((a, 50), (b, 10)))
    rows = [["Set", "#", "Player", "Team", "Parallel", "Print Run"]]
    for r in c:
        rows.append([s, r.number, r.name, r.team, "Base", ""])
        for p, n in r.pars:
            rows.append([s, r.number, r.name, r.team, p, n])
    return File("rows.csv", table(rows), c)


@shape
def crosses(w: World) -> File:
    s = w.set()
    a, b, d = w.cols(3)
    c0 = w.cards(24, s)
    c = []
    rows = [["Set", "No", "Name", "Team", a, f"{b} /10", d]]
    for r in c0:
        all_of = ((a, None), (b, 10), (d, None))
        k = [w.r.random() < 0.6 for _ in range(3)]
        c.append(
            replace(
                r,
                pars=tuple(p for p, on in zip(all_of, k, strict=True) if on),
            )
        )
        rows.append([s, r.number, r.name, r.team] + ["x" if on else "" for on in k])
    return File("crosses.csv", table(rows), c)


@shape
def two_header_lines(w: World) -> File:
    s = w.set()
    a, b = w.cols(2)
    c = w.cards(20, s, pars=((a, 50), (b, 10)))
    rows = [["Set", "Card", "Player", "Team", a, b], ["", "no.", "", "", "/50", "/10"]] + [
        [s, r.number, r.name, r.team, "x", "x"] for r in c
    ]
    return File("twohead.csv", table(rows), c)


@shape
def variations_ab(w: World) -> File:
    s = w.set()
    c = w.cards(20, s)
    out = []
    for i, r in enumerate(c):
        out += (
            [replace(r, number=r.number + "a"), replace(r, number=r.number + "b")]
            if i % 6 == 2
            else [r]
        )
    return File(
        "var.csv",
        table([["Set", "Card", "Player", "Team"]] + [[s, r.number, r.name, r.team] for r in out]),
        out,
    )


@shape
def doubles_slash(w: World) -> File:
    s = w.set()
    c = []
    for r in w.cards(24, s):
        if int(r.number) % 4 == 0:
            r = replace(r, name=f"{r.name} / {w.name()}", team=f"{r.team} / {w.teams(1)[0]}")
        c.append(r)
    return File(
        "duals.csv",
        table([["Set", "Number", "Players", "Teams"]] + [[s, r.number, r.name, r.team] for r in c]),
        c,
    )


@shape
def legend_footer(w: World) -> File:
    s = w.set()
    c = w.cards(25, s)
    return File(
        "legend.csv",
        table(
            [["Set", "#", "Name", "Team", "SP"]]
            + [[s, r.number, r.name, r.team, "*" if w.r.random() < 0.2 else ""] for r in c]
            + [[], ["* = short print"], ["RC = rookie card"], ["Source: own binder"]]
        ),
        c,
    )
