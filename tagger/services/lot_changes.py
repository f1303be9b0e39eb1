"""Changes of several lots that are held, all or none."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from tagger.errors import LotError, NotSaved, Refused

if TYPE_CHECKING:
    from tagger.core.lot.carried import Cursor
    from tagger.core.model.arrangement import Arrangement
    from tagger.core.model.tags import Marking
    from tagger.core.session.session import Session
    from tagger.store.machine.paths import LotPlace


@dataclass(frozen=True)
class LotChange:
    """What is to change in one lot, as one step that undo takes back; `after` is what is carried
    from then on, None for what is carried now; `arranged` gives the new arrangement, None for the
    same."""

    place: LotPlace
    label: str
    marks: Sequence[Marking]
    after: Cursor | None = None
    # of the lot as it is when it is changed: scans may have come since it was read
    arranged: Callable[[Arrangement], Arrangement | None] | None = None


def enter_held(every: Sequence[tuple[LotChange, Session]]) -> Sequence[Session]:
    """Change several lots that are held, all or none, and give those that were changed; see
    `enter_all`."""
    for one, session in every:
        check_unchanged(one, session)
    done: list[Session] = []
    try:
        for one, session in every:
            arrangement = one.arranged and one.arranged(session.view.arrangement)
            session.enter(one.label, one.marks, one.after, arrangement)
            done.append(session)
    except NotSaved:
        undo_all(done)
        raise
    return done


def undo_all(done: Sequence[Session]) -> None:
    """Undo the last step of each, the last one first."""
    for session in reversed(done):
        session.undo()


def check_unchanged(one: LotChange, session: Session) -> None:
    """Raises LotError where another program holds the lot, Refused where it was changed since."""
    if session.looking:
        raise LotError(f"Nothing was changed: {one.place.name} is {session.looking}.")
    if any(session.view.mark(marking.id) != marking.before for marking in one.marks):
        raise Refused(
            f"{one.place.name} was changed in the meantime; nothing was changed. Try again."
        )
