"""`tagger sheet`: contact sheets of a lot, to print or to send."""

from __future__ import annotations

import argparse
import io
import math
import re
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from PIL import Image
from PIL.PngImagePlugin import PngInfo

from tagger.commands.arguments import options
from tagger.commands.common import Command, attention_if, find_lot, lot_arguments
from tagger.core.lot.fields import CardInLot, cards, told_note
from tagger.core.model.counted import counted
from tagger.core.model.tags import State
from tagger.core.model.text import printable
from tagger.errors import NoScans
from tagger.exchange.shown.contact_sheet import DPI, Cell, pages, picture_pixels, write_pdf
from tagger.exchange.shown.pdf_fonts import has_library
from tagger.exchange.shown.sheet_geometry import PAPERS, a_page
from tagger.exchange.shown.sheet_pdf import QUALITY as PDF_QUALITY
from tagger.exchange.shown.sheet_pdf import SheetCard, sheet_pdf
from tagger.exchange.shown.sheet_pdf import picture_pixels as pdf_pixels
from tagger.extras import installing
from tagger.services.console import tell
from tagger.services.opening import look
from tagger.services.output.paths import check_target, is_ours, new_file, shown_target
from tagger.services.output.thumbnails import QUALITY, Thumbnails
from tagger.store.standard_streams import STDIO

if TYPE_CHECKING:
    from tagger.store.machine.paths import LotPlace

ENDINGS = (".pdf", ".png")
MADE_BY = "tagger sheet"  # PNG (W3C), 11.3.3: the keyword Software
CAUTION = (
    "A condition seen on a scan is an estimate, not a professional grade; check the card itself."
)


def _arguments(parser: argparse.ArgumentParser) -> None:
    lot_arguments(parser)
    said = "FILE.pdf, or FILE.png for one file per page; - writes a PDF to standard output"
    options.target(parser, "FILE", said, required=True)
    options.every_card(parser)
    parser.add_argument(
        "--paper", choices=tuple(PAPERS), default="a4", help="the size of a page (default a4)"
    )


def _run(given: argparse.Namespace) -> int:
    place = find_lot(given)
    lot, _ = look(place)
    place = place.called(lot.name)
    if not lot.cards:
        raise NoScans(place.name)
    count = sum(1 for _ in cards(lot, given.all))
    of = max(1, math.ceil(count / a_page(given.paper)))
    check_target(given.to, place, lot, ENDINGS, "a sheet", force=True)
    targets = _targets(given.to, of)
    # The pages of several PNG files have names of their own.
    for target in targets:
        check_target(target, place, lot, ENDINGS, "a sheet", given.force)
    title = f"{place.name}: {count} cards"
    real = _is_pdf(given.to) and has_library()
    if _is_pdf(given.to) and not real:
        tell(
            "The pages are pictures of their text: for text that can be searched, and in every "
            f"script, install the extra pdf: {installing('pdf')}."
        )
    longest, quality = (pdf_pixels(), PDF_QUALITY) if real else (picture_pixels(), QUALITY)
    with Thumbnails(place, lot, longest, quality, given.all) as small:
        if real:
            shown = sheet_pdf(_pdf_cards(small), place.name, title, CAUTION, given.paper, of)
            with new_file(given.to, force=given.force) as write:
                write(shown)
        else:
            _write(pages(_cells(small), count, title, CAUTION, given.paper), targets, place, given)
        small.tell_missing()
    gone = _remove_old(given.to, targets)
    said = f"; {counted(gone, 'old page')} removed" if gone else ""
    tell(f"{counted(count, 'card')} on {counted(of, 'page')} written to {_shown(targets)}{said}.")
    return attention_if(small.missing)


def _remove_old(target: Path, targets: Sequence[Path]) -> int:
    """Remove pages of a longer sheet that was written before under this name; those that somebody
    changed since stay. How many they were."""
    if target == STDIO or _is_pdf(target):
        return 0
    number = re.compile(rf"{re.escape(target.stem)}(-[0-9]+)?{re.escape(target.suffix)}")
    there = [path for path in target.parent.iterdir() if number.fullmatch(path.name)]
    old = [path for path in there if path not in targets and is_ours(path)]
    for path in old:
        path.unlink(missing_ok=True)
    return len(old)


def _shown(targets: Sequence[Path]) -> str:
    first, last = shown_target(targets[0]), printable(targets[-1].name)
    return first if len(targets) == 1 else f"{first} to {last}"


def _targets(target: Path, of: int) -> list[Path]:
    """A PDF holds all pages; of several PNG pages each is a file."""
    if _is_pdf(target) or of == 1:
        return [target]
    # With leading zeros a file manager has the pages in order.
    digits = len(str(of))
    return [
        target.with_name(f"{target.stem}-{number:0{digits}}{target.suffix}")
        for number in range(1, of + 1)
    ]


def _is_pdf(target: Path) -> bool:
    return target == STDIO or target.suffix.lower() == ".pdf"


def _write(
    made: Iterator[Image.Image], targets: Sequence[Path], place: LotPlace, given: argparse.Namespace
) -> None:
    if _is_pdf(targets[0]):
        with new_file(targets[0], force=given.force) as write:
            write_pdf(made, place.name, write)
        return
    # whoever finds the file later can tell what it is
    made_by = PngInfo()
    made_by.add_text("Software", MADE_BY)
    for page, target in zip(made, targets, strict=True):
        out = io.BytesIO()
        # With its resolution a page prints at the size of the paper.
        # half the time of zlib's usual level, for half a percent more of a page of pictures
        page.save(out, "PNG", dpi=(DPI, DPI), pnginfo=made_by, compress_level=3)
        with new_file(target, given.to, given.force) as write:
            write(out.getvalue())


def _cells(small: Thumbnails) -> Iterator[Cell]:
    for card, sides in zip(small.cards, small.by_card(), strict=True):
        opened = {side: Image.open(io.BytesIO(data)) for side, data in sides.items()}
        yield Cell(_lines(card), opened.get("front"), opened.get("back"))


def _pdf_cards(small: Thumbnails) -> Iterator[SheetCard]:
    for card, sides in zip(small.cards, small.by_card(), strict=True):
        lines = _lines(card)
        name = f"card {' '.join(lines[0].split())}"
        yield SheetCard(lines, sides, name, card.mark.tags.set)


def _lines(card: CardInLot) -> tuple[str, ...]:
    mark, tags = card.mark, card.mark.tags
    # one that was set aside with its tags is known as well as any
    if not mark.named:
        return f"{card.position}  {mark.state}", told_note(mark)
    number = f"#{tags.number}" if tags.number else ""
    # in front, since what is too long is cut at the end
    aside = "" if mark.state is State.TAGGED else _joined(": ", mark.state, mark.reason)
    more = _joined(", ", aside, tags.variant, tags.condition, tags.place, mark.gone)
    return f"{card.position}  {_joined(' ', number, tags.subject)}", tags.set, more


def _joined(between: str, *parts: str) -> str:
    return between.join(part for part in parts if part)


HELP = "draw contact sheets: pages of cards with their tags"
EXAMPLES = (
    "tagger sheet scans/box12 --to box12.pdf",
    "tagger sheet scans/box12 --to box12.png --paper letter",
)
COMMAND = Command("sheet", HELP, EXAMPLES, _arguments, _run)
