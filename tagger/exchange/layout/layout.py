"""Layouts: a TOML file that says what an export looks like.

kind = ["set", "number", "subject", "parallel"]     # one row a kind; without it one row a card
further = ["Rarity"]                                # columns of checklists that not every lot has

[only]                                              # which cards
state = "tagged"
price = { from = 1, to = 20 }

[pictures]                                          # what stands in cells of pictures
before = "https://shop.example/"

[[column]]                                          # one for each column, in order
heading = "Title"
text = "{set} #{number} {subject}{ · parallel}"
at_most = 72
drop = ["team", "set"]
case = "title"
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from tagger.core.lot.fields import Field, layout_fields
from tagger.core.model.suggestions import meant
from tagger.core.model.text import printable
from tagger.errors import UsageErrors
from tagger.exchange.layout.column import LayoutColumn
from tagger.exchange.layout.column_reader import read_columns
from tagger.exchange.layout.only import read_only
from tagger.exchange.layout.picture_cells import PictureCells, read_pictures
from tagger.exchange.layout.row_filter import NOT_FILTERED, RowFilter
from tagger.toml.document import TomlDocument
from tagger.toml.errors import TomlErrors

LARGEST = 1 << 20  # bytes; no layout has more
_TOP = ("column", "kind", "only", "further", "pictures")
ONE_PICTURE = ("front picture", "back picture")
_PICTURES = (*ONE_PICTURE, "pictures")
OF_THE_EXPORT = (*_PICTURES, "today")
"""Fields that no lot has by itself: the pictures that were written, and the day."""

if TYPE_CHECKING:
    from tagger.core.model.condition import Scale


@dataclass(frozen=True)
class Layout:
    """What an export looks like. `file` is the layout's name, printable; `kind` has the fields that
    cards of one row share, empty for a row a card."""

    file: str
    columns: tuple[LayoutColumn, ...]
    kind: tuple[str, ...] = ()
    only: RowFilter = field(default_factory=lambda: NOT_FILTERED)
    further: tuple[str, ...] = ()
    kind_line: int = 0
    pictures: PictureCells = field(default_factory=PictureCells)

    def in_shop(self, shop: str) -> Layout:
        """The same, with what is new held against a shop where the layout names none."""
        if self.only.new is None or self.only.shop:
            return self
        return replace(self, only=replace(self.only, shop=shop))

    def in_scale(self, scale: Scale) -> Layout:
        """The same, with the conditions that it filters by read as they are typed: `nm`,
        `near-mint`."""
        return replace(self, only=self.only.in_scale(scale))

    def has(self, field: str) -> bool:
        """Whether a field is used."""
        names = [name for column in self.columns for name in column.template.fields]
        return field in map(str.casefold, (*names, *self.kind))

    @property
    def picture_fields(self) -> tuple[str, ...]:
        """The fields of pictures that are used, by the names that the layout gives them."""
        names = dict.fromkeys(name for name, _ in self._used())
        return tuple(name for name in names if name.casefold() in _PICTURES)

    def fields(self, further: Iterable[str]) -> Mapping[str, Field]:
        """The fields that are used, by the name that the layout gives them, in a lot whose cards
        have these further columns. Raises UsageError that names each that is no field."""
        known = {
            field.name.casefold(): field
            # With those that the layout names itself: it may be older than the first card that has
            # them.
            for field in layout_fields(self._further(further))
        }
        used = self._used()
        wrong = tuple(
            f"{self.file}, line {line}: {_no_field(name, [f.name for f in known.values()])}"
            for name, line in used
            if name.casefold() not in known
        )
        if wrong:
            raise UsageErrors(wrong)
        return {name: known[name.casefold()] for name, _ in used}

    def _further(self, further: Iterable[str]) -> Iterable[str]:
        # a table that came back may have been read as a checklist: ours go before its columns
        named = (*further, *self.further)
        theirs = [name for name in named if name.casefold() not in OF_THE_EXPORT]
        return dict.fromkeys((*theirs, *OF_THE_EXPORT))

    def _used(self) -> list[tuple[str, int]]:
        """The names of fields, each with the line that has it."""
        of_columns = [
            (name, column.line) for column in self.columns for name in column.template.fields
        ]
        return of_columns + [(name, self.kind_line) for name in self.kind]


def _no_field(name: str, known: Sequence[str]) -> str:
    shown = printable(name, 60)
    # `{No. number}`: a likely slip, for which a similar name would be no help.
    if last := _field_at_end(name, known):
        before = printable(name[: -len(last)], 60)
        return (
            f"'{shown}' is not a field; text with letters needs marks around the field: "
            f"{{{before}<{last}>}}."
        )
    return (
        f"'{shown}' is not a field{meant(name, known)} A further column of a checklist that no "
        "card of the lot has yet is "
        f'named first: further = ["{shown}"].'
    )


def _field_at_end(name: str, known: Sequence[str]) -> str:
    """The field that the last words of a name are, empty where they are none."""
    ours = {field.casefold() for field in known}
    words = name.split()
    # the longest end that is a field: `to print run` ends in `print run`, and no field is `run`
    ends = (" ".join(words[at:]) for at in range(1, len(words)))
    return next((end for end in ends if end.casefold() in ours and name.endswith(end)), "")


def read_layout(data: bytes, file: str) -> Layout:
    """A layout from its file's bytes; `file` names it, printable. Raises UsageError naming file,
    line and entry of all that is wrong."""
    given, errors = TomlDocument(data, file).top, TomlErrors()
    errors.of_names(given, _TOP, "entry of a layout")
    columns, names = list[LayoutColumn](), dict[str, tuple[str, ...]]()
    with errors.kept():
        columns = read_columns(given, errors)
    for name in ("kind", "further"):
        with errors.kept():
            names[name] = tuple(dict.fromkeys(given.texts(name)))
    only, pictures = NOT_FILTERED, PictureCells()
    with errors.kept():
        only = read_only(given.table("only"), errors)
    with errors.kept():
        pictures = read_pictures(given.table("pictures"), errors)
    errors.check()
    return Layout(
        file,
        tuple(columns),
        names["kind"],
        only,
        names["further"],
        given.line_of("kind"),
        pictures,
    )
