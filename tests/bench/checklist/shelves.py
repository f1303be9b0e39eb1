"""A batch of 63 lists: each of nine layouts in each of seven languages."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from random import Random
from types import SimpleNamespace as Space
from typing import Any

from bench.checklist.tongues import NAMES, TONGUES, Tongue
from bench.lists.held_out import Sheet, as_ods
from bench.lists.kit import Made, Maker, book, files, table

Cards = list[tuple[int, str, str, str]]  # number, subject, club, alias
_WIDE = str.maketrans("0123456789", "０１２３４５６７８９")


class Page:
    """One list in a language: the headings that it picks, and its cards."""

    def __init__(self, m: Made, tongue: Tongue) -> None:
        self.m, self.r, self.tongue = m, m.r, tongue

    def head(self, *meanings: str) -> list[str]:
        """A spelling for each column; the alias column where the language has one."""
        named = self.tongue.all()
        names = [self.r.choice(named[one]) for one in meanings]
        if self.tongue.alias:
            names.insert(meanings.index("subject") + 1, self.tongue.alias)
        return names

    def cards(self, count: int, start: int = 1) -> Cards:
        """So many cards, no two of one name."""
        if not self.tongue.alias:
            return [(n, who, club, "") for n, who, club in self.m.some(count, start)]
        names = self.r.sample(NAMES, count)
        clubs = ("港ガルズ", "砂丘フォックス", "霧島ヘロンズ")
        return [
            (n, who, self.r.choice(clubs), alias) for n, (who, alias) in enumerate(names, start)
        ]

    def row(self, meanings: Sequence[str], given: dict[str, Any]) -> list[Any]:
        """The cells of a card in the order of the columns."""
        row = [given.get(one, "") for one in meanings]
        if self.tongue.alias:
            row.insert(meanings.index("subject") + 1, given.get("alias", ""))
        return row

    def total(self, count: int) -> str:
        return self.r.choice(self.tongue.totals).format(n=count)

    def note(self) -> str:
        return self.r.choice(self.tongue.remarks)

    def price(self, at: int) -> str:
        euro = f"{at % 7},{at * 15 % 100:02d}"
        return {"english": euro.replace(",", "."), "japanese": str(at * 120)}.get(
            self.tongue.name, euro
        )


def _given(card: tuple[int, str, str, str], **more: Any) -> dict[str, Any]:
    n, who, club, alias = card
    return {"number": n, "subject": who, "team": club, "alias": alias, **more}


def _priced(p: Page) -> tuple[str, bytes]:
    columns = ("number", "subject", "team", "price")
    head = p.head(*columns)
    rows = [head]
    for card in p.cards(9):
        price = p.price(card[0])
        rows.append(p.row(columns, _given(card, price=price)))
        p.m.means(card[0], card[1], card[2])
        p.m.extra[str(card[0]), "price"] = price
    rows += [[], [p.total(9)]]
    return f"{p.m.set}.csv", table(rows, ";").encode(p.r.choice(["utf-8", p.tongue.old]))


def _titled(p: Page) -> tuple[str, bytes]:
    columns = ("number", "team", "subject", "note")
    rows: list[list[Any]] = [[p.m.set], [], [p.note()], [], p.head(*columns)]
    for card in p.cards(10):
        rows.append(p.row(columns, _given(card, note=p.r.choice(["", "", "EX"]))))
        p.m.means(*card[:3])
    rows += [[], [p.total(10)], [p.note()]]
    return "liste 3.xlsx", book(("Blatt1", rows))


def _two_tables(p: Page) -> tuple[str, bytes]:
    columns = ("number", "subject", "team")
    rows: list[list[Any]] = []
    head = p.head(*columns)
    for line in ("Slate Harbor", "Copper Mill"):
        p.m.line = line
        rows += [[p.m.set], head]
        for card in p.cards(6):
            rows.append(p.row(columns, _given(card)))
            p.m.means(*card[:3])
        rows += [[p.total(6)], []]
    return "two.xlsx", book(("Sheet1", rows))


def _merged(p: Page) -> tuple[str, bytes]:
    columns = ("year", "set", "number", "subject", "team")
    rows = [p.head(*columns)]
    for year in (1988, 1991):
        p.m.year = year
        for at, card in enumerate(p.cards(6)):
            told = {"year": year, "set": p.m.line} if at == 0 else {"year": None, "set": None}
            rows.append(p.row(columns, _given(card, **told)))
            p.m.means(*card[:3])
    rows.append([p.total(12)])
    return "merged.ods", ods(rows)


def ods(rows: list[list[Any]]) -> bytes:
    """The rows as an open document."""
    sheet = Sheet(Random(0))
    sheet.rows = rows
    return as_ods("Sheet1", sheet)


def _crosses(p: Page) -> tuple[str, bytes]:
    columns = ("number", "subject", "team")
    rows = [[*p.head(*columns), "Gold /50", "Silver", "Teal Wave"]]
    for card in p.cards(9):
        marks = [p.r.choice(["x", "", "x"]), p.r.choice(["X", ""]), p.r.choice(["x", ""])]
        if card[0] == 1:
            marks = ["x", "X", "x"]
        rows.append([*p.row(columns, _given(card)), *marks])
        names = ("Gold/50", "Silver", "Teal Wave")
        held = "; ".join(name for name, mark in zip(names, marks, strict=True) if mark)
        p.m.means(card[0], card[1], card[2], held)
    rows.append([p.total(9)])
    return f"{p.m.set}.tsv", table(rows, "\t").encode("utf-16")


def _rows_of_parallels(p: Page) -> tuple[str, bytes]:
    columns = ("number", "subject", "team", "parallel", "run", "price")
    rows = [p.head(*columns)]
    for card in p.cards(7):
        held = []
        for name, run in (("", ""), ("Gold", "50"), ("Emerald", "")):
            if name and p.r.random() < 0.3:
                continue
            rows.append(p.row(columns, _given(card, parallel=name, run=run, price=p.price(3))))
            if name:
                held.append(f"{name}/{run}" if run else name)
        p.m.means(card[0], card[1], card[2], "; ".join(held))
    return f"{p.m.set}.csv", table(rows, p.r.choice(",;")).encode("utf-8-sig")


def _sections(p: Page) -> tuple[str, bytes]:
    columns = ("number", "subject", "team", "count")
    rows: list[list[Any]] = [[p.m.set], p.head(*columns)]
    for card in p.cards(6):
        rows.append(p.row(columns, _given(card, count=1)))
        p.m.means(*card[:3])
    rows.append([f"{p.tongue.rookies} 7–12"])
    for card in p.cards(6, 7):
        rows.append(p.row(columns, _given(card, count=2)))
        p.m.means(card[0], card[1], card[2], "", p.tongue.rookies)
    rows += [[p.total(12)]]
    text = table(rows, ";", "\n")
    return "mine.csv", text.encode(p.tongue.old, "replace").replace(b"?", b"-")


def _noted(p: Page) -> tuple[str, bytes]:
    columns = ("number", "note", "subject", "count", "team", "price")
    rows = [p.head(*columns)]
    for card in p.cards(8):
        shown = f"{card[0]:03d}"
        if p.tongue.alias:
            shown = shown.translate(_WIDE)
        note = p.r.choice(["", "off centre", "see box 2", ""])
        rows.append(
            p.row(columns, _given(card, number=shown, note=note, count=1, price=p.price(5)))[:]
        )
        rows[-1][0] = shown
        p.m.means(f"{card[0]:03d}|{shown}", card[1], card[2])
    return f"{p.m.set} checklist.txt", table(rows, "\t", "\r").encode("utf-16")


def _pasted(p: Page) -> tuple[str, bytes]:
    columns = ("set", "year", "number", "subject", "team")
    rows = [p.head(*columns)]
    for card in p.cards(9):
        rows.append(p.row(columns, _given(card, set=p.m.line, year=p.m.year, number=f"#{card[0]}")))
        p.m.means(*card[:3])
    rows += [[], [p.note()], [p.total(9)]]
    return "clipboard.txt", table(rows, "\t", "\n").encode()


LAYOUTS: tuple[Callable[[Page], tuple[str, bytes]], ...] = (
    _priced, _titled, _two_tables, _merged, _crosses, _rows_of_parallels, _sections, _noted,
    _pasted,
)  # fmt: skip


def _maker(layout: Callable[[Page], tuple[str, bytes]], tongue: Tongue) -> Maker:
    def make(m: Made) -> tuple[str, bytes]:
        return layout(Page(m, tongue))

    make.__name__ = f"{layout.__name__.strip('_')} {tongue.name}"
    return make


MAKERS = [_maker(layout, tongue) for layout in LAYOUTS for tongue in TONGUES]


def shelves(count: int, seed: int = 1) -> Iterator[Space]:
    """So many files, the makers in turn."""
    return files(MAKERS, "shelves", count, seed)
