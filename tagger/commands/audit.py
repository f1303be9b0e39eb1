"""`tagger audit`: what the feeder got wrong in a lot. Nothing is written but the cache of what was
measured."""

from __future__ import annotations

import argparse
import sys

from tagger.commands.common import DONE, EYE, Command, find_lot, json_argument, lot_arguments
from tagger.core.audit.audit import AuditedLot
from tagger.core.audit.findings import Finding
from tagger.errors import LotError, UsageError
from tagger.services.console import out, print_json
from tagger.services.measurements import Measurements, audited
from tagger.services.opening import look
from tagger.store.machine.paths import LotPlace, measured_folder

SHOWN = 64  # scans after which the count on a terminal is drawn afresh


def _arguments(parser: argparse.ArgumentParser) -> None:
    lot_arguments(parser)
    parser.add_argument(
        "--cards", metavar="N", type=int, help="how many cards were fed, if you counted them"
    )
    json_argument(parser)


def _run(given: argparse.Namespace) -> int:
    if given.cards is not None and given.cards < 0:
        raise UsageError("--cards takes a number of cards, 0 or more.")
    place = find_lot(given)
    lot, findings = audit_lot(place, given.cards)
    if given.json:
        told = [
            {
                "kind": f.kind,
                "scans": list(f.scans),
                "position": f.position,
                "detail": f.detail,
                "remedy": f.remedy,
            }
            for f in findings
        ]
        print_json({"scans": len(lot.scans), "cards": len(lot.pairs), "findings": told})
    else:
        out(
            f"{place.name}: {len(lot.pairs)} cards from {len(lot.scans)} scans, "
            f"{_count(len(findings))}"
        )
        for number, finding in enumerate(findings, start=1):
            out(f"  {number}. card {finding.position}, {finding.kind}: {finding.detail}.")
            out(f"     {finding.remedy}")
        if any(finding.by_key for finding in findings):
            out(
                "tagger mend FOLDER --finding N mends one of these, where a key can do it; F12 in "
                "the open lot as well."
            )
    return EYE if findings else DONE


def _count(findings: int) -> str:
    return "nothing found wrong" if not findings else f"{findings} finding{'s' * (findings > 1)}"


def audit_lot(place: LotPlace, expected: int | None) -> tuple[AuditedLot, list[Finding]]:
    """A lot as it would open now, and what is found in it. Raises LotError where it has no
    scans."""
    state, folder = look(place)
    arrangement = state.arrangement
    lot = AuditedLot(arrangement.pairs, arrangement.sides, folder.scans, arrangement.mending)
    if not lot.pairs:
        raise LotError(f"{place.name} holds no scans (JPEG, PNG, TIFF, WebP or BMP).")
    known = Measurements(place.folder, measured_folder())
    for count, of in known.measure(list(lot.places())):
        if sys.stderr.isatty() and (count % SHOWN == 0 or count == of):
            print(f"\r{count} of {of} scans measured", end="\n" * (count == of), file=sys.stderr)
    return lot, audited(lot, known.of(lot.places()), expected)


COMMAND = Command(
    "audit",
    "say what the feeder got wrong in a lot",
    (
        "tagger audit scans/box12",
        "tagger audit scans/box12 --cards 412",
        "tagger audit scans/box12 --json",
    ),
    _arguments,
    _run,
)
