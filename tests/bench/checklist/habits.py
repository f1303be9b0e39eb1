"""A batch of single habits: each maker does one thing that no other of these does."""

from __future__ import annotations

from collections.abc import Iterator
from types import SimpleNamespace as Space
from typing import Any

import openpyxl

from bench.lists.kit import Made, Maker, book, files, plain_rows, saved, table, text

MAKERS: list[Maker] = []


def maker(make: Maker) -> Maker:
    MAKERS.append(make)
    return make


@maker
def subtotals_of_teams(m: Made):
    rows = [["#", "Player", "Team"]]
    number = 0
    for club in ("Ashport Herons", "Belling Foxes", "Carrow Pikes"):
        for _ in range(4):
            number += 1
            who = m.who()
            rows.append([number, who, club])
            m.means(number, who, club)
        rows.append(["", f"Subtotal {club}", "4"])
    rows.append(["", "Grand total", "12"])
    return f"{m.set}.csv", text(rows)


@maker
def total_in_number_column(m: Made):
    rows = plain_rows(m, 8, ["No", "Name", "Club"])
    return f"{m.set}.csv", text([*rows, ["Checklist total", "8", ""]])


@maker
def total_below_subjects(m: Made):
    rows = plain_rows(m, 8, ["No", "Name", "Club"])
    return f"{m.set}.csv", text([*rows, ["", "Checklist total: 8", ""]])


@maker
def summary_beside(m: Made):
    rows = plain_rows(m, 8, ["No", "Player", "Team", "", "Set", "Cards"])
    rows[1] += ["", m.set, 8]
    rows[2] += ["", "missing", 0]
    return f"{m.set}.xlsx", book(("Sheet1", rows))


@maker
def line_end_in_heading(m: Made):
    rows = [["Card\nNo.", "Player", "Team", "Est.\nvalue"]]
    for n, who, club in m.some(8):
        rows.append([n, who, club, f"{n}.50"])
        m.means(n, who, club)
        m.extra[str(n), "price"] = f"{n}.50"
    return f"{m.set}.csv", text(rows)


@maker
def title_merged_over_columns(m: Made):
    rows = [[m.set, None, None], [f"{8} cards, all checked", None, None]]
    rows += plain_rows(m, 8, ["#", "Player", "Team"])
    return "book.xlsx", book(("Tabelle1", rows), merged=["A1:C1", "A2:C2"])


@maker
def boxes_ticked(m: Made):
    rows = [["☐", "#", "Player", "Team"]]
    for n, who, club in m.some(8):
        rows.append([m.r.choice("☐☑"), n, who, club])
        m.means(n, who, club)
    return f"{m.set}.csv", text(rows)


@maker
def legend_of_parallels_above(m: Made):
    rows = [[m.set], ["Parallels: Copper /75, Frost"], []]
    rows += [["No.", "Subject", "Team"]]
    for n, who, club in m.some(7):
        rows.append([n, who, club])
        m.means(n, who, club, "Copper/75; Frost")
    return "cards.csv", text(rows)


@maker
def three_sets_titles_between(m: Made):
    rows: list[list[Any]] = []
    for line in ("Slate Harbor", "Copper Mill", "Lantern Row"):
        m.line = line
        rows += [[f"{m.set} – 5 cards"], []]
        rows += plain_rows(m, 5, ["#", "Player", "Team"])
        rows += [["Checklist total", 5], []]
    return "three.xlsx", book(("Sheet1", rows))


@maker
def sold_and_dates(m: Made):
    rows = [["Card", "Player", "Team", "Sold", "Date sold", "Paid $"]]
    for n, who, club in m.some(9):
        sold = m.r.random() < 0.4
        rows.append([n, who, club, "x" if sold else "", "2021-04-05" if sold else "", "1.25"])
        m.means(n, who, club)
    return f"{m.set}.csv", text(rows)


@maker
def estimate_in_cells(m: Made):
    rows = [["Nr.", "Spieler", "Verein", "est. €"]]
    for n, who, club in m.some(9):
        rows.append([n, who, club, f"{n},00 €"])
        m.means(n, who, club)
        m.extra[str(n), "price"] = f"{n},00 €"
    return f"{m.set}.csv", table(rows, ";").encode("cp1252")


@maker
def header_late(m: Made):
    rows: list[list[Any]] = [[m.set], ["Collector's own list"], [], ["See also the other file."]]
    rows += [[], ["Colours: red = wanted"], [], []]
    rows += plain_rows(m, 9, ["Card no.", "Player", "Team"])
    return "own.csv", text(rows)


@maker
def print_run_line(m: Made):
    rows = [["No.", "Player", "Team", "Parallel", "/"]]
    for n, who, club in m.some(6):
        rows.append([n, who, club, "", ""])
        rows.append([n, who, club, "Copper", "75"])
        m.means(n, who, club, "Copper/75")
    return f"{m.set}.csv", text(rows)


@maker
def sections_with_counts_and_totals(m: Made):
    rows: list[list[Any]] = [["Card", "Player", "Team"]]
    for part in ("Rookies", "Legends"):
        rows.append([f"{part} (5 cards)"])
        for n, who, club in m.some(5):
            rows.append([f"{part[0]}-{n}", who, club])
            m.means(f"{part[0]}-{n}", who, club, "", part)
        rows += [[f"Total {part}: 5"], []]
    return f"{m.set}.csv", text(rows)


@maker
def numbers_of_total(m: Made):
    rows = [["Card", "Player", "Team", "Copies"]]
    for n, who, club in m.some(9):
        rows.append([f"{n}/220", who, club, 1])
        m.means(f"{n}/220|{n}", who, club)
    return f"{m.set}.csv", text(rows)


@maker
def colons_behind_headings(m: Made):
    rows = plain_rows(m, 8, ["Number:", "Player:", "Team:"])
    return f"{m.set}.csv", text(rows)


@maker
def coloured_rows_and_widths(m: Made):
    made = openpyxl.Workbook()
    page = made.active
    page.title = m.set
    page.append([])
    page.append([None, "#", "Player", "Team", "Value €"])
    for n, who, club in m.some(8):
        page.append([None, n, who, club, n + 0.5])
        m.means(n, who, club)
    page.append([None, "Checklist total", None, None, 40.0])
    return "colours.xlsx", saved(made)


@maker
def footnotes_with_stars(m: Made):
    rows = [["#", "Player", "Team"]]
    for n, who, club in m.some(8):
        rows.append([n, who + ("*" if n == 4 else ""), club])
        m.means(n, who + "*|" + who if n == 4 else who, club)
    rows += [[], ["* no card of this player was seen by the author"]]
    return f"{m.set}.csv", text(rows)


@maker
def two_numbers(m: Made):
    rows = [["Item", "Card No.", "Player", "Team", "Grade"]]
    for n, who, club in m.some(8):
        rows.append([1000 + n, n, who, club, m.r.choice(["", "8", "9.5"])])
        m.means(n, who, club)
    return f"{m.set}.csv", text(rows)


@maker
def values_low_and_high(m: Made):
    rows = [["#", "Player", "Team", "Low", "High"]]
    for n, who, club in m.some(8):
        rows.append([n, who, club, "0.25", "1.00"])
        m.means(n, who, club)
    return f"{m.set}.csv", text(rows)


@maker
def repeated_heads_and_pages(m: Made):
    rows: list[list[Any]] = []
    head = ["Nr", "Speler", "Club"]
    for page in (1, 2, 3):
        rows += [head]
        for n, who, club in m.some(5, page * 5 - 4):
            rows.append([n, who, club])
            m.means(n, who, club)
        rows += [[f"Pagina {page} van 3"]]
    return f"{m.set}.csv", table(rows, ";").encode("cp1252")


@maker
def thousands(m: Made):
    rows = [["Number", "Player", "Team"]]
    for n, who, club in m.some(8, 996):
        rows.append([f"{n:,}", who, club])
        m.means(f"{n}|{n:,}", who, club)
    return f"{m.set}.csv", text(rows)


def habits(count: int, seed: int = 1) -> Iterator[Space]:
    """So many files, the makers in turn."""
    return files(MAKERS, "habits", count, seed)
