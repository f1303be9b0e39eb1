"""The desk's key for the other side, and what it does with a card that looks like the one in
front."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable

from textual import events
from textual.screen import Screen

from tagger.core.audit.poses import MARGIN
from tagger.core.model.pose import Pose
from tagger.core.session.recognition import KnownMatch, Recognition
from tagger.core.session.session import Session
from tagger.ui.desk.layout import lay_out, one_at_a_time
from tagger.ui.desk.previews import Known, Previews, naming
from tagger.ui.desk.recognition_client import RecognitionClient, Recognized
from tagger.ui.hint_line import HintLine

Done = tuple[str, bool]


class AlikeKeys(Screen[None]):
    """The part of the desk that has these."""

    _session: Session
    _previews: Previews
    _resembling: RecognitionClient
    _line: HintLine
    _choice: int
    _waiting: deque[events.Key]
    _arrange: Callable[[], None]
    _later: Callable[[], None]
    _face = "both"

    def _do_flip(self) -> Done:
        """The other side; a known card that is shown goes first, where only one side fits it comes
        between."""
        previews, single = self._previews, one_at_a_time(*self.app.size)
        face = lay_out(*self.app.size, self._face).face
        known = (
            previews.known is not None and self._session.resembles(self._session.card) is not None
        )
        if known and (previews.comparing is not single) and (not single or face == "front"):
            previews.comparing = single
            return "", False
        previews.comparing = False
        turns = ("front", "back") if single else ("both", "front", "back")
        self._face = turns[(turns.index(face) + 1) % len(turns)]
        self._arrange()
        return "", False

    def on_recognized(self, answer: Recognized) -> None:
        """The card in front looks like one that is known."""
        undisturbed = not self._line.text and not self._choice and not self._waiting
        if self._resembling.came(answer, undisturbed) and answer.found is not None:
            alike = self._session.alike
            assert alike is not None
            self._previews.known = _known(alike, answer.found, self._resembling.own(answer.found))
            self._previews.comparing = self._previews.known is not None and not one_at_a_time(
                *self.app.size
            )
            self._later()


def _known(alike: Recognition, found: KnownMatch, own: bool) -> Known | None:
    front = found.card.scans.front
    if front is None:
        return None
    if own:
        return Known(alike.known, front, None)
    stand = Pose(0, found.corners, found.dpi, MARGIN) if found.corners is not None else Pose()
    return Known(alike.known, naming(found.card.scans.folder, front), stand)
