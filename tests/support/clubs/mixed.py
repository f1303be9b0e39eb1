"""Lists of all kinds, counted before anything was done for them."""

from __future__ import annotations

from dataclasses import replace

from support.clubs.world import File, Row, World, shape, with_each
from support.clubs.writers import book, grid, table, text


@shape
def year_merged_set_blank(w: World) -> File:
    s = w.set(y=False)
    A = w.cards(7, f"1987 {s}")
    B = w.cards(7, f"1988 {s}")
    g = (
        [["Year", "Set", "No.", "Player", "Team"]]
        + [
            [1987 if i == 0 else None, s if i == 0 else None, int(r.number), r.name, r.team]
            for i, r in enumerate(A)
        ]
        + [[1988 if i == 0 else None, None, int(r.number), r.name, r.team] for i, r in enumerate(B)]
    )
    return File("ym.xlsx", book({"Tabelle1": grid(g)}), A + B)


@shape
def variation_rows(w: World) -> File:
    s = w.set()
    c = []
    g = [["Set", "Card", "Name", "Team", "Variation", "/"]]
    x = w.cols(1)[0]
    for r in w.cards(12, s):
        c.append(
            replace(r, pars=((x, 75), ("Error", None)) if int(r.number) % 4 == 0 else ((x, 75),))
        )
        g.append([s, r.number, r.name, r.team, "", ""])
        g.append([s, r.number, r.name, r.team, x, 75])
        if int(r.number) % 4 == 0:
            g.append([s, r.number, r.name, r.team, "Error", ""])
    return File("vr.csv", table(g), c)


@shape
def title_2_blank_then_header_footer(w: World) -> File:
    s = w.set()
    c = w.cards(12, s, price=True)
    g = (
        [
            [f"{s.upper()} — COMPLETE CHECKLIST"],
            ["Compiled by: J. Harrow"],
            [None],
            [None],
            ["Card No", "Player", "Club", "Book value (USD)"],
        ]
        + [[int(r.number), r.name, r.team, r.price] for r in c]
        + [
            [None],
            ["Total cards:", 12],
            ["Total value:", None, None, sum(r.price for r in c)],
            ["© the author 2011"],
        ]
    )
    return File("cc.xlsx", book({"Checklist": grid(g)}), with_each(c, set=s.upper()))


@shape
def finish_col_multi(w: World) -> File:
    s = w.set()
    x, y = w.cols(2)
    c = []
    g = [["Release", "#", "Card", "Team", "Finish", "Print run"]]
    for r in w.cards(10, s):
        c.append(replace(r, pars=((x, None), (y, 20))))
        g += [
            [s, r.number, r.name, r.team, "Regular", ""],
            [s, r.number, r.name, r.team, x, ""],
            [s, r.number, r.name, r.team, y, "20"],
        ]
    return File(
        "fc.csv", table(g), c, also=[[replace(r, pars=(("Regular", None), *r.pars)) for r in c]]
    )


@shape
def subset_suit(w: World) -> File:
    s = w.set()
    c = [
        Row(s, str(n), w.name(), "", (), None, k)
        for k in ("Hearts", "Spades", "Clubs")
        for n in range(2, 8)
    ]
    return File(
        "su.csv",
        table([["Set", "Suit", "No", "Player"]] + [[s, r.subset, r.number, r.name] for r in c]),
        c,
    )


@shape
def number_slash_total_text(w: World) -> File:
    s = w.set()
    c = w.cards(20, s)
    return File(
        "ns.txt",
        text([s] + [f"{r.number}/20 {r.name} ({r.team})" for r in c]),
        c,
        also=[[replace(r, number=f"{r.number}/20") for r in c]],
    )


@shape
def dash_team_dash_rc(w: World) -> File:
    s = w.set()
    c = w.cards(20, s)
    return File(
        "dr.txt",
        text(
            [s]
            + [
                f"{r.number} - {r.name} - {r.team}" + (" - RC" if int(r.number) % 3 == 0 else "")
                for r in c
            ]
        ),
        c,
    )


@shape
def name_comma_team_comma_pos(w: World) -> File:
    s = w.set()
    c = w.cards(15, s)
    return File(
        "np.txt",
        text(
            [s] + [f"{r.number}. {r.name}, {r.team}, {w.r.choice(['GK', 'DF', 'MF'])}" for r in c]
        ),
        c,
        also=[[replace(r) for r in c]],
        loose={},
    )


@shape
def html_ul(w: World) -> File:
    s = w.set()
    c = w.cards(15, s)
    return File(
        "ul.txt",
        (
            f"<h2>{s}</h2>\n<ul>\n"
            + "".join(f"<li>{r.number} {r.name}, {r.team}</li>\n" for r in c)
            + "</ul>\n"
        ).encode(),
        c,
    )


@shape
def html_entities(w: World) -> File:
    s = w.set()
    c = [
        replace(r, name=r.name.replace(" ", " “Ace” ", 1)) if int(r.number) % 4 == 0 else r
        for r in w.cards(15, s, ascii=True)
    ]
    return File(
        "en.csv",
        table(
            [["Set", "No", "Player", "Team"]]
            + [
                [
                    s,
                    r.number,
                    r.name.replace("“", "&ldquo;").replace("”", "&rdquo;"),
                    r.team.replace(" ", "&nbsp;"),
                ]
                for r in c
            ]
        ),
        c,
    )


@shape
def team_first_col(w: World) -> File:
    s = w.set()
    c = w.cards(15, s)
    return File("tf.txt", text([s] + [f"{r.number}\t{r.team}\t{r.name}" for r in c]), c, loose={})


@shape
def csv_in_txt_semi_title(w: World) -> File:
    s = w.set()
    c = w.cards(15, s)
    return File(
        "x.txt",
        text(
            [f"{s};;;", "Nr;Spieler;Verein;Vorhanden"]
            + [f"{r.number};{r.name};{r.team};{w.r.choice(['ja', 'nein'])}" for r in c]
        ),
        c,
    )


@shape
def two_files_in_one(w: World) -> File:
    s1, s2 = w.set(1980), w.set(1981)
    A = w.cards(8, s1)
    B = w.cards(8, s2)
    return File(
        "t.csv",
        table(
            [[s1], ["No", "Player", "Team"]]
            + [[r.number, r.name, r.team] for r in A]
            + [[], [s2], ["No", "Player", "Team"]]
            + [[r.number, r.name, r.team] for r in B]
        ),
        A + B,
    )


@shape
def want_column_number_only_section(w: World) -> File:
    s = w.set()
    A = w.cards(8, s)
    B = w.cards(4, s, fmt="X{}", subset="Extra Time")
    return File(
        "wn.csv",
        table(
            [["want", "card", "player", "team"], ["", "", "", ""], ["", f"{s}", "", ""]]
            + [["", r.number, r.name, r.team] for r in A]
            + [["", "Extra Time", "", ""]]
            + [["y", r.number, r.name, r.team] for r in B]
        ),
        A + B,
    )


@shape
def print_run_by_parallel_cols(w: World) -> File:
    s = w.set()
    x, y = w.cols(2)
    c = w.cards(10, s, pars=((x, 50), (y, 10)))
    return File(
        "pc.csv",
        table(
            [["Set", "#", "Player", "Team", f"{x} print run", f"{y} print run"]]
            + [[s, r.number, r.name, r.team, 50, 10] for r in c]
        ),
        c,
    )
