"""A place or a note that was typed before is only begun the next time."""

from __future__ import annotations

import pytest

from tagger.core.matching.ending import ending
from tagger.core.model.tags import Tags

BEFORE = [Tags(place="box 3, row 1", note="crease"), Tags(place="Box 2"), Tags(note="a = b")]


@pytest.mark.parametrize(
    ("hint", "left"),
    [
        ("at=b", "ox 3, row 1"),  # the first of them, which was typed last
        ("23 ex at=box 2", ""),
        ("at=BOX ", "3, row 1"),
        ("note=soft at=", "box 3, row 1"),
        ("not=c", "rease"),
        ("at=box 3, row 1", ""),
        ("at=box price=3", ""),  # what is open is no place any more
        ("not=a", ""),
        ("box", ""),
        ("no=c", ""),
    ],
)
def test_what_was_begun_goes_on_as_it_did_before(hint: str, left: str) -> None:
    whole, adds = ending(hint, Tags(), BEFORE)
    assert adds == left
    assert whole.casefold() == (hint + left).casefold() or not left


def test_it_is_written_as_it_was_then() -> None:
    assert ending("23 at=bOX ", Tags(), BEFORE[1:]) == ("23 at=Box 2", "2")


def test_what_the_card_has_already_is_not_offered() -> None:
    assert ending("at=b", Tags(place="box 3, row 1"), BEFORE) == ("at=Box 2", "ox 2")
