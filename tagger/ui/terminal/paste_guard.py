"""Parts what was pasted from what was typed, before a parser of keys sees any of it.

Bracketed paste (xterm's control sequences, mode 2004) puts `ESC [ 200 ~` before pasted text and
`ESC [ 201 ~` behind it. A parser that looks for sequences in the text itself reissues those that it
does not know as keys: an Escape in a paste would act, and so would the Enter behind it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

START, END = "\x1b[200~", "\x1b[201~"
MOST = 2000  # characters of one paste; only its first line is used
# line ends are kept: they tell that there was more than one line
_NO_TEXT = {code: None for code in (*range(0x20), *range(0x7F, 0xA0)) if chr(code) not in "\t\n\r"}


class TextPart(NamedTuple):
    """What was typed, or one whole paste without its control characters and cut to `MOST`."""

    text: str
    pasted: bool


class PasteGuard:
    """Takes what a terminal sends, in pieces of any size."""

    def __init__(self) -> None:
        self.pasting = False
        """Whether a paste has begun that has not ended."""
        self._text = ""
        self._begun = ""  # what could be the beginning of the marker that is looked for

    def parts(self, text: str) -> Iterator[TextPart]:
        """The next parts, in their order. What could begin a paste is given as typed at once: the
        Escape key must not wait."""
        while text:
            if self.pasting:
                part, text = self._pasted(text)
            else:
                part, text = self._typed(text)
            if part is not None:
                yield part

    def _typed(self, text: str) -> tuple[TextPart, str]:
        given = len(self._begun)
        body, found, rest = (self._begun + text).partition(START)
        self.pasting = bool(found)
        self._begun = "" if found else _beginning(body, START)
        return TextPart(body[given:], False), rest

    def _pasted(self, text: str) -> tuple[TextPart | None, str]:
        body, found, rest = (self._begun + text).partition(END)
        self._begun = "" if found else _beginning(body, END)
        text = body[: len(body) - len(self._begun)].translate(_NO_TEXT)
        self._text += text[: MOST - len(self._text)]
        if not found:
            return None, rest
        whole, self._text, self.pasting = self._text, "", False
        return TextPart(whole, True), rest


def _beginning(text: str, marker: str) -> str:
    """The end of the text with which the marker may begin; empty where it does not."""
    lengths = range(min(len(marker) - 1, len(text)), 0, -1)
    return next((marker[:length] for length in lengths if text.endswith(marker[:length])), "")
