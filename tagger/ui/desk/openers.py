"""The desk's actions that open a mode. Its module is loaded when it is opened first: the first card
is on the screen before."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from tagger.errors import Refused
from tagger.ui.desk.actions import Handler, Outcome, done
from tagger.ui.keys import Action

if TYPE_CHECKING:
    from tagger.ui.desk.looking import Looking
    from tagger.ui.desk.parts import DeskParts

SOON = 0.05  # seconds after which a page is tried again that was asked for too early


class Openers:
    """Each puts one mode before those that are open."""

    def __init__(self, parts: DeskParts, looking: Looking) -> None:
        self._parts, self._looking = parts, looking
        self.handlers: Mapping[Action, Handler] = {
            Action.HELP: self._help,
            Action.HISTORY: self._history,
            Action.FINDINGS: self._findings,
            Action.OVERVIEW: self._overview,
            Action.CHOOSE: self._choose,
            Action.LOOK: self._look,
            Action.PROOFS: self._proofs,
        }

    def _help(self) -> Outcome:
        from tagger.ui.desk.modes.help import HelpMode

        self._parts.modes.push(HelpMode(self._parts))
        return Outcome()

    def _history(self) -> Outcome:
        from tagger.ui.desk.modes.history import HistoryMode

        self._parts.modes.push(HistoryMode(self._parts))
        return Outcome()

    def _findings(self) -> Outcome:
        from tagger.ui.desk.modes.findings import FindingsMode, fix_by_words

        # With a hint the key means this card: who sees what is wrong need not look for it.
        if words := self._parts.hint.text.strip():
            return done(fix_by_words(self._parts, words))
        mode = FindingsMode(self._parts)
        self._parts.modes.push(mode)
        mode.go_to_finding()
        return done("")

    def _overview(self) -> Outcome:
        from tagger.ui.desk.modes.overview import OverviewMode

        self._parts.modes.push(OverviewMode(self._parts))
        return Outcome()

    def _proofs(self) -> Outcome:
        from tagger.ui.desk.modes.proofs import NotYet, ProofsMode

        parts = self._parts
        try:
            parts.modes.push(ProofsMode(parts))
        except NotYet as not_yet:
            pressed = parts.session.work.last
            parts.screen.set_timer(SOON, lambda: self._proofs_again(pressed))
            return done(not_yet.message)
        return done("")

    def _proofs_again(self, pressed: float) -> None:
        """Open the page that was asked for a moment ago, unless a key came since."""
        parts = self._parts
        waits = pressed == parts.session.work.last and not parts.hint.text
        if not (waits and parts.modes.only_first):
            return
        with parts.message.complaints():
            parts.message.say(self._proofs().said or "")
        parts.painting.later()

    def _choose(self) -> Outcome:
        where = self._parts.keys.shown(Action.OVERVIEW)
        raise Refused(f"Select cards in the overview ({where}).")

    def _look(self) -> Outcome:
        from tagger.ui.desk.modes.close_look import CloseLook

        parts = self._parts
        # What lies below is not seen, but is drawn: it is there at once when the look is over.
        parts.modes.push(CloseLook(parts, self._looking, below=parts.modes.front))
        return Outcome(None)
