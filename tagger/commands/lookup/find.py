"""`tagger find`: where a card is, over all lots opened on this machine."""

from __future__ import annotations

import argparse
import time
from collections.abc import Sequence

from tagger.commands.arguments import options
from tagger.commands.common import Command, attention_if, json_argument
from tagger.commands.renderers import found_cards
from tagger.config import load_settings
from tagger.core.reports.card_search import LIMIT, SearchResults, find, none_fits, problem_of
from tagger.errors import DONE, UsageError
from tagger.services.console import complain, out_lines, print_json, tell
from tagger.services.hub.ages import stations_document, tell_ages
from tagger.services.lot_selection import NO_LOTS, all_places
from tagger.store.caches.catalogue import catalogue
from tagger.store.machine.paths import catalogue_folder, config_file, state_folder

OFTEN = 0.5  # seconds between two words about lots that are being read


def _arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "words",
        metavar="WORDS",
        nargs="*",
        help="words to search for, as you would type them for the card; none opens the search "
        "screen",
    )
    options.flag(parser, "--screen", "open the search screen, as without words")
    said = f"show at most N different cards (default {LIMIT})"
    options.number(parser, "--limit", "N", said, default=LIMIT)
    json_argument(parser)


def _run(given: argparse.Namespace) -> int:
    hint = " ".join(given.words)
    if not 1 <= given.limit <= 100:
        raise UsageError("--limit takes a whole number from 1 to 100.")
    if given.screen or not given.words:
        return _on_screen(given, hint)
    if problem := problem_of(hint):
        raise UsageError(problem)
    places = all_places()
    lots = catalogue(places, catalogue_folder(), _ReadingProgress())
    found = find(lots.parts, hint, load_settings(config_file()).scale, given.limit)
    if given.json:
        document = found_cards.as_json(hint, found, lots.skipped)
        print_json({**document, "stations": stations_document()})
    else:
        _print(found, lots.skipped, none_fits(hint) if places else NO_LOTS)
        tell_ages()
    return attention_if(lots.skipped)


def _print(found: SearchResults, skipped: Sequence[str], nothing: str) -> None:
    out_lines(found_cards.as_text(found))
    if not found.every:
        tell(nothing)
    for sentence in skipped:
        complain(sentence)


def _on_screen(given: argparse.Namespace, words: str) -> int:
    if given.json:
        raise UsageError("--json needs words to search for, and does not go with --screen.")
    # Before Textual is loaded: an empty screen could say no more.
    if not all_places():
        tell(NO_LOTS)
        return DONE
    from tagger.commands.composition.finder import LotFinder
    from tagger.commands.composition.lot_desk import settings_and_keys

    # Words alone need no screen, so Textual is loaded here.
    from tagger.services.drawing import chosen_drawing
    from tagger.services.scans.sources import FoundScans
    from tagger.ui.find.app import FindApp
    from tagger.ui.terminal.app import check_terminal, run

    try:
        check_terminal()
    except UsageError as error:
        raise UsageError(
            f"{error.message} Words on the command line need no terminal: tagger find 23 marsh."
        ) from None
    settings, keys = settings_and_keys()
    finder = LotFinder(settings, keys, given.limit)
    drawing, _ = chosen_drawing(settings.drawing)
    report = state_folder() / "error.txt"
    try:
        run(FindApp(finder, FoundScans(settings), keys, words, drawing, settings.colours, report))
    finally:
        # Whatever ended the screen, the lot that was opened from it is locked until then.
        finder.close()
    return DONE


class _ReadingProgress:
    """Says on stderr how far the reading of lots is, now and then; also where that is no
    terminal."""

    def __init__(self) -> None:
        self._next = time.monotonic() + OFTEN

    def __call__(self, done: int, of: int) -> None:
        if time.monotonic() >= self._next:
            self._next = time.monotonic() + OFTEN
            # On stderr: stdout has the answer, which may be one JSON document.
            tell(f"Reading the lots: {done} of {of}.")


HELP = "find a card in all lots opened on this machine"
EXAMPLES = (
    "tagger find",
    "tagger find 23 marsh",
    "tagger find marsh gold",
    "tagger find 12/99 harbor --json",
)
COMMAND = Command("find", HELP, EXAMPLES, _arguments, _run)
