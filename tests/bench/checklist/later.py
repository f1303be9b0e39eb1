"""A batch made after the reader was worked on with the others: what else hobby sheets do."""

from __future__ import annotations

from collections.abc import Iterator
from types import SimpleNamespace as Space
from typing import Any

from bench.checklist.shelves import ods
from bench.lists.kit import CLUBS, Made, Maker, book, files, plain_rows, table, text

MAKERS: list[Maker] = []


def maker(make: Maker) -> Maker:
    MAKERS.append(make)
    return make


@maker
def worth_each(m: Made):
    rows = [["No.", "Player", "Team", "Worth each (£)"]]
    for n, who, club in m.some(8):
        rows.append([n, who, club, f"{n}.20"])
        m.means(n, who, club)
        m.extra[str(n), "price"] = f"{n}.20"
    return f"{m.set}.csv", text(rows)


@maker
def german_price_words(m: Made):
    rows = [["Kartennummer", "Name des Spielers", "Vereinsname", "Schätzpreis", "Zustand"]]
    for n, who, club in m.some(8):
        rows.append([n, who, club, f"{n},20", "gut"])
        m.means(n, who, club)
        m.extra[str(n), "price"] = f"{n},20"
    return f"{m.set}.csv", table(rows, ";").encode("cp1252")


@maker
def french_long_headings(m: Made):
    rows = [["Numéro de la carte", "Nom et prénom du joueur", "Équipe du joueur", "Prix estimé"]]
    for n, who, club in m.some(8):
        rows.append([n, who, club, f"{n},20"])
        m.means(n, who, club)
        m.extra[str(n), "price"] = f"{n},20"
    return f"{m.set}.csv", table(rows, ";").encode("utf-8-sig")


@maker
def italian_album(m: Made):
    rows = [["Num.", "Calciatore", "Squadra", "Ce l'ho", "Doppie"]]
    for n, who, club in m.some(9):
        rows.append([n, who, club, m.r.choice(["x", ""]), m.r.choice(["", "1", "2"])])
        m.means(n, who, club)
    return f"{m.set}.csv", table([*rows, ["Totale figurine: 9"]], ";").encode("utf-8")


@maker
def spanish_wants(m: Made):
    rows = [["Cromo n.º", "Futbolista", "Equipo", "Lo tengo", "Lo busco"]]
    for n, who, club in m.some(9):
        had = m.r.random() < 0.5
        rows.append([n, who, club, "sí" if had else "no", "no" if had else "sí"])
        m.means(n, who, club)
    return f"{m.set}.xlsx", book(("Hoja1", rows))


@maker
def dutch_two_sets(m: Made):
    rows: list[list[Any]] = [["Kaartnummer", "Spelersnaam", "Ploegnaam", "Reeks", "Seizoen"]]
    for year in (1994, 1995):
        m.year = year
        for n, who, club in m.some(5):
            rows.append([n, who, club, m.line, year])
            m.means(n, who, club)
    rows += [[], ["Totaal: 10 kaarten in 2 reeksen"]]
    return "verzameling.csv", table(rows, ";").encode("cp1252")


@maker
def japanese_form(m: Made):
    rows = [[f"{m.set} カードリスト（全6枚）"], [], ["№", "選手氏名", "所属球団", "備考"]]
    for n, who in enumerate(
        ("磯野 波太", "風間 岬", "霧島 灯", "潮見 航", "浜辺 渚", "灯台 守"), 1
    ):
        rows.append([str(n), who, "港ガルズ", ""])
        m.means(n, who, "港ガルズ")
    return "リスト.csv", table([*rows, ["以上 6枚"]]).encode("utf-16")


@maker
def page_totals(m: Made):
    rows: list[list[Any]] = [["Card no.", "Player", "Team", "Value"]]
    for page in (1, 2):
        for n, who, club in m.some(6, page * 6 - 5):
            rows.append([n, who, club, "0.50"])
            m.means(n, who, club)
            m.extra[str(n), "price"] = "0.50"
        rows.append(["", "", "Page total", "3.00"])
    rows.append(["", "", "Overall", "6.00"])
    return f"{m.set}.csv", text(rows)


@maker
def sum_row_of_crosses(m: Made):
    rows = [["#", "Player", "Team", "Jade /99", "Onyx /10"]]
    for n, who, club in m.some(8):
        one, two = m.r.choice(["x", ""]), "x" if n % 3 == 0 else ""
        rows.append([n, who, club, one, two])
        names = [name for name, mark in (("Jade/99", one), ("Onyx/10", two)) if mark]
        m.means(n, who, club, "; ".join(names))
    rows.append(["", "Count", "", "5", "2"])
    return f"{m.set}.csv", text(rows)


@maker
def section_with_its_run(m: Made):
    rows: list[list[Any]] = [["Card", "Player", "Team"]]
    for n, who, club in m.some(6):
        rows.append([n, who, club])
        m.means(n, who, club)
    rows += [[], ["Sunset Inserts (5 cards, numbered to 250)"]]
    for n, who, club in m.some(5):
        rows.append([f"SI-{n}", who, club])
        m.means(f"SI-{n}", who, club, "/250", "Sunset Inserts")
    return f"{m.set}.csv", text(rows)


@maker
def letter_sections(m: Made):
    rows: list[list[Any]] = [["No", "Name", "Club"]]
    people = sorted(m.some(12), key=lambda one: one[1].split()[1])
    letter = ""
    for n, who, club in people:
        last = who.split()[1]
        if last[0] != letter:
            letter = last[0]
            rows.append([letter])
        rows.append([n, f"{last}, {who.split()[0]}", club])
        m.means(n, f"{last}, {who.split()[0]}|{who}", club)
    return f"{m.set}.csv", text(rows)


@maker
def key_below(m: Made):
    rows = [["#", "Player", "Team", "Cond."]]
    for n, who, club in m.some(8):
        rows.append([n, who, club, m.r.choice("ABC")])
        m.means(n, who, club)
    rows += [[], ["Key:"], ["A", "mint"], ["B", "played"], ["C", "poor"]]
    return f"{m.set}.csv", text(rows)


@maker
def address_above(m: Made):
    rows: list[list[Any]] = [["Harbor Cards"], ["12 Quay Street"], ["Tel. 555 0101"], []]
    rows += [[m.set], *plain_rows(m, 8, ["Card #", "Player", "Team"])]
    return "stock.csv", text(rows)


@maker
def bullets_before_names(m: Made):
    rows = [["Nr", "Spieler", "Verein"]]
    for n, who, club in m.some(8):
        rows.append([f"{n}.", f"• {who}", club])
        m.means(n, f"{who}|• {who}", club)
    return f"{m.set}.csv", table(rows, ";").encode("utf-8")


@maker
def blank_rows_between(m: Made):
    rows = plain_rows(m, 9, ["Number", "Player", "Team", ""])
    spaced = [line for row in rows for line in (row, ["", "", "", ""])]
    return f"{m.set}.ods", ods(spaced)


@maker
def columns_of_dashes(m: Made):
    rows = [["No.", "Player", "Team", "Print run"]]
    for n, who, club in m.some(9):
        run = "-" if n % 3 else "25"
        rows.append([n, who, club, run])
        m.means(n, who, club, "" if n % 3 else "/25")
    return f"{m.set}.csv", text(rows)


@maker
def capitals_and_years(m: Made):
    rows = [["YEAR/SET", "CARD NUMBER", "PLAYER NAME", "TEAM NAME"]]
    for n, who, club in m.some(8):
        rows.append([m.set.upper(), n, who.upper(), club.upper()])
        m.means(n, who.upper(), club.upper(), set=m.set.upper())
    return "all.csv", text(rows)


@maker
def team_and_city(m: Made):
    rows = [["Card", "Player", "City", "Nickname"]]
    for n, who, club in m.some(8):
        city, nick = club.split()
        rows.append([n, who, city, nick])
        m.means(n, who, f"|{club}|{city}|{nick}")
    return f"{m.set}.csv", text(rows)


@maker
def numbers_behind_letters(m: Made):
    rows = [["Code", "Player", "Team", "Rarity"]]
    for n, who, club in m.some(9):
        rows.append([f"SH-{n:03d}", who, club, m.r.choice(["Common", "Uncommon", "Rare"])])
        m.means(f"SH-{n:03d}", who, club)
    return f"{m.set}.csv", text(rows)


@maker
def tabs_and_spaces(m: Made):
    lines = ["No.\t Player \t Team "]
    for n, who, club in m.some(9):
        lines.append(f" {n} \t {who} \t {club} ")
        m.means(n, who, club)
    lines += ["", "checklist total \t 9"]
    return f"{m.set}.txt", "\n".join(lines).encode("utf-16")


@maker
def set_lines_in_capitals(m: Made):
    rows: list[list[Any]] = [["No", "Player", "Team"]]
    for line in ("Slate Harbor", "Far Meadow"):
        m.line = line
        rows.append([m.set.upper()])
        for n, who, club in m.some(5):
            rows.append([n, who, club])
            m.means(n, who, club, set=m.set.upper())
    return "two sets.csv", text(rows)


@maker
def parallels_in_two_columns(m: Made):
    rows = [["#", "Player", "Team", "Parallel 1", "Parallel 2"]]
    for n, who, club in m.some(8):
        two = "Onyx /10" if n % 2 else ""
        rows.append([n, who, club, "Jade /99", two])
        m.means(n, who, club, "Jade/99" + ("; Onyx/10" if two else ""))
    return f"{m.set}.csv", text(rows)


@maker
def thanks_below(m: Made):
    rows = plain_rows(m, 8, ["#", "Player", "Team"])
    rows += [[], ["Thanks to all who helped!"], ["If you find a mistake, write to me."]]
    return f"{m.set}.csv", text(rows)


@maker
def totals_by_club(m: Made):
    rows = plain_rows(m, 10, ["Nr.", "Spieler", "Verein"])
    rows += [[], ["Verein", "Karten"], *([club, 2] for club in CLUBS), ["Summe", 10]]
    return f"{m.set}.xlsx", book(("Tabelle1", rows))


def later(count: int, seed: int = 1) -> Iterator[Space]:
    """So many files, the makers in turn."""
    return files(MAKERS, "later", count, seed)
