"""Column names of a list of people, as a club has of its members."""

from __future__ import annotations

import re
from collections.abc import Sequence

from tagger.core.checklist.headings.meaning import heading_words

TOLD = "these lines have people and their addresses; they are read as no cards"
_ADDRESS = re.compile(r"[^\s@]+@[^\s@]+\.[^\s@]+")
_ENOUGH = 0.8  # of the lines
# common practice, no source
_CONTACTS = frozenset(
    ["member", "members", "membership", "subscription", "phone", "telephone", "mobile", "tel",
     "street", "address", "town", "city", "postcode", "zip", "customer", "mitglied", "mitglieds",
     "mitgliedsnr", "beitrag", "telefon", "handy", "strasse", "anschrift", "adresse", "ort", "plz",
     "kunde", "membre", "adherent", "cotisation", "telephone", "rue", "ville", "client", "socio",
     "cuota", "telefono", "calle", "ciudad", "direccion", "quota", "indirizzo", "citta", "lid",
     "lidnr", "contributie", "telefoon", "adres", "straat", "plaats", "woonplaats", "klant"]
)  # fmt: skip
# what only cards have
_OF_CARDS = frozenset(["number", "set", "series", "parallels", "run", "price"])


def are_people(
    names: Sequence[str], meanings: Sequence[str], rows: Sequence[Sequence[str]]
) -> bool:
    """Whether a table has people: an address of a mail on nearly each line, another heading that
    says how to reach someone, and none of a card."""
    if not _OF_CARDS.isdisjoint(meanings) or not rows:
        return False
    mails = sum(any(_ADDRESS.fullmatch(cell.strip()) for cell in row) for row in rows)
    reached = any(not _CONTACTS.isdisjoint(heading_words(name)) for name in names)
    return reached and mails >= _ENOUGH * len(rows)
