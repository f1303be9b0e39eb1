"""Lists that nothing was worked on with: other sheets, other people, other ways to write a file.

Written apart from `drawn.py`, from what is seen in hobby spreadsheets, on web pages that were
copied and in workbooks; no code is shared. A sheet is built cell by cell and saved as CSV in
several dialects, as a workbook by openpyxl, or as OpenDocument by hand."""

from __future__ import annotations

import datetime
import io
import zipfile
from collections.abc import Callable
from random import Random
from types import SimpleNamespace as Space
from xml.sax.saxutils import escape

import openpyxl

PEOPLE = """Pell Ardry;Wim Osterly;Noor Halvan;Ike Brandle;Zora Quist;Émile Travin;Jorgen Skål;Tessa
Umber;Rafe Dillo;Odalys Crane;Fitz Mallow;Hana Ruvel;Gus Petterby;Livia Corso;Marek Dlouh;Cass
Everline;Bram de Witte;Sol Arroyo;Yves Pommier;Kit Vandermoor;Dov Lissner;Ines Falcão;Otto
Grünfeld;Pia Rosenquist;Teo Marchetti;Una Whitlock;Vic Sandoval;Wes Copperfield;Xan Ortolan;Yael
Broome;Zeke Farrow;Abel Thornby;Beth Calloway;Cole Ravenel;Dina Mirov;Earl Hobbs;Fay Lindqvist;
Gil Navarre;Hope Atwater;Ira Kestrel"""
PEOPLE = [" ".join(one.split()) for one in PEOPLE.split(";")]
CLUBS = ["Port Ashby Terns", "Dunmore Rams", "Lowell Park Moths", "Cedar Falls Pikes", "Brannock"]
LINES = ["Copperline", "Nightfall", "Prairie Star", "Old Orchard", "Tidewater Classics"]


class Sheet:
    """Rows of cells; None is an empty one."""

    def __init__(self, r: Random) -> None:
        self.rows: list[list] = []
        self.truth: list[Space] = []
        self.merged: list[str] = []
        self.extra: dict[tuple[str, str], str] = {}
        self.r = r
        self.names = r.sample(PEOPLE, len(PEOPLE))
        self.year = r.randint(1968, 2023)
        self.line = r.choice(LINES)

    @property
    def set(self) -> str:
        return f"{self.year} {self.line}"

    def row(self, *cells: object) -> None:
        self.rows.append(list(cells))

    def means(
        self, number: object, subject: str, team: str = "", parallels=(), series="", set=""
    ) -> None:
        self.truth.append(
            Space(
                set=set or self.set,
                number=str(number),
                subject=subject,
                team=team,
                parallels=tuple(parallels),
                series=series,
            )
        )

    def person(self) -> tuple[str, str]:
        return self.names.pop(), self.r.choice(CLUBS)


def as_csv(sheet: Sheet, mark: str, encoding: str = "utf-8", quote_all: bool = False) -> bytes:
    width = max(map(len, sheet.rows))
    lines = []
    for row in sheet.rows:
        cells = ["" if c is None else str(c) for c in row] + [""] * (width - len(row))
        lines.append(
            mark.join(
                f'"{c.replace(chr(34), chr(34) * 2)}"'
                if quote_all or any(s in c for s in (mark, '"', "\n"))
                else c
                for c in cells
            )
        )
    return "\r\n".join(lines).encode(encoding, "replace")


def as_xlsx(*sheets: tuple[str, Sheet]) -> bytes:
    book = openpyxl.Workbook()
    book.remove(book.active)
    for name, sheet in sheets:
        page = book.create_sheet(name)
        for row in sheet.rows:
            page.append(row)
        for cells in sheet.merged:
            page.merge_cells(cells)
    file = io.BytesIO()
    book.save(file)
    return file.getvalue()


_ODS = (
    '<?xml version="1.0" encoding="UTF-8"?><office:document-content '
    'xmlns:office="urn:oasis:names:tc:opendocument:xmlns:office:1.0" '
    'xmlns:table="urn:oasis:names:tc:opendocument:xmlns:table:1.0" '
    'xmlns:text="urn:oasis:names:tc:opendocument:xmlns:text:1.0" office:version="1.2">'
    "<office:body><office:spreadsheet>{}</office:spreadsheet></office:body>"
    "</office:document-content>"
)


def as_ods(name: str, sheet: Sheet) -> bytes:
    lines = []
    for row in sheet.rows:
        cells = "".join(map(_ods_cell, row))
        lines.append(f"<table:table-row>{cells}</table:table-row>")
    filler = (
        '<table:table-row table:number-rows-repeated="1048000">'
        '<table:table-cell table:number-columns-repeated="1024"/></table:table-row>'
    )
    table = f'<table:table table:name="{escape(name)}">{"".join(lines)}{filler}</table:table>'
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w") as packed:
        packed.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
        packed.writestr(
            "META-INF/manifest.xml",
            "<manifest:manifest "
            'xmlns:manifest="urn:oasis:names:tc:opendocument:xmlns:manifest:1.0">'
            '<manifest:file-entry manifest:full-path="/" '
            'manifest:media-type="application/vnd.oasis.opendocument.spreadsheet"/>'
            '<manifest:file-entry manifest:full-path="content.xml" manifest:media-type="text/xml"/>'
            "</manifest:manifest>",
        )
        packed.writestr("content.xml", _ODS.format(table))
    return file.getvalue()


def _ods_cell(value: object) -> str:
    if value is None or value == "":
        return "<table:table-cell/>"
    if isinstance(value, (int, float)):
        kind = f'office:value-type="float" office:value="{value}"'
    else:
        kind = 'office:value-type="string"'
    return f"<table:table-cell {kind}><text:p>{escape(str(value))}</text:p></table:table-cell>"


MAKERS: list[Callable[[Sheet], tuple[str, bytes]]] = []


def maker(function):
    MAKERS.append(function)
    return function


@maker
def collectors_workbook(s: Sheet):
    """A title over all columns, a note, numbers as numbers, ticks for what is owned."""
    s.row(f"{s.set} - Master Checklist")
    s.merged.append("A1:F1")
    s.row()
    s.row("Card #", "Player", "Team", "Own?", "Low", "Value ($)")
    for n in range(1, 26):
        name, club = s.person()
        s.row(n, name, club, s.r.choice(["x", None]), 0.1, 0.25)
        s.means(n, name, club)
        s.extra[str(n), "price"] = "0.25"
    return "collection.xlsx", as_xlsx(("Sheet1", s))


@maker
def workbook_of_years(s: Sheet):
    pages = []
    for year in (1991, 1992, 1993):
        page = Sheet(s.r)
        page.year, page.line = year, "Old Orchard"
        page.names = s.r.sample(PEOPLE, 12)
        page.row("No.", "Name", "Club", "Parallel")
        for n in range(1, 11):
            name, club = page.person()
            some = [("Sepia", 75)] if n % 3 == 0 else []
            page.row(n, name, club, "Sepia /75" if some else None)
            page.means(n, name, club, some)
        pages.append((page.set, page))
        s.truth += page.truth
    return "orchards.xlsx", as_xlsx(*pages)


@maker
def workbook_with_merged_cells(s: Sheet):
    s.row("Year", "Product", "Insert", "Number", "Player")
    at = 2
    for part, count in (("Base", 8), ("Star Turn", 5), ("Backstage", 4)):
        first = at
        for n in range(1, count + 1):
            name, _ = s.person()
            top = at == 2
            s.row(
                s.year if top else None,
                s.line if top else None,
                part if at == first else None,
                n,
                name,
            )
            s.means(n, name, "", (), part)
            at += 1
        s.merged.append(f"C{first}:C{at - 1}")
    s.merged += [f"A2:A{at - 1}", f"B2:B{at - 1}"]
    return "merged.xlsx", as_xlsx(("Tabelle1", s))


@maker
def open_document(s: Sheet):
    s.row("Kartennummer", "Spieler", "Mannschaft", "Auflage")
    for n in range(1, 21):
        name, club = s.person()
        run = s.r.choice([None, 99, 250])
        s.row(f"{n:03d}", name, club, run)
        s.means(f"{n:03d}", name, club, [(f"/{run}", run)] if run else [])
    s.row(None, "Summe", None, 20)
    return f"{s.set}.ods", as_ods("Blatt1", s)


@maker
def dates_in_a_workbook(s: Sheet):
    s.row("No", "Player")
    for n in range(1, 13):
        name, _ = s.person()
        number = datetime.datetime(2024, 3, n) if n == 7 else n
        s.row(number, name)
        s.means("2024-03-07" if n == 7 else n, name)
    s.damaged = True
    return f"{s.set}.xlsx", as_xlsx(("Sheet1", s))


@maker
def parallels_as_rows_of_their_own(s: Sheet):
    s.row("Brand", "Year", "Card Set", "#", "Athlete", "Finish", "Serial Numbered", "Book Value")
    for n in range(1, 15):
        name, _ = s.person()
        some = []
        s.row("Lampyard", s.year, s.line, n, name, "Base", "", "0.10")
        for finish, run in s.r.sample([("Rose Foil", 100), ("Ink", None), ("Onyx", 1)], 2):
            s.row("Lampyard", s.year, s.line, n, name, finish, f"#/{run}" if run else "", "2.00")
            some.append((finish, run))
        s.means(n, name, "", [("Base", None), *some])
    return "parallels.csv", as_csv(s, ",")


@maker
def rainbow_grid(s: Sheet):
    s.row(s.set)
    s.row("#", "PLAYER", "TEAM", "ORANGE (/25)", "TEAL (/99)", "PLATINUM (1/1)", "NOTES")
    for n in range(1, 19):
        name, club = s.person()
        ticks = [s.r.choice(["X", ""]) for _ in range(3)]
        if n == 1:
            ticks = ["X"] * 3
        s.row(n, name.upper(), club, *ticks, "centering" if n == 4 else "")
        names = [("ORANGE", 25), ("TEAL", 99), ("PLATINUM", 1)]
        s.means(n, name.upper(), club, [p for p, t in zip(names, ticks, strict=False) if t])
    return "rainbow.csv", as_csv(s, "\t", "utf-16")


@maker
def old_mac_text(s: Sheet):
    s.row("Set", "Card", "Description", "Tm")
    for n in range(1, 21):
        name, _ = s.person()
        s.row(s.set, f"{n}{s.r.choice(['', 'a'])}", name, "PAT")
        s.means(s.rows[-1][1], name, "PAT")
    return "mac.txt", as_csv(s, "\t").replace(b"\r\n", b"\r")


@maker
def pasted_page(s: Sheet):
    text = [f"{s.set} Trading Cards", "", "Checklist (20 cards)", ""]
    for n in range(1, 21):
        name, club = s.person()
        text.append(f"#{n} {name} ({club})")
        s.means(n, name, club)
    return "page.txt", "\n".join(text).encode()


@maker
def pasted_page_with_inserts(s: Sheet):
    text = [s.set, "", "BASE SET", ""]
    for n in range(1, 13):
        name, club = s.person()
        text.append(f"{n}\t{name}\t{club}")
        s.means(n, name, club)
    text += ["", "FULL SAIL", ""]
    for n in range(1, 6):
        name, club = s.person()
        text.append(f"FS-{n}\t{name}\t{club}")
        s.means(f"FS-{n}", name, club, (), "FULL SAIL")
    return "page.txt", "\n".join(text).encode()


@maker
def columns_of_a_page(s: Sheet):
    """Three columns of one list beside each other, as they are printed."""
    s.row("#", "Name", None, "#", "Name", None, "#", "Name")
    people = [s.person()[0] for _ in range(24)]
    for at in range(8):
        cells = []
        for block in range(3):
            cells += [at + 1 + 8 * block, people[at + 8 * block], None]
        s.row(*cells[:-1])
    for n, name in enumerate(people, 1):
        s.means(n, name)
    return f"{s.set}.csv", as_csv(s, ";")


@maker
def two_lists_in_a_sheet(s: Sheet):
    for year in (1979, 1980):
        s.year = year
        s.row(f"{s.set}", None, None)
        s.row("Number", "Player", "Team")
        for n in range(1, 9):
            name, club = s.person()
            s.row(n, name, club)
            s.means(n, name, club)
        s.row("Total", 8, None)
        s.row(None, None, None)
    return "lists.xlsx", as_xlsx(("Cards", s))


@maker
def subset_lines(s: Sheet):
    s.row("Card No.", "Subject", "Team", "Est. Value")
    for start, name in ((1, None), (11, "ALL-STARS (11-15)"), (16, "LEAGUE LEADERS (16-20)")):
        if name:
            s.row(name)
        for n in range(start, 11 if start == 1 else start + 5):
            who, club = s.person()
            s.row(n, who, club, "$1.00")
            s.means(n, who, club, (), name.split(" (")[0] if name else "")
            s.extra[str(n), "price"] = "$1.00"
    s.row()
    s.row("Values as of spring; compiled by a member of the club")
    return f"{s.set}.csv", as_csv(s, ",", "utf-8-sig")


@maker
def european_prices(s: Sheet):
    s.row("Année", "Collection", "N°", "Joueur", "Club", "Variante", "Tirage", "Prix (€)")
    for n in range(1, 16):
        who, club = s.person()
        some = [("Argent", 1500)] if n % 4 == 0 else []
        s.row(
            s.year, s.line, n, who, club, "Argent" if some else "", "1 500" if some else "", "0,50"
        )
        s.means(n, who, club, some)
        s.extra[str(n), "price"] = "0,50"
    return "cartes.csv", as_csv(s, ";", "cp1252")


@maker
def all_quoted(s: Sheet):
    s.row("set", "card_number", "player_name", "team_name", "print_run", "rookie")
    for n in range(1, 16):
        who, club = s.person()
        s.row(s.set, f"CL-{n}", f"{who} RC" if n == 3 else who, club, "", "TRUE" if n == 3 else "")
        s.means(f"CL-{n}", who, club)
    return "export.csv", as_csv(s, ",", quote_all=True)


@maker
def dotted_numbers(s: Sheet):
    """As a data frame writes whole numbers beside empty cells, with its own index in front."""
    s.row("", "Number", "Player", "Team", "Print Run")
    for n in range(1, 16):
        who, club = s.person()
        run = 199 if n % 5 == 0 else None
        s.row(n - 1, f"{n}.0", who, club, f"{run}.0" if run else "")
        s.means(n, who, club, [(f"/{run}", run)] if run else [])
    return f"{s.set}.csv", as_csv(s, ",")


@maker
def number_of_total(s: Sheet):
    s.row("Card", "Name", "Version")
    for n in range(1, 16):
        who, _ = s.person()
        some = [("Holo", None)] if n % 2 else []
        s.row(f"{n:03d}/120", who, "Holo" if some else "")
        s.means(f"{n:03d}/120", who, "", some)
    return f"{s.set}.csv", as_csv(s, ",")


@maker
def letters_for_numbers(s: Sheet):
    s.row("Insert Set", "Card Code", "Player")
    s.rows[0][1] = "Card #"
    for n in range(1, 13):
        who, _ = s.person()
        initials = "".join(part[0] for part in who.split()).upper()
        s.row("Signature Row", f"SR-{initials}{n}", who)
        s.means(f"SR-{initials}{n}", who, "", (), "Signature Row")
    return f"{s.set}.csv", as_csv(s, ",")


@maker
def missing_numbers(s: Sheet):
    """Some rows have none: kept, and told."""
    s.row("Number", "Player", "Team", "Set")
    for n in range(1, 16):
        who, club = s.person()
        number = "" if n in (4, 5, 6) else n
        s.row(number, who, club, s.set)
        s.means(number, who, club)
    s.damaged = True
    return "holes.csv", as_csv(s, ",")


@maker
def key_and_value_above(s: Sheet):
    s.row("Set:", s.line)
    s.row("Year:", s.year)
    s.row("Cards:", 14)
    s.row()
    s.row("No.", "Player", "Team")
    for n in range(1, 15):
        who, club = s.person()
        s.row(n, who, club)
        s.means(n, who, club)
    return "about.csv", as_csv(s, "|")


@maker
def two_subjects(s: Sheet):
    s.row("Set Name", "Number", "Player(s)", "Team(s)")
    for n in range(1, 11):
        (a, one), (b, two) = s.person(), s.person()
        s.row(s.set, n, f"{a} / {b}", f"{one} / {two}")
        s.means(n, f"{a} / {b}", f"{one} / {two}")
    return "pairs.csv", as_csv(s, ",")


@maker
def heading_above_each_set(s: Sheet):
    s.row("Card #", "Player", "Team")
    for year in (2001, 2002):
        s.year = year
        s.row(s.set)
        for n in range(1, 10):
            who, club = s.person()
            s.row(n, who, club)
            s.means(n, who, club)
    return "both.csv", as_csv(s, ",")


@maker
def odd_headings_of_ones_own(s: Sheet):
    """Nothing in the headings is known: what is guessed must be told."""
    s.row("Kaartje", "Wie", "Waar")
    for n in range(1, 13):
        who, club = s.person()
        s.row(n, who, club)
        s.means(n, who, club)
    s.damaged = True
    return f"{s.set}.csv", as_csv(s, ";")


@maker
def breaks_in_cells(s: Sheet):
    s.row("Card\nNo.", "Player", "Parallels\n(print run)")
    for n in range(1, 11):
        who, _ = s.person()
        some = [("Flint", 300), ("Flint Edge", 20)] if n % 2 else []
        s.row(n, who.replace(" ", "\n", 1), "\n".join(f"{p} /{k}" for p, k in some))
        s.means(n, who, "", some)
    return f"{s.set}.xlsx", as_xlsx(("Sheet1", s))


@maker
def prices_of_parallels(s: Sheet):
    s.row("No.", "Player", "Price", "Price Gold", "Gold", "Silver")
    for n in range(1, 12):
        who, _ = s.person()
        s.row(n, who, "0.20", "3.00", "/75", "x" if n % 2 else "")
        s.means(n, who, "", [("Gold", 75), *([("Silver", None)] if n % 2 else [])])
        s.extra[str(n), "price gold"] = "3.00"
    return f"{s.set}.csv", as_csv(s, ",")


def held_out(count: int, seed: int = 1):
    """So many files, the makers in turn."""
    for at in range(count):
        make = MAKERS[at % len(MAKERS)]
        sheet = Sheet(Random(f"held out {seed}/{at}"))
        sheet.damaged = False
        name, data = make(sheet)
        yield Space(
            shape=make.__name__,
            name=name,
            data=data,
            cards=sheet.truth,
            extra=sheet.extra,
            damaged=sheet.damaged,
        )
