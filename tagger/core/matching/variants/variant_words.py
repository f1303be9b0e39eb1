"""What one word could be of a copy: its parallel, its serial number, its condition; each reading
with the natural logarithm of how probable the word is, given that it is meant so.

A slip of the finger is one edit by optimal string alignment distance, as everywhere."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING, NamedTuple

from rapidfuzz.distance import OSA

from tagger.core.matching.read import PARALLEL_MISTYPED
from tagger.core.model.numbers import is_whole_number, parse_serial
from tagger.core.model.tags import BASE, Parallel, is_base, is_colour_of
from tagger.core.model.text import fold, whole_number, words

if TYPE_CHECKING:
    from tagger.core.matching.hint import Token
    from tagger.core.model.condition import ReadCondition

AS_PARALLEL, AS_SERIAL, AS_CONDITION = "parallel", "serial number", "condition"
OF_A_COPY = frozenset({AS_PARALLEL, PARALLEL_MISTYPED, AS_SERIAL, AS_CONDITION})
"""What a word may say of a copy, and not of the card as it was printed."""

PARALLEL, PARALLEL_START, PARALLEL_LETTER = -0.5, -1.2, -1.6
PARALLEL_SLIP = -4.0  # one edit in the beginning of a word of three letters or more
SERIAL, RUN_ONLY = -0.2, -0.4
SERIAL_ALONE = -1.5  # for a number behind the card's, where a numbered parallel is carried
CONDITION, CONDITION_START = -2.0, -4.5  # in words that could be a name as well


class Weighed(NamedTuple):
    """A word with the log weight of its best reading as what a row says of the card (number,
    subject, team, set), and what that reading is (empty: none)."""

    token: Token
    weight: float
    meaning: str


class AsParallel(NamedTuple):
    """A word as part of a parallel's name; `word` is the word of the name that was meant."""

    weight: float
    word: str

    @property
    def mistyped(self) -> bool:
        """Whether only a slip of the finger makes it so."""
        return self.weight <= PARALLEL_SLIP

    @property
    def meaning(self) -> str:
        """What is told of it."""
        if self.mistyped:
            return PARALLEL_MISTYPED
        return AS_PARALLEL


class AsSerial(NamedTuple):
    """A word as serial number. `serial` is what is stored, `problem` why it cannot be. `names_run`:
    the print run was typed, or the word is tied to the serial number, so that it may choose the
    parallel; `lone`: no print run was typed."""

    weight: float
    serial: str
    problem: str
    names_run: bool
    lone: bool
    meaning: str = AS_SERIAL


class AsCondition(NamedTuple):
    """A word as condition; `whole` as `ReadCondition` has it."""

    weight: float
    name: str
    whole: bool
    meaning: str = AS_CONDITION


Use = Weighed | AsParallel | AsSerial | AsCondition


class WordReading(NamedTuple):
    """All that one word could be of one variant of a card."""

    parallel: AsParallel | None = None
    serial: AsSerial | None = None
    condition: AsCondition | None = None


NO_READING = WordReading()


def condition_weight(read: ReadCondition) -> float:
    """The log weight of a word as a condition."""
    if read.whole:
        return CONDITION
    return CONDITION_START


def as_condition(read: ReadCondition | None) -> AsCondition | None:
    """A condition that was read, as the use of a word."""
    if read is None:
        return None
    return AsCondition(condition_weight(read), read.name, read.whole)


def names(parallel: Parallel, token: Token) -> bool:
    """Whether a word could name this parallel or its print run."""
    if name_reading(parallel.name, token) is not None:
        return True
    serial = serial_reading(parallel, token)
    return serial is not None and serial.names_run


def parallel_reading(parallel: Parallel, token: Token) -> AsParallel | None:
    """The word as part of a parallel's name, None where it is none."""
    return name_reading(parallel.name, token)


@lru_cache(4096)  # by the name: the same one has another print run in each set
def name_reading(name: str, token: Token) -> AsParallel | None:
    """The same by the parallel's name."""
    if not token.may_be("parallel"):
        return None
    if is_base(name):
        if not means_base(token):
            return None
        return AsParallel(PARALLEL, BASE)
    if not token.text:
        return None
    return _spelled(name, token) or _slipped(name, token)


def means_base(token: Token) -> bool:
    """Whether a word asks for the plain card: `base`, and tied to the parallel also its beginning
    or nothing at all (`parallel=`)."""
    return token.text == BASE or (bool(token.pin) and BASE.startswith(token.text))


def _spelled(name: str, token: Token) -> AsParallel | None:
    text, known = token.text, words(name)
    if text in known:
        return AsParallel(PARALLEL, text)
    # `5` begins no `50th`: digits are the card's number far more often
    if text[0].isdigit() and not token.pin:
        return None
    if len(text) > 1 and text == parallel_letters(name):
        return AsParallel(PARALLEL_LETTER, known[0])
    begun = next((word for word in known if word.startswith(text)), None)
    if begun is None:
        return None
    return AsParallel(start_weight(text), begun)


def start_weight(text: str) -> float:
    """The log weight of the beginning of a parallel's word; one letter says less."""
    if len(text) == 1:
        return PARALLEL_LETTER
    return PARALLEL_START


@lru_cache(4096)
def parallel_letters(name: str) -> str:
    """The initials of a parallel's name: `Gold Wave` gives `gw`."""
    return "".join(part[:1] for part in fold(name).split())


def _slipped(name: str, token: Token) -> AsParallel | None:
    if not may_slip(token):
        return None
    word = next((word for word in words(name) if slipped(token.text, word)), None)
    if word is None:
        return None
    return AsParallel(PARALLEL_SLIP, word)


def may_slip(token: Token) -> bool:
    """Whether a word is looked for as a mistyped parallel: below three letters nearly everything
    would be one."""
    return token.may_be("parallel") and len(token.text) >= 3 and token.text.isalpha()


def slipped(typed: str, word: str) -> bool:
    """Whether the typed letters are one edit away from a beginning of a word, of about as many
    letters."""
    # one edit leaves one of the first two letters where it is, or moves it by one
    first, second = typed[0], typed[1]
    if first not in word[:2] and second not in word[:2]:
        return False
    if is_colour_of(typed, word):
        return False
    # One edit changes the length by one letter at most; a single letter is never a slip of another.
    lengths = range(max(2, len(typed) - 1), min(len(word), len(typed) + 1) + 1)
    return any(OSA.distance(typed, word[:length], score_cutoff=1) <= 1 for length in lengths)


def is_alone(token: Token) -> bool:
    """Whether the word is a number that `spellings.with_serial` made a serial number."""
    return token.pin == "serial" and token.raw == token.text and is_whole_number(token.text)


@lru_cache(4096)
def serial_reading(parallel: Parallel, token: Token) -> AsSerial | None:
    """The word as a serial number that the parallel's print run fits, or None."""
    if parallel.run is None or not token.may_be("serial"):
        return None
    said = serial_typed(token)
    if said is None:
        return None
    serial, run = said
    # Another print run is another parallel: which one, is asked of each of them in turn.
    if run not in (None, parallel.run):
        return None
    lone = "/" not in token.text or token.text.endswith("/")
    if serial is None:
        return AsSerial(RUN_ONLY, "", "", True, lone)
    problem = _above(serial, parallel)
    if is_alone(token):
        # nobody said that it is a serial number: it is one only where it can be
        if problem:
            return None
        return AsSerial(SERIAL_ALONE, _stored(token, serial, parallel), "", False, lone)
    if problem:
        return AsSerial(SERIAL, "", problem, True, lone)
    return AsSerial(SERIAL, _stored(token, serial, parallel), "", True, lone)


def _stored(token: Token, serial: int, parallel: Parallel) -> str:
    """A serial number with its print run, as it is kept; leading noughts are printed on the card,
    and kept."""
    typed, wide = token.text.partition("/")[0], 0
    if typed.startswith("0"):
        wide = len(typed)
    return f"{serial:0{wide}d}/{parallel.run}"


@lru_cache(256)
def serial_typed(token: Token) -> tuple[int | None, int | None] | None:
    """(serial number, print run) that a word spells; digits alone are one where it is tied so."""
    said = parse_serial(token.text)
    if said is None and token.pin and (number := whole_number(token.text)) is not None:
        return number, None
    return said


def _above(serial: int, parallel: Parallel) -> str:
    """Why a serial number cannot be within a print run, empty where it can."""
    run = parallel.run or 0
    if 0 < serial <= run:
        return ""
    what = f"{serial} is above the print run of {run}"
    if not serial:
        what = "there is no number 0"
    return f"{parallel.name or 'This card'} is numbered to {run}: {what}"
