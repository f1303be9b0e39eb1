"""Packing the rows of a checklist into the flat sections of an index."""

from __future__ import annotations

import json
from array import array
from collections import Counter, deque
from collections.abc import Callable, Iterable, Sequence
from functools import partial
from itertools import accumulate, chain, compress, count, islice, repeat
from operator import and_, or_, rshift, sub
from typing import TYPE_CHECKING

from tagger.core.checklist.checklist import Checklist, rows_of
from tagger.core.index.flat_arrays import Sections, pack_column, pack_postings, pack_texts
from tagger.core.index.number_frames import last_digits
from tagger.core.index.own_runs import with_own_runs
from tagger.core.index.packed_values import packed_extra
from tagger.core.index.word_marks import (
    INITIALS_MARK,
    MARK_BITS,
    NOT_NAMES,
    WordKind,
    letter_bit,
    mark,
    name_words,
    noted_words,
    set_words,
)
from tagger.core.model.tags import is_base, series_of
from tagger.core.model.text import fold, initials, people, words

if TYPE_CHECKING:
    from tagger.core.checklist.columns import Rows
    from tagger.core.model.tags import Parallel


_Gather = Callable[[array], array]  # type: ignore[type-arg]


def pack_index(checklist: Checklist) -> Sections:
    """All sections of an index over the rows of a checklist."""
    rows = rows_of(checklist)
    gathered = _gathering(rows.ordered())
    parallels = with_own_runs(rows)
    sections: Sections = {"starts": _starts(rows)}
    sections |= pack_texts("sets", rows.sets.values)
    for name, column in (
        ("printed_of", rows.numbers),
        ("team_of", rows.teams),
        ("parallels_of", parallels),
        ("extra_of", rows.extras),
    ):
        sections[name] = pack_column(gathered(column.of), len(column.values))
    printed_of = gathered(rows.numbers.of)
    sections |= pack_texts("printed", rows.numbers.values) | pack_texts("teams", rows.teams.values)
    sections |= pack_texts("parallels", map(json.dumps, parallels.values))
    sections |= pack_texts("extras", map(packed_extra, rows.extras.values))
    _pack_numbers(rows, printed_of, sections)
    _pack_subjects(rows, gathered, sections)
    _pack_vocabulary("team_words", (words(name) for name in rows.teams.values), sections)
    series = map(series_of, rows.extras.values)
    _pack_vocabulary("series_words", map(set_words, series), sections)
    _pack_vocabulary("noted_words", map(noted_words, rows.extras.values), sections)
    _pack_vocabulary("set_words", (set_words(name) for name in rows.sets.values), sections)
    _pack_kinds(parallels.values, sections)
    return sections


def _pack_kinds(values: Iterable[Iterable[Parallel]], sections: Sections) -> None:
    """By word of a parallel's name, by its initials and by print run: the kinds of cards that have
    such a parallel, a kind being those with the same parallels."""
    spelled: dict[str, list[int]] = {}
    runs: dict[str, list[int]] = {}
    for kind, parallels in enumerate(values):
        above = kind << MARK_BITS
        for name, run in parallels:
            # each card has its plain one, so that `base` tells no kind from another
            if not is_base(name):
                _note_parallel(spelled, name, above)
            if run is not None:
                _note(runs, str(run), above)
    _pack_words("parallel_words", spelled, sections)
    _pack_words("runs", runs, sections)


def _note_parallel(spelled: dict[str, list[int]], name: str, above: int) -> None:
    """Note the words and the initials of a parallel's name."""
    for word in words(name):
        _note(spelled, word, above)
    letters = "".join(part[:1] for part in fold(name).split())
    if len(letters) > 1:
        _note(spelled, letters, above | INITIALS_MARK)


def _starts(rows: Rows) -> array[int]:
    sizes = [0] * (len(rows.sets.values) + 1)
    for set_id, size in rows.sizes().items():
        sizes[set_id + 1] = size
    return array("I", accumulate(sizes))


def _gathering(order: Sequence[int]) -> _Gather:
    """What puts a column into an order of rows."""
    # a list that is sorted as an index is needs no row moved
    if isinstance(order, range):
        return _whole
    runs = _runs(order)
    # a file has its cards as they are numbered, and parts of it are moved as one
    return partial(_joined, runs) if len(runs) * 8 < len(order) else partial(_each, order)


def _whole(column: array[int]) -> array[int]:
    return column[:]


def _joined(runs: Iterable[range], column: array[int]) -> array[int]:
    found = array("I")
    for run in runs:
        found += column[run.start : run.stop]
    return found


def _each(order: Iterable[int], column: array[int]) -> array[int]:
    return array("I", map(column.__getitem__, order))


def _runs(order: Sequence[int]) -> list[range]:
    """The rows of an order, those that follow each other as one range."""
    # within the interpreter: a million rows go through it
    steps = map(sub, islice(order, 1, None), order)
    ends = [*compress(count(1), map((1).__ne__, steps)), len(order)]
    starts = [0, *ends[:-1]]
    return [
        range(order[start], order[start] + end - start)
        for start, end in zip(starts, ends, strict=True)
        if end > start
    ]


def _pack_numbers(rows: Rows, printed_of: Iterable[int], sections: Sections) -> None:
    # sorted by code points, as UTF-8 is: a beginning is one range of them
    canonicals = rows.canonicals()
    texts = sorted(set(canonicals))
    place = {text: at for at, text in enumerate(texts)}
    number_of = [place[text] for text in canonicals]
    sections |= pack_texts("numbers", texts)
    sections["number_of"] = array("I", number_of)
    printed = Counter(number_of)
    sections["various"] = array("I", sorted(at for at, forms in printed.items() if forms > 1))
    tails: dict[str, list[int]] = {}
    for at, text in enumerate(texts):
        if tail := last_digits(text):
            _note(tails, tail, at << MARK_BITS)
    _pack_words("tails", tails, sections)
    keys = map(number_of.__getitem__, printed_of)
    sections |= pack_postings("by_number", _lists(keys, len(texts)))


def _pack_subjects(rows: Rows, gathered: _Gather, sections: Sections) -> None:
    """Subjects in the order of their first steps, so that a list of subjects leads to rows in their
    order."""
    # nearly all names are of two plain words, and need none of the rules for the others
    given = gathered(rows.subjects.of)
    met = list(dict.fromkeys(given))
    place = array("I", bytes(4 * len(rows.subjects.values)))
    for at, id in enumerate(met):
        place[id] = at
    subject_of = array("I", map(place.__getitem__, given))
    sections["subject_of"] = subject_of
    sections |= pack_postings("by_subject", _lists(subject_of, len(met)))
    names = [rows.subjects.values[id] for id in met]
    aliases = [" / ".join(rows.aliases.get(id, ())) for id in met]
    sections |= pack_texts("subjects", names) | pack_texts("aliases", aliases)
    spelled: dict[str, list[int]] = {}
    short: dict[str, list[int]] = {}
    letters = array("I", bytes(4 * len(met)))
    for id, (subject, alias) in enumerate(zip(names, aliases, strict=True)):
        above = id << MARK_BITS
        if not alias and (two := _two_words(subject)):
            first, last = two
            letters[id] = letter_bit(first) | letter_bit(last)
            _note(spelled, first, above | _FIRST)
            _note(spelled, last, above | _LAST)
            # Joined as well, as `words` has it: `St Clair` is typed as one word.
            _note(spelled, first + last, above | _LAST)
            _note(short, first[0] + last[0], above | _FIRST)
            continue
        for name in (*people(subject), *people(alias)):
            for word, how in name_words(name):
                letters[id] |= letter_bit(word)
                _note(spelled, word, above | how)
            _note(short, initials(name), above | mark(WordKind.NAME, name))
    sections["letters_of"] = letters
    _pack_words("subject_words", spelled, sections, len(met))
    short.pop("", None)  # of a name without any letter
    _pack_words("initials", short, sections, len(met))


_FIRST, _LAST = mark(WordKind.NAME, "Ada Marsh"), mark(WordKind.SURNAME, "Ada Marsh")


def _two_words(subject: str) -> list[str] | None:
    """The folded words of a subject that is one plain name of two words, as nearly all are; None
    for any other. What `name_words` gives for them is known without it."""
    if not (
        subject.isascii()
        and subject.istitle()
        and subject.count(" ") == 1
        and subject.replace(" ", "").isalpha()
    ):
        return None
    two = subject.lower().split()
    # `Lund Elund`: the first word is an end of the last one, and thereby a surname as well
    if len(two) != 2 or two[1].endswith(two[0]) or not NOT_NAMES.isdisjoint(two):
        return None
    return two


def _note(held: dict[str, list[int]], word: str, item: int) -> None:
    # not setdefault, which makes a list for each of millions of words
    found = held.get(word)
    if found is None:
        held[word] = [item]
    else:
        found.append(item)


def _pack_vocabulary(name: str, each: Iterable[Iterable[str]], sections: Sections) -> None:
    found: dict[str, list[int]] = {}
    for id, own in enumerate(each):
        for word in own:
            found.setdefault(word, []).append(id << MARK_BITS)
    _pack_words(name, found, sections)


def _pack_words(
    name: str, found: dict[str, list[int]], sections: Sections, holders: int | None = None
) -> None:
    """A vocabulary, and where `holders` is given the words of each holder as well: `place <<
    MARK_BITS | mark`."""
    every = sorted(found)
    items = [found[word] for word in every]
    sections |= pack_texts(name, every) | pack_postings(f"{name}.in", items)
    if holders is None:
        return
    # from subject to words as well: a row that is weighed asks what its subject's words are
    every_item = list(chain.from_iterable(items))
    above = range(0, len(items) << MARK_BITS, 1 << MARK_BITS)
    places = chain.from_iterable(map(repeat, above, map(len, items)))
    marks = map(and_, every_item, repeat((1 << MARK_BITS) - 1))
    forms = _lists(map(rshift, every_item, repeat(MARK_BITS)), holders, map(or_, places, marks))
    sections |= pack_postings(f"{name}.of", forms)


def _lists(keys: Iterable[int], wide: int, held: Iterable[int] | None = None) -> list[list[int]]:
    """For each key below `wide` what is held there: by their places, or one of `held` each."""
    # the loop runs within `deque`: a million rows go through it
    lists: list[list[int]] = [[] for _ in range(wide)]
    append: Callable[[list[int], int], None] = list.append
    if held is None:
        held = count()
    deque(map(append, map(lists.__getitem__, keys), held), maxlen=0)
    return lists
