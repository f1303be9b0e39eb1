"""Tables as programs export them and dealers keep them."""

from __future__ import annotations

from dataclasses import replace

from support.clubs.world import File, World, of_money, shape
from support.clubs.writers import table


@shape
def dutch_variants(w: World) -> File:
    s = w.set()
    x = w.cols(1)[0]
    c = [replace(r, pars=((x, 40),)) for r in w.cards(20, s)]
    return File(
        "nl.csv",
        table(
            [["Reeks", "Kaartnummer", "Naam", "Ploeg", "Variant", "Oplage"]]
            + [[s, r.number, r.name, r.team, x, 40] for r in c],
            ";",
        ),
        c,
    )


@shape
def last_comma_first(w: World) -> File:
    s = w.set()
    c = w.cards(20, s, ascii=True)
    k = [replace(r, name=", ".join(reversed(r.name.split(" ", 1)))) for r in c]
    return File(
        "lcf.csv",
        table([["Set", "No", "Player", "Team"]] + [[s, r.number, r.name, r.team] for r in k]),
        k,
        also=[c],
    )


@shape
def year_season(w: World) -> File:
    s = w.set(y=False)
    a = w.cards(12, f"1987-88 {s}")
    b = w.cards(12, f"1988-89 {s}")
    return File(
        "seasons.csv",
        table(
            [["Season", "Set", "Card #", "Player", "Team"]]
            + [[r.set[:7], s, r.number, r.name, r.team] for r in a + b]
        ),
        a + b,
    )


@shape
def gold_runs_cells(w: World) -> File:
    s = w.set()
    x, y = w.cols(2)
    c = []
    for r in w.cards(20, s):
        c.append(
            replace(
                r, pars=((x, w.r.choice([25, 50, 99])), (y, 10)) if int(r.number) % 2 else ((y, 5),)
            )
        )
    return File(
        "runs.csv",
        table(
            [["Set", "No", "Player", "Team", x, y]]
            + [
                [
                    s,
                    r.number,
                    r.name,
                    r.team,
                    (f"/{r.pars[0][1]}" if len(r.pars) == 2 else ""),
                    f"/{r.pars[-1][1]}",
                ]
                for r in c
            ]
        ),
        c,
    )


@shape
def have_want_cols(w: World) -> File:
    s = w.set()
    c = w.cards(30, s)
    return File(
        "hw.csv",
        table(
            [["Have", "Want", "#", "Player", "Team", "Set", "Dupes"]]
            + [
                [
                    "x" if w.r.random() < 0.6 else "",
                    "",
                    f"{r.number}",
                    r.name,
                    r.team,
                    s,
                    w.r.choice(["", "2", ""]),
                ]
                for r in c
            ]
        ),
        c,
    )


@shape
def reverse_order(w: World) -> File:
    s = w.set()
    c = list(reversed(w.cards(30, s)))
    return File(
        "back.csv",
        table([["Set", "Number", "Player", "Team"]] + [[s, r.number, r.name, r.team] for r in c]),
        c,
    )


@shape
def empty_columns(w: World) -> File:
    s = w.set()
    c = w.cards(20, s)
    return File(
        "empty.csv",
        table(
            [["", "Set", "", "No", "", "Player", "Team", ""]]
            + [["", s, "", r.number, "", r.name, r.team, ""] for r in c]
        ),
        c,
    )


@shape
def serial_format_header(w: World) -> File:
    s = w.set()
    x, y = w.cols(2)
    c = w.cards(18, s, pars=((x, 199), (y, 25)))
    return File(
        "hd.csv",
        table(
            [["Set", "Card #", "Player", "Team", f"{x} (/199)", f"{y} (#/25)"]]
            + [[s, r.number, r.name, r.team, "✓", "✓"] for r in c]
        ),
        c,
    )


@shape
def yes_no(w: World) -> File:
    s = w.set()
    x, y = w.cols(2)
    c = []
    rows = [["Set", "Card #", "Player", "Team", x, y]]
    for r in w.cards(20, s):
        k = [w.r.random() < 0.5 for _ in (x, y)]
        c.append(replace(r, pars=tuple((n, None) for n, o in zip((x, y), k, strict=False) if o)))
        rows.append([s, r.number, r.name, r.team] + ["Yes" if o else "No" for o in k])
    return File("yn.csv", table(rows), c)


@shape
def have_and_parallel(w: World) -> File:
    "Have column with x must not be a parallel."
    s = w.set()
    x = w.cols(1)[0]
    c = w.cards(20, s)
    c = [replace(r, pars=((x, None),) if int(r.number) % 2 else ()) for r in c]
    return File(
        "hp.csv",
        table(
            [["Set", "No", "Player", "Team", "Own it?", x]]
            + [
                [
                    s,
                    r.number,
                    r.name,
                    r.team,
                    "x" if w.r.random() < 0.5 else "",
                    "x" if r.pars else "",
                ]
                for r in c
            ]
        ),
        c,
    )


@shape
def three_side(w: World) -> File:
    s = w.set()
    c = w.cards(30, s)
    A, B, C = c[:10], c[10:20], c[20:]
    rows = [["#", "Name", "Team"] * 3] + [
        [x for r in t for x in (r.number, r.name, r.team)] for t in zip(A, B, C, strict=False)
    ]
    return File(f"{s}.csv", table(rows), c)


@shape
def total_middle(w: World) -> File:
    s = w.set()
    a = w.cards(10, s, price=True)
    b = w.cards(10, s, start=11, price=True)
    rows = [["Set", "No", "Player", "Team", "Price"]]
    for c in (a, b):
        rows += [[s, r.number, r.name, r.team, of_money(r.price)] for r in c] + [
            ["", "", "Subtotal", "", of_money(sum(r.price for r in c))]
        ]
    rows += [["", "", "Grand Total", "", of_money(sum(r.price for r in a + b))]]
    return File("sub.csv", table(rows), a + b)


@shape
def name_team_bracket_cell(w: World) -> File:
    s = w.set()
    c = w.cards(20, s)
    return File(
        "cell.csv",
        table(
            [["Set", "Card", "Description"]] + [[s, r.number, f"{r.name} ({r.team})"] for r in c]
        ),
        c,
    )


@shape
def listing_titles(w: World) -> File:
    s = w.set()
    c = w.cards(20, s, price=True)
    return File(
        "listings.csv",
        table(
            [["Title", "Price", "Qty"]]
            + [
                [
                    f"{s} #{r.number} {r.name} {'RC ' if int(r.number) % 4 == 0 else ''}- {r.team}",
                    of_money(r.price),
                    1,
                ]
                for r in c
            ]
        ),
        c,
    )


@shape
def last_first_upper(w: World) -> File:
    s = w.set()
    c = w.cards(20, s, ascii=True)
    k = [replace(r, name=f"{r.name.split(' ', 1)[1].upper()} {r.name.split(' ', 1)[0]}") for r in c]
    return File(
        "lf.csv",
        table([["Set", "No", "Player", "Team"]] + [[s, r.number, r.name, r.team] for r in k]),
        k,
        also=[c],
    )


@shape
def dual_lines(w: World) -> File:
    s = w.set()
    c = []
    for r in w.cards(20, s, team=False):
        if int(r.number) % 5 == 0:
            r = replace(r, name=f"{r.name} & {w.name()}")
        c.append(r)
    return File("dl.csv", table([["Set", "#", "Subject"]] + [[s, r.number, r.name] for r in c]), c)
