"""Workbooks as clubs and shops keep them."""

from __future__ import annotations

import io
import re
import zipfile
from dataclasses import replace

import openpyxl

from support.clubs.world import File, World, shape, with_each
from support.clubs.writers import book, grid, ods


@shape
def uncached(w: World) -> File:
    s = w.set()
    c = w.cards(15, s)
    return File(
        "unc.xlsx",
        book(
            {
                "L": grid(
                    [["Set", "No", "Player", "Team"]]
                    + [[s, f"=ROW()-{1}", r.name, r.team] for r in c]
                )
            }
        ),
        [],
        must_tell=True,
        loose={"rows": 1},
    )


@shape
def true_false_xlsx(w: World) -> File:
    s = w.set()
    x, y = w.cols(2)
    c = []
    rows = [["Set", "Card #", "Player", "Team", x, y]]
    for r in w.cards(20, s):
        k = [w.r.random() < 0.5 for _ in (x, y)]
        c.append(replace(r, pars=tuple((n, None) for n, o in zip((x, y), k, strict=False) if o)))
        rows.append([s, int(r.number), r.name, r.team, *k])
    return File("tf.xlsx", book({"Sheet1": grid(rows)}), c)


@shape
def sheet_rookies(w: World) -> File:
    s = w.set()
    a = w.cards(12, s)
    b = w.cards(6, s, fmt="R-{}", subset="Rookies")
    h = ["No.", "Player", "Team"]
    return File(
        f"{s}.xlsx",
        book(
            {
                "Base": grid([h] + [[int(r.number), r.name, r.team] for r in a]),
                "Rookies": grid([h] + [[r.number, r.name, r.team] for r in b]),
            }
        ),
        a + b,
    )


@shape
def sheet_hidden(w: World) -> File:
    s = w.set()
    a = w.cards(12, s)
    d = book(
        {
            "List": grid(
                [["Set", "No.", "Player", "Team"]] + [[s, int(r.number), r.name, r.team] for r in a]
            ),
            "old": grid(
                [["Set", "No.", "Player", "Team"], ["1900 Old Junk", 1, "Wrong Person", "X"]]
            ),
        }
    )

    wb = openpyxl.load_workbook(io.BytesIO(d))
    wb["old"].sheet_state = "hidden"
    b = io.BytesIO()
    wb.save(b)
    return File("hid.xlsx", b.getvalue(), a)


@shape
def sections_by_header_rows(w: World) -> File:
    s = w.set()
    a = w.cards(10, s)
    b = w.cards(6, s, fmt="HS-{}", subset="Harbor Stars")
    w.cols(1)[0]
    g = (
        [[s, None, None], ["Base Set", None, None], ["No.", "Player", "Team"]]
        + [[int(r.number), r.name, r.team] for r in a]
        + [[], ["Harbor Stars", None, None], ["No.", "Player", "Team"]]
        + [[r.number, r.name, r.team] for r in b]
    )
    return File("sec.xlsx", book({"S": grid(g)}), a + b)


@shape
def dealer_grid_price(w: World) -> File:
    s = w.set()
    c = w.cards(30, s, price=True)

    def then(ws):
        ws.merge_cells("A1:F1")
        ws["A1"].value = f"{s} - PRICE LIST"
        for i in range(4, 34):
            ws.cell(i, 4).number_format = '"$"#,##0.00'

    g = (
        [
            [f"{s} - PRICE LIST"],
            ["Prices valid until December"],
            ["Card", "Player", "Team", "Price", "In stock", "Total"],
        ]
        + [[int(r.number), r.name, r.team, r.price, w.r.randint(0, 5), None] for r in c]
        + [[None, None, "TOTAL", sum(r.price for r in c)]]
    )
    return File(
        "dealer.xlsx",
        book({"Prices": grid(g, then)}),
        c,
        also=[with_each(c, set=f"{s} - PRICE LIST")],
    )


@shape
def ods_zero_padded(w: World) -> File:
    s = w.set()
    c = w.cards(20, s, fmt="{:03d}")
    d = ods(
        {
            "T": [["Set", "No", "Player", "Team"]]
            + [[s, f"@@{int(r.number)}", r.name, r.team] for r in c]
        }
    )
    z = zipfile.ZipFile(io.BytesIO(d))
    o = io.BytesIO()
    y = zipfile.ZipFile(o, "w")
    for n in z.namelist():
        t = z.read(n).decode()
        t = re.sub(
            r'office:value-type="string"><text:p>@@(\d+)<',
            lambda m: f'office:value-type="float" office:value="{m[1]}"><text:p>{int(m[1]):03d}<',
            t,
        )
        y.writestr(n, t)
    y.close()
    return File("z.ods", o.getvalue(), c)


@shape
def xlsx_indent_section_bold(w: World) -> File:
    s = w.set()
    a = w.cards(10, s)
    b = w.cards(5, s, fmt="C{}", subset="Captains")

    def then(ws):
        from openpyxl.styles import Font

        for row in (1, 3, 15):
            ws.cell(row, 1).font = Font(bold=True)

    g = (
        [[s], [None], ["Base Cards"]]
        + [[int(r.number), r.name, r.team] for r in a]
        + [[None], ["Captains"]]
        + [[r.number, r.name, r.team] for r in b]
    )
    return File("b.xlsx", book({"Sheet1": grid(g, then)}), a + b)


@shape
def two_sets_columns(w: World) -> File:
    "two sets side by side, each with own title"
    s1, s2 = w.set(1980), w.set(1984)
    a = w.cards(10, s1)
    b = w.cards(10, s2)
    return File(
        "ss.xlsx",
        book(
            {
                "x": grid(
                    [
                        [s1, None, None, None, s2],
                        ["No", "Player", "Team", None, "No", "Player", "Team"],
                    ]
                    + [
                        [int(p.number), p.name, p.team, None, int(q.number), q.name, q.team]
                        for p, q in zip(a, b, strict=False)
                    ]
                )
            }
        ),
        a + b,
    )


@shape
def merged_team(w: World) -> File:
    s = w.set()
    t = w.teams(3)
    c = []
    g = [["Set", "Team", "No", "Player"]]
    n = 1
    for x in t:
        for k, r in enumerate(w.cards(5, s, start=n)):
            c.append(replace(r, team=x))
            g.append([s, x if k == 0 else None, int(r.number), r.name])
        n += 5

    def then(ws):
        for k in range(3):
            ws.merge_cells(start_row=2 + 5 * k, end_row=6 + 5 * k, start_column=2, end_column=2)

    return File("mt.xlsx", book({"x": grid(g, then)}), c)


@shape
def filter_table_total_row(w: World) -> File:
    s = w.set()
    c = w.cards(15, s, price=True)
    return File(
        "tt.xlsx",
        book(
            {
                "x": grid(
                    [["Set", "No", "Player", "Team", "Price"]]
                    + [[s, int(r.number), r.name, r.team, r.price] for r in c]
                    + [["Total", None, 15, None, sum(r.price for r in c)]]
                )
            }
        ),
        c,
    )


@shape
def ods_sheets_years(w: World) -> File:
    s = w.set(y=False)
    A = w.cards(8, f"1991 {s}")
    B = w.cards(8, f"1992 {s}")
    return File(
        f"{s}.ods",
        ods(
            {
                "1991": [["Nr", "Name", "Verein"]] + [[int(r.number), r.name, r.team] for r in A],
                "1992": [["Nr", "Name", "Verein"]] + [[int(r.number), r.name, r.team] for r in B],
            }
        ),
        A + B,
    )


@shape
def number_in_name_cell_excel(w: World) -> File:
    s = w.set()
    c = w.cards(15, s)
    return File(
        "nc.xlsx",
        book({s: grid([["Checklist"]] + [[f"{r.number}. {r.name} - {r.team}"] for r in c])}),
        c,
    )
