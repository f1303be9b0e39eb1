"""What the card in front looks like, among cards that were tagged before.

A look says which card it is, never which parallel, condition or serial number; those are asked for.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from tagger.core.model.tags import State, Tags, parallel_key
from tagger.core.model.text import printable

if TYPE_CHECKING:
    from tagger.core.audit.signature import KnownCard
    from tagger.core.model.arrangement import Card
    from tagger.core.model.pose import Corners4

_HOW = {True: "like", False: "maybe"}
THE_SCAN = "the scan"  # what stands for the typed words where a look says which card it is


class KnownMatch(NamedTuple):
    """A known card that one looks like: nothing else comes near where it is `sure`. `corners` and
    `dpi` of its front are as in `Measured`, where they are known."""

    card: KnownCard
    sure: bool
    corners: Corners4 | None = None
    dpi: float = 0.0


class Recognition(NamedTuple):
    """What a card in front looks like: its identity; set, number, subject and team of what it would
    be taken as; the known card in a few words (`card 12`, `one in box 7`), whether nothing else
    comes near it, and its parallel, None where that is not known."""

    id: int
    tags: Tags
    known: str
    sure: bool
    parallel: str | None

    @property
    def words(self) -> str:
        """`like card 12`, `maybe one in box 7`."""
        return f"{_HOW[self.sure]} {self.known}"

    def is_of(self, card: Card | None) -> bool:
        """Whether it says anything of this card: what was tagged is known, however it looks."""
        return card is not None and card.id == self.id and card.mark.state is State.UNTAGGED

    def names(self, tags: Tags) -> bool:
        """Whether these tags are of that card of the checklist."""
        return self.tags.names_same(tags)

    def question(self, tags: Tags) -> str:
        """What is asked before it is taken as these tags, empty where there is no more doubt than
        always."""
        if self.parallel is None or parallel_key(self.parallel) == parallel_key(tags.parallel):
            return ""
        known = f"{self.known[0].upper()}{self.known[1:]}"
        return f"{known} is {printable(self.parallel) or 'base'}. Is this one too?"
