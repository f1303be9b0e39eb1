"""pyte's terminal emulator with a short way for what makes up nearly all of a full-screen program's
output: text of one cell a character, colours, and places. All else goes pyte's own way.

pyte parses one character at a time and measures each; half of what the tests of the screen cost was
that. `tests/unit/test_emulator.py` holds both ways against each other."""

from __future__ import annotations

import re

import pyte
from pyte import modes
from pyte.charsets import LAT1_MAP
from pyte.screens import Char
from wcwidth import wcwidth

_COLOUR_OR_PLACE = re.compile(r"\x1b\[([\d;]*)([mH])")


class Screen(pyte.Screen):
    """A screen of `columns` x `lines` cells."""

    def __init__(self, columns: int, lines: int) -> None:
        self._shown: list[str] | None = None
        self._narrow: set[str] = set()
        self._rendered: dict[tuple[Char, tuple[int, ...]], Char] = {}
        super().__init__(columns, lines)

    @property
    def display(self) -> list[str]:
        """The lines of the screen as text. Tests ask again and again while nothing comes."""
        if self._shown is None:
            self._shown = super().display
        return self._shown

    def changed(self) -> None:
        """What is shown is to be put together again."""
        self._shown = None

    def resize(self, lines: int | None = None, columns: int | None = None) -> None:
        """Change the size, as pyte does."""
        self.changed()
        super().resize(lines, columns)

    def draw(self, data: str) -> None:
        """Show text where the cursor is."""
        at = self.cursor.x
        simple = self.charset == 0 and self.g0_charset is LAT1_MAP and modes.IRM not in self.mode
        if not simple or at + len(data) > self.columns or not self._all_narrow(data):
            super().draw(data)
            return
        line, style = self.buffer[self.cursor.y], self.cursor.attrs[1:]
        for x, char in enumerate(data, start=at):
            line[x] = Char(char, *style)
        self.cursor.x = at + len(data)
        self.dirty.add(self.cursor.y)

    def select_graphic_rendition(self, *attrs: int) -> None:
        """Change colours and styles. The same few changes come by the thousand."""
        key = (self.cursor.attrs, attrs)
        known = self._rendered.get(key)
        if known is None:
            super().select_graphic_rendition(*attrs)
            self._rendered[key] = self.cursor.attrs
        else:
            self.cursor.attrs = known

    def _all_narrow(self, data: str) -> bool:
        """Whether each character takes one cell."""
        new = set(data) - self._narrow
        wide = {char for char in new if wcwidth(char) != 1}
        self._narrow |= new - wide
        return not wide


class _Stream(pyte.Stream):
    """Takes text; colours and places do not go through the parser."""

    def feed(self, data: str) -> None:
        listener, send = self.listener, self._send_to_parser
        assert listener is not None
        plain, at = self._taking_plain_text, 0
        while at < len(data):
            if plain and (text := self._text_pattern.match(data, at)):
                listener.draw(text[0])
                at = text.end()
            elif plain and (found := _COLOUR_OR_PLACE.match(data, at)):
                numbers = [min(int(number or 0), 9999) for number in found[1].split(";")]
                if found[2] == "m":
                    listener.select_graphic_rendition(*numbers)
                else:
                    listener.cursor_position(*numbers)
                at = found.end()
            else:
                plain = send(data[at])
                at += 1
        self._taking_plain_text = plain


class ByteStream(pyte.ByteStream, _Stream):
    """Takes bytes as they come from the line, and shows them on a screen."""

    def feed(self, data: bytes) -> None:
        assert isinstance(self.listener, Screen)
        self.listener.changed()
        super().feed(data)
