"""`tagger find`: where a card lies, over all lots opened on this machine."""

from __future__ import annotations

import argparse
import os
import time

from tagger.commands.common import DONE, EYE, Command, json_argument
from tagger.config import load_settings
from tagger.core.matching.hint import parse_hint
from tagger.core.model.tags import State
from tagger.core.reports.card_search import (
    LIMIT,
    NO_WORD,
    NONE_FITS,
    SearchHit,
    SearchResults,
    find,
    lies,
)
from tagger.errors import UsageError
from tagger.services.console import out, print_json, tell
from tagger.store.caches.catalogue import catalogue, place_of
from tagger.store.machine.lots import LotList
from tagger.store.machine.paths import (
    LotPlace,
    catalogue_folder,
    config_file,
    data_folder,
    state_folder,
)

TOLD = 0.5  # seconds between two words about lots that are being read
NO_LOTS = "No lot was opened on this machine yet: tagger open FOLDER."
_TAGS = ("set", "number", "subject", "team", "parallel", "serial", "condition", "place", "note")


def _arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "words",
        metavar="WORDS",
        nargs="*",
        help="what would be typed for the card, in any order; none: typed on a screen",
    )
    parser.add_argument(
        "--screen", action="store_true", help="a screen that finds while you type, as without words"
    )
    parser.add_argument(
        "--limit",
        metavar="N",
        type=int,
        default=LIMIT,
        help=f"at most so many different cards ({LIMIT})",
    )
    json_argument(parser)


def _run(given: argparse.Namespace) -> int:
    hint = " ".join(given.words)
    if not 1 <= given.limit <= 100:
        raise UsageError("--limit takes a whole number from 1 to 100.")
    if given.screen or not given.words:
        return _on_screen(given, hint)
    if not parse_hint(hint).tokens:
        raise UsageError(NO_WORD)
    places = LotList(data_folder()).places()
    found = catalogue(places, catalogue_folder(), _Telling())
    answer = find(found.parts, hint, load_settings(config_file()).scale, given.limit)
    if given.json:
        print_json(
            {
                "words": hint,
                "cards": [_document(card) for card in answer.cards],
                "gone": answer.gone,
                "more": answer.more,
                "skipped": list(found.skipped),
            }
        )
    else:
        _print(answer)
        if not answer.cards:
            tell(NO_LOTS if not places else NONE_FITS)
    for sentence in () if given.json else found.skipped:
        tell(sentence)
    return EYE if found.skipped else DONE


def _on_screen(given: argparse.Namespace, words: str) -> int:
    if given.json:
        raise UsageError("--json goes with words, and without --screen.")
    if not LotList(data_folder()).places():
        tell(NO_LOTS)
        return DONE
    from tagger.commands.drawing import chosen_drawing
    from tagger.commands.finder import FoundScans, LotFinder
    from tagger.commands.lot_desk import settings_and_keys
    from tagger.ui.find.app import FindApp
    from tagger.ui.terminal.app import check_terminal, run

    try:
        check_terminal()
    except UsageError as error:
        raise UsageError(
            f"{error.message} With words no terminal is needed: tagger find 23 marsh."
        ) from None
    settings, keys = settings_and_keys()
    finder = LotFinder(settings, keys, given.limit)
    drawing, _ = chosen_drawing(settings.drawing)
    report = state_folder() / "error.txt"
    try:
        run(FindApp(finder, FoundScans(settings), keys, words, drawing, settings.colours, report))
    finally:
        finder.close()
    return DONE


class _Telling:
    """Says on stderr how far the reading of lots is, now and then."""

    def __init__(self) -> None:
        self._next = time.monotonic() + TOLD

    def __call__(self, done: int, of: int) -> None:
        if time.monotonic() >= self._next:
            self._next = time.monotonic() + TOLD
            tell(f"Reading the lots: {done} of {of}.")


def _print(answer: SearchResults) -> None:
    before = None
    for card in answer.cards:
        tags = card.mark.tags
        name = tags.set, tags.number, tags.subject, tags.team
        if name != before:
            number = f"#{tags.number} " if tags.number else ""
            out(f"{tags.set}  {number}{tags.subject}" + (f", {tags.team}" if tags.team else ""))
            before = name
        kind = tags.variant
        state = "set aside" if card.mark.state is State.SET_ASIDE else ""
        what = ", ".join(part for part in (kind, tags.condition, state) if part)
        scans = " ".join(scan for scan in (card.front, card.back) if scan)
        out(f"  {place_of(card.lot).name}: {lies(card)}  ({what})  {scans}")
    if answer.gone:
        out(f"{answer.gone} more {'were' if answer.gone > 1 else 'was'} sold or pulled.")
    if answer.more:
        out("There are more cards that fit; add a word, or --limit N.")


def _document(card: SearchHit) -> dict[str, object]:
    place: LotPlace = place_of(card.lot)
    return {
        "lot": place.name,
        "folder": os.fspath(place.folder).encode("utf-8", "backslashreplace").decode(),
        "position": card.position,
        "cards": card.cards,
        "from_front": card.from_front,
        "before": card.before,
        "after": card.after,
        "front": card.front,
        "back": card.back,
        "state": str(card.mark.state),
        **{name: getattr(card.mark.tags, name) for name in _TAGS},
    }


COMMAND = Command(
    "find",
    "say where a card lies, in all lots opened on this machine",
    (
        "tagger find",
        "tagger find 23 marsh",
        "tagger find marsh gold",
        "tagger find 12/99 harbor --json",
    ),
    _arguments,
    _run,
)
