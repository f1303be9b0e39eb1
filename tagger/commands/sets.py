"""`tagger sets`: what is there of the sets of the checklists, what is missing, and what is
double."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from pathlib import Path

from tagger.commands.common import DONE, EYE, Command, json_argument
from tagger.commands.lot_selection import ChosenLots, folders_argument, write_csv
from tagger.core.model.tags import Mark
from tagger.core.model.text import printable
from tagger.core.reports.completion import Holdings, SetCount, Share, Want, sets_named, spans
from tagger.errors import LotError, UsageError
from tagger.services.console import out, print_json, tell
from tagger.store.checklists import checklist_files, read_indexed
from tagger.store.machine.paths import index_folder

LONGEST = 1900  # characters of a line of numbers


def _arguments(parser: argparse.ArgumentParser) -> None:
    folders_argument(parser)
    parser.add_argument(
        "--set", metavar="WORDS", default="", help="only the sets with these words, card by card"
    )
    parser.add_argument("--wants", action="store_true", help="list the cards that are missing")
    parser.add_argument(
        "--parallels", action="store_true", help="with --wants: the missing parallels as well"
    )
    parser.add_argument("--to", metavar="FILE.csv", type=Path, help="write the list into a file")
    json_argument(parser)


def _run(given: argparse.Namespace) -> int:
    if given.parallels and not given.wants:
        raise UsageError("--parallels goes with --wants.")
    lots = ChosenLots(given.folders)
    marks: list[Mark] = []
    lists: dict[str, None] = {}
    count = 0
    for _, lot in lots.read():
        marks.extend(lot.mark(pair.id) for pair in lot.arrangement.pairs)
        lists.update(dict.fromkeys(lot.checklists))
        count += 1
    if not count:
        raise LotError(
            " ".join(lots.skipped) or "No lot was opened on this machine yet: tagger open FOLDER."
        )
    if not lists:
        raise LotError(
            "No checklist is remembered with these lots: tagger open FOLDER --checklist FILE."
        )
    read = read_indexed([Path(path) for path in lists], index_folder())
    unread = [
        printable(f"{problem.file}: {problem.problem}")
        for problem in read.problems
        if problem.line == 0
    ]
    holdings = Holdings(read.index)
    holdings.add(marks)
    shown = sets_named(read.index, given.set) if given.set else holdings.begun()
    if given.set and not shown:
        raise UsageError(
            f"No set of the checklists has all of these words: {printable(given.set, 60)}."
        )
    counts = [holdings.count(set_id) for set_id in shown]
    wants = (
        [want for set_id in shown for want in holdings.wants(set_id, given.parallels)]
        if given.wants
        else []
    )
    without = 0 if given.set else len(read.index.sets) - len(shown)
    if given.to is not None:
        _write(
            given.to,
            counts,
            wants if given.wants else None,
            [*map(str, checklist_files(list(map(Path, lists))))],
        )
    if given.json:
        document: dict[str, object] = {
            "lots": count,
            "sets": [_document(each) for each in counts],
            "without_cards": without,
            "unlisted": holdings.unlisted,
            **({"wants": [want._asdict() for want in wants]} if given.wants else {}),
            "problems": unread,
            "skipped": lots.skipped,
        }
        print_json(document)
    else:
        _print(given, holdings, shown, counts, wants)
        if without:
            out(
                f"{without} more {'sets' if without > 1 else 'set'} of the checklists: no card is "
                "there."
            )
        if holdings.unlisted:
            out(
                f"{holdings.unlisted} tagged cards are in no checklist, or in a parallel that it "
                "does not have."
            )
        for sentence in (*unread, *lots.skipped):
            tell(sentence)
    return EYE if unread or lots.skipped else DONE


def _print(
    given: argparse.Namespace,
    holdings: Holdings,
    shown: Sequence[int],
    counts: Sequence[SetCount],
    wants: list[Want],
) -> None:
    if given.wants:
        for want in wants if given.to is None else ():
            team = f", {want.team}" if want.team else ""
            parallel = f", {want.parallel}" if want.parallel else ""
            out(f"{want.set}  #{want.number} {want.subject}{team}{parallel}")
        out(
            f"{len(wants)} {'card is' if len(wants) == 1 else 'cards are'} missing in "
            f"{len(counts)} sets."
        )
        return
    for set_id, each in zip(shown, counts, strict=True):
        out(f"{each.set}: {_said(each.base)}")
        for share in each.parallels:
            if share.have or given.set:
                out(f"  {share.parallel}{f' /{share.run}' if share.run else ''}: {_said(share)}")
        if given.set:
            _print_cards(holdings, set_id)


def _print_cards(holdings: Holdings, set_id: int) -> None:
    missing = spans([want.number or want.subject for want in holdings.wants(set_id)])
    if missing:
        cut = (
            missing
            if len(missing) <= LONGEST
            else missing[:LONGEST].rpartition(",")[0] + " … (--wants has all)"
        )
        out(f"  missing base cards: {cut}")
    for want, copies in holdings.doubles(set_id):
        out(f"  {copies} copies: #{want.number} {want.subject}, {want.parallel or 'base'}")


def _said(share: Share) -> str:
    doubles = f", {share.doubles} double" if share.doubles else ""
    return f"{share.have} of {share.cards} there, {share.percent} %{doubles}"


def _share(share: Share) -> dict[str, object]:
    return {
        "have": share.have,
        "cards": share.cards,
        "percent": share.percent,
        "doubles": share.doubles,
    }


def _document(each: SetCount) -> dict[str, object]:
    parallels = [
        {"parallel": share.parallel, "run": share.run, **_share(share)} for share in each.parallels
    ]
    return {"set": each.set, "copies": each.copies, **_share(each.base), "parallels": parallels}


def _write(
    target: Path, counts: Sequence[SetCount], wants: Sequence[Want] | None, kept: Sequence[str]
) -> None:
    if wants is not None:
        write_csv(target, Want._fields, wants, kept)
        return
    rows = [
        (
            each.set,
            share.parallel,
            share.run or "",
            share.have,
            share.cards,
            str(share.percent),
            share.doubles,
        )
        for each in counts
        for share in (each.base, *each.parallels)
    ]
    write_csv(target, ("set", "parallel", "run", "have", "cards", "percent", "doubles"), rows, kept)


COMMAND = Command(
    "sets",
    "say what is there of the sets of the checklists, what is missing, and what is double",
    (
        "tagger sets",
        'tagger sets scans/box12 --set "1987 harbor"',
        "tagger sets --wants --to wants.csv",
    ),
    _arguments,
    _run,
)
