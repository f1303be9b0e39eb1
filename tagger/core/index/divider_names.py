"""What the checklists have of the names on dividers."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tagger.core.dividers.request import Listed

if TYPE_CHECKING:
    from tagger.core.index.index import Index


def listed_by(index: Index) -> Listed:
    """The sets of some checklists, and the parallels of each."""

    def parallels(name: str) -> list[str]:
        set_id = index.set_id(name)
        if set_id is None:
            return []
        # thousands of cards share few kinds
        kinds = {index.parallels_of[step] for step in index.steps(set_id)}
        return list(
            dict.fromkeys(one.name for kind in sorted(kinds) for one in index.parallels(kind))
        )

    return Listed(index.sets, parallels)
