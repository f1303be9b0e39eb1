"""Lines that name a set or a part of one: titles, headings, lists of parallels."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from itertools import takewhile
from typing import NamedTuple

from tagger.core.checklist.above.facts import facts_of, labelled, set_of_facts
from tagger.core.checklist.above.in_brackets import also_said, run_held, without_held
from tagger.core.checklist.headings.meaning import NO_MORE, meaning_of
from tagger.core.checklist.lines import filled
from tagger.core.checklist.named.finishes import is_finish
from tagger.core.checklist.named.months import without_month_of_year
from tagger.core.checklist.raw.base_set import is_base_set
from tagger.core.checklist.raw.counts import COUNT_PART, count_said
from tagger.core.checklist.raw.mails import set_said, set_within
from tagger.core.checklist.raw.makers import with_years_said
from tagger.core.checklist.raw.notes import is_comment, is_imprint, is_note, is_total
from tagger.core.checklist.raw.odds import is_odds
from tagger.core.checklist.raw.print_runs import RUN_WORD, run_number, split_run
from tagger.core.checklist.raw.purposes import is_place
from tagger.core.checklist.raw.title_names import (
    cards_said,
    is_by_team,
    title_name,
    without_remark,
    without_state,
)
from tagger.core.checklist.raw.years import YEAR, has_year
from tagger.core.model.text import fold, printable

_RANGE = re.compile(
    r"[\s,;:(\[–—-]*(?:(?:\b(?:cards|nos?|nrs?|num|núm|karten)\b|\bn[°º])\.?\s*)?#?"
    r"(?P<prefix>[A-Za-z]*-?)(?P<first>[0-9]{1,9})"
    r"\s*(?:-|–|—|to|bis|à|al?|tot|fino a|through|thru)\s*#?"
    r"[A-Za-z]*-?(?P<last>[0-9]{1,9})\s*[)\]]?\s*:?$",
    re.IGNORECASE,
)
_PARALLEL_PART = re.compile(
    r"\b(?:parallel(?:s|es|en|a|as|i|e)?|paralel[ao]s?|parall[eè]les?)\b\s*:?", re.IGNORECASE
)


class Title(NamedTuple):
    """What stands above a table: the name of its set, how many cards it says there are, the lines
    in which these stand, lines that say something else, and lines that say something of all
    cards: their parallels, their team."""

    name: str = ""
    given: int = 0
    line: int = 0
    given_line: int = 0
    left: tuple[tuple[int, str], ...] = ()
    parts: tuple[tuple[int, str], ...] = ()
    by_team: bool = False


def title_above(lines: Iterable[tuple[int, list[str]]], more: Mapping[str, str] = NO_MORE) -> Title:
    """The title in the lines above a table; facts such as `Set: 1987 Harbor Light` count."""
    facts: dict[str, str] = {}
    said: list[tuple[int, str]] = []
    parts: list[tuple[int, str]] = []
    for line, cells in lines:
        given = [" ".join(cell.split()) for cell in filled(cells)]
        if not given:
            continue
        if found := facts_of(given, more):
            facts |= found
            continue
        name, others = (given, []) if _is_labelled(given, more) else _apart(cells)
        text = _of_pair(name, more)
        (parts if _is_of_all(text, parts) else said).append((line, text))
        for other in others:
            # `Series 1`, apart from the set
            (parts if names_part_by_word(other) else said).append((line, other))
    return _title(facts, with_years_said(said, _names_nothing))._replace(parts=tuple(parts))


def _apart(cells: list[str]) -> tuple[list[str], list[str]]:
    """The first filled cells of a line, and those behind empty ones, which say something else:
    `back to contents`."""
    tidied = [" ".join(cell.split()) for cell in cells]
    begin = next(at for at, cell in enumerate(tidied) if cell)
    end = tidied.index("", begin) if "" in tidied[begin:] else len(tidied)
    return tidied[begin:end], filled(tidied[end:])


def _of_pair(given: list[str], more: Mapping[str, str]) -> str:
    """The cells of a line as one text; `Team` beside its value is a label."""
    if _is_labelled(given, more):
        return f"{given[0].rstrip(': ')}: {given[1]}"
    if has_year(given[0]):
        # `Complete: 40%` beside the name says how far its maker is
        return " ".join([given[0], *takewhile(_is_of_name, given[1:])])
    return " ".join(given)


def _is_labelled(given: list[str], more: Mapping[str, str]) -> bool:
    return len(given) == 2 and meaning_of(given[0], more)[0] in ("team", "parallels", "series")


def _is_of_name(cell: str) -> bool:
    """Whether a cell beside a set's name may go on with it: `every card has two players` does
    not."""
    return not _IS_STATE.search(cell) and not (cell.islower() and len(cell.split()) > 2)


_IS_STATE = re.compile(r":\s*$|:\s|%|^[\d\W]+$|\bas of\b|[0-9][./][0-9]+[./]", re.IGNORECASE)


def _is_of_all(text: str, parts: list[tuple[int, str]]) -> bool:
    if listed_parallels(text) is not None or labelled(text)[0] in ("team", "series"):
        return True
    listing = any(listed_parallels(part) == "" for _, part in parts)
    is_list = listing and labelled(parts[-1][1])[0] not in ("team", "series")
    return is_list and bool(one_listed(text))


def _title(facts: Mapping[str, str], said: list[tuple[int, str]]) -> Title:
    line, name = _name_among(said)
    given_line, given = next(((at, count) for at, count in _counts(said) if count), (0, 0))
    name = set_of_facts(facts, name)
    left = tuple((at, text) for at, text in said if at != line and not is_total([text]))
    left = tuple(dict.fromkeys(left))
    by_team = any(is_by_team(text) for _, text in said)
    return Title(name, given, line, given_line, left, by_team=by_team)


def _counts(said: list[tuple[int, str]]) -> list[tuple[int, int]]:
    return [(at, cards_said(text)) for at, text in said]


def _name_among(said: list[tuple[int, str]]) -> tuple[int, str]:
    """The line and the name of a set in some lines: the one with a year, else the first."""
    named = [(at, title_name(text)) for at, text in said if not _names_nothing(text)]
    named = [one for one in named if one[1]]
    if not named:
        # `Finished the list of 1987 Harbor Light, enjoy!`, `Home > Cards > 1987 Harbor Light`
        within = ((at, _set_named(text)) for at, text in said)
        named = [one for one in within if has_year(one[1])][:1]
    named.sort(key=lambda one: not has_year(without_month_of_year(one[1])))
    return named[0] if named else (0, "")


def _names_nothing(text: str) -> bool:
    text = without_state(text)
    # `1987 Harbor Light - what stands in a column is the print run`
    name = without_remark(text)
    if has_year(name) and name != text:
        return False
    return is_note(text) or is_comment(text) or is_total([text])


class Ranged(NamedTuple):
    """A parallel of those cards alone whose numbers are from `first` to `last`."""

    parallel: str
    first: int
    last: int


class Part(NamedTuple):
    """What a heading inside a table says of the cards below: their series, the parallel that they
    are, or the set; the numbers it says they have, and parallels of some of them."""

    series: str = ""
    parallel: str = ""
    set: str = ""
    first: int = 0
    last: int = 0
    team: str = ""
    ranged: tuple[Ranged, ...] = ()

    @property
    def changes(self) -> bool:
        """Whether cards are made otherwise than their cells say."""
        return bool(self.series or self.parallel or self.set or self.team or self.ranged)


def listed_parallels(text: str) -> str | None:
    """The parallels that a line lists: `Parallels: Gold /50, Silver`; empty where they stand below
    it, None where a line is something else."""
    label, value = _label_and_list(text)
    match = _LISTED.search(label)
    if match is not None and match[0] == text.strip():
        return ""
    if value is None or match is None or _NO.search(label):
        return None
    if not _OF_ALL.fullmatch(label, match.end()):
        return None
    before = COUNT_PART.sub("", label[: match.start()])
    # `Base cards come in these versions:`
    most = 2 if value else 6
    return None if len(before.split()) > most else value.rstrip(".")


def parallels_of_range(text: str) -> tuple[str, int, int] | None:
    """The parallels that a line lists for cards by their numbers, the first and the last of these:
    `Parallels (cards 1-30): Gold /50`; None where a line is something else."""
    label, value = _label_and_list(text)
    if value is None or not _RANGE.search(label):
        return None
    label, first, last = _without_range(label)
    listed = listed_parallels(f"{label}: {value}")
    return (listed, first, last) if listed and first else None


def _label_and_list(text: str) -> tuple[str, str | None]:
    """What stands before a colon or a dash, and behind it; None where there is none of them."""
    mark = ":" if ":" in text else next(iter(_DASHED.findall(text)), "")
    label, _, value = text.partition(mark) if mark else (text, "", None)
    return label, None if value is None else value.strip()


# a word, or the beginning of a sentence, behind which parallels are listed
_LISTED = re.compile(
    rf"{_PARALLEL_PART.pattern}(?:\s*(?:versions|cards)\b\s*:?)?|\b(?:versions|variantes|varianten|varianti|"
    r"déclinaisons|farbvarianten|versionen|versiones|versioni)\b",
    re.IGNORECASE,
)
_DASHED = re.compile(r"\s[-–—]\s")
# `Parallels of every base card:`
_OF_ALL = re.compile(
    r"\s*(?:(?:of|for|to|on|von|zu|für|des?|du|pour|di|del(?:la|le)?|per|van|voor)\s+)?"
    r"(?:(?:the|every|each|all|any|jeder?|alle[rn]?|chaque|toutes les|les|cada|todas las|ogni|"
    r"tutte le|elke|de|iedere)\s+)?"
    r"(?:(?:base|basis|grund)[\s-]*)?(?:set|cards?|karten?|cartes?|cartas?|carte|kaarten?)?\s*",
    re.IGNORECASE,
)


_COMES = re.compile(
    r"\b(?:also|all|every|each|comes?|available|versions?|auch|jede[rs]?|alle|erhaltlich|aussi|"
    r"toutes?|chaque|existe|tambien|todas?|cada|anche|tutte|ogni|ook|elke|verkrijgbaar)\b"
)


def says_parallels(text: str) -> bool:
    """Whether a line says in a sentence of its own which parallels there are."""
    if not is_finish(text) or count_said(text):
        return False
    return _COMES.search(fold(text)) is not None or split_run(text)[1] > 0


def says_no_parallels(text: str) -> bool:
    """Whether a line says that the cards have no parallels."""
    match = _NO.match(text.strip(" .-–—•*"))
    rest = match.string[match.end() :] if match else ""
    return bool(match) and _PARALLEL_PART.sub("", rest).strip(" .!") in ("", "known", "exist")


def says_of_part(text: str) -> bool:
    """Whether all sentences of a line say something of the cards of a part, and name none:
    `Insert, 1:6. No parallels.`"""
    said = [one.strip() for one in _STOPS.split(text) if one.strip()]
    return bool(said) and all(is_odds(one) or says_no_parallels(one) for one in said)


_STOPS = re.compile(
    r"[.;](?:\s|$)|^\W*(?:insert|subset|parallel)s?(?: set)?(?: cards?)?\b[,:]?\s", re.I
)
_NO = re.compile(r"\b(?:no|keine|sans|sin|nessun[ao]?|geen)\b", re.IGNORECASE)
_BULLET = re.compile(r"^\s*(?:[•·*‣▪◦►>]\s*|[-–—]\s+)")


_LABELLED: Mapping[str, Callable[[str], Part]] = {
    "set": lambda value: Part(set=value),
    "series": lambda value: _series_of(value),
    "team": lambda value: Part(team=value),
    "parallels": lambda value: Part(parallel=value),
}


def one_listed(text: str) -> str:
    """The parallel in a line of a list of them; empty where a line is something else."""
    name = _BULLET.sub("", text).strip()
    is_one = name != text.strip() or is_finish(name) or split_run(name)[1]
    return name if is_one and not count_said(name) and not is_total([name]) else ""


_OF_SOME = re.compile(
    r"^(?P<parallel>.*[^\s,;:(\[–—-])[\s,;:–—-]*[(\[,;:–—-]\s*(?:[^\W\d_]+\.?\s+){0,3}#?"
    r"(?P<first>[0-9]{1,4})\s*(?:-|–|—|to|bis|à|al?|tot|through|thru)\s*#?(?P<last>[0-9]{1,4})"
    r"(?:\s+(?:only|nur|seulement|solo|alleen))?\s*[)\]]?$",
    re.IGNORECASE,
)


def listed_of_some(text: str) -> Ranged | None:
    """`Gold /5 (rookies 36-45 only)`: a parallel in a list of them, and the cards that have it;
    None where all have it."""
    match = _OF_SOME.match(text)
    if match is None or int(match["first"]) >= int(match["last"]):
        return None
    return Ranged(match["parallel"], int(match["first"]), int(match["last"]))


def part_of(text: str) -> Part:
    """The part that a heading begins."""
    meaning, value = labelled(text)
    if meaning in _LABELLED:
        return _LABELLED[meaning](value)
    if listed := also_said(text):
        return _with_listed(part_of(text[: text.find("(")].strip()), listed)
    text, first, last = _without_range(text)
    name = title_name(text)
    if is_base_set(name) or is_place(name):
        return Part(first=first, last=last)
    if _is_parallel(name):
        return Part(parallel=" ".join(_PARALLEL_PART.sub(" ", name).split()))
    if named := _SET_NAMED.match(name) or _RELEASE.match(name):
        return Part(set=named["name"], first=first, last=last)
    part = _with_run(name)._replace(first=first, last=last)
    return _with_listed(part, f"/{run}") if (run := run_held(text)) else part


def _is_parallel(name: str) -> bool:
    """Whether a heading is a parallel of the cards above: `Gold Parallel`, `Gold /50`."""
    says_so = _PARALLEL_PART.search(name) or run_number(name.partition("/")[2])
    return bool(says_so) and is_finish(name)


def _with_listed(part: Part, listed: str) -> Part:
    """A part with parallels, of which its own name is no part, if it has none so far."""
    own = listed.removeprefix(part.series).strip()
    return part if part.parallel else part._replace(parallel=own)


_SET_NAMED = re.compile(r"(?P<name>(?:1[89]|20)[0-9]{2}\b.*)", re.DOTALL)
# the sets of a game are its first, its second release
_RELEASE = re.compile(r"[■□◆◇●○★]?\s*(?P<name>第[0-9一二三四五六七八九十]{1,3}弾.*)$")


def is_release(text: str) -> bool:
    """Whether a line names a release of a game: `■第1弾 潮騒の章`."""
    return _RELEASE.match(text.strip()) is not None


def _with_run(name: str) -> Part:
    """`Night Games (#/99)` are cards with a print run, `Gold (#/99)` are those above once more."""
    bare, run = split_run(name)
    behind = name[len(bare) :]
    if not run or not bare or not ("/" in behind or RUN_WORD.search(behind)):
        return Part(series=name)
    bare = _EACH.sub("", bare)
    if all(map(is_finish, bare.split())):
        return Part(parallel=f"{bare} /{run}")
    return Part(series=bare, parallel=f"/{run}")


# `(all /25)`, of which the run is gone
_EACH = re.compile(
    r"\s*[(\[]\s*(?:all|each|every|alle|jede|toutes?|todas?|tutte|elke)?\s*$", re.IGNORECASE
)


def _without_range(text: str) -> tuple[str, int, int]:
    """A heading without the numbers that it says are below it, and these; 0 for none."""
    text = " ".join(text.split())
    match = _RANGE.search(without_held(text))
    # a year's season is no range of numbers
    if match is None or YEAR.search(match[0]):
        return text, 0, 0
    return text[: match.start()], int(match["first"]), int(match["last"])


def _series_of(value: str) -> Part:
    name, first, last = _without_range(value)
    return Part(series=title_name(name), first=first, last=last)


def has_range(text: str) -> bool:
    """Whether a heading says which numbers are below it."""
    return _RANGE.search(without_held(" ".join(text.split()))) is not None


_PARTS = re.compile(
    r"\b(?:rookies?|inserts?|subsets?|checklists?|parallels?|base|stars|leaders|autographs?|relics?|"
    r"memorabilia|commons|short prints?|update|traded|series|hits|specials?|highlights|legends|"
    r"serie [0-9a-z]{1,3}|gruppe|groupe|grupo|gruppo|groep|group [0-9a-d]|kapitel|chapter|"
    r"chapitre|capitulo|capitolo|hoofdstuk)\b"
)


# what alone is a part, and beside other words may be of the name of a set
_PART_ALONE = re.compile(
    r"^\W*(?:promos?|promotional|promokarten|sonderkarten|bonus|chase|variations?|extras)"
    r"(?:\s+(?:cards?|karten|set))?\W*$"
)


def names_part(text: str) -> bool:
    """Whether a lone text is surely the heading of a part: a range of numbers, a count, a colon, a
    word of the trade."""
    if has_range(text) or count_said(text) or text.rstrip().endswith(":"):
        return True
    return names_part_by_word(text) or _PART_ALONE.search(fold(text)) is not None


def names_part_by_word(text: str) -> bool:
    """Whether a text has a word of the trade for parts of sets."""
    return _PARTS.search(fold(text)) is not None


def is_part_of_set(name: str) -> bool:
    """Whether a name is that of a part, or of the base set."""
    return names_part(name) or not (is_place(name) or part_of(name).changes)


def quoted(texts: Iterable[str]) -> str:
    """The texts of a line as a sentence shows them."""
    return f"'{printable(' '.join(' '.join(texts).split()), 50)}'"


def _set_named(text: str) -> str:
    """The set that a sentence above the cards names; empty where it names none, or says where the
    list is from."""
    return "" if is_imprint(text) else set_said(text) or set_within(text)
