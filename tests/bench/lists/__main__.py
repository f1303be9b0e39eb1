"""Measures how lists are read: those drawn to work with, and those held out; prints one table.

A file is right where each card is as it was meant, with set, number, subject, team, parallels,
series and price, and none is too many. One that is not right counts as told where the reading names
something odd; the rest is wrong in silence."""

from __future__ import annotations

import argparse
import tempfile
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from support.clubs.all_shapes import SHAPES, made
from support.clubs.judged import judged as clubs_verdict
from support.hobby.all_makers import all_made
from support.hobby.judge import verdict as hobby_verdict
from support.traders.lots import LOTS

from bench.lists.by_hand import MAKERS, MORE, by_hand, by_hand_more
from bench.lists.combined import combined
from bench.lists.dealt import dealt
from bench.lists.drawn import drawn
from bench.lists.held_out import held_out
from bench.lists.held_out_more import held_out_more
from bench.lists.judged import Verdict, verdict
from tagger.store.read_lists import read_checklist


def judged(files: Iterable[Any], show: bool) -> list[Verdict]:
    """Each file read from disk."""
    found = []
    with tempfile.TemporaryDirectory() as folder:
        for one in files:
            path = Path(folder) / one.name
            path.write_bytes(one.data)
            read = read_checklist(path)
            said = verdict(read, one)
            found.append(said)
            if show and not said.right:
                print(f"  {one.shape}: {'told' if said.told else 'SILENT'}: {said.why}")
            elif show and said.told:
                print(f"  {one.shape}: right, but said: {read.problems[0].sentence()}")
    return found


HOBBY = ("as hobby people make them", "as they make them, later", "as they make them, last")


def of_hobby(at: int, show: bool) -> list[Verdict]:
    """The lists of `support/hobby`, by LibreOffice and pandas as well where these are there."""
    found = []
    with tempfile.TemporaryDirectory() as folder:
        for shape, one in all_made(at).items():
            path = Path(folder) / one.name
            path.write_bytes(one.data)
            said = hobby_verdict(path, one)
            found.append(Verdict(not said.differs, said.told, " ".join(said.differs[:1])))
            if show and said.differs:
                print(f"  {shape}: {'SILENT' if said.silent else 'told'}: {said.differs[0]}")
    return found


def of_clubs(seed: int, show: bool) -> list[Verdict]:
    """The lists of `support/clubs`."""
    return _of_shapes({shape: made(shape, seed) for shape in SHAPES}, show)


def _of_shapes(files: Mapping[str, Any], show: bool) -> list[Verdict]:
    found = []
    with tempfile.TemporaryDirectory() as folder:
        for shape, file in files.items():
            said = clubs_verdict(Path(folder), file)
            found.append(Verdict(*said))
            if show and not said.right:
                print(f"  {shape}: {'told' if said.told else 'SILENT'}: {said.why}")
    return found


def of_traders(lot: str, seed: int, show: bool) -> list[Verdict]:
    """The lists of a lot of `support/traders`."""
    return _of_shapes({name: LOTS[lot].made(name, seed) for name in LOTS[lot]}, show)


def line(name: str, found: list[Verdict]) -> str:
    """A line of the table."""
    right = sum(one.right for one in found)
    silent = sum(not one.right and not one.told for one in found)
    calm = sum(one.right and not one.told for one in found)
    return (
        f"| {name} | {len(found)} | {right} | {len(found) - right - silent} | {silent} | {calm} |"
    )


def main() -> int:
    """Returns the exit status."""
    parser = argparse.ArgumentParser(prog="tests/bench/run lists", description="Read lists.")
    parser.add_argument("--quick", action="store_true", help="one file of each shape")
    parser.add_argument("--show", action="store_true", help="say what differs in which file")
    parser.add_argument("--seed", type=int, default=1, help="other cards in the same shapes")
    given = parser.parse_args()
    count = 40 if given.quick else 100
    tables = [
        ("drawn to work with", drawn(count, given.seed)),
        ("held out", held_out(count, given.seed)),
        ("held out later", held_out_more(count, given.seed)),
        ("of many dealers", dealt(count, given.seed)),
        ("typed by hand", by_hand(len(MAKERS))),
        ("put together at random", combined(count, given.seed)),
        ("typed by hand later", by_hand_more(len(MORE))),
    ]
    shown = [line(name, judged(files, given.show)) for name, files in tables]
    shown += [line(name, of_hobby(at, given.show)) for at, name in enumerate(HOBBY)]
    shown.append(line("of clubs and shops", of_clubs(given.seed, given.show)))
    shown += [
        line(f"of traders, {lot} lot", of_traders(lot, given.seed, given.show)) for lot in LOTS
    ]
    print("| lists | files | right | not right, told | wrong in silence | right, nothing said |")
    print("| --- | --- | --- | --- | --- | --- |")
    print("\n".join(shown))
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
