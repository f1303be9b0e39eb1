"""What the stock numbers of a lot begin with: by itself, or as the dealer chose it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from tagger.core.lot.change import StockBegun
from tagger.core.model.stock_number import part_of, read_part
from tagger.core.model.text import printable
from tagger.errors import Refused, UsageError
from tagger.store.machine.lots import LotList
from tagger.store.machine.paths import data_folder

if TYPE_CHECKING:
    from tagger.store.lot.lot_file import LotFile
    from tagger.store.machine.paths import LotPlace


def part_typed(text: str) -> str:
    """A part as it was typed. Raises UsageError where it cannot be one."""
    part = read_part(text)
    if part is None:
        raise UsageError(
            f"Stock numbers cannot begin with '{printable(text, 40)}'; type two to eight letters "
            "and digits, a letter first and last, as in HL87B."
        )
    return part


def begin_stock(store: LotFile, place: LotPlace, chosen: str = "") -> None:
    """Give a lot its part of stock numbers: the chosen one, else one that no other lot on this
    machine has, nor one of another station, as far as it was pulled. Raises Refused, NotSaved."""
    taken = taken_parts(place)
    if chosen:
        _check(chosen, store.lot.part, taken)
    part = chosen or part_of(store.identity, taken.__contains__)
    if part != store.lot.part:
        store.note(StockBegun(part))
    LotList(data_folder()).opened(replace(place, own=store.lot.name), store.stands, store.lot.part)


def _check(chosen: str, own: str, taken: dict[str, str]) -> None:
    # Numbers that were given stand on labels.
    if own and own != chosen:
        raise Refused(
            f"This lot's stock numbers begin with {own}, and never change; a new lot can begin "
            "with letters of your own."
        )
    if chosen in taken:
        raise Refused(
            f"{chosen} already begins the stock numbers of {taken[chosen]}; choose other letters."
        )


def taken_parts(place: LotPlace) -> dict[str, str]:
    """The parts of all other lots, with what says whose each is."""
    # asked once for each lot, at its first tag
    from tagger.store.machine.pulled import read_pulled

    own = LotList(data_folder()).parts(place)
    pulled = read_pulled().lots.values()
    return {
        **{lot.part: "a lot of another station" for lot in pulled},
        **{part: f"the lot in {printable(str(folder))}" for part, folder in own.items()},
    }
