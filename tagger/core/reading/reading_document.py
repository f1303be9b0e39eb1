"""A reading as plain values for JSON, and the other way."""

from __future__ import annotations

from typing import Any

from tagger.core.model.pose import TURNS
from tagger.core.reading.printed import Box, CardReading, PrintedText


def reading_document(reading: CardReading) -> dict[str, Any]:
    """A reading as plain values."""
    over = reading.upside_down
    return {
        "whole": reading.whole,
        "upside_down": None if over is None else sorted(over),
        "texts": [
            [text.side, text.text, text.confidence, text.box, text.others, text.on_card, text.turn]
            for text in reading.texts
        ],
    }


def reading_from(document: Any) -> CardReading:
    """The opposite. Raises LookupError, TypeError or ValueError where it is none."""
    over = document["upside_down"]
    return CardReading(
        tuple(map(_text, document["texts"])),
        bool(document["whole"]),
        None if over is None else frozenset(map(str, over)),
    )


def _text(kept: Any) -> PrintedText:
    side, text, confidence, box, others, on_card, turn = kept
    if turn not in TURNS:
        raise ValueError("not a turn")
    more = tuple((str(other), _share(share)) for other, share in others)
    spot = _box(box), more, _box(on_card), int(turn)
    return PrintedText(str(side), str(text), _share(confidence), *spot)


def _box(kept: Any) -> Box:
    left, top, right, bottom = map(_share, kept)
    return Box(left, top, right, bottom)


def _share(kept: Any) -> float:
    # written so that NaN, which Python reads from JSON, is refused as well
    if not isinstance(kept, int | float) or not 0 <= kept <= 1:
        raise ValueError("not a share")
    return float(kept)
