"""Keys and sequences through what reads them, without a screen: a hundred times as many in the
same time. In pieces of any size, as a line brings them."""

from __future__ import annotations

import codecs
import traceback
from collections.abc import Sequence

from fuzz.keys import tokens
from fuzz.mutations import source
from fuzz.tally import Tally
from textual import events
from textual.message import Message

from tagger.ui.terminal.driver import TerminalDriver
from tagger.ui.terminal.paste_guard import MOST, PasteGuard
from tagger.ui.terminal.textual_private import key_parser

EACH = 1000  # of one reader


class _Reader(TerminalDriver):
    """The driver without a terminal: what it passes on is looked at."""

    def __init__(self) -> None:
        self._guard = PasteGuard()
        self._parser = key_parser(self)
        self.passed_on: list[Message] = []

    def process_message(self, message: Message) -> None:
        self.passed_on.append(message)

    def read(self, text: str) -> None:
        """As the thread does that reads keys."""
        self._pass_on(text)
        if not self._guard.pasting:
            self._parse(lambda parser: parser.tick())


def parsed(numbers: Sequence[int]) -> Tally:
    """A thousand of each number; each reader goes on with a key that is what it is."""
    tally = Tally("keys and sequences, read")
    for number in numbers:
        chance, reader = source("parsed", number), _Reader()
        decode = codecs.getincrementaldecoder("utf-8")(errors="ignore").decode
        sent = b"".join(tokens(chance, EACH))
        tally.tried += EACH
        try:
            while sent:
                size = chance.choice((1, 2, 7, 64, 4096))
                reader.read(decode(sent[:size]))
                sent = sent[size:]
            # what is left open of a sequence or a paste is ended
            reader.read("\x1b[201~\x1b\\\x07")
            for _ in range(40):
                reader.read("x")
        except Exception:
            tally.traces.append(f"parsed {number}: {traceback.format_exc()[-700:]}")
            continue
        if wrong := _wrong(reader.passed_on):
            tally.silent.append(f"parsed {number}: {wrong}")
    return tally


def _wrong(messages: Sequence[Message]) -> str:
    last = messages[-1]
    if not (isinstance(last, events.Key) and last.character == "x"):
        return f"a key is not heard any more, but {last}"
    for one in messages:
        if isinstance(one, events.Paste) and len(one.text) > MOST:
            return f"a paste of {len(one.text)} characters"
        if isinstance(one, events.Resize):
            return "a size that the terminal says"
    return ""
