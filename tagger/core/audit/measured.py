"""What was measured on one scan, as it is kept and judged; how it is measured is no matter of the
rules."""

from __future__ import annotations

import base64
from dataclasses import dataclass, replace
from typing import Any

from tagger.core.audit.fingerprint import (
    Fingerprint,
    fingerprint_document,
    read_fingerprint,
    reversed_colours,
)
from tagger.core.model.pose import TURNS, Corners4

FIELDS = 1680  # bytes: red, green and blue of 20 x 28 fields


@dataclass(frozen=True)
class Measured:
    """One scan.

    `state`: `whole`, `empty`, `truncated`, `corrupt`, `no picture`, `gone` or `unreadable`, and
    `seen` why. `digest` is the same for files of the same bytes. `faults` are (kind, measure in
    words), kinds as in `imaging.survey.faults`. `print` and `fields` (mean colours, 1680 bytes) are
    of the straight, standing side, which was turned clockwise by 90 degrees where it lay on its
    long side (`sideways`); None and empty where the scan could not be decoded or shows several
    cards. `corners` are the card's as the upright scan shows it: left upper, right upper, right
    lower, left lower, in pixels of the full size; None where they were not found. `dpi` is that
    picture's dots per inch and `size` its width and height, 0 where not known.

    `card` is the card's width and height in mm as measured on all four sides, `asked` the size that
    was looked for, the short side first. `reached` are the scan's sides that the card reaches
    (`left`, `upper`, `right`, `lower`), `shown` the width and height in mm that are seen of it,
    `lines` those that straight lines beside it make where its edges were not found. `around` is by
    how many mm a sleeve or a case is wider and higher than the card in it. 0 where not known. What
    they mean is judged beside the lot's other scans: `card_size`, `scan_findings`."""

    state: str
    seen: str = ""
    digest: str = ""
    faults: tuple[tuple[str, str], ...] = ()
    print: Fingerprint | None = None
    fields: bytes = b""
    sideways: bool = False
    corners: Corners4 | None = None
    dpi: float = 0.0
    size: tuple[int, int] = (0, 0)
    card: tuple[float, float] = (0.0, 0.0)
    asked: tuple[float, float] = (63.5, 88.9)
    reached: tuple[str, ...] = ()
    shown: tuple[float, float] = (0.0, 0.0)
    lines: tuple[float, float] = (0.0, 0.0)
    around: tuple[float, float] = (0.0, 0.0)

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
        laid_down = replace(self, sideways=self.sideways != quarter)
        # A card on its long side was stood up by 90 degrees already, and one that is laid down so
        # would be: so it is seen the other way up after one of the two quarters only.
        over = turn == 180 or turn == (270 if self.sideways else 90)
        if not over:
            return laid_down
        look = self.print and self.print.turned_over()
        return replace(laid_down, print=look, fields=reversed_colours(self.fields))

    def document(self) -> dict[str, Any]:
        """It as plain values for JSON."""
        return {
            "state": self.state,
            "seen": self.seen,
            "digest": self.digest,
            "faults": [list(fault) for fault in self.faults],
            "print": fingerprint_document(self.print),
            "fields": base64.b64encode(self.fields).decode("ascii"),
            "sideways": self.sideways,
            "corners": self.corners and [list(corner) for corner in self.corners],
            "dpi": self.dpi,
            "size": list(self.size),
            "card": list(self.card),
            "asked": list(self.asked),
            "reached": list(self.reached),
            "shown": list(self.shown),
            "lines": list(self.lines),
            "around": list(self.around),
        }


def measured_from(document: Any) -> Measured:
    """The opposite of `document`. Raises LookupError, TypeError or ValueError where it is
    none."""
    look = read_fingerprint(document["print"])
    fields = base64.b64decode(document["fields"], validate=True)
    if len(fields) not in (0, FIELDS):
        raise ValueError("no fields")
    faults = tuple((str(kind), str(seen)) for kind, seen in document["faults"])
    texts = str(document["state"]), str(document["seen"]), str(document["digest"])
    corners, dpi = _corners(document["corners"]), _number(document["dpi"])
    if dpi < 0:
        raise ValueError("no dots per inch")
    wide, high = (int(_number(pixels)) for pixels in document["size"])
    sideways = bool(document["sideways"])
    names = ("card", "asked", "shown", "lines", "around")
    card, asked, shown, lines, around = (_two(document[name]) for name in names)
    reached = tuple(str(side) for side in document["reached"])
    known = Measured(*texts, faults, look, fields, sideways, corners, dpi, (wide, high))
    known = replace(known, card=card, asked=asked, reached=reached, shown=shown)
    return replace(known, lines=lines, around=around)


def _two(kept: Any) -> tuple[float, float]:
    one, other = (_number(value) for value in kept)
    return one, other


def _corners(kept: Any) -> Corners4 | None:
    if kept is None:
        return None
    a, b, c, d = ((_number(x), _number(y)) for x, y in kept)
    return a, b, c, d


def _number(kept: Any) -> float:
    # Written so that NaN, which Python reads from JSON, is refused as well.
    if not isinstance(kept, int | float) or not abs(kept) < 1e9:
        raise ValueError("no number of pixels")
    return float(kept)
