"""Words that the conditions of copies are called by, and finishes behind these."""

from __future__ import annotations

import re

from tagger.core.checklist.named.finishes import is_finish

# common practice, no source
_GRADE = re.compile(
    r"^(?:near[ -]?mint|mint|(?:lightly|light|slightly|moderately|moderate|heavily|heavy)[ -]"
    r"play(?:ed)?|played|excellent|very good|good|poor|damaged|fair|new|used|"
    r"nm(?:[/-]m(?:t|int)?)?|m|mt|lp|sp|mp|hp|dmg|ex|vg|gd|pl|po)(?![^\W\d_])"
    r"[\s,;:/(–—-]*(?P<finish>[^\s()][^()]*?)?\)?$",
    re.IGNORECASE,
)
_EDITION = re.compile(r"(?:1st|first) edition\b", re.IGNORECASE)


def finish_behind_grade(cell: str) -> str:
    """The finish behind a condition, as `Foil` in `Near Mint Foil`; empty where none is."""
    match = _GRADE.match(cell.strip())
    finish = (match["finish"] or "") if match else ""
    return finish if is_finish(finish) or _EDITION.match(finish) else ""


def is_graded(cell: str) -> bool:
    """Whether a cell begins with a condition: `Near Mint`, `LP Foil`."""
    return _GRADE.match(cell.strip()) is not None
