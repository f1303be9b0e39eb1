"""The text of a list's bytes: also in the encodings of older programs, which name themselves
nowhere."""

from __future__ import annotations

import codecs
import re
from typing import NamedTuple

from tagger.core.model.delimited_text import decode_text, wide_encoding
from tagger.core.model.text import printable

_SAMPLE = 1 << 16  # bytes that are looked at
_WORD = re.compile(r"[^\W\d_]+")


class _Older(NamedTuple):
    """An encoding, how it is called, the letters of its words, and one that some word has."""

    encoding: str
    said: str
    letters: str
    proof: str


# Unicode blocks; Japanese goes before Chinese, which has no kana
_CHINESE, _KANA = "\u4e00-\u9fa5", "\u3041-\u30ff"
_OLDER = (
    _Older("cp932", "Shift-JIS (Japanese)", f"{_KANA}{_CHINESE}々", _KANA),
    _Older("euc_jp", "EUC-JP (Japanese)", f"{_KANA}{_CHINESE}々", _KANA),
    _Older("cp949", "cp949 (Korean)", "\uac00-\ud7a3", "\uac00-\ud7a3"),
    _Older("gb18030", "GB 18030 (Chinese)", _CHINESE, _CHINESE),
    _Older("cp1251", "cp1251 (Cyrillic)", "\u0410-\u044fЁё", "\u0410-\u044f"),
    _Older("cp1253", "cp1253 (Greek)", "\u0386-\u03ce", "\u0391-\u03c9"),
)
_LATIN = (
    _Older("cp1250", "cp1250 (Central European)", "", ""),
    _Older("mac_roman", "Mac OS Roman", "", ""),
    _Older("cp850", "cp850 (DOS)", "", ""),
)
# UTF-8 that was read as cp1252 and saved again: `JosÃ©`, `Oâ€™Neil`
_BEHIND_LEAD = "[\u0080-\u00bf‚ƒ„…†‡ˆ‰Š‹ŒŽ‘’“”•–—˜™š›œžŸ]"
# a pattern for each first letter: a million lines are gone through several times faster so
_TWICE = {
    **{lead: re.compile(f"{lead}{_BEHIND_LEAD}") for lead in "ÃÂÅÄ"},
    "â": re.compile("â€"),
}
# a sign or a capital within a word, where cp1250, cp850 or Mac Roman have a letter
_WITHIN_A_WORD = re.compile(
    r"[^\W\d_]*[a-z](?:[£¿³¹¼¾¢¥¤§¨±¶¸‚„…†‡ˆ‰‹“”•˜™›]|[ŽŠŸÏ](?![A-Z]))[a-z]+"
)

_MARKED = (codecs.BOM_UTF8, codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)
Trouble = tuple[int, str]


def list_text(data: bytes) -> tuple[str, Trouble | None]:
    """The text of a file, and where its encoding is in doubt, the line and the reason."""
    text, trouble = decode_text(data)
    if text.isascii():
        return text, trouble
    text = text.removeprefix("\ufeff")
    if data.startswith(_MARKED) or wide_encoding(data) or _is_utf8(data):
        return _once(text) if trouble is None else (text, trouble)
    if older := _older(data) or _of_another_computer(data):
        told = f"the text is read as {older.said}; if letters are wrong, save the file as UTF-8"
        return data.decode(older.encoding, "replace"), (1, told)
    return text, trouble or _strange_letters(text)


def _strange_letters(text: str) -> Trouble | None:
    strange = _WITHIN_A_WORD.search(text) or _of_two_regions(text)
    if strange is None:
        return None
    shown = printable(strange[0], 30)
    told = f"letters may be wrong ('{shown}'): the file is not in UTF-8; save it as UTF-8"
    return text.count("\n", 0, strange.start()) + 1, told


def _of_two_regions(text: str) -> re.Match[str] | None:
    """A word with a letter of the north beside one of the south, as cp1250 looks: `Bøetislav`."""
    some = text[:_SAMPLE]
    northern, southern = re.search(r"\w*[øðþõ]\w*", some), re.search(r"\w*[èìùòï]\w*", some)
    return northern if southern else None


def _of_another_computer(data: bytes) -> _Older | None:
    """The encoding of another system in which letters stand where letters can; None where cp1252
    does as well."""
    sample = data[:_SAMPLE]
    if _sense(sample, "cp1252") >= 0.8:
        return None
    best = max(_LATIN, key=lambda one: _sense(sample, one.encoding))
    return best if _sense(sample, best.encoding) > 0.9 else None


def _sense(sample: bytes, encoding: str) -> float:
    """The share of foreign characters that are letters in the places of letters."""
    text = sample.decode(encoding, "replace")
    foreign = [at for at, char in enumerate(text) if not char.isascii()]
    fits = sum(_fits(text, at) for at in foreign)
    return fits / len(foreign) if foreign else 1.0


def _fits(text: str, at: int) -> bool:
    char, before, behind = text[at], text[at - 1 : at], text[at + 1 : at + 2]
    within = before.isalpha() or behind.isalpha()
    # `N.º`; and a word of its own in French, Italian and Spanish: `à`, `è`, `ó`
    if char in "ºª" or (char in "àèéòóùÀÈ" and not within):
        return True
    if char.isalpha():
        # a capital stands behind no small letter
        return within and (char.islower() or not before.islower())
    return char != "\ufffd" and not (before.isalpha() and _is_letter_elsewhere(char, behind))


def _is_letter_elsewhere(char: str, behind: str) -> bool:
    """Whether a sign behind a letter may be one of DOS: it opens a quotation or an amount, or
    stands before a letter as well."""
    return char in "‚„‡ˆ‰‹¡¢£¤¥" or (behind.isalpha() and char not in "’·-–")


def _is_utf8(data: bytes) -> bool:
    try:
        data.decode("utf-8")
    except UnicodeDecodeError:
        return False
    return True


def _once(text: str) -> tuple[str, Trouble | None]:
    """A text that was encoded twice is decoded a second time."""
    matches = (pattern.search(text) for lead, pattern in _TWICE.items() if lead in text)
    found = min(filter(None, matches), key=re.Match.start, default=None)
    if found is None:
        return text, None
    line = text.count("\n", 0, found.start()) + 1
    try:
        return text.encode("cp1252").decode("utf-8"), (line, "letters were encoded twice; restored")
    except UnicodeError:
        shown = printable(text[max(0, found.start() - 10) : found.end() + 10], 30)
        return text, (line, f"letters look as if they were encoded twice ('{shown}')")


def _older(data: bytes) -> _Older | None:
    """The older encoding in which the words of a file are of one script; None where none is."""
    sample = data[:_SAMPLE]
    sample = sample[: sample.rfind(b"\n") + 1] or sample
    return next((one for one in _OLDER if _is_of(one, sample)), None)


def _is_of(one: _Older, sample: bytes) -> bool:
    try:
        text = sample.decode(one.encoding)
    except UnicodeDecodeError:
        return False
    words = [word for word in _WORD.findall(text) if not word.isascii()]
    if len(words) < 2 or not any(re.search(f"[{one.proof}]", word) for word in words):
        return False
    # `Núñez` in another encoding has its foreign letters between Latin ones
    pure = sum(re.fullmatch(f"[{one.letters}]+", word) is not None for word in words)
    return pure * 10 >= len(words) * 8
