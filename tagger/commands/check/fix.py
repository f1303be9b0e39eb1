"""`tagger fix`: corrects what the scanner got wrong, as a note kept with the lot; no scan is
touched."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from typing import TYPE_CHECKING

from tagger.commands.arguments import options
from tagger.commands.common import Command, attention_if, find_lot, lot_arguments
from tagger.config import load_settings
from tagger.core.audit.findings import Finding, position_of
from tagger.core.audit.replaced_findings import WHICH
from tagger.core.fixes.parser import WORDS, read_fix
from tagger.core.fixes.scans import Split
from tagger.core.model.counted import counted
from tagger.core.session.fixer import Fixed, Fixer
from tagger.core.session.replaced_answers import ANSWERS
from tagger.errors import DONE, NoScans, Refused, UsageError
from tagger.imaging.scan.folder import list_scans
from tagger.services.console import out
from tagger.services.joining import joined_lot
from tagger.services.lot_audit import LotAudit
from tagger.services.opening import change
from tagger.services.scans.sheets import sheet_parts
from tagger.store.machine.paths import LotPlace, config_file

if TYPE_CHECKING:
    from tagger.core.session.session import Session

CHECK = "Check that each back belongs to its front."


def _arguments(parser: argparse.ArgumentParser) -> None:
    lot_arguments(parser)
    parser.add_argument(
        "words",
        metavar="WORDS",
        nargs="*",
        help="the card's position and the fix: "
        + "; ".join(f"'{words}'" for words, _ in WORDS)
        + "; 'undo'",
    )
    said = "fix problem N of tagger audit; give it as often as you need"
    options.number(parser, "--finding", "N", said, action="append", default=[])
    options.flag(parser, "--findings", "apply every fix that is certain")
    options.flag(parser, "--other", "with --finding: fix the other thing that it may be")
    options.number(parser, "--cards", "N", "how many cards you fed: more is certain then")


def _run(given: argparse.Namespace) -> int:
    if bool(given.words) + bool(given.finding) + given.findings != 1:
        raise UsageError("Name a fix, or --finding N, or --findings: one of the three.")
    if given.other and not given.finding:
        raise UsageError("--other goes with --finding N.")
    if given.cards is not None and given.cards < 0:
        raise UsageError("--cards takes a number of cards, 0 or more.")
    place = find_lot(given)
    with change(place, load_settings(config_file())) as session:
        if not session.view.cards:
            raise NoScans(place.name)
        if given.words:
            out(_fix(session, place, " ".join(given.words)))
            return DONE
        return _fix_findings(session, place, given)


def _fix(session: Session, place: LotPlace, words: str) -> str:
    if words.casefold() in ("undo", "redo"):
        return session.undo() if words.casefold() == "undo" else session.redo()
    view, mender = session.view, Fixer(session)
    # The cursor stands behind the last card when all are done, and nothing is there to mend.
    here = min(view.cursor.position, view.cards)
    wanted = read_fix(words, here, view.arrangement, mender.set_of)
    if wanted.join:
        said = mender.mend([joined_lot(place, wanted.join)])
        session.take_in(list_scans(place.folder, view.arrangement.mending.joined).scans)
        return said
    if wanted.answer:
        return ANSWERS[wanted.answer](session, wanted.positions)
    if wanted.split is not None:
        return split(mender, place, session, wanted.split)
    return mender.mend(wanted.fixes)


def split(mender: Fixer, place: LotPlace, session: Session, position: int) -> str:
    """Split the sheet of the card at a position. Raises Refused, PictureError."""
    card = session.view.card_at(position)
    if card.front is None:
        raise Refused(f"Card {position} has no front to split.")
    parts, ask = sheet_parts(place.folder, card.front, card.back)
    said = mender.mend([Split(position, parts)])
    return f"{said} {CHECK}" if ask else said


def _fix_findings(session: Session, place: LotPlace, given: argparse.Namespace) -> int:
    """Fix findings by their numbers, or all that are certain; what is left is told."""
    audit = LotAudit(place, given.cards)
    found = audit.judged(session.view.arrangement)
    if given.finding:
        chosen = _numbered(found, given.finding)
        left = _fix_chosen(session, place, _other(chosen) if given.other else chosen)
    else:
        left = _fix_certain(session, audit)
    if left:
        need = counted(left, "problem needs", "problems need")
        out(f"{need} a check: tagger audit FOLDER lists them.")
    return attention_if(left)


def _fix_certain(session: Session, audit: LotAudit) -> int:
    """Fix all that is certain as one change; how many findings are left."""
    mender = Fixer(session)
    fixed = mender.begin()
    tried = set[str]()
    found = audit.judged(fixed.arrangement)
    # Judged again after each round: what was fixed may make certain what was in doubt, or tell
    # that something else was wrong.
    while wanted := [one for one in found if one.certain and one.key not in tried]:
        tried.update(one.key for one in wanted)
        fixed, _ = _with_all(fixed, wanted)
        found = audit.judged(fixed.arrangement)
    if fixed.labels:
        mender.enter(fixed)
    return len(found)


def _fix_chosen(session: Session, place: LotPlace, wanted: Sequence[Finding]) -> int:
    """Fix these findings, those that have fixes as one change; how many could not be fixed."""
    mender = Fixer(session)
    fixed, left = _with_all(mender.begin(), [one for one in wanted if one.fixes])
    if fixed.labels:
        mender.enter(fixed)
    for finding in wanted:
        if finding.fixes:
            continue
        try:
            out(_remedy(mender, place, session, finding))
        except Refused as error:
            left += 1
            out(_not_fixed(finding, error))
    return left


def _with_all(fixed: Fixed, findings: Sequence[Finding]) -> tuple[Fixed, int]:
    """The lot with these findings fixed, and how many of them could not be."""
    refused = 0
    for finding in findings:
        before = len(fixed.labels)
        try:
            fixed = fixed.then(finding.fixes)
            out(fixed.said(before))
        except Refused as error:
            # One fix may move the cards of the next, which then is no longer what it was.
            refused += 1
            out(_not_fixed(finding, error))
    return fixed, refused


def _not_fixed(finding: Finding, error: Refused) -> str:
    return f"Not fixed: card {finding.position}, {finding.kind}: {error.message}"


def _numbered(findings: Sequence[Finding], numbers: Sequence[int]) -> list[Finding]:
    if not all(1 <= number <= len(findings) for number in numbers):
        raise UsageError(
            f"tagger audit finds {counted(len(findings), 'problem')}; give the number of one."
        )
    return [findings[number - 1] for number in numbers]


def _other(findings: Sequence[Finding]) -> list[Finding]:
    """The other readings of these findings."""
    if not all(finding.other for finding in findings):
        raise UsageError("This problem has no other reading; leave out --other.")
    return [finding.as_other() for finding in findings]


def _remedy(mender: Fixer, place: LotPlace, session: Session, finding: Finding) -> str:
    if finding.replaced:
        # either answer is right for some card, and a number names none of them
        raise Refused(WHICH.format(at=finding.position))
    if finding.split:
        # Looked up anew: a mend before this one may have moved the card.
        return split(mender, place, session, position_of(finding, session.view.arrangement))
    return mender.remedy(finding)


HELP = "fix what the scanner got wrong, without touching a scan"
EXAMPLES = (
    "tagger fix scans/box12 40 missing back",
    "tagger fix scans/box12 90 turn back 180 on",
    "tagger fix scans/box12 --finding 1",
    "tagger fix scans/box12 undo",
)
COMMAND = Command("fix", HELP, EXAMPLES, _arguments, _run)
