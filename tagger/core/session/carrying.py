"""What a hint says that can be carried: set, parallel, condition, place and note."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tagger.core.session.candidates import meanings
from tagger.errors import Refused

if TYPE_CHECKING:
    from tagger.core.session.session import Session

# What a word to be carried is meant as, before it is taken for a card's own number or name.
_OF_A_SET = frozenset(
    {
        "number",
        "subject",
        "initials",
        "set",
        "set, as carried",
        "start of the subject",
        "start of the number",
    }
)
_MODEST = frozenset({"parallel", "condition", "serial number", "set", "set, as carried", "team"})


def carriable(session: Session, hint: str) -> dict[str, str]:
    """Values to be carried, by field. Raises Refused where not every word was understood."""
    from tagger.core.matching.hint import parse_hint

    parsed = parse_hint(hint)
    found: dict[str, str] = {}
    tokens, condition = session.matcher.variants.take_condition(
        parsed.tokens, session.matcher.index
    )
    if condition.name:
        found["condition"] = condition.name
    if tokens:
        found_here = session.offers.ranked(
            " ".join(dict.fromkeys(token.raw for token in tokens)), 24
        )
        best = next(
            (c for c in found_here if _MODEST.issuperset(meanings(c))), next(iter(found_here), None)
        )
        read = meanings(best) if best else set()
        if best is None or "" in read:
            raise Refused(f"Nothing carried: not every word of '{hint}' was understood.")
        if read & _OF_A_SET:
            found["set"] = best.tags.set
        if "parallel" in read or "serial number" in read:
            found["parallel"] = best.tags.parallel
        if "condition" in read:
            found["condition"] = best.tags.condition
    for name, value in (("place", parsed.place), ("note", parsed.note)):
        if value is not None:
            found[name] = value
    return found
