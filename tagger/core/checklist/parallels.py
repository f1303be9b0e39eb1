"""Parallels as lists write them: several in one cell, a print run of its own, a column each."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable
from functools import lru_cache

from tagger.core.checklist.raw.odds import ODDS
from tagger.core.checklist.raw.print_runs import is_once, run_number, run_of_copy, split_run
from tagger.core.model.tags import BASE, Parallel, is_base
from tagger.core.model.text import fold

_LAST_OF_LIST = re.compile(r"(?:^\s*|\s+)(?:and|&|und|et|y)\s+")
# What a cell says of a parallel that is there, and of one that is not (common practice, no source).
CROSSES = frozenset(
    [
        "x", "xx", "✓", "✔", "☑", "✗", "✘", "•", "·", "*", "+", "y", "yes", "ja", "j", "oui", "o",
        "si", "s", "v", "true", "wahr", "vrai", "vero", "verdadero", "○", "●", "◯", "〇", "◎", "有",
        *"☐□◻⬜",
    ]
)  # fmt: skip
# a box that is not ticked: its owner has none, but there is one
OPEN_BOXES = frozenset("☐□◻⬜")
NOT_THERE = frozenset(
    ["", "-", "–", "—", "n", "no", "nein", "non", "nee", "n/a", "na", "0", "none", "false",
     "falsch", "faux", "falso", "×", "無", "なし", "/",
     "nan", "null", "(null)", "<na>", "nil", "--", "\\n", "any", "―", "‐"]
)  # fmt: skip

# what the plain card is called beside its parallels, in the languages of lists
_PLAIN = frozenset(
    ["régulière", "régulier", "regolare", "regulär", "regulier", "reguliere",
     "standard", "standaard", "estándar", "normal", "normale", "normaal", "gewoon", "regular",
    "non-foil",
     "nonfoil", "non foil", "ノーマル", "レギュラー", "通常", "basis", "basiskarte",
     "basisversion", "basiskaart", "base card", "base version",
     "carte de base", "version de base", "carta base", "versione base", "ベース"]
)  # fmt: skip
_FOLDED_PLAIN = frozenset(map(fold, _PLAIN))


def is_plain(name: str) -> bool:
    """Whether a name is that of the plain card beside its parallels: `Base`, `Non-foil`."""
    return is_base(name) or fold(name) in _FOLDED_PLAIN


def parse_parallels(text: str) -> tuple[Parallel, ...]:
    """`Gold /50; Silver` as parallels; `|` and a line's end part them too, and a comma where there
    is no semicolon."""
    if not text.strip():
        return ()
    found: list[Parallel] = []
    for part in map(str.strip, _parted(text)):
        parallel = _named(part)
        if parallel is None or fold(part) in NOT_THERE:
            continue
        # `Gold, 50 copies`: a run by itself is that of the name before it
        if is_bare_run(parallel) and found and not found[-1].run:
            parallel = Parallel(found.pop().name, parallel.run)
        found.append(parallel)
    return unique(found)


def _listed(text: str) -> list[str] | None:
    """`["Gold /50", "Silver"]` and `[{"name": "Gold", "numbered": 50}]`, as programs write a list;
    None where it is something else."""
    if text[:1] != "[" or text[-1:] != "]":
        return None
    try:
        parts = json.loads(text)
    except (ValueError, RecursionError):
        return None
    return [_described(part) for part in parts]


def _described(part: object) -> str:
    if not isinstance(part, dict):
        return part if isinstance(part, str) else ""
    # a print run is a number, and what is true or false is none
    runs = [value for value in part.values() if type(value) is int]
    name = next((value for value in part.values() if isinstance(value, str)), "")
    return f"{name} /{runs[0]}" if len(runs) == 1 else name


def _parted(text: str) -> list[str]:
    """The parts of a cell; a comma between the digits of a thousand parts nothing."""
    if (listed := _listed(text.strip())) is not None:
        return listed
    # a program writes the ends of lines within a cell as \x0b or \x1d
    for mark in ";|\n\x0b\x1d":
        if mark in text:
            return text.split(mark)
    parts = re.split(r",(?![0-9]{3}\b)|(?<![0-9]),", text)
    if len(parts) > 1:
        # `Gold, Silver and Bronze`
        return [
            *parts[:-1],
            *_LAST_OF_LIST.split(parts[-1]),
        ]
    return re.split(r"\s+[/+]\s+(?![0-9])", text)


def unique(some: Iterable[Parallel | None]) -> tuple[Parallel, ...]:
    """Each of some parallels once; None is none."""
    return tuple(dict.fromkeys(parallel for parallel in some if parallel is not None))


# `Teal (no print run)`
_NO_RUN = re.compile(
    r"\s*[(\[](?:no (?:print )?run|un-?numbered|not (?:serial )?numbered|no numbering|unlimited|"
    r"ohne (?:auflage|nummer\w*)|unlimitiert|unnummeriert|nicht nummeriert|non num[ée]rot[ée]e?s?|"
    r"sin numerar|non numerat[aoie]|ongenummerd)[)\]]$",
    re.IGNORECASE,
)


# `Nebula Foil (one per pack)`
_PER_PACK = re.compile(
    r"\s*[(\[](?:(?:about|approx\.?|ca\.?)\s)?(?:one|two|three|[0-9]|ein[es]?|une?|una|uno|een)\s+"
    r"(?:per|in every|in each|a|each|pro|je|par|por)\s+(?:pack|box|case|blister|tin|päckchen|tüte|"
    r"pochette|boîte|sobre|caja|bustina|pakje|doos)s?[)\]]$",
    re.IGNORECASE,
)


# thousands of cells are put together from few parallels
@lru_cache(maxsize=4096)
def _named(text: str) -> Parallel | None:
    text = _without_odds(_PER_PACK.sub("", _NO_RUN.sub("", text)))
    if not text:
        return None
    name, run = split_run(text)
    if not run:
        name, run = _split_copy(name)
    if fold(name) in _FOLDED_PLAIN:  # `Base` stays as it is written
        name = BASE
    if not name and run == 1 and text[:3].lower() == "one":
        name = text  # `One of One` is a name
    return parallel_of(name, run) if name or run else None


def _without_odds(text: str) -> str:
    """A parallel without how often it is found: `Silver (1:4)`; `1 von 1` is its run."""
    match = ODDS.search(text)
    return text[: match.start()] or text if match and ":" in match[0] else text


def _split_copy(text: str) -> tuple[str, int]:
    """`Gold 12/50`, which is one copy of those, as its name and its run; 0 where there is none."""
    name, _, last = text.rpartition(" ")
    run = run_of_copy(last) if name else 0
    return (name, run) if run else (text, 0)


def parallel_of(name: str, run: int) -> Parallel:
    """A parallel by its name and its print run, 0 where it has none; without a name it is called by
    the run."""
    if not name:
        name = "1/1" if run == 1 else f"/{run}"
    # a run of 0 numbers nothing
    return Parallel(" ".join(name.split()), run or None)


def beside_own(own: tuple[Parallel, ...], listed: tuple[Parallel, ...]) -> tuple[Parallel, ...]:
    """The parallels of a card below a heading that lists some: its own instead of these, but
    beside them where it has nothing but its print run."""
    if not own or not all(map(is_bare_run, own)):
        return own or unique(listed)
    return unique([*own, *(one for one in listed if not is_bare_run(one))])


def is_bare_run(parallel: Parallel) -> bool:
    """Whether a parallel is only a print run, without a name."""
    return parallel == parallel_of("", parallel.run or 0)


def with_run(
    parallels: tuple[Parallel, ...], run: str, of_card: bool = False
) -> tuple[Parallel, ...]:
    """The parallels of a cell with the print run of a cell of its own: that of the one parallel
    that has none, else that of the card itself. `of_card`: whether such cells have the latter."""
    number = run_number(run)
    if not number or any(one.run == number for one in parallels):
        return parallels
    if len(parallels) == 1 and parallels[0].run is None and not of_card:
        return (Parallel(parallels[0].name, number),)
    return (parallel_of("", number), *parallels)


def version_of(name: str, beside: tuple[Parallel, ...]) -> tuple[Parallel, ...]:
    """The parallel of a name with the print run of the columns beside it; none for the plain
    card."""
    run = next((one.run for one in beside if one.run), None)
    found = with_run(parse_parallels(name), f"/{run}") if run else parse_parallels(name)
    return tuple(one for one in found if not is_base(one.name))


def each_with_run(text: str, runs: str) -> str:
    """Names on the lines of a cell with the runs on those of another one."""
    names, numbers = text.split("\n"), [run_number(run) for run in runs.split("\v")]
    if len(names) != len(numbers):
        return text
    return "; ".join(
        f"{name} /{run}" if run else name for name, run in zip(names, numbers, strict=True)
    )


# `Foil (Y/N)`, `Foil?`: how the cells below answer
_YES_OR_NO = re.compile(
    r"\s*(?:[(\[]\s*(?:(?:y|yes|j|ja|o|oui|s|si|sí|sì|sim|x|true|wahr|✓|1)\s*(?:/|or|oder|ou|o|of)\s*"
    r"(?:n|no|nein|non|nee|não|nao|false|falsch|-|0)|x|✓|check|tick|ankreuzen)\s*[)\]]|\?)+$",
    re.IGNORECASE,
)


def named_by(heading: str, cell: str) -> Parallel | None:
    """The parallel that a column of crosses or print runs says a card has, None where it has
    not."""
    said = fold(cell.strip())
    parallel = _named(_YES_OR_NO.sub("", heading.strip()) or heading.strip())
    if said in NOT_THERE or parallel is None or is_base(parallel.name):
        return None
    if is_once(cell) or (said not in CROSSES and run_number(cell) > 1):
        return parallel_of(parallel.name, run_number(cell))
    return parallel


def is_crossed_out(cell: str) -> bool:
    """Whether a cell says that there is nothing, and not only that its owner has none: a dash."""
    said = fold(cell.strip())
    return said in NOT_THERE and said not in _NOT_OWNED


# nothing, or that it is not so
_NOT_OWNED = frozenset(
    ["", "n", "no", "nein", "non", "nee", "0", "false", "falsch", "faux", "falso"]
)


def are_ticks(cells: Iterable[str]) -> bool:
    """Whether some cells, of which at least one is filled, only say yes or no."""
    some = {fold(cell.strip()) for cell in cells} - {""}
    return bool(some) and some <= CROSSES | NOT_THERE


def says_parallel(cell: str) -> bool:
    """Whether a cell can say that a card has a parallel, or has not."""
    said = fold(cell.strip())
    return said in CROSSES or said in NOT_THERE or run_number(cell) > 0
