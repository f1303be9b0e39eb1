"""A third batch held out: each list is put together at random from what others do one by one, so
that habits meet which were never looked at together."""

from __future__ import annotations

from collections.abc import Iterator
from types import SimpleNamespace as Space

from bench.lists.kit import Made, book, files, table

_NUMBER = ("No.", "Card #", "Number", "#", "Card Number", "Nr.", "card_no", "Card No", "Num")
_SUBJECT = ("Player", "Name", "Subject", "Player Name", "Athlete", "Spieler", "player_name")
_TEAM = ("Team", "Club", "Team Name", "Verein", "team", "Franchise")
_SET = ("Set", "Set Name", "Product", "Release", "set_name")
_FURTHER = (
    ("Condition", ("NM", "EX", "VG")), ("Qty", ("1", "2", "3")), ("Location", ("Box 1", "Box 2")),
    ("Notes", ("", "", "see back", "off centre")), ("Have", ("x", "")), ("Price", ("0.25", "1.50")),
    ("Grade", ("", "9", "8.5")), ("Rookie", ("Y", "N")), ("Value ($)", ("1.00", "$2.00")),
    ("Position", ("P", "C", "1B", "LF")), ("Date added", ("2021-03-04", "2020-11-30")),
)  # fmt: skip
_FOOT = (
    ["Total", "{n}"], ["{n} cards"], ["Last updated 3/4/2021"], ["* subject to change"],
    ["Grand Total: {n}"], ["Source: club archive"], ["Compiled by a member of the club."],
)  # fmt: skip


class _List:
    """One list in the making."""

    def __init__(self, m: Made) -> None:
        self.m, self.r = m, m.r
        self.set_column = self.r.random() < 0.35
        self.year_apart = self.set_column and self.r.random() < 0.5
        self.way = self.r.choice(["none", "cell", "rows", "crosses", "line", "runs"])
        self.names = self.r.choice(["whole", "parts", "last first"])
        self.parts = self.r.choice([(), (), ("Base Set", "Rookies"), ("", "Deck Hands (4 cards)")])
        if self.set_column or self.way == "rows":
            self.parts = ()
        self.further = self.r.sample(_FURTHER, self.r.randint(0, 3))
        self.marks = self.r.random() < 0.3
        self.zeros = self.r.random() < 0.15
        self.blocks = self.set_column and self.r.random() < 0.4
        self.before = ""
        self.columns = self._columns()

    def _columns(self) -> list[str]:
        names = {"whole": ["subject"], "parts": ["first", "last"], "last first": ["last", "first"]}
        some = ["number", *names[self.names], "team"]
        if self.r.random() < 0.3:
            some = [*some[1:], "number"]
        if self.set_column:
            some = [*(["year"] if self.year_apart else []), "set", *some]
        some += {"cell": ["parallels"], "rows": ["parallels", "run"], "runs": ["gold", "ink"],
                 "crosses": ["gold /50", "ink"]}.get(self.way, [])  # fmt: skip
        return [*some, *(name for name, _ in self.further)]

    def head(self) -> list[str]:
        """The names of the columns."""
        pick = self.r.choice
        said = {
            "number": pick(_NUMBER), "subject": pick(_SUBJECT), "team": pick(_TEAM),
            "set": pick(_SET), "first": pick(("First Name", "First", "Vorname")),
            "last": pick(("Last Name", "Last", "Nachname", "Surname")),
            "year": pick(("Year", "Season", "Jahr")), "gold": "Gold", "ink": "Ink Blue",
            "gold /50": "Gold /50", "run": pick(("Print Run", "Numbered to", "Serial #'d")),
            "parallels": pick(("Parallels", "Parallel", "Variation", "Parallel Name")),
        }  # fmt: skip
        return [said.get(name, name) for name in self.columns]

    def rows(self) -> Iterator[list[str]]:
        """The lines below the header."""
        if self.way == "line":
            yield [
                self.r.choice(["Parallels: Gold /50, Ink Blue", "Parallels: Gold (50); Ink Blue"])
            ]
        number = 0
        for part in self.parts or ("",):
            if part:
                yield [part]
                if self.way == "line" and self.parts[0] == part:
                    yield ["Parallels: Gold /50, Ink Blue"]
            for _ in range(4 if part.startswith("Deck") else self.r.randint(5, 9)):
                number += 1
                yield from self._card(number, part)

    def _card(self, number: int, part: str) -> Iterator[list[str]]:
        m, r = self.m, self.r
        who, team = m.who(), r.choice(("Ashport Herons", "Belling Foxes", "Carrow Pikes"))
        first, last = who.split()
        text = f"{number:03d}" if self.zeros else str(number)
        mark = r.choice([" RC", " SP", ""]) if self.marks and self.names == "whole" else ""
        some = r.choice([(), ("Gold /50",), ("Gold /50", "Ink Blue")])
        if number == 1:
            some = ("Gold /50", "Ink Blue")
        if self.way in ("none", "line"):
            some = ()
        cells = {"number": text, "subject": who + mark, "first": first, "last": last, "team": team}
        cells |= {"year": str(m.year), "set": m.line if self.year_apart else m.set}
        if self.blocks and self.before == m.set:
            cells |= {"year": "", "set": ""}
        self.before = m.set
        cells |= {"parallels": "; ".join(some), "gold": "/50" if some else "",
                  "gold /50": "x" if some else "", "ink": "x" if len(some) > 1 else ""}  # fmt: skip
        cells |= {name: r.choice(values) for name, values in self.further}
        if self.way == "rows":
            cells |= {"parallels": "", "run": ""}
        yield [cells.get(name, "") for name in self.columns]
        if self.way == "rows":
            for one in some:
                name, _, run = one.partition(" /")
                cells |= {"parallels": name, "run": run and f"/{run}"}
                yield [cells.get(column, "") for column in self.columns]
        held = "; ".join(some).replace(" /", "/")
        if self.way == "line":
            in_first = not self.parts or part == self.parts[0]
            held = "Gold/50; Ink Blue" if in_first else ""
        series = "" if part in ("", "Base Set") else part.split(" (")[0]
        m.means(text, who, team, held, series)


def _made(m: Made) -> tuple[str, bytes]:
    one, r = _List(m), m.r
    count = 0
    rows = [one.head(), *one.rows()]
    count = len(m.truth)
    where = "columns" if one.set_column else r.choice(["title", "file", "title", "fact"])
    if where == "title":
        title = r.choice(
            ["{s}", "{s} Checklist", "{s} – {n} cards", "{s} ({n} cards)", "{s} Set List"]
        )
        rows = [[title.format(s=m.set, n=count)], *([[]] * r.randint(0, 2)), *rows]
    elif where == "fact":
        rows = [["Set:", m.line], ["Year:", str(m.year)], [], *rows]
    # a total of cards, and not of lines, is for another list
    feet = [foot for foot in _FOOT if one.way != "rows" or "{n}" not in "".join(foot)]
    for line in r.sample(feet, r.randint(0, 2)):
        rows += [*([[]] * r.randint(0, 1)), [cell.format(n=count) for cell in line]]
    name = m.set if where == "file" else r.choice(["list", "cards", "export", "mine"])
    if r.random() < 0.3:
        wide = max(map(len, rows))
        cells = [[_typed(cell) for cell in row] + [None] * (wide - len(row)) for row in rows]
        return f"{name}.xlsx", book(("Sheet1", cells))
    mark = r.choice(",,;\t|")
    if r.random() < 0.5:
        wide = max(map(len, rows))
        rows = [[*row, *[""] * (wide - len(row))] for row in rows]
    text = table(rows, mark, r.choice(["\r\n", "\n", "\r"]))
    ending = "tsv" if mark == "\t" else r.choice(["csv", "csv", "txt"])
    return f"{name}.{ending}", text.encode(r.choice(["utf-8", "utf-8-sig", "utf-16", "cp1252"]))


def _typed(cell: str) -> object:
    if cell.isdigit() and not cell.startswith("0"):
        return int(cell)
    return cell or None


MAKERS = [_made] * 60


def combined(count: int, seed: int = 1) -> Iterator[Space]:
    """So many files."""
    for at, one in enumerate(files(MAKERS, "combined", count, seed)):
        one.shape = f"combined {at}"
        yield one
