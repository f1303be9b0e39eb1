"""Where all cards of all lots lie, kept in the cache folder and brought up to date lot by lot.

There are two files, each an index as `index_cache` keeps it. What a lot holds is taken from the one
that has it by its name, which says where it is kept and what its files looked like then. A lot that
changed is read again into the smaller file; when that has grown, both become one."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import chain
from pathlib import Path

from tagger.core.index.index import Index
from tagger.core.index.location_builder import pack_locations
from tagger.core.index.location_index import IndexedLot, LocationIndex, indexed_lot
from tagger.core.model.scan_ref import LotRef, Stamp
from tagger.errors import MALFORMED, LotError
from tagger.file_stamp import file_stamp
from tagger.store.caches.index_cache import keep_index, key_of, load_index
from tagger.store.lot.journal import JOURNAL
from tagger.store.lot.lot_file import look
from tagger.store.lot.main_file import MAIN
from tagger.store.lot.troubles import note_trouble, trouble_of
from tagger.store.machine.paths import LotPlace

# Changes with what the files hold, so that none of an older program is searched.
MADE_AS = "10"
# cards of the smaller file, and which part of the larger one it may become
SMALL, SHARE = 20_000, 8
Part = tuple[LocationIndex, frozenset[int]]  # with the lots in it that count, by their places


@dataclass(frozen=True)
class Catalogue:
    """The parts to be searched, and a sentence for each lot that is not in them."""

    parts: tuple[Part, ...]
    skipped: tuple[str, ...]


def lot_ref(place: LotPlace) -> LotRef:
    """What a lot is known by while its files are as they are now. Raises LotError where it is
    gone."""
    stamps = tuple(_stamp(place.home / name) for name in (MAIN, JOURNAL))
    if not any(stamps):
        raise LotError(f"The lot {place.name} is gone: nothing is stored in {place.home}.")
    # A lot that changed has another name, and so what was kept of it counts no more.
    return LotRef(os.fspath(place.folder), os.fspath(place.home), stamps, place.name)


def _stamp(file: Path) -> Stamp:
    found = file_stamp(file)
    return found and found.lasting


def catalogue(
    places: Sequence[LotPlace],
    folder: Path,
    progress: Callable[[int, int], None] = lambda done, of: None,
) -> Catalogue:
    """The cards of some lots, by way of what is kept in `folder`. `progress` gets (lots read, lots
    to be read). What is wrong with a lot was noted when it was read and is kept with its cards."""
    found = _gathered(places, folder, progress)
    for part, lots in found.parts:
        for name in (part.lots[at] for at in lots):
            if trouble := name.partition("\n")[2]:
                note_trouble(LotPlace.of(LotRef.read(name)).home, trouble)
    return found


def _gathered(
    places: Sequence[LotPlace], folder: Path, progress: Callable[[int, int], None]
) -> Catalogue:
    names, skipped = _names(places)
    large, small = _load(folder, "large"), _load(folder, "small")
    parts = _parts((large, small), names)
    missing = _missing(parts, names)
    if not missing:
        return Catalogue(parts, tuple(skipped))
    reader = _CatalogueReader(missing, skipped, progress)
    kept = list(_lots(parts, small))
    room = _room(large)
    fresh = [*kept, *reader.until(room - _cards(kept))]
    if not reader.left and _cards(fresh) <= room:
        parts = _parts((large, _keep(folder, "small", fresh)), names)
    else:
        whole = chain(_lots(parts, large), fresh, reader.rest())
        parts = _parts((_keep(folder, "large", whole),), names)
        # Emptied last: a stop between the two leaves lots in both, of which one counts.
        _keep(folder, "small", ())
    return Catalogue(parts, tuple(skipped))


def _missing(parts: Iterable[Part], names: Iterable[str]) -> list[str]:
    """The lots that none of the parts has as they are now."""
    known = {_plain(part.lots[at]) for part, lots in parts for at in lots}
    return [name for name in names if name not in known]


def _names(places: Sequence[LotPlace]) -> tuple[dict[str, None], list[str]]:
    """What the lots are known by, each once and in their order, and a sentence for each that is
    gone."""
    names: dict[str, None] = {}
    skipped: list[str] = []
    for place in places:
        try:
            names[lot_ref(place).text] = None
        except LotError as error:
            skipped.append(error.message)
    return names, skipped


def _room(large: LocationIndex | None) -> int:
    """Cards that the smaller file may hold. It grows with the larger one, so that each card is
    written anew only a few times however many lots come."""
    if large is None:
        return SMALL
    return max(SMALL, len(large) // SHARE)


def _cards(lots: Iterable[IndexedLot]) -> int:
    return sum(len(lot.cards) for lot in lots)


def _lots(parts: Iterable[Part], of: LocationIndex | None) -> Iterator[IndexedLot]:
    """The lots that count of one of the parts."""
    for part, lots in parts:
        if part is of:
            yield from (part.lot(at) for at in sorted(lots))


def _parts(found: Iterable[LocationIndex | None], names: dict[str, None]) -> tuple[Part, ...]:
    """Each part with the lots of it that count: each lot once."""
    parts: list[Part] = []
    met: set[str] = set()
    for part in found:
        if part is not None:
            plain = list(map(_plain, part.lots))
            lots = [at for at, name in enumerate(plain) if name in names and name not in met]
            met.update(plain[at] for at in lots)
            parts.append((part, frozenset(lots)))
    return tuple(parts)


def _plain(name: str) -> str:
    """What a lot is known by, without what is wrong with it, which is kept in a second line."""
    return name.partition("\n")[0]


class _CatalogueReader:
    """Reads lots one after the other; what cannot be read is named."""

    def __init__(
        self, names: Sequence[str], skipped: list[str], progress: Callable[[int, int], None]
    ) -> None:
        self._names, self._skipped, self._progress = names, skipped, progress
        self._at = 0

    @property
    def left(self) -> bool:
        """Whether there are lots that were not read yet."""
        return self._at < len(self._names)

    def until(self, cards: int) -> Iterator[IndexedLot]:
        """Lots until they hold more than so many cards."""
        held = 0
        for lot in self.rest():
            yield lot
            held += len(lot.cards)
            if held > cards:
                return

    def rest(self) -> Iterator[IndexedLot]:
        """All that are left."""
        while self.left:
            name = self._names[self._at]
            place = LotPlace.of(LotRef.read(name))
            self._at += 1
            try:
                found = look(place.home)
                known_by = "\n".join(filter(None, (name, trouble_of(found))))
                lot = indexed_lot(known_by, found.kept.lot)
            except (LotError, ValueError) as error:
                self._skipped.append(f"The lot {place.name} was skipped: {error}")
            else:
                yield lot
            self._progress(self._at, len(self._names))


def _key(which: str) -> str:
    return key_of([(f"lots {MADE_AS} {which}", b"")])


def _load(folder: Path, which: str) -> LocationIndex | None:
    found = load_index(folder, _key(which))
    if found is None:
        return None
    try:
        return LocationIndex(found[0])
    except MALFORMED:  # an index of something else
        return None


def _keep(folder: Path, which: str, lots: Iterable[IndexedLot]) -> LocationIndex:
    """Lots packed, and kept if that is possible. What was kept is used from there: mapped, it need
    not stay in memory."""
    index = Index.opened(pack_locations(lots))
    if keep_index(folder, _key(which), index, ()) and (kept := _load(folder, which)) is not None:
        return kept
    return LocationIndex(index)
