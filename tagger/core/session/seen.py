"""What was seen of the card in front without a word typed: what it looks like, and what is printed
on it. Both are terms of one sum; what they come to together is sure, likely or nothing."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.session.recognition import THE_SCAN

if TYPE_CHECKING:
    from tagger.core.index.index import Index
    from tagger.core.matching.candidate import Candidate
    from tagger.core.matching.priors.context import Weights
    from tagger.core.model.tags import Tags
    from tagger.core.reading.printed import Evidence
    from tagger.core.session.recognition import Recognition

THE_PRINT = "the print"  # what stands for the typed words where reading says which card it is
READ, MAY_BE_READ = "read", "maybe read"
# log weight of a look beside a row that nothing speaks for: among drawn cards 3 in 1,000 likely
# looks are of another card of the design, and hardly any sure one is
LOOKS, MAY_LOOK = 20.0, 18.0


class Print(NamedTuple):
    """What was read on a card; `named` is the card of the checklists that it names by itself, None
    where it names none, or where what is read is not to be proposed in that set."""

    evidence: Evidence
    named: Tags | None = None

    @property
    def speaks(self) -> bool:
        """Whether it says anything of the checklists."""
        return bool(self.evidence.weights)

    def names(self, tags: Tags) -> bool:
        """Whether it names a card of these tags by itself."""
        return self.named is not None and self.named.names_same(tags)


class Seen(NamedTuple):
    """What was seen of a card and shown to the dealer, by the card's identity."""

    id: int
    alike: Recognition | None = None
    read: Print | None = None

    def weights(self, index: Index) -> Weights:
        """What speaks for each row."""
        found: dict[int, float] = {}
        if self.read is not None:
            found.update(self.read.evidence.weights)
        if self.alike is not None:
            tags = self.alike.tags
            step = index.find(tags)
            if step is not None:
                # Added up as logarithms: a look and what is printed are taken to be independent, as
                # naive Bayes does.
                found[step] = found.get(step, 0.0) + (LOOKS if self.alike.sure else MAY_LOOK)
        return tuple(found.items())

    def names(self, tags: Tags) -> bool:
        """Whether the look or the print names a card of these tags by itself, and neither of them
        another one."""
        alike, read = self.alike, self.read
        if read is not None and read.named is not None and not read.names(tags):
            return False
        if alike is not None and not alike.names(tags):
            return False
        return alike is not None or (read is not None and read.named is not None)

    def alike_but_not(self, tags: Tags) -> Recognition | None:
        """What the card surely looks like, where that is another one than these tags."""
        alike = self.alike
        return alike if alike is not None and alike.sure and not alike.names(tags) else None

    def said_of(self, candidate: Candidate) -> Candidate:
        """A card that what was seen speaks for, as it is proposed with nothing typed."""
        words = []
        if self.read is not None and self.read.speaks:
            words.append((THE_PRINT, READ if self.read.names(candidate.tags) else MAY_BE_READ))
        if self.alike is not None and self.alike.names(candidate.tags):
            words.append((THE_SCAN, self.alike.words))
        return replace(candidate, reasons=tuple(words))


def is_seen(candidate: Candidate) -> bool:
    """Whether a card is meant by what was seen of it, and by no word."""
    return bool(candidate.reasons) and candidate.reasons[0][0] in (THE_SCAN, THE_PRINT)


def is_read(candidate: Candidate) -> bool:
    """Whether a card is proposed because it was read beyond doubt."""
    return bool(candidate.reasons) and candidate.reasons[0] == (THE_PRINT, READ)
