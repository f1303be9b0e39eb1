"""Sequences that lie in one piece of memory or file: no object an item, and nothing to read before
the first look."""

from __future__ import annotations

import sys
from array import array
from bisect import bisect_left
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import accumulate, chain
from typing import overload

Buffer = bytes | bytearray | memoryview | array  # type: ignore[type-arg]
Sections = dict[str, Buffer]  # by name: whole numbers of 32 bits, or UTF-8 text

_SURROGATES = "surrogatepass"  # a text from anywhere goes in and comes out as it was


def numbers(buffer: Buffer) -> memoryview:
    """A section as unsigned whole numbers of 32 bits. Raises TypeError or ValueError where its
    length is odd."""
    # a memoryview is cast only from bytes or to them
    return memoryview(buffer).cast("B").cast("I")


NARROW = 1 << 16  # values that a column of 16 bits holds


def pack_column(values: array[int], different: int) -> Buffer:
    """A section for `column`: whole numbers below `different`, in 16 bits where they fit."""
    if different > NARROW:
        return values
    # the lower half of each number; a loop over a million of them would take far longer
    low = int(sys.byteorder == "big")
    return memoryview(values).cast("B").cast("H")[low::2].tobytes()


def column(buffer: Buffer, length: int) -> memoryview:
    """A section of `length` whole numbers as `pack_column` made it. Raises TypeError or ValueError
    where it is none."""
    data = memoryview(buffer).cast("B")
    if len(data) == 2 * length:
        return data.cast("H")
    return data.cast("I")


class Texts(Sequence[str]):
    """Texts one behind the other in UTF-8; a text is made when it is asked for."""

    __slots__ = ("_data", "_ends")

    def __init__(self, sections: Mapping[str, Buffer], name: str) -> None:
        self._ends = numbers(sections[f"{name}.ends"])
        self._data = memoryview(sections[f"{name}.text"]).cast("B")

    def __len__(self) -> int:
        return len(self._ends)

    @overload
    def __getitem__(self, at: int) -> str: ...
    @overload
    def __getitem__(self, at: slice) -> list[str]: ...
    def __getitem__(self, at: int | slice) -> str | list[str]:
        if isinstance(at, slice):
            return self._several(range(*at.indices(len(self))))
        if at < 0:
            at += len(self._ends)
        end = self._ends[at]
        return str(self._data[self._ends[at - 1] if at else 0 : end], "utf-8", _SURROGATES)

    def _several(self, places: range) -> list[str]:
        if places.step != 1 or not places:
            return [self[each] for each in places]
        # one behind the other they are decoded as one; of plain letters each is a byte
        first = self._ends[places.start - 1] if places.start else 0
        ends = self._ends[places.start : places.stop].tolist()
        whole = bytes(self._data[first : ends[-1]])
        if not whole.isascii():
            return [self[each] for each in places]
        text = whole.decode("ascii")
        starts = [first, *ends[:-1]]
        return [text[start - first : end - first] for start, end in zip(starts, ends, strict=True)]

    def several(self, rising: Iterable[int]) -> list[str]:
        """The texts at some places, which rise."""
        places = [*rising]
        if not places:
            return []
        # of hundreds all between the first and the last are decoded as one
        first = self._ends[places[0] - 1] if places[0] else 0
        whole = bytes(self._data[first : self._ends[places[-1]]])
        if not whole.isascii():
            return [self[place] for place in places]
        text, ends = whole.decode("ascii"), self._ends
        found = [text[ends[place - 1] - first : ends[place] - first] for place in places[1:]]
        return [text[: ends[places[0]] - first], *found]

    def __iter__(self) -> Iterator[str]:
        # in turn each end is the next one's start, so it is looked up once
        start = 0
        for end in self._ends:
            yield str(self._data[start:end], "utf-8", _SURROGATES)
            start = end

    def place(self, text: str) -> int:
        """Where sorted texts have `text`, or would have it: the number of texts before it."""
        return self._before(text.encode("utf-8", _SURROGATES), 0, len(self._ends))

    def find(self, text: str) -> int:
        """Where sorted texts have `text`; -1 where they do not."""
        at = self.place(text)
        if at < len(self) and self[at] == text:
            return at
        return -1

    def starting(self, prefix: str, among: range | None = None) -> range:
        """Where sorted texts start with `prefix`; `among`: where they start with less of it."""
        encoded = prefix.encode("utf-8", _SURROGATES)
        low, high = (0, len(self._ends)) if among is None else (among.start, among.stop)
        low = self._before(encoded, low, high)
        # No text has the byte 0xFF, so what starts with the prefix lies below the prefix with it.
        return range(low, self._before(encoded + b"\xff", low, high))

    def _before(self, sought: bytes, low: int, high: int) -> int:
        """How many texts are less than some bytes; at least `low` are, at most `high`."""
        data, ends = self._data, self._ends
        while low < high:
            middle = (low + high) // 2
            # memoryviews have no order, so the bytes are copied to be compared
            if bytes(data[ends[middle - 1] if middle else 0 : ends[middle]]) < sought:
                low = middle + 1
            else:
                high = middle
        return low


def pack_texts(name: str, texts: Iterable[str]) -> Sections:
    """Sections for `Texts`. Sort by code points what is to be looked up: UTF-8 keeps that order."""
    # ends alone: where one text ends, the next one begins
    encoded = [text.encode("utf-8", _SURROGATES) for text in texts]
    return {
        f"{name}.ends": array("I", accumulate(map(len, encoded))),
        f"{name}.text": b"".join(encoded),
    }


class Postings:
    """For each key from 0 a row of whole numbers, in the order in which they were put in."""

    __slots__ = ("_ends", "_items")

    def __init__(self, sections: Mapping[str, Buffer], name: str) -> None:
        self._ends = numbers(sections[f"{name}.ends"])
        self._items = numbers(sections[f"{name}.items"])

    def of(self, key: int) -> memoryview:
        """What a key has."""
        return self._items[self._ends[key - 1] if key else 0 : self._ends[key]]

    def of_all(self, keys: Iterable[int]) -> list[int]:
        """What some keys have, one behind the other."""
        ends, items = self._ends, self._items
        found = [items[ends[key - 1] if key else 0 : ends[key]] for key in keys]
        return [*chain.from_iterable(found)]

    def within(self, keys: range) -> memoryview:
        """What the keys of a range have, one behind the other."""
        if not keys:
            return self._items[:0]
        return self._items[
            self._ends[keys.start - 1] if keys.start else 0 : self._ends[keys.stop - 1]
        ]

    def count_all(self, rising: Sequence[int]) -> int:
        """How many some keys have together."""
        # of thousands of keys, so that the loops run within `map`
        ends, before = self._ends.__getitem__, map((-1).__add__, rising)
        if rising and not rising[0]:
            next(before)  # nothing lies before the first key
        return sum(map(ends, rising)) - sum(map(ends, before))


def pack_postings(name: str, lists: Sequence[Sequence[int]]) -> Sections:
    """Sections for `Postings`: a list for each key."""
    return {
        f"{name}.ends": array("I", accumulate(map(len, lists))),
        f"{name}.items": array("I", chain.from_iterable(lists)),
    }


def within(steps: Sequence[int], some: range) -> Sequence[int]:
    """Those of some rising steps that lie in a range."""
    low = bisect_left(steps, some.start)
    return steps[low : bisect_left(steps, some.stop, low)]
