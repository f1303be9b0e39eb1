"""Tables as programs export them and dealers keep them."""

from __future__ import annotations

import csv
from dataclasses import replace

from support.clubs.world import File, Row, World, of_money, shape
from support.clubs.writers import table


@shape
def two_players_cols(w: World) -> File:
    s = w.set()
    c = []
    rows = [["Set", "#", "Player 1", "Player 2", "Team 1", "Team 2"]]
    for r in w.cards(16, s):
        b = w.name()
        t = w.teams(1)[0]
        c.append(replace(r, name=f"{r.name} / {b}", team=f"{r.team} / {t}"))
        rows.append([s, r.number, r.name, b, r.team, t])
    return File("p12.csv", table(rows), c, also=[[replace(r, team=r.team) for r in c]])


@shape
def xls_html(w: World) -> File:
    s = w.set()
    c = w.cards(15, s)
    h = (
        "<table border=1><tr><td>Set</td><td>Number</td><td>Name</td><td>Team</td></tr>"
        + "".join(
            f"<tr><td>{s}</td><td>{r.number}</td><td>{r.name}</td><td>{r.team}</td></tr>" for r in c
        )
        + "</table>"
    )
    return File("export.csv", h.encode("utf-8-sig"), c)


@shape
def letters_prefix_col(w: World) -> File:
    s = w.set()
    c = w.cards(20, s, fmt="HL-{}")
    return File(
        "pre.csv",
        table(
            [["Set", "Prefix", "No", "Player", "Team"]]
            + [[s, "HL-", r.number[3:], r.name, r.team] for r in c]
        ),
        c,
        also=[[replace(r, number=r.number[3:]) for r in c]],
    )


@shape
def print_run_all(w: World) -> File:
    s = w.set()
    x, _y = w.cols(2)
    c = [replace(r, pars=((x, _r0 := w.r.choice([10, 25, 99])),)) for r in w.cards(20, s)]
    return File(
        "pr.csv",
        table(
            [["Product", "Card Number", "Athlete", "Team", "Parallel", "Numbered To"]]
            + [[s, r.number, r.name, r.team, r.pars[0][0], f"/{r.pars[0][1]}"] for r in c]
        ),
        c,
    )


@shape
def serial_column(w: World) -> File:
    "Own copies: the serial number 12/99 beside a parallel."
    s = w.set()
    x = w.cols(1)[0]
    c = [replace(r, pars=((x, 99),)) for r in w.cards(20, s)]
    return File(
        "own.csv",
        table(
            [["Set", "#", "Player", "Team", "Parallel", "Serial #"]]
            + [[s, r.number, r.name, r.team, x, f"{w.r.randint(1, 99)}/99"] for r in c]
        ),
        c,
    )


@shape
def gaps_blank_names(w: World) -> File:
    s = w.set()
    c = w.cards(25, s)
    c = [replace(r, name="", team="") if r.number in ("5", "6") else r for r in c]
    keep = [r for r in c if r.name]
    return File(
        "blank.csv",
        table([["Set", "No", "Player", "Team"]] + [[s, r.number, r.name, r.team] for r in c]),
        keep,
        must_tell=True,
    )


@shape
def dup_rows(w: World) -> File:
    s = w.set()
    c = w.cards(20, s)
    return File(
        "dup.csv",
        table(
            [["Set", "No", "Player", "Team"]] + [[s, r.number, r.name, r.team] for r in [*c, c[4]]]
        ),
        c,
    )


@shape
def number_conflict(w: World) -> File:
    s = w.set()
    c = w.cards(20, s)
    x = replace(c[7], number="7")
    c2 = [*c[:7], x, *c[8:]]
    return File(
        "conf.csv",
        table([["Set", "No", "Player", "Team"]] + [[s, r.number, r.name, r.team] for r in c2]),
        c2,
        must_tell=False,
    )


@shape
def tsv_no_heading_title_file(w: World) -> File:
    s = w.set()
    c = w.cards(20, s)
    return File(
        s.replace(" ", "_") + "_checklist.tsv",
        table([["No", "Player", "Team"]] + [[r.number, r.name, r.team] for r in c], "\t"),
        c,
    )


@shape
def semis_no_quotes_price(w: World) -> File:
    s = w.set()
    c = w.cards(20, s, price=True)
    return File(
        "sp.csv",
        table(
            [["Nr.", "Naam", "Club", "Prijs", "Serie", "Jaar"]]
            + [
                [r.number, r.name, r.team, "€ " + of_money(r.price).replace(".", ","), s[5:], s[:4]]
                for r in c
            ],
            ";",
        ),
        c,
    )


@shape
def utf16be_nobom(w: World) -> File:
    s = w.set()
    c = w.cards(20, s)
    return File(
        "u.csv",
        table(
            [["Set", "No", "Player", "Team"]] + [[s, r.number, r.name, r.team] for r in c],
            ",",
            "utf-16-le",
        ),
        c,
    )


@shape
def mixed_case_sections(w: World) -> File:
    s = w.set()
    a = w.cards(10, s)
    b = w.cards(5, s, fmt="TL{}", subset="Team Leaders")
    return File(
        "mix.csv",
        table(
            [["#", "Player", "Team"]]
            + [[f"{s} - Base Set (10 cards)", "", ""]]
            + [[r.number, r.name, r.team] for r in a]
            + [[f"{s} - Team Leaders (5 cards)", "", ""]]
            + [[r.number, r.name, r.team] for r in b]
        ),
        a + b,
    )


@shape
def set_col_has_subset(w: World) -> File:
    s = w.set()
    a = w.cards(10, s)
    b = w.cards(6, s, fmt="NL-{}", subset="Night Lights")
    return File(
        "dash.csv",
        table(
            [["Set", "Card", "Player", "Team"]]
            + [[f"{s} - {r.subset}" if r.subset else s, r.number, r.name, r.team] for r in a + b]
        ),
        a + b,
    )


@shape
def numbers_hash_prefixed_name(w: World) -> File:
    s = w.set()
    c = w.cards(20, s)
    return File(
        "h.csv", table([["Set", "Card"]] + [[s, f"#{r.number} {r.name} - {r.team}"] for r in c]), c
    )


@shape
def year_split_sets(w: World) -> File:
    s = w.set(y=False)
    a = w.cards(8, f"1985 {s}")
    b = w.cards(8, f"1986 {s}")
    return File(
        "yr.csv",
        table(
            [["YEAR", "BRAND/SET", "CARD#", "PLAYER NAME", "TEAM"]]
            + [
                [r.set[:4] if r is c[0] else "", s if r is c[0] else "", r.number, r.name, r.team]
                for c in (a, b)
                for r in c
            ]
        ),
        a + b,
    )


@shape
def rarity_sections_tcg(w: World) -> File:
    s = "Legends of Moss"
    a = [
        Row(s, str(i), f"{p} {q}")
        for i, (p, q) in enumerate(
            [
                (p, q)
                for p in ("Ember", "Frost", "Gale")
                for q in ("Wyrm", "Sprite", "Golem", "Adept")
            ],
            1,
        )
    ]
    return File(
        "tcg2.csv",
        table(
            [["Card No.", "Card Name", "Type", "Rarity", "Foil", "Set"]]
            + [[r.number, r.name, "Creature", "Common", "No", s] for r in a]
        ),
        a,
    )


@shape
def quoted_semicolon_bom(w: World) -> File:
    s = w.set()
    c = w.cards(20, s, price=True)
    return File(
        "q.csv",
        b"\xef\xbb\xbf"
        + table(
            [["Set", "Nummer", "Spelare", "Lag", "Pris (kr)"]]
            + [[s, r.number, r.name, r.team, of_money(r.price).replace(".", ",")] for r in c],
            ";",
            quoting=csv.QUOTE_ALL,
        ),
        c,
    )
