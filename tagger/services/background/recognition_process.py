"""What was tagged on this machine and how it looks, held in a process of its own beside the desk.

The index is large and compares numbers by the thousand; the desk's interpreter has neither to hold
it nor to wait."""

from __future__ import annotations

import contextlib
from collections.abc import Callable, Sequence
from concurrent.futures import BrokenExecutor, CancelledError, Future
from concurrent.futures import TimeoutError as TookTooLong
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

from tagger.imaging.survey.workers import Workers
from tagger.store.machine.paths import looks_folder, measured_folder

if TYPE_CHECKING:
    from tagger.core.audit.measured import Measured
    from tagger.core.audit.signature import CardSides, KnownCard, Signature
    from tagger.core.session.recognition import KnownMatch
    from tagger.imaging.survey.hamming_index import NearestNeighbourIndex
    from tagger.imaging.survey.process_pool import Answer
    from tagger.store.caches.measured_cache import MeasuredCache
    from tagger.store.caches.signature_store import SignatureStore

LEAVING = 3.0  # seconds that leaving waits for what is still to be written


class RecognitionProcess:
    """Asks that process, in the order in which it is called. Never raises: without it nothing is
    proposed by a look."""

    def __init__(self) -> None:
        self._workers: Workers | None = None
        self._unsaved = False  # whether there is something that it was not asked to write yet
        self._saving: Future[None] | None = None

    def begin(self) -> None:
        """Start the process; it reads what is known by itself."""
        if self._workers is None:
            # One process, so that it answers in the order in which it is asked.
            self._workers = Workers(1, busy=True)
            self._submit(_begin)

    def remember(self, cards: Sequence[KnownCard], gone: Sequence[CardSides]) -> None:
        """Know these cards from now on, and no more what was remembered under those scans."""
        self._unsaved = True
        self._submit(_remember, tuple(cards), tuple(gone))

    def find(
        self, look: Signature, own: CardSides, answer: Callable[[KnownMatch | None], None]
    ) -> None:
        """Give `answer` the known card that one looks like, from another thread; its own entry
        aside."""
        asked = self._submit(_find, look, own)
        if asked is not None:

            def done(found: Future[KnownMatch | None]) -> None:
                if not found.cancelled() and found.exception() is None:
                    answer(found.result())

            asked.add_done_callback(done)

    def keep(self) -> None:
        """Write what changed."""
        self._unsaved, self._saving = False, self._submit(_keep)

    def close(self) -> None:
        """Write what changed, and end."""
        if self._workers is None:
            return
        if self._unsaved:
            self.keep()
        if self._saving is not None:
            # Leaving does not hang on a slow disk.
            with contextlib.suppress(TookTooLong, BrokenExecutor, CancelledError, OSError):
                self._saving.result(LEAVING)
        self._workers.close()

    def _submit(self, work: Callable[..., Answer], *given: object) -> Future[Answer] | None:
        if self._workers is None:
            return None
        try:
            return self._workers.submit(work, *given)
        except (BrokenExecutor, RuntimeError, OSError):
            return None


# In the other process

_state: tuple[SignatureStore, NearestNeighbourIndex] | None = None


def _known() -> tuple[SignatureStore, NearestNeighbourIndex]:
    global _state
    if _state is None:
        from tagger.imaging.survey.hamming_index import NearestNeighbourIndex
        from tagger.store.caches.signature_store import SignatureStore

        known, index = SignatureStore(looks_folder()), NearestNeighbourIndex()
        index.add(*known.load())
        _state = known, index
    return _state


def _begin() -> None:
    _known()


def _remember(cards: tuple[KnownCard, ...], gone: tuple[CardSides, ...]) -> None:
    known, index = _known()
    # First the old entries: a card that is tagged anew would be known twice.
    index.remove(known.forget(gone))
    keys = known.remember(cards)
    index.add(keys, b"".join(card.look for card in cards))


def _find(look: Signature, own: CardSides) -> KnownMatch | None:
    from tagger.core.session.recognition import KnownMatch

    known, index = _known()
    alike = index.find(look)
    card = known.card(alike.key) if alike is not None else None
    if alike is None or card is None or card.scans == own:
        return None
    seen = _seen(card.scans, own)
    if seen is None:
        return KnownMatch(card, alike.sure)
    return KnownMatch(card, alike.sure, seen.corners, seen.dpi)


def _seen(scans: CardSides, own: CardSides) -> Measured | None:
    """What was measured of a card's front, where the desk does not know it."""
    # the desk knows what was measured of its own lot
    if scans.front is None or scans.folder == own.folder:
        return None
    return _measured(scans.folder).get(scans.front)


@lru_cache(maxsize=4)
def _measured(folder: str) -> MeasuredCache:
    from tagger.store.caches.measured_cache import MeasuredCache

    return MeasuredCache(measured_folder(), Path(folder))


def _keep() -> None:
    _known()[0].keep()
