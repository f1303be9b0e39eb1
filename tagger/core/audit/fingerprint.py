"""What is remembered of how a side looks: enough to tell whether two sides show the same printing
or design."""

from __future__ import annotations

from dataclasses import dataclass

BITS = 256
MAYBE_SAME = 64  # bits, for sides of which it is only asked whether they could be the same


@dataclass(frozen=True, slots=True)
class Fingerprint:
    """The hash of a side as it lies and of the same side turned by 180 degrees, as numbers of 256
    bits, and the mean colours of 4 x 4 fields in reading order (red, green, blue, 0 to 255) as 48
    bytes."""

    upright: int
    turned: int
    colours: bytes

    def apart(self, other: Fingerprint) -> int:
        """How many of the 256 bits differ."""
        return (self.upright ^ other.upright).bit_count()

    def may_show_the_same(self, other: Fingerprint) -> bool:
        """Whether two sides lying the same way up could show the same printing. Two backs of a set
        may be so alike too."""
        return self.apart(other) <= MAYBE_SAME
