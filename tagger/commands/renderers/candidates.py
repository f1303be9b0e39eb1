"""What a hint may mean, of `tagger match`: as text and as JSON."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tagger.core.matching.candidate import Candidate

# Named one by one: what is added to Tags must not change the document unasked.
_TAGS = ("set", "number", "subject", "team", "parallel", "serial", "condition")


def as_json(candidates: Sequence[Candidate], explain: bool) -> dict[str, object]:
    """The document of --json; with `explain` also what each word was read as."""
    return {"candidates": [_document(candidate, explain) for candidate in candidates]}


def _document(candidate: Candidate, explain: bool) -> dict[str, object]:
    document: dict[str, object] = {name: getattr(candidate.tags, name) for name in _TAGS}
    document["confidence"] = round(candidate.confidence, 4)
    if explain:
        document["reasons"] = [
            {"word": word, "read_as": meaning} for word, meaning in candidate.reasons
        ]
        document["problem"] = candidate.problem
    return document


def as_text(candidates: Sequence[Candidate], explain: bool) -> Iterator[str]:
    """A line a candidate, the likeliest first; with `explain` also what each word was read as."""
    for candidate in candidates:
        note = f"  ({candidate.problem})" if candidate.problem else ""
        tags = candidate.tags
        yield f"{candidate.confidence:5.0%}  {tags.set}  {tags.brief()}{note}"
        if explain:
            yield f"       {candidate.explained()}"
