"""A batch put together at random: habits of title, columns, parallels, footers and files meet in
seven languages."""

from __future__ import annotations

from collections.abc import Iterator
from types import SimpleNamespace as Space
from typing import Any

from bench.checklist.shelves import Page, ods
from bench.checklist.tongues import TONGUES
from bench.lists.kit import Made, book, files, table

_RUNS = ("/{n}", "{n}", "#/{n}", "x/{n}")
_TITLES = (
    "{s}", "{s} ({n})", "*** {s} ***", "{s} / {n}", "CHECKLIST: {s}", "{s} - Checklist v2",
    "{s} (complete)",
)  # fmt: skip


class _List:
    """One list: what its maker does, and the lines that come of it."""

    def __init__(self, m: Made) -> None:
        self.p = Page(m, TONGUES[m.r.randrange(len(TONGUES))])
        self.m, self.r = m, m.r
        self.columns = self._columns()
        self.where = self.r.choice(["title", "file", "columns"])
        if self.where == "columns":
            self.columns = [*self.r.choice((["year", "set"], ["set", "year"])), *self.columns]
        self.way = self.r.choice(["none", "none", "cell", "crosses", "runs"])
        if self.way == "cell":
            self.columns += ["parallel"]
        self.sections = self.where != "columns" and self.r.random() < 0.35

    def _columns(self) -> list[str]:
        some = ["number", "subject", "team"]
        if self.r.random() < 0.3:
            some = ["subject", "number", "team"]
        more = [one for one in ("price", "note", "count") if self.r.random() < 0.4]
        for one in more:
            some.insert(self.r.randint(1, len(some)), one)
        return some

    def lines(self) -> list[list[Any]]:
        """The whole sheet."""
        head = self.p.head(*self.columns)
        head += {"crosses": ["Amber", "Ink /25"], "runs": ["Amber", "Ink"]}.get(self.way, [])
        if self.r.random() < 0.2:
            head = [f" {name} " for name in head]
        rows = [head]
        count = self.r.randint(8, 12)
        half = count // 2 if self.sections else count
        rows += self._cards(1, half, "")
        if self.sections:
            part = f"{self.p.tongue.rookies}"
            rows += [[self.r.choice(["{p}", "{p} {a}-{b}", "{p} ({c})"]).format(
                p=part, a=half + 1, b=count, c=count - half)]]  # fmt: skip
            rows += self._cards(half + 1, count - half, part)
        return [*self._top(count), *rows, *self._foot(count)]

    def _top(self, count: int) -> list[list[Any]]:
        if self.where != "title":
            return []
        title = self.r.choice(_TITLES).format(s=self.m.set, n=count)
        notes = [[self.p.note()]] if self.r.random() < 0.3 else []
        return [[title], *([[]] * self.r.randint(0, 1)), *notes, *([[]] * self.r.randint(0, 1))]

    def _foot(self, count: int) -> list[list[Any]]:
        rows: list[list[Any]] = [[]] * self.r.randint(0, 2)
        if self.r.random() < 0.6:
            total = self.p.total(count)
            rows += [[total, count] if not any(map(str.isdigit, total)) else [total]]
        if self.r.random() < 0.3:
            rows += [[self.p.note()]]
        return rows

    def _cards(self, start: int, count: int, part: str) -> list[list[Any]]:
        found = []
        for card in self.p.cards(min(count, 12), start):
            number, who, club, alias = card
            held = self.r.choice([(), ("Amber",), ("Amber", "Ink /25")])
            if number in (1, 2):
                held = ("Amber", "Ink /25")
            if self.way == "none":
                held = ()
            if self.way == "runs":
                held = tuple({"Amber": "Amber /99"}.get(one, one) for one in held)
            given = {
                "number": number, "subject": who, "team": club, "alias": alias, "count": 1,
                "price": self.p.price(number), "note": self.r.choice(["", "", "creased"]),
                "year": self.m.year, "set": self.m.line, "parallel": ", ".join(held),
            }  # fmt: skip
            found.append([*self.p.row(self.columns, given), *self._marks(held)])
            self.m.means(number, who, club, "; ".join(held).replace(" /", "/"), part)
        return found

    def _marks(self, held: tuple[str, ...]) -> list[str]:
        if self.way == "crosses":
            return ["x" if "Amber" in held else "", "x" if "Ink /25" in held else ""]
        if self.way == "runs":
            runs = ["99" if "Amber /99" in held else "", "25" if "Ink /25" in held else ""]
            return [run and f"/{run}" for run in runs]
        return []


def _made(m: Made) -> tuple[str, bytes]:
    one = _List(m)
    rows, r = one.lines(), m.r
    name = (
        m.set if one.where == "file" else r.choice(["list", "meine liste", "export (2)", "cards"])
    )
    kind = r.choice(["csv", "csv", "tsv", "xlsx", "ods", "txt"])
    if kind == "xlsx":
        return f"{name}.xlsx", book(("Sheet1", rows))
    if kind == "ods":
        return f"{name}.ods", ods(rows)
    mark = {"tsv": "\t", "txt": "\t"}.get(kind) or r.choice(",;")
    text = table(rows, mark, r.choice(["\r\n", "\n"]))
    encoding = r.choice(["utf-8", "utf-8-sig", "utf-16", one.p.tongue.old])
    return f"{name}.{kind}", text.encode(encoding)


def mixed(count: int, seed: int = 1) -> Iterator[Space]:
    """So many files."""
    for at, one in enumerate(files([_made], "mixed", count, seed)):
        one.shape = f"mixed {at}"
        yield one
