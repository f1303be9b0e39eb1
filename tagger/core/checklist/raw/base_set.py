"""What the base set is called, beside the parts of a set."""

from __future__ import annotations

import re

from tagger.core.model.text import fold

_BASE = frozenset(
    ["base", "baseset", "basecards", "basechecklist", "basissatz", "commons", "basis", "regular",
     "seriedebase", "basisserie", "grundserie", "grundset", "seriebasica", "seriebase", "setbase",
     "regularcards", "regularset", "regularissue", "basicset", "basiccards", "mainset",
     "regularekarten", "cartesregulieres", "cartasnormales", "carteregolari",
     "basisset", "basiskarten", "cartesdebase", "ベース", "ベースカード", "レギュラー",
     "レギュラーカード", "通常", "ノーマル"]
)  # fmt: skip
_FOLDED_BASE = frozenset(map(fold, _BASE))
_APART = re.compile(r"\s*(?:[-–—:,|]|\()\s*(?P<tail>[^-–—:,|()]+?)\)?\s*:?\s*$")


def is_base_set(name: str) -> bool:
    """Whether a name means the base set, and no part beside it."""
    return "".join(filter(str.isalnum, fold(name))) in _FOLDED_BASE


def without_base_set(name: str) -> str:
    """A name without the base set that stands apart behind it: `1987 Harbor Light - base`."""
    match = _APART.search(name)
    return name[: match.start()] if match and is_base_set(match["tail"]) else name
