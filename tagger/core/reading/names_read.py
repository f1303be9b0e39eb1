"""Whose names stand on a card: the subjects of an index that a line of print is the name of."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import lru_cache
from typing import TYPE_CHECKING, NamedTuple

from rapidfuzz.distance import OSA

from tagger.core.index.word_marks import MARK_BITS
from tagger.core.model.text import fold, people

if TYPE_CHECKING:
    from tagger.core.index.index import Index
    from tagger.core.reading.lines_read import ReadLine

# log weights: a line that is the name and nothing else; each letter that is another one; a line
# with the name in it and a little more, or much; the surname alone
WHOLE, SLIP, BESIDE, IN_PROSE, SURNAME = 9.0, -2.5, 6.0, 2.0, 3.0
MUCH = 0.55  # of a line: a name in less of it is one in prose
SLIPS = 0.15  # of the letters of a name may be other ones
MOST_WORDS, MOST_LETTERS = 12, 70  # of a line that names are looked for in
FEW, MANY = 3, 400  # letters of a word that names somebody; subjects that are compared
LONG_WORD = 5  # letters of a word that is looked for with a slip
MOST_SUBJECTS = 24


class NameRead(NamedTuple):
    """A subject as it was read: its log weight, and the line."""

    weight: float
    line: ReadLine

    @property
    def rank(self) -> tuple[float, bool]:
        """What says which of two lines names it best: of two that are as sure the one that a person
        reads without turning the card."""
        return self.weight, not self.line.parts[0].turn


def names_read(index: Index, lines: Iterable[ReadLine]) -> dict[int, NameRead]:
    """The subjects that lines name, by their numbers; each with the line that names it best."""
    found: dict[int, NameRead] = {}
    parts: dict[int, dict[str, NameRead]] = {}
    for line in lines:
        if len(line.words) <= MOST_WORDS and len(line.joined) <= MOST_LETTERS:
            for subject in _candidates(index, line):
                _note(found, subject, _weight(line, _joined(index.subject(subject))), line)
                _note_parts(parts.setdefault(subject, {}), _several(index, subject), line)
    for subject, names in parts.items():
        _note_all(index, found, subject, names)
    best = sorted(found.items(), key=lambda item: -item[1].weight)[:MOST_SUBJECTS]
    return {subject: read for subject, read in best if read.weight > 0}


def _note_parts(reads: dict[str, NameRead], names: Sequence[str], line: ReadLine) -> None:
    for name in names:
        read = NameRead(_weight(line, _joined(name)), line)
        if name not in reads or reads[name].rank < read.rank:
            reads[name] = read


def _note(found: dict[int, NameRead], subject: int, weight: float, line: ReadLine) -> None:
    read = NameRead(weight, line)
    if weight > 0 and (subject not in found or found[subject].rank < read.rank):
        found[subject] = read


def _several(index: Index, subject: int) -> Sequence[str]:
    names = index.names(subject)
    return names if len(names) > 1 else ()


def _note_all(
    index: Index, found: dict[int, NameRead], subject: int, names: dict[str, NameRead]
) -> None:
    """A card of several people has all their names; one written in another way has either."""
    on_card = people(index.subject(subject))
    reads = [names[name] for name in on_card if name in names]
    if len(on_card) > 1 and len(reads) == len(on_card):
        # As sure as the name that was read worst: a card of one of them alone has the other one's
        # weight missing.
        least = min(reads, key=lambda read: read.weight)
        _note(found, subject, least.weight, least.line)
    for name, read in names.items():
        if name not in on_card:
            _note(found, subject, read.weight, read.line)


@lru_cache(8192)
def _joined(name: str) -> str:
    return "".join(filter(str.isalnum, fold(name)))


def _candidates(index: Index, line: ReadLine) -> set[int]:
    """Subjects that share a word with a line, the rarest words first."""
    items = [(len(held), held) for word in line.words if len(held := _held(index, word))]
    items.sort(key=lambda item: item[0])
    found: set[int] = set()
    for count, held in items:
        if found and len(found) + count > MANY:
            break
        if count > MANY:  # a first name that thousands have says nothing by itself
            return _with_two(items)
        found.update(item >> MARK_BITS for item in held)
    # Only where no word is known: to look for near ones costs far more, and a name with one word
    # read right is found by that.
    return found or _mistyped(index, line)


def _held(index: Index, word: str) -> Sequence[int]:
    if len(word) < FEW or word.isdigit():
        return ()
    return index.subjects.exact(word)


def _with_two(items: Sequence[tuple[int, Sequence[int]]]) -> set[int]:
    if len(items) < 2:
        return set()
    few, more = ({item >> MARK_BITS for item in held} for _, held in items[:2])
    return few & more


def _mistyped(index: Index, line: ReadLine) -> set[int]:
    """Subjects with a word that is nearly one of the line; only for what may be a name."""
    words = [word for word in line.words if len(word) >= LONG_WORD and word.isalpha()]
    if not 0 < len(line.words) <= 4:
        return set()
    found: set[int] = set()
    for word in words:
        for beginning, _ in index.mistyped(word, 1):
            if len(beginning) >= len(word) - 1:
                ids = index.subjects.ids(beginning)
                found |= ids if len(ids) < MANY else set()
    return found if len(found) < MANY else set()


def _weight(line: ReadLine, name: str) -> float:
    """How much a line speaks for a name, letters and digits alone; 0 for not at all."""
    if len(name) < FEW:
        return 0.0
    text = line.joined
    if text == name:
        return WHOLE
    if name in text:
        return BESIDE if len(name) >= MUCH * len(text) else IN_PROSE
    # In shares of the name: two wrong letters of twelve are a misreading, two of five another name.
    most = int(len(name) * SLIPS)
    slips = OSA.distance(text, name, score_cutoff=most)
    if slips <= most:
        return max(0.0, WHOLE + SLIP * slips)
    # Short surnames are words of prose too, and one in a longer line is most often somebody else's.
    if len(text) >= LONG_WORD and name.endswith(text) and len(line.words) == 1:
        return SURNAME
    return 0.0
