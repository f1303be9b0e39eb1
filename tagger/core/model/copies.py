"""Copies of one card: what they have in common, and which of several is sold."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from tagger.core.model.numbers import canonical, print_run
from tagger.core.model.tags import parallel_key
from tagger.core.model.text import fold

if TYPE_CHECKING:
    from collections.abc import Collection

    from tagger.core.model.tags import Parallel, Tags

NEAREST, WORST = "nearest", "worst"
COPIES = (NEAREST, WORST)
"""The one nearest to hand, or the worst condition that fits."""


class Kind(NamedTuple):
    """What copies of one card have in common, compared as hints are, so that `RC-7` and `rc7` are
    one card. Condition, place and serial number do not tell two copies apart (common practice, no
    source)."""

    set: str
    number: str
    subject: str
    series: str
    parallel: str


def kind_of(tags: Tags) -> Kind:
    """Of which card some tags are a copy."""
    name, series = fold(tags.subject), fold(tags.series)
    return Kind(fold(tags.set), canonical(tags.number), name, series, parallel_key(tags.parallel))


def alike_key(tags: Tags, fields: Collection[str]) -> tuple[str, ...]:
    """What copies have in common in some fields of theirs, as far as a Kind has these. Where number
    and name are asked, cards of two series are two, too: one number then names two cards."""
    kind = kind_of(tags)
    card = {"number", "subject"} <= {*fields}
    asked = (name for name in Kind._fields if name in fields or (card and name == "series"))
    return tuple(getattr(kind, name) for name in asked)


def of_another_run(serial: str, parallel: Parallel) -> bool:
    """Whether no card of this parallel was printed with this serial number: `12/99` on a card of 25
    would be a copy that does not exist."""
    return bool(serial) and print_run(serial) != parallel.run
