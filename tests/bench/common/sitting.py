"""A lot open in a pseudo-terminal of 120 x 40 cells in 256 colours, and keys pressed in it,
beside a bare app."""

from __future__ import annotations

import re
import statistics
import time
from collections.abc import Callable, Iterator, Sequence

from bench.common.hint_texts import hints
from bench.common.place import BARE, Place, Spent
from bench.common.table import Row, bytes_text, ratio_text, share, times
from bench.common.timed_terminal import (
    BLOCKS,
    CLEAR,
    ENTER,
    NotMeasured,
    TimedTerminal,
    cpu_seconds,
)


class Sitting:
    """A lot open from the first card on, and the bare app beside it; the measurements go on where
    the last one ended, so their order is fixed: begin, keys, typed cards, Enter, bursts, idle."""

    def __init__(self, place: Place) -> None:
        self._place = place
        self._bare = place.bare()
        self._line = place.open(place.lot)
        self._position = 1
        self.enter = Spent()
        self.set_name = place.rows[0].set

    def close(self) -> None:
        """End both programs, whatever they are at."""
        self._line.close()
        self._bare.close()

    @property
    def pid(self) -> int:
        """The program's process."""
        return self._line.pid

    def leave(self) -> Iterator[Row]:
        """Leave the program in order; no row comes of it. Raises NotMeasured."""
        self._line.leave()
        yield from ()

    def begin(self) -> Iterator[Row]:
        """Tag the first card as number 9 of the first set, so that the set is carried; no row comes
        of it.

        Raises NotMeasured.
        """
        line = self._line
        self._bare.reached(lambda: "READY" in self._bare.screen.display[0])
        line.reached(lambda: line.shows(1) and line.front_drawn(), quiet=0.5)
        end = time.perf_counter() + 20
        # In the panel's words: it breaks the line where it has no room for all of them.
        while line.text() and "still being read" in " ".join(" ".join(self._panel()).split()):
            if time.perf_counter() > end:
                raise NotMeasured("the checklists were not read within 20 s")
            line.pump(0.2)
        self._type(f"9 {self.set_name[2:4]} {self.set_name[5:].lower()}")
        panel = " ".join(self._panel())
        if "#9 " not in panel or self.set_name not in panel or "Enter accepts" not in panel:
            raise NotMeasured(f"the first card is not proposed:\n{line.text()}")
        self._enter(Spent())
        yield from ()

    def key_rows(self, keys: int) -> Iterator[Row]:
        """Keys of hints, one by one: from the key until the last piece of output that changed the
        panel's text.

        A key counts where it changed that text. The bare app gets the same keys in turn, and
        changes one line for each."""
        desk, peer = self.key_times(keys)
        yield times(
            f"key to changed candidates ({len(desk.wall)} keys)",
            desk.wall,
            f"{BARE}, one line",
            peer.wall,
            aim=0.016,
        )
        yield times("key to changed candidates, CPU", desk.cpu, f"{BARE}, one line", peer.cpu)
        yield _bytes_row("key: bytes", desk.size, f"{BARE}, one line", peer.size)

    def key_times(self, keys: int) -> tuple[Spent, Spent]:
        """What so many keys that change the panel take, and all of them in the bare app. Raises
        NotMeasured."""
        line, bare = self._line, self._bare
        desk, peer, unchanged = Spent(), Spent(), 0
        rows = [row for row in self._place.rows if row.set == self.set_name]
        for _, hint in hints(rows, seed=3):
            for char in hint:
                changed = self._timed(line, char, self._panel, desk)
                unchanged += not changed
                if not self._timed(bare, char, lambda: bare.screen.display[0], peer):
                    raise NotMeasured("the bare app did not show a key")
            line.send(CLEAR)
            line.settle(0.1)
            line.text()
            if len(desk.wall) >= keys:
                break
            if unchanged > keys:
                raise NotMeasured(
                    f"{unchanged} keys left the panel as it was, and {len(desk.wall)} changed it"
                )
        return desk, peer

    def card_rows(self, typed: int, entered: int, full_size: float) -> Iterator[Row]:
        """Cards, one by one, each with its next pictures prepared.

        First with the number typed, each key painted before the next: only bytes count. Then with
        Enter alone: from the key until the last byte of the burst (none came for 50 ms after it)
        that left the next position in the top line and other cells in both previews. `full_size` is
        what a pair costs with both colours written for each cell."""
        sizes: list[int] = []
        for number in range(10, 10 + typed):
            start = self._line.bytes_out
            self._type(str(number))
            if f"#{number} " not in " ".join(self._panel()):
                raise NotMeasured(f"number {number} is not proposed:\n{self._line.text()}")
            self._enter(Spent())
            sizes.append(self._line.bytes_out - start)
        self.enter = self.entered(entered)
        yield times(f"Enter to next pair painted ({entered} cards)", self.enter.wall)
        yield times("Enter to next pair painted, CPU", self.enter.cpu)
        yield _bytes_row(
            "Enter: bytes", self.enter.size, "pair, each cell with both colours", [full_size]
        )
        yield _bytes_row(
            "card with a number typed: bytes",
            sizes,
            "pair, each cell with both colours",
            [full_size],
        )

    def entered(self, cards: int) -> Spent:
        """What Enter alone takes, for so many cards one by one. Raises NotMeasured."""
        spent = Spent()
        for _ in range(cards):
            self._enter(spent)
        return spent

    def burst_rows(self, bursts: int, cards: int = 50) -> Iterator[Row]:
        """Numbers and Enters for so many cards in one packet, until the top line shows the card
        after them."""
        line, taken = self._line, Spent()
        number = 300
        for _ in range(bursts):
            packet = "".join(f"{number + index}{ENTER}" for index in range(cards))
            number += cards
            done = self._position + cards
            start, cpu, size = time.perf_counter(), cpu_seconds(line.pid), line.bytes_out
            line.send(packet)
            piece = line.reached(lambda done=done: line.shows(done))
            line.settle(0.3)
            tagged = re.search(r"(\d+) tagged", line.text())
            if tagged is None or int(tagged[1]) != done - 1:
                raise NotMeasured(
                    f"{cards} cards were sent, but not all are tagged:\n{line.text()}"
                )
            taken.wall.append(piece.at - start)
            taken.cpu.append(piece.cpu - cpu)
            taken.size.append(line.bytes_out - size)
            self._position = done
        one = [wall * cards for wall in self.enter.wall]
        yield times(
            f"burst: {cards} cards in one packet, to the last",
            taken.wall,
            f"{cards} x Enter to pair",
            one,
        )
        yield _bytes_row(
            "burst: bytes",
            taken.size,
            f"{cards} x Enter",
            [size * cards for size in self.enter.size],
        )

    def idle_rows(self, seconds: float) -> Iterator[Row]:
        """No keys for a while, both programs at once."""
        line, bare = self._line, self._bare
        line.settle(0.5)
        bare.settle(0.2)
        start = time.perf_counter()
        marks = [(each.bytes_out, cpu_seconds(each.pid)) for each in (line, bare)]
        while (left := start + seconds - time.perf_counter()) > 0:
            line.pump(min(left, 0.2))
            bare.pump(0)
        spent = time.perf_counter() - start
        own, peer = (
            (each.bytes_out - size, (cpu_seconds(each.pid) - cpu) / spent)
            for each, (size, cpu) in zip((line, bare), marks, strict=True)
        )
        yield Row(f"idle: bytes in {seconds:.0f} s", f"{own[0]} B", f"{peer[0]} B  {BARE}")
        yield Row(
            "idle: share of a core",
            f"{own[1]:.2%}",
            f"{peer[1]:.2%}  {BARE}",
            ratio_text(own[1], peer[1]),
        )

    def _panel(self) -> tuple[str, ...]:
        return self._line.panel(self._line.sides().panel)

    def _previews(self) -> tuple[object, object]:
        sides = self._line.sides()
        return self._line.cells(sides.front, sides.back), self._line.cells(sides.back, sides.panel)

    def _timed(
        self, line: TimedTerminal, key: str, look: Callable[[], object], spent: Spent
    ) -> bool:
        """Press a key and note it where it changed what `look` sees; returns whether it did."""
        line.text()
        start, cpu, size = time.perf_counter(), cpu_seconds(line.pid), line.bytes_out
        line.send(key)
        line.burst()
        piece = line.last_change(look)
        if piece is None:
            return False
        spent.wall.append(piece.at - start)
        spent.cpu.append(piece.cpu - cpu)
        spent.size.append(line.bytes_out - size)
        return True

    def _type(self, text: str) -> None:
        for char in text:
            self._line.send(char)
            self._line.burst()
            self._line.text()

    def _enter(self, spent: Spent) -> None:
        """Press Enter and wait for the next pair."""
        line = self._line
        line.settle(0.2)  # the next pictures are being decoded
        line.text()
        old = self._previews()
        start, cpu, size = time.perf_counter(), cpu_seconds(line.pid), line.bytes_out
        line.send(ENTER)
        end = start + 5
        while time.perf_counter() < end:
            line.burst(limit=max(0.1, end - time.perf_counter()))
            *_, last = line.replay()
            new = self._previews()
            changed = all(
                a != b and BLOCKS & {cell[0] for cell in b} for a, b in zip(old, new, strict=True)
            )
            if changed and line.shows(self._position + 1):
                self._position += 1
                spent.wall.append(last.at - start)
                spent.cpu.append(last.cpu - cpu)
                spent.size.append(line.bytes_out - size)
                return
        raise NotMeasured(
            f"card {self._position + 1} was not shown within 5 s of Enter:\n{line.text()}"
        )


def _bytes_row(what: str, sizes: Sequence[int], peer: str, peer_sizes: Sequence[float]) -> Row:
    median, other = statistics.median(sizes), statistics.median(peer_sizes)
    return Row(
        what,
        f"{bytes_text(median)} / {bytes_text(share(sizes, 0.95))}",
        f"{bytes_text(other)}  {peer}",
        ratio_text(median, other),
    )
