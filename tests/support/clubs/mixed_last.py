"""Lists of all kinds, counted before anything was done for them."""

from __future__ import annotations

from dataclasses import replace

from support.clubs.world import File, Row, World, of_money, shape
from support.clubs.writers import table, text


@shape
def semicolon_de_variants(w: World) -> File:
    s = w.set()
    c = []
    rows = [["Serie", "Nr", "Name", "Mannschaft", "Variante", "Auflage", "Preis in €"]]
    for r in w.cards(10, s, price=True):
        c.append(replace(r, pars=(("Gold", 50),)))
        rows += [
            [s, r.number, r.name, r.team, "Basis", "", of_money(r.price).replace(".", ",")],
            [s, r.number, r.name, r.team, "Gold", "50", of_money(r.price).replace(".", ",")],
        ]
    return File("de.csv", table(rows, ";"), c)


@shape
def alias_column(w: World) -> File:
    s = "2004 灯台"
    c = [
        Row(s, str(i), n, "港クラブ")
        for i, n in enumerate(["星川一路", "霧島健斗", "海原翼輝", "白浪陽向", "鐘崎蓮太"], 1)
    ]
    return File(
        "al.csv",
        table(
            [["セット名", "No.", "名前", "ローマ字", "チーム名"]]
            + [[s, r.number, r.name, f"Hoshi {r.number}", r.team] for r in c]
        ),
        c,
    )


@shape
def last_line_no_newline_spaces(w: World) -> File:
    s = w.set()
    c = w.cards(10, s)
    return File(
        "sp.txt",
        (
            "\n\n\n   "
            + s
            + "   \n\n"
            + "\n".join(f"   {r.number}    {r.name}   -   {r.team}   " for r in c)
        ).encode(),
        c,
    )


@shape
def title_line_in_csv_first_cell_number_col(w: World) -> File:
    s = w.set()
    c = w.cards(10, s)
    return File(
        "tl.csv",
        table(
            [["Number", "Player", "Team"], ["", "", ""], [s, "", ""], ["", "", ""]]
            + [[r.number, r.name, r.team] for r in c]
            + [["", "", ""], ["End of list", "", ""]]
        ),
        c,
    )


@shape
def rookie_asterisk_name(w: World) -> File:
    s = w.set()
    c = w.cards(12, s)
    return File(
        "ra.csv",
        table(
            [["Set", "No", "Player", "Team"]]
            + [[s, r.number, r.name + ("*" if int(r.number) % 4 == 0 else ""), r.team] for r in c]
            + [["", "", "* rookie card", ""]]
        ),
        c,
    )


@shape
def multi_numbers_same_player(w: World) -> File:
    s = w.set()
    c = w.cards(6, s)
    more = [replace(r, number=str(int(r.number) + 100)) for r in c]
    return File(
        "mn.csv",
        table(
            [["Set", "No", "Player", "Team"]] + [[s, r.number, r.name, r.team] for r in c + more]
        ),
        c + more,
    )


@shape
def wantlist_numbers(w: World) -> File:
    "numbers only; must be told"
    s = w.set()
    return File(
        "wl.txt", text([s, "1, 4, 7, 12, 18-22, 30"]), [], must_tell=True, loose={"rows": 1}
    )


@shape
def empty_and_header_only(w: World) -> File:
    return File(
        "ho.csv", table([["Set", "No", "Player", "Team"]]), [], must_tell=True, loose={"rows": 1}
    )


@shape
def dealer_sku(w: World) -> File:
    s = w.set()
    c = w.cards(10, s, price=True)
    return File(
        "sku.csv",
        table(
            [["SKU", "Title", "Set", "Card #", "Player", "Team", "Condition", "Qty", "Price"]]
            + [
                [
                    f"HB-{i:04d}",
                    f"{s} #{r.number} {r.name}",
                    s,
                    r.number,
                    r.name,
                    r.team,
                    "NM",
                    1,
                    of_money(r.price),
                ]
                for i, r in enumerate(c)
            ]
        ),
        c,
    )


@shape
def autos_no_dash(w: World) -> File:
    s = w.set()
    a = w.cards(10, s)
    b = w.cards(6, s, fmt="FA-{:02d}", subset="Fresh Autographs")
    x = w.cols(1)[0]
    b = [replace(r, pars=((x, 25),)) for r in b]
    return File(
        "au.txt",
        text(
            [s, "", "Base"]
            + [f"{r.number} {r.name} - {r.team}" for r in a]
            + ["", "Fresh Autographs", f"Parallels: {x} /25"]
            + [f"{r.number} {r.name} - {r.team}" for r in b]
        ),
        a + b,
    )


@shape
def space_columns_no_title(w: World) -> File:
    s = w.set()
    c = w.cards(15, s)
    return File(f"{s}.txt", text([f"{r.number:>4}  {r.name:<28}{r.team}" for r in c]), c)
