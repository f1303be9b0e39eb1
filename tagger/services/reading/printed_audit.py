"""The findings by what was read, put together in another process than the desk's."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

# what reads is loaded there alone
if TYPE_CHECKING:
    from tagger.core.audit.findings import Finding
    from tagger.core.model.arrangement import Arrangement


def print_findings_of(
    folder: Path, arrangement: Arrangement, known: Sequence[Finding]
) -> Sequence[Finding]:
    """What is found by the print of a lot's cards, as far as it was read; see `print_findings`."""
    from tagger.core.audit.printed.print_findings import print_findings
    from tagger.core.lot.view import UNTAGGED
    from tagger.services.reading.reader import kept_readings

    reading_of = kept_readings(folder, arrangement)
    return print_findings(arrangement, lambda id: UNTAGGED, reading_of, known)
