"""Headings of amounts that say what a card cost, and not what it is worth."""

from __future__ import annotations

from tagger.core.checklist.headings.meaning import heading_words

_PAID = frozenset(
    ["paid", "cost", "bought", "purchase", "purchased", "sold", "sale", "fee", "postage", "profit",
     "shipping", "grade", "condition", "weight", "percent",
     "gezahlt", "bezahlt", "kaufpreis", "paye", "achat", "pagado", "pagato", "betaald"]
)  # fmt: skip


def says_paid(name: str) -> bool:
    """Whether a heading says what was paid, and not what a card is worth."""
    return not _PAID.isdisjoint(heading_words(name))
