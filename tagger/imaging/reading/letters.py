"""From what a network says of each column of a line to its text, and for short lines to the next
likely ones.

The network says a character or none for each column; equal ones in a row are one character
("Connectionist Temporal Classification", Graves and others, 2006)."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Sequence

    from tagger.imaging.reading.models import Floats

SHORT = 8  # characters: of such lines other readings are worth having
BEAM, TRIED, KEPT = 8, 4, 4  # readings followed, characters tried a column, readings given
LEAST = 0.001  # of a character in a column
NONE = 0  # the place of "no character" in the alphabet


class Line(NamedTuple):
    """A line as it was read: its text, how sure that is (0 to 1: the mean of its characters), and
    the other readings of a short one with what is likely of them, the likeliest first."""

    text: str
    confidence: float
    others: tuple[tuple[str, float], ...] = ()


def read_line(likely: Floats, alphabet: Sequence[str]) -> Line:
    """The text of a line. Shape of `likely`: columns x characters."""
    best, height = likely.argmax(axis=1), likely.max(axis=1)
    changes = np.concatenate([[True], best[1:] != best[:-1]])
    begins = np.nonzero(changes)[0]
    peaks = np.maximum.reduceat(height, begins)
    kept = best[begins] != NONE
    text = "".join(alphabet[at] for at in best[begins][kept]).strip()
    if not text:
        return Line("", 0.0)
    confidence = float(peaks[kept].mean())
    if len(text) > SHORT:
        return Line(text, confidence)
    ranked = _ranked(likely, alphabet)
    others = tuple((other, share) for other, share in ranked if other and other != text)
    return Line(text, min(confidence, _share_of(text, ranked)), others)


def _share_of(text: str, ranked: Sequence[tuple[str, float]]) -> float:
    return next((share for other, share in ranked if other == text), 0.0)


def _ranked(likely: Floats, alphabet: Sequence[str]) -> list[tuple[str, float]]:
    """The likeliest texts of a line with their shares of all those that were followed."""
    # by text: what is likely of it with the last column empty, and with its last character there
    beam: dict[tuple[int, ...], tuple[float, float]] = {(): (1.0, 0.0)}
    for column in likely:
        beam = _further(beam, column)
    whole = sum(sum(shares) for shares in beam.values())
    texts: dict[str, float] = defaultdict(float)
    for read, shares in beam.items():
        texts["".join(alphabet[at] for at in read).strip()] += sum(shares) / max(whole, 1e-12)
    return sorted(texts.items(), key=lambda item: -item[1])[:KEPT]


def _further(
    beam: dict[tuple[int, ...], tuple[float, float]], column: Floats
) -> dict[tuple[int, ...], tuple[float, float]]:
    """The readings with one column more."""
    top = np.argpartition(column, -TRIED)[-TRIED:]
    chars = [(int(at), float(column[at])) for at in top if at != NONE and column[at] >= LEAST]
    none = float(column[NONE])
    found: dict[tuple[int, ...], list[float]] = defaultdict(lambda: [0.0, 0.0])
    for read, (empty, ended) in beam.items():
        found[read][0] += (empty + ended) * none
        for char, share in chars:
            if read and read[-1] == char:
                found[read][1] += ended * share
                found[(*read, char)][1] += empty * share
            else:
                found[(*read, char)][1] += (empty + ended) * share
    best = sorted(found.items(), key=lambda item: -sum(item[1]))[:BEAM]
    return {read: (shares[0], shares[1]) for read, shares in best}
