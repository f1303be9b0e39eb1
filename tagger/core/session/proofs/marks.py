"""What the dealer says of the lines of a page of proofs."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

    from tagger.core.model.tags import Tags
    from tagger.core.session.proofs.page import ProofLine, ProofPage, Proofs

WRONG, PROPOSED = -1, 0  # which of its variants a line is; more than 0 is another parallel


class ProofMarks:
    """At first every line is right. `at` is the line that the arrows are at, counted from 0."""

    def __init__(self, proofs: Proofs, page: ProofPage) -> None:
        self._proofs, self.page = proofs, page
        self.at = 0
        self._turned = [PROPOSED] * len(page.lines)
        self._typed: dict[int, Tags] = {}
        self._unseen: frozenset[int] = frozenset()

    def move(self, by: int) -> None:
        """Go so many lines on, at most to either end."""
        self.at = min(max(0, self.at + by), max(0, len(self.page.lines) - 1))

    def cross_out(self, at: int) -> None:
        """A line is wrong, so that its card stays for the desk; once more, and it is right."""
        self.at = at
        right = self.tags(at) is None
        self._typed.pop(at, None)
        # Back to what was proposed, and not to a parallel that was turned to before: nothing of a
        # line that was wrong is to be trusted.
        self._turned[at] = PROPOSED if right else WRONG

    def turn(self, by: int) -> None:
        """The line at the cursor is its next variant, or the one before: as proposed, in each other
        parallel, wrong, and round again."""
        variants = self._proofs.variants(self.page.lines[self.at])
        self._typed.pop(self.at, None)
        # One place more, for `wrong`, which lies before the proposal.
        places = len(variants) + 1
        self._turned[self.at] = (self._turned[self.at] + 1 + by) % places - 1

    def type(self, hint: str) -> None:
        """The line at the cursor is of the parallel, serial number and condition that a hint says,
        wrong where it says none yet. Raises Refused where it says anything else."""
        self._typed.pop(self.at, None)
        # Wrong until the hint is read: half a word must never be accepted by an Enter that came too
        # early.
        self._turned[self.at] = WRONG
        if hint.strip():
            self._typed[self.at] = self._proofs.typed(self.page.lines[self.at], hint)

    def unseen(self, lines: frozenset[int]) -> None:
        """The print of these lines cannot be shown, so that nothing is accepted for them."""
        self._unseen = lines

    def is_seen(self, at: int) -> bool:
        """Whether the print of a line can be shown."""
        return at not in self._unseen

    def tags(self, at: int) -> Tags | None:
        """What a line is tagged as; None where its card stays for the desk."""
        # Before all that was typed: what the screen did not show is not tagged, whatever was said
        # of it.
        if at in self._unseen:
            return None
        if at in self._typed:
            return self._typed[at]
        if (turned := self._turned[at]) == WRONG:
            return None
        return self._proofs.variants(self.page.lines[at])[turned]

    def print_run(self, at: int) -> int | None:
        """The print run of the parallel that a line is of, where its serial number is not typed."""
        tags = self.tags(at)
        return None if tags is None or tags.serial else self._proofs.print_run(tags)

    def chosen(self) -> Sequence[tuple[ProofLine, Tags]]:
        """The lines that are accepted, each with its tags."""
        return [
            (line, tags)
            for at, line in enumerate(self.page.lines)
            if (tags := self.tags(at)) is not None
        ]

    def left(self) -> Sequence[ProofLine]:
        """The lines that stay for the desk."""
        return [line for at, line in enumerate(self.page.lines) if self.tags(at) is None]
