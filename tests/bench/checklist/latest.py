"""A batch made last: further habits, and lists in which words of totals and prices mean a card."""

from __future__ import annotations

from collections.abc import Iterator
from types import SimpleNamespace as Space
from typing import Any

from bench.checklist.shelves import ods
from bench.lists.kit import Made, Maker, book, files, plain_rows, table, text

MAKERS: list[Maker] = []


def maker(make: Maker) -> Maker:
    MAKERS.append(make)
    return make


@maker
def cards_called_like_totals(m: Made):
    rows = plain_rows(m, 6, ["#", "Title", "Team"])
    for n, name in enumerate(("Total Eclipse", "Checklist", "Key Moments", "Sum of Parts"), 7):
        rows.append([n, name, ""])
        m.means(n, name)
    return f"{m.set}.csv", text(rows)


@maker
def checklist_cards(m: Made):
    rows = plain_rows(m, 8, ["Card", "Player", "Team"])
    rows.append([9, "Checklist 1-8", ""])
    m.means(9, "Checklist 1-8")
    return f"{m.set}.csv", text(rows)


@maker
def established_column(m: Made):
    rows = [["No.", "Player", "Club", "Founded", "Cap."]]
    for n, who, club in m.some(8):
        rows.append([n, who, club, str(1890 + n), str(20000 + n)])
        m.means(n, who, club)
    return f"{m.set}.csv", text(rows)


@maker
def prices_by_grade(m: Made):
    rows = [["No.", "Player", "Team", "NM $", "EX $", "VG $"]]
    for n, who, club in m.some(8):
        rows.append([n, who, club, "4.00", "2.00", "1.00"])
        m.means(n, who, club)
    return f"{m.set}.csv", text(rows)


@maker
def asked_and_value(m: Made):
    rows = [["No.", "Player", "Team", "Cost €", "Market value €"]]
    for n, who, club in m.some(8):
        rows.append([n, who, club, "1,00", f"{n},50"])
        m.means(n, who, club)
        m.extra[str(n), "price"] = f"{n},50"
    return f"{m.set}.csv", table(rows, ";").encode("utf-8")


@maker
def year_in_title_line_below(m: Made):
    rows: list[list[Any]] = [[m.line], [f"Season {m.year}"], []]
    rows += plain_rows(m, 8, ["Number", "Player", "Club"])
    return "x.csv", text(rows)


@maker
def book_of_a_shop(m: Made):
    rows: list[list[Any]] = [["Inventory", None, None, None, None, "printed 3/4/2021"], []]
    rows.append(["SKU", "Year", "Set", "Card #", "Player", "Team", "Price", "Stock"])
    for n, who, club in m.some(9):
        rows.append([f"A{n:04d}", m.year, m.line, n, who, club, 1.5, 2])
        m.means(n, who, club)
        m.extra[str(n), "price"] = "1.5"
    rows.append([None, None, None, None, "Total stock", None, 13.5, 18])
    return "inventory.xlsx", book(("Inventory", rows))


@maker
def sections_of_parallels_below(m: Made):
    rows = [["Card", "Player", "Team", "Parallel"]]
    for n, who, club in m.some(6):
        rows.append([n, who, club, "Base"])
        rows.append(["", "", "", "Topaz /75"])
        rows.append(["", "", "", "Slate /10"])
        m.means(n, who, club, "Base; Topaz/75; Slate/10")
    return f"{m.set}.csv", text(rows)


@maker
def german_sections(m: Made):
    rows: list[list[Any]] = [[f"{m.set} (12 Karten)"], ["Nr.", "Spieler", "Mannschaft"]]
    for part, start in (("", 1), ("Nachwuchs (Nr. 7 bis 12)", 7)):
        if part:
            rows.append([part])
        for n, who, club in m.some(6, start):
            rows.append([n, who, club])
            m.means(n, who, club, "", "Nachwuchs" if part else "")
    rows += [["Ende der Liste"]]
    return "Liste.csv", table(rows, ";").encode("cp1252")


@maker
def french_with_totals(m: Made):
    rows = [["N°", "Joueur", "Équipe", "J'ai", "Double"]]
    for n, who, club in m.some(8):
        rows.append([n, who, club, "oui" if n % 2 else "", ""])
        m.means(n, who, club)
    rows += [["", "Total général", "", "4 / 8", ""], ["", "Reste à trouver", "", "4", ""]]
    return f"{m.set}.csv", table(rows, ";").encode("cp1252")


@maker
def japanese_prices(m: Made):
    rows = [["カード番号", "選手名", "フリガナ", "チーム名", "買取価格", "販売価格"]]
    names = (
        ("磯野 波太", "イソノ ナミタ"),
        ("風間 岬", "カザマ ミサキ"),
        ("霧島 灯", "キリシマ トモ"),
    )
    for n, (who, kana) in enumerate(names, 1):
        rows.append([f"{n:03d}", who, kana, "港ガルズ", "100", "300"])
        m.means(f"{n:03d}", who, "港ガルズ")
    return f"{m.set}.csv", table(rows).encode("cp932")


@maker
def percent_and_total_above(m: Made):
    rows: list[list[Any]] = [[m.set], ["Have", 4, "of", 8, "50%"], []]
    rows += plain_rows(m, 8, ["#", "Player", "Team"])
    return "have.xlsx", book(("Sheet1", rows))


@maker
def four_tables_of_insert_sets(m: Made):
    rows: list[list[Any]] = []
    for part, letters in (("Base", ""), ("Night Watch", "NW-"), ("High Tide", "HT-")):
        rows += [[part if part == "Base" else f"{part} Inserts"], ["No.", "Player", "Team"]]
        for n, who, club in m.some(5):
            rows.append([f"{letters}{n}", who, club])
            m.means(f"{letters}{n}", who, club, "", "" if part == "Base" else f"{part} Inserts")
        rows.append([])
    return f"{m.set}.xlsx", book(("Sheet1", rows))


@maker
def initials_and_marks(m: Made):
    rows = [["No.", "Player", "Tm", "RC?", "Auto?", "SP?"]]
    for n, who, club in m.some(9):
        rows.append([n, who, club, m.r.choice("YN"), m.r.choice("YN"), "N"])
        m.means(n, who, club)
    return f"{m.set}.csv", text(rows)


@maker
def units_in_second_line(m: Made):
    rows: list[list[Any]] = [["Nr", "Speler", "Ploeg", "Waarde"], ["", "", "", "(in €)"]]
    for n, who, club in m.some(8):
        rows.append([n, who, club, f"{n},00"])
        m.means(n, who, club)
        m.extra[str(n), "price"] = f"{n},00"
    return f"{m.set}.ods", ods(rows)


@maker
def mixed_numbers(m: Made):
    rows = [["Card #", "Player", "Team"]]
    for number in ("1a", "1b", "2", "NNO", "TC1", "3.", "B-12"):
        who = m.who()
        rows.append([number, who, "Dunlow Rams"])
        m.means(number.rstrip("."), who, "Dunlow Rams")
    return f"{m.set}.csv", text(rows)


@maker
def doubles_of_subject(m: Made):
    rows = [["Nr.", "Spieler 1", "Spieler 2", "Verein"]]
    for n, who, club in m.some(8):
        other = m.who() if n % 2 else ""
        rows.append([n, who, other, club])
        m.means(n, f"{who} / {other}|{who}, {other}|{who} & {other}" if other else who, club)
    return f"{m.set}.csv", table(rows, ";").encode("utf-8")


@maker
def named_in_the_sheet(m: Made):
    sheets = []
    for year in (1990, 1991):
        m.year = year
        rows = [["Checklist", None, None], *plain_rows(m, 6, ["Card", "Player", "Team"])]
        sheets.append((m.set, [*rows, ["Total", 6]]))
    return "binder.xlsx", book(*sheets)


@maker
def runs_in_the_heading_cells(m: Made):
    rows = [["#", "Player", "Team", "Topaz (75)", "Slate #/10"]]
    for n, who, club in m.some(8):
        rows.append([n, who, club, "x", "x" if n < 4 else ""])
        m.means(n, who, club, "Topaz/75" + ("; Slate/10" if n < 4 else ""))
    return f"{m.set}.csv", text(rows)


@maker
def spanish_paste(m: Made):
    lines = [f"{m.set}", "Lista completa (8 cromos)", "", "Nº\tJugador\tEquipo\tEstado"]
    for n, who, club in m.some(8):
        lines.append(f"{n}\t{who}\t{club}\tbueno")
        m.means(n, who, club)
    return "pegado.txt", "\n".join([*lines, "", "8 cromos en total"]).encode()


@maker
def italian_two_parts(m: Made):
    rows: list[list[Any]] = [["Numero", "Giocatore", "Squadra", "Valore stimato"]]
    for n, who, club in m.some(5):
        rows.append([n, who, club, "1,00 €"])
        m.means(n, who, club)
    rows += [["Figurine speciali"]]
    for n, who, club in m.some(4, 6):
        rows.append([n, who, club, "2,00 €"])
        m.means(n, who, club, "", "Figurine speciali")
    rows += [["", "", "Totale valore", "13,00 €"]]
    return f"{m.set}.csv", table(rows, ";").encode("utf-8-sig")


@maker
def number_and_of(m: Made):
    rows = [["No.", "of", "Player", "Team"]]
    for n, who, club in m.some(9):
        rows.append([n, 9, who, club])
        m.means(n, who, club)
    return f"{m.set}.csv", text(rows)


@maker
def signed_by(m: Made):
    rows = [["Card", "Signed by", "Club", "Ink", "Numbered"]]
    for n, who, club in m.some(8):
        rows.append([n, who, club, m.r.choice(["blue", "black"]), "50"])
        m.means(n, who, club, "/50")
    return f"{m.set}.csv", text(rows)


@maker
def last_line_signed(m: Made):
    rows = plain_rows(m, 9, ["Nr.", "Naam", "Club"])
    rows += [[], ["Gemaakt door de verzamelaar, juni 2020"]]
    return f"{m.set}.csv", table(rows, ";").encode("cp1252")


def latest(count: int, seed: int = 1) -> Iterator[Space]:
    """So many files, the makers in turn."""
    return files(MAKERS, "latest", count, seed)
