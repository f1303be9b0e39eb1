"""`tagger page`: a lot as one HTML page, to look at without the program and without a network."""

from __future__ import annotations

import argparse
import io
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING
from urllib.parse import quote

from PIL import Image

from tagger.commands.arguments import options
from tagger.commands.common import Command, attention_if, find_lot, lot_arguments
from tagger.core.lot.fields import cards, run_of_serial
from tagger.core.model.counted import counted
from tagger.core.model.text import printable
from tagger.errors import NoScans, UsageError
from tagger.exchange.shown.page import BESIDE, PagePicture, Sides, inline, write_page
from tagger.exchange.shown.picture_names import DEFAULT
from tagger.imaging.scan.render_side import ImageOptions
from tagger.services.console import complain_first, tell
from tagger.services.lists.lot_checklists import ListPrices
from tagger.services.opening import look
from tagger.services.output.lot_summary import lot_summary, measured_findings
from tagger.services.output.paths import check_folder, check_target, new_file, shown_target
from tagger.services.output.pictures import MARGIN, TOLD, WrittenAs, write_pictures
from tagger.services.output.thumbnails import Thumbnails
from tagger.services.scans.measurements import measure_lot
from tagger.store.files import LARGEST, read_bounded
from tagger.store.standard_streams import STDIO

if TYPE_CHECKING:
    from pathlib import Path

    from tagger.core.audit.findings import Finding
    from tagger.core.lot.fields import CardInLot
    from tagger.core.lot.lot import LotState
    from tagger.exchange.shown.page import LotSummary
    from tagger.services.output.pictures import Written
    from tagger.store.machine.paths import LotPlace

LONGEST, QUALITY = 360, 72  # pixels and JPEG quality of a picture: 400 cards stay far below 30 MB
BESIDE_LONGEST = 1000  # pixels of a picture in a file of its own


def _arguments(parser: argparse.ArgumentParser) -> None:
    lot_arguments(parser)
    said = "the file to write; - for standard output"
    options.target(parser, "FILE.html", said, required=True)
    options.every_card(parser)
    said = (
        f"longest edge of a picture in pixels (default {LONGEST}; with --folder {BESIDE_LONGEST})"
    )
    options.number(parser, "--max-size", "PIXELS", said)
    parser.add_argument(
        "--folder",
        dest="folder_beside",
        action="store_true",
        help="put the pictures into a folder beside the page",
    )
    options.flag(parser, "--prices", "show prices")
    options.flag(parser, "--no-findings", "do not list the scan problems")


def _run(given: argparse.Namespace) -> int:
    longest = given.max_size or (BESIDE_LONGEST if given.folder_beside else LONGEST)
    if not 64 <= longest <= 2000:
        raise UsageError("--max-size takes a number of pixels from 64 to 2000.")
    place = find_lot(given)
    lot, _ = look(place)
    place = place.called(lot.name)
    if given.prices:
        lot = ListPrices().lot(lot)
    if not lot.cards:
        raise NoScans(place.name)
    check_target(given.to, place, lot, (".html", ".htm"), "a page", given.force)
    if given.folder_beside:
        return _write_beside(given, place, lot, longest)
    with Thumbnails(place, lot, longest, QUALITY, given.all) as small:
        # From what the thumbnails were measured for anyway: nothing is measured twice.
        findings = None if given.no_findings else measured_findings(place, lot, small.measured)
        shown = _of_shown(findings, lot, small.cards)
        summary = replace(lot_summary(place, lot, shown), prices=given.prices)
        size = _write(given, summary, _cards(small))
        small.tell_missing()
    shown_cards = counted(len(small.cards), "card")
    tell(f"{shown_cards} written to {shown_target(given.to)}, {size / 1e6:.1f} MB.")
    return attention_if(small.missing)


def _write_beside(given: argparse.Namespace, place: LotPlace, lot: LotState, longest: int) -> int:
    """Write the pictures into a folder beside the page, then the page; the exit status."""
    if given.to == STDIO:
        raise UsageError("--folder goes with --to FILE.html, not with standard output.")
    folder = given.to.with_name(f"{given.to.stem}-pictures")
    check_folder(folder, place, lot)
    wanted = WrittenAs(ImageOptions(longest, QUALITY, srgb=True), MARGIN, DEFAULT)
    done = write_pictures(place, lot, folder, wanted, run_of_serial, given.all)
    complain_first(
        done.missing, TOLD, "more picture could not be made", "more pictures could not be made"
    )
    there = list(cards(lot, given.all))
    findings = None
    if not given.no_findings:
        measured = measure_lot(place, lot.arrangement.scans).of(lot.arrangement.scans)
        findings = _of_shown(measured_findings(place, lot, measured), lot, there)
    summary = replace(lot_summary(place, lot, findings), prices=given.prices, images=BESIDE)
    size = _write(given, summary, ((card, _files(card, folder, done)) for card in there))
    tell(
        f"{counted(len(there), 'card')} written to {shown_target(given.to)}, {size / 1e6:.1f} MB, "
        f"with their pictures in {printable(str(folder))}."
    )
    return attention_if(done.missing)


def _files(card: CardInLot, folder: Path, done: Written) -> Sides:
    names = {side: done.files.get((card.position, side)) for side in ("front", "back")}
    return {side: _beside(folder, name) for side, name in names.items() if name is not None}


def _beside(folder: Path, name: str) -> PagePicture:
    size = _size(read_bounded(folder / name, LARGEST))
    return PagePicture(quote(f"{folder.name}/{name}"), size)


def _write(
    given: argparse.Namespace, summary: LotSummary, shown: Iterable[tuple[CardInLot, Sides]]
) -> int:
    """How many bytes the page has."""
    size = 0
    with new_file(given.to, force=given.force) as write:
        # The page is written as it is made and never whole in memory, so its size is counted here.
        def write_counted(data: bytes) -> None:
            nonlocal size
            write(data)
            size += len(data)

        write_page(summary, shown, write_counted)
    return size


def _of_shown(
    findings: list[Finding] | None, lot: LotState, shown: Sequence[CardInLot]
) -> list[Finding] | None:
    """The findings without those of cards that are left out."""
    if findings is None:
        return None
    left_out = {card.position for card in cards(lot)} - {card.position for card in shown}
    return [one for one in findings if one.position not in left_out]


def _cards(small: Thumbnails) -> Iterator[tuple[CardInLot, Sides]]:
    for card, sides in zip(small.cards, small.by_card(), strict=True):
        # With their sizes a browser keeps their room free: the page does not jump while it loads.
        yield card, {side: inline(data, _size(data)) for side, data in sides.items()}


def _size(data: bytes) -> tuple[int, int]:
    with Image.open(io.BytesIO(data)) as picture:
        return picture.size


HELP = "write a lot as one HTML page with its pictures"
EXAMPLES = (
    "tagger page scans/box12 --to box12.html",
    "tagger page scans/box12 --to box12.html --max-size 600",
    "tagger page scans/box12 --to box12.html --folder --prices",
)
COMMAND = Command("page", HELP, EXAMPLES, _arguments, _run)
