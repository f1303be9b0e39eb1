"""The lot's checklists: read behind the first card, and what a hint means while they are."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Any, Protocol

from textual.message import Message
from textual.screen import Screen

from tagger.core.session.proposal import Deed, Proposal

if TYPE_CHECKING:  # loaded with the checklists, when the first card is on the screen
    from tagger.core.checklist.oddities import Problem
    from tagger.core.index.index import Indexed
    from tagger.core.matching.matcher import Matcher
    from tagger.core.session.seen import Seen
    from tagger.core.session.session import Session

# Reads all checklists; gives what there is meanwhile to its argument.
ReadLists = Callable[[Callable[["Indexed"], None]], "Indexed"]


class ShownReading(Protocol):
    """How a list was read, in a few printable lines."""

    @property
    def lines(self) -> tuple[str, ...]:
        """At most six."""


class ListAsker(Protocol):
    """Knows which lists nobody has looked at yet."""

    def of(
        self, checklists: Sequence[str], problems: Sequence[Problem]
    ) -> tuple[Sequence[ShownReading], Sequence[Problem]]:
        """What there is to ask of some lists; and of the `problems` that were found in them those
        of lists that nobody has looked at. Reads files."""

    def seen(self, summary: Any) -> None:
        """One of these was looked at."""


class ListsAsked(Message):
    """There are lists that nobody has looked at yet, or something to be told of the lists."""

    def __init__(self, readings: Sequence[ShownReading], told: str) -> None:
        super().__init__()
        self.readings = readings
        self.told = told


class ChecklistsRead(Message):
    """The lot's checklists are indexed, all or so far."""

    def __init__(self, matcher: Matcher, lists: Indexed) -> None:
        super().__init__()
        self.matcher = matcher
        self.lists = lists


class ChecklistReader:
    """Reads the checklists once; `screen` gets ChecklistsRead. `ready`: all of them are read."""

    def __init__(
        self,
        screen: Screen[None],
        session: Session,
        read: ReadLists,
        asker: Callable[[], ListAsker] | None = None,
    ) -> None:
        self._screen, self._session, self._read = screen, session, read
        self._make_asker = asker
        self.asker: ListAsker | None = None
        self._begun = False
        self._lists: Indexed | None = None
        self.ready = False

    def begin(self) -> None:
        """Read them in the background: when the first card is on the screen, or a key waits."""
        # Not before: two threads share one interpreter, and the first card would wait for a long
        # list.
        if not self._begun:
            self._begun = True
            self._screen.call_after_refresh(
                self._screen.run_worker, self._read_all, thread=True, exit_on_error=False
            )

    def _read_all(self) -> None:
        lists, checklists = self._read(self._told), self._session.view.checklists
        self._told(lists)
        readings: Sequence[ShownReading] = ()
        problems: Sequence[Problem] = lists.problems
        if self._make_asker is not None and checklists:
            self.asker = self._make_asker()
            readings, problems = self.asker.of(checklists, problems)
        if readings or problems:
            self._screen.post_message(ListsAsked(readings, _told_of(problems)))

    def _told(self, lists: Indexed) -> None:
        """Called from the reading thread."""
        from tagger.core.matching.matcher import Matcher

        self._screen.post_message(ChecklistsRead(Matcher(lists.index, self._session.scale), lists))

    def came(self, message: ChecklistsRead) -> None:
        """Hints mean what was read so far from now on."""
        self._session.candidates.matcher, self._lists = message.matcher, message.lists
        self.ready = message.lists.whole

    def proposal(self, hint: str, choice: int, seen: Seen | None) -> Proposal:
        """What Enter would do with a hint: nothing before all lists are read, since a better
        reading may still come. `seen`: what was seen of the card in front."""
        if self.ready:
            return self._session.proposals.of(hint, choice, seen)
        # Nothing is read yet, or only empty lists: there is nothing that a hint could mean.
        lists = self._lists
        if lists is None or not len(lists.index):
            return Proposal(Deed.WAIT, why="The checklists are still being read.")
        so_far = self._session.proposals.of(hint, choice, seen)
        return replace(
            so_far, deed=Deed.WAIT, why=f"checklists still being read: {lists.files} of {lists.of}"
        )


def _told_of(problems: Sequence[Problem]) -> str:
    """The first problem, and how many there are."""
    if not problems:
        return ""
    first = problems[0]
    told = first.sentence() if first.line else first.problem
    if len(problems) == 1:
        return told
    return f"{len(problems)} problems (tagger checklist FILE lists them); {told}"
