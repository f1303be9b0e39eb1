"""The mode that is always there: keys do what they are for, all else is typed into the hint."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.text import Text
from textual import events

from tagger.core.model.tags import Tags
from tagger.core.model.text import printable
from tagger.core.session.proposal import Deed
from tagger.ui.bottom_lines import hint
from tagger.ui.desk import panel, status_lines
from tagger.ui.desk.modes.end_lines import end_lines
from tagger.ui.desk.modes.unlisted_lines import panel_with_unlisted
from tagger.ui.desk.welcome import Welcome, welcome_lines
from tagger.ui.keys import Action, edits_typed
from tagger.ui.modes import Mode

if TYPE_CHECKING:
    from tagger.ui.desk.parts import DeskParts


class Tagging(Mode[Action]):
    """The card in front, and what Enter would do with the hint."""

    topic = "hints"

    def __init__(self, parts: DeskParts, welcome: Welcome) -> None:
        self._parts, self._welcome = parts, welcome
        if begun := parts.unfinished.begun():
            parts.hint.type(begun)
            said = f"What you typed for this card is here again. {parts.message.text}"
            parts.message.say(said.rstrip())

    def on_key(self, event: events.Key, action: Action | None) -> bool:
        """Every key ends here."""
        parts = self._parts
        if action is not None:
            parts.actions.run(action)
        elif event.key == "right" and (whole := self._ending()[0]):
            parts.hint.clear()
            self.on_text(whole)
        elif self._edited(event.key):
            pass
        elif event.character is not None and event.is_printable:
            self.on_text(event.character)
        elif event.key == "ctrl+c":
            # A habit from other programs that must not end an afternoon's work.
            leave = parts.keys.shown(Action.LEAVE)
            parts.message.say(f"{leave} leaves. Everything is saved already.")
        return True

    def _edited(self, key: str) -> bool:
        """Whether a key edits the hint; what was said of the words before goes with them."""
        was = self._parts.hint.text
        edited = self._parts.hint.edit(key)
        if self._parts.hint.text != was:
            self._parts.message.say("")
        return edited

    def on_text(self, text: str) -> bool:
        """Typing goes into the hint; the message was read by then."""
        self._parts.hint.type(text)
        self._parts.message.say("")
        return True

    def _ending(self) -> tuple[str, str]:
        """The hint with the place or note that it ends with as it was typed last, and what that
        adds."""
        line, view = self._parts.hint.line, self._parts.session.view
        if "=" not in line.text or line.cursor < len(line.text):
            return "", ""
        from tagger.core.matching.ending import ending  # late, as all that reads hints

        now = view.card.mark.tags if view.card is not None else Tags()
        before = (view.mark(pair.id).tags for pair in reversed(view.arrangement.pairs))
        return ending(line.text, now, before)

    @property
    def undisturbed(self) -> bool:
        """Whether nothing is typed, and no other card than the first is chosen."""
        return not (self._parts.hint.text or self._parts.hint.choice)

    def meant(self, key: str, action: Action | None) -> Action | None:
        """The key of "same again" is a sign as well: it is typed where the hint before it says
        nothing of the card before. And what edits the hint does so where there is one."""
        line, session = self._parts.hint.line, self._parts.session
        if action is Action.PROOFS and not self._may_proof():
            return None
        if line.text and edits_typed(key, action):
            return None
        if action is not Action.AGAIN or not line.text:
            return action
        at_end = line.cursor == len(line.text)
        return action if at_end and session.candidates.is_copy(line.text) else None

    def _may_proof(self) -> bool:
        """Whether the key of the page of proofs is more than a sign: where cards are read, it opens
        the page with nothing typed, and closes it."""
        parts = self._parts
        if parts.modes.front is self:
            return parts.reading.readings is not None and not parts.hint.text
        return parts.modes.front.css == "-proofs"

    def keep_hint(self) -> None:
        """The line may drop at any time: what is typed for a card is there again then."""
        # While something else is in front, its own words may stand in the line.
        if self._parts.modes.front is self:
            self._parts.unfinished.note(self._parts.hint.text)
        self._parts.unfinished.keep()

    def draw(self) -> None:
        """The frame, and the panel with what Enter would do."""
        parts, entry, width = self._parts, self._parts.hint, self._parts.size.width
        proposal = parts.proposal()
        parts.unfinished.note(entry.text)
        parts.draw_frame(
            hint(entry.line, width, panel.HINT, ending=printable(self._ending()[1])),
            status_lines.key_line(parts.session, proposal, entry.text, parts.keys, width),
        )
        room = parts.panel_room
        lines: list[Text]
        if self._welcome.shown:
            lines = welcome_lines(parts.keys, room[0])
        elif parts.session.view.at_end and proposal.deed is Deed.NOTHING:
            problems = len(parts.findings.left)
            lines = end_lines(
                parts.session, proposal.why, problems, parts.export, parts.keys, *room
            )
        else:
            lines = panel_with_unlisted(parts.session, proposal, parts.keys, *room)
        parts.draw_panel(lines)
