"""More lists that were held out, written when those of `held_out.py` were read right: team blocks,
headings of parallels, exports of other programs, pages."""

from __future__ import annotations

from collections.abc import Iterator
from random import Random

from bench.lists.held_out import Sheet, Space, as_csv, as_ods, as_xlsx

MAKERS = []


def maker(function):
    MAKERS.append(function)
    return function


@maker
def ttm_export(s):
    s.row(
        "id",
        "set_name",
        "card_number",
        "subject",
        "team",
        "rookie",
        "autograph",
        "serial_numbered",
        "attributes",
    )
    for n in range(1, 15):
        a, c = s.person()
        s.row(1000 + n, s.set, n, a, c, "TRUE" if n % 4 == 0 else "FALSE", "FALSE", "", "")
        s.means(n, a, c)
    return "exp.csv", as_csv(s, ",")


@maker
def team_blocks(s):
    s.row(s.set)
    s.row()
    s.row("Team", "#", "Player")
    n = 1
    for c in ["Terns", "Rams", "Moths"]:
        for k in range(5):
            a, _ = s.person()
            s.row(c if k == 0 else None, n, a)
            s.means(n, a, c)
            n += 1
    return "teams.csv", as_csv(s, ";")


@maker
def team_headings(s):
    s.row("No.", "Player")
    n = 1
    for _c in ["Terns", "Rams"]:
        for _k in range(6):
            a, _ = s.person()
            s.row(n, a)
            s.means(n, a)
            n += 1
    return f"{s.set}.csv", as_csv(s, "\t")


@maker
def parallel_list_col(s):
    s.row("Card #", "Name", "Team", "Available Parallels")
    for n in range(1, 12):
        a, c = s.person()
        s.row(n, a, c, "Gold (/50), Silver, Black (1/1)" if n % 2 else "")
        s.means(n, a, c, [("Gold", 50), ("Silver", None), ("Black", 1)] if n % 2 else [])
    return f"{s.set}.csv", as_csv(s, ",")


@maker
def set_in_section(s):
    s.row("", "", "")
    s.row("CARD", "PLAYER", "TEAM")
    s.row("Base Set - 10 cards")
    for n in range(1, 11):
        a, c = s.person()
        s.row(n, a, c)
        s.means(n, a, c)
    s.row()
    s.row("Power Surge (5 cards)")
    for n in range(1, 6):
        a, c = s.person()
        s.row(f"PS{n}", a, c)
        s.means(f"PS{n}", a, c, (), "Power Surge")
    return f"{s.set}.xlsx", as_xlsx(("Sheet1", s))


@maker
def gold_section(s):
    s.row("No.", "Player", "Team")
    ps = [s.person() for _ in range(6)]
    for n, (a, c) in enumerate(ps, 1):
        s.row(n, a, c)
        s.means(n, a, c, [("Gold", 50)])
    s.row("Gold Parallels /50")
    for n, (a, c) in enumerate(ps, 1):
        s.row(n, a, c)
    return f"{s.set}.csv", as_csv(s, ",")


@maker
def year_range_col(s):
    s.row("Season", "Brand", "Series", "Card", "Player")
    for y in ("1990-91", "1991-92"):
        for n in range(1, 7):
            a, _ = s.person()
            s.row(y, "Lampyard", "Premier", n, a)
            s.means(n, a, set=f"{y} Premier")
    return "b.csv", as_csv(s, ",")


@maker
def spanish(s):
    s.row("Año", "Colección", "Nº", "Jugador", "Equipo", "Paralela", "Tirada", "Valor (€)")
    for n in range(1, 10):
        a, c = s.person()
        s.row(s.year, s.line, n, a, c, "Oro" if n == 3 else "", "25" if n == 3 else "", "1,25")
        s.means(n, a, c, [("Oro", 25)] if n == 3 else [])
        s.extra[str(n), "price"] = "1,25"
    return "es.csv", as_csv(s, ";", "utf-8-sig")


@maker
def italian_dutch(s):
    s.row("Numero", "Nome", "Squadra", "Oro", "Argento")
    for n in range(1, 10):
        a, c = s.person()
        s.row(n, a, c, "si" if n % 2 else "no", "/25" if n % 3 == 0 else "")
        s.means(
            n,
            a,
            c,
            [*([("Oro", None)] if n % 2 else []), *([("Argento", 25)] if n % 3 == 0 else [])],
        )
    return f"{s.set}.csv", as_csv(s, ";")


@maker
def notes_mid(s):
    s.row("#", "Player", "Team", "Notes")
    for n in range(1, 13):
        a, c = s.person()
        s.row(n, a, c, 'UER, reads "wrong", see #5' if n == 4 else "")
        s.means(n, a, c)
        if n == 6:
            s.row("", "", "", "")
    s.row("", "", "", "prices from the spring guide")
    return f"{s.set}.csv", as_csv(s, ",")


@maker
def subj_dash_team(s):
    s.row("Number", "Card")
    for n in range(1, 13):
        a, c = s.person()
        s.row(n, f"{a} - {c}")
        s.means(n, a, c)
    return f"{s.set}.csv", as_csv(s, ",")


@maker
def bold_total_top(s):
    s.row("Set", s.set)
    s.row("Total cards", 12)
    s.row("Have", 3)
    s.row("Card No", "Player", "Have it?")
    for n in range(1, 13):
        a, _ = s.person()
        s.row(n, a, "✓" if n < 4 else "")
        s.means(n, a)
    return "top.csv", as_csv(s, ",")


@maker
def variations_letters(s):
    s.row("Number", "Player", "Variation")
    for n in range(1, 9):
        a, _ = s.person()
        s.row(n, a, "")
        v = []
        if n % 3 == 0:
            s.row(n, a, "Facing left")
            s.row(n, a, "Night photo")
            v = [("Facing left", None), ("Night photo", None)]
        s.means(n, a, "", v)
    return f"{s.set}.csv", as_csv(s, ",")


@maker
def comma_names(s):
    s.row("No", "Player", "Team")
    for n in range(1, 9):
        a, c = s.person()
        first, last = a.rsplit(" ", 1)
        s.row(n, f"{last}, {first}", c)
        s.means(n, f"{last}, {first}", c)
    return f"{s.set}.csv", as_csv(s, ",")


@maker
def repeated_header_pages(s):
    for p in range(3):
        s.row(f"{s.set} page {p + 1} of 3", None, None)
        s.row("No.", "Player", "Team")
        for k in range(6):
            n = p * 6 + k + 1
            a, c = s.person()
            s.row(n, a, c)
            s.means(n, a, c)
        s.row(None, None, None)
    return f"{s.set}.csv", as_csv(s, ",")


@maker
def three_row_header(s):
    s.row("", "", " Parallels", "", "")
    s.row("Card", "Player", "Gold", "Silver", "Black")
    s.row("", "", "/50", "/25", "1/1")
    for n in range(1, 9):
        a, _ = s.person()
        s.row(n, a, "x", "x" if n % 2 else "", "x" if n == 1 else "")
        s.means(
            n,
            a,
            "",
            [
                ("Gold", 50),
                *([("Silver", 25)] if n % 2 else []),
                *([("Black", 1)] if n == 1 else []),
            ],
        )
    return f"{s.set}.csv", as_csv(s, ",")


@maker
def html_tab_paste(s):
    t = [f"{s.set} Checklist", "Set contains 10 cards. Parallels: Gold, Silver.", ""]
    for n in range(1, 11):
        a, c = s.person()
        t.append(f"{n}   {a}   {c}" if 0 else f"{n}\t{a}\t{c}\t")
        s.means(n, a, c, [("Gold", None), ("Silver", None)])
    return "p.txt", "\n".join(t).encode()


@maker
def rookies_paren(s):
    t = [s.set]
    for n in range(1, 11):
        a, c = s.person()
        t.append(f"{n}. {a}, {c} (RC)" if n % 3 == 0 else f"{n}. {a}, {c}")
        s.means(n, a, c)
    return "q.txt", "\r\n".join(t).encode("cp1252", "replace")


@maker
def qty_first(s):
    s.row("Qty", "Year", "Set", "Card #", "Player", "Condition", "Price")
    for n in range(1, 9):
        a, _ = s.person()
        s.row(1, s.year, s.line, n, a, "NM", "$0.25")
        s.means(n, a)
        s.extra[str(n), "price"] = "$0.25"
    return "inv.csv", as_csv(s, ",")


@maker
def ods_multi(s):
    s.row("番号", "選手名", "球団", "限定数")
    for n in range(1, 9):
        a, c = s.person()
        s.row(n, a, c, 99 if n == 2 else None)
        s.means(n, a, c, [("/99", 99)] if n == 2 else [])
    return f"{s.set}.ods", as_ods("Sheet1", s)


def held_out_more(count: int, seed: int = 1) -> Iterator[Space]:
    """So many files, the makers in turn."""
    for at in range(count):
        make = MAKERS[at % len(MAKERS)]
        sheet = Sheet(Random(f"more {seed}/{at}"))
        name, data = make(sheet)
        yield Space(
            shape=make.__name__,
            name=name,
            data=data,
            cards=sheet.truth,
            extra=sheet.extra,
            damaged=False,
        )
