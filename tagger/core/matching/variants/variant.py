"""Which variant of a card a hint means: parallel, serial number and condition, held against one
row.

Each word is put to one use in a variant: as part of the parallel's name, as serial number, as
condition, or as what the row says of the card (number, subject, team, set). What all uses come to
together is one `Option`."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from functools import lru_cache, partial
from itertools import repeat
from typing import TYPE_CHECKING, Any, NamedTuple

from tagger.core.matching.read import UNREAD
from tagger.core.matching.typed_words import TypedAs, TypedWord, read_words
from tagger.core.matching.variants.option import Option, no_such_run
from tagger.core.matching.variants.variant_words import (
    AS_CONDITION,
    NO_READING,
    AsCondition,
    AsParallel,
    AsSerial,
    Use,
    Weighed,
    WordReading,
    as_condition,
    names,
    parallel_reading,
    serial_reading,
)
from tagger.core.model.numbers import parse_serial
from tagger.core.model.tags import Parallel, kept_parallel, listed_parallel, parallel_key
from tagger.core.model.text import words

if TYPE_CHECKING:
    from tagger.core.index.index import Index
    from tagger.core.lot.carried import Carried
    from tagger.core.matching.hint import Token
    from tagger.core.model.condition import Scale

OTHER_RUN = -3.0  # for a serial number without its run, where another numbered parallel is carried
TWICE = -5.0  # for a word of a name that repeats another one's beginning
MISSING_WORD = -2.5  # for each word of a parallel's name that was not typed
UNASKED = -0.1
CARRIED_ELSE = 0.5  # times the confidence, where the row lacks the parallel that is carried
READINGS = 8192  # of words as parallels, held ready
KINDS = 8192  # of cards, held ready
OF_A_NAME = frozenset({"subject", "start of the subject"})


class SpelledCondition(NamedTuple):
    """A condition that was typed: its word, and the typed text. Empty where none was."""

    name: str = ""
    raw: str = ""


class VariantPlan(NamedTuple):
    """One variant that cards with the print runs `runs` may have under a hint, and what each word
    could be of it. `asked`: a word names its parallel. `other_run`: a numbered parallel is carried,
    and this is another. `graded`: the places of the words that could be the condition."""

    parallel: Parallel
    name: str
    runs: frozenset[int | None]
    asked: bool
    doubt: float
    read: tuple[WordReading, ...]
    other_run: bool = False
    graded: tuple[int, ...] = ()


class _Usual(NamedTuple):
    """The parallel of a card where no word names one: the carried one, else the plain card's."""

    parallel: Parallel
    carried: bool
    doubt: float = 1.0

    def is_other_run(self, parallel: Parallel) -> bool:
        """Whether a parallel is another one than the numbered one that is carried."""
        return self.carried and self.parallel.run is not None and parallel != self.parallel


class Variants:
    """Reads the words of a hint as parallel, serial number and condition."""

    def __init__(self, scale: Scale) -> None:
        self.scale = scale
        # sets share their parallels, and while a hint is typed on its first words stay
        self._reading = lru_cache(READINGS)(partial(_word_reading, scale))

        self.fits_held: dict[Any, Any] = {}
        """What words of a hint could be of any card, which `copies` holds ready."""
        # of thousands of kinds of cards most list none of these
        self.usual = lru_cache(KINDS)(_usual_of)
        """The parallels of a kind of card that are meant where no word names one: the plain one and
        that which is carried, by its key."""

    def take_condition(
        self, tokens: tuple[Token, ...], index: Index
    ) -> tuple[tuple[Token, ...], SpelledCondition]:
        """The words left, and the condition that the others spell.

        A word that could also be a name, or the beginning of one (`ex`, `mint`), stays a word: it
        is read as condition row by row."""
        left: list[Token] = []
        said = SpelledCondition()
        for word in read_words(tokens, self.scale):
            several = len(word.tokens) > 1
            if several or (not said.name and self._is_condition(word, tokens, index)):
                said = SpelledCondition(word.value, " ".join(token.raw for token in word.tokens))
            else:
                left += word.tokens
        return tuple(left), said

    def _is_condition(self, word: TypedWord, tokens: Sequence[Token], index: Index) -> bool:
        """Whether a word can only be a condition."""
        if word.kind is not TypedAs.CONDITION or not word.value:
            return False
        token = word.token
        if token.pin:
            return True
        if self._may_be_initials(word, tokens, index):
            return False
        # what begins with the word includes the word itself
        return not index.subjects.begins(token.text) and not index.parallel_words.exact(token.text)

    def _may_be_initials(self, word: TypedWord, tokens: Sequence[Token], index: Index) -> bool:
        """Whether a condition's short form (`mt`) could be initials, since another word says
        another condition."""
        others = (self.scale.read(other.text) for other in tokens if other.may_be("condition"))
        if not any(other and other.whole and other.name != word.value for other in others):
            return False
        return bool(index.initials.exact(word.token.text))

    def plans(
        self,
        parallels: tuple[Parallel, ...],
        tokens: Sequence[Token],
        carried: Carried,
        plain: bool = False,
        naming: Sequence[Token] | None = None,
        runs: frozenset[int | None] | None = None,
        made: dict[object, VariantPlan] | None = None,
    ) -> list[VariantPlan]:
        """The variants that the words allow of a card with these parallels: as carried or base, and
        each parallel that a word names. With `plain` no word is any part of a variant; `naming`:
        the words that may be its parallel or serial number, where that is known; `runs`: its print
        runs, where `parallels` are not all; `made`: the plans of other cards for these words, which
        are added to."""
        naming = tuple(tokens if naming is None else naming)
        # A list may name its plain cards, with a print run of their own; then a serial number is
        # held against that.
        base = listed_parallel(parallels, "") or Parallel("")
        usual = _usual(parallels, carried.get("parallel"), base)
        runs = frozenset(one.run for one in parallels) if runs is None else runs
        if plain:
            nothing = (NO_READING,) * len(tokens)
            name = kept_parallel(usual.parallel.name)
            return [VariantPlan(usual.parallel, name, runs, False, usual.doubt, nothing)]
        plan = partial(self._plan_once, {} if made is None else made, tokens, runs, naming)
        found = [plan(usual.parallel, False, usual.doubt, False)]
        for parallel in dict.fromkeys((base, *parallels)):
            if any(map(names, repeat(parallel), naming)):
                found.append(plan(parallel, True, 1.0, usual.is_other_run(parallel)))
        return found

    def _plan_once(
        self,
        made: dict[object, VariantPlan],
        tokens: Sequence[Token],
        runs: frozenset[int | None],
        *how: Any,
    ) -> VariantPlan:
        """A plan, the same object for cards of which the words say the same but for `runs`."""
        found = made.get(how)
        if found is None:
            found = made[how] = self._plan(tokens, runs, *how)
        return found

    def _plan(
        self,
        tokens: Sequence[Token],
        runs: frozenset[int | None],
        naming: Collection[Token],
        parallel: Parallel,
        asked: bool,
        doubt: float,
        other_run: bool,
    ) -> VariantPlan:
        name = kept_parallel(parallel.name)
        # A parallel that is only carried is not what a word means by `gold`: then it is asked for.
        named = asked or not name
        read = tuple(
            self._reading(parallel if token in naming else None, token, named) for token in tokens
        )
        graded = tuple(at for at, word in enumerate(read) if word.condition is not None)
        return VariantPlan(parallel, name, runs, asked, doubt, read, other_run, graded)

    def options(
        self, plan: VariantPlan, tokens: Sequence[Weighed], condition: SpelledCondition
    ) -> Iterator[Option]:
        """One variant of one row, and once more with a word that names the card as its condition,
        where a word could be both. None where a parallel was asked for, but the words say something
        else in this row."""
        option = self._option(plan, tokens, condition)
        if option is None:
            return
        yield option
        if option.condition:
            return
        for at in plan.graded:
            if _may_be_condition(plan.read[at].condition, tokens[at]):
                other = self._option(plan, tokens, condition, grade=at)
                if other is not None:
                    yield other
                return

    def _option(
        self,
        plan: VariantPlan,
        tokens: Sequence[Weighed],
        condition: SpelledCondition,
        grade: int | None = None,
    ) -> Option | None:
        """With `grade`, the word there is the condition, whatever else it could be."""
        uses = _uses(plan, tokens, condition, grade)
        said = _SpelledVariant(
            plan, condition, uses, [use for use in uses if not isinstance(use, Weighed)]
        )
        # Else the same copy would stand in the list twice: as the parallel asked for, and as what
        # is usual.
        if plan.asked and not said.names_parallel:
            return None
        return said.option(tokens)


def _word_reading(
    scale: Scale, parallel: Parallel | None, token: Token, named: bool
) -> WordReading:
    """What a word could be of a copy; without a parallel its condition alone. `named`: it may be
    the parallel's name."""
    as_name, serial, condition = None, None, None
    if parallel is not None:
        serial = serial_reading(parallel, token)
        if named:
            as_name = parallel_reading(parallel, token)
    if token.may_be("condition"):
        condition = as_condition(scale.read(token.text))
    read = WordReading(as_name, serial, condition)
    # the one object tells by itself that there is nothing
    if read == NO_READING:
        return NO_READING
    return read


def _usual_of(index: Index, kind: int, carried: str) -> tuple[Parallel, ...]:
    keys = "", carried
    return tuple(one for one in index.parallels(kind) if parallel_key(one.name) in keys)


def _may_be_condition(read: AsCondition | None, word: Weighed) -> bool:
    """Whether a word that names the card could be its condition as well."""
    # what names nothing is the condition already
    if read is None or not word.meaning:
        return False
    # a beginning (`go`) is hardly meant so
    return read.whole or bool(word.token.pin)


def _usual(parallels: Sequence[Parallel], kept: str, base: Parallel) -> _Usual:
    if not kept:
        return _Usual(base, False)
    carried = listed_parallel(parallels, kept)
    if carried is None:
        return _Usual(base, False, CARRIED_ELSE)
    return _Usual(carried, True)


def _uses(
    plan: VariantPlan, tokens: Sequence[Weighed], condition: SpelledCondition, grade: int | None
) -> list[Use]:
    """What each word is put to in this variant."""
    graded = grade
    if grade is None and plan.graded and not condition.name:
        graded = _condition_at(plan, tokens)
    met: list[tuple[str, str]] = []
    uses: list[Use] = []
    for at, (word, read) in enumerate(zip(tokens, plan.read, strict=True)):
        said = word.token.text, word.meaning
        if at == grade or said in met:  # it is the condition, or was said already
            word = Weighed(word.token, UNREAD, "")
            said = word.token.text, ""
        met.append(said)
        if read is NO_READING:
            uses.append(word)
            continue
        if at == grade:
            read = read._replace(parallel=None)
        uses.append(_use(word, read, plan.asked, at == graded))
    return uses


def _use(word: Weighed, read: WordReading, asked: bool, graded: bool) -> Use:
    """The best use of one word. `graded`: it may be the condition."""
    parallel, serial, condition = read
    if parallel:
        # What was asked for by its name is meant, even where a person on the card is called so.
        meant = asked and not parallel.mistyped
        if meant or parallel.weight > word.weight:
            return parallel
    if serial and serial.weight > word.weight:
        return serial
    if condition and graded and condition.weight > word.weight:
        return condition
    return word


def _condition_at(plan: VariantPlan, tokens: Sequence[Weighed]) -> int:
    """Of several words that could be the condition, the one that is worth least as anything
    else."""

    def gain(at: int) -> float:
        parallel, _, step = plan.read[at]
        assert step is not None
        otherwise = tokens[at].weight
        if parallel is not None:
            otherwise = max(otherwise, parallel.weight)
        return step.weight - otherwise

    return max(plan.graded, key=gain)


class _SpelledVariant(NamedTuple):
    """What all words of a hint say of one variant of one row: the uses that they are put to, and
    those among them that are none of a row, but of a copy."""

    plan: VariantPlan
    condition: SpelledCondition
    uses: Sequence[Use]
    of_copy: Sequence[Use]

    @property
    def names_parallel(self) -> bool:
        """Whether a word says which parallel it is, by its name or by its print run."""
        return any(
            isinstance(use, AsParallel) or (isinstance(use, AsSerial) and use.names_run)
            for use in self.of_copy
        )

    def option(self, tokens: Sequence[Weighed]) -> Option:
        """What they come to."""
        plan, serials = self.plan, [use for use in self.of_copy if isinstance(use, AsSerial)]
        reasons = [
            (word.token.raw, use.meaning) for word, use in zip(tokens, self.uses, strict=True)
        ]
        if self.condition.name:
            reasons.insert(0, (self.condition.raw, AS_CONDITION))
        serial = next((use.serial for use in reversed(serials)), "")
        return Option(
            plan.name,
            serial,
            self._graded(),
            plan.parallel.run,
            self._weight() + self._of_parallel(serials),
            tuple(reasons),
            plan.doubt,
            self._problem(serials, reasons),
        )

    def _graded(self) -> str:
        for use in self.of_copy:
            if isinstance(use, AsCondition):
                return use.name
        return self.condition.name

    def _weight(self) -> float:
        """The words' weights together."""
        weight = UNASKED * (not self.plan.asked)
        spent: list[str] = []
        for use in self.uses:
            of_word = use.weight
            if use.meaning in OF_A_NAME and isinstance(use, Weighed):
                of_word += TWICE * any(_repeats(use.token.text, other) for other in spent)
                spent.append(use.token.text)
            weight += of_word
        return weight

    def _of_parallel(self, serials: Sequence[AsSerial]) -> float:
        """What is added for how much of the parallel that is asked for was typed."""
        plan = self.plan
        if not plan.asked:
            return 0.0
        spelled = {use.word for use in self.of_copy if isinstance(use, AsParallel)}
        more = 0.0
        # `12` beside a carried Gold /99 is hardly the number of another parallel
        if plan.other_run and not spelled and any(use.lone for use in serials):
            more += OTHER_RUN
        # a print run names the parallel as well as all its words would
        if not any(use.names_run for use in serials):
            more += MISSING_WORD * _missing(plan.name, spelled)
        return more

    def _problem(self, serials: Sequence[AsSerial], reasons: Sequence[tuple[str, str]]) -> str:
        """Why the card must not be taken so, empty where it may."""
        # the last one is what is stored, so its problem goes first
        for use in reversed(serials):
            if use.problem:
                return use.problem
        for typed, meaning in reasons:
            if not meaning and (said := parse_serial(typed)):
                return no_such_run(self.plan.runs, *said)
        return ""


def _missing(name: str, spelled: set[str]) -> int:
    """How many words of a parallel's name were not typed; one of a single word was, or it would not
    be asked for."""
    if " " not in name:
        return 0
    return len(name.split()) - len(spelled & set(words(name)))


def _repeats(one: str, other: str) -> bool:
    """Whether one word is the beginning of the other: both then likely mean the same word of a
    name."""
    return one.startswith(other) or other.startswith(one)
