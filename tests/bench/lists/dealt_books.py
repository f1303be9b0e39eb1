"""Lists as workbooks: sheets for years, subsets and notes, merged and hidden cells, formats."""

from __future__ import annotations

import datetime

import openpyxl

from bench.lists.held_out import Sheet, as_ods
from bench.lists.kit import Made, Maker, book, saved

MAKERS: list[Maker] = []


def maker(make: Maker) -> Maker:
    MAKERS.append(make)
    return make


@maker
def sheets_of_years(m: Made):
    sheets = []
    for year in (1987, 1988, 1989):
        m.year = year
        rows = [["No.", "Player", "Team"]]
        for n, who, club in m.some(6):
            rows.append([n, who, club])
            m.means(n, who, club)
        sheets.append((str(year), rows))
    return f"{m.line}.xlsx", book(*sheets)


@maker
def sheets_of_subsets(m: Made):
    sheets = []
    for part in ("Base", "Rookies", "Inserts"):
        rows = [["Card #", "Player", "Team"]]
        for n, who, club in m.some(6):
            rows.append([n, who, club])
            m.means(n, who, club, "", "" if part == "Base" else part)
        sheets.append((part, rows))
    return f"{m.set}.xlsx", book(*sheets)


@maker
def summary_sheet_first(m: Made):
    summary = [["Set", "Cards", "Owned", "%"]]
    sheets = []
    for line in ("Slate Harbor", "Copper Mill"):
        m.line = line
        rows = [["#", "Name", "Team", "Have"]]
        for n, who, club in m.some(8):
            rows.append([n, who, club, "x" if n % 2 else None])
            m.means(n, who, club)
        summary.append([m.set, 8, 4, 0.5])
        sheets.append((m.set, rows))
    return "collection.xlsx", book(("Summary", summary), *sheets)


@maker
def notes_sheet(m: Made):
    rows = [["Set", "#", "Name"]]
    for n, who, _ in m.some(8):
        rows.append([m.set, n, who])
        m.means(n, who)
    notes = [["How to use this file"], ["1. Tick what you have"], ["2. Send it to me"]]
    return "cards.xlsx", book(("Read me", notes), ("Cards", rows), ("Empty", []))


@maker
def begins_at_c4(m: Made):
    rows = [[], [None, None, m.set], [], [None, None, "Card No.", "Player", None, "Team"]]
    for n, who, club in m.some(9):
        rows.append([None, None, n, who, None, club])
        m.means(n, who, club)
    return "pretty.xlsx", book(("Tabelle1", rows))


@maker
def merged_numbers(m: Made):
    rows, merged, at = [["No.", "Player", "Parallel", "Numbered"]], [], 2
    for n, who, _ in m.some(6):
        some = [("Ink", 99), ("Rust", 25), ("Onyx", 1)][: 1 + n % 3]
        for k, (name, run) in enumerate(some):
            rows.append([n if k == 0 else None, who if k == 0 else None, name, run])
        if len(some) > 1:
            merged += [f"{c}{at}:{c}{at + len(some) - 1}" for c in "AB"]
        at += len(some)
        m.means(n, who, "", "; ".join(f"{a}/{b}" for a, b in some))
    return f"{m.set}.xlsx", book(("Sheet1", rows), merged=merged)


@maker
def merged_team_and_set(m: Made):
    rows, merged, at = [["Set", "Team", "#", "Player"]], [], 2
    for team in ("Ashport Herons", "Dunlow Rams", "Carrow Pikes"):
        for k in range(4):
            who = m.who()
            rows.append([m.set if at == 2 else None, team if k == 0 else None, at - 1, who])
            m.means(at - 1, who, team)
            at += 1
        merged.append(f"B{at - 4}:B{at - 1}")
    merged.append(f"A2:A{at - 1}")
    return "merged.xlsx", book(("Cards", rows), merged=merged)


@maker
def hidden_set_column(m: Made):
    made = openpyxl.Workbook()
    page = made.active
    page.append(["Set", "No.", "Player", "Internal"])
    for n, who, _ in m.some(9):
        page.append([m.set, n, who, "k"])
        m.means(n, who)
    page.column_dimensions["A"].hidden = True
    page.column_dimensions["D"].hidden = True
    page.row_dimensions[5].hidden = True
    page.auto_filter.ref = "A1:D10"
    page.freeze_panes = "A2"
    return "hidden.xlsx", saved(made)


@maker
def date_numbers(m: Made):
    m.damaged = True
    rows = [["No.", "Player"]]
    for n, who, _ in m.some(9):
        number = datetime.date(2024, 1, n) if n in (2, 3) else f"1-{n}"
        rows.append([number, who])
        m.means(f"2024-01-{n:02d}" if n in (2, 3) else f"1-{n}", who)
    return f"{m.set}.xlsx", book(("Sheet1", rows))


@maker
def formula_numbers(m: Made):
    m.damaged = True
    rows = [["No.", "Player", "Team"]]
    for n, who, club in m.some(9):
        rows.append([1 if n == 1 else f"=A{n}+1", who, club])
        m.means(1 if n == 1 else "", who, club)
    return f"{m.set}.xlsx", book(("Sheet1", rows))


@maker
def formats_and_links(m: Made):
    made = openpyxl.Workbook()
    page = made.active
    page.title = m.set
    page.append(["No.", "Player", "Team", "Share", "Price", "Added"])
    for n, who, club in m.some(9):
        page.append([float(n), f" {who} ", club, 0.5, 1.5, datetime.date(2023, 5, n)])
        page.cell(n + 1, 1).number_format = "000"
        page.cell(n + 1, 5).number_format = '#,##0.00 "€"'
        page.cell(n + 1, 2).hyperlink = "https://example.test/"
        m.means(f"{n:03d}", who, club)
        m.extra[f"{n:03d}", "price"] = "1.5"
    return "links.xlsx", saved(made)


@maker
def data_frame_with_index(m: Made):
    """As pandas 2 writes a frame: its index in front, without a name; whole numbers as floats."""
    rows = [[None, "Set", "Number", "Player", "Print Run"]]
    for n, who, _ in m.some(10):
        rows.append([n - 1, m.set, n, who, 50.0 if n == 4 else None])
        m.means(n, who, "", "/50" if n == 4 else "")
    return "frame.xlsx", book(("Sheet1", rows))


@maker
def data_frame_by_team(m: Made):
    """As pandas 2 writes an index of two levels: the outer one merged."""
    rows, merged = [["Team", "No", "Player"]], []
    some = sorted(m.some(10), key=lambda one: one[2])
    for at, (n, who, club) in enumerate(some, 2):
        first = at == 2 or some[at - 3][2] != club
        rows.append([club if first else None, n, who])
        last = at - 1 + sum(c == club for _, _, c in some)
        if first and last > at:
            merged.append(f"A{at}:A{last}")
        m.means(n, who, club)
    return "teams.xlsx", book((m.set, rows), merged=merged)


@maker
def ticks_for_parallels(m: Made):
    rows = [[m.set], [None, None, None, "Parallels"], ["#", "Player", "Team", "Rust /25", "Jade"]]
    for n, who, club in m.some(9):
        has = n % 2 == 1
        rows.append([n, who, club, "✔" if has else None, True if n % 3 == 0 else None])
        m.means(n, who, club, "; ".join(["Rust/25"] * has + ["Jade"] * (n % 3 == 0)))
    return "ticks.xlsx", book(("Sheet1", rows), merged=["D2:E2", "A1:E1"])


@maker
def subset_title_lines_in_a_book(m: Made):
    rows = [[f"{m.set} Master Set"], ["Card", "Name", "Club", "Owned"]]
    for part, letter in (("Base", ""), ("Harbor Lights", "HL-"), ("Old Salts", "OS-")):
        rows.append([part])
        for n, who, club in m.some(5):
            rows.append([f"{letter}{n}" if letter else n, who, club, None])
            m.means(f"{letter}{n}", who, club, "", part if letter else "")
        rows.append([])
    return "master.xlsx", book(("Sheet1", rows))


@maker
def open_document_with_years(m: Made):
    s = Sheet(m.r)
    s.row("Jahr", "Serie", "Nr", "Vorname", "Nachname", "Mannschaft")
    for year in (1990, 1991):
        m.year = year
        for n, who, club in m.some(5):
            s.row(year, m.line, n, *who.split(), club)
            m.means(n, who, club)
    return "liste.ods", as_ods("Tabelle1", s)


@maker
def dual_rows(m: Made):
    """The second subject of a card stands below the first: one card, or told."""
    m.damaged = True
    rows = [["#", "Player", "Team"]]
    for n in range(1, 7):
        a, b = m.who(), m.who()
        rows += [[f"DA-{n}", a, "Carrow Pikes"], [None, b, "Dunlow Rams"]]
        m.means(f"DA-{n}", f"{a} / {b}", "Carrow Pikes / Dunlow Rams")
    return f"{m.set}.xlsx", book(("Sheet1", rows))


@maker
def last_first_columns_in_a_book(m: Made):
    rows = [["Last Name", "First Name", "Card No.", "Pos.", "Team"]]
    for n, who, club in m.some(9):
        first, last = who.split()
        rows.append([last, first, n, "P", club])
        m.means(n, who, club)
    return f"{m.set}.xlsx", book(("Blatt1", rows))
