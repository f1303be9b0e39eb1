"""What the program has other processes do is done in this one, at once: to begin them anew for each
case would take a hundred times as long as the case itself."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import Future
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

if TYPE_CHECKING:
    from tagger.core.reading.printed import CardReading
    from tagger.imaging.reading.asked import CardAsked
    from tagger.imaging.survey.workers import Workers
    from tagger.services.reading.reading_process import ReadingProcess

Answer = TypeVar("Answer")


def work_at_once() -> None:
    """From now on, in this process."""
    from tagger.imaging.survey.workers import Workers
    from tagger.services.reading.reading_process import ReadingProcess

    Workers.submit = _submit  # type: ignore[method-assign]
    # what reads has networks to load, and is no part of what is tried here
    ReadingProcess.read = _read  # type: ignore[method-assign]


def _submit(self: Workers, work: Callable[..., Answer], *given: object) -> Future[Answer]:
    from tagger.imaging.scan.decoder_words import decoders_kept_quiet

    future: Future[Answer] = Future()
    try:
        with decoders_kept_quiet():
            future.set_result(work(*given))
    except Exception as error:
        future.set_exception(error)
    return future


def _read(self: ReadingProcess, asked: CardAsked) -> CardReading:
    from support import read_cards

    # a damaged lot may have a card without a front
    number = sum(sum(map(ord, Path(side.scan).stem)) for side in asked.sides.values()) % 20
    return read_cards.card(str(number), "Ada Marsh", "A sentence of the back.")
