"""What was measured on the scans of a folder, and which codes of dividers were seen on them: kept
so that each scan is measured once."""

from __future__ import annotations

from pathlib import Path

from tagger.core.audit.measured import Measured, measured_from
from tagger.core.dividers.seen import CodeSeen, code_from
from tagger.store.caches.scan_cache import Kind, ScanCache

# the number changes with what is measured and how, so that nothing of an older program is used
MARK = b"tagger measured 20"
CODES_MARK = b"tagger codes 1"


def _lasts(measured: Measured) -> bool:
    # what could not be read may be readable again without the file being another one
    return measured.state not in ("gone", "unreadable")


MEASURED = Kind(MARK, "measured", Measured.document, measured_from, _lasts)
CODES = Kind(CODES_MARK, "codes", CodeSeen.document, code_from)


class MeasuredCache(ScanCache[Measured]):
    """The measurements of one folder of scans."""

    def __init__(self, cache: Path, scans: Path) -> None:
        super().__init__(cache, scans, MEASURED)


class CodeCache(ScanCache[CodeSeen]):
    """The codes seen on the scans of one folder; nothing is kept of a scan that cannot be read."""

    def __init__(self, cache: Path, scans: Path) -> None:
        super().__init__(cache / "codes", scans, CODES)
