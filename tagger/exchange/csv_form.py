"""How a CSV file is written: which mark parts the cells, which one the decimals, in which encoding,
and what stands in quotation marks. What is not said is as RFC 4180 has it, in UTF-8."""

from __future__ import annotations

from dataclasses import dataclass, replace

from tagger.core.model.suggestions import meant
from tagger.core.model.text import printable
from tagger.errors import UsageError

ENCODINGS = {"utf-8": "utf-8", "utf-8-bom": "utf-8-sig", "utf-16": "utf-16", "cp1252": "cp1252"}
"""By the name that the user gives, what Python calls it. All are known again when a file comes
back."""
QUOTED = "quoted"
_TAB = "tab"
_DELIMITERS, _DECIMALS = ",;\t", ".,"
_EXPECTED = (
    'a delimiter (, ; or tab), then, if you like, the decimal sign (. or ,), such as --csv ";,"'
)
HELP = (
    "the delimiter (, ; or tab) and the decimal sign of a .csv, then if you like an encoding "
    f'({", ".join(ENCODINGS)}) and {QUOTED}: ";, cp1252"'
)


@dataclass(frozen=True)
class CsvForm:
    """`decimal` is the sign in prices, empty where they stay as they are. `quoted`: all cells are
    in quotation marks, not only those that must be. `guard`: a cell that a spreadsheet would run
    gets an apostrophe in front."""

    delimiter: str = ","
    decimal: str = ""
    encoding: str = "utf-8"
    quoted: bool = False
    guard: bool = True


PLAIN = CsvForm()


def read_csv_form(text: str, guard: bool = True) -> CsvForm:
    """The form that `--csv` names: the two signs, then words: `;, cp1252 quoted`. Raises
    UsageError."""
    signs, _, words = text.lstrip(" ").partition(" ")
    if signs.casefold() in (*ENCODINGS, QUOTED):
        signs, words = PLAIN.delimiter, text
    form = _signs(signs)
    for word in words.casefold().split():
        if word == QUOTED:
            form = replace(form, quoted=True)
        elif word in ENCODINGS:
            form = replace(form, encoding=ENCODINGS[word])
        else:
            near = meant(word, [*ENCODINGS, QUOTED])
            raise UsageError(f"--csv: unknown word '{printable(word, 40)}'{near}")
    return replace(form, guard=guard)


def _signs(text: str) -> CsvForm:
    signs = text.casefold()
    if signs.startswith(_TAB):
        signs = signs.replace(_TAB, "\t", 1)
    delimiter, decimal = signs[:1], signs[1:]
    if delimiter not in (*_DELIMITERS,) or decimal not in ("", *_DECIMALS):
        raise UsageError(f"--csv '{printable(text, 40)}': give {_EXPECTED}.")
    if delimiter == decimal:
        raise UsageError(
            f"--csv '{text}': the delimiter and the decimal sign must differ; use ;, or tab, "
            "where the decimal sign is a comma."
        )
    return CsvForm(delimiter, decimal)
