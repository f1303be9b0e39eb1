"""Going through what the feeder got wrong, one finding at a time; and mending a card by a few
words."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from textual import events

from tagger.core.audit.findings import Finding, position_of
from tagger.core.fixes.display import Dismiss
from tagger.core.fixes.parser import read_fix
from tagger.core.session.fixer import Fixer
from tagger.core.session.replaced_answers import ANSWERS, same_card
from tagger.errors import Refused, TaggerError
from tagger.ui.bottom_lines import hint, keys_among
from tagger.ui.desk.modes.findings_panel import OTHER, findings_panel
from tagger.ui.desk.panel import HINT
from tagger.ui.keys import Action, KeyHint
from tagger.ui.modes import Mode

if TYPE_CHECKING:
    from tagger.core.model.arrangement import Card
    from tagger.ui.desk.parts import DeskParts

SPLITTING = "Splitting the sheet; its cards appear by themselves."
STEPS = {Action.READING_DOWN: 1, Action.READING_UP: -1}
# Looking closer belongs to going through them, and so does the help about them; whatever else is
# pressed is for the card in front.
STAYS = frozenset(
    (Action.FLIP, Action.LOOK, Action.LOUPE_LEFT, Action.LOUPE_RIGHT, Action.LOUPE_UP,
     Action.LOUPE_DOWN, Action.LOUPE_IN, Action.LOUPE_OUT, Action.LOUPE_SIDE, Action.LOUPE_NAME,
     Action.LOUPE_NUMBER, Action.LOUPE_CORNER, Action.REDRAW, Action.CENTERING, Action.HELP)
)  # fmt: skip


def fix_by_words(parts: DeskParts, words: str) -> str:
    """Put the card in front right as the words say. Raises Refused."""
    session, fixer = parts.session, Fixer(parts.session)
    here = min(session.view.cursor.position, session.view.cards)
    wanted = read_fix(words, here, session.view.arrangement, fixer.set_of)
    if wanted.join:
        # The scans of another folder are read with the lot: what is open does not have them.
        # short enough for the message line of the smallest screen
        raise Refused("Leave the lot first; then run: tagger fix FOLDER join OTHER")
    if wanted.answer:
        return ANSWERS[wanted.answer](session, wanted.positions)
    if wanted.split is not None:
        parts.background.split(wanted.split)
        return SPLITTING
    said = fixer.mend(wanted.fixes)
    parts.background.changed()
    return said


class FindingsMode(Mode[Action]):
    """The finding beside its card, from the card in front on and back to it."""

    topic = "scans"

    def __init__(self, parts: DeskParts) -> None:
        self._parts = parts
        self._session, self._findings = parts.session, parts.findings
        self._fixer = Fixer(parts.session)
        # Going through them is a detour: the dealer goes on where he was.
        self._findings.back = self._session.view.cursor.position

    @property
    def keys_here(self) -> Sequence[KeyHint]:
        """The keys of the list."""
        return self._findings.keys

    def on_key(self, event: events.Key, action: Action | None) -> bool:
        """Do what a key does among the findings. Any other key leaves them and does its own work at
        this card."""
        if action in STAYS:
            return False
        if action is Action.FINDINGS and not self._parts.hint.text:
            self._go_back()
        elif action is Action.TAKE:
            self._deal_with(self._remedy)
        elif event.key == "delete":
            self._deal_with(self._accept)
        elif event.key == OTHER and self._asks_which() and not self._parts.hint.text:
            self._deal_with(self._other)
        elif action in (Action.UNDO, Action.REDO):
            self._parts.actions.run(action)
            # What was mended by mistake is found again.
            self._parts.background.changed()
            # A question that is there again is asked before its card, and no other one before it.
            self._parts.ask()
            self._findings.look_at(self._session.view.cursor.position)
            self.go_to_finding()
        elif action in STEPS:
            self._findings.step(STEPS[action])
            self.go_to_finding()
        else:
            self._close()
            return False
        return True

    def _close(self) -> None:
        self._findings.back = None
        self._parts.modes.close(self)

    def _go_back(self) -> None:
        back = self._findings.back or 1
        self._close()
        self._session.go(min(back, self._session.view.cards + 1))
        self._parts.message.say("")

    def go_to_finding(self) -> None:
        """Stand at the card of the finding that is looked at."""
        finding = self._findings.here
        if finding is not None and self._session.view.cards:
            self._session.go(position_of(finding, self._session.view.arrangement))

    def _deal_with(self, deed: Callable[[Finding], str]) -> None:
        parts, finding = self._parts, self._findings.here
        if finding is None:
            back = parts.keys.shown(Action.FINDINGS)
            parts.message.say(f"No problems left; {back} returns.", alarm=True)
            return
        try:
            said = deed(finding)
        except TaggerError as error:
            parts.message.say(error.message, alarm=True)
            return
        parts.message.say(said)
        self._findings.done()
        parts.background.changed()
        self.go_to_finding()

    def _remedy(self, finding: Finding) -> str:
        if finding.split:
            self._parts.background.split(position_of(finding, self._session.view.arrangement))
            return SPLITTING
        # A scan that is left out moves all cards behind it, the one to go back to as well.
        before = self._came_from()
        said = self._fixer.remedy(finding)
        if before is not None:
            self._findings.back = self._place_now(before) or self._findings.back
        return said

    def _asks_which(self) -> bool:
        """Whether the finding may be one of two things."""
        finding = self._findings.here
        return finding is not None and finding.other is not None

    def _other(self, finding: Finding) -> str:
        """Do what the other reading of a question asks for."""
        return self._remedy(finding.as_other())

    def _came_from(self) -> Card | None:
        back = self._findings.back
        if back is None or back > self._session.view.cards:
            return None
        return self._session.view.card_at(back)

    def _place_now(self, card: Card) -> int | None:
        """Where a card that may have moved stands, by its scans; None where none is in the lot."""
        arrangement = self._session.view.arrangement
        places = (arrangement.position_with(scan) for scan in (card.front, card.back) if scan)
        return min((place for place in places if place is not None), default=None)

    def _accept(self, finding: Finding) -> str:
        if finding.replaced:
            at = position_of(finding, self._session.view.arrangement)
            return same_card(self._session, [at])
        # Kept with the lot like a mend: the next audit does not ask again, and undo asks anew.
        what = f"card {finding.position}, {finding.kind}"
        return self._fixer.mend([Dismiss(finding.key, what)])

    def draw(self) -> None:
        """The frame, and the finding in the panel."""
        parts, width = self._parts, self._parts.size.width
        parts.draw_frame(
            hint(parts.hint.line, width, HINT),
            keys_among(self._findings.keys, parts.keys, width),
        )
        arrangement = self._session.view.arrangement
        parts.draw_panel(findings_panel(self._findings, arrangement, parts.keys, *parts.panel_room))
