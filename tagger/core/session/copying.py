"""The card before once more: the tags of a copy, as the hint changes them.

What reads hints is loaded late; see `Candidates.matcher`."""

from __future__ import annotations

from dataclasses import replace

from tagger.core.lot.view import LotView
from tagger.core.model.tags import Tags
from tagger.core.session.candidates import Candidates
from tagger.errors import Refused


def copied(view: LotView, candidates: Candidates, hint: str) -> tuple[Tags, bool]:
    """Tags of a copy of the tagged card before the one in front, and whether that was taken while
    unsure. Serial number, note and place are those of the copy. Raises Refused."""
    from tagger.core.matching.repeat_card import CopyChange, again, read_change

    before = view.before()
    if before is None:
        raise Refused("There is no tagged card before this one.")
    carried, parallels = view.cursor.carried, candidates.parallels_of(before.tags)
    said = read_change(hint, candidates.scale, before.tags, parallels) or CopyChange()
    tags = again(before.tags, said, parallels)
    # a note is of one copy, and the place goes on with the box
    return replace(tags, note=carried.get("note"), place=carried.get("place")), before.unsure


def is_copied(view: LotView, candidates: Candidates, hint: str) -> bool:
    """Whether `copied` takes the hint: all of it reads as condition or serial number of the card
    before."""
    before = view.before()
    if before is None or not hint.strip() or not candidates.ready:
        # what reads hints may just be loaded by another thread, which must not be met there
        return False
    from tagger.core.matching.repeat_card import read_change

    parallels = candidates.parallels_of(before.tags)
    return read_change(hint, candidates.scale, before.tags, parallels) is not None
