"""The other readings of a hint, a row each. What tells them apart is shown; what all of them share
gives way first."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import TYPE_CHECKING

from rich.text import Text

from tagger.core.model.numbers import split_total
from tagger.core.model.tags import BASE, Tags, series_of
from tagger.core.model.text import printable
from tagger.ui import theme
from tagger.ui.desk.blocks.worth import Block, Cost, Lines
from tagger.ui.fit import Forms, Part, apart, fit_columns, middle
from tagger.ui.keys import Action, Keymap
from tagger.ui.wording import cut, joined

if TYPE_CHECKING:
    from tagger.core.matching.candidate import Candidate
    from tagger.core.session.proposal import Proposal

NUMBER, LONGEST = 6, 12  # cells of the number's column at least; of a number in it
ROWS, FEW = 5, 3  # rows of the list where there is room for no more
_LEAST = (10, 8, 10)  # cells of subject, variant and set to which each is cut short


class Others:
    """The list of readings, or only what the key for the next one goes on to; nothing where there
    is no other one."""

    def __init__(self, proposal: Proposal, keys: Keymap, width: int) -> None:
        self._proposal, self._keys, self._width = proposal, keys, width
        self._some = proposal.candidate is not None and len(proposal.candidates) > 1

    @property
    def block(self) -> Block:
        """A list of some of them, of fewer, the next one alone, nothing."""
        if not self._some:
            return Part(([],))
        forms: Forms[Lines] = Forms(
            lambda: [Text(), *self._rows(ROWS)],
            lambda: self._rows(FEW),
            lambda: [self._next_one()],
            list,
        )
        return Part(forms, (Cost.OTHERS, Cost.OTHERS, Cost.NEXT))

    def more(self, shown: Lines, room: int) -> Lines:
        """The list in so many lines more, where it stands there as a list."""
        if room <= 0 or len(shown) <= FEW:
            return shown
        return [Text(), *self._rows(len(shown) - 2 + room)]

    def _rows(self, rows: int) -> Lines:
        """The heading and so many rows, the chosen one in view."""
        candidates, choice = self._proposal.candidates, self._proposal.choice
        # One more is seen below the chosen one: the key goes on to something.
        first = max(0, min(choice - rows + 2, len(candidates) - rows))
        # Only those that are seen: a long name further down must not cut theirs short.
        seen = candidates[first : first + rows]
        return CandidateRows(seen, choice - first, self._width).lines()

    def _next_one(self) -> Text:
        """What the key for the next reading goes on to; at the last one, the other key."""
        candidates, choice = self._proposal.candidates, self._proposal.choice
        at, action = choice + 1, Action.READING_DOWN
        if at >= len(candidates):
            at, action = choice - 1, Action.READING_UP
        head = Text(f"or {self._keys.shown(action)}", theme.BRASS)
        both = candidates[choice], candidates[at]
        rows = CandidateRows(both, 0, self._width - head.cell_len + 1)
        return head.append_text(rows.row(1, False)[1:])


class CandidateRows:
    """Readings in rows of at most so many cells less one, that of `choice` marked."""

    def __init__(self, candidates: Sequence[Candidate], choice: int, width: int) -> None:
        self._tags = [one.tags for one in candidates]
        self._told = _all_told(self._tags)
        self._choice, self._width = choice, width
        self._set_of = self._sets()
        self._numbers = [_number(tags.number) for tags in self._tags]
        self._subject = self._variant = True
        self._share = list(_LEAST)
        self._fit()
        names = tuple(dict.fromkeys(filter(None, self._set_of)))
        self._short = dict(zip(names, apart(names, self._share[2]), strict=True))

    def _sets(self) -> list[str]:
        """The set of each row where it is told: a set that differs is what tells two readings
        apart; the same one would only fill the line."""
        chosen = self._tags[self._choice].set
        times = Counter(tags.title for tags in self._tags)
        sets = {tags.set for tags in self._tags}
        return [
            printable(tags.set)
            if tags.set != chosen or (len(sets) > 1 and times[tags.title] > 1)
            else ""
            for tags in self._tags
        ]

    def _fit(self) -> None:
        """Leave out what all rows share, as far as that is needed; then cut the widest columns
        short."""
        self._count()
        if self._over():
            self._leave_out_totals()
        if self._over() and len(set(self._told)) == 1:
            self._variant = False
        if self._over() and len({tags.subject for tags in self._tags}) == 1 and self._sets_differ():
            self._subject = False
        room = self._width - 3 - self._fixed()
        self._share = fit_columns(self._needs(), self._lows(), room)

    def _leave_out_totals(self) -> None:
        """`NM-001` for `NM-001/110`, unless that is what tells two rows apart."""
        short = [_number(split_total(tags.number)[0]) for tags in self._tags]
        if len(set(short)) == len(set(self._numbers)):
            self._numbers = short

    def _sets_differ(self) -> bool:
        return all(self._set_of)

    def _count(self) -> None:
        self._longest = (
            max(len(printable(tags.subject, 40)) for tags in self._tags),
            max(map(len, self._told)),
            max(map(len, self._set_of)),
        )

    def _needs(self) -> list[int]:
        shown = (self._subject, self._variant, any(self._set_of))
        return [need * on for need, on in zip(self._longest, shown, strict=True)]

    def _lows(self) -> list[int]:
        return [min(low, need) for low, need in zip(_LEAST, self._needs(), strict=True)]

    def _fixed(self) -> int:
        """Cells of the number, and between the columns."""
        return self._wide + self._subject + self._variant + 3 * any(self._set_of)

    @property
    def _wide(self) -> int:
        """Cells of the number's column."""
        return max(NUMBER, *map(len, self._numbers))

    def _over(self) -> bool:
        return 3 + self._fixed() + sum(self._needs()) > self._width

    def lines(self) -> Lines:
        """The heading, and a row each."""
        shown = (self.row(at, at == self._choice) for at in range(len(self._tags)))
        return [Text("or", theme.BRASS), *shown]

    def row(self, at: int, meant: bool) -> Text:
        """One of them; `meant`: with the mark and the colour of the chosen one."""
        tags, set_name = self._tags[at], self._set_of[at]
        weak, strong = (theme.BRIGHT, theme.BRIGHT) if meant else (theme.DIM, theme.PLAIN)
        # One colour for mark and number: each change of it is twenty bytes for the terminal.
        line = Text("▸ ", theme.BRASS) if meant else Text("  ", weak)
        number = self._numbers[at]
        line.append(f"{number:<{self._wide}}" if self._subject else number, weak)
        if self._subject:
            # a row that tells no set has the room of that column as well
            spare = 3 + self._share[2] if any(self._set_of) and not set_name else 0
            line.append(f" {middle(printable(tags.subject, 40), self._share[0] + spare)}", strong)
        if self._variant:
            line.append(f" {middle(self._told[at], self._share[1])}", theme.DIM)
        if set_name:
            line.append(f" · {self._short[set_name]}", theme.SEA)
        return cut(line, self._width - 1)


def _all_told(rows: Sequence[Tags]) -> list[str]:
    """What is told of each row beside its name; the condition where nothing else tells two of them
    apart."""
    told = [_told(tags) for tags in rows]
    same = Counter(
        zip((tags.title for tags in rows), (tags.set for tags in rows), told, strict=True)
    )
    return [
        joined(one, printable(tags.condition, 20), between=" · ")
        if same[tags.title, tags.set, one] > 1
        else one
        for tags, one in zip(rows, told, strict=True)
    ]


def _told(tags: Tags) -> str:
    """Variant and series, and that a card is in no checklist; of the plain card these alone, where
    it has them."""
    unlisted, series = "" if tags.listed else "unlisted", series_of(tags.extra)
    variant = "" if (unlisted or series) and tags.variant == BASE else tags.variant
    return printable(joined(variant, unlisted, series), 40)


def _number(number: str) -> str:
    return f"#{printable(number, LONGEST)}" if number else "–"
