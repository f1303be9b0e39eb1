"""What was measured on one scan, as it is kept and judged; how it is measured is no matter of the rules."""

from __future__ import annotations

import base64
from dataclasses import dataclass
from typing import Any

from tagger.core.prints import Print


@dataclass(frozen=True)
class Measured:
    """One scan.

    `state`: `whole`, `empty`, `truncated`, `corrupt`, `no picture`, `gone` or `unreadable`, and `seen` why. `digest` is
    the same for files of the same bytes. `faults` are (kind, measure in words), kinds as in `imaging.faults`. `print`
    and `fields` (mean colours, 1680 bytes) are of the straight, standing side; None and empty where the scan could not
    be decoded. `sideways`: the card lies on its long side.
    """

    state: str
    seen: str = ""
    digest: str = ""
    faults: tuple[tuple[str, str], ...] = ()
    print: Print | None = None
    fields: bytes = b""
    sideways: bool = False

    def has(self, *kinds: str) -> bool:
        """Whether one of these faults was seen."""
        return any(kind in kinds for kind, _ in self.faults)

    def turned(self, turn: int) -> Measured:
        return self

    def document(self) -> dict[str, Any]:
        """It as plain values for JSON."""
        look = self.print
        return {
            "state": self.state,
            "seen": self.seen,
            "digest": self.digest,
            "faults": [list(fault) for fault in self.faults],
            "print": None if look is None else [f"{look.upright:x}", f"{look.turned:x}", look.colours.hex()],
            "fields": base64.b64encode(self.fields).decode("ascii"),
            "sideways": self.sideways,
        }


def measured_from(document: Any) -> Measured:
    """The opposite of `document`. Raises KeyError, TypeError or ValueError where it is none."""
    kept = document["print"]
    look = None if kept is None else Print(int(kept[0], 16), int(kept[1], 16), bytes.fromhex(kept[2]))
    fields = base64.b64decode(document["fields"], validate=True)
    if look is not None and (len(look.colours) != 48 or max(look.upright, look.turned) >> 256):
        raise ValueError("no print")
    if len(fields) not in (0, 1680):
        raise ValueError("no fields")
    faults = tuple((str(kind), str(seen)) for kind, seen in document["faults"])
    texts = str(document["state"]), str(document["seen"]), str(document["digest"])
    return Measured(*texts, faults, look, fields, bool(document["sideways"]))
