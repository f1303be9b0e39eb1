"""Workbooks of several sheets, and what pandas and LibreOffice write."""

from __future__ import annotations

import importlib
import io
from dataclasses import replace
from typing import Any

from support.hobby.world import MAKERS, Card, Made, World, bare, grid, making, plain, without
from support.hobby.writers import HAS_OFFICE, HAS_PANDAS, book

_HEADS = ["Set", "No.", "Player", "Team", "Price"]
_FIELDS = "set number subject team price"


@making
def one_sheet_a_set(w: World) -> Made:
    parts = [w.cards(8, f"19{year} Night Ferry") for year in (77, 78, 79)]
    sheets = {
        plain(part[0].set): grid(part, _HEADS[1:], "number subject team price") for part in parts
    }
    return Made("ferry.xlsx", book(sheets), tuple(c for part in parts for c in part))


@making
def one_sheet_a_subset_with_titles(w: World) -> Made:
    name = "1998 Night Ferry"
    base, extra = bare(w.cards(8, name)), without(bare(w.cards(5, name)), subset="Deck Hands")
    sheets = {
        "Base": [[name], [], *grid(base, ["No.", "Player"], "number subject")],
        "Inserts": [
            [f"{name} - Deck Hands"],
            [],
            *grid(extra, ["No.", "Player"], "number subject"),
        ],
    }
    said = [
        *without(base, subset=("", "Base")),
        *[
            replace(c, set=(name, f"{name} - Deck Hands"), subset=("Deck Hands", "", "Inserts"))
            for c in extra
        ],
    ]
    return Made("nf98.xlsx", book(sheets), tuple(said))


@making
def summary_sheet_first(w: World) -> Made:
    parts = [w.cards(8, f"19{year} Night Ferry") for year in (77, 78)]
    sheets: dict[str, list[list[str]]] = {
        "Summary": [
            ["Set", "Cards", "Owned"],
            *[[plain(p[0].set), "8", "3"] for p in parts],
            ["Total", "16", "6"],
        ]
    }
    sheets |= {
        plain(part[0].set): grid(part, _HEADS[1:], "number subject team price") for part in parts
    }
    return Made("ferry.xlsx", book(sheets), tuple(c for part in parts for c in part))


@making
def hidden_sheet_of_choices(w: World) -> Made:
    """A hidden sheet holds what may be chosen in the team column."""
    cards = w.cards(10)
    sheets = {
        "Cards": grid(cards, _HEADS, _FIELDS),
        "Lists": [["Teams"], *[[team] for team in w.teams(9)]],
    }

    def hide(made: Any) -> None:
        made["Lists"].sheet_state = "hidden"

    return Made("choices.xlsx", book(sheets, hide), tuple(cards))


@making
def empty_sheets_behind(w: World) -> Made:
    cards = w.cards(10)
    return Made(
        "three.xlsx",
        book({"Tabelle1": grid(cards, _HEADS, _FIELDS), "Tabelle2": [], "Tabelle3": []}),
        tuple(cards),
    )


@making
def notes_sheet_behind(w: World) -> Made:
    cards = w.cards(10)
    notes = [
        ["To do"],
        ["1 sort box 3"],
        ["2 call Petra about the Gold ones"],
        ["Bought 12 packs in 2019"],
    ]
    return Made(
        "with notes.xlsx",
        book({"List": grid(cards, _HEADS, _FIELDS), "Notes": notes}),
        tuple(cards),
    )


@making
def same_set_on_two_sheets(w: World) -> Made:
    cards = w.cards(20, "1966 Old Orchard")
    sheets = {"1-10": grid(cards[:10], _HEADS, _FIELDS), "11-20": grid(cards[10:], _HEADS, _FIELDS)}
    return Made("oo.xlsx", book(sheets), tuple(cards))


@making
def text_and_number_cells_mixed(w: World) -> Made:
    cards = w.cards(10)
    rows: list[list[object]] = [list(row) for row in grid(cards, _HEADS, _FIELDS)]

    def as_text(made: Any) -> None:
        for at in range(2, 7):
            made.active.cell(at, 2).value = str(at - 1)

    return Made("mixed.xlsx", book(rows, as_text), tuple(cards))


@making
def old_workbook(w: World) -> Made:
    cards = w.cards(6)
    data = bytes.fromhex("d0cf11e0a1b11ae1") + bytes(504)
    return Made("old.xls", data, tuple(cards[:0]), tells=("xls", ".xlsx", "spreadsheet"))


if HAS_PANDAS:

    def _frame(cards: list[Card]) -> Any:
        pandas = importlib.import_module("pandas")
        rows = grid(cards, _HEADS, _FIELDS)
        frame = pandas.DataFrame(rows[1:], columns=rows[0])
        frame["No."] = frame["No."].astype(int)
        frame["Price"] = frame["Price"].astype(float)
        return frame

    def _excel(frame: Any, **how: Any) -> bytes:
        out = io.BytesIO()
        frame.to_excel(out, engine="openpyxl", **how)
        return out.getvalue()

    @making
    def pandas_with_index(w: World) -> Made:
        cards = w.cards(14)
        return Made("frame.csv", _frame(cards).to_csv().encode(), tuple(cards))

    @making
    def pandas_excel_with_index(w: World) -> Made:
        cards = w.cards(14)
        return Made("frame.xlsx", _excel(_frame(cards)), tuple(cards))

    @making
    def pandas_floats_and_nan(w: World) -> Made:
        cards = [
            replace(c, number="", price="") if at in (3, 4) else c
            for at, c in enumerate(w.cards(14))
        ]
        frame = _frame(without(cards, number="1", price="1"))  # type: ignore[arg-type]
        frame["No."] = [float(plain(c.number) or "nan") for c in cards]
        frame["Price"] = [float(plain(c.price) or "nan") for c in cards]
        return Made("floats.csv", frame.to_csv(index=False, na_rep="NaN").encode(), tuple(cards))

    @making
    def pandas_groups(w: World) -> Made:
        cards = [*w.cards(8, "1990 Tidewater"), *w.cards(8, "1991 Tidewater")]
        return Made("groups.xlsx", _excel(_frame(cards).set_index(["Set", "No."])), tuple(cards))

    @making
    def pandas_two_levels_of_heads(w: World) -> Made:
        pandas = importlib.import_module("pandas")
        cards = w.cards(10)
        frame = _frame(cards)
        frame.columns = pandas.MultiIndex.from_tuples(
            [
                ("Card", "Set"),
                ("Card", "No."),
                ("Card", "Player"),
                ("Card", "Team"),
                ("Market", "Price"),
            ]
        )
        return Made("levels.xlsx", _excel(frame), tuple(cards))

    @making
    def pandas_turned(w: World) -> Made:
        cards = w.cards(8)
        return Made(
            "turned.csv",
            _frame(cards).T.to_csv(header=False).encode(),
            tuple(cards),
            tells=("across", "turn"),
        )


def _of_office(name: str, form: str) -> Any:
    def made(w: World) -> Made:
        first = MAKERS[name](w)
        stem = first.name.rsplit(".", 1)[0]
        return replace(first, convert=form, name=f"{stem}.{first.name.rsplit('.', 1)[1]}")

    return made


@making
def formulas_by_office(w: World) -> Made:
    """Numbers and names that formulas make: LibreOffice works them out."""
    cards = without(w.cards(10, "1990 Tidewater"), price="", team="")
    rows = [["Set", "No", "First", "Last", "Player"]]
    for at, c in enumerate(cards, 2):
        first, last = plain(c.subject).split(" ", 1)
        rows.append(['="19"&"90 Tidewater"', "=ROW()-1", first, last, f'=C{at}&" "&D{at}'])
    return Made("formulas.xlsx", book(rows), tuple(cards), convert="xlsx")


_BY_OFFICE = [
    "one_sheet_a_set",
    "set_merged_down",
    "title_merged_above",
    "numbers_became_dates_csv",
    "kinds_by_runs",
    "hidden_sheet_of_choices",
    "coloured_rows",
    "number_padded",
    "price_float_dust",
    "years_as_dates",
]
if HAS_OFFICE:
    for _name in _BY_OFFICE:
        MAKERS[f"ods_{_name}"] = _of_office(_name, "ods")
        if _name.startswith(("numbers", "kinds", "number_")):
            MAKERS[f"xlsx_{_name}"] = _of_office(_name, "xlsx")
else:
    del MAKERS["formulas_by_office"]
