"""Random keys, pastes, sequences of every terminal protocol, sizes and signals for the real
program in a real pseudo-terminal: it must go on, and show what its journal says."""

from __future__ import annotations

import random
import re
import signal
import sys
from collections.abc import Callable
from pathlib import Path

from fuzz.mutations import source
from fuzz.tally import Tally
from support import drawn
from support.terminal import Terminal

from tagger.store.lot.lot_file import read_lot

LEAVE, COPY, F3 = "\x18", "\x13", "\x1bOR"
BATCH, LONG_BATCH = 60, 1000  # keys and sequences between two looks at screen and journal
SIZES = ((120, 40), (80, 24), (200, 60), (20, 5), (1, 1), (81, 23), (500, 10))
WORDS = ("23", "7", "marsh", "ada", "gold", "12/99", "nm", "box 3", "at=box 3", "set=1987", "=",
         "/", "x" * 40, "é", "\u202e", "[bold]", " ", "1-5", "a b " * 106, "\U0001f0cf", "#",
         "next=1")  # fmt: skip
KEYS = (
    *"\r\r\r\r\t\n\x7f\x08\x06\x0b\x0c\x0e\x0f\x04\x07\x14\x15\x16\x17\x19\x1a\x12\x01\x05\x10\x11",
    "\x1b", "\x1b[A", "\x1b[B", "\x1b[C", "\x1b[D", "\x1b[H", "\x1b[F", "\x1b[2~", "\x1b[3~",
    "\x1b[5~", "\x1b[6~", "\x1b[Z", "\x1bOP", "\x1bOQ", F3, "\x1bOS", "\x1b[15~", "\x1b[17~",
    "\x1b[18~", "\x1b[19~", "\x1b[20~", "\x1b[24~", "\x1b[1;2A", "\x1b[1;2B", "\x1b[1;2C",
    "\x1b[1;2D", "\x1b[1;5A", "\x1b[1;5B", "\x1b[1;5C", "\x1b[1;5D", "\x1bf",
)  # fmt: skip


def protocol(chance: random.Random) -> str:
    """A sequence that some terminal may send, with any numbers."""
    number = lambda: str(  # noqa: E731
        chance.choice((0, 1, 2, 27, 97, 255, 1000, 65535, 1114111, 1114112, 2**31, 10**12))
    )
    return chance.choice((
        lambda: f"\x1b[{number()};{number()}:{number()}u",
        lambda: f"\x1b[{number()};{number()}:{number()};{number()}:{number()}u",
        lambda: f"\x1b[1;{number()}:{number()}{chance.choice('ABCDHFPQRS')}",
        lambda: f"\x1b[27;{number()};{number()}~",
        lambda: f"\x1b[{number()}~",
        lambda: f"\x1b[<{number()};{number()};{number()}{chance.choice('Mm')}",
        lambda: "\x1b[M" + "".join(chr(chance.randrange(32, 120)) for _ in range(3)),
        lambda: f"\x1b[{number()};{number()};{number()}M",
        lambda: f"\x1b[48;{number()};{number()};{number()};{number()}t",
        lambda: f"\x1b[{number()};{number()}R",
        lambda: f"\x1b[?{number()};{number()}$y",
        lambda: f"\x1b[?{number()};{number()}c",
        lambda: f"\x1b[>{number()}u",
        lambda: f"\x1b[?{number()}u",
        lambda: f"\x1b]{number()};rgb:{number()}/{number()}\x07",
        lambda: f"\x1b]52;c;{number()}\x1b\\",
        lambda: f"\x1bP>|{number()}\x1b\\",
        lambda: f"\x1bP1$r{number()}\x1b\\",
        lambda: f"\x1b_G{number()};OK\x1b\\",
        lambda: chance.choice(("\x1b[I", "\x1b[O", "\x1b[", "\x1bO", "\x1b\x1b", "\x1b[200")),
    ))()  # fmt: skip


def paste(chance: random.Random) -> bytes:
    """A bracketed paste of any bytes, some of which look like keys."""
    parts = [chance.choice((*KEYS, *WORDS, protocol(chance), "\r\n")) for _ in range(5)]
    inside = "".join(parts).replace(LEAVE, "").encode() + chance.randbytes(6)
    return b"\x1b[200~" + inside.replace(b"\x1b[201~", b"") + b"\x1b[201~"


def junk(chance: random.Random) -> bytes:
    """Bytes that are no key; none of them leaves."""
    return bytes(byte for byte in chance.randbytes(8) if byte not in (0x13, 0x18))


def tokens(chance: random.Random, count: int) -> list[bytes]:
    """What is sent, one after the other."""
    made: list[bytes] = []
    for _ in range(count):
        kind = chance.random()
        if kind < 0.45:
            made.append(chance.choice(KEYS).encode())
        elif kind < 0.75:
            made.append(chance.choice(WORDS).encode())
        elif kind < 0.9:
            made.append(protocol(chance).encode())
        elif kind < 0.95:
            made.append(paste(chance))
        else:
            made.append(junk(chance))
    return made


class Sitting:
    """A screen that is sent keys, opened again where keys left it in the proper way."""

    def __init__(self, what: str, start: Callable[[], Terminal], folder: Path) -> None:
        self.tally = Tally(what)
        self._start, self._folder = start, folder
        self._terminal = start()

    def batch(self, number: int, desk: bool, size: int = BATCH) -> None:
        """Send what a number stands for, then compare screen and journal."""
        chance = source("keys", number)
        for token in tokens(chance, size):
            self._terminal.send(token)
            self.tally.tried += 1
            if chance.random() < 0.02:
                self._terminal.resize(*chance.choice(SIZES))
            if chance.random() < 0.02:
                self._terminal.signal(chance.choice((signal.SIGWINCH, signal.SIGCONT)))
            if self._ended(number):
                return
        self._terminal.resize(120, 40)
        # what is left open of a sequence or a paste is ended
        self._terminal.send(b"\x1b[201~\x1b\\\x07")
        self._terminal.pump(0.25)
        for _ in range(4):
            self._terminal.send("\x1b")
            self._terminal.pump(0.15)
        if not self._ended(number) and desk:
            self._compare(number)

    def _ended(self, number: int) -> bool:
        if self._terminal.exit_status is None:
            return False
        said = self._terminal.text()
        if self._terminal.exit_status or "Traceback" in said or "saved" not in said:
            self.tally.traces.append(
                f"keys {number}: ended with {self._terminal.exit_status}: {said}"
            )
        self.close()
        self._terminal = self._start()
        return True

    def _compare(self, number: int) -> None:
        told = ""
        # the emulator keeps other lines than the program when it changes its size
        self._terminal.send("\x0c")
        for _ in range(120):
            self._terminal.pump(0.25)
            told = self._told()
            if told == "" or self._ended(number):
                return
        self.tally.silent.append(f"keys {number}: {told}\n{self._terminal.text()}")

    def _told(self) -> str:
        """What screen and journal disagree in; empty where they agree."""
        shown = self._terminal.text()
        lot = read_lot(self._folder)
        states = [mark.state for mark in lot.marks.values()]
        above = shown.split("\n")[0]
        done = re.search(r"(\d+) (?:of \d+ )?tagged", above)
        at = re.search(r"card (\d+) of (\d+)", shown)
        if at is None and "end of the lot" not in shown:
            return "no card is shown"
        # a mere step to another card is not written at once
        if at is not None and int(at[2]) != lot.cards:
            return f"{at[2]} cards are shown, it is {lot.cards}"
        aside = re.search(r"(\d+) set aside", above)
        for seen, state in ((done, "tagged"), (aside, "set aside")):
            count = states.count(state)  # type: ignore[arg-type]
            if seen is not None and int(seen[1]) != count:
                return f"{seen[1]} {state} are shown, it is {count}"
        return ""

    def close(self) -> None:
        """End the screen."""
        self._terminal.close()


def desk(home: Path, cards: int = 12) -> Sitting:
    """A desk over a new lot."""
    folder, listed = home / "box 12", home / "list.csv"
    drawn.draw_scans(folder, cards, size=(60, 84))
    rows = drawn.set_rows("1987 Harbor Light", 60, seed=5)
    listed.write_text(drawn.checklist_csv(rows), encoding="utf-8")

    def start() -> Terminal:
        words = ["open", str(folder), "--checklist", str(listed)]
        terminal = Terminal([sys.executable, "-m", "tagger", *words], cwd=home)
        terminal.wait_for(r"card \d+ of|end of the lot")
        return terminal

    return Sitting("keys at the desk", start, folder)


def find(home: Path, folder: Path) -> Sitting:
    """The find screen over the lots of this machine."""

    def start() -> Terminal:
        terminal = Terminal([sys.executable, "-m", "tagger", "find", "--screen"], cwd=home)
        terminal.wait_for(r"lots?\b")
        return terminal

    return Sitting("keys at the find screen", start, folder)
