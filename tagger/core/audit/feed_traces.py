"""What the names and the times of scans tell of the feeding: a number that is missing, and which
two files were written one right after the other."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from itertools import pairwise
from math import log
from statistics import fmean, pstdev

from tagger.core.audit.slips import Traces
from tagger.core.feeding.numbering import gaps

# Of the sides that are missing so many were scanned, and their files lost or thrown away.
NUMBERED = 0.3
MOST_LOST = 5.0  # nats that a missing number can say
PARTED = 60.0  # nats that a divider says against one card on both of its sides: it is seen there
TOGETHER = 1.5  # nats that the time between two files says
FEWEST = 12  # scans below which times say nothing
APART = 0.7  # of the logarithms of short and long times: twice as long
CLEAR = 3.0  # standard deviations by which short and long times are apart
IN_TURN = 0.85  # of the times that must be short and long in turn
_LEAST = 1_000_000  # ns: clocks are no finer than this


def traces(scans: Sequence[str], times: Mapping[str, int], begins: Collection[str] = ()) -> Traces:
    """What tells of the feeding of scans in their order. `times` are those of the files in ns, as
    far as they are known; `begins` are scans behind a divider, with which a card begins."""
    together = _together(scans, times)
    if begins:
        known = together or (0.0,) * len(scans)
        together = tuple(
            -PARTED if scan in begins else says for scan, says in zip(scans, known, strict=True)
        )
    return Traces(_lost(scans), together)


def _lost(scans: Sequence[str]) -> tuple[float, ...]:
    # An even number of them may be whole cards, and says nothing.
    missing = {(before, after) for before, after, many in gaps(scans) if many % 2}
    if not missing:
        return ()
    # Where numbers are missing all over the lot, one more means little.
    says = min(MOST_LOST, max(0.0, log(NUMBERED * len(scans) / len(missing))))
    return (0.0, *(says * (pair in missing) for pair in pairwise(scans)))


def _together(scans: Sequence[str], times: Mapping[str, int]) -> tuple[float, ...]:
    known = [times.get(scan) for scan in scans]
    written = [time for time in known if time is not None]
    if len(written) < len(scans) or len(scans) < FEWEST:
        return ()
    spans = [log(max(_LEAST, after - before)) for before, after in pairwise(written)]
    middle = _split(spans)
    if middle is None:
        return ()
    short = [span < middle for span in spans]
    changes = sum(one is not other for one, other in pairwise(short))
    if changes < IN_TURN * (len(short) - 1):
        return ()
    # Which of the two times is that within a card is told by how the lot begins.
    within = sum(short[:FEWEST:2]) * 2 > len(short[:FEWEST:2])
    return (0.0, *(TOGETHER if one is within else -TOGETHER for one in short))


def _split(spans: Sequence[float]) -> float | None:
    """Where short spans end and long ones begin; None where there are no two kinds."""
    order = sorted(spans)
    width, at = max((after - before, at) for at, (before, after) in enumerate(pairwise(order)))
    short, long = order[: at + 1], order[at + 1 :]
    if width < APART or min(len(short), len(long)) < len(order) / 4:
        return None
    apart = fmean(long) - fmean(short)
    if apart < CLEAR * max(pstdev(short), pstdev(long)):
        return None
    return order[at] + width / 2
