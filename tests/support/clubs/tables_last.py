"""Tables as programs export them and dealers keep them."""

from __future__ import annotations

from dataclasses import replace

from support.clubs.world import File, Row, World, shape
from support.clubs.writers import table, text


@shape
def percent_done(w: World) -> File:
    s = w.set()
    c = w.cards(15, s)
    return File(
        "pd.csv",
        table(
            [[s, "", "", "Complete:", "40%"], ["#", "Player", "Team", "Got", "Cond"]]
            + [[r.number, r.name, r.team, "1" if w.r.random() < 0.4 else "", "EX"] for r in c]
        ),
        c,
    )


@shape
def page_column_binder(w: World) -> File:
    s = w.set()
    c = w.cards(18, s)
    return File(
        "bi.csv",
        table(
            [["Page", "Slot", "Set", "No.", "Player", "Team"]]
            + [
                [int(r.number) // 9 + 1, int(r.number) % 9 + 1, s, r.number, r.name, r.team]
                for r in c
            ]
        ),
        c,
    )


@shape
def numbers_range_gap_rows(w: World) -> File:
    s = w.set()
    c = [r for r in w.cards(20, s) if r.number not in ("4", "5")]
    rows = [["Set", "No", "Player", "Team"]]
    for r in c:
        rows.append([s, r.number, r.name, r.team])
        if r.number == "3":
            rows.append([s, "4", "", ""])
            rows.append([s, "5", "not issued", ""])
    return File("ni.csv", table(rows), c, must_tell=True)


@shape
def brand_year_in_file(w: World) -> File:
    s = w.set()
    c = w.cards(15, s)
    return File(
        f"{s} checklist.csv",
        table(
            [["Card #", "Athlete(s)", "Team(s)", "Sequence"]]
            + [[r.number, r.name, r.team, ""] for r in c]
        ),
        c,
    )


@shape
def mixed_prefix_sort(w: World) -> File:
    s = w.set()
    c = w.cards(10, s) + w.cards(5, s, fmt="SP{}") + w.cards(5, s, fmt="T-{}")
    w.r.shuffle(c)
    return File(
        "mx.csv",
        table([["Set", "Number", "Player", "Team"]] + [[s, r.number, r.name, r.team] for r in c]),
        c,
    )


@shape
def rc_column_and_sp_suffix(w: World) -> File:
    s = w.set()
    c = w.cards(15, s)
    return File(
        "rc.csv",
        table(
            [["Set", "Number", "Player", "Team", "RC"]]
            + [
                [
                    s,
                    r.number,
                    r.name + (" SP" if int(r.number) > 12 else ""),
                    r.team,
                    "RC" if int(r.number) % 3 == 0 else "",
                ]
                for r in c
            ]
        ),
        c,
    )


@shape
def short_rows_missing_team(w: World) -> File:
    s = w.set()
    c = w.cards(15, s)
    c = [replace(r, team="") if int(r.number) % 4 == 0 else r for r in c]
    return File(
        "sr.csv",
        text(
            ["Set,Number,Player,Team"]
            + [",".join(filter(None, [s, r.number, r.name, r.team])) for r in c]
        ),
        c,
    )


@shape
def puzzle_titles_digits(w: World) -> File:
    s = w.set()
    ti = ["Route 66", "The 7 Gates", "1001 Lanterns", "Area Nine", "Agent 12", "Catch the Wind"]
    c = [Row(s, str(i), t) for i, t in enumerate(ti, 1)]
    return File(
        "dig.csv", table([["Set", "Card", "Title"]] + [[s, r.number, r.name] for r in c]), c
    )


@shape
def dates_all_text(w: World) -> File:
    "a number column turned to dates in a CSV: 2-Jan"
    s = w.set()
    c = w.cards(12, s, fmt="{}-1")
    M = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"]
    return File(
        "dt.csv",
        table(
            [["Set", "No", "Player", "Team"]]
            + [[s, f"1-{M[i]}", r.name, r.team] for i, r in enumerate(c)]
        ),
        [],
        must_tell=True,
        loose={"rows": 1},
    )


@shape
def fraction_lost(w: World) -> File:
    s = w.set()
    c = w.cards(12, s)
    return File(
        "po.csv",
        table(
            [["Set", "No", "Player", "Team"]]
            + [[s, "1E+03" if i == 3 else r.number, r.name, r.team] for i, r in enumerate(c)]
        ),
        [r for i, r in enumerate(c) if i != 3],
        must_tell=True,
    )
