"""What is left of a lot, counted."""

from __future__ import annotations

from pathlib import Path

from support.at_work import opened, take

from tagger.core.session.left_over import LeftOver, left_over


def test_what_is_left_is_counted_until_it_is_done(tmp_path: Path) -> None:
    session = opened(tmp_path)
    take(session, "set=87 1")
    session.set_aside("torn")
    session.take_unlisted("set=87 900 nobody")
    assert left_over(session.view) == LeftOver(untagged=3, set_aside=1, unlisted=1)
    assert "3 still untagged" in _at_the_end(session)
    for hint in ("set=87 #2", "set=87 #3", "set=87 #4"):
        session.go(session.view.counts().tagged + 2)
        take(session, hint)
    assert "1 still set aside; Ctrl+V goes to the first card to review" in _at_the_end(session)
    session.go(2)
    take(session, "set=87 #5")
    session.review.next()
    session.accept("")  # the unlisted card is confirmed
    assert left_over(session.view) == LeftOver()
    assert _at_the_end(session) == "End of the lot: every card is done."
    session.close()


def _at_the_end(session) -> str:
    session.go(session.view.cards + 1)
    return session.proposals.of("").why
