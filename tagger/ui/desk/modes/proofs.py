"""The page of proofs: cards that were read beyond doubt, one below the other, each with its print
cut out of the scan. What is wrong is marked, Enter accepts the rest.

Nothing is accepted that was not on the screen whole, and not before there was time to look."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from time import monotonic
from typing import TYPE_CHECKING

from rich.text import Text
from textual import events
from textual.containers import Horizontal

from tagger.core.session.proofs.marks import ProofMarks
from tagger.core.session.proofs.page import ProofPage, Proofs, untagged_from
from tagger.errors import Refused
from tagger.preview.pictures import Drawn
from tagger.ui import theme
from tagger.ui.bottom_lines import hint, keys_among
from tagger.ui.desk import status_lines
from tagger.ui.desk.layout import LINES
from tagger.ui.desk.modes import proof_lines
from tagger.ui.desk.modes.proof_lines import DIGITS, ProofLayout
from tagger.ui.desk.pictures.cut_outs import CutOut, CutOuts, cut_out_pictures
from tagger.ui.hint_line import HintLine
from tagger.ui.keys import Action, KeyHint
from tagger.ui.modes import Mode
from tagger.ui.widgets.cell_column import CellColumn, Row
from tagger.ui.widgets.line_box import LineBox

if TYPE_CHECKING:
    from tagger.core.model.scan_ref import ScanRef
    from tagger.ui.desk.parts import DeskParts

GLANCE = 0.8  # seconds that a page is on the screen before Enter accepts it: no eye is faster
EMPTY = " digit: that line is wrong · then its parallel: g, silver, 12/99"
PROMPT = " line {} ▸ "
KEYS: Sequence[KeyHint] = (
    (Action.TAKE, "accept the page"), ("down", "↑ other line"), ("right", "← other parallel"),
    (Action.CHOOSE, "wrong"), (Action.UNDO, "undo"), (Action.HELP, "help"),
    (Action.PROOFS, "close"),
)  # fmt: skip
LINES_ON, VARIANTS_ON = {"down": 1, "up": -1}, {"right": 1, "left": -1}
STAYS = frozenset((Action.HELP, Action.REDRAW, Action.LEAVE))


class ProofsPane(Horizontal):
    """The four columns of the page."""

    DEFAULT_CSS = """
    ProofsPane { height: 1fr; display: none; }
    ProofsPane > * { height: 100%; }
    """

    def __init__(self) -> None:
        self.signs = LineBox(theme.PLAIN, "proof_signs")
        self.number, self.name_ = CellColumn("proof_numbers"), CellColumn("proof_names")
        self.words = LineBox(theme.PLAIN, "proof_words")
        super().__init__(self.signs, self.number, self.name_, self.words, id="proofs")

    def share_out(self, layout: ProofLayout) -> None:
        """Give each column its cells."""
        self.signs.styles.width = proof_lines.SIGNS
        self.number.styles.width, self.name_.styles.width = layout.number, layout.name
        self.words.styles.width = layout.words


class NotYet(Refused):
    """What is kept of the next cards is still being looked up."""


class ProofsMode(Mode[Action]):
    """Open until a key closes it or no further card is sure."""

    css = "-proofs"
    keys_here = KEYS
    pictured = False
    topic = "reading"

    def __init__(self, parts: DeskParts) -> None:
        """Raises Refused where no card is sure from the one in front on, NotYet where that is known
        in a moment."""
        self._parts = parts
        self._proofs = Proofs(parts.session, parts.reading.print_of)
        self._first = parts.session.view.cursor.position
        self._arrangement = parts.session.view.arrangement
        self._layout = self._laid_out()
        # asked before the cards are: what came meanwhile is missed no more by the next try
        more = parts.reading.catching_up
        page = self._proofs.page(self._first, self._layout.lines, self._proofs.here())
        if page.unread and more:
            raise NotYet("The page of proofs opens in a moment; any key goes on without it.")
        self._marks = self._marked(page)
        self._desk_line, parts.hint.line = parts.hint.line, HintLine()
        self._pane = ProofsPane()
        previews = parts.previews
        pictures = cut_out_pictures(previews.source, previews.manner, self._came)
        self._pictures = CutOuts(parts.session, previews.poses, pictures)
        self._next: ProofPage | None = None
        self._whole_since: float | None = None
        self._in_page: Mapping[Action, Callable[[], str]] = {
            Action.TAKE: self._take,
            Action.PROOFS: self._close,
            Action.CHOOSE: lambda: self._cross_out(self._marks.at),
            Action.UNDO: lambda: self._turn_back(parts.session.undo),
            Action.REDO: lambda: self._turn_back(parts.session.redo),
        }
        parts.screen.mount(self._pane, before=parts.boxes.was)
        # A column knows its size only once it has been laid out.
        parts.screen.call_after_refresh(parts.painting.later)

    def _laid_out(self) -> ProofLayout:
        width, height = self._parts.size
        fine = self._parts.previews.manner.print.down
        return proof_lines.lay_out(width, max(1, height - LINES), fine)

    def _page_from(self, position: int) -> ProofMarks:
        """The page from a card on. Raises Refused where no card is sure there."""
        return self._marked(self._proofs.page(position, self._layout.lines, self._proofs.here()))

    def _marked(self, page: ProofPage) -> ProofMarks:
        if not page.lines:
            why = "The next cards are not read yet." if page.unread else "None of the next is sure."
            raise Refused(f"No card for a page of proofs here. {why}")
        return ProofMarks(self._proofs, page)

    # Keys

    def on_key(self, event: events.Key, action: Action | None) -> bool:
        """Do what a key does on the page; what is for the whole screen is left to the desk."""
        if action in STAYS:
            return False
        with self._parts.message.complaints():
            self._parts.message.say(self._done(event, action))
        return True

    def _done(self, event: events.Key, action: Action | None) -> str:
        if action is not None and action in self._in_page:
            return self._in_page[action]()
        if event.key in LINES_ON:
            return self._go(LINES_ON[event.key])
        if not self._parts.hint.text:
            if event.key in VARIANTS_ON:
                self._marks.turn(VARIANTS_ON[event.key])
                return ""
            if event.character and event.character in DIGITS:
                return self._cross_out(DIGITS.index(event.character))
        if action is not None:
            close = self._parts.keys.shown(Action.PROOFS)
            raise Refused(f"That key works on one card: {close} closes the page.")
        return self._typed(event)

    def on_text(self, text: str) -> bool:
        """Pasted text says nothing here."""
        return True

    def _go(self, by: int) -> str:
        self._parts.hint.clear()
        self._marks.move(by)
        return ""

    def _cross_out(self, at: int) -> str:
        if at >= len(self._marks.page.lines):
            raise Refused("The page has no such line.")
        self._parts.hint.clear()
        self._marks.cross_out(at)
        return ""

    def _typed(self, event: events.Key) -> str:
        entry = self._parts.hint
        if not entry.edit(event.key):
            if event.character is None or not event.is_printable:
                return ""
            entry.type(event.character)
        self._marks.type(entry.text)
        return ""

    # Accepting

    def _take(self) -> str:
        since = self._whole_since
        if since is None:
            raise Refused("Not accepted: the page is not drawn yet.")
        if monotonic() - since < GLANCE:
            raise Refused("Not accepted: look the page over, then press the key again.")
        marks = self._marks
        if self._arrangement is not self._parts.session.view.arrangement:
            self._arrangement = self._parts.session.view.arrangement
            self._onward(self._first)
            raise Refused("Not accepted: the lot changed meanwhile; look the page over again.")
        said = self._proofs.take(marks.page, marks.chosen())
        return f"{said} {self._onward(marks.page.last + 1)}".rstrip()

    def _onward(self, position: int) -> str:
        """Show the page from a card on, or close where there is none."""
        self._parts.hint.clear()
        try:
            self._show(self._page_from(position))
        except Refused:
            return self._close()
        return ""

    def _show(self, marks: ProofMarks) -> None:
        self._marks, self._next, self._whole_since = marks, None, None

    def _turn_back(self, turn: Callable[[], str]) -> str:
        said = turn()
        at = self._parts.session.view.cursor.position
        self._first = min(self._first, at)
        return f"{said} {self._onward(at)}".rstrip()

    def _close(self) -> str:
        parts, session = self._parts, self._parts.session
        parts.modes.close(self)
        parts.hint.line = self._desk_line
        self._pictures.close()
        self._pane.remove()
        # What was left on the way comes before what lies behind it.
        left = next(untagged_from(session, self._first), None)
        return "" if left is None else session.go(left)

    # Drawing

    def _came(self, ref: ScanRef) -> None:
        """Called from the drawing thread."""
        with suppress(RuntimeError):  # the desk was left meanwhile
            self._parts.screen.call_later(self._parts.painting.later)

    def draw(self) -> None:
        """The page as far as its cut-outs are there."""
        parts, width = self._parts, self._parts.size.width
        self._fit()
        marks, layout = self._marks, self._layout
        cuts = [self._pictures.of(line, layout.boxes) for line in marks.page.lines]
        marks.unseen(frozenset(at for at, cut in enumerate(cuts) if cut.failed))
        self._draw_columns(cuts)
        missing = sum(not cut.whole for cut in cuts)
        if not missing and self._whole_since is None and self._pane.signs.size.height:
            # it is seen when it is drawn, on a busy machine later
            parts.screen.call_after_refresh(self._on_screen, marks)
        self._ask_for_pictures(missing)
        parts.boxes.status.show([status_lines.status(parts.session, parts.lot, width)])
        said: Sequence[Text] = parts.message.lines(width)
        if not parts.message.alarm:
            done = parts.message.text
            said = [proof_lines.what_enter_does(marks, missing, done, width)]
        parts.draw_said(proof_lines.about(marks, width), said)
        prompt = PROMPT.format(marks.at + 1)
        parts.boxes.hint.show([hint(parts.hint.line, width, EMPTY, prompt)])
        parts.boxes.keys.show([keys_among(KEYS, parts.keys, width)])

    def _on_screen(self, marks: ProofMarks) -> None:
        if marks is self._marks and self._whole_since is None:
            self._whole_since = monotonic()

    def _fit(self) -> None:
        """Lay the page out for the screen as it is; on a smaller one, only the lines that are seen
        whole are of the page."""
        layout = self._laid_out()
        if layout != self._layout:
            self._layout = layout
            with suppress(Refused):
                self._show(self._page_from(self._marks.page.first))
        self._pane.share_out(layout)

    def _draw_columns(self, cuts: Sequence[CutOut]) -> None:
        pane, layout, marks = self._pane, self._layout, self._marks
        pane.display = True
        pane.signs.show(proof_lines.signs(marks, layout))
        pane.number.show(_stacked(layout, [_rows(cut.number) for cut in cuts]))
        pane.name_.show(_stacked(layout, [_rows(cut.name) for cut in cuts]))
        pane.words.show(proof_lines.words(marks, layout))

    def _ask_for_pictures(self, missing: int) -> None:
        """Those of this page, and when they are there those of the next one."""
        page = self._marks.page
        lines = list(page.lines)
        if not missing:
            if self._next is None:
                self._next = self._proofs.page(page.last + 1, self._layout.lines, page.after)
            lines = list(self._next.lines)
        self._pictures.want(lines, self._layout.boxes)


def _rows(cut: object) -> Sequence[Row]:
    if not isinstance(cut, Drawn):
        return ()
    return list(zip(cut.rows, cut.text, strict=True))


def _stacked(layout: ProofLayout, rows: Sequence[Sequence[Row]]) -> list[Row]:
    """Cut-outs one below the other, each in the rows of its line; lower ones are filled up."""
    found: list[Row] = []
    for one in rows:
        found += [*one[: layout.rows], *(None for _ in range(layout.rows - len(one)))]
    return found
