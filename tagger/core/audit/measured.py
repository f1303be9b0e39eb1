"""What was measured on one scan, as it is kept and judged; how it is measured is no matter of the
rules."""

from __future__ import annotations

import base64
from dataclasses import dataclass, replace
from typing import Any

from tagger.core.audit.fingerprint import Fingerprint
from tagger.core.model.pose import TURNS, Corners4


@dataclass(frozen=True)
class Measured:
    """One scan.

    `state`: `whole`, `empty`, `truncated`, `corrupt`, `no picture`, `gone` or `unreadable`, and
    `seen` why. `digest` is the same for files of the same bytes. `faults` are (kind, measure in
    words), kinds as in `imaging.faults`. `print` and `fields` (mean colours, 1680 bytes) are of the
    straight, standing side, which was turned clockwise by 90 degrees where it lay on its long side
    (`sideways`); None and empty where the scan could not be decoded or shows several cards.
    `corners` are the card's as the upright scan shows it: left upper, right upper, right lower,
    left lower, in pixels of the full size; None where they were not found. `dpi` is that picture's
    dots per inch, 0 where not known."""

    state: str
    seen: str = ""
    digest: str = ""
    faults: tuple[tuple[str, str], ...] = ()
    print: Fingerprint | None = None
    fields: bytes = b""
    sideways: bool = False
    corners: Corners4 | None = None
    dpi: float = 0.0

    def has(self, *kinds: str) -> bool:
        """Whether one of these faults was seen."""
        return any(kind in kinds for kind, _ in self.faults)

    def turned(self, turn: int) -> Measured:
        """What would have been measured if the scan had been turned clockwise by so many degrees
        (0, 90, 180 or 270) beforehand; but the corners stay those of the scan as it lies. Raises
        ValueError for another turn."""
        if turn not in TURNS:
            raise ValueError(f"a scan is turned by 0, 90, 180 or 270 degrees, not by {turn}")
        quarter = turn in (90, 270)
        # A card on its long side was stood up by 90 degrees already, and one that is laid down so
        # would be.
        over = turn == 180 or turn == (270 if self.sideways else 90)
        look, fields = self.print, self.fields
        if over:
            look = (
                None
                if look is None
                else Fingerprint(look.turned, look.upright, _reversed(look.colours))
            )
            fields = _reversed(fields)
        return replace(self, print=look, fields=fields, sideways=self.sideways != quarter)

    def document(self) -> dict[str, Any]:
        """It as plain values for JSON."""
        look = self.print
        return {
            "state": self.state,
            "seen": self.seen,
            "digest": self.digest,
            "faults": [list(fault) for fault in self.faults],
            "print": None
            if look is None
            else [f"{look.upright:x}", f"{look.turned:x}", look.colours.hex()],
            "fields": base64.b64encode(self.fields).decode("ascii"),
            "sideways": self.sideways,
            "corners": None if self.corners is None else [list(corner) for corner in self.corners],
            "dpi": self.dpi,
        }


def _reversed(colours: bytes) -> bytes:
    """Colours (red, green, blue) of fields in reading order, as they come when the whole is turned
    by 180 degrees."""
    return b"".join(colours[at : at + 3] for at in range(len(colours) - 3, -1, -3))


def measured_from(document: Any) -> Measured:
    """The opposite of `document`. Raises KeyError, TypeError or ValueError where it is none."""
    kept = document["print"]
    look = (
        None
        if kept is None
        else Fingerprint(int(kept[0], 16), int(kept[1], 16), bytes.fromhex(kept[2]))
    )
    fields = base64.b64decode(document["fields"], validate=True)
    if look is not None and (len(look.colours) != 48 or max(look.upright, look.turned) >> 256):
        raise ValueError("no print")
    if len(fields) not in (0, 1680):
        raise ValueError("no fields")
    faults = tuple((str(kind), str(seen)) for kind, seen in document["faults"])
    texts = str(document["state"]), str(document["seen"]), str(document["digest"])
    corners, dpi = _corners(document["corners"]), _number(document["dpi"])
    if dpi < 0:
        raise ValueError("no dots per inch")
    return Measured(*texts, faults, look, fields, bool(document["sideways"]), corners, dpi)


def _corners(kept: Any) -> Corners4 | None:
    if kept is None:
        return None
    a, b, c, d = ((_number(x), _number(y)) for x, y in kept)
    return a, b, c, d


def _number(kept: Any) -> float:
    if not isinstance(kept, int | float) or not abs(kept) < 1e9:
        raise ValueError("no number of pixels")
    return float(kept)
