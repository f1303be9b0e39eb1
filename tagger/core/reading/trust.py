"""How far what was read may be proposed: after too many corrections in a set it is only listed
there."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from typing import TYPE_CHECKING

from tagger.core.model.tags import State
from tagger.core.model.text import printable

if TYPE_CHECKING:
    from tagger.core.model.tags import Mark, Marking, Tags

# Corrections in a set from which it counts, and the share of its cards from which it is too many:
# of what is sure not one in 300 may be wrong, so that two in a hundred are no accident.
FEWEST, TOO_MANY = 2, 0.02


class ReadingTrust:
    """Of which cards reading was sure in this sitting, and what the dealer made of them."""

    def __init__(self) -> None:
        self._named: dict[int, Tags] = {}
        self._right: defaultdict[str, dict[int, bool]] = defaultdict(dict)
        self._fallen: set[str] = set()
        self._news: list[str] = []

    def expect(self, id: int, tags: Tags) -> None:
        """A card was proposed as these tags, by its identity."""
        self._named[id] = tags

    def heard(self, markings: Iterable[Marking]) -> None:
        """These marks changed: a card that is tagged as another one was read wrongly."""
        for marking in markings:
            named = self._named.get(marking.id)
            if named is not None and marking.after.state is State.TAGGED:
                self._judge(marking.id, named.set, right=_is_named(marking.after, named))

    def _judge(self, id: int, set_name: str, right: bool) -> None:
        judged = self._right[set_name]
        # By card, so that one that is tagged twice is judged by its last tags alone.
        judged[id] = right
        wrong = sum(not one for one in judged.values())
        if wrong >= FEWEST and wrong > TOO_MANY * len(judged) and set_name not in self._fallen:
            self._fallen.add(set_name)
            self._news.append(
                f"{wrong} cards of {printable(set_name)} were read wrongly: from now on what is "
                "read there is only listed."
            )

    def in_set(self, set_name: str) -> bool:
        """Whether what is read may be proposed for cards of this set."""
        return set_name not in self._fallen

    def news(self) -> str:
        """What is to be said of it, once."""
        said, self._news = " ".join(self._news), []
        return said


def _is_named(mark: Mark, named: Tags) -> bool:
    tags = mark.tags
    return (tags.set, tags.number, tags.subject) == (named.set, named.number, named.subject)
