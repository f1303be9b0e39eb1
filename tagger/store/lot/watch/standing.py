"""How far a lot is, told without its tags: two files of a lot that are both older, or both another
lot's, cannot be told from the files themselves."""

from __future__ import annotations

from typing import NamedTuple


class Standing(NamedTuple):
    """A lot's journal, by its identity, and how many lines it has; empty where none is known."""

    journal: str
    lines: int


NOWHERE = Standing("", 0)


def went_back(last: Standing, now: Standing) -> str:
    """What it means that a lot that stood there stands here now, as a clause; empty where it only
    went on."""
    if not (last.journal and now.journal):
        return ""
    if last.journal != now.journal:
        return (
            "the tags are another lot's than when this folder was open here last (were lot.json "
            "and lot.journal replaced?)"
        )
    if now.lines < last.lines:
        return (
            "the lot is older than when it was open here last, and what was done since is missing "
            "(was it restored from an older copy?)"
        )
    return ""
