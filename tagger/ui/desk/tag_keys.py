"""The desk's keys for tagging a card, for going to another one, and for taking back what was
done."""

from __future__ import annotations

from collections.abc import Callable

from textual.screen import Screen

from tagger.core.model.arrangement import SideOrder
from tagger.core.session.proposal import Proposal
from tagger.core.session.session import Session
from tagger.errors import Refused
from tagger.ui.desk.recognition_client import RecognitionClient
from tagger.ui.hint_line import HintLine
from tagger.ui.keys import Keymap


class TagKeys(Screen[None]):
    """The part of the desk that has these keys. Each says what was done, and whether the hint is
    done with."""

    _session: Session
    _keymap: Keymap
    _resembling: RecognitionClient
    _line: HintLine
    _choice: int
    _proposal: Callable[[], Proposal]

    def _do_take(self) -> tuple[str, bool]:
        return self._session.accept(self._line.text, self._choice, self._resembling.alike), True

    def _do_reading_down(self) -> tuple[str, bool]:
        self._choice = min(self._choice + 1, max(0, len(self._proposal().candidates) - 1))
        return "", False

    def _do_reading_up(self) -> tuple[str, bool]:
        self._choice = max(0, self._choice - 1)
        return "", False

    def _do_why(self) -> tuple[str, bool]:
        candidate = self._proposal().candidate
        if candidate is None:
            raise Refused("There is no reading to explain.")
        return f"Read as: {candidate.explained()}.", False

    def _do_again(self) -> tuple[str, bool]:
        alike = self._resembling.alike
        return self._session.review.after(lambda: self._session.again(self._line.text, alike)), True

    def _repeats(self) -> bool:
        return self._line.cursor == len(self._line.text) and self._session.repeats(self._line.text)

    def _do_set_aside(self) -> tuple[str, bool]:
        return self._session.review.after(lambda: self._session.set_aside(self._line.text)), True

    def _do_unlisted(self) -> tuple[str, bool]:
        return self._session.review.after(
            lambda: self._session.take_unlisted(self._line.text, self._resembling.alike)
        ), True

    def _do_carry(self) -> tuple[str, bool]:
        return self._session.carry(self._line.text), True

    def _do_drop(self) -> tuple[str, bool]:
        return self._session.drop(self._line.text), True

    def _do_sides(self) -> tuple[str, bool]:
        orders = list(SideOrder)
        return self._session.arrange(
            orders[(orders.index(self._session.sides) + 1) % len(orders)]
        ), False

    def _do_next_card(self) -> tuple[str, bool]:
        return self._session.step(1), True

    def _do_previous_card(self) -> tuple[str, bool]:
        return self._session.step(-1), True

    def _do_next_untagged(self) -> tuple[str, bool]:
        return self._session.next_untagged(1), True

    def _do_previous_untagged(self) -> tuple[str, bool]:
        return self._session.next_untagged(-1), True

    def _do_go(self) -> tuple[str, bool]:
        typed = self._line.text.strip()
        if not typed.isdecimal() or len(typed) > 9:
            raise Refused(f"Type the position of a card, then {self._keymap.shown('go')}.")
        return self._session.go(int(typed)), True

    def _do_undo(self) -> tuple[str, bool]:
        return self._session.undo(), True

    def _do_redo(self) -> tuple[str, bool]:
        return self._session.redo(), True

    def _do_clear(self) -> tuple[str, bool]:
        return self._session.clear(), True

    def _do_copy(self) -> tuple[str, bool]:
        return self._session.copy_to(self._line.text), True
