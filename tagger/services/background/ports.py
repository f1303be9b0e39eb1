"""What the desk asks of the work behind it, so that a screen knows no process, thread or file."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, NamedTuple, Protocol

if TYPE_CHECKING:
    from tagger.core.audit.findings import Finding
    from tagger.core.audit.measured import Measured
    from tagger.core.audit.number_place import NumberPlace
    from tagger.core.dividers.seen import CodeSeen
    from tagger.core.feeding.order import Sides
    from tagger.core.model.arrangement import Arrangement
    from tagger.core.model.scan_ref import ScanStamp
    from tagger.core.stock.asked import Wish


@dataclass(frozen=True)
class AuditProgress:
    """How far an audit is: scans looked at, of so many; what is new of what was measured; at the
    end what was found."""

    looked: int
    of: int
    measured: Mapping[str, Measured] = field(default_factory=dict)
    # None while it is at work; nothing found wrong is an empty list.
    findings: Sequence[Finding] | None = None
    # The codes of dividers that were seen, by scan; and those scans that are nothing but paper.
    codes: Mapping[str, CodeSeen] = field(default_factory=dict)
    # Where the number may stand, by the scan of the back, as far as it is new.
    places: Mapping[str, NumberPlace] = field(default_factory=dict)


@dataclass(frozen=True)
class AuditJob:
    """One audit that is asked for: of the lot as it is now, with the scans of its folder in feeding
    order, first from the card at the position `here` on. `report` takes how far it is, and is
    called from another thread."""

    arrangement: Arrangement
    scans: Sequence[str]
    here: int
    report: Callable[[AuditProgress], None]

    def in_order(self) -> list[str]:
        """The scans of the cards as they are measured: what the dealer sees next comes first."""
        pairs = self.arrangement.pairs
        ahead, behind = pairs[self.here - 1 :], pairs[: self.here - 1]
        return [scan for pair in (*ahead, *behind) for scan in pair.scans]

    def with_dividers(self) -> list[str]:
        """The same scans, and those of the dividers that were left out."""
        dividers = self.arrangement.mending.dividers
        return [*self.in_order(), *(scan for one in dividers for scan in one.scans)]


@dataclass(frozen=True)
class ScansArrived:
    """The scans of the folder as they are now, and those of them whose files are new or other ones
    than before."""

    scans: Sequence[str]
    fresh: frozenset[str]


class HubNews(NamedTuple):
    """How a sending went: why the hub has not the lot as it is, empty where it has; the sales that
    other stations ask for and that are to be entered."""

    behind: str = ""
    wishes: tuple[Wish, ...] = ()


class HubWork(Protocol):
    """Sends the lot from a process of its own."""

    def send(self, entered: frozenset[str], told: Callable[[HubNews], None]) -> None:
        """Publish the lot as it is on disk; `told` gets how it went, from another thread.
        `entered` are wishes that were entered in it before."""

    def close(self) -> None:
        """End it at once."""


class BackgroundWork(Protocol):
    """Works in threads and processes of its own, which give way to the desk. All may raise
    TaggerError but `audit` and `key_came`."""

    def key_came(self) -> None:
        """The dealer is at it: leave the desk a processor until the keys are quiet. Returns at
        once."""

    def audit(self, job: AuditJob) -> None:
        """Look the lot through; an audit that is at work begins anew with what it knows."""

    def arrived(
        self, arrangement: Arrangement, scans: Sequence[str]
    ) -> tuple[ScansArrived | None, float]:
        """What came into the folder since the last look, and seconds until the next one. Waits for
        the disk."""

    def read(self, scans: Sequence[str]) -> Mapping[str, ScanStamp]:
        """Which files these scans are, by what is in them, without those that cannot be read. Waits
        until it is done."""

    def split(self, front: str, back: str | None) -> tuple[tuple[Sides, ...], bool]:
        """The cards of a sheet, and whether to look at them. Waits until it is done."""

    def centering(self, scan: str, turn: int) -> str:
        """How a side is centred that is turned so, as a sentence. Waits until it is done."""

    def close(self) -> None:
        """End all of it at once."""
