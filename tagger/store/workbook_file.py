"""A workbook's file as any library is given it: packed (ZIP), bounded before it is unpacked, and
what goes wrong with it said in one way."""

from __future__ import annotations

import zipfile
from collections.abc import Iterator
from contextlib import contextmanager

from tagger.core.model.text import printable
from tagger.errors import LotError

_UNPACKED = 1 << 29  # bytes
MOST_PARTS = 2000


@contextmanager
def read_as_workbook(shown: str) -> Iterator[None]:
    """What fails meanwhile is raised as LotError: a damaged workbook fails in many ways."""
    try:
        yield
    except LotError:
        raise
    except Exception as error:
        raise unreadable(shown, error) from None


def unreadable(shown: str, error: Exception) -> LotError:
    """The error of a file that is no workbook, or a damaged one."""
    return LotError(f"{shown} cannot be read as a spreadsheet: {printable(str(error), 120)}.")


def parts_of(packed: zipfile.ZipFile, shown: str, never: str) -> list[zipfile.ZipInfo]:
    """The parts, by the archive's own list. Raises LotError where they are larger than what is
    read here ever is: a file of some kilobytes may unpack to more than memory holds. `never` says
    so: `no list is`."""
    parts = packed.infolist()
    if sum(part.file_size for part in parts) > _UNPACKED:
        size = _UNPACKED >> 20
        raise LotError(f"{shown} is larger than {size} MB when unpacked; {never}. Check the file.")
    return parts
