"""Bits that turn over in a lot's files: whatever they do, it is told, or nothing is changed by
it."""

from __future__ import annotations

import contextlib
import random
from collections.abc import Iterator
from pathlib import Path

from faults.disk import Disk
from faults.edits import Model, Tally, do, lot_facts, scans, some_tags, steps_from

from tagger.core.feeding.pairing import first_intake
from tagger.core.lot.carried import Cursor
from tagger.core.lot.change import Change, FolderRead
from tagger.core.model.tags import Mark, Marking, State
from tagger.errors import LotError
from tagger.store.lot import recovery
from tagger.store.lot.lot_file import LotFile, look
from tagger.store.lot.recovery import Recovered

Files = dict[str, bytes]


@contextlib.contextmanager
def checked_at_once(size: int) -> Iterator[None]:
    """Only journals up to so many bytes are checked as a whole at opening."""
    kept, recovery.VERIFIED_AT_ONCE = recovery.VERIFIED_AT_ONCE, size
    try:
        yield
    finally:
        recovery.VERIFIED_AT_ONCE = kept


def small_lot(home: Path, tail: bool) -> Files:
    """A lot of three cards and some changes, closed properly, or killed behind its last
    `lot.json`."""
    disk = Disk()
    store = LotFile(home, "lot", disk)
    store.note(FolderRead(*first_intake(scans(6))))
    for number, (step, _) in enumerate(steps_from(_three_cards(), 11)):
        if number == 4:
            store.settle()
        if number == 6:
            break
        do(store, step)
    files = disk.contents()
    store.close()
    return files if tail else disk.contents()


def _three_cards() -> Model:
    model = Model()
    model.do(("note", (FolderRead(*first_intake(scans(6))),)))
    return model


def large_lot(home: Path, cards: int = 2000, changes: int = 3000) -> Files:
    """A lot of many cards and changes, killed some changes behind its last `lot.json`."""
    source = random.Random(1)
    disk = Disk()
    store = LotFile(home, "lot", disk)
    store.note(FolderRead(*first_intake(scans(cards * 2))))
    for number in range(changes):
        if number == changes - 50:
            store._checkpoint.join()
            store.settle()
            store._checkpoint.join()
        position = number % cards + 1
        card = store.lot.card_at(position)
        after = Mark(State.TAGGED, some_tags(source))
        desk = Cursor(position + 1, store.lot.cursor.carried)
        store.enter(
            Change(
                f"card {position}",
                1.0,
                store.lot.cursor,
                desk,
                (Marking(card.id, card.mark, after),),
            )
        )
    files = disk.contents()
    store.close()
    return files


def flipped(files: Files, name: str, bit: int) -> Files:
    """The files with one bit turned over."""
    data = bytearray(files[name])
    data[bit // 8] ^= 1 << bit % 8
    return {**files, name: bytes(data)}


def _content(found: Recovered) -> tuple[object, ...]:
    return lot_facts(found.kept.lot), found.kept.lot.cursor, found.undo, found.redo


def every_bit(home: Path, tail: bool, part: int = 0, parts: int = 1) -> Tally:
    """Each bit of both files of a small lot, or every so-manieth. A journal that changed must be
    told; where only `lot.json` did, the lot must be what it was or be told."""
    tally = Tally("flips, every bit of a small lot")
    files = small_lot(home, tail)
    whole = _content(look(home, Disk(files)))
    for name in ("lot.json", "lot.journal"):
        for bit in range(part, len(files[name]) * 8, parts):
            _look(
                tally,
                home,
                flipped(files, name, bit),
                whole,
                f"{name} bit {bit}",
                name == "lot.journal",
            )
    return tally


def _look(
    tally: Tally, home: Path, files: Files, whole: tuple[object, ...], told: str, journal: bool
) -> None:
    tally.tried += 1
    try:
        found = look(home, Disk(files))
    except LotError:
        return
    except Exception as error:
        tally.wrong.append(f"{told}: looking raised {error!r}")
        return
    if found.notes or found.trouble or found.edited:
        return
    if journal or _content(found) != whole:
        tally.silent.append(f"{told}: opens without a word")


def any_bits(home: Path, files: Files, count: int, seed: int = 0, most: int = 3) -> Tally:
    """So many times one to `most` random bits in either file of a large lot, of which not every
    line is checked at opening: those are checked when the keys are quiet."""
    tally = Tally("flips, a large lot")
    source = random.Random(seed)
    with checked_at_once(1 << 20):
        healthy = look(home, Disk(files))
        cards, desk = healthy.kept.tables["cards"], healthy.kept.lot.cursor
        place = (
            healthy.undo,
            healthy.redo,
            healthy.kept.lot.arrangement,
            healthy.kept.lot.next_id,
            desk,
        )
        for _ in range(count):
            name = source.choice(("lot.json", "lot.journal", "lot.journal"))
            bits = [source.randrange(len(files[name]) * 8) for _ in range(source.randint(1, most))]
            damaged = files
            for bit in set(bits):
                damaged = flipped(damaged, name, bit)
            tally.tried += 1
            told = f"{name} bits {bits}"
            disk = Disk(damaged)
            try:
                store = LotFile(home, "lot", disk)
            except LotError:
                continue
            except Exception as error:
                tally.wrong.append(f"{told}: opening raised {error!r}")
                continue
            try:
                store.settle()
            except LotError:
                continue
            finally:
                store._checkpoint.join()
                store._release()
            if store.notes or store.looking:
                continue
            lot = store.lot
            now = (
                store._history.undo,
                store._history.redo,
                lot.arrangement,
                lot.next_id,
                lot.cursor,
            )
            if name == "lot.journal" or now != place or store._kept.tables["cards"] != cards:
                tally.silent.append(f"{told}: opens without a word")
    return tally
