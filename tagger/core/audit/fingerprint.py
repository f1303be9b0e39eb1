"""What is remembered of how a side looks: enough to tell whether two sides show the same printing
or design. A perceptual hash and a few colours."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

BITS = 256
COLOURS = 48  # bytes: red, green and blue of 4 x 4 fields
MAYBE_SAME = 40  # bits, for two passes of one side; look-alikes of a set are seldom so near


@dataclass(frozen=True, slots=True)
class Fingerprint:
    """The hash of a side as it lies and of the same side turned by 180 degrees, as numbers of 256
    bits, and the mean colours of 4 x 4 fields in reading order (red, green, blue, 0 to 255) as 48
    bytes."""

    upright: int
    turned: int
    colours: bytes

    def hamming_distance(self, other: Fingerprint) -> int:
        """How many of the 256 bits differ."""
        return (self.upright ^ other.upright).bit_count()

    def may_show_the_same(self, other: Fingerprint) -> bool:
        """Whether two scans lying the same way up could be of one side. Two backs of a set may be
        so alike too."""
        return self.hamming_distance(other) <= MAYBE_SAME

    def turned_over(self) -> Fingerprint:
        """That of the same side turned by 180 degrees."""
        return Fingerprint(self.turned, self.upright, reversed_colours(self.colours))


def reversed_colours(colours: bytes) -> bytes:
    """Colours (red, green, blue) of fields in reading order, as they come when the whole is turned
    by 180 degrees."""
    return b"".join(colours[at : at + 3] for at in range(len(colours) - 3, -1, -3))


def fingerprint_document(look: Fingerprint | None) -> list[str] | None:
    """It as plain values for JSON: both hashes and the colours as hexadecimal digits."""
    if look is None:
        return None
    return [f"{look.upright:x}", f"{look.turned:x}", look.colours.hex()]


def read_fingerprint(kept: Any) -> Fingerprint | None:
    """The opposite of `fingerprint_document`. Raises IndexError, TypeError or ValueError where it
    is none."""
    if kept is None:
        return None
    look = Fingerprint(int(kept[0], 16), int(kept[1], 16), bytes.fromhex(kept[2]))
    if len(look.colours) != COLOURS or max(look.upright, look.turned) >> BITS:
        raise ValueError("no print")
    return look
