"""What is carried from now on: read off a hint, and taken off again. Set, parallel, condition,
place, note and price can be carried."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.lot.carried import CARRIED_FIELDS, Carried, Cursor
from tagger.core.lot.carried_run import (
    carried_on,
    dropped,
    ended,
    names_the_stretch,
    read_next,
    said,
    told_over,
)
from tagger.core.model.text import fold
from tagger.errors import Refused

if TYPE_CHECKING:
    from tagger.core.matching.candidate import Candidate
    from tagger.core.matching.hint import Hint, Token
    from tagger.core.model.condition import Scale
    from tagger.core.session.candidates import Candidates

# What a word to be carried is meant as, before it is taken for a card's own number or name.
_OF_A_SET = frozenset({"set", "set, as carried"})
_MODEST = frozenset({"parallel", "condition", "serial number", "set", "set, as carried", "team"})
# `/99` names the one parallel that is numbered so
_OF_A_PARALLEL = frozenset({"parallel", "serial number"})
_CARRIED = _OF_A_SET | {"parallel", "condition"}
# More than the nine that are shown: where a word is a colour and a surname, the people come first
# by the dozen.
READ = 24  # candidates among which one is looked for that takes no word for a card


class Carrying(NamedTuple):
    """Another thing to carry: the cursor with it, what the history calls that, what the dealer is
    told, and the words of the hint that stay typed, since they are of the card in front."""

    cursor: Cursor
    label: str
    told: str
    rest: str = ""


class Carriable(NamedTuple):
    """What a hint says that can be carried, by field, and its words that say something else."""

    found: dict[str, str]
    rest: str = ""


def carrying_on(cursor: Cursor, carried: Carried, candidates: Candidates, hint: str) -> Carrying:
    """Carry what the hint says from now on, or with `next=60` for so many untagged cards. `carried`
    is what is carried at the card in front. Raises Refused."""
    typed, count = read_next(hint)
    found, rest = carriable(candidates, typed)
    # `next=80` alone counts anew the stretch that is at work, so that it needs no words; anywhere
    # else it says nothing.
    if not found and (rest or count is None or carried.stretch is None):
        raise Refused(
            "Type what to carry: a set, a parallel, a condition, price=3.50, at=box 3, row 2 or "
            "note=…"
        )
    what, after = said(found) or "the same", carried_on(carried, found, count)
    if count is None:
        label, told = f"carry {what}", f"Carrying from now on: {what}."
    else:
        cards = _next_cards(count)
        label, told = f"carry {what} for {cards}", f"Carrying for {cards}: {what}."
    return _changed(cursor, carried, after, label, told)._replace(rest=rest)


def _next_cards(count: int) -> str:
    return "the next card" if count == 1 else f"the next {count} cards"


def dropping(cursor: Cursor, carried: Carried, hint: str) -> Carrying:
    """Stop carrying the field that the hint names, with an empty hint the one set last; `next` ends
    a stretch. `carried` as for `carrying_on`. Raises Refused."""
    # where no stretch is at work, `next` may begin the name of a field, and is refused as that
    if carried.stretch is not None and names_the_stretch(hint):
        after = ended(carried)
        return _changed(cursor, carried, after, "next= ended", told_over(carried, after))
    field = _field_named(carried, hint)
    if not carried.get(field):
        raise Refused(f"Nothing to drop: no {field} is carried.")
    after, told = dropped(carried, field), f"No longer carrying the {field}."
    return _changed(cursor, carried, after, f"drop {field}", told)


def _changed(cursor: Cursor, before: Carried, after: Carried, label: str, told: str) -> Carrying:
    if after == before:
        raise Refused("That is already carried.")
    return Carrying(replace(cursor, carried=after), label, told)


def _field_named(carried: Carried, hint: str) -> str:
    named = fold(hint.strip())
    if not named:
        # the set is not dropped by an empty hint: hardly a card is without one
        if field := carried.newest():
            return field
        raise Refused("Nothing to drop: only the set is carried.")
    from tagger.core.matching.hint import fields_named

    for one in fields_named(named):
        if one.tag in CARRIED_FIELDS:
            return one.tag
    raise Refused(f"Unknown field '{hint}'. Use one of: {', '.join(CARRIED_FIELDS)}.")


def carriable(candidates: Candidates, hint: str) -> Carriable:
    """What of a hint can be carried. Words that name the card are left, and so are words that were
    not understood, where another one is carried. Raises Refused where none is."""
    from tagger.core.matching.hint import parse_hint

    parsed, matcher = parse_hint(hint), candidates.matcher
    if parsed.unclear:
        raise Refused(f"{parsed.unclear}.")
    plain = _of_fields(parsed)
    if not len(matcher.index):
        typed = _without_lists(parsed, matcher.scale)
        return typed._replace(found=typed.found | plain)
    # a condition of several words, before one of them is taken for a name
    tokens, condition = matcher.variants.take_condition(parsed.tokens, matcher.index)
    found = {"condition": condition.name} if condition.name else {}
    words = _words(tokens)
    best = _modest(candidates.ranked(words, READ)) if words else None
    if best is not None:
        return Carriable(found | _tags_meant(best) | plain, _left(best))
    if words and not (found or plain):
        raise Refused(f"Nothing carried: some word of '{hint}' was not understood.")
    return Carriable(found | plain, words)


def _without_lists(parsed: Hint, scale: Scale) -> Carriable:
    """The words of a hint as they are typed, where no list says what a set or a parallel is."""
    from tagger.core.matching.unlisted import carried_as_typed

    typed, left = carried_as_typed(parsed.tokens, scale)
    return Carriable(typed, _words(left))


def _words(tokens: Iterable[Token]) -> str:
    # a word that is typed twice is carried once
    return " ".join(dict.fromkeys(token.raw for token in tokens))


def _of_fields(parsed: Hint) -> dict[str, str]:
    """What is typed behind the name of a field, whatever words it is."""
    tails = (("place", parsed.place), ("note", parsed.note), ("price", parsed.price))
    return {name: value for name, value in tails if value is not None}


def _left(candidate: Candidate) -> str:
    """The words of a candidate that say nothing to be carried."""
    left = (word for word, meaning in candidate.reasons if not _is_carried(word, meaning))
    return " ".join(dict.fromkeys(left))


def _is_carried(word: str, meaning: str) -> bool:
    # Of `12/99` the parallel is carried, but the 12 is this card's alone.
    return meaning in _CARRIED or (meaning == "serial number" and _is_run(word))


def _is_run(word: str) -> bool:
    """Whether a word is a print run without a number: `/99`."""
    return word.rpartition("=")[2].startswith("/")


def _modest(found: list[Candidate]) -> Candidate | None:
    """The best candidate whose words say nothing of one card, else the best one; None where a word
    was not understood."""
    # `gold` may be a subject, too: what is carried is more often a parallel
    best = next((one for one in found if _MODEST.issuperset(one.meanings)), None)
    if best is None and found:
        best = found[0]
    if best is None or "" in best.meanings:
        return None
    return best


def _tags_meant(candidate: Candidate) -> dict[str, str]:
    """What of a candidate's tags its words said."""
    read, tags = candidate.meanings, candidate.tags
    said_of = (
        ("set", _OF_A_SET, tags.set),
        ("parallel", _OF_A_PARALLEL, tags.parallel),
        ("condition", frozenset({"condition"}), tags.condition),
    )
    return {field: value for field, words, value in said_of if read & words}
