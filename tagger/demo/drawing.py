"""The demo on disk: the scans of the lot, its checklists and the truth."""

from __future__ import annotations

import os
import random
from collections.abc import Callable, Iterator
from concurrent.futures import BrokenExecutor
from contextlib import closing
from dataclasses import dataclass
from itertools import groupby
from pathlib import Path

from PIL import Image

from tagger.demo.art.wear import flaws_of, pressed, worn
from tagger.demo.lot import TRUTH_HEADER, LotCard, demo_lot, truth_text
from tagger.demo.scanner import MARK, jpeg, scanned
from tagger.demo.sets.checklists import checklist_files
from tagger.demo.sets.printing import printed
from tagger.demo.sets.scenario import FERRY
from tagger.errors import TaggerError
from tagger.store.files import write_new
from tagger.store.lot.journal import JOURNAL
from tagger.store.lot.main_file import MAIN

Progress = Callable[[int, int], None]


@dataclass(frozen=True)
class DemoPlace:
    """What was drawn and where."""

    lot: Path
    checklists: tuple[Path, ...]
    truth: Path
    cards: int


def draw_card(card: LotCard, seed: int) -> tuple[bytes, bytes]:
    """The scans of a card's front and back as JPEG files; the same for the same card and seed."""
    rng = random.Random(f"{seed} card {card.position}")
    sides = printed(card.row, card.parallel, card.serial)
    flaws = flaws_of(card.condition, sides.front.size, rng)
    # Old printing had a coarse screen, which shows; that of the later sets hardly does.
    screen = 11 if card.row.set == FERRY else 4
    # The back is written rather than pictured, and its lettering would not survive a screen.
    front = worn(pressed(sides.front, rng, screen=screen), flaws, rng)
    back = worn(pressed(sides.back, rng, screen=0), flaws.from_behind(sides.back.width), rng)
    return jpeg(scanned(front, rng)), jpeg(scanned(back, rng))


def draw_demo(
    target: Path, *, seed: int = 7, workers: int | None = None, progress: Progress | None = None
) -> DemoPlace:
    """Draw the demo into a folder: ``lot/``, ``checklists/`` and ``truth.csv``.

    The same seed gives the same bytes. ``workers`` is the number of processes, by default one for
    each processor; ``progress`` is called with the cards drawn and the cards in all. A ``lot.json``
    in the lot is left alone.

    Raises TaggerError where the folder holds files that the demo did not make, or cannot be written
    to."""
    place = DemoPlace(
        target / "lot",
        tuple(target / "checklists" / name for name in checklist_files()),
        target / "truth.csv",
        len(demo_lot(seed)),
    )
    try:
        # Before anything is made: a folder that is refused stays as it is.
        _refuse_foreign(place)
        place.lot.mkdir(parents=True, exist_ok=True)
        place.checklists[0].parent.mkdir(parents=True, exist_ok=True)
        _draw_all(place, demo_lot(seed), seed, workers or os.cpu_count() or 1, progress)
        for path, text in zip(place.checklists, checklist_files().values(), strict=True):
            _write(path, text.encode())
        _write(place.truth, truth_text(demo_lot(seed)).encode())
    except OSError as error:
        reason = error.strerror or str(error)
        raise TaggerError(f"The demo cannot be written to {_shown(target)}: {reason}.") from error
    return place


def _draw_all(
    place: DemoPlace, cards: tuple[LotCard, ...], seed: int, workers: int, progress: Progress | None
) -> None:
    for done in _drawn(place.lot, cards, seed, workers):
        if progress is not None:
            progress(done, len(cards))


def _drawn(lot: Path, cards: tuple[LotCard, ...], seed: int, workers: int) -> Iterator[int]:
    """Draw and write every card, telling after each card and its copies how many are done."""
    # Copies are drawn one after the other in one process, which then prints them only once.
    copies = [
        tuple(same)
        for _, same in groupby(cards, key=lambda card: (card.row, card.parallel, card.serial))
    ]
    done = 0
    # A pool of one would only add a process.
    if workers == 1:
        for same in copies:
            done += _written(lot, _draw(same, seed))
            yield done
        return
    from tagger.imaging.survey.workers import Workers

    with closing(Workers(min(workers, len(copies)), busy=True)) as pool:
        asked = [pool.submit(_draw, same, seed) for same in copies]
        asked.reverse()
        try:
            # popped: each is let go of once it is written
            while asked:
                done += _written(lot, asked.pop().result())
                yield done
        except BrokenExecutor:
            raise TaggerError(
                "A worker process died (out of memory?). Run the same command again."
            ) from None


def _draw(copies: tuple[LotCard, ...], seed: int) -> list[tuple[str, bytes]]:
    """Copies of one card, which are printed once, as files by their names, fronts and backs in
    turn."""
    files: list[tuple[str, bytes]] = []
    for card in copies:
        files += zip((card.front, card.back), draw_card(card, seed), strict=True)
    return files


def _written(lot: Path, files: list[tuple[str, bytes]]) -> int:
    """Write the files of some cards; how many cards those are."""
    # here and not in the processes, which may be ended at any moment
    for name, data in files:
        _write(lot / name, data)
    return len(files) // 2


def _write(path: Path, data: bytes) -> None:
    """Write a file so that it is there whole or not at all."""
    part = path.with_name(path.name + ".part")
    try:
        write_new(part, data)
        os.replace(part, path)
    except BaseException:  # Ctrl+C as well
        part.unlink(missing_ok=True)
        raise


def _refuse_foreign(place: DemoPlace) -> None:
    """Raise TaggerError where drawing the demo would put itself among or over somebody else's
    files."""
    _refuse_foreign_scans(place.lot)
    for path, text in zip(place.checklists, checklist_files().values(), strict=True):
        if os.path.exists(path) and path.read_bytes() != text.encode():
            raise TaggerError(
                f"{_shown(path)} is not as the demo made it; choose another folder for the demo."
            )
    heading = ",".join(TRUTH_HEADER).encode()
    if os.path.exists(place.truth) and not place.truth.read_bytes().startswith(heading):
        raise _foreign(place.truth)


def _refuse_foreign_scans(lot: Path) -> None:
    # By the names of any seed's lot: they do not depend on the seed.
    own = {name for card in demo_lot(0) for name in (card.front, card.back)}
    found = sorted(lot.iterdir()) if os.path.exists(lot) else []
    for path in found:
        if not _may_stay(path) and not _ours(path, own):
            raise _foreign(path)


def _may_stay(path: Path) -> bool:
    """Whether a file in the lot is its tags, or lies beside them (the lock, the journal), or is
    hidden: those are not scans, and a demo that is drawn again leaves them."""
    return path.name.startswith((MAIN, JOURNAL, "."))


def _ours(path: Path, own: set[str]) -> bool:
    """Whether a demo made a file: a scan with its comment, or one that was not finished."""
    scan = path.name.removesuffix(".part")
    return scan in own and (scan != path.name or _drawn_here(path))


def _drawn_here(path: Path) -> bool:
    try:
        with Image.open(path) as picture:
            return picture.info.get("comment") == MARK
    except (OSError, Image.DecompressionBombError):
        return False


def _foreign(path: Path) -> TaggerError:
    return TaggerError(
        f"{_shown(path.parent)} holds {_shown(Path(path.name))}, which the demo did not make; "
        "choose another folder for the demo."
    )


def _shown(path: Path) -> str:
    """A path for a message, letters that a terminal could take for a command left out."""
    return "".join(letter if letter.isprintable() else "?" for letter in str(path))
