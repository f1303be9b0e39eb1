"""What was seen of a divider on one scan, as it is kept."""

from __future__ import annotations

from typing import Any, NamedTuple

from tagger.core.dividers.divider import Payload, read_payload
from tagger.core.model.pose import TURNS


class CodeSeen(NamedTuple):
    """The text of one of our codes, empty where there is none; by how many degrees clockwise (0,
    90, 180 or 270) the scan has to be turned so that it stands upright; and whether the scan shows
    nothing but paper."""

    text: str = ""
    turn: int = 0
    blank: bool = False

    @property
    def payload(self) -> Payload | None:
        """What the code says."""
        return read_payload(self.text) if self.text else None

    def document(self) -> list[Any]:
        """It as plain values for JSON."""
        return list(self)


NONE_SEEN = CodeSeen()


def code_from(document: Any) -> CodeSeen:
    """The opposite of `document`. Raises TypeError or ValueError where it is none."""
    text, turn, blank = document
    if turn not in TURNS:
        raise ValueError("a code stands upright or is turned by quarters")
    # the text is believed only where it is one of ours, whoever wrote the cache
    seen = CodeSeen(str(text), int(turn), bool(blank))
    return seen if not seen.text or seen.payload is not None else NONE_SEEN
