"""`tagger status`: how far a lot is."""

from __future__ import annotations

import argparse
from datetime import datetime

from tagger.commands.common import DONE, Command, find_lot, json_argument, lot_arguments, out, print_json
from tagger.core.feeding.pairing import first_intake, later_intake
from tagger.core.lot.lot import LotState
from tagger.core.lot.sitting import Sitting
from tagger.imaging.scan.folder import list_scans
from tagger.store.lot.lot_file import read_lot
from tagger.store.machine.paths import LotPlace

SHOWN = 5  # sittings in the text


def _arguments(parser: argparse.ArgumentParser) -> None:
    lot_arguments(parser)
    json_argument(parser)


def _run(given: argparse.Namespace) -> int:
    place = find_lot(given)
    lot, scans = look_at(place)
    counts = lot.counts()
    answer = {
        "lot": place.name,
        "cards": counts.cards,
        "tagged": counts.tagged,
        "set_aside": counts.set_aside,
        "untagged": counts.untagged,
        "position": min(lot.desk.position, max(1, counts.cards)),
        "scans": scans,
        "checklists": list(lot.checklists),
        "sittings": [_document(sitting) for sitting in lot.sittings if sitting.worth_telling],
    }
    if given.json:
        print_json(answer)
        return DONE
    out(f"{place.name}: {counts.cards} cards from {scans} scans")
    out(f"  {counts.tagged} tagged, {counts.set_aside} set aside, {counts.untagged} untagged")
    out(f"  work goes on at card {answer['position']}")
    for path in lot.checklists:
        out(f"  checklist {path}")
    sittings = [sitting for sitting in lot.sittings if sitting.worth_telling]
    if len(sittings) > SHOWN:
        out(f"  {len(sittings) - SHOWN} earlier sittings; --json has them all")
    for sitting in sittings[-SHOWN:]:
        out(f"  sitting of {_date(sitting).replace('T', ' ')[:16]}: {sitting.told()}")
    return DONE


def _date(sitting: Sitting) -> str:
    """When it began, in local time, as ISO 8601 has it: `2026-03-08T09:41+01:00`."""
    return datetime.fromtimestamp(sitting.at).astimezone().isoformat(timespec="minutes")


def _document(sitting: Sitting) -> dict[str, object]:
    return {"date": _date(sitting), "cards": sitting.cards, "minutes": sitting.minutes, "keys": sitting.keys}


def look_at(place: LotPlace) -> tuple[LotState, int]:
    """A lot as it would open now, and how many scans its folder holds. Nothing is written."""
    lot = read_lot(place.home)
    scans = list_scans(place.folder, lot.arrangement.mending.joined).scans
    if lot.cards or lot.arrangement.mending.left_out:
        arrangement, next_id = later_intake(lot.arrangement, lot.marks, scans, lot.next_id)
    else:
        arrangement, next_id = first_intake(scans)
    if arrangement != lot.arrangement:
        lot.rearrange(arrangement, next_id)
    return lot, len(scans)


COMMAND = Command(
    "status",
    "say how far a lot is",
    ("tagger status scans/box12", "tagger status scans/box12 --json"),
    _arguments,
    _run,
)
