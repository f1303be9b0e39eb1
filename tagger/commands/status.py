"""`tagger status`: how far a lot is."""

from __future__ import annotations

import argparse
from datetime import datetime

from tagger.commands.common import DONE, Command, find_lot, json_argument, lot_arguments
from tagger.core.lot.sitting import Sitting
from tagger.services.console import out, print_json
from tagger.services.opening import look

SHOWN = 5  # sittings in the text


def _arguments(parser: argparse.ArgumentParser) -> None:
    lot_arguments(parser)
    json_argument(parser)


def _run(given: argparse.Namespace) -> int:
    place = find_lot(given)
    lot, folder = look(place)
    counts = lot.counts()
    answer = {
        "lot": place.name,
        "cards": counts.cards,
        "tagged": counts.tagged,
        "set_aside": counts.set_aside,
        "untagged": counts.untagged,
        "position": min(lot.cursor.position, max(1, counts.cards)),
        "scans": len(folder.scans),
        "checklists": list(lot.checklists),
        "sittings": [_document(sitting) for sitting in lot.sittings if sitting.worth_telling],
    }
    if given.json:
        print_json(answer)
        return DONE
    out(f"{place.name}: {counts.cards} cards from {len(folder.scans)} scans")
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
    return {
        "date": _date(sitting),
        "cards": sitting.cards,
        "minutes": sitting.minutes,
        "keys": sitting.keys,
    }


COMMAND = Command(
    "status",
    "say how far a lot is",
    ("tagger status scans/box12", "tagger status scans/box12 --json"),
    _arguments,
    _run,
)
