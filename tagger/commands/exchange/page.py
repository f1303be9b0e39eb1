"""`tagger page`: a lot as one HTML page, to look at without the program and without a network."""

from __future__ import annotations

import argparse
import io
from collections.abc import Iterator
from typing import TYPE_CHECKING

from PIL import Image

from tagger.commands.arguments import options
from tagger.commands.common import Command, attention_if, find_lot, lot_arguments
from tagger.core.lot.fields import cards
from tagger.core.model.counted import counted
from tagger.errors import NoScans, UsageError
from tagger.exchange.shown.page import Sides, write_page
from tagger.services.console import tell
from tagger.services.opening import look
from tagger.services.output.lot_summary import lot_summary, measured_findings
from tagger.services.output.paths import check_target, new_file, shown_target
from tagger.services.output.thumbnails import Thumbnails

if TYPE_CHECKING:
    from tagger.core.audit.findings import Finding
    from tagger.core.lot.fields import CardInLot
    from tagger.core.lot.lot import LotState

LONGEST, QUALITY = 360, 72  # pixels and JPEG quality of a picture: 400 cards stay far below 30 MB


def _arguments(parser: argparse.ArgumentParser) -> None:
    lot_arguments(parser)
    said = "the file to write; - for standard output"
    options.path(parser, "--to", "FILE.html", said, required=True)
    options.force(parser)
    options.every_card(parser)
    said = f"longest edge of a picture in pixels (default {LONGEST})"
    options.number(parser, "--max-size", "PIXELS", said, default=LONGEST)
    options.flag(parser, "--no-findings", "do not list the scan problems")


def _run(given: argparse.Namespace) -> int:
    if not 64 <= given.max_size <= 2000:
        raise UsageError("--max-size takes a number of pixels from 64 to 2000.")
    place = find_lot(given)
    lot, _ = look(place)
    place = place.called(lot.name)
    if not lot.cards:
        raise NoScans(place.name)
    check_target(given.to, place, lot, (".html", ".htm"), "a page", given.force)
    with Thumbnails(place, lot, given.max_size, QUALITY, given.all) as small:
        # From what the thumbnails were measured for anyway: nothing is measured twice.
        findings = None if given.no_findings else measured_findings(place, lot, small.measured)
        summary = lot_summary(place, lot, _of_shown(findings, lot, small))
        size = 0
        with new_file(given.to, force=given.force) as write:
            # The page is written as it is made and never whole in memory, so its size is counted
            # here.
            def write_counted(data: bytes) -> None:
                nonlocal size
                write(data)
                size += len(data)

            write_page(summary, _cards(small), write_counted)
        small.tell_missing()
    shown = counted(len(small.cards), "card")
    tell(f"{shown} written to {shown_target(given.to)}, {size / 1e6:.1f} MB.")
    return attention_if(small.missing)


def _of_shown(
    findings: list[Finding] | None, lot: LotState, small: Thumbnails
) -> list[Finding] | None:
    """The findings without those of cards that are left out."""
    if findings is None:
        return None
    left_out = {card.position for card in cards(lot)} - {card.position for card in small.cards}
    return [one for one in findings if one.position not in left_out]


def _cards(small: Thumbnails) -> Iterator[tuple[CardInLot, Sides]]:
    for card, sides in zip(small.cards, small.by_card(), strict=True):
        # With their sizes a browser keeps their room free: the page does not jump while it loads.
        yield card, {side: (data, _size(data)) for side, data in sides.items()}


def _size(data: bytes) -> tuple[int, int]:
    with Image.open(io.BytesIO(data)) as picture:
        return picture.size


HELP = "write a lot as one HTML page with its pictures"
EXAMPLES = (
    "tagger page scans/box12 --to box12.html",
    "tagger page scans/box12 --to box12.html --max-size 600",
)
COMMAND = Command("page", HELP, EXAMPLES, _arguments, _run)
