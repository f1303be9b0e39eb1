"""The lines of the matcher's table: what was measured at each size, and what is aimed at."""

from __future__ import annotations

import statistics
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from bench.common.table import aligned, share
from bench.hints.answers import (
    AFTER,
    AFTER_SLIPS,
    MIXED,
    NOTHING,
    NUMBERED,
    SLIPS,
    SURE,
    Keys,
    Tally,
)
from bench.hints.cost import Cost

NOT_MEASURED = "not measured"
MOST, LEAST = "at most", "at least"
MB = 1e6

# By line: which way the aim is meant, and its values at 100,000 and at 1,000,000 rows.
AIMS: dict[str, tuple[str, tuple[float, ...], tuple[float, ...]]] = {
    "a keystroke, CPU: median / p99": (MOST, (0.0005, 0.002), (0.002, 0.008)),
    "faster than rapidfuzz WRatio over all rows": (LEAST, (150,), (400,)),
    "built from the file, CPU": (MOST, (0.3,), (3.0,)),
    "loaded from the cache, CPU": (MOST, (0.05,), (0.15,)),
    "memory after some typing, built": (MOST, (20 * MB,), (100 * MB,)),
    "memory after some typing, loaded from the cache": (MOST, (12 * MB,), (45 * MB,)),
    f"{NUMBERED}: first": (LEAST, (0.995,), (0.995,)),
    f"{MIXED}: first / among five": (LEAST, (0.94, 0.99), (0.92, 0.99)),
    f"{SLIPS}: first / among five": (LEAST, (0.87, 0.96), (0.86, 0.96)),
    f"{AFTER}: first": (LEAST, (0.98,), (0.98,)),
    f"{AFTER_SLIPS}: first": (LEAST, (0.94,), (0.91,)),
    "confidence above .99: right": (LEAST, (0.995,), (0.995,)),
    "presorted, number only: characters a card": (MOST, (1.25,), (1.25,)),
    "the same, or Down: keys a card": (MOST, (0.9,), (0.9,)),
    "shuffled, number only: characters a card": (MOST, (2.6,), (2.6,)),
}


@dataclass
class Measured:
    """All that was measured at one size. What could not be measured is empty."""

    rows: int
    lines: dict[str, Tally] = field(default_factory=dict)
    presorted: Keys = field(default_factory=Keys)
    shuffled: Keys = field(default_factory=Keys)
    cost: Cost | None = None
    built: Sequence[float] = ()
    loaded: Sequence[float] = ()
    memory: dict[str, dict[str, int]] = field(default_factory=dict)


@dataclass(frozen=True)
class Line:
    """One line at one size."""

    what: str
    measured: str
    aim: str = ""


class Lines:
    """The lines of one size, in their order. `size` says which aims hold: 0 or 1, None for none."""

    def __init__(self, measured: Measured, size: int | None) -> None:
        self._size = size
        self.found: list[Line] = []
        self._costs(measured)
        self._shares(measured.lines)
        self._keys(measured)

    def _add(
        self,
        what: str,
        values: Sequence[float],
        show: Callable[[float], str],
        more: str = "",
        unit: str = "",
    ) -> None:
        if not values:
            self.found.append(Line(what, NOT_MEASURED))
            return
        shown = " / ".join(map(show, values)) + unit + (f"  {more}" if more else "")
        self.found.append(Line(what, shown, self._verdict(what, values, show, unit)))

    def _verdict(
        self, what: str, values: Sequence[float], show: Callable[[float], str], unit: str
    ) -> str:
        if what not in AIMS or self._size is None:
            return ""
        way, *aims = AIMS[what]
        bounds = aims[self._size]
        met = all(v <= b if way == MOST else v >= b for v, b in zip(values, bounds, strict=True))
        return f"{' / '.join(map(show, bounds))}{unit}: {'met' if met else 'missed'}"

    def _costs(self, measured: Measured) -> None:
        cost = measured.cost
        if cost is None:
            return
        counted = f"of {len(cost.keystrokes):,}"
        self._add("a keystroke, CPU: median / p99", _spread(cost.keystrokes), _ms, counted, " ms")
        self._add(
            "of these, with nothing known",
            _spread(cost.unknown),
            _ms,
            f"of {len(cost.unknown):,}",
            " ms",
        )
        peer = f"peer {_ms(statistics.median(cost.peer))} ms"
        self._add(
            "faster than rapidfuzz WRatio over all rows", [cost.ratio], "{:,.0f}".format, peer, " x"
        )
        for what, taken in (
            ("built from the file", measured.built),
            ("loaded from the cache", measured.loaded),
        ):
            self._add(
                f"{what}, CPU",
                [statistics.median(taken)] if taken else [],
                "{:.3f}".format,
                "",
                " s",
            )
        for what, how in (("built", "built"), ("loaded from the cache", "cached")):
            found = measured.memory.get(how, {})
            before = f"before: {_mb(found['loaded'])} MB" if found else ""
            self._add(
                f"memory after some typing, {what}",
                [found["typed"]] if found else [],
                _mb,
                before,
                " MB",
            )

    def _shares(self, lines: dict[str, Tally]) -> None:
        for what, five in (
            (NUMBERED, 0),
            (MIXED, 1),
            (SLIPS, 1),
            (AFTER, 0),
            (AFTER_SLIPS, 0),
            (NOTHING, 1),
        ):
            tally = lines.get(what, Tally())
            values = (
                [tally.first / tally.hints, tally.five / tally.hints][: five + 1]
                if tally.hints
                else []
            )
            named = f"{what}: first / among five" if five else f"{what}: first"
            self._add(named, values, _share, f"of {tally.hints:,}")
        sure = sum(tally.sure for tally in lines.values())
        right = sum(tally.sure_right for tally in lines.values())
        every = sum(tally.hints for tally in lines.values())
        which = f"of {sure:,}; above {SURE} are {sure / max(1, every):.0%}"
        self._add("confidence above .99: right", [right / sure] if sure else [], _share, which)

    def _keys(self, measured: Measured) -> None:
        run, box = measured.presorted, measured.shuffled
        self._add(
            "presorted, number only: characters a card", _each(run.typed, run), _keys, _about(run)
        )
        self._add("the same, or Down: keys a card", _each(run.with_down, run), _keys)
        self._add(
            "shuffled, number only: characters a card", _each(box.typed, box), _keys, _about(box)
        )


def table_of(sizes: Sequence[Measured], aims: bool) -> str:
    """The table, a pair of columns for each size."""
    columns = [Lines(measured, at if aims else None).found for at, measured in enumerate(sizes)]
    cells = [["what", *(text for m in sizes for text in (f"{m.rows:,} rows", "aim")[: 1 + aims])]]
    for lines in zip(*columns, strict=True):
        cells.append(
            [
                lines[0].what,
                *(text for line in lines for text in (line.measured, line.aim)[: 1 + aims]),
            ]
        )
    return aligned(cells)


def _spread(values: Sequence[float]) -> list[float]:
    return [statistics.median(values), share(values, 0.99)] if values else []


def _each(keys: int, counted: Keys) -> list[float]:
    return [keys / counted.cards] if counted.cards else []


def _about(counted: Keys) -> str:
    of = max(1, counted.cards)
    return (
        f"of {counted.cards:,}; with none {_share(counted.unasked / of)[:3]}, whole "
        f"{counted.whole / of:.2f}"
    )


def _ms(seconds: float) -> str:
    return f"{seconds * 1e3:.3g}" if seconds < 1 else f"{seconds * 1e3:,.0f}"


def _mb(count: float) -> str:
    return f"{count / MB:.0f}"


def _share(value: float) -> str:
    return f"{value:.4f}".removeprefix("0")


def _keys(value: float) -> str:
    return f"{value:.2f}"
