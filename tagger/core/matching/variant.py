"""Which variant of a card a hint means: parallel, serial number and condition, held against one
row."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import TYPE_CHECKING, NamedTuple

from rapidfuzz.distance import OSA

from tagger.core.lot.carried import Carried
from tagger.core.matching.hint import Token
from tagger.core.model.condition import Scale
from tagger.core.model.numbers import parse_serial
from tagger.core.model.tags import Parallel
from tagger.core.model.text import fold, words

if TYPE_CHECKING:
    from tagger.core.index.index import Index

BASE = "base"
PARALLEL, PARALLEL_START, PARALLEL_LETTER = -0.5, -1.2, -1.6
PARALLEL_SLIP = -4.0  # one edit in the beginning of a word of three letters or more
SERIAL, RUN_ONLY = -0.2, -0.4
SERIAL_ALONE = -1.5  # for a number behind the card's, where a numbered parallel is carried
OTHER_RUN = -3.0  # for a serial number without its run, where another numbered parallel is carried
CONDITION, CONDITION_START = -2.0, -4.5  # in words that could be a name as well
TWICE = -5.0  # for a word of a name that repeats another one's beginning
PARALLEL_MISTYPED = "parallel, mistyped"
MISSING_WORD = -2.5  # for each word of a parallel's name that was not typed
UNASKED = -0.1
SET_WORD, UNREAD = -1.5, -14.0


class Weighed(NamedTuple):
    """A word with the log weight of its best reading in a row, and what that reading is (empty:
    none)."""

    token: Token
    weight: float
    how: str


@dataclass(frozen=True, slots=True)
class Option:
    """One variant of one row under a hint. `weight` is the log weight of all words together;
    `doubt` scales the confidence down where something does not fit; `problem` forbids taking it."""

    parallel: str
    serial: str
    condition: str
    run: int | None
    weight: float
    reasons: tuple[tuple[str, str], ...]
    doubt: float = 1.0
    problem: str = ""


@dataclass(frozen=True, slots=True)
class VariantPlan:
    """One variant that cards with the parallels `listed` may have under a hint, and what each word
    could be of it: (as parallel, as serial number, as condition). `other_run`: a numbered parallel
    is carried, and this is another."""

    parallel: Parallel
    name: str
    listed: tuple[Parallel, ...]
    asked: bool
    doubt: float
    read: tuple[
        tuple[tuple[float, str] | None, tuple[float, str, str] | None, tuple[str, bool] | None], ...
    ]
    other_run: bool = False


_NO_VARIANT = (None, None, None)


class WordFit:
    """What one word could be as parallel, serial number or condition, without asking each card. A
    kind is a number for the cards with the same parallels; `most` is the best log weight in any."""

    def __init__(self, token: Token, index: Index, variants: Variants) -> None:
        text, words_ = token.text, index.parallel_words
        self._kinds: list[tuple[float, frozenset[int]]] = []  # the heaviest first
        self._any = UNREAD
        if token.pin in ("", "serial") and (said := parse_serial(text)) is not None:
            weight = RUN_ONLY if said[0] is None else SERIAL
            if said[1] is None:
                self._any = weight
            else:
                self._kinds.append((weight, index.runs.ids_of(str(said[1]))))
        elif token.pin == "serial" and text.isdigit():
            self._any = SERIAL
        if token.pin in ("", "parallel"):
            if text == BASE or (token.pin and BASE.startswith(text)):
                self._any = max(self._any, PARALLEL)
            if text and (token.pin or not text[0].isdigit() or words_.exact(text)):
                self._kinds.append((PARALLEL, words_.ids_of(text)))
                begun = PARALLEL_LETTER if len(text) == 1 else PARALLEL_START
                self._kinds.append((begun, words_.ids(text)))
            if _may_slip(token):
                self._kinds.append((PARALLEL_SLIP, index.parallel_slip(text)))
        if token.pin in ("", "condition") and (read := variants.scale.read(text)):
            self._any = max(self._any, condition_weight(read))
        self._kinds = [
            (weight, kinds) for weight, kinds in self._kinds if kinds and weight > self._any
        ]
        self._kinds.sort(key=lambda fit: -fit[0])
        self.most = max([self._any, *(weight for weight, _ in self._kinds)])

    def weight(self, kind: int) -> float:
        """The most that the word can weigh in a card of this kind."""
        for weight, kinds in self._kinds:
            if kind in kinds:
                return weight
        return self._any


class Variants:
    """Reads the words of a hint as parallel, serial number and condition."""

    def __init__(self, scale: Scale) -> None:
        self.scale = scale

    def take_condition(
        self, tokens: tuple[Token, ...], index: Index
    ) -> tuple[tuple[Token, ...], SpelledCondition]:
        """The words left, and the condition that the others spell.

        A word that could also be a name, or the beginning of one (`ex`, `mint`), stays a word: it
        is read as condition row by row."""
        left: list[Token] = []
        said = SpelledCondition()
        opening = self.scale.opening_words()
        skip = 0
        for at, token in enumerate(tokens):
            if skip:
                skip -= 1
                continue
            further = opening.get(token.text, ())
            if token.pin in ("", "condition") and further and _follow(tokens[at + 1 :], further):
                whole = " ".join((token.text, *further))
                read = self.scale.read(whole)
                if read:
                    said = SpelledCondition(
                        read[0],
                        " ".join(
                            [token.raw, *(t.raw for t in tokens[at + 1 : at + 1 + len(further)])]
                        ),
                    )
                    skip = len(further)
                    continue
            read = self.scale.read(token.text) if token.pin in ("", "condition") else None
            if (
                read
                and not said.name
                and not token.pin
                and self._may_be_initials(token, read[0], tokens, index)
            ):
                left.append(token)
                continue
            named = index.subjects.exact(token.text) or index.parallel_words.exact(token.text)
            sure = token.pin or (not named and not index.subjects.begins(token.text))
            if read and sure and not said.name:
                said = SpelledCondition(read[0], token.raw)
                continue
            left.append(token)
        return tuple(left), said

    def _may_be_initials(
        self, token: Token, read: str, tokens: Sequence[Token], index: Index
    ) -> bool:
        """Whether a condition's short form (`mt`) could be initials, since another word says
        another condition."""
        others = (self.scale.read(other.text) for other in tokens if other.pin in ("", "condition"))
        if not any(other and other[1] and other[0] != read for other in others):
            return False
        return bool(index.initials.exact(token.text))

    def plans(
        self,
        parallels: tuple[Parallel, ...],
        tokens: Sequence[Token],
        carried: Carried,
        plain: bool = False,
    ) -> list[VariantPlan]:
        """The variants that the words allow of a card with these parallels: as carried or base, and
        each parallel that a word names. With `plain` no word is any part of a variant."""
        base = next((p for p in parallels if fold(p.name) == BASE), Parallel(""))
        kept = carried.get("parallel")
        default = next((p for p in parallels if p.name == kept), None) if kept else base
        doubt = 0.5 if default is None else 1.0
        if plain:
            meant = default or base
            name = "" if fold(meant.name) == BASE else meant.name
            return [VariantPlan(meant, name, parallels, False, doubt, (_NO_VARIANT,) * len(tokens))]
        found = [self._plan(default or base, tokens, parallels, asked=False, doubt=doubt)]
        for parallel in dict.fromkeys((base, *parallels)):
            if any(names(parallel, token) for token in tokens):
                plan = self._plan(parallel, tokens, parallels, asked=True)
                other = (
                    bool(kept)
                    and default is not None
                    and default.run is not None
                    and parallel != default
                )
                found.append(replace(plan, other_run=True) if other else plan)
        return found

    def _plan(
        self,
        parallel: Parallel,
        tokens: Sequence[Token],
        listed: tuple[Parallel, ...],
        asked: bool,
        doubt: float = 1.0,
    ) -> VariantPlan:
        name = "" if fold(parallel.name) == BASE else parallel.name
        read = tuple(
            (
                _parallel_reading(parallel, token) if asked or not name else None,
                serial_reading(parallel, token),
                self.scale.read(token.text) if token.pin in ("", "condition") else None,
            )
            for token in tokens
        )
        return VariantPlan(parallel, name, listed, asked, doubt, read)

    def options(
        self, plan: VariantPlan, tokens: Sequence[Weighed], condition: SpelledCondition
    ) -> Iterator[Option]:
        """One variant of one row, and once more with a word that names the card as its condition,
        where a word could be both. None where a parallel was asked for, but the words say something
        else in this row."""
        option = self._option(plan, tokens, condition, grade=-1)
        if option is None:
            return
        yield option
        if option.condition:
            return
        for at, ((token, _, meaning), (_, _, step)) in enumerate(
            zip(tokens, plan.read, strict=True)
        ):
            if step is not None and meaning and (step[1] or token.pin):
                other = self._option(plan, tokens, condition, grade=at)
                if other is not None:
                    yield other
                return

    def _option(
        self, plan: VariantPlan, tokens: Sequence[Weighed], condition: SpelledCondition, grade: int
    ) -> Option | None:
        """With `grade`, the word there is the condition, whatever else it could be."""
        asked, name, parallel = plan.asked, plan.name, plan.parallel
        weight, reasons, serial, problem = UNASKED if not asked else 0.0, [], "", ""
        spelled: set[str] = set()
        met: set[tuple[str, str]] = set()
        spent: list[str] = []
        graded, runless = condition.name, False
        as_condition = grade if grade >= 0 else _condition_at(plan, tokens)
        if condition.name:
            reasons.append((condition.raw, "condition"))
        for at, ((token, read, meaning), (as_parallel, numbered, step)) in enumerate(
            zip(tokens, plan.read, strict=True)
        ):
            if (token.text, meaning) in met or at == grade:
                read, meaning = UNREAD, ""  # said already
            met.add((token.text, meaning))
            plain = as_parallel is not None and as_parallel[0] > PARALLEL_SLIP
            if (
                as_parallel is not None
                and ((asked and plain) or as_parallel[0] > read)
                and at != grade
            ):
                read, meaning = as_parallel[0], "parallel" if plain else PARALLEL_MISTYPED
                spelled.add(as_parallel[1])
            elif numbered is not None and numbered[0] > read:
                read, meaning, serial, problem = (
                    numbered[0],
                    "serial number",
                    numbered[1],
                    numbered[2] or problem,
                )
                if parallel.run is not None and asked and not is_alone(token):
                    spelled.add(_RUN)
                runless = runless or "/" not in token.text or token.text.endswith("/")
            elif (
                step is not None
                and not graded
                and at == as_condition
                and read < condition_weight(step)
            ):
                graded, read, meaning = step[0], condition_weight(step), "condition"
            elif meaning in OF_A_NAME:
                if any(_repeats(token.text, other) for other in spent):
                    read += TWICE
                spent.append(token.text)
            weight += read
            reasons.append((token.raw, meaning))
        if asked and not spelled:
            return None
        if plan.other_run and runless and spelled == {_RUN}:
            weight += OTHER_RUN
        if asked and name and _RUN not in spelled and " " in name:
            weight += MISSING_WORD * (len(name.split()) - len(spelled & set(words(name))))
        for typed, meaning in reasons:
            said = None if meaning or problem else parse_serial(typed)
            if said:
                problem = _no_such_run(plan.listed, said)
        return Option(
            name, serial, graded, parallel.run, weight, tuple(reasons), plan.doubt, problem
        )


def _condition_at(plan: VariantPlan, tokens: Sequence[Weighed]) -> int:
    """Of several words that could be the condition, the one that is worth least as anything else;
    -1 for none."""
    steps = [at for at, (_, _, step) in enumerate(plan.read) if step is not None]
    if len(steps) < 2:
        return steps[0] if steps else -1

    def gain(at: int) -> float:
        as_parallel, _, step = plan.read[at]
        assert step is not None
        return condition_weight(step) - max(
            tokens[at].weight, as_parallel[0] if as_parallel else UNREAD
        )

    return max(steps, key=gain)


_RUN = "/"


class SpelledCondition(NamedTuple):
    """A condition that was typed: its word, and the typed text. Empty where none was."""

    name: str = ""
    raw: str = ""


def _follow(tokens: tuple[Token, ...], further: tuple[str, ...]) -> bool:
    """Whether the next words go on spelling a condition of several words."""
    return len(tokens) >= len(further) and all(
        len(t.text) >= 1 and word.startswith(t.text) and t.pin in ("", "condition")
        for t, word in zip(tokens, further, strict=False)
    )


def condition_weight(read: tuple[str, bool]) -> float:
    """The log weight of a word as a condition, by how `Scale.read` read it."""
    return CONDITION if read[1] else CONDITION_START


OF_A_NAME = frozenset({"subject", "start of the subject"})


def _repeats(one: str, other: str) -> bool:
    """Whether one word is the beginning of the other: both then likely mean the same word of a
    name."""
    return one.startswith(other) or other.startswith(one)


def _may_slip(token: Token) -> bool:
    return len(token.text) >= 3 and token.text.isalpha() and token.pin in ("", "parallel")


@lru_cache(4096)
def names(parallel: Parallel, token: Token) -> bool:
    """Whether a word could name this parallel or its print run."""
    if _parallel_reading(parallel, token) is not None:
        return True
    return not is_alone(token) and serial_reading(parallel, token) is not None


def with_serial(tokens: tuple[Token, ...], carried: Carried) -> tuple[Token, ...]:
    """The last number as a serial number of the parallel that is carried (`13 39`), where another
    number stands before it and no word is a serial number already; else the words as they are."""
    at = next((at for at in range(len(tokens) - 1, -1, -1) if _digits(tokens[at])), -1)
    told = any(token.pin == "serial" or "/" in token.text for token in tokens)
    before = any(
        token.pin in ("", "number") and any(map(str.isdigit, token.text))
        for token in tokens[: max(at, 0)]
    )
    if not before or told or not carried.get("parallel"):
        return tokens
    return (*tokens[:at], tokens[at]._replace(raw=tokens[at].text, pin="serial"), *tokens[at + 1 :])


def is_alone(token: Token) -> bool:
    """Whether the word is a number that `with_serial` made a serial number."""
    return token.pin == "serial" and token.raw == token.text and _digits(token._replace(pin=""))


def _digits(token: Token) -> bool:
    return (
        not token.pin and token.text.isascii() and token.text.isdecimal() and len(token.text) <= 6
    )


@lru_cache(4096)
def _parallel_reading(parallel: Parallel, token: Token) -> tuple[float, str] | None:
    """(log weight, the word of the parallel's name that was meant) or None."""
    if token.pin not in ("", "parallel"):
        return None
    text = token.text
    name = parallel.name or BASE
    if not text:
        return (PARALLEL, BASE) if token.pin and fold(name) == BASE else None
    if fold(name) == BASE:
        return (PARALLEL, BASE) if text == BASE or (token.pin and BASE.startswith(text)) else None
    if text[0].isdigit() and not token.pin and text not in words(name):
        return None
    known = words(name)
    if text in known:
        return PARALLEL, text
    letters = "".join(part[:1] for part in fold(name).split())
    if len(text) > 1 and text == letters:
        return PARALLEL_LETTER, known[0]
    for word in known:
        if word.startswith(text):
            return (PARALLEL_LETTER if len(text) == 1 else PARALLEL_START), word
    if _may_slip(token):
        for word in known:
            if slipped(text, word):
                return PARALLEL_SLIP, word
    return None


def slipped(typed: str, word: str) -> bool:
    """Whether the typed letters are one edit away from a beginning of a word, of about as many
    letters."""
    lengths = range(max(2, len(typed) - 1), min(len(word), len(typed) + 1) + 1)
    return any(OSA.distance(typed, word[:length], score_cutoff=1) <= 1 for length in lengths)


@lru_cache(4096)
def serial_reading(parallel: Parallel, token: Token) -> tuple[float, str, str] | None:
    """(log weight, serial number as stored, reason why it cannot be) where the word is a serial
    number that the parallel's print run fits, or None."""
    if token.pin not in ("", "serial"):
        return None
    said = parse_serial(token.text)
    if said is None and token.pin and token.text.isdigit():
        said = (int(token.text), None)
    if said is None or parallel.run is None:
        return None
    serial, run = said
    if run is not None and run != parallel.run:
        return None
    if is_alone(token) and not 1 <= (serial or 0) <= parallel.run:
        return None
    if serial is None:
        return RUN_ONLY, "", ""
    if serial > parallel.run or serial == 0:
        what = (
            "there is no number 0"
            if serial == 0
            else f"{serial} is above the print run of {parallel.run}"
        )
        return SERIAL, "", f"{parallel.name or 'This card'} is numbered to {parallel.run}: {what}"
    width = len(token.text.partition("/")[0]) if token.text.startswith("0") else 0
    weight = SERIAL_ALONE if is_alone(token) else SERIAL
    return weight, f"{serial:0{width}d}/{parallel.run}", ""


def _no_such_run(listed: tuple[Parallel, ...], said: tuple[int | None, int | None]) -> str:
    runs = sorted({p.run for p in listed if p.run is not None})
    if said[1] is None:
        return (
            "the serial number lacks its print run; type it as on the card, such as 12/99"
            if runs
            else ("this card has no numbered parallel in the checklist")
        )
    if said[0] is not None and said[0] > said[1]:
        return f"{said[0]} is above the print run of {said[1]}"
    shown = ", ".join(f"/{run}" for run in runs)
    return f"no parallel of this card is numbered to {said[1]}" + (
        f" (listed: {shown})" if shown else " in the checklist"
    )
