"""Files that are no text: told by how they begin, or by bytes that no text has."""

from __future__ import annotations

import codecs

from tagger.core.model.delimited_text import wide_encoding

# How files of a kind begin, by their own formats' definitions.
_KINDS = (
    (b"PK\x03\x04", "a packed file"),
    (b"%PDF-", "a PDF document"),
    (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "an old spreadsheet or document (.xls, .doc)"),
    (b"\x89PNG\r\n", "a picture"),
    (b"\xff\xd8\xff", "a picture"),
    (b"GIF8", "a picture"),
    (b"RIFF", "a picture or a recording"),
    (b"II*\x00", "a picture"),
    (b"MM\x00*", "a picture"),
    (b"\x1f\x8b", "a packed file"),
    (b"7z\xbc\xaf", "a packed file"),
    (b"Rar!\x1a", "a packed file"),
    (b"BZh9", "a packed file"),
    (b"\xfd7zXZ", "a packed file"),
    (b"SQLite format 3\x00", "a database"),
    (b"\x7fELF", "a program"),
    (b"{\\rtf", "a document (.rtf)"),
)
_HEAD = 8192  # bytes that are looked at
# C0 controls that no text has but tab, line feed, form feed, carriage return, Ctrl-Z and Esc.
_CONTROLS = bytes(set(range(32)) - {9, 10, 12, 13, 26, 27})
_TEXT_MARKS = (codecs.BOM_UTF8, codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)


def binary_kind(data: bytes) -> str:
    """What a file is that is no text, in words; empty for a text."""
    for mark, kind in _KINDS:
        if data.startswith(mark):
            return kind
    head = data[:_HEAD]
    if head.startswith(_TEXT_MARKS) or wide_encoding(head):
        return ""
    controls = len(head) - len(head.translate(None, _CONTROLS))
    return "a binary file" if controls * 10 > len(head) else ""
