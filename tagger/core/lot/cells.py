"""Text in the cells of a table: as UTF-8 can hold it, harmless in a spreadsheet, and back."""

from __future__ import annotations

from tagger.core.model.text import printable

# A spreadsheet takes a cell that starts with one of these for a formula or a command. OWASP, "CSV
# Injection": =, +, -, @, tab, carriage return, and the full-width forms of the signs.
FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n", "\uff1d", "\uff0b", "\uff0d", "\uff20")
_GUARD = "'"
_FIRST = frozenset((*FORMULA, _GUARD))
LONGEST = 4000  # characters of a text with something unprintable in it


def plain(text: str) -> str:
    """Text as UTF-8 can hold it: bytes of a file name that are no UTF-8 and control characters
    become escapes."""
    # asked of every cell of an export, and nearly always so
    if text.isprintable():
        return text
    return printable(text, LONGEST)


def guarded(text: str) -> str:
    """The text with an apostrophe in front of all that a spreadsheet would run as a formula: at its
    beginning, and behind each semicolon, which parts cells where the comma is the decimal sign. A
    text that looks guarded already gets one too, so that `unguarded` gives each text back as it
    was."""
    # asked of every cell of an export, and hardly any has one
    if ";" in text:
        return ";".join(map(_guarded, text.split(";")))
    return _guarded(text)


def _guarded(text: str) -> str:
    # a text of apostrophes before a sign must come back with all of them
    if text and text[0] in _FIRST and text.lstrip(_GUARD).startswith(FORMULA):
        return _GUARD + text
    return text


def unguarded(cell: str) -> str:
    """The text that `guarded` made this cell of."""
    if ";" in cell:
        return ";".join(map(_unguarded, cell.split(";")))
    return _unguarded(cell)


def _unguarded(cell: str) -> str:
    if cell.startswith(_GUARD) and cell.lstrip(_GUARD).startswith(FORMULA):
        return cell[1:]
    return cell
