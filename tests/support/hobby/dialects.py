"""Text files in the encodings and dialects that programs of all ages write."""

from __future__ import annotations

import csv
import unicodedata
from collections.abc import Callable
from dataclasses import replace
from typing import Any

from support.hobby.world import (
    ACCENTED,
    MAKERS,
    Card,
    Made,
    Maker,
    World,
    grid,
    making,
    plain,
    without,
)
from support.hobby.writers import delimited, typed

_HEADS = ["Set", "No.", "Player", "Team", "Price"]
_FIELDS = "set number subject team price"


def _accented(w: World) -> list[Card]:
    return [
        replace(card, subject=name) for card, name in zip(w.cards(4), ACCENTED[:4], strict=True)
    ] + w.cards(20)


_DIALECTS: dict[str, tuple[str, str, dict[str, Any]]] = {
    "bom": ("utf-8-sig", ",", {}),
    "utf16_tabs": ("utf-16", "\t", {}),
    "utf16_big": ("utf-16-be", "\t", {}),
    "cp1252_semicolons": ("cp1252", ";", {}),
    "mac_roman": ("mac_roman", ";", {}),
    "dos": ("cp850", ";", {}),
    "all_quoted": ("utf-8", ",", {"quoting": csv.QUOTE_ALL}),
    "single_quotes": ("utf-8", ",", {"quotechar": "'", "quoting": csv.QUOTE_ALL}),
    "backslashes": ("utf-8", ",", {"doublequote": False, "escapechar": "\\"}),
    "bars": ("utf-8", "|", {}),
    "carets": ("utf-8", "^", {}),
    "tildes": ("utf-8", "~", {}),
    "unix_ends": ("utf-8", ";", {"lineterminator": "\n"}),
    "mac_ends": ("utf-8", ",", {"lineterminator": "\r"}),
}


def _dialect(encoding: str, delimiter: str, how: dict[str, Any]) -> Maker:
    def made(w: World) -> Made:
        cards = _accented(w)
        if encoding == "utf-16-be":
            return Made(
                "d.csv",
                b"\xfe\xff" + delimited(grid(cards, _HEADS, _FIELDS), delimiter, encoding, **how),
                tuple(cards),
            )
        if "escapechar" in how:
            cards = [replace(c, subject=plain(c.subject).replace(" ", ' "Ace" ', 1)) for c in cards]
        return Made(
            "d.csv",
            delimited(grid(cards, _HEADS, _FIELDS), delimiter, encoding, **how),
            tuple(cards),
        )

    return made


for _name, _how in _DIALECTS.items():
    MAKERS[f"dialect_{_name}"] = _dialect(*_how)


def _changed(change: Callable[[list[list[str]]], bytes], name: str) -> Maker:
    def made(w: World) -> Made:
        cards = w.cards(14)
        return Made(name, change(grid(cards, _HEADS, _FIELDS)), tuple(cards))

    return made


MAKERS["dialect_sep_line"] = _changed(lambda rows: b"sep=;\r\n" + delimited(rows, ";"), "sep.csv")
MAKERS["dialect_trailing_delimiters"] = _changed(
    lambda rows: delimited([[*row, "", ""] for row in rows]), "trail.csv"
)
MAKERS["dialect_tabs_in_csv"] = _changed(lambda rows: delimited(rows, "\t"), "tabs.csv")
MAKERS["dialect_csv_called_xlsx"] = _changed(lambda rows: delimited(rows), "really.xlsx")
MAKERS["dialect_comment_lines"] = _changed(
    lambda rows: b"# exported 2021-05-03 10:11:12\r\n# by my own script\r\n" + delimited(rows),
    "comment.csv",
)
MAKERS["dialect_spaces_after_commas"] = _changed(
    lambda rows: typed([", ".join(row) for row in rows]), "spaces.csv"
)


@making
def dialect_utf16_without_mark(w: World) -> Made:
    cards = w.cards(20)
    return Made(
        "nomark.csv", delimited(grid(cards, _HEADS, _FIELDS), "\t", "utf-16-le"), tuple(cards)
    )


@making
def dialect_decomposed(w: World) -> Made:
    """A Mac's file with letters and accents apart."""
    cards = _accented(w)
    rows = [
        [unicodedata.normalize("NFD", cell) for cell in row] for row in grid(cards, _HEADS, _FIELDS)
    ]
    return Made("nfd.csv", delimited(rows), tuple(cards))


@making
def cells_with_tabs_and_lines(w: World) -> Made:
    cards = w.cards(12)
    rows = grid(cards, [*_HEADS, "Notes"], _FIELDS + " x")
    rows[2][5], rows[4][5] = "corner\tworn\tedge fine", "bought 2019\nsold 2020\n\nsee 1990"
    return Made("cells.csv", delimited(rows), tuple(cards))


@making
def cells_with_tabs_in_tsv(w: World) -> Made:
    cards = without(w.cards(12), price="")
    rows = grid(cards, ["Set", "No.", "Player", "Team", "Remarks"], "set number subject team x")
    rows[3][4] = "tab\there"
    return Made("tabbed.tsv", delimited(rows, "\t"), tuple(cards))


@making
def comma_in_team_without_quotes(w: World) -> Made:
    """Lines with one cell more than the headings."""
    cards = w.cards(14)
    lines = [",".join(row) for row in grid(cards, _HEADS, _FIELDS)]
    lines[5] = lines[5].replace(plain(cards[4].team), "Rooks, Town of")
    cards = [c for at, c in enumerate(cards) if at != 4]
    return Made("extra.csv", typed(lines), tuple(cards), tells=("cell", "more"))


@making
def decimal_comma_without_quotes(w: World) -> Made:
    cards = w.cards(14)
    lines = [
        ",".join(cell.replace(".", ",") if at == 4 else cell for at, cell in enumerate(row))
        for row in grid(cards, _HEADS, _FIELDS)
    ]
    lines[0] = ",".join(_HEADS)
    said = [replace(c, price=(plain(c.price), "", plain(c.price).split(".")[0])) for c in cards]
    return Made("decimal.csv", typed(lines), tuple(said), tells=("cell", "more"))


@making
def quote_never_closed(w: World) -> Made:
    """Inches in a note: a quotation mark that opens nothing."""
    cards = w.cards(14)
    lines = [",".join(row) for row in grid(cards, [*_HEADS, "Size"], _FIELDS + " x")]
    lines = [lines[0], *[line + '2.5"' for line in lines[1:]]]
    return Made("inches.csv", typed(lines), tuple(cards))


@making
def smart_quotes_in_names(w: World) -> Made:
    cards = [
        replace(c, subject=plain(c.subject).replace(" ", " \u201cAce\u201d ", 1))
        for c in w.cards(12)
    ]
    said = [
        replace(
            c,
            subject=(
                plain(c.subject),
                plain(c.subject).replace("\u201c", '"').replace("\u201d", '"'),
            ),
        )
        for c in cards
    ]
    return Made(
        "smart.csv", delimited(grid(cards, _HEADS, _FIELDS), encoding="cp1252"), tuple(said)
    )
