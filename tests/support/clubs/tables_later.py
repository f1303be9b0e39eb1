"""Tables as programs export them and dealers keep them."""

from __future__ import annotations

import csv
from dataclasses import replace

from support.clubs.world import File, Row, World, shape, with_each
from support.clubs.writers import table


@shape
def errors_ref(w: World) -> File:
    s = w.set()
    c = w.cards(15, s)
    return File(
        "ref.csv",
        table(
            [["Set", "No", "Player", "Team"]]
            + [[s, r.number if i != 4 else "#REF!", r.name, r.team] for i, r in enumerate(c)]
        ),
        [r for i, r in enumerate(c) if i != 4],
        must_tell=True,
    )


@shape
def csv_blank_lines_between(w: World) -> File:
    s = w.set()
    c = w.cards(20, s)
    rows = [["Set", "Number", "Player", "Team"]]
    for i, r in enumerate(c):
        rows += [[s, r.number, r.name, r.team]] + ([[]] if i % 5 == 4 else [])
    return File("bl.csv", table(rows), c)


@shape
def team_headings_csv(w: World) -> File:
    s = w.set()
    t = w.teams(4)
    rows = [["#", "Player"]]
    c = []
    n = 1
    for x in t:
        rows.append([f"Team: {x}", ""])
        for r in w.cards(6, s, start=n, team=False):
            c.append(replace(r, team=x))
            rows.append([r.number, r.name])
        n += 6
    return File(f"{s}.csv", table(rows), c)


@shape
def number_dash_year(w: World) -> File:
    s = w.set(y=False)
    c = w.cards(20, f"1999-00 {s}")
    return File(
        "se.csv",
        table(
            [["Season", "Set Name", "Card Number", "Card Name", "Club"]]
            + [["1999-00", s, r.number, r.name, r.team] for r in c]
        ),
        c,
    )


@shape
def parallel_col_slash(w: World) -> File:
    s = w.set()
    x = w.cols(1)[0]
    c = [replace(r, pars=((x, 50),) if int(r.number) % 2 else ()) for r in w.cards(20, s)]
    return File(
        "ps.csv",
        table(
            [["Set", "Number", "Player", "Team", "Parallel"]]
            + [[s, r.number, r.name, r.team, f"{x} /50" if r.pars else "Base"] for r in c]
        ),
        c,
    )


@shape
def parallel_of(w: World) -> File:
    s = w.set()
    x, y = w.cols(2)
    c = w.cards(15, s, pars=((x, 99), (y, 1)))
    return File(
        "po.csv",
        table(
            [["Set", "Number", "Player", "Team", "Parallels"]]
            + [[s, r.number, r.name, r.team, f"{x} (#'d to 99); {y} (1 of 1)"] for r in c]
        ),
        c,
    )


@shape
def price_columns_grade(w: World) -> File:
    s = w.set()
    c = w.cards(15, s, price=True)
    return File(
        "gr.csv",
        table(
            [["Set", "No.", "Player", "Team", "Raw Price", "Grade 9", "Grade 10"]]
            + [
                [
                    s,
                    r.number,
                    r.name,
                    r.team,
                    f"${r.price:.2f}",
                    f"${r.price * 3:.2f}",
                    f"${r.price * 9:.2f}",
                ]
                for r in c
            ]
        ),
        c,
        loose={},
    )


@shape
def currency_behind(w: World) -> File:
    s = w.set()
    c = w.cards(15, s, price=True)
    return File(
        "cb.csv",
        table(
            [["Set", "No.", "Player", "Team", "Value"]]
            + [[s, r.number, r.name, r.team, f"{r.price:.2f} £"] for r in c],
            "\t",
        ),
        c,
    )


@shape
def cents(w: World) -> File:
    s = w.set()
    c = [replace(r, price=w.r.choice([0.1, 0.25, 0.5])) for r in w.cards(15, s)]
    return File(
        "ce.csv",
        table(
            [["Set", "No.", "Player", "Team", "Price"]]
            + [[s, r.number, r.name, r.team, f"{round(r.price * 100)}¢"] for r in c]
        ),
        c,
    )


@shape
def notes_lines_csv(w: World) -> File:
    s = w.set()
    c = w.cards(15, s)
    return File(
        "nt.csv",
        table(
            [
                [f"{s} base checklist"],
                ["Compiled by the club, corrections welcome"],
                [],
                ["Card Number", "Player Name", "Team Name"],
            ]
            + [[r.number, r.name, r.team] for r in c]
            + [[], ["SP = short printed card"], ["Last updated: 3/2021"]]
        ),
        c,
    )


@shape
def variation_column(w: World) -> File:
    s = w.set()
    c = []
    rows = [["Set", "Card", "Player", "Team", "Variation"]]
    for r in w.cards(15, s):
        v = int(r.number) % 4 == 0
        c.append(replace(r, pars=(("Night photo", None),) if v else ()))
        rows.append([s, r.number, r.name, r.team, ""])
        if v:
            rows.append([s, r.number, r.name, r.team, "Night photo"])
    return File("vc.csv", table(rows), c)


@shape
def coaches_role(w: World) -> File:
    s = w.set()
    c = w.cards(15, s)
    return File(
        "ro.csv",
        table(
            [["Set", "Card", "Player", "Role", "Team", "Country", "Born"]]
            + [
                [s, r.number, r.name, w.r.choice(["Manager", "Forward"]), r.team, "Norland", "1971"]
                for r in c
            ]
        ),
        c,
    )


@shape
def subset_title_column(w: World) -> File:
    s = w.set()
    a = w.cards(10, s)
    b = w.cards(5, s, subset="Flashback", start=11)
    return File(
        "st.csv",
        table(
            [["Release", "Card Set", "Card #", "Subject", "Team"]]
            + [[s, "Base" if not r.subset else r.subset, r.number, r.name, r.team] for r in a + b]
        ),
        a + b,
        also=[with_each(a, subset="Base") + b],
    )


@shape
def french_semicolon_quotes(w: World) -> File:
    s = w.set()
    c = w.cards(15, s)
    return File(
        "fr.csv",
        table(
            [["Série", "N°", "Joueur", "Club", "État", "Quantité"]]
            + [[s, r.number, r.name, r.team, "TB", 1] for r in c],
            ";",
            "cp1252",
            quoting=csv.QUOTE_ALL,
        ),
        c,
    )


@shape
def japanese_utf8_heads(w: World) -> File:
    s = "2004 灯台"
    c = [
        Row(s, str(i), n, "港クラブ")
        for i, n in enumerate(
            ["星川一路", "霧島健斗", "海原翼輝", "白浪陽向", "鐘崎蓮太", "風間奏介"], 1
        )
    ]
    return File(
        "jp.csv",
        table(
            [["シリーズ", "カード番号", "選手", "球団", "備考"]]
            + [[s, r.number, r.name, r.team, ""] for r in c]
        ),
        c,
    )


@shape
def index_no_number(w: World) -> File:
    "names only, one per line under a title, no numbers: found by subject; must be told"
    s = w.set()
    c = [replace(r, number="") for r in w.cards(12, s)]
    return File(
        "nn.csv",
        table([["Set", "Player", "Team"]] + [[s, r.name, r.team] for r in c]),
        c,
        must_tell=True,
    )


@shape
def numbers_as_text_apostrophe(w: World) -> File:
    s = w.set()
    c = w.cards(15, s, fmt="{:02d}")
    return File(
        "ap.csv",
        table(
            [["Set", "Number", "Name", "Team"]] + [[s, "'" + r.number, r.name, r.team] for r in c]
        ),
        c,
    )
