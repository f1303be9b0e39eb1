"""What the desk is made of, as each of its modes has it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, NamedTuple

from rich.text import Text
from textual.geometry import Size
from textual.screen import Screen

from tagger.core.session.seen import Seen
from tagger.ui import theme
from tagger.ui.desk import status_lines
from tagger.ui.widgets.line_box import LineBox

if TYPE_CHECKING:
    from tagger.core.audit.poses import Poses
    from tagger.core.session.loupes.loupe import LoupeMemory
    from tagger.core.session.proposal import Proposal
    from tagger.core.session.session import Session
    from tagger.core.session.unfinished import HintMemory, UnfinishedHint
    from tagger.preview.pictures import Source
    from tagger.preview.render_settings import RenderSettings
    from tagger.services.background.ports import BackgroundWork, HubWork
    from tagger.ui.desk.actions import Actions
    from tagger.ui.desk.background.background_monitor import BackgroundMonitor
    from tagger.ui.desk.background.checklist_reader import ChecklistReader, ListAsker, ReadLists
    from tagger.ui.desk.background.hub_monitor import HubMonitor
    from tagger.ui.desk.background.reading_client import ReadingAhead, ReadingClient
    from tagger.ui.desk.background.recognition_client import RecognitionClient, RecognitionMemory
    from tagger.ui.desk.findings import Findings
    from tagger.ui.desk.hint_entry import HintEntry
    from tagger.ui.desk.pictures.previews import Previews
    from tagger.ui.keys import Action, Keymap
    from tagger.ui.message_line import MessageLine
    from tagger.ui.modes import ModeStack
    from tagger.ui.terminal.frame_scheduler import FrameScheduler


class DeskSetup(NamedTuple):
    """A lot that is open, and all that its desk needs from the outside."""

    session: Session
    lot: str
    """The lot's name, printable."""
    source: Source
    read_lists: ReadLists
    keys: Keymap
    loupes: tuple[LoupeMemory, LoupeMemory]
    work: BackgroundWork
    poses: Poses
    manner: RenderSettings
    notice: str = ""
    """What is said when the desk opens."""
    first_time: Callable[[], None] | None = None
    """Called at the first key where the program is opened for the first time on this machine."""
    known: tuple[RecognitionMemory | None, str] = (None, "")
    """What remembers how cards look, and the lot's folder as it is known there."""
    readings: ReadingAhead | None = None
    """What reads the print of the cards, where that is installed and wanted."""
    export: str = "tagger export FOLDER --to cards.csv"
    """The command that writes the lot's table."""
    unfinished: HintMemory | None = None
    """What keeps a hint that was typed when the lot was left."""
    ask_lists: Callable[[], ListAsker] | None = None
    """Gives what knows of new lists; called when all are read."""
    left: Callable[[], None] | None = None
    """Called when the desk is gone from the terminal."""
    hub: HubWork | None = None
    """What publishes the lot, where the settings name a hub."""


@dataclass(frozen=True, eq=False, repr=False)
class DeskBoxes:
    """The boxes of lines: around the cards, beside them, and over the whole screen."""

    status: LineBox = field(default_factory=lambda: LineBox(theme.BAR, "status"))
    panel: LineBox = field(default_factory=lambda: LineBox(theme.PLAIN, "panel"))
    was: LineBox = field(default_factory=lambda: LineBox(theme.PLAIN, "was"))
    message: LineBox = field(default_factory=lambda: LineBox(theme.PLAIN, "message"))
    hint: LineBox = field(default_factory=lambda: LineBox(theme.BAR, "hint"))
    keys: LineBox = field(default_factory=lambda: LineBox(theme.PLAIN, "keys"))
    manual: LineBox = field(default_factory=lambda: LineBox(theme.PLAIN, "manual"))
    past: LineBox = field(default_factory=lambda: LineBox(theme.PLAIN, "past"))
    list: LineBox = field(default_factory=lambda: LineBox(theme.PLAIN, "list"))


class DeskParts(NamedTuple):
    """The session, the lot's name and the command that writes its table; the keys, what is typed,
    what of it is kept, and what is said; what is seen; what goes on behind."""

    screen: Screen[None]
    session: Session
    lot: str
    export: str
    keys: Keymap
    modes: ModeStack[Action]
    hint: HintEntry
    unfinished: UnfinishedHint
    message: MessageLine
    actions: Actions
    boxes: DeskBoxes
    painting: FrameScheduler
    previews: Previews
    lists: ChecklistReader
    findings: Findings
    background: BackgroundMonitor
    recognition: RecognitionClient
    hub: HubMonitor
    reading: ReadingClient

    def proposal(self) -> Proposal:
        """What Enter would do with what is typed now."""
        return self.lists.proposal(self.hint.text, self.hint.choice, self.seen)

    @property
    def seen(self) -> Seen | None:
        """What was seen of the card in front and shown to the dealer."""
        alike, read, card = self.recognition.alike, self.reading.print, self.session.view.card
        if card is None or (alike is None and read is None):
            return None
        return Seen(card.id, alike, read)

    @property
    def size(self) -> Size:
        """The terminal's, in cells."""
        return self.screen.app.size

    def draw_frame(self, hint: Text, keys: Text) -> None:
        """Draw the lines around the cards; `hint` and `keys` are the two lowest ones."""
        # By the terminal's width: the boxes have none before they are laid out first.
        session, boxes, width = self.session, self.boxes, self.size.width
        self.ask()
        found = " · ".join(filter(None, (self.findings.tell(self.keys), self.hub.sign)))
        boxes.status.show([status_lines.status(session, self.lot, width, found)])
        was = status_lines.was_and_last(session, self.keys, width)
        self.draw_said(was, self.message.lines(width))
        boxes.hint.show([hint])
        boxes.keys.show([keys])

    def ask(self) -> None:
        """Have the cards among the problems whose scans were replaced, as the lot is now."""
        replaced = self.session.scans.replaced
        if (asked := replaced.positions()) != self.findings.asked:
            # loaded where something is asked, and that is seldom
            from tagger.core.audit.replaced_findings import replaced_findings

            found = replaced_findings(self.session.view, asked, replaced.now)
            self.findings.ask(asked, found)

    def draw_said(self, about: Text, said: Sequence[Text]) -> None:
        """Draw what is said below what it is about; what has no room in one line takes the place of
        the other, and more."""
        boxes = self.boxes
        if len(said) > 1:
            about, *said = said
        boxes.was.show([about])
        boxes.message.show(said)
        boxes.message.grow(len(said))

    def draw_panel(self, lines: list[Text]) -> None:
        """Draw the panel beside the cards, set in by a cell from them."""
        self.boxes.panel.show([Text(" ").append_text(line) for line in lines])

    @property
    def panel_room(self) -> tuple[int, int]:
        """Width and height of what `draw_panel` takes, in cells."""
        size = self.boxes.panel.size
        return size.width - 1, size.height
