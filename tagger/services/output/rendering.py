"""Pictures made in processes beside this one, each of which loads this module: what it does not
need is not loaded here."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator, Sequence
from concurrent.futures import Future
from pathlib import Path
from typing import TYPE_CHECKING

from tagger.core.model.text import printable
from tagger.errors import PictureError
from tagger.imaging.scan.render_side import ImageOptions, picture_file

if TYPE_CHECKING:
    from tagger.core.model.pose import Pose
    from tagger.exchange.shown.pictures import Picture
    from tagger.imaging.survey.workers import Workers

AHEAD = 12  # pictures that are asked for at once


def rendered(
    place: Path, todo: Sequence[Picture], options: ImageOptions, workers: Workers
) -> Iterator[tuple[Picture, bytes | str]]:
    """Each picture with the bytes of its file, or the sentence that says why there are none, in the
    order given."""
    # Finished pictures wait in memory for their turn, so no more than some are asked for.
    asked: deque[tuple[Picture, Future[bytes | str]]] = deque()
    for one in todo:
        asked.append((one, workers.submit(render, place, one.sides, options)))
        if len(asked) >= AHEAD:
            first, future = asked.popleft()
            yield first, future.result()
    while asked:
        first, future = asked.popleft()
        yield first, future.result()


def render(place: Path, sides: Sequence[tuple[str, Pose]], options: ImageOptions) -> bytes | str:
    """The bytes of a picture, or the sentence that says why there are none."""
    try:
        return picture_file(place, tuple(sides), options)
    except PictureError as error:
        return error.message
    except (OSError, ValueError, MemoryError) as error:
        # A MemoryError says nothing.
        why = printable(str(error) or "too large", 120)
        return f"{printable(sides[0][0], 80)} cannot be made into a picture: {why}."
