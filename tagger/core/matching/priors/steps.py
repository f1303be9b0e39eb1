"""How a tray goes on from card to card: a double, the next number, a small gap, a jump; learned
from the lot itself."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections import defaultdict
from collections.abc import Mapping

# Shares in presorted trays before anything is known of this one (our own estimate, no source): the
# same card again, the next number, and gaps of a few. Backwards steps are rare, but a tray that was
# turned over has little else.
USUAL = {0: 0.22, 1: 0.48, 2: 0.10, 3: 0.05, 4: 0.03, 5: 0.02, -1: 0.006, -2: 0.002, -3: 0.001}
AHEAD, REACH = "ahead", 30  # a jump that goes on by no more than so many rows
ANYWHERE = "anywhere"  # any other jump
Kind = int | str  # what is counted of a step: itself where it is a usual one, else which jump it is
_JUMPS = 1.0 - sum(USUAL.values())
IN_ORDER: dict[Kind, float] = dict(USUAL.items())
IN_ORDER.update({AHEAD: 0.6 * _JUMPS, ANYWHERE: 0.4 * _JUMPS})
# The same of a tray that was turned over, or fed from its end.
_BACK = {0: 0.22, -1: 0.48, -2: 0.10, -3: 0.05, 1: 0.006, 2: 0.002, 3: 0.001, 4: 0.001, 5: 0.001}
IN_ORDER_BACK: dict[Kind, float] = dict(_BACK.items())
IN_ORDER_BACK.update(
    {AHEAD: 0.05 * (1 - sum(_BACK.values())), ANYWHERE: 0.95 * (1 - sum(_BACK.values()))}
)
TURNED = 0.02  # how often a tray goes back from the first card on, or turns on its way
# Of each kind of step, those that came right behind one of the same kind: pairs go 0, 1, 0, 1.
BEHIND = 14.0  # observed steps that count as much as the shares of the whole tray
WEIGHT = 20.0  # observed steps that count as much as the usual shares
# Cards in no order: each of the usual steps is as rare as any row of a set of some 250.
EVEN = 1 / 250
IN_NO_ORDER: dict[Kind, float] = {
    **dict.fromkeys(USUAL, EVEN),
    AHEAD: 0.0,  # they go ahead no more often than back
    ANYWHERE: 1 - EVEN * len(USUAL),
}
TURN = 0.02  # how often sorted cards are followed by unsorted ones, or the other way round
SPAN = range(min(USUAL), max(USUAL) + 2)  # the steps that are looked at when nothing was typed


def kind_of(step: int) -> Kind:
    """What is counted of a step."""
    if step in USUAL:
        return step
    if 0 < step <= REACH:
        return AHEAD
    return ANYWHERE


class Steps(ABC):
    """Shares of the steps from one card to another; the cards are in order or not."""

    @property
    @abstractmethod
    def unsorted(self) -> float:
        """The probability that the cards are in no order."""

    @abstractmethod
    def sorted(self, kind: Kind) -> float:
        """The share of a kind of step where the cards are in order."""

    def share_of(self, kind: Kind) -> float:
        """The share of a kind of step, in order or not."""
        return self.unsorted * IN_NO_ORDER[kind] + (1 - self.unsorted) * self.sorted(kind)

    def usual(self) -> Mapping[int, float]:
        """The share of each of the usual steps."""
        return {step: self.share_of(step) for step in USUAL}

    @property
    def ahead(self) -> float:
        """The share of the jumps that go on, and not far; `jump` has some of these too."""
        return self.share_of(AHEAD)

    @property
    def jump(self) -> float:
        """The share of the jumps to any row of the set."""
        return self.share_of(ANYWHERE)


class StepModel(Steps):
    """Shares of the steps, in rows of the set's natural order.

    The cards are sorted or not: a hidden Markov model of two states, of which the forward algorithm
    (Rabiner 1989) keeps the probability. Where they are sorted, the shares are a Dirichlet mean of
    the usual ones and of those seen while they were; where not, no step is likelier than others."""

    def __init__(self, unsorted: float = TURN) -> None:
        """`unsorted` is the probability that the first cards are in no order."""
        self._seen: defaultdict[Kind, float] = defaultdict(float)
        self._count = 0.0
        self._back = TURNED  # the probability that the cards go back
        self._behind: defaultdict[Kind | None, defaultdict[Kind, float]] = defaultdict(
            lambda: defaultdict(float)
        )
        self._last: Kind | None = None  # the kind of the last step
        self._unsorted = unsorted
        self._usual: Mapping[int, float] = {}
        self.learned = 0
        """Cards so far: with each the shares are others."""

    def learn(self, step: int) -> None:
        """A card was tagged `step` rows on from the card before it, in the same set."""
        self.learned += 1
        self._usual = {}
        kind = kind_of(step)
        # in no order a jump ahead is one to any row
        if_not = self._unsorted * (IN_NO_ORDER[kind] or IN_NO_ORDER[ANYWHERE] * EVEN * REACH)
        if_sorted = (1 - self._unsorted) * self.sorted(kind)
        self._unsorted = if_not / (if_not + if_sorted)
        self._learn_way(kind)
        # A card counts as far as it is likely to be of a sorted stretch: shuffled ones must not
        # teach steps that no tray has.
        self._seen[kind] += 1 - self._unsorted
        self._count += 1 - self._unsorted
        self._behind[self._last][kind] += 1 - self._unsorted
        self._last = kind
        self._unsorted = TURN + (1 - 2 * TURN) * self._unsorted

    def _learn_way(self, kind: Kind) -> None:
        """Whether the cards go on or back, by one more step; see `unsorted`."""
        if_back = self._back * IN_ORDER_BACK[kind]
        back = if_back / (if_back + (1 - self._back) * IN_ORDER[kind])
        # cards in no order say nothing of it
        back = self._unsorted * self._back + (1 - self._unsorted) * back
        self._back = TURNED + (1 - 2 * TURNED) * back

    def sorted(self, kind: Kind) -> float:
        """The share of a kind of step where the cards are in order."""
        usual = (1 - self._back) * IN_ORDER[kind] + self._back * IN_ORDER_BACK[kind]
        share = (WEIGHT * usual + self._seen.get(kind, 0.0)) / (WEIGHT + self._count)
        behind = self._behind.get(self._last)
        if behind is None:
            return share
        return (BEHIND * share + behind.get(kind, 0.0)) / (BEHIND + sum(behind.values()))

    def share(self, step: int) -> float | None:
        """The share of a step, None for a jump."""
        return self.usual().get(step)

    def usual(self) -> Mapping[int, float]:
        """The share of each of the usual steps."""
        if not self._usual:
            self._usual = super().usual()
        return self._usual

    @property
    def unsorted(self) -> float:
        """The probability that the cards are in no order."""
        return self._unsorted

    @property
    def span(self) -> range:
        """The steps that are looked at when nothing was typed."""
        return SPAN


class Run:
    """The rows of one set as the steps from one of them make them likely; any row alike where there
    is none to go on from."""

    def __init__(self, rows: range, steps: Steps, last: int | None, opens: bool = False) -> None:
        """With `opens` a set without a last row most likely begins here."""
        self.rows, self.last, self._opens = rows, last, opens
        # rows are asked for by the hundred: what is known of each is put together before
        self._usual: dict[int, float] = {}
        size = max(1, len(rows))
        if last is None:
            self._jump = self._ahead = 1 / size
            if opens:
                # A tray most often begins with the first card of its set.
                self._usual[rows.start] = steps.usual()[1]
            return
        self._jump = steps.jump / size
        self._ahead = self._jump + steps.ahead / REACH
        for step, share in steps.usual().items():
            # A jump may land there too: a usual step is never less likely than any other row.
            self._usual[last + step] = max(self._jump, share)

    def of(self, row: int) -> float:
        """The probability of a row of the set."""
        share = self._usual.get(row)
        if share is not None:
            return share
        # of the jumps more go on than back, and not far
        if self.last is not None and 0 < row - self.last <= REACH:
            return self._ahead
        return self._jump

    @property
    def near(self) -> range:
        """Rows outside of which all are alike."""
        if self.last is None:
            return range(self.rows.start, self.rows.start + self._opens)
        return range(self.last + SPAN.start, self.last + REACH + 1)

    def likely(self) -> range:
        """The next rows, or the first ones: worth a look whatever is typed."""
        rows = self.rows
        if self.last is None:
            if not self._opens:
                return range(0)
            return range(rows.start, min(rows.stop, rows.start + SPAN.stop))
        return range(max(rows.start, self.last + SPAN.start), min(rows.stop, self.last + SPAN.stop))

    def of_others(self, rows: int, ahead: int) -> float:
        """The probability of so many rows that are none of the likely ones, `ahead` of them in
        `ahead`."""
        return (rows - ahead) * self._jump + ahead * self._ahead
