"""Counts the keys that a typist who sees only the screen needs for each card, and prints one table.

The real program runs in a pseudo-terminal; lots and truth are drawn by `lots.py`, the typist's
policy is written down in `typist.py`, and neither imports the program. In lots with
look-alikes another lot of the same sets was tagged before on the same machine, and the scans are
measured when he begins. Every key counts, Enter and the keys that carry included, and
those that correct: every twelfth card is gone back to, see `mistakes.py`. Beside them stand
the keys of the same work in a spreadsheet, see `table.sheet_keys`. Wrong tags are counted in
what `tagger export` writes at the end. Exit status 1 where an aim is missed."""

from __future__ import annotations

import argparse
import contextlib
import json
import os
import signal
import subprocess
import sys
import tempfile
import time
from dataclasses import replace
from pathlib import Path
from threading import Thread

from support.folders import opened_before, own_folders
from support.processes import that_read
from support.terminal import Terminal

from bench.pace import lots
from bench.pace.lots import Lot
from bench.pace.mistakes import with_mistakes
from bench.pace.table import Result, cost_text, table_text
from bench.pace.typist import Typist
from bench.pace.unlisted_typist import UnlistedTypist

TAGGER = [sys.executable, "-m", "tagger"]
FULL, QUICK = 300, 40  # cards a lot


def tagged(lot: Lot, place: Path, *, blind: bool) -> Result:
    """Tag the lot in a new folder. Raises AssertionError where the typist is at a loss."""
    lists = place / "lists"
    lists.mkdir(parents=True)
    for rows in lots.checklists():
        (lists / f"{rows[0].set}.csv").write_text(lots.checklist_text(rows), encoding="utf-8")
    lots.draw(place / "lot", lot.cards, bool(lot.known))
    env = own_folders(place)
    opened_before(env)
    if lot.known:
        lots.draw(place / "before", lot.known, True)
        with Terminal(
            [*TAGGER, "open", str(place / "before"), "--checklist", str(lists)], env=env
        ) as terminal:
            for at, card in enumerate(lot.known, start=1):
                terminal.wait_for(f"card {at} of")
                terminal.send(f"#{card.number} set={card.set.casefold()}\r")
            _measured(terminal)
            terminal.send("\x18")
            terminal.wait_exit()
    named = ["--checklist", str(lists)] if lot.listed else []
    with Terminal([*TAGGER, "open", str(place / "lot"), *named], env=env) as terminal:
        if lot.known:
            _measured(terminal)
        typist = (Typist if lot.listed else UnlistedTypist)(terminal, blind=blind)
        for card in lot.cards:
            typist.tag(card)
        terminal.wait_for("End of the lot: every card is done")
        terminal.send("\x18")
        terminal.wait_exit()
    return Result(lot, blind, typist.spent, _wrong(lot, place, env))


def read_and_tagged(lot: Lot, place: Path, seed: int, *, killed: bool) -> Result:
    """Draw a lot with print, read it over night, and tag it with the page of proofs. `killed`: it
    is read while it is tagged, and the process that reads is killed three times."""
    from bench.pace import read_lots
    from bench.pace.reading_typist import ReadingTypist

    read_lots.write_lists(place / "lists")
    read_lots.draw(place / "lot", lot, seed)
    env = own_folders(place)
    opened_before(env)
    named = ["--checklist", str(place / "lists")]
    command = [*TAGGER, "read", str(place / "lot"), *named]
    if not killed:
        subprocess.run(command, check=True, env=os.environ | env, capture_output=True)
    with Terminal([*TAGGER, "open", str(place / "lot"), *named], env=env) as terminal:
        _measured(terminal)
        killer = Thread(target=_kill_readers, args=(terminal.pid,), daemon=True)
        if killed:
            killer.start()
        spent = ReadingTypist(terminal, lot.cards).work()
        if killed and killer.is_alive():
            raise AssertionError("all cards were tagged before the reader was killed three times")
        terminal.send("\x18")
        terminal.wait_exit()
    # Not read over night: many cards are tagged before they are read.
    aim = None if killed else lot.aim
    return Result(replace(lot, aim=aim), False, spent, _wrong(lot, place, env))


def _kill_readers(pid: int) -> None:
    """Kill what reads for a program as soon as it is there, three times, some seconds apart."""
    for _ in range(3):
        while not (readers := that_read(pid)):
            time.sleep(0.05)
        time.sleep(3)
        for reader in readers:
            with contextlib.suppress(ProcessLookupError):
                os.kill(int(reader), signal.SIGKILL)


def _wrong(lot: Lot, place: Path, env: dict[str, str]) -> int:
    """How many cards have other tags than the ones in the hand."""
    out = place / "x.json"
    subprocess.run(
        [*TAGGER, "export", str(place / "lot"), "--to", str(out)],
        check=True,
        env=os.environ | env,
        capture_output=True,
    )
    exported = json.loads(out.read_text(encoding="utf-8"))
    rows = exported if isinstance(exported, list) else exported["cards"]
    got = [tuple(str(row.get(name) or "") for name in lots.TAGS) for row in rows]
    wanted = [card.tags for card in lot.cards]
    for position, (a, b) in enumerate(zip(got, wanted, strict=False), start=1):
        if a != b:
            print(f"  card {position} is {a}, in the hand {b}", file=sys.stderr)
    return sum(a != b for a, b in zip(got, wanted, strict=False)) + abs(len(got) - len(wanted))


def _measured(terminal: Terminal) -> None:
    """Wait until all scans are measured, as they are a few seconds after a lot was opened."""
    terminal.wait_for("card 1 of|end of the lot")
    terminal.send("\x1b[24~")
    terminal.wait_for("No problems left|problem 1 of", 120)
    terminal.send("\x1b[24~")
    terminal.settle(1)


def _read_lots(cards: int, seed: int, name: str, folder: Path, *, killed: bool) -> list[Result]:
    """The lots that are read; `name` begins those that are wanted."""
    from bench.pace import read_lots

    found = []
    for lot in read_lots.lots(cards, seed):
        if lot.name.startswith(name):
            start = time.monotonic()
            found.append(read_and_tagged(lot, folder / lot.name, seed, killed=killed))
            print(f"  {lot.name}: {time.monotonic() - start:.0f} s", file=sys.stderr)
    return found


def main() -> int:
    """Returns the exit status."""
    parser = argparse.ArgumentParser(
        prog="tests/bench/run pace", description="Count the keys a card."
    )
    parser.add_argument(
        "--quick", action="store_true", help="the short form: 40 cards a lot, a minute or so"
    )
    parser.add_argument(
        "--seeing", action="store_true", help="without the typist who types numbers blindly"
    )
    parser.add_argument("--lot", default="", help="only the lots whose name begins so")
    parser.add_argument("--seed", type=int, default=1, help="other lots")
    parser.add_argument(
        "--read", action="store_true", help="the lots that are read, with the page of proofs"
    )
    parser.add_argument(
        "--killed", action="store_true",
        help="with --read: not read before, and the process that reads is killed three times",
    )  # fmt: skip
    options = parser.parse_args()
    results: list[Result] = []
    with tempfile.TemporaryDirectory(prefix="pace-") as folder:
        cards = QUICK if options.quick else FULL
        if options.read:
            results += _read_lots(
                cards, options.seed, options.lot, Path(folder), killed=options.killed
            )
        drawn = [] if options.read else lots.lots(cards, options.seed)
        for lot in with_mistakes(drawn, options.seed):
            for blind in (False, True):
                if not lot.name.startswith(options.lot) or (
                    blind and (options.seeing or lot.known or not lot.listed)
                ):
                    continue
                start = time.monotonic()
                results.append(tagged(lot, Path(folder) / f"{lot.name} {blind}", blind=blind))
                print(f"  {results[-1].name}: {time.monotonic() - start:.0f} s", file=sys.stderr)
    print(table_text(results))
    for result in results:
        if not result.blind:
            print(f"\n{cost_text(result)}")
    return 0 if all(result.met is not False and not result.wrong for result in results) else 1


if __name__ == "__main__":
    sys.exit(main())
