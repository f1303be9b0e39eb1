"""What is remembered of how a side looks: enough to tell whether two sides show the same printing or design."""

from __future__ import annotations

from dataclasses import dataclass

BITS = 256


@dataclass(frozen=True, slots=True)
class Print:
    """The hash of a side as it lies and of the same side turned by 180 degrees, as numbers of 256 bits, and the mean
    colours of 4 x 4 fields in reading order (red, green, blue, 0 to 255) as 48 bytes."""

    upright: int
    turned: int
    colours: bytes

    def apart(self, other: Print) -> int:
        """How many of the 256 bits differ."""
        return (self.upright ^ other.upright).bit_count()

    def apart_turned(self, other: Print) -> int:
        """How many bits differ from the other side turned by 180 degrees."""
        return (self.upright ^ other.turned).bit_count()

    def tint_apart(self, other: Print, *, turned: bool = False) -> float:
        """The mean difference of the 48 colour values, 0 to 255; `turned`: from the other side turned over."""
        theirs = other.colours
        if turned:
            theirs = b"".join(theirs[at : at + 3] for at in range(45, -1, -3))
        return sum(abs(a - b) for a, b in zip(self.colours, theirs, strict=True)) / 48
