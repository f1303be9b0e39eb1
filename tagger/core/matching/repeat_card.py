"""The card before once more (`=`), in another condition or with a serial number of its own where
those are typed first.

Only a hint that says nothing else is read so: an equals sign in any other one belongs to a word
(`name=gold`)."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.matching.hint import Token, fields_named, parse_hint
from tagger.core.matching.typed_words import TypedAs, TypedWord, read_words
from tagger.core.matching.variants.variant_words import serial_reading
from tagger.core.model.numbers import is_whole_number, parse_serial, print_run
from tagger.core.model.tags import Parallel, Tags, kept_parallel, listed_parallel
from tagger.errors import Refused

if TYPE_CHECKING:
    from tagger.core.model.condition import Scale


class CopyChange(NamedTuple):
    """What is said of the copy: its condition and its serial number as typed, each empty where it
    was not typed."""

    condition: str = ""
    serial: str = ""


def read_change(
    hint: str, scale: Scale, before: Tags, parallels: Sequence[Parallel]
) -> CopyChange | None:
    """A hint as condition and serial number of a copy of the card before, whose row lists
    `parallels`; None where it says anything else. A number alone is a serial number where the
    card's parallel is numbered as far as that."""
    words = hint.split()
    # the beginning of a field's name can always be typed on: the sign behind it ties a word
    if not words or fields_named(words[-1]):
        return None
    parsed = parse_hint(hint)
    # Place, note and price are not read here, so that `=` in them stays text that is typed on.
    if parsed.unclear or (parsed.place, parsed.note, parsed.price) != (None,) * 3:
        return None
    return _of_copy(read_words(parsed.tokens, scale), _own(before, parallels).run)


def _of_copy(words: Iterable[TypedWord], run: int | None) -> CopyChange | None:
    """What words say of a copy that is numbered to `run`, None where one says anything else."""
    found = CopyChange()
    for word in words:
        if word.kind is TypedAs.CONDITION and word.value and not found.condition:
            found = found._replace(condition=word.value)
        elif not found.serial and _is_serial(word.token, run):
            found = found._replace(serial=word.token.text)
        else:
            return None
    return found


def again(before: Tags, said: CopyChange, parallels: Sequence[Parallel]) -> Tags:
    """The tags of a copy: those of the card before but for its serial number and what is said.
    Raises Refused where there is no such serial number."""
    # A serial number is of one copy alone: two cards with the same one would be a slip.
    tags = replace(before, serial="", condition=said.condition or before.condition)
    if not said.serial:
        return tags
    token, own = Token(f"serial={said.serial}", said.serial, "serial"), _own(before, parallels)
    # Its own parallel first: a second copy of a Gold is a Gold, where both Gold and Silver are
    # numbered to 99.
    for parallel in dict.fromkeys((own, *parallels)):
        read = serial_reading(parallel, token)
        if read is None:
            continue
        if read.problem:
            raise Refused(f"Not accepted: {read.problem}.")
        return replace(tags, parallel=kept_parallel(parallel.name), serial=read.serial)
    raise Refused(
        f"Not accepted: the card before has no parallel that {said.serial} is a serial number of."
    )


def _own(before: Tags, parallels: Sequence[Parallel]) -> Parallel:
    """The parallel of the card before, with its print run where that is known."""
    listed = listed_parallel(parallels, before.parallel)
    return listed or Parallel(before.parallel, print_run(before.serial))


def _is_serial(token: Token, run: int | None) -> bool:
    if not token.may_be("serial"):
        return False
    serial = parse_serial(token.text)
    if serial is not None:
        return serial[0] is not None
    if not is_whole_number(token.text):
        return False
    # A number above the print run is not refused here: it is then more likely a card's number, and
    # read as one.
    return token.pin == "serial" or 1 <= int(token.text) <= (run or 0)
