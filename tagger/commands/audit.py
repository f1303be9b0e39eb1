"""`tagger audit`: what the feeder got wrong in a lot. Nothing is written but the cache of what was measured."""

from __future__ import annotations

import argparse
import sys

from tagger.commands.common import DONE, EYE, Command, find_lot, json_argument, lot_arguments, out, print_json
from tagger.commands.status import look_at
from tagger.core.audit import Lot, audit
from tagger.core.audit_words import Finding
from tagger.core.measured import Measured
from tagger.errors import LotError, UsageError
from tagger.imaging.folder import list_scans
from tagger.imaging.survey import survey
from tagger.store.measured_cache import MeasuredCache
from tagger.store.places import LotPlace, measured_folder

SHOWN = 64  # scans after which the count on a terminal is drawn afresh


def _arguments(parser: argparse.ArgumentParser) -> None:
    lot_arguments(parser)
    parser.add_argument("--cards", metavar="N", type=int, help="how many cards were fed, if you counted them")
    json_argument(parser)


def _run(given: argparse.Namespace) -> int:
    if given.cards is not None and given.cards < 0:
        raise UsageError("--cards takes a number of cards, 0 or more.")
    place = find_lot(given)
    lot, findings = audit_lot(place, given.cards)
    if given.json:
        told = [
            {"kind": f.kind, "scans": list(f.scans), "position": f.position, "detail": f.detail, "remedy": f.remedy}
            for f in findings
        ]
        print_json({"scans": len(lot.scans), "cards": len(lot.pairs), "findings": told})
    else:
        out(f"{place.name}: {len(lot.pairs)} cards from {len(lot.scans)} scans, {_count(len(findings))}")
        for finding in findings:
            out(f"  card {finding.position}, {finding.kind}: {finding.detail}.")
            out(f"    {finding.remedy}")
    return EYE if findings else DONE


def _count(findings: int) -> str:
    return "nothing found wrong" if not findings else f"{findings} finding{'s' * (findings > 1)}"


def audit_lot(place: LotPlace, expected: int | None) -> tuple[Lot, list[Finding]]:
    """A lot as it would open now, and what is found in it. Raises LotError where it has no scans."""
    from tagger.imaging.orientation import tell_ways
    from tagger.imaging.sameness import alike_band

    state, _ = look_at(place)
    lot = Lot(state.arrangement.pairs, state.arrangement.sides, list_scans(place.folder).scans)
    if not lot.pairs:
        raise LotError(f"{place.name} holds no scans (JPEG, PNG, TIFF, WebP or BMP).")
    measured = _measured(place, list(lot.places()))
    return lot, audit(lot, measured.__getitem__, alike_band, tell_ways, expected)


def _measured(place: LotPlace, scans: list[str]) -> dict[str, Measured]:
    """What was measured on each scan, now or before."""
    cache = MeasuredCache(measured_folder(), place.folder)
    known = {scan: kept for scan in scans if (kept := cache.get(scan)) is not None}
    todo = [scan for scan in scans if scan not in known]
    try:
        for count, (scan, found) in enumerate(survey(place.folder, todo), start=1):
            known[scan] = found
            cache.put(scan, found)
            if sys.stderr.isatty() and (count % SHOWN == 0 or count == len(todo)):
                print(f"\r{count} of {len(todo)} scans measured", end="\n" * (count == len(todo)), file=sys.stderr)
    finally:
        cache.keep()
    return known


COMMAND = Command(
    "audit",
    "say what the feeder got wrong in a lot",
    ("tagger audit scans/box12", "tagger audit scans/box12 --cards 412", "tagger audit scans/box12 --json"),
    _arguments,
    _run,
)
