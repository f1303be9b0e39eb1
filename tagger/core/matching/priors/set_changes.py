"""How a lot goes from set to set, learned from the lot itself: whether the next card is of the same
set, and of which it is where it is not."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.matching.priors.sister_steps import SisterSteps
from tagger.core.matching.priors.steps import Run, StepModel

if TYPE_CHECKING:
    from tagger.core.index.index import Index

# Lots are presorted more often than not: of 100 cards 3 are of another set than the one before (our
# own estimate, no source), which counts as much as so many cards of the lot.
CHANGE, WEIGHT = 0.03, 5.0
DEPTH, DEEPER = 3, 1.0  # cards back that are looked at; cards that count as much as a shorter look
FROM_HERE = 1.0  # changes from one set that count as much as those of the whole lot
# Cards of another set that go on from its own last card, and from the number of the card before,
# before anything is known of the lot; where it is the first card of its set, any card takes the
# place of its last one (our own estimates, no source).
OWN, SISTER = 0.9, 0.1
ANY, FIRST_SISTER = 0.5, 0.5
# Cards that count before anything is known of the dealer: who means another set than the one that
# is carried says so, unless the desk foretells it (our own estimates, no source).
NAMED, BARE = 4.0, 1.0
KEPT = 0.98  # of what each card says, with each that follows: a tray of two sets comes to its end
SHARED = 0.02  # of the weight of all predictors that each one keeps: a lot may change


class SetShares(NamedTuple):
    """The probabilities of the next card's set: the same one again, each other one of the lot, and
    all that are not met yet together."""

    stay: float
    others: dict[str, float]
    new: float


class _Mixture:
    """A Bayesian mixture of predictors: each has weight by how well it foretold what came, and a
    small share of all (Herbster and Warmuth 1998), so that another one may take over."""

    def __init__(self, *weights: float) -> None:
        self._first = weights
        self._weights = list(weights)

    @property
    def weights(self) -> Sequence[float]:
        """How much each predictor counts."""
        return self._weights

    def of(self, shares: Sequence[float]) -> float:
        """The probability of something that each predictor has a probability of."""
        return sum(weight * share for weight, share in zip(self._weights, shares, strict=True))

    def learn(self, shares: Sequence[float]) -> None:
        """It came."""
        whole = max(self.of(shares), 1e-12)
        self._weights = [
            (1 - SHARED) * weight * share / whole + SHARED * first
            for weight, share, first in zip(self._weights, shares, self._first, strict=True)
        ]


class Place(NamedTuple):
    """Where a card stands: its row, the rows of its set, and the row among these that has the
    number of the card before, None where there is none."""

    row: int
    rows: range
    beside: int | None


def place_of(index: Index, row: int | None, before: str) -> Place | None:
    """Where a card stands that lies behind one with the number `before`; None where no checklist
    has it."""
    if row is None:
        return None
    set_id = index.set_of(row)
    return Place(row, index.steps(set_id), index.numbered(set_id, before))


class SetChanges:
    """Sets of a lot in feeding order.

    Whether the set changes is foretold from whether it did at the last none to `DEPTH` cards: a
    mixture over the order of a Markov chain (Willems, Shtarkov and Tjalkens 1995), each order
    smoothed by the lower one (a hierarchical Dirichlet mean, MacKay and Peto 1995). So two sets by
    turns, pairs, or piles thrown together are told from a tray that has one set after the other.
    To which set it changes is a mixture of the same kind: from any set, or from this very one. Sets
    that were never met have the share of new words in PPM (Witten and Bell 1991).

    Which row of the other set it is, is a third mixture: as it goes on from the last card of that
    set, or from the number of the card before, as in piles that are sorted by number across
    sets."""

    def __init__(self) -> None:
        self._times: defaultdict[tuple[bool, ...], list[float]] = defaultdict(lambda: [0.0, 0.0])
        self._recent: tuple[bool, ...] = ()
        self._into: Counter[str] = Counter()
        self._from: defaultdict[str, Counter[str]] = defaultdict(Counter)
        self._depths = _Mixture(*[1 / (DEPTH + 1)] * (DEPTH + 1))
        self._orders, self._ways = _Mixture(0.5, 0.5), _Mixture(OWN, SISTER)
        self._first_ways = _Mixture(ANY, FIRST_SISTER)
        self.last: dict[str, int] = {}
        """The row of the last card of each set that was tagged, where a checklist has it."""
        self.resumed = StepModel(unsorted=0.5)
        """The steps from the last card of a set to the next one with others in between."""
        self.sisters = SisterSteps()
        """The steps from the number of the card before into another set."""
        self.learned = 0
        """Cards so far: with each all that is foretold is another."""
        self._named, self._bare = NAMED, BARE

    def learn_typed(self, *, named: bool) -> None:
        """A card of another set than the one before was tagged by a hint that named its set, or by
        one that did not."""
        self._named, self._bare = self._named + named, self._bare + (not named)

    @property
    def bare(self) -> float:
        """The probability that who means another set does not name it."""
        return self._bare / (self._named + self._bare)

    @property
    def bare_at_most(self) -> float:
        """The same by what this dealer typed alone: certain while no other set was named, since
        what is only assumed of dealers makes no card sure."""
        return self._bare / (self._named - NAMED + self._bare)

    def learn(self, before: str, after: str, place: Place | None) -> None:
        """A card of a set was tagged behind one of another set, or of the same; its place is None
        where no checklist has it."""
        changes = before != after
        if changes:
            self._learn_change(before, after)
            self._learn_row(before, after, place)
        by_depth = self._by_depth()
        # Judged before the counts have this card: each depth is scored on what it foretold, and not
        # on what it then knew.
        self._depths.learn([share if changes else 1 - share for share in by_depth])
        for times in self._times.values():
            times[:] = [KEPT * count for count in times]
        for depth in range(min(DEPTH, len(self._recent)) + 1):
            self._times[self._back(depth)][changes] += 1
        self._recent = (*self._recent, changes)[-DEPTH:]
        self.stand(after, place.row if place else None)

    def _learn_change(self, before: str, after: str) -> None:
        known = frozenset(self._into) | {before}
        # A set that is met for the first time could be foretold by neither order, and says nothing
        # of which of them is better.
        if after in known:
            self._orders.learn([shares.get(after, 0.0) for shares in self._by_order(before, known)])
        self._into[after] += 1
        self._from[before][after] += 1

    def _learn_row(self, before: str, after: str, place: Place | None) -> None:
        if place is None:
            return
        row, rows, beside = place
        if beside is not None:
            runs = self._runs(before, after, rows, beside)
            self._ways_into(after).learn([run.of(row) for run in runs])
            self.sisters.learn(before, after, row - beside)
        if after in self.last:
            self.resumed.learn(row - self.last[after])

    def _ways_into(self, after: str) -> _Mixture:
        if after in self.last:
            return self._ways
        return self._first_ways

    def _runs(self, before: str, after: str, rows: range, beside: int | None) -> tuple[Run, Run]:
        return (
            Run(rows, self.resumed, self.last.get(after)),
            Run(rows, self.sisters.between(before, after), beside),
        )

    def runs_into(
        self, before: str, after: str, rows: range, beside: int | None
    ) -> list[tuple[float, Run]]:
        """How the rows of a set may go on behind a card of another one, each way with its weight;
        see `Place`."""
        if beside is None:
            return [(1.0, Run(rows, self.resumed, self.last.get(after)))]
        runs = self._runs(before, after, rows, beside)
        return list(zip(self._ways_into(after).weights, runs, strict=True))

    @property
    def known(self) -> bool:
        """Whether a card of the lot was tagged."""
        return bool(self._recent or self.last)

    def stand(self, name: str, row: int | None) -> None:
        """The last card of a set is this row."""
        self.learned += 1
        if row is not None:
            self.last[name] = row

    def _back(self, depth: int) -> tuple[bool, ...]:
        return self._recent[len(self._recent) - depth :]

    def change(self) -> float:
        """The probability that the next card is of another set."""
        return self._depths.of(self._by_depth())

    def _by_depth(self) -> list[float]:
        found, share, weight = list[float](), CHANGE, WEIGHT
        for depth in range(DEPTH + 1):
            if depth <= len(self._recent):
                stayed, changed = self._times.get(self._back(depth), (0, 0))
                share = (changed + weight * share) / (stayed + changed + weight)
                weight = DEEPER
            found.append(share)
        return found

    def shares(self, here: str, sets: frozenset[str]) -> SetShares:
        """What the next card may be of behind one of a set; `sets` are those met in the lot."""
        change = self.change()
        any_set, this_set = self._by_order(here, sets)
        others = {
            name: change * self._orders.of((share, this_set[name]))
            for name, share in any_set.items()
        }
        return SetShares(1 - change, others, max(0.0, change - sum(others.values())))

    def _by_order(self, here: str, sets: frozenset[str]) -> tuple[dict[str, float], ...]:
        """The share of each other set among the changes, from any set and from this one."""
        # each is as likely as the others before it was changed to
        times = {name: 1 + self._into[name] for name in sorted(sets) if name != here}
        # What is left over is the share of new words in PPM: as many as were met, and one more, so
        # that a set that was never met keeps a chance.
        every = sum(times.values()) + len(times) + 1
        from_here = self._from.get(here, Counter())
        count = from_here.total()
        any_set = {name: met / every for name, met in times.items()}
        this_set = {
            name: (from_here[name] + FROM_HERE * share) / (count + FROM_HERE)
            for name, share in any_set.items()
        }
        return any_set, this_set
