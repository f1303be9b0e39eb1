"""Numbers with letters before them, such as `RC-19`, typed without their letters or with the first
of them: `19`, `r19`, `r 19`.

A word that is meant so is written out as the whole number, and the hint is read once more in that
spelling."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import islice
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.index.flat_arrays import within
from tagger.core.index.number_frames import BARE, Frame
from tagger.core.matching.hint import Token, split_mixed
from tagger.core.matching.spellings import Words
from tagger.core.model.numbers import ROMAN_END, canonical, in_roman, is_distinct, is_whole_number

if TYPE_CHECKING:
    from tagger.core.index.index import Index
    from tagger.core.matching.priors.context import Context
    from tagger.core.matching.priors.prior import Prior

# Log weights (our own estimate, no source): who works at `RC-18` and means the plain 19 is rare;
# rarer still who types 19 elsewhere and means RC-19.
OUT_OF_RUN, BEGUN, LEFT_OUT = -3.0, -3.0, -5.0
BEHIND = 2.0  # how far it stays behind what the number means as typed
MOST = 3  # numbers of one digit group that are tried
WRITTEN = 20  # of them where every card is looked for

Spelled = tuple[Words, float]  # words, and a log weight that is added to what they come to


class _Digits(NamedTuple):
    """A number in a hint: the places of its words, the letters before it, and its digits."""

    places: range
    letters: str
    digits: str


class Prefixed:
    """The prefixed numbers that a lot makes likely."""

    def __init__(self, index: Index, prior: Prior, context: Context) -> None:
        self._index, self._prior = index, prior
        self._run = self._frame_of_run(context)

    def _frame_of_run(self, context: Context) -> Frame:
        """What stands around the digits here: as at the card before, or else as at all cards of the
        carried set."""
        before, prior = context.before, self._prior
        if prior.carried is None:
            return BARE
        # the card before says how the run is numbered as long as it is of the carried set
        if before is not None and prior.before is not None:
            frames = self._index.frames_in(prior.carried)
            return frames.get(canonical(before.number), BARE)
        return self._index.frame_of(prior.carried)

    def spelled(self, spellings: Sequence[Words], less: float) -> list[Spelled]:
        """All spellings with their weights, `less` for each that was tried before, and those in
        which the prefix of the run, or one that was begun, is written out."""
        found: list[Spelled] = []
        for order, words in enumerate(spellings):
            in_run = self._in_run(words)
            out_of_run = OUT_OF_RUN * (in_run is not None and not self._is_begun_again(words))
            found.append((words, less * order + out_of_run))
            if in_run is not None:
                found.append((in_run, less * order))
        if spellings:
            found += [(words, BEGUN) for words in self._begun(spellings[0])]
        return found

    def left_out(
        self, words: Words, named: Sequence[int], anywhere: bool
    ) -> list[tuple[Words, Sequence[int]]]:
        """A number typed without its prefix, written out, with the steps of that number in the sets
        at hand: those that the hint names, that are carried or were met, else any. `anywhere`: in
        any behind those."""
        at = self._bare(words)
        if at is None:
            return []
        found: list[tuple[Words, Sequence[int]]] = []
        for id in self._with_digits(canonical(words[at].text)):
            steps = self._steps_at_hand(id, named)
            if anywhere and not named:
                rest = self._index.steps_of_number(id)
                steps = list(dict.fromkeys((*steps[:MOST], *rest[:MOST])))
            if steps:
                found.append((_written(words, range(at, at + 1), self._text(id)), steps[:MOST]))
        return found[:MOST]

    def may_be_plain(self, words: Words) -> frozenset[int]:
        """The rows that a number stands for in the run, where the carried set has the plain number
        as well, and the run would have to go there by a step that is none of this tray."""
        at, carried, in_run = self._bare(words), self._prior.carried, self._in_run(words)
        if at is None or carried is None or in_run is None or self._index.is_roman(carried):
            return frozenset()
        if not self._is_plain(canonical(words[at].text), carried):
            return frozenset()
        numbered = self._index.steps_of_number(self._index.number_id(canonical(in_run[at].text)))
        meant = within(numbered, self._index.steps(carried))
        return frozenset(meant).difference(self._prior.likely(carried))

    def written(self, words: Words) -> Iterator[Words]:
        """The words with each number that the digits among them end, written out."""
        at = self._bare(words)
        if at is None:
            return
        for id in self._with_digits(canonical(words[at].text))[:WRITTEN]:
            yield _written(words, range(at, at + 1), self._text(id))

    def _steps_at_hand(self, number_id: int, named: Sequence[int]) -> Sequence[int]:
        """The steps of a number in the sets named, carried or met; without such sets, all."""
        steps = self._index.steps_of_number(number_id)
        first = self._prior.first()
        at_hand = [*first, *(id for id in named if id not in first)]
        at_hand.sort(key=lambda id: id not in named)
        sets = [self._index.steps(id) for id in at_hand]
        # At the first card of a lot no set is at hand, and any of them may begin here.
        if not sets:
            return steps
        return [step for of_set in sets for step in within(steps, of_set)]

    def _in_run(self, words: Words) -> Words | None:
        at, carried = self._bare(words), self._prior.carried
        if at is None or carried is None:
            return None
        digits = canonical(words[at].text)
        if self._index.is_roman(carried):
            return self._as_roman(words, at, carried)
        if self._is_printed_so(words[at].text):
            return None
        # Only letters before the digits make a run of their own beside the plain numbers, and `#17`
        # says that nothing is left out.
        exact = words[at].pin == "number" or not self._run.has_prefix
        plain = exact and self._is_plain(digits, carried)
        if plain or self._is_one_of_several(digits, carried):
            return None
        whole = self._run.around(digits)
        numbered = self._index.steps_of_number(self._index.number_id(whole))
        # The run may be over: behind RC-20 as the last of them a 21 is the plain one.
        if not within(numbered, self._index.steps(carried)):
            return None
        return _written(words, range(at, at + 1), whole)

    def _is_printed_so(self, text: str) -> bool:
        return self._run == BARE or self._is_printed(text)

    def _is_begun_again(self, words: Words) -> bool:
        """Whether the card before is the last of its run and the digits go back: behind NS-5 as the
        last of them a 1 may as well begin the next stack of plain numbers."""
        at, carried, before = self._bare(words), self._prior.carried, self._prior.before
        if at is None or carried is None or before is None:
            return False
        numbers, rows = self._index.number_of, self._index.steps(carried)
        goes_on = before + 1 in rows and self._text(numbers(before + 1))
        if goes_on and self._index.frames_in(carried).get(goes_on) == self._run:
            return False
        whole = self._index.number_id(self._run.around(canonical(words[at].text)))
        return all(step < before for step in within(self._index.steps_of_number(whole), rows))

    def _is_plain(self, digits: str, set_id: int) -> bool:
        """Whether a set has a card of this very number: 13 behind a 12a."""
        numbered = self._index.steps_of_number(self._index.number_id(digits))
        return bool(within(numbered, self._index.steps(set_id)))

    def _as_roman(self, words: Words, at: int, set_id: int) -> Words | None:
        """The words with the digits as the Roman number of a set, None where it has no such one."""
        value = int(words[at].text)
        text = in_roman(value) if 0 < value < ROMAN_END else ""
        if not text or not self._is_plain(text, set_id):
            return None
        return _written(words, range(at, at + 1), text)

    def _is_one_of_several(self, digits: str, set_id: int) -> bool:
        """Whether a set has a number in several versions, as 66a and 66b: that the card before was
        the a says nothing of this one."""
        tail = self._run.tail
        if len(tail) != 1 or not tail.isalpha():
            return False
        whole = self._run.around(digits)[:-1]
        begun = self._index.number_texts.starting(whole)
        steps, texts = self._index.steps(set_id), self._index.number_texts
        lettered = (id for id in begun if len(texts[id]) == len(whole) + 1)
        found = [id for id in lettered if texts[id][-1].isalpha()]
        return sum(bool(within(self._index.steps_of_number(id), steps)) for id in found) > 1

    def _is_printed(self, text: str) -> bool:
        """Whether a number with leading zeros is printed so on a card: then it is meant."""
        if not is_distinct(text):
            return False
        forms = self._index.printed_forms(self._index.number_id(canonical(text)))
        return any(self._index.form(form) == text for form in forms)

    def _begun(self, words: Words) -> Iterator[Words]:
        found = next(_lettered(words), None)
        if found is None:
            return
        texts = map(self._text, self._with_digits(canonical(found.digits)))
        begun = (text for text in texts if text.startswith(found.letters))
        # what is written out already is read as it stands
        others = (text for text in begun if text != found.letters + canonical(found.digits))
        yield from (_written(words, found.places, text) for text in islice(others, MOST))

    def _with_digits(self, digits: str) -> list[int]:
        """The numbers that end with some digits behind a prefix, those of the carried set first."""
        known, carried = self._index.tails.ids_of(digits), self._prior.carried
        if carried is None or len(known) < 2:
            return sorted(known)
        steps, numbered = self._index.steps(carried), self._index.steps_of_number
        return sorted(known, key=lambda id: (not within(numbered(id), steps), id))

    def _text(self, id: int) -> str:
        return self._index.number_texts[id]

    def _bare(self, words: Words) -> int | None:
        """Where the first word of nothing but digits stands that can be the card's number; one that
        is a year of a set only where it is the only one."""
        plain = (at for at, word in enumerate(words) if word.may_be("number"))
        found = [at for at in plain if is_whole_number(words[at].text)]
        of_sets = self._index.sets_words.ids_of
        return next((at for at in found if not of_sets(words[at].text)), next(iter(found), None))


def _lettered(words: Words) -> Iterator[_Digits]:
    """Letters and digits in one word, or in two that follow each other."""
    for at, word in enumerate(words):
        parts = split_mixed(word._replace(pin="")) if word.may_be("number") else None
        if parts is not None and parts[1].pin:
            yield _Digits(range(at, at + 1), parts[0].text, parts[1].text)
        elif at and _are_two(words[at - 1], word):
            yield _Digits(range(at - 1, at + 1), words[at - 1].text, word.text)


def _are_two(before: Token, word: Token) -> bool:
    """Whether two words are letters and digits that nothing ties to a field."""
    free = not before.pin and not word.pin
    return free and before.text.isalpha() and is_whole_number(word.text)


def _written(words: Words, places: range, text: str) -> Words:
    """The words with those at some places as one number."""
    raw = " ".join(word.raw for word in words[places.start : places.stop])
    return (*words[: places.start], Token(raw, text, "number"), *words[places.stop :])
