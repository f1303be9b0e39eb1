"""What columns are called, as the user corrected it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tagger.store.list_names import ListCorrections, ListNames, keyed
from tagger.store.machine.paths import config_file

if TYPE_CHECKING:
    from tagger.config import Settings


def list_names(settings: Settings | None = None) -> ListNames:
    """What the user says that the columns of lists are. Raises ConfigError."""
    if settings is None:
        from tagger.config import load_settings

        settings = load_settings(config_file())
    lists = {name: keyed(columns) for name, columns in settings.lists.items()}
    return ListNames(keyed(settings.columns), lists, ListCorrections().all())
