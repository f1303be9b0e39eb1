"""Text from outside: made safe to show, and folded to what a dealer would type on a plain
keyboard."""

from __future__ import annotations

import re
import unicodedata
from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import lru_cache

DIGITS = 4000  # of one number; no card and no file has more, and Python refuses to read more
# Letters that do not decompose into a base letter and a mark (Unicode, NFKD), as they are typed
# plainly.
_PLAIN_LETTERS = str.maketrans(
    {
        "ø": "o", "ł": "l", "đ": "d", "ð": "d", "ħ": "h", "ŧ": "t", "ı": "i", "ĸ": "k", "ŋ": "n",
        "æ": "ae", "œ": "oe", "þ": "th", "ß": "ss", "ſ": "s",
    }
)  # fmt: skip

_APOSTROPHES = "'’‘`´ʼʻ"
_WORD = re.compile(r"[^\W_]+")
# CJK ideographs, Hangul syllables: one to a word's part
_NO_SPACES = re.compile(r"[\u3400-\u9fff\uac00-\ud7a3]{2,5}")
_CAMEL = re.compile(r"(?<=[a-z])(?=[A-Z])")

# Characters that draw nothing or move other characters about: Cc, Cf (among them the bidirectional
# controls), Cs, Co, Cn, Zl and Zp by Unicode general category.
_UNSAFE_CATEGORIES = frozenset({"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"})


@lru_cache(maxsize=16384)
def printable(text: str, limit: int = 400) -> str:
    """The text on one line with nothing in it that a terminal would act on, at most `limit`
    characters.

    Control, format, surrogate and unassigned characters are written as `\\x1b`-like escapes, so
    that a hostile name is still recognisable; a byte that was no UTF-8 (kept by Python as a lone
    surrogate) shows as that byte."""
    # One character more than may stand there tells that it is too long; no more is looked at,
    # however long a hostile name is.
    shown = text[: limit + 1]
    if not (shown.isascii() and shown.isprintable()):
        shown = "".join(map(_shown, shown))
    if len(shown) > limit:
        return shown[: limit - 1] + "…"
    return shown


def sentence(said: str) -> str:
    """A sentence with its full stop; a question has its own sign."""
    return said if said.endswith("?") else f"{said}."


def _shown(char: str) -> str:
    """A character as it may stand in a line of the screen."""
    if _is_safe(char):
        return char
    code = ord(char)
    # where Python keeps a byte of a file's name that is not UTF-8 (PEP 383)
    if 0xDC80 <= code <= 0xDCFF:
        return f"\\x{code - 0xDC00:02x}"
    # A no-break space, say: it moves nothing about, and an escape would only be harder to read.
    if char.isspace() and code > 0x7F:
        return " "
    return _escape(code)


def _escape(code: int) -> str:
    """A character by its code point, as Python and JSON write it."""
    if code <= 0xFF:
        return f"\\x{code:02x}"
    if code <= 0xFFFF:
        return f"\\u{code:04x}"
    return f"\\U{code:08x}"


def _is_safe(char: str) -> bool:
    if char == " ":
        return True
    return char.isprintable() and unicodedata.category(char) not in _UNSAFE_CATEGORIES


@lru_cache(maxsize=16384)
def has_parts(name: str, typed: str) -> bool:
    """Whether a name holds every one of some words, also as a part of a word: `87` means 1987. `_`
    joins words, as in a hint."""
    # on both sides: the name of a list's file may have one itself
    folded = fold(name.replace("_", " "))
    return all(part in folded for part in fold(typed.replace("_", " ")).split())


def fold(text: str) -> str:
    """Lower case without marks: `Ñúñez` and `NUNEZ` both become `nunez`. Other scripts stay as they
    are."""
    # Most of every list is: the tables of Unicode are asked for the rest alone.
    if text.isascii():
        return text.lower()
    decomposed = unicodedata.normalize("NFKD", text.casefold())
    return "".join(c for c in decomposed if not unicodedata.combining(c)).translate(_PLAIN_LETTERS)


def one_spelling(texts: Iterable[str], key: Callable[[str], object] = fold) -> Mapping[str, str]:
    """Each of some texts, one a card, in the spelling that most cards have among those of one
    key."""
    counts = Counter(texts)
    by_key: dict[object, str] = {}
    # Of two spellings on as many cards the first that was met.
    for text, _ in counts.most_common():
        by_key.setdefault(key(text), text)
    return {text: by_key[key(text)] for text in counts}


def whole_number(text: str) -> int | None:
    """The number that a text of nothing but digits is; None where it is none, or has more than
    DIGITS. (`isdigit` takes a raised 2 for a digit, of which no number can be made.)"""
    return int(text) if text.isdecimal() and len(text) <= DIGITS else None


PARTICLE = 3  # letters of a word that belongs to the surname behind it: de, la, van, der, St.


@lru_cache(maxsize=16384)
def words(text: str) -> tuple[str, ...]:
    """The folded words of a name, in order, as they can be typed.

    A piece with an apostrophe or a hyphen gives itself joined and its parts (`O'Neil`: oneil, o,
    neil); a capital inside a word starts a part of its own (`McKay`: mckay, kay; in a list of
    capitals what follows `MC`); the last two words also count joined (`St. Clair`: st, clair,
    stclair), and with the short words before them (`Ana de la Cruz`: lacruz, delacruz). Of a name
    in a script that puts no space behind the surname each end counts."""
    found: list[str] = []
    plain: list[str] = []
    for piece in text.split():
        parts = _WORD.findall(piece)
        if parts:
            joined = fold("".join(parts))
            plain.append(joined)
            found.append(joined)
            found += _within(piece, parts, joined)
    if len(plain) > 1:
        found += _surnames(plain)
    return tuple(dict.fromkeys(found))


@lru_cache(16384)
def name_pieces(name: str) -> tuple[str, ...]:
    """The words of a name as they stand in it, folded, each in letters and digits alone: `Ada
    O'Neil` gives ada, oneil."""
    pieces = (fold("".join(_WORD.findall(piece))) for piece in name.split())
    return tuple(piece for piece in pieces if piece)


def _within(piece: str, parts: list[str], joined: str) -> Sequence[str]:
    """The words within one piece of a name, folded; `joined` is all of it."""
    if len(parts) > 1:
        return [fold(part) for part in parts]
    if piece.istitle():  # as nearly every word of a checklist is; asked first for speed
        return ()
    if _NO_SPACES.fullmatch(parts[0]):
        return [fold(parts[0][at:]) for at in range(1, len(parts[0]))]
    if not piece.isupper():
        return [fold(part) for part in _CAMEL.split(parts[0])[1:][-1:]]
    return _within_capitals(joined)


def _within_capitals(joined: str) -> Sequence[str]:
    """The word within a name that a list has in capitals, folded: `mckay` gives `kay`."""
    # in capitals no letter marks where `McKay` goes on, so its prefix has to
    if joined.startswith("mc") and len(joined) > 4:
        return [joined[2:]]
    return ()


def _surnames(plain: list[str]) -> list[str]:
    """The last two words of a name joined, and with the short words before them."""
    found: list[str] = []
    joined = plain[-1]
    for at in range(len(plain) - 2, -1, -1):
        joined = plain[at] + joined
        found.append(joined)
        # a particle belongs to the surname (`de la Cruz`); a first name of as few letters does not
        if at < 2 or len(plain[at]) > PARTICLE or len(plain[at - 1]) > PARTICLE:
            break
    return found


@lru_cache(maxsize=16384)
def initials(text: str) -> str:
    """First letters of a name's words, folded: `Ada Marsh` gives `am`."""
    return "".join(fold(part)[:1] for piece in text.split() for part in _WORD.findall(piece)[:1])


_AND = re.compile(r"\s*[/&;]\s*|\s+(?:and|und|et|y)\s+", re.IGNORECASE)


@lru_cache(maxsize=16384)
def people(subject: str) -> tuple[str, ...]:
    """The names in a subject that holds several: `Ida Gold / Gil Golder`."""
    return tuple(name for name in _AND.split(subject) if name)


_WITHOUT_APOSTROPHES = {ord(mark): None for mark in _APOSTROPHES}


def join_apostrophes(text: str) -> str:
    """The text without apostrophes, so that `o'neil` is typed and read as one word."""
    return text.translate(_WITHOUT_APOSTROPHES)


WordKey = tuple[str, ...]


@lru_cache(maxsize=16384)
def word_key(text: str) -> WordKey:
    """What a name has in common however it is written: its words, folded, in any order, without the
    signs between them: `Brightline (1988)` and `1988 Brightline`, `Shaun O’Neil` and `O'Neil,
    Shaun`."""
    return tuple(sorted(_PLAIN_WORD.findall(fold(join_apostrophes(text)))))


_PLAIN_WORD = re.compile(r"[^\W_]+")


def named(scan: str) -> str:
    """A scan's name for a sentence."""
    return printable(scan, 80)


_FIGURES = re.compile("([0-9]+)")


@lru_cache(maxsize=16384)
def natural(text: str) -> tuple[str | int, ...]:
    """A sort key by which `scan_9` comes before `scan_10`: text and whole numbers in turn, case
    ignored.

    The order is that of the natsort library with its IGNORECASE option.
    """
    parts = _FIGURES.split(unicodedata.normalize("NFD", text).casefold())
    key: list[str | int] = [
        int(part[:DIGITS]) if index % 2 else part for index, part in enumerate(parts)
    ]
    # natsort has no empty text at the end, which would put `scan_9` behind `scan_9a`
    if len(key) > 1 and key[-1] == "":
        key.pop()
    return tuple(key)


# In the languages that cards and lists are printed in (common practice, no source).
SMALL_WORDS = frozenset(
    ["of", "and", "the", "de", "du", "des", "la", "le", "les", "el", "los", "las", "il", "lo",
     "gli", "di", "del", "della", "dei", "van", "von", "der", "die", "das", "und", "et", "y", "e",
     "en", "a", "au", "aux", "für", "for", "in", "zu", "to", "with", "vs", "het", "da", "do",
     "dos", "i"]
)  # fmt: skip
# `d'angelo`, `o'neil-macdonald`, `j.r.`: each part has a capital, but not the `s` of `marsh's`
_FIRST = re.compile(r"(?:^|(?<=[-.])|(?<=^[dlo]['’])|(?<=-[dlo]['’]))[^\W\d_]")


def stays_small(words: Sequence[str], at: int) -> bool:
    """Whether a word of a name is one of those between others that have no capital: `of` in `Hall
    of Mirrors`. A single letter is far more often a person's initial."""
    between = 0 < at < len(words) - 1
    return between and len(words[at]) > 1 and words[at].casefold() in SMALL_WORDS


def as_title(words: Sequence[str]) -> str:
    """Words that were typed as a name: those all in small letters get a capital, but for the small
    words between others."""
    return " ".join(
        word if stays_small(words, at) else _capital(word) for at, word in enumerate(words)
    )


def _capital(word: str) -> str:
    # a capital anywhere says that it was typed as it is to stand
    if not word.islower():
        return word
    return _FIRST.sub(lambda first: first[0].upper(), word)
