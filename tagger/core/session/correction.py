"""A card that is tagged already, with some of its fields changed by what is typed, and nothing
else: who goes back to say `ex` means this card's condition, and never another card."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from tagger.core.index.sets_meant import set_meant
from tagger.core.lot.carried import CARRIED_FIELDS, Carried
from tagger.core.matching.candidate import Candidate
from tagger.core.matching.hint import Hint, fields_named, parse_hint
from tagger.core.matching.priors.context import Context
from tagger.core.matching.read import MISTYPED
from tagger.core.matching.typed_words import TypedAs, read_words
from tagger.core.matching.unlisted import fields_typed
from tagger.core.matching.unlisted_numbers import in_case, in_frame
from tagger.core.matching.variants.variant_words import AS_PARALLEL, AS_SERIAL, OF_A_COPY
from tagger.core.model.numbers import canonical, is_whole_number, parse_serial
from tagger.core.model.tags import COLOURS, is_base, parallel_key
from tagger.core.model.text import fold, printable
from tagger.errors import Refused

if TYPE_CHECKING:
    from tagger.core.matching.matcher import Matcher
    from tagger.core.matching.variants.typed_parallel import TypedParallel
    from tagger.core.model.condition import Scale
    from tagger.core.model.tags import Tags

EITHER = 0.6  # confidence of a number that may be a serial number as well (our own estimate)
LEAST_NAME = 4  # letters of a word alone that is a name, and no slip for a condition
_OF_COPY = (TypedAs.SERIAL, TypedAs.CONDITION, TypedAs.PARALLEL)
_EMPTIED = ("serial", "condition")  # that `serial=` takes off


def own_tags(tags: Tags) -> Carried:
    """What a tagged card says of itself, in the shape of what is carried: a hint is read beside it,
    so that what is carried today never touches a card that has a tag."""
    return Carried(tuple((f, getattr(tags, f)) for f in CARRIED_FIELDS if getattr(tags, f)))


class Corrections:
    """Reads hints at a tagged card."""

    def __init__(
        self,
        own: Tags,
        matcher: Matcher,
        scale: Scale,
        parallels: TypedParallel,
        numbers: Callable[[str], Iterable[str]],
    ) -> None:
        """`own` is what the card is tagged as; `numbers` gives those of a set as they are
        printed."""
        self._own, self._matcher, self._numbers = own, matcher, numbers
        self._scale, self._parallels = scale, parallels

    def among(self, ranked: Sequence[Candidate], hint: str) -> list[Candidate]:
        """The cards that a hint could mean, best first, with the tagged one where the hint may
        correct that: first where its words name no card, and then no other that they do not name;
        behind the one whose number they name, where that may be its serial number."""
        one = self._of_copy(hint, ranked)
        if one is not None:
            others = [other for other in ranked if other.tags != one.tags]
            if one.problem:
                # What this card cannot have must not lead to one that happens to have it.
                others = [other for other in others if self._names(other)]
            return [one, *others]
        serial = self._number_as_serial(hint)
        return list(ranked) if serial is None else self._with_serial(ranked, serial)

    def _with_serial(self, ranked: Sequence[Candidate], serial: Candidate) -> list[Candidate]:
        """With the tagged card whose serial number a number may be, behind the one of that
        number."""
        if not ranked:
            return [serial]
        first, *others = ranked
        if not self._own.serial or AS_PARALLEL in serial.meanings:
            # It may as well be the serial number that was forgotten, or is another one.
            first = replace(first, confidence=min(first.confidence, EITHER))
        return [first, serial, *others]

    def unlisted_copy(self, hint: str) -> Tags | None:
        """The tagged card of a list with a parallel or a serial number that the list does not have;
        None where the hint says anything of which card it is, or nothing of a copy. Raises Refused
        where the list has it."""
        own, parsed = self._own, parse_hint(hint)
        if not own.listed or not parsed.tokens or not self._says_of_copy(parsed, own):
            return None
        said, _ = fields_typed(parsed, own, self._scale, self._parallels)
        read = self._of_listed(hint, parsed, own)
        if said.keys().isdisjoint(("parallel", "serial")) or (read and not read.problem):
            raise Refused("The checklist has this card: Enter changes what is typed of it.")
        return replace(_rest(own.saying(said), parsed), listed=False)

    def _of_copy(self, hint: str, ranked: Sequence[Candidate]) -> Candidate | None:
        """The card with what the hint says of this copy; None where the hint names a card: by a
        number, a name, a team or a set. Of a card that no checklist has it may say these as well:
        there is no other card that they could name."""
        hint, emptied = _without_emptied(hint)
        own, parsed = self._own.saying(dict.fromkeys(emptied, "")), parse_hint(hint)
        if parsed.unclear:
            return None
        # Certain whatever the lists say: what stands behind `at=`, `note=` or `price=` is never
        # read as a card.
        if not parsed.tokens:
            tails = (*((f"{field}=", field) for field in emptied), *_tails(parsed))
            return Candidate(_rest(own, parsed), 1.0, reasons=tails, corrects=True)
        if not own.listed or self._matcher.index.find(own) is None:
            return self._of_unlisted(parsed, own)
        if _has_number(parsed):
            return None
        return self._of_listed(hint, parsed, own) or self._refused(hint, parsed, own, ranked)

    def _of_listed(self, hint: str, parsed: Hint, own: Tags) -> Candidate | None:
        # Beside the card's own tags and nothing else of the lot: what is carried today, or comes
        # next, must not decide what a word means on a card of yesterday.
        read = self._matcher.listed(own, Context(own_tags(own)), hint)
        if read is None:
            return None
        tags = _rest(_as_read(own, read), parsed)
        return replace(read, tags=tags, confidence=1.0, corrects=True)

    def _refused(
        self, hint: str, parsed: Hint, own: Tags, ranked: Sequence[Candidate]
    ) -> Candidate | None:
        """The card with the reason why it cannot have what is typed; None where the words may name
        another one."""
        first = next(iter(ranked), None)
        named = self._names(first) if first else not self._says_of_copy(parsed, own)
        if named:
            return None
        read = self._matcher.listed(own, Context(own_tags(own)), hint, whole=False)
        if read is None or not read.problem:
            return None
        return replace(read, tags=own, corrects=True)

    def _as_printed(self, parsed: Hint, number: str, set_name: str) -> str:
        """A number as those of its set are printed."""
        others = list(self._numbers(set_name))
        number = in_case(number, others)
        tied = any(token.pin == "number" for token in parsed.tokens)
        return number if tied else in_frame(number, others)

    def _names(self, candidate: Candidate) -> bool:
        """Whether a word names a card, and not only what a copy may be."""
        for word, meaning in candidate.reasons:
            # `red` for Reed would be a slip, and is a colour as it stands
            colour = meaning == MISTYPED and fold(word) in COLOURS
            if meaning and meaning not in OF_A_COPY and not colour:
                return True
        return False

    def _says_of_copy(self, parsed: Hint, own: Tags) -> bool:
        """Whether all words say by themselves what a copy may be, whichever card it is of."""
        left, _ = self._parallels.take(parsed.tokens, own.set)
        return all(
            word.kind in _OF_COPY or is_base(word.value) or word.value in COLOURS
            for word in read_words(left, self._scale)
        )

    def _number_as_serial(self, hint: str) -> Candidate | None:
        """The card with a number that stands alone as its serial number; None where that cannot be
        one of its parallel."""
        numbers = [word for word in hint.split() if is_whole_number(word)]
        if len(numbers) != 1 or not self._own.listed:
            return None
        tied = " ".join(f"serial={word}" if word in numbers else word for word in hint.split())
        read = self._of_listed(tied, parse_hint(tied), self._own)
        if read is None or not self._has_serial(read):
            return None
        return replace(read, confidence=1 - EITHER)

    def _has_serial(self, read: Candidate) -> bool:
        """Whether the tagged card can have the serial number that was read."""
        if read.problem or AS_SERIAL not in read.meanings:
            return False
        # that another parallel of the card is numbered says nothing of this copy
        return read.tags.parallel == self._own.parallel or AS_PARALLEL in read.meanings

    def _of_unlisted(self, parsed: Hint, own: Tags) -> Candidate | None:
        """A card that no checklist has with what is typed of it; None where the words may name a
        card of a checklist."""
        matcher = self._matcher
        try:
            said, free = fields_typed(parsed, own, self._scale, self._parallels)
        except Refused:
            return None
        if "set" in said:
            said["set"] = set_meant(matcher.index, said["set"], own.set)
        if "number" in said:
            said["number"] = self._as_printed(parsed, said["number"], said.get("set", own.set))
        tags = own.saying(said)
        if (free and len(matcher.index)) or ("number" in said and _is_listed(matcher, tags)):
            return None
        reasons = tuple((token.raw, token.pin or "as typed") for token in parsed.tokens)
        reasons = (*reasons, *_tails(parsed))
        problem = _no_condition(free)
        return Candidate(_rest(tags, parsed), 1.0, problem=problem, reasons=reasons, corrects=True)


def _without_emptied(hint: str) -> tuple[str, list[str]]:
    """A hint without `serial=` and other fields of a copy that are named and left empty; and
    these."""
    left, emptied = list[str](), list[str]()
    for word in hint.split():
        name, sign, value = word.partition("=")
        fields = [field.tag for field in fields_named(name)] if sign and not value else []
        if len(fields) == 1 and fields[0] in _EMPTIED:
            emptied += fields
        else:
            left.append(word)
    return (" ".join(left), emptied) if emptied else (hint, [])


def _no_condition(free: Sequence[str]) -> str:
    """That a short word alone is not a condition, and hardly a name; empty for anything else."""
    if len(free) != 1 or sum(map(str.isalpha, free[0])) >= LEAST_NAME:
        return ""
    word = printable(free[0], 20)
    return f"'{word}' is not a condition; if it is the name, type name= before it"


def _is_listed(matcher: Matcher, tags: Tags) -> bool:
    """Whether the checklist of a card's set has its number."""
    set_id = matcher.index.set_id(tags.set)
    return set_id is not None and matcher.index.numbered(set_id, tags.number) is not None


def _has_number(parsed: Hint) -> bool:
    """Whether a word may be the number of a card."""
    # A number alone is another card of the set; of a serial number the print run must be typed.
    return any(is_whole_number(token.text) and token.pin != "serial" for token in parsed.tokens)


def _as_read(own: Tags, read: Candidate) -> Tags:
    """The card's tags with the parallel, serial number and condition that the words say."""
    meant, tags = {meaning for _, meaning in read.reasons}, own
    # A word that is only a condition leaves the parallel alone: the row may have lost it since, and
    # then it would become base.
    if meant - {"condition"}:
        tags = replace(tags, parallel=read.tags.parallel, serial=_serial(own, read.tags))
    if "condition" in meant:
        tags = replace(tags, condition=read.tags.condition)
    return tags


def _serial(own: Tags, read: Tags) -> str:
    # The serial number of another parallel would be that of another card.
    if not read.serial and parallel_key(read.parallel) == parallel_key(own.parallel):
        return own.serial
    return read.serial


def names_set_alone(ranked: Sequence[Candidate]) -> bool:
    """Whether a hint says a set and nothing else that tells one card from another."""
    meant = ranked[0].meanings if ranked else set[str]()
    return "set" in meant and meant <= {"set", *OF_A_COPY}


def with_number(own: Tags, ranked: Callable[[str], list[Candidate]]) -> list[Candidate]:
    """The cards that have the number of a tagged card, of those that are ranked with it typed; its
    namesakes first, and of these the one of its series."""
    plain = canonical(own.number)
    found = ranked(f"#{plain}")
    there = [one for one in found if "set" in one.meanings and canonical(one.tags.number) == plain]

    def differs(one: Candidate) -> tuple[bool, bool]:
        return fold(one.tags.subject) != fold(own.subject), one.tags.series != own.series

    return sorted(there, key=differs)


def with_own_serial(found: Candidate, own: Tags) -> Candidate:
    """Another card in place of the one with some tags: where nothing else is typed it is the same
    copy, with the serial number that it has, as far as the print run is the same."""
    read = parse_serial(own.serial)
    same = parallel_key(found.tags.parallel) == parallel_key(own.parallel)
    if read is None or not same or found.run != read[1]:
        return found
    if AS_SERIAL in found.meanings:
        return found
    return replace(found, tags=replace(found.tags, serial=own.serial))


def _rest(tags: Tags, parsed: Hint) -> Tags:
    """With the place, the note and the price that were typed; typed empty they are taken off."""
    if parsed.place is not None:
        tags = replace(tags, place=parsed.place)
    if parsed.note is not None:
        tags = replace(tags, note=parsed.note)
    if parsed.price is not None:
        tags = replace(tags, price=parsed.price)
    return tags


def _tails(parsed: Hint) -> tuple[tuple[str, str], ...]:
    said = (
        ("at=", "place", parsed.place),
        ("note=", "note", parsed.note),
        ("price=", "price", parsed.price),
    )
    return tuple((word, meaning) for word, meaning, value in said if value is not None)
