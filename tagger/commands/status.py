"""`tagger status`: how far a lot is."""

from __future__ import annotations

import argparse

from tagger.commands.common import DONE, Command, find_lot, json_argument, lot_arguments, out, print_json
from tagger.core.arrange import first_intake, later_intake
from tagger.core.model import LotState, State
from tagger.imaging.folder import list_scans
from tagger.store.lot_file import read_lot
from tagger.store.places import LotPlace


def _arguments(parser: argparse.ArgumentParser) -> None:
    lot_arguments(parser)
    json_argument(parser)


def _run(given: argparse.Namespace) -> int:
    place = find_lot(given)
    lot, scans = look_at(place)
    states = [lot.marks[pair.id].state for pair in lot.arrangement.pairs if pair.id in lot.marks]
    cards = len(lot.arrangement.pairs)
    tagged, aside = states.count(State.TAGGED), states.count(State.SET_ASIDE)
    answer = {
        "lot": place.name,
        "cards": cards,
        "tagged": tagged,
        "set_aside": aside,
        "untagged": cards - tagged - aside,
        "position": min(lot.desk.position, max(1, cards)),
        "scans": scans,
        "checklists": list(lot.checklists),
    }
    if given.json:
        print_json(answer)
        return DONE
    out(f"{place.name}: {cards} cards from {scans} scans")
    out(f"  {tagged} tagged, {aside} set aside, {cards - tagged - aside} untagged")
    out(f"  work goes on at card {answer['position']}")
    for path in lot.checklists:
        out(f"  checklist {path}")
    return DONE


def look_at(place: LotPlace) -> tuple[LotState, int]:
    """A lot as it would open now, and how many scans its folder holds. Nothing is written."""
    lot = read_lot(place.home)
    scans = list_scans(place.folder).scans
    if lot.arrangement.pairs:
        arrangement, _ = later_intake(lot.arrangement, lot.marks, scans, lot.next_id)
    else:
        arrangement, _ = first_intake(scans)
    return LotState(arrangement, lot.marks, lot.desk, lot.history, lot.undone, lot.checklists, lot.next_id), len(scans)


STATUS = Command(
    "status",
    "say how far a lot is",
    ("tagger status scans/box12", "tagger status scans/box12 --json"),
    _arguments,
    _run,
)
