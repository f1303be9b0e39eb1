"""`tagger page`: a lot as one HTML page, to look at without the program and without a network."""

from __future__ import annotations

import argparse
import io
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

from PIL import Image

from tagger.commands.common import DONE, EYE, Command, find_lot, lot_arguments
from tagger.commands.layouts import read_lists
from tagger.core.audit.audit import AuditedLot
from tagger.core.audit.findings import Finding
from tagger.core.lot.fields import CardInLot, cards
from tagger.core.lot.lot import LotState
from tagger.core.model.tags import State
from tagger.core.model.text import printable
from tagger.core.reports.completion import Holdings
from tagger.errors import LotError, UsageError
from tagger.exchange.shown.chart import SetProgress
from tagger.exchange.shown.page import LotSummary, Sides, write_page
from tagger.imaging.scan.folder import list_scans
from tagger.services.console import tell
from tagger.services.measurements import audited
from tagger.services.opening import look
from tagger.services.output_paths import check_target
from tagger.services.thumbnails import Thumbnails
from tagger.store.files import SYSTEM, replacing
from tagger.store.machine.paths import LotPlace

LONGEST, QUALITY = 360, 72  # pixels and JPEG quality of a picture: 400 cards stay far below 30 MB


def _arguments(parser: argparse.ArgumentParser) -> None:
    lot_arguments(parser)
    parser.add_argument("--to", metavar="FILE.html", type=Path, required=True, help="where to")
    parser.add_argument(
        "--longest",
        metavar="PIXELS",
        type=int,
        default=LONGEST,
        help=f"of a picture's side; without it {LONGEST}",
    )
    parser.add_argument(
        "--no-findings", action="store_true", help="leave out what the feeder got wrong"
    )


def _run(given: argparse.Namespace) -> int:
    if not 64 <= given.longest <= 2000:
        raise UsageError("--longest takes a number of pixels from 64 to 2000.")
    place = find_lot(given)
    lot, _ = look(place)
    if not lot.cards:
        raise LotError(f"{place.name} holds no scans (JPEG, PNG, TIFF, WebP or BMP).")
    check_target(given.to, place, lot, (".html", ".htm"), "a page")
    shown = printable(str(given.to))
    with Thumbnails(place, lot, given.longest, QUALITY) as small:
        told = _told(place, lot, None if given.no_findings else _found(place, lot, small))
        size = 0
        try:
            with replacing(SYSTEM, given.to) as write:

                def counted(data: bytes) -> None:
                    nonlocal size
                    write(data)
                    size += len(data)

                write_page(told, _cards(lot, small), counted)
        except OSError as error:
            raise LotError(f"{shown} cannot be written: {error.strerror}.") from None
        missing = small.tell_missing()
    tell(f"{lot.cards} cards written to {shown}, {size / 1e6:.1f} MB.")
    return EYE if missing else DONE


def _found(place: LotPlace, lot: LotState, small: Thumbnails) -> list[Finding]:
    arrangement = lot.arrangement
    scans = list_scans(place.folder, arrangement.mending.joined).scans
    return audited(
        AuditedLot(arrangement.pairs, arrangement.sides, scans, arrangement.mending), small.measured
    )


def _cards(lot: LotState, small: Thumbnails) -> Iterator[tuple[CardInLot, Sides]]:
    for card, sides in zip(cards(lot), small.by_card(), strict=True):
        yield card, {side: (data, _size(data)) for side, data in sides.items()}


def _size(data: bytes) -> tuple[int, int]:
    with Image.open(io.BytesIO(data)) as picture:
        return picture.size


def _told(place: LotPlace, lot: LotState, findings: list[Finding] | None) -> LotSummary:
    counts = lot.counts()
    marks = [lot.mark(pair.id) for pair in lot.arrangement.pairs]
    gone = sum(1 for mark in marks if mark.gone)
    copies = Counter(
        mark.tags.set for mark in marks if mark.state is State.TAGGED and not mark.gone
    )
    listed: dict[str, SetProgress] = {}
    if lot.checklists and copies:
        holdings = Holdings(read_lists(lot.checklists))
        holdings.add(marks)
        for set_id in holdings.begun():
            one = holdings.count(set_id)
            listed[one.set] = SetProgress(one.set, copies[one.set], one.base.have, one.base.cards)
    sets = [
        *listed.values(),
        *(SetProgress(name, count) for name, count in copies.items() if name not in listed),
    ]
    return LotSummary(place.name, lot.cards, counts.tagged, counts.set_aside, gone, sets, findings)


COMMAND = Command(
    "page",
    "write a lot as one HTML page with its pictures",
    (
        "tagger page scans/box12 --to box12.html",
        "tagger page scans/box12 --to box12.html --longest 600",
    ),
    _arguments,
    _run,
)
