"""What the later batches of lists are built with: people, what a file means, and ways to save it.

A text with `|` in what is meant has alternatives: either is right."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Iterator, Sequence
from random import Random
from types import SimpleNamespace as Space
from typing import Any

import openpyxl

FIRST = [
    "Alder",
    "Bettina",
    "Corwin",
    "Delphine",
    "Eamon",
    "Florian",
    "Greta",
    "Hollis",
    "Ignace",
    "Jolanda",
    "Kester",
    "Lorna",
    "Magnus",
    "Nerys",
    "Oskar",
    "Petra",
    "Quillan",
    "Rosalba",
    "Sten",
    "Tamsin",
    "Ulrich",
    "Viola",
    "Wendel",
    "Ximena",
    "Yorick",
    "Zelda",
]
LAST = [
    "Abernet",
    "Brackwell",
    "Castellon",
    "Dorrick",
    "Eastlake",
    "Fennimore",
    "Grosvald",
    "Hartnell",
    "Ilvers",
    "Jessamine",
    "Kirkbride",
    "Lothair",
    "Mossgrave",
    "Nethercott",
    "Ollerton",
    "Pemble",
    "Quarrie",
    "Rutledge",
    "Stoddart",
    "Thackeray",
    "Underhay",
    "Vantongeren",
    "Whitcliff",
    "Yarrowby",
    "Zielonka",
    "Orlebar",
]
CLUBS = (
    "Ashport Herons", "Belling Foxes", "Carrow Pikes", "Dunlow Rams", "Eastmere Larks",
)  # fmt: skip
LINES = ("Slate Harbor", "Copper Mill", "Winter Orchard", "Lantern Row", "Far Meadow")


class Made:
    """A file in the making: `means` fixes the truth, card by card."""

    def __init__(self, r: Random) -> None:
        self.r = r
        self.year = r.randint(1962, 2022)
        self.line = r.choice(LINES)
        self.truth: list[Space] = []
        self.extra: dict[tuple[str, str], str] = {}
        self.damaged = False
        pairs = [f"{a} {b}" for a in FIRST for b in LAST]
        self.people = r.sample(pairs, 200)

    @property
    def set(self) -> str:
        return f"{self.year} {self.line}"

    def who(self) -> str:
        return self.people.pop()

    def some(self, count: int, start: int = 1) -> Iterator[tuple[int, str, str]]:
        """Numbers, subjects and clubs."""
        for number in range(start, start + count):
            yield number, self.who(), self.r.choice(CLUBS)

    def means(
        self,
        number: object,
        subject: str,
        team: str = "",
        parallels: str = "",
        series: str = "",
        set: str = "",
    ) -> None:
        """`parallels`: `Gold/50; Silver`."""
        made = []
        for part in filter(None, (p.strip() for p in parallels.split(";"))):
            name, _, run = part.rpartition("/") if "/" in part else (part, "", "")
            made.append((name.strip() or f"/{run}", int(run) if run else None))
        self.truth.append(
            Space(
                set=set or self.set,
                number=str(number),
                subject=subject,
                team=team,
                parallels=tuple(made),
                series=series,
            )
        )


Maker = Callable[[Made], tuple[str, bytes]]


def table(rows: Sequence[Sequence[Any]], mark: str = ",", end: str = "\r\n", **more: Any) -> str:
    """Rows as the csv module writes them."""
    file = io.StringIO()
    csv.writer(file, delimiter=mark, lineterminator=end, **more).writerows(rows)
    return file.getvalue()


def text(rows: Sequence[Sequence[Any]], mark: str = ",") -> bytes:
    """The same as UTF-8."""
    return table(rows, mark).encode()


def book(*sheets: tuple[str, Sequence[Sequence[Any]]], merged: Sequence[str] = ()) -> bytes:
    """A workbook; `merged` are ranges of its first sheet."""
    made = openpyxl.Workbook()
    made.remove(made.active)
    for name, rows in sheets:
        page = made.create_sheet(name)
        for row in rows:
            page.append(list(row))
    for cells in merged:
        made.worksheets[0].merge_cells(cells)
    return saved(made)


def saved(made: openpyxl.Workbook) -> bytes:
    """A workbook as bytes."""
    file = io.BytesIO()
    made.save(file)
    return file.getvalue()


def plain_rows(m: Made, count: int, head: list[Any], start: int = 1) -> list[list[Any]]:
    """A heading and so many rows of number, name and team, which mean what they say."""
    rows = [head]
    for n, who, club in m.some(count, start):
        rows.append([n, who, club])
        m.means(n, who, club)
    return rows


def files(makers: Sequence[Maker], batch: str, count: int, seed: int) -> Iterator[Space]:
    """So many files, the makers in turn."""
    for at in range(count):
        make = makers[at % len(makers)]
        made = Made(Random(f"{batch} {seed}/{at}"))
        name, data = make(made)
        yield Space(
            shape=make.__name__,
            name=name,
            data=data,
            cards=made.truth,
            extra=made.extra,
            damaged=made.damaged,
        )
