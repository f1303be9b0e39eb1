"""Names of picture files: composed by a template, safe on every usual file system, no two alike."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Iterable, Iterator
from itertools import chain, count
from typing import TYPE_CHECKING

from tagger.core.lot.fields import CardInLot, Field, Value, layout_fields, reader
from tagger.core.model.suggestions import meant
from tagger.core.model.text import printable
from tagger.errors import UsageError
from tagger.exchange.layout.template import Template, parse_template

if TYPE_CHECKING:
    from tagger.core.model.tags import Tags

DEFAULT = "{position}{-side}"
ENDING = ".jpg"
# bytes of UTF-8 before the ending and what tells doubles apart; a name has 255 at most (POSIX,
# NAME_MAX)
LONGEST = 160
_DIGITS = 4  # a position has at least so many, so that names sort as the cards were fed
# Reserved characters and names: Microsoft, "Naming Files, Paths, and Namespaces"; `/` by POSIX too.
_RESERVED = re.compile(r'[<>:"/\\|?*]')
_DEVICES = re.compile(r"(?:con|prn|aux|nul|com[0-9¹²³]|lpt[0-9¹²³])(?:\..*)?", re.IGNORECASE)
_SIDE = Field("side")


def safe_name(text: str) -> str:
    """A file's name, without an ending, that is safe everywhere; never empty, never a path, at most
    LONGEST bytes."""
    # Composed, since file systems differ in whether two spellings of one letter are two names.
    shown = _RESERVED.sub("-", unicodedata.normalize("NFC", printable(text, 4 * LONGEST)))
    # Cut by bytes, and a letter that the cut goes through is dropped.
    cut = shown.encode("utf-8")[:LONGEST].decode("utf-8", "ignore")
    bare = cut.lstrip(" .-~").rstrip(" .")
    if not bare or _DEVICES.fullmatch(bare):
        return f"card {bare}".rstrip()
    return bare


class PictureNames:
    """Makes the names of one lot's pictures. `further` are the checklist's further columns of its
    cards, `cards` is how many it has. Raises UsageError where the template is none, or names a
    field that there is not."""

    def __init__(
        self,
        template: str,
        further: Iterable[str],
        cards: int,
        lot: str,
        run_of: Callable[[Tags], str],
    ) -> None:
        known = {field.name.casefold(): field for field in (*layout_fields(further), _SIDE)}
        self._template = _parsed(template)
        self._readers: dict[str, Callable[[CardInLot], Value]] = {}
        self._digits = max(_DIGITS, len(str(cards)))
        self._fields: dict[str, str] = {}
        self._taken: set[str] = set()
        for name in self._template.fields:
            field = known.get(name.casefold())
            if field is None:
                near = meant(name, [one.name for one in known.values()])
                raise UsageError(
                    f"--name {printable(template, 80)}: '{printable(name, 60)}' is not a "
                    f"field{near}"
                )
            self._fields[name] = field.name
            if field is not _SIDE:
                self._readers[name] = reader(field, lot, run_of)

    def file(self, card: CardInLot, side: str) -> str:
        """The name of the picture of a side, or of both where `side` is empty. The side is added
        where the template does not say it; where a name was given already, the card's position
        too."""
        position = f"{card.position:0{self._digits}}"
        ending = ""
        if side and "side" not in self._fields.values():
            ending = f"-{side}"
        stem = safe_name(self._template.fill(self._values(card, position, side)))
        # What a double is called can be another card's own name, so counting may go on.
        names = (f"{one}{ending}" for one in _tries(stem, position))
        name = next(one for one in names if _key(one) not in self._taken)
        self._taken.add(_key(name))
        return name + ENDING

    def _values(self, card: CardInLot, position: str, side: str) -> dict[str, str]:
        values = {name: str(read(card)) for name, read in self._readers.items()}
        ours = {"side": side, "position": position}
        return values | {name: ours[field] for name, field in self._fields.items() if field in ours}


def lot_folders(names: Iterable[str]) -> list[str]:
    """A folder's name for each lot, no two alike."""
    taken: dict[str, str] = {}
    for name in names:
        stem = safe_name(name)
        tries = chain((stem,), (f"{stem}-{number}" for number in count(2)))
        free = next(one for one in tries if _key(one) not in taken)
        taken[_key(free)] = free
    return [*taken.values()]


def _tries(stem: str, position: str) -> Iterator[str]:
    yield stem
    yield f"{stem}-{position}"
    for number in count(2):
        yield f"{stem}-{position}-{number}"


def _key(name: str) -> str:
    """Names that some file systems take for the same have the same key."""
    # Folding may give what is not normalised any more (The Unicode Standard, 3.13).
    return unicodedata.normalize("NFKC", unicodedata.normalize("NFKC", name).casefold())


def _parsed(text: str) -> Template:
    try:
        return parse_template(text)
    except ValueError as error:
        raise UsageError(f"--name {printable(text, 80)}: {printable(str(error))}.") from None
