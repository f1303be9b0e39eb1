"""Tables as plain text, checklists and edited exports alike: how their bytes are encoded, and which
mark parts their cells."""

from __future__ import annotations

import codecs
from collections.abc import Iterable

_MARKS = (
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)
_HEAD = 8192  # bytes
_LONGEST = 20_000  # characters of a line that are looked at


def decode_text(data: bytes) -> tuple[str, tuple[int, str] | None]:
    """The text of a file, and where its encoding is in doubt, the line and the reason."""
    for mark, encoding in _MARKS:
        if data.startswith(mark):
            text = data.decode(encoding, errors="replace")
            return text, _first_loss(text, encoding)
    # Before UTF-8, which would read it without an error: a NUL behind each letter is valid there.
    if wide := wide_encoding(data):
        return data.decode(wide, errors="replace"), None
    try:
        return data.decode("utf-8"), None
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
    # Tried last: text in cp1252 is hardly ever valid UTF-8, but nearly any bytes are valid cp1252.
    try:
        return data.decode("cp1252"), None
    except UnicodeDecodeError:
        return data.decode("utf-8", errors="replace"), (
            line,
            "the text is neither UTF-8 nor cp1252; some letters are lost, so save the file as "
            "UTF-8",
        )


def wide_encoding(data: bytes) -> str:
    """UTF-16 without its mark, where each second byte is 0 as for Latin letters; else empty."""
    head = data[:_HEAD]
    half = len(head) // 2
    odd, even = head[1::2].count(0), head[0::2].count(0)
    # Seven in ten, since a list has letters beyond Latin too; a NUL on both sides is no text at
    # all.
    if half < 4 or min(odd, even) > 0 or max(odd, even) * 10 < half * 7:
        return ""
    return "utf-16-le" if odd else "utf-16-be"


def _first_loss(text: str, encoding: str) -> tuple[int, str] | None:
    index = text.find("\ufffd")
    if index < 0:
        return None
    line = text.count("\n", 0, index) + 1
    name = encoding.removesuffix("-sig").upper()
    return line, f"some letters are not valid {name} and are lost"


def names_its_delimiter(text: str) -> bool:
    """Whether the first line only says which mark parts the cells, as some spreadsheets write
    it."""
    return text.startswith("sep=")


def delimiter_of(lines: Iterable[tuple[int, str]]) -> str:
    """The mark that parts the column names: the most frequent one up to where all quotation marks
    are closed. Lines come with their numbers, which do not matter."""
    header = ""
    for _, text in lines:
        # A quotation mark that is never closed would take in the whole file.
        header += text[:_LONGEST]
        if header.count('"') % 2 == 0:
            break
    # Of marks that are equally frequent the first: a comma stands also inside names and amounts.
    return max("\t;,", key=header.count)
