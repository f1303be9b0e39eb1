"""Sittings at a lot between which its scans are replaced, renamed, removed and added: every tag
stays on its card, or it is asked."""

from __future__ import annotations

import os
import random
from collections import Counter
from pathlib import Path

from tagger.config import load_settings
from tagger.core.model.tags import State
from tagger.core.session.replaced_answers import another_card, same_card
from tagger.core.session.session import Session
from tagger.errors import Refused
from tagger.services.opening import OpenLot, change
from tagger.store.machine.paths import LotPlace, config_file

TICK = 2_000_000_000  # ns between two times of change, as on the coarsest of file systems


class Tray:
    """A folder of scans. A file's bytes say which card and side it shows, and which scan of it that
    is: what a dealer would see."""

    def __init__(self, folder: Path, rng: random.Random) -> None:
        self.folder, self.rng = folder, rng
        self.now, self.last, self.scans = 1_000_000_000_000_000_000, 0, 0
        folder.mkdir()

    def write(self, name: str, card: int, side: str) -> None:
        """A scan of a card, under this name."""
        self.scans += 1
        path = self.folder / name
        path.unlink(missing_ok=True)
        # all of one size, as scans without compression are
        path.write_bytes(f"{card:06d} {side} {self.scans:06d}".encode())
        self.touch(name)

    def touch(self, name: str) -> None:
        self.now += TICK
        os.utime(self.folder / name, ns=(self.now, self.now))

    def feed(self, cards: int, at: int) -> None:
        """New cards, under names from a number on."""
        for number in range(at, at + 2 * cards, 2):
            self.last += 1
            self.write(scan(number), self.last, "front")
            self.write(scan(number + 1), self.last, "back ")

    def shows(self, name: str | None) -> str:
        """What a scan shows, empty where it is not there."""
        if name is None or not (self.folder / name).exists():
            return ""
        return (self.folder / name).read_text()

    def names(self) -> list[str]:
        return sorted(one.name for one in self.folder.glob("*.jpg"))

    def move(self, names: dict[str, str]) -> None:
        """Rename files all at once, as a tool for many files does."""
        for old in names:
            (self.folder / old).rename(self.folder / f"{old}.moving")
        for old, new in names.items():
            (self.folder / f"{old}.moving").rename(self.folder / new)


def scan(number: int) -> str:
    return f"scan_{number:04d}.jpg"


def opened(folder: Path) -> OpenLot:
    return change(LotPlace(folder, folder), load_settings(config_file()))


def tag(session: Session, tray: Tray, position: int) -> None:
    """Tag a card as what its front shows."""
    session.go(position)
    card = session.view.card_at(position)
    session.take_unlisted(f"{position} name=x{tray.shows(card.front or card.back)[:6]}")


def tagged(session: Session) -> dict[int, str]:
    """The tagged cards by identity, as they are called."""
    view = session.view
    return {
        pair.id: view.mark(pair.id).tags.subject
        for pair in view.arrangement.pairs
        if view.mark(pair.id).state is State.TAGGED
    }


# What happens between two sittings


def replace_some(tray: Tray) -> None:
    for name in tray.rng.sample(tray.names(), k=min(len(tray.names()), 4)):
        tray.last += 1
        tray.write(name, tray.last, tray.rng.choice(("front", "back ")))


def begin_again(tray: Tray) -> None:
    tray.feed(tray.rng.randint(1, 6), 1)


def scan_again(tray: Tray) -> None:
    for name in tray.rng.sample(tray.names(), k=min(len(tray.names()), 3)):
        card, side = tray.shows(name)[:6], tray.shows(name)[7:12]
        tray.write(name, int(card), side)


def rename_all(tray: Tray) -> None:
    start = f"box{tray.rng.randint(1, 99)}_"
    tray.move({name: f"{start}{name[-13:]}" for name in tray.names()})


def rename_some(tray: Tray) -> None:
    names = tray.rng.sample(tray.names(), k=min(len(tray.names()), 3))
    tray.move({name: f"new{tray.rng.randint(1, 999)}_{name[-13:]}" for name in names})


def number_anew(tray: Tray) -> None:
    names = tray.names()
    by = tray.rng.choice((1, 2, 4))
    tray.move({name: f"scan_{at + by:04d}.jpg" for at, name in enumerate(names, start=1)})
    if tray.rng.random() < 0.5:
        tray.feed(by // 2, 1)


def exchange(tray: Tray) -> None:
    names = tray.rng.sample(tray.names(), k=min(len(tray.names()), 4))
    tray.move(dict(zip(names, names[1:] + names[:1], strict=True)))


def remove_some(tray: Tray) -> None:
    for name in tray.rng.sample(tray.names(), k=min(len(tray.names()), 5)):
        (tray.folder / name).unlink()


def remove_all(tray: Tray) -> None:
    for name in tray.names():
        (tray.folder / name).unlink()


def add(tray: Tray) -> None:
    tray.feed(tray.rng.randint(1, 4), tray.rng.choice((101, 900, 40)))


def touch_all(tray: Tray) -> None:
    for name in tray.names():
        tray.touch(name)


HAPPENS = (
    replace_some, begin_again, scan_again, rename_all, rename_some, number_anew, exchange,
    remove_some, remove_all, add, touch_all,
)  # fmt: skip


def one_case(folder: Path, seed: int) -> str:
    """Some sittings at a lot, and what was wrong after any of them; empty where nothing was."""
    rng = random.Random(seed)
    tray = Tray(folder, rng)
    tray.feed(rng.randint(2, 10), 1)
    given: dict[int, tuple[str, str]] = {}
    told = []
    for sitting in range(rng.randint(2, 5)):
        if sitting:
            for happens in rng.choices(HAPPENS, k=rng.randint(1, 2)):
                told.append(happens.__name__)
                if tray.names() or happens in (begin_again, add):
                    happens(tray)
        lot = opened(folder)
        session = lot.session
        if sitting and (wrong := wrongs(session, tray, given)):
            lot.store.close()
            return f"seed {seed}: {wrong} after {', '.join(told)}"
        work(session, tray, rng)
        told.append("work")
        if rng.random() < 0.8:
            with lot:
                pass
        else:
            told.append("killed")
            lot.store.close()
        given = seen(session, tray)
    return ""


def seen(session: Session, tray: Tray) -> dict[int, tuple[str, str]]:
    """What the scans of the tagged cards show as the lot is left."""
    view = session.view
    asked = {view.card_at(at).id for at in session.scans.replaced.positions()}
    return {
        pair.id: (tray.shows(pair.front), tray.shows(pair.back))
        for pair in view.arrangement.pairs
        if pair.id in tagged(session) and pair.id not in asked
    }


def work(session: Session, tray: Tray, rng: random.Random) -> None:
    """Answer what is asked as the pictures say, or not at all; tag, undo, clear."""
    for position in session.scans.replaced.positions():
        card = session.view.card_at(position)
        right = tray.shows(card.front or card.back)[:6] == card.mark.tags.subject[1:]
        if rng.random() < 0.7:
            (same_card if right else another_card)(session, [position])
    for position in range(1, session.view.cards + 1):
        card = session.view.card_at(position)
        there = tray.shows(card.front or card.back)
        if card.mark.state is State.UNTAGGED and there and rng.random() < 0.5:
            tag(session, tray, position)
    if rng.random() < 0.2:
        try:
            session.undo()
        except Refused:
            return


def wrongs(session: Session, tray: Tray, given: dict[int, tuple[str, str]]) -> str:
    """What is wrong with the lot as it opened; `given` is what the tagged cards showed when it was
    left."""
    view, now = session.view, tagged(session)
    asked = {view.card_at(at).id for at in session.scans.replaced.positions()}
    if lost := given.keys() - now.keys():
        return f"tags lost of {sorted(lost)}"
    doubled = [scan for scan, many in Counter(view.arrangement.scans).items() if many > 1]
    if doubled:
        return f"scans on two cards: {doubled}"
    for pair in view.arrangement.pairs:
        if pair.id not in given or pair.id in asked:
            continue
        for side, before in zip(pair.sides, given[pair.id], strict=True):
            shown = tray.shows(side)
            if shown and before and shown != before:
                return f"{pair} shows {shown}, was {before}, and nothing is asked"
    for id in asked & given.keys():
        position = view.arrangement.position_of(id)
        assert position is not None
        pair = view.arrangement.pairs[position - 1]
        shown = [tray.shows(side) for side in pair.sides]
        digests = all(view.stamps[one].digest for one in pair.scans if one in view.stamps)
        if digests and all(
            not one or one == before for one, before in zip(shown, given[id], strict=True)
        ):
            return f"{pair} is asked about, and is as it was"
    return ""


def cases(folder: Path, seeds: range) -> list[str]:
    folder.mkdir(exist_ok=True)
    return [wrong for seed in seeds if (wrong := one_case(folder / f"lot {seed}", seed))]
