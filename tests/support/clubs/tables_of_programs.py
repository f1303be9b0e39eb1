"""Tables as programs export them and dealers keep them."""

from __future__ import annotations

from dataclasses import replace

from support.clubs.world import File, World, shape, with_each
from support.clubs.writers import table, text


@shape
def repeated_header_csv(w: World) -> File:
    s = w.set()
    c = w.cards(45, s)
    rows = []
    for k in range(0, 45, 15):
        rows += (
            [["No.", "Player", "Team", "Set"]]
            + [[r.number, r.name, r.team, s] for r in c[k : k + 15]]
            + [["", "", f"Page {k // 15 + 1}", ""]]
        )
    return File("rep.csv", table(rows), c)


@shape
def missing_and_checklists(w: World) -> File:
    s = w.set()
    c = w.cards(30, s)
    c = [r for r in c if r.number not in ("7", "13")]
    c = [replace(r, name="Checklist 1-30", team="") if r.number == "30" else r for r in c]
    return File(
        "gaps.csv",
        table([["Set", "Number", "Player", "Team"]] + [[s, r.number, r.name, r.team] for r in c]),
        c,
    )


@shape
def no_headings(w: World) -> File:
    s = w.set()
    c = w.cards(30, s)
    return File("nohead.csv", table([[s, r.number, r.name, r.team] for r in c]), c)


@shape
def no_headings_title(w: World) -> File:
    s = w.set()
    c = w.cards(30, s)
    return File(f"{s}.csv", table([[r.number, r.name, r.team] for r in c]), c)


@shape
def one_of_hundred(w: World) -> File:
    s = w.set()
    c = w.cards(30, s)
    return File(
        "of.csv",
        table(
            [["Set", "Number", "Player", "Team"]]
            + [[s, f"{r.number} of 30", r.name, r.team] for r in c]
        ),
        c,
    )


@shape
def first_last(w: World) -> File:
    s = w.set()
    c = w.cards(25, s, ascii=True)
    return File(
        "fl.csv",
        table(
            [["Set", "No.", "Last Name", "First Name", "Team"]]
            + [[s, r.number, r.name.split(" ", 1)[1], r.name.split(" ", 1)[0], r.team] for r in c]
        ),
        c,
    )


@shape
def csv_sections(w: World) -> File:
    s = w.set()
    a = w.cards(15, s)
    b = w.cards(8, s, start=16, subset="Rookies")
    d = w.cards(6, s, fmt="SL-{}", subset="Storm Leaders")
    rows = (
        [["Number", "Player", "Team"], [s]]
        + [[r.number, r.name, r.team] for r in a]
        + [["Rookies"]]
        + [[r.number, r.name, r.team] for r in b]
        + [["Storm Leaders"]]
        + [[r.number, r.name, r.team] for r in d]
    )
    return File("sections.csv", table(rows), a + b + d)


@shape
def odds_column(w: World) -> File:
    s = w.set()
    c = w.cards(25, s, price=True)
    return File(
        "odds.tsv",
        table(
            [["Set", "Card #", "Player", "Team", "Odds", "Price USD"]]
            + [[s, r.number, r.name, r.team, "1:12", f"{r.price:.2f} USD"] for r in c],
            "\t",
        ),
        c,
    )


@shape
def parallels_brackets(w: World) -> File:
    s = w.set()
    x, y = w.cols(2)
    c = w.cards(15, s, pars=((x, 50), (y, 10)))
    return File(
        "br.csv",
        table(
            [["Set", "No", "Player", "Team", "Parallels"]]
            + [[s, r.number, r.name, r.team, f"{x} (50), {y} (10)"] for r in c]
        ),
        c,
    )


@shape
def low_high(w: World) -> File:
    s = w.set()
    c = w.cards(20, s)
    return File(
        "guide.csv",
        table(
            [["Set", "No", "Player", "Team", "Low", "High"]]
            + [[s, r.number, r.name, r.team, "0.10", "0.50"] for r in c]
        ),
        c,
        loose={"price": 1},
    )


@shape
def pandas_index(w: World) -> File:
    s = w.set()
    c = w.cards(30, s, price=True)
    return File(
        "df.csv",
        table(
            [["", "set", "number", "player", "team", "price"]]
            + [
                [i, s, r.number + ".0", r.name, r.team if i % 7 else "NaN", r.price]
                for i, r in enumerate(c)
            ]
        ),
        [replace(r, team=r.team if i % 7 else "") for i, r in enumerate(c)],
    )


@shape
def item_ids(w: World) -> File:
    s = w.set()
    c = w.cards(30, s)
    return File(
        "inv.csv",
        table(
            [["Item ID", "Card ID", "Set", "Card Number", "Player", "Team", "Image URL", "Added"]]
            + [
                [
                    90000 + i,
                    f"c{i:05x}",
                    s,
                    r.number,
                    r.name,
                    r.team,
                    f"https://img.example.invalid/{i}.jpg",
                    "2022-01-03",
                ]
                for i, r in enumerate(c)
            ]
        ),
        c,
    )


@shape
def blanks_fill_down(w: World) -> File:
    s1, s2 = w.set(1979), w.set(1982)
    a = w.cards(10, s1)
    b = w.cards(12, s2)
    rows = [["Year & Set", "Number", "Player", "Team"]]
    for c in (a, b):
        for i, r in enumerate(c):
            rows.append([r.set if i == 0 else "", r.number, r.name, r.team])
    return File("fill.csv", table(rows), a + b)


@shape
def set_last(w: World) -> File:
    s = w.set()
    c = w.cards(20, s)
    return File(
        "last.csv",
        table([["Player", "Team", "Nr.", "Set"]] + [[r.name, r.team, r.number, s] for r in c]),
        c,
    )


@shape
def caps(w: World) -> File:
    s = w.set()
    c = [replace(r, name=r.name.upper(), team=r.team.upper()) for r in w.cards(20, s)]
    return File(
        "CAPS.CSV",
        table(
            [["SET", "NO", "PLAYER", "TEAM"]] + [[s.upper(), r.number, r.name, r.team] for r in c]
        ),
        with_each(c, set=s.upper()),
    )


@shape
def no_12(w: World) -> File:
    s = w.set()
    c = w.cards(20, s)
    return File(
        "no.csv",
        table(
            [["Set", "Card", "Player", "Team"]]
            + [[s, f"No. {r.number}", r.name, r.team] for r in c]
        ),
        c,
    )


@shape
def unquoted_comma(w: World) -> File:
    s = w.set()
    c = w.cards(20, s)
    L = ["Set,Number,Player,Team"]
    bad = {4, 9}
    for i, r in enumerate(c):
        L.append(
            f"{s},{r.number},{r.name},{r.team}"
            if i not in bad
            else f"{s},{r.number},{r.name.split()[-1]}, {r.name.split()[0]},{r.team}"
        )
    return File("shift.csv", text(L), [r for i, r in enumerate(c) if i not in bad], must_tell=True)


@shape
def ragged(w: World) -> File:
    s = w.set()
    c = w.cards(25, s)
    return File(
        "ragged.csv",
        text(
            ["Set,Number,Player,Team,,,"]
            + [f"{s},{r.number},{r.name},{r.team}" + "," * w.r.randint(0, 4) for r in c]
            + [",,,,", ",,,"]
        ),
        c,
    )


@shape
def inner_quotes(w: World) -> File:
    s = w.set()
    c = [
        replace(r, name=r.name.replace(" ", ' "Ace" ', 1)) if int(r.number) % 5 == 0 else r
        for r in w.cards(25, s, ascii=True)
    ]
    return File(
        "quotes.csv",
        text(["Set,Number,Player,Team"] + [f"{s},{r.number},{r.name},{r.team}" for r in c]),
        c,
    )
