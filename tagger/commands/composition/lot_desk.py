"""A lot opened at the desk, and all that the desk needs of it."""

from __future__ import annotations

import contextlib
import os
import shlex
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from tagger.commands.composition.reading import readings_of
from tagger.config import Settings, load_settings
from tagger.core.audit.poses import Poses
from tagger.core.model.counted import counted
from tagger.core.model.text import printable
from tagger.errors import ConfigError, HubError, LotError, NoScans
from tagger.imaging.scan.folder import list_scans
from tagger.imaging.scan.scans import ScanReader
from tagger.services.background.background_jobs import BackgroundJobs
from tagger.services.background.recognition_process import RecognitionProcess
from tagger.services.drawing import print_drawing
from tagger.services.opening import change, missing_scans
from tagger.services.scans.sources import FolderSource
from tagger.services.stock_part import begin_stock
from tagger.store.caches.disk_cache import DiskCache
from tagger.store.lot.hint_file import HintFile
from tagger.store.machine.first_time import FirstTime
from tagger.store.machine.loupes import LoupeFile
from tagger.store.machine.paths import (
    LotPlace,
    cache_folder,
    config_file,
    data_folder,
)
from tagger.ui.desk.background_news import replaced_told
from tagger.ui.desk.parts import DeskSetup
from tagger.ui.desk.screen import DeskScreen
from tagger.ui.keys import Action, Keymap

if TYPE_CHECKING:
    from tagger.core.index.index import Indexed
    from tagger.preview.render_settings import RenderSettings
    from tagger.services.background.hub_courier import HubCourier
    from tagger.ui.desk.background.checklist_reader import ListAsker, ReadLists


class LotDesk:
    """A lot with everything around it, until `close`. `session` is open, the folder's scans are in
    it."""

    def __init__(
        self,
        place: LotPlace,
        settings: Settings,
        keys: Keymap,
        checklists: Sequence[Path] = (),
        look: bool = False,
        name: str = "",
    ) -> None:
        """`name` is the lot's own from now on. Raises LotError, LockedError, NotSaved."""
        self.settings, self.keys = settings, keys
        # Looking writes nothing, so no lot can begin with it.
        if look and not place.kept:
            raise LotError(
                f"{place.name} was never opened, so there is nothing to show; open it first."
            )
        # Asked of new lots alone: tags stay in reach where the scans were moved away.
        if not place.kept and not list_scans(place.folder).scans:
            raise NoScans(printable(str(place.folder)))
        # Before the lot is opened, because then their paths are remembered with it.
        for path in checklists:
            if not os.path.exists(path):
                raise LotError(f"There is no checklist {printable(str(path))}.")
        self._lot = change(place, settings, checklists, only_looking=look, name=name, patient=False)
        self.place = self._lot.place
        self.session = self._lot.session
        self._closed = False
        # cards of a lot that was tagged before there were stock numbers
        view = self.session.view
        if view.counts().tagged and not view.part and not self.session.looking:
            self.session.begin_stock()

    def number_with(self, part: str) -> None:
        """Have the lot's stock numbers begin with a part that the dealer chose. Raises Refused,
        NotSaved."""
        begin_stock(self._lot.store, self.place, part)

    def desk(
        self, manner: RenderSettings, said: str = "", left: Callable[[], None] | None = None
    ) -> DeskScreen:
        """The screen; `said` is told with what else the dealer should know; `left` as in
        DeskSetup."""
        settings, folder, session = self.settings, self.place.folder, self.session
        copies = DiskCache(cache_folder() / "pictures")
        source = FolderSource(
            ScanReader(folder, copies), lambda other: ScanReader(Path(other.folder), copies)
        )
        first = FirstTime(data_folder())
        # The index of what was tagged is large, so its process starts only where it is wanted.
        memory = RecognitionProcess() if settings.look_alikes else None
        return DeskScreen(
            DeskSetup(
                session=session,
                lot=self.place.name,
                source=source,
                read_lists=self._reader(),
                ask_lists=None if self.session.looking else self._questions,
                keys=self.keys,
                loupes=(LoupeFile(data_folder()), LoupeFile(data_folder(), "name_loupes")),
                work=BackgroundJobs(self.place),
                poses=Poses(settings.crop, settings.margin),
                manner=manner.with_print(print_drawing(settings.drawing)),
                notice=self._notice(said),
                first_time=first.over if first.now else None,
                known=(memory, str(folder)),
                readings=None if session.looking else readings_of(folder, settings),
                export=self.export_command(),
                unfinished=None if self.session.looking else HintFile(self.place.home),
                left=left,
                hub=self._courier(),
            )
        )

    def _courier(self) -> HubCourier | None:
        """What publishes the lot, where the settings name a hub."""
        if not self.settings.hub or self.session.looking:
            return None
        from tagger.services.background.hub_courier import HubCourier
        from tagger.services.hub.hub import hub_of

        # a machine that cannot say which station it is works all the same
        with contextlib.suppress(HubError):
            if hub := hub_of(self.settings):
                return HubCourier(self.place, hub)
        return None

    def _reader(self) -> ReadLists:
        def read(partly: Callable[[Indexed], None]) -> Indexed:
            # What reads hints is loaded with the checklists, so that the first card shows sooner.
            from tagger.services.lists.lot_checklists import indexed
            from tagger.services.lists.naming import list_names
            from tagger.store.machine.known_lists import KnownLists, lists_now

            paths = [Path(path) for path in lists_now(self.session.view.checklists)]
            read = indexed(paths, list_names(self.settings), partly)
            # when all is read: to know a list again costs another look at it
            if not self.session.looking:
                KnownLists().note(map(str, paths))
            return read

        return read

    def _questions(self) -> ListAsker:
        """What knows of lists that nobody has looked at yet."""
        from tagger.services.lists.list_reading import ListQuestions
        from tagger.services.lists.naming import list_names

        return ListQuestions(list_names(self.settings))

    def _notice(self, drawing: str) -> str:
        """What the dealer should know when the desk opens, the gravest first."""
        looking, keys, ignored = self.session.looking, self.keys, self._lot.folder.ignored
        words = list(self._lot.store.notes)
        if told := replaced_told(self.session.scans.replaced.positions(), keys):
            words.append(told)
        if gone := missing_scans(self.session.view, self._lot.folder.scans):
            words.append(gone)
        if (renamed := self._lot.renamed) and not looking:
            are = "scan was" if renamed == 1 else "scans were"
            words.append(f"{renamed} {are} renamed; the cards keep their tags.")
        if looking:
            words.insert(0, f"{looking[0].upper()}{looking[1:]}.")
        words.append(f"Sides: {self.session.view.sides} ({keys.shown(Action.SIDES)} changes).")
        if ignored:
            words.append(f"{counted(ignored, 'other file is', 'other files are')} ignored.")
        if drawing:
            words.append(drawing)
        words.append(f"{keys.shown(Action.HELP)} shows all keys.")
        return " ".join(words)

    def export_command(self) -> str:
        """What is typed to write the lot's table."""
        kept_in = self.place.state
        state = f" --state {_as_typed(kept_in)}" if kept_in else ""
        return f"tagger export {_as_typed(self.place.folder)}{state} --to cards.csv"

    def close(self) -> None:
        """Let go of the lot; may be called again."""
        if not self._closed:
            self._closed = True
            try:
                self._lot.let_go()
            finally:
                self.session.close()
                self._lot.left()

    def closing_words(self) -> list[str]:
        """What to say of the lot once it is closed."""
        counts, sitting = self.session.view.counts(), self.session.sitting()
        last = "Nothing was changed." if self.session.looking else "Everything is saved."
        return [
            *([f"This sitting: {sitting.told()}."] if sitting.worth_telling else []),
            f"{self.place.name}: {counts.tagged} of {counts.cards} cards tagged, "
            f"{counts.set_aside} set aside. {last}",
        ]


def _as_typed(folder: Path) -> str:
    """A folder as it is typed in a shell: from here, where that is shorter."""
    full = os.path.abspath(folder)
    near = os.path.relpath(full)
    shown = near if len(near) < len(full) and not near.startswith("..") else full
    return shlex.quote(printable(shown))


def settings_and_keys() -> tuple[Settings, Keymap]:
    """The user's settings, with the keys they ask for. Raises ConfigError."""
    settings = load_settings(config_file())
    try:
        return settings, Keymap(settings.keys)
    except ConfigError as error:
        # The key map knows no file, and the user has to find the entry.
        raise ConfigError(f"{printable(str(config_file()))}: {error.message}") from None
