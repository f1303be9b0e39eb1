"""What this machine is among the stations of a hub: an identity that nobody chose, kept with the
list of lots, and a name."""

from __future__ import annotations

import os
import re
import socket

from tagger.core.model.text import printable
from tagger.errors import HubError
from tagger.store.files import read_bounded
from tagger.store.machine.paths import data_folder

_FILE = "station"
_MOST = 100  # bytes
_ID = re.compile(r"[0-9a-f]{32}")


def station_id() -> str:
    """This machine's identity, made when it is asked for first. Raises HubError where it cannot be
    kept."""
    path = data_folder() / _FILE
    found = _kept()
    if found:
        return found
    from uuid import uuid4

    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        new = path.with_name(f".{_FILE}.{os.getpid()}")
        new.write_text(f"{uuid4().hex}\n", encoding="ascii")
        try:
            # two programs may begin at once: the first one's stays
            os.link(new, path)
        except OSError:
            # a file of something else, or a file system without hard links
            if not _kept():
                os.replace(new, path)
        finally:
            new.unlink(missing_ok=True)
    except OSError as error:
        raise HubError(
            f"{printable(str(path))} cannot be written: {error.strerror}; it says which station "
            "this is."
        ) from None
    return _kept()


def station_name(chosen: str) -> str:
    """What this machine is called: as the settings say, else by its host name."""
    return printable(" ".join(chosen.split()) or socket.gethostname().partition(".")[0], 40)


def _kept() -> str:
    try:
        found = read_bounded(data_folder() / _FILE, _MOST).decode("ascii").strip()
    except (OSError, ValueError):
        return ""
    return found if _ID.fullmatch(found) else ""
