"""A user's TOML file: its entries with the types that are wanted, or a sentence about what is
wrong.

Each sentence says the file, the line, the key, what is wrong, and where a name is none of those
there are, the nearest of them. Keys are shown dotted, as TOML writes them."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal, InvalidOperation
from functools import cached_property
from typing import Any

from tagger.core.model.suggestions import meant
from tagger.core.model.text import printable
from tagger.errors import UsageError
from tagger.toml.lines import Path, TomlLines

_LONG = re.compile(r"[0-9_]{1000}")
_EXPONENT = 1000  # of a number, at most: what is reckoned with it stays short
_SHOWN = 60  # characters of a name in a sentence
_AT = re.compile(r"(?P<said>.*) \(at (?:line (?P<line>[0-9]+).*|end of document)\)")


class TomlDocument:
    """The text of one file, called `file` in sentences, printable; `error` is what is raised."""

    def __init__(self, data: bytes, file: str, error: type[UsageError] = UsageError) -> None:
        """Raises `error` where the bytes are no TOML."""
        self.file, self._error = file, error
        try:
            # Some editors put a mark in front of UTF-8, and lines are counted by \n.
            self._text = data.decode("utf-8-sig").replace("\r\n", "\n")
            self._given = tomllib.loads(self._text, parse_float=_decimal)
        except UnicodeDecodeError as wrong:
            line = data.count(b"\n", 0, wrong.start) + 1
            raise self._at(line, "the file is not UTF-8; save it as UTF-8.") from None
        except tomllib.TOMLDecodeError as wrong:
            raise self._at(*self._no_toml(printable(str(wrong)))) from None
        except ValueError:
            # Python reads no whole number of thousands of digits (CVE-2020-10735)
            raise self._at(self._long_number(), "this number has too many digits.") from None
        except RecursionError:
            # tomllib goes down into lists and tables by calling itself.
            raise self._at(1, "this is nested too deeply.") from None

    def _long_number(self) -> int:
        found = _LONG.search(self._text)
        return 1 + (self._text.count("\n", 0, found.start()) if found else 0)

    @property
    def top(self) -> TomlTable:
        """All that the file has."""
        return TomlTable(self, (), self._given)

    @cached_property
    def lines(self) -> TomlLines:
        """Where each key stands."""
        # Worked out when there is something to point at: a file in order is read at each start.
        return TomlLines(self._text)

    def wrong(self, path: Path, said: str) -> UsageError:
        """What to raise about the entry at a path; `said` is the sentence, whole."""
        return self._at(self.lines.of(path), said)

    def _at(self, line: int, said: str) -> UsageError:
        return self._error(f"{self.file}, line {line}: {said}")

    def _no_toml(self, said: str) -> tuple[int, str]:
        """(line, sentence) of what tomllib says, which has the line at its end: `… (at line 2,
        column 5)`."""
        line = self._text.count("\n") + 1
        if found := _AT.fullmatch(said):
            said, line = found["said"], int(found["line"] or line)
        return line, f"this is not TOML: {said}."


class TomlTable:
    """One table of a document, by its path. What is asked for is checked, and an error raised that
    points at it; an entry that is not there gives None, or what stands for nothing."""

    def __init__(self, document: TomlDocument, path: Path, given: Mapping[str, Any]) -> None:
        self._document, self.path, self._given = document, path, given

    def __iter__(self) -> Iterator[str]:
        return iter(self._given)

    def __contains__(self, name: str) -> bool:
        return name in self._given

    def __getitem__(self, name: str) -> Any:
        return self._given[name]

    @property
    def line(self) -> int:
        """The line in which it begins."""
        return self._document.lines.of(self.path)

    def line_of(self, name: str) -> int:
        """The line of an entry, or of what is around it."""
        return self._document.lines.of((*self.path, name))

    def shown(self, name: str) -> str:
        """An entry's key in a sentence."""
        # Which entry of an array it is the line says better than its number.
        names = (one for one in (*self.path, name) if isinstance(one, str))
        return ".".join(printable(one, _SHOWN) for one in names)

    def wrong(self, name: str, said: str) -> UsageError:
        """What to raise about an entry, or about the table where there is none of this name. `said`
        is the sentence, whole."""
        return self._document.wrong((*self.path, name), said)

    def must(self, name: str, be: str) -> UsageError:
        """What to raise about an entry that must be otherwise, such as `a table: [keys]`."""
        return self.wrong(name, f"{self.shown(name)} must be {be}.")

    def check_names(self, known: Sequence[str], what: str) -> None:
        """Raises where a name is none of those known. `what` is what each of them is: `setting`."""
        for error in self.unknown_names(known, what):
            raise error

    def unknown_names(self, known: Sequence[str], what: str) -> Iterator[UsageError]:
        """What to raise about each name that is none of those known; see `check_names`."""
        # A misspelled name that is passed over would be a setting that does not hold.
        for name in self:
            if name not in known:
                yield self.wrong(name, f"unknown {what} {self.shown(name)}{meant(name, known)}")

    def table(self, name: str) -> TomlTable:
        """A table in this one, without entries where there is none."""
        given = self._given.get(name, {})
        if not isinstance(given, dict):
            raise self.must(name, f"a table: [{self.shown(name)}]")
        return TomlTable(self._document, (*self.path, name), given)

    def tables(self, name: str) -> tuple[TomlTable, ...] | None:
        """The tables of an array of tables; None where it is none or has none."""
        given = self._given.get(name)
        if not isinstance(given, list) or not all(isinstance(one, dict) for one in given):
            return None
        at = enumerate(given)
        return tuple(TomlTable(self._document, (*self.path, name, n), one) for n, one in at) or None

    def text(self, name: str) -> str:
        """A text, which must be there."""
        given = self._given[name]
        if not isinstance(given, str):
            raise self.must(name, f'a text in quotation marks, such as {name} = "…"')
        return given

    def texts(self, name: str, empty: bool = False) -> tuple[str, ...]:
        """One text or several; `empty` says whether a list may be empty."""
        if name not in self:
            return ()
        given = self._given[name]
        # One text needs no list around it.
        several = [given] if isinstance(given, str) else given
        if not _are_texts(several) or not (several or empty):
            raise self.must(name, f'a text or a list of texts, such as {name} = ["…", "…"]')
        return tuple(several)

    def flag(self, name: str) -> bool:
        """True or false, which must be there."""
        given = self._given[name]
        if not isinstance(given, bool):
            raise self.must(name, "true or false")
        return given

    def whole(self, name: str) -> int | None:
        """A whole number; None where it is none or not there."""
        given = self._given.get(name)
        # To Python true is a whole number, to TOML it is none.
        return given if isinstance(given, int) and not isinstance(given, bool) else None

    def count(self, name: str, what: str, most: int) -> int | None:
        """A whole number from 1 to `most`, None where it is not there; `what` is what it counts:
        `characters`."""
        count = self.whole(name)
        if name in self and (count is None or not 0 < count <= most):
            raise self.must(name, f"a number of {what} from 1 to {most:,}")
        return count

    def number(self, name: str) -> Decimal | None:
        """A number as it is written, exactly; None where it is none or not there."""
        return number_of(self._given.get(name))

    def choice(self, name: str, choices: Sequence[str]) -> str:
        """One of some texts, which must be there; a number counts as it is written."""
        # `colours = 256` is as clear as `colours = "256"`.
        given = str(self._given[name])
        if given not in choices:
            raise self.must(name, f"one of {', '.join(map(_quoted, choices))}")
        return given


def number_of(value: object) -> Decimal | None:
    """A finite number of a TOML file, exactly; None where a value is none."""
    if isinstance(value, int) and not isinstance(value, bool):
        return Decimal(value)
    return value if isinstance(value, Decimal) and value.is_finite() else None


def _are_texts(value: object) -> bool:
    return isinstance(value, list) and all(isinstance(one, str) for one in value)


def _quoted(text: str) -> str:
    return f'"{text}"'


def _decimal(text: str) -> Decimal:
    # 0.1 as a float is another number, and sums of prices would show it.
    try:
        number = Decimal(text.replace("_", ""))
    except InvalidOperation:
        return Decimal("nan")
    # of one that is out of all bounds sums and roundings would be errors, or millions of digits
    if number.is_finite() and abs(number.adjusted()) > _EXPONENT:
        return Decimal("nan")
    return number
