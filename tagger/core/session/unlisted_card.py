"""The card that a hint would make where no checklist has it: known before it is made."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.index.flat_arrays import within
from tagger.core.index.sets_meant import set_meant, sets_named
from tagger.core.index.vocabulary import Beginnings
from tagger.core.lot.carried_run import without_next
from tagger.core.matching.hint import parse_hint
from tagger.core.matching.typed_before import begin_all
from tagger.core.matching.typed_words import TypedAs, read_words
from tagger.core.matching.unlisted import unlisted_tags
from tagger.core.matching.unlisted_numbers import in_case
from tagger.core.model.counted import any_of
from tagger.core.model.numbers import canonical
from tagger.core.model.tags import (
    BASE,
    COLOURS,
    State,
    Tags,
    is_base,
    kept_parallel,
    listed_parallel,
)
from tagger.core.model.text import fold, printable, words
from tagger.errors import Refused

if TYPE_CHECKING:
    from collections.abc import Sequence

    from tagger.core.lot.view import LotView
    from tagger.core.matching.hint import Hint
    from tagger.core.model.condition import Scale
    from tagger.core.model.tags import Row
    from tagger.core.session.candidates import Candidates


YEAR_AND_NUMBER = 2  # numbers in a hint of which one may be a set's year
MOST_NAMED = 4  # parallels of a card that a sentence names
LEAST_SLIPPED = 4  # letters of a word in which a slip is believed, as for candidates


class UnlistedCard(NamedTuple):
    """The tags that the card would have. `doubt`: why it may be of another set than the carried
    one, as a sentence; empty where it may not. `listed_as`: what the list has of its number
    instead, for a sentence; empty where it has nothing."""

    tags: Tags
    doubt: str = ""
    listed_as: str = ""


class UnlistedCards:
    """Reads hints as cards of their own, at a lot at work."""

    def __init__(self, view: LotView, candidates: Candidates, scale: Scale) -> None:
        self._view, self._candidates, self._scale = view, candidates, scale

    def of(self, hint: str) -> UnlistedCard:
        """What the card in front would be with this hint. Raises Refused, see `unlisted_tags`."""
        _check_names_card(hint)
        copy = self._candidates.unlisted_copy(hint)
        if copy is not None:
            return UnlistedCard(copy, listed_as=_listed_as(copy, self._row(copy)))
        parsed, carried = parse_hint(hint), self._candidates.carried()
        tied = any(token.pin == "set" for token in parsed.tokens)
        parsed, year_of = (parsed, "") if tied else self._without_year(parsed, carried.get("set"))
        if year_of:
            carried = carried.put("set", year_of)
        tags = unlisted_tags(parsed, carried, self._scale, self._candidates.parallels)
        if tied:
            name = set_meant(self._candidates.matcher.index, tags.set, carried.get("set"))
            tags = replace(tags, set=name)
        tags = replace(tags, number=in_case(tags.number, self._candidates.numbers_of(tags.set)))
        row = self._row(tags)
        if row is not None:
            tags = _known_card(tags, row)
        doubt = self._set_doubt(tags.set) if tied else ""
        if not tied and not year_of:
            doubt = self._doubt(tags, row)
        return UnlistedCard(tags, doubt, _listed_as(tags, row))

    def _without_year(self, parsed: Hint, carried: str) -> tuple[Hint, str]:
        """The hint without the one of two numbers that is the year of a set in the checklists, as
        Enter reads it (`74 397 ada`), and that set; empty where none is. Raises Refused where
        several sets are of the year."""
        index = self._candidates.matcher.index
        read = read_words(parsed.tokens, self._scale, begun=False)
        numbers = [word.token for word in read if word.kind is TypedAs.NUMBER]
        years = [one for one in numbers if not one.pin and index.sets_words.ids_of(one.text)]
        if len(numbers) != YEAR_AND_NUMBER or len(years) != 1:
            return parsed, ""
        [year], home = years, index.set_id(carried)
        if home is not None and index.numbered(home, year.text) is not None:
            return parsed, ""
        names = sets_named(index, [year.text])
        if carried not in names and len(names) > 1:
            some = any_of(names[:MOST_NAMED])
            raise Refused(f"'{printable(year.raw, 20)}' could be {some}: type set=… for the set.")
        left = tuple(token for token in parsed.tokens if token is not year)
        return replace(parsed, tokens=left), carried if carried in names else names[0]

    def _row(self, tags: Tags) -> Row | None:
        """The row that has the number in the set, where there is one such row."""
        index = self._candidates.matcher.index
        step = index.numbered_alone(tags.set, tags.number)
        return None if step is None else index.row(step)

    def _set_doubt(self, name: str) -> str:
        """That a set which was typed may be an unlisted one of this lot that it is the beginning of
        or a part; empty where it is a set that is known, or no such part."""
        typed, known = words(name), dict.fromkeys(one.set for one in self._candidates.unlisted())
        if self._candidates.matcher.index.set_id(name) is not None or name in known:
            return ""
        meant = [one for one in known if begin_all(typed, words(one))]
        return f"{name} may be {any_of(meant[:MOST_NAMED])} of this lot." if meant else ""

    def _doubt(self, tags: Tags, row: Row | None) -> str:
        """That the carried set has no such number, or another card of it (`row`), where nothing
        says that it is meant."""
        # What a tagged card is of was said before.
        if not tags.number or self._is_tagged() or self._goes_on(tags.set):
            return ""
        if row is not None and fold(tags.subject) != fold(row.subject):
            return f"{tags.set} has #{row.number} {row.subject}."
        if self._may_have(tags):
            return ""
        likes = self._with_prefix(tags)
        return f"{tags.set} has no #{tags.number}{f', but {any_of(likes)}' if likes else ''}."

    def _with_prefix(self, tags: Tags) -> list[str]:
        """The cards of the set whose numbers have letters before this one: `#NS-8 Ada Marsh`."""
        index = self._candidates.matcher.index
        set_id = index.set_id(tags.set)
        assert set_id is not None  # a set without a list is not doubted
        numbers = sorted(index.tails.ids_of(canonical(tags.number)))
        steps = (within(index.steps_of_number(id), index.steps(set_id)) for id in numbers)
        rows = [index.row(step) for some in steps for step in some]
        return [f"#{row.number} {row.subject}".rstrip() for row in rows[:MOST_NAMED]]

    def _is_tagged(self) -> bool:
        card = self._view.card
        return card is not None and card.mark.state is State.TAGGED

    def _may_have(self, tags: Tags) -> bool:
        """Whether the set has the number, as far as that is known."""
        index = self._candidates.matcher.index
        set_id = index.set_id(tags.set)
        # of a set without a list no number is known
        return set_id is None or index.numbered(set_id, tags.number) is not None

    def _goes_on(self, set_name: str) -> bool:
        """Whether the card before is an unlisted one of this set."""
        before = self._view.tags_before()
        # One such card after the other: it was said of the first of them that it is meant.
        return before is not None and not before.listed and before.set == set_name


def _check_names_card(hint: str) -> None:
    """Raises Refused where a hint asks for help, or says what is carried."""
    if hint.strip() == "?" or without_next(hint)[1] is not None:
        raise Refused("That is not a card: type its number or its name.")


def _known_card(tags: Tags, row: Row) -> Tags:
    """With the name that the list has for the number, where no other name was typed: a parallel
    that the list does not know is of the card that it does know."""
    names = fold(row.subject).split()
    if (found := listed_parallel(row.parallels, tags.parallel)) is not None:
        tags = replace(tags, parallel=kept_parallel(found.name))
    # By the beginnings of words, as a hint is read against a list: `ada m` is Ada Marsh.
    more = [word for word in tags.subject.split() if not _begins_one(fold(word), names)]
    if not more:
        return replace(tags, subject=row.subject, team=tags.team or row.team)
    colours = _colours_beside(more, names)
    if tags.parallel or not colours:
        return tags
    return _known_card(replace(tags, subject="", parallel=" ".join(colours)), row)


def _colours_beside(more: Sequence[str], names: Sequence[str]) -> Sequence[str]:
    """The colours among some words, where all others are slips in a name; else none."""
    colours = [word for word in more if fold(word) in COLOURS]
    others = [fold(word) for word in more if fold(word) not in COLOURS]
    # a slip in the name is one beside a colour alone: else it may be another card's name
    return colours if all(_is_slip(word, names) for word in others) else ()


def _is_slip(word: str, names: Sequence[str]) -> bool:
    """Whether a word is one slip away from the beginning of a name."""
    return len(word) >= LEAST_SLIPPED and bool(Beginnings(sorted(names)).near(word, 1, 1))


def _begins_one(word: str, names: Sequence[str]) -> bool:
    return any(name.startswith(word) for name in names)


def _listed_as(tags: Tags, row: Row | None) -> str:
    """What a row of the same number is that is not this card."""
    if row is None:
        return ""
    if fold(tags.subject) != fold(row.subject):
        return f"the list's #{row.number} is {row.subject}"
    if is_base(tags.parallel) or listed_parallel(row.parallels, tags.parallel) is not None:
        return ""
    known = [BASE, *(one.name for one in row.parallels if not is_base(one.name))]
    listed = f"the list has #{row.number} {row.subject}"
    if len(known) > MOST_NAMED:
        return f"{listed} without the parallel {tags.parallel}"
    return f"{listed} as {any_of(known)}, not {tags.parallel}"
