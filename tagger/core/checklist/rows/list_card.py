"""What stands behind the number on a line of a plain list, parted as most lines have it: name,
team, marks, print run, parallels, price, and what is kept as a note."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.checklist.named.rarities import is_rarity
from tagger.core.checklist.parallels import parse_parallels
from tagger.core.checklist.raw.prices import said_behind_price, split_price
from tagger.core.checklist.rows.behind import (
    SURE_STYLES,
    WHERE,
    Beside,
    are_finishes,
    beside,
    marks_kept,
    split_behind,
    split_finish,
    split_finish_held,
    split_team,
    team_behind_word,
    team_style,
)
from tagger.core.checklist.rows.joined_teams import split_end, teams_at_end
from tagger.core.checklist.rows.list_lines import (
    LIST_LINE,
    are_reversed,
    is_team_first,
    of_reversed,
    rests_of,
    split_listed,
    split_tail,
    tail_mark,
)
from tagger.core.checklist.rows.list_splits import SPLITS, splits_of
from tagger.core.checklist.rows.remarks import (
    are_remarks,
    names_parallel,
    remark_behind,
    split_remark,
)
from tagger.core.model.column_names import PRICE
from tagger.core.model.text import printable

if TYPE_CHECKING:
    from tagger.core.checklist.lines import Line
    from tagger.core.model.tags import Extra, Parallel

_FEWEST = 6  # cards
_LONGEST_LETTER = 3  # characters; beside `C` and `R` stands `SR`


class ListCard(NamedTuple):
    """A card of a plain list without its number; `extra`: its marks, price and notes."""

    subject: str
    team: str
    parallels: tuple[Parallel, ...]
    extra: Extra


@dataclass(frozen=True)
class CardForm:
    """How most lines of a list put things behind the name: `style` of the team, empty for the usual
    comma or a tab; `tail`: the mark before a note; `team_first`: whether teams stand before names;
    `reversed`: whether names are turned round; `commas`: whether a comma parts a team; `rarities`:
    whether how rare a card is stands where teams do; `splits`: those of SPLITS that hold; `ends`:
    the teams, where nothing parts them from names; `finishes`: whether parallels stand behind a
    dash, `finishes_bare`: or right behind names; `remarks`: whether a few names have a remark
    behind them."""

    style: str = ""
    tail: str = ""
    team_first: bool = False
    reversed: bool = False
    commas: bool = True
    rarities: bool = False
    splits: tuple[str, ...] = ()
    ends: frozenset[str] = frozenset()
    finishes: bool = False
    finishes_bare: bool = False
    remarks: bool = False


def form_of(cards: Sequence[Line], teams_said: bool) -> CardForm:
    """The form of the first lines with cards of a list. `teams_said`: whether a line above names a
    column of teams."""
    splits, rests = splits_of(rests_of(cards))
    style = team_style(rests)
    tail = "" if style else tail_mark(rests)
    if tail:
        style = team_style([split_tail(rest, tail)[0] for rest in rests])
    parted = bool(style) or sum("," in rest or "\t" in rest for rest in rests) * 5 > len(rests)
    return CardForm(
        style,
        tail,
        is_team_first(style, cards),
        are_reversed(rests),
        _part_teams(rests),
        _are_rarities(rests, style),
        splits,
        frozenset() if parted else teams_at_end(rests, teams_said),
        sum(_FINISH_WITH_RUN.search(text) is not None for _, text in cards) > 1,
        sum(_has_bare_finish(text) for _, text in cards) > 1,
        are_remarks(_behind_numbers(cards)),
    )


def _behind_numbers(cards: Sequence[Line]) -> list[tuple[str, str]]:
    return [
        (match["number"], match["rest"]) for _, text in cards if (match := LIST_LINE.match(text))
    ]


# `Ada Marsh - Ruby /149`, `Ada Marsh - Silver Wave`
_FINISH_WITH_RUN = re.compile(r"\s[-–—]\s(?:[^\W\d_]+\s){1,3}/\s?[0-9]+\b")
_FINISH_ALONE = re.compile(r"^(?P<rest>.*\S)\s+[-–—]\s+(?P<finish>[^\W\d_]+(?:\s[^\W\d_]+){0,2})$")


def _has_bare_finish(text: str) -> bool:
    """Whether a parallel with its print run stands right behind a name: `Ada Marsh Ruby /149`."""
    named = split_behind(text).parallel.partition("/")[0].strip()
    return bool(named) and f" {named} /" in text and f"- {named}" not in text


def _without_finish(rest: str, form: CardForm) -> tuple[str, str]:
    """A card without the parallel in brackets, behind a dash or right behind the name, and that;
    each of its words is one of those that parallels are called by."""
    bare, finish = split_finish_held(rest) if form.style != "brackets" else (rest, "")
    if not finish and form.finishes_bare:
        bare, finish = split_finish(rest)
    match = _FINISH_ALONE.match(rest) if form.finishes and not finish else None
    if match is None or not are_finishes(match["finish"]):
        return bare, finish
    return match["rest"], match["finish"]


def _part_teams(rests: Sequence[str]) -> bool:
    """Whether a comma stands before a team; in a few of many names it is part of these, if what
    follows it never comes again: `The Cat, the Crow and the Candle`."""
    behind = [rest.partition(",")[2].strip() for rest in rests if "," in rest]
    if len(rests) < _FEWEST or len(behind) * 4 > len(rests):
        return True
    return len(set(behind)) < len(behind)


def _are_rarities(rests: Sequence[str], style: str) -> bool:
    """Whether nearly all of what stands behind names says how rare a card is, as one letter may."""
    behind = [team for rest in rests if (team := split_team(rest, style)[1])]
    if not style:  # in columns by spaces
        behind = [rest.rpartition("\t")[2].strip() for rest in rests if "\t" in rest]
    return bool(behind) and sum(map(is_rarity, behind)) * 10 >= len(behind) * 8


def card_of(rest: str, star: str, form: CardForm) -> ListCard:
    """What stands behind a number, parted by the form of the list; `star`: the mark behind that."""
    rest, said = said_behind_price(_EMPHATIC.sub("", rest))
    rest, price = split_price(rest)
    rest, remark = _without_remark(rest, form)
    beside_it = dict.fromkeys(SPLITS, "")
    for name in form.splits:
        rest, beside_it[name] = SPLITS[name].of(rest)
    rest, listed = split_listed(rest)
    rest, finish = _without_finish(rest, form)
    rest, tail = split_tail(rest, form.tail)
    found, rarity = _without_rarity(_turned(_of_rest(rest, form), form), form)
    notes = (tail, beside_it["position"], beside_it["position last"], rarity, remark or said)
    note = "; ".join(filter(None, (*[*filter(None, notes)][:1], beside_it["last brackets"])))
    runs = parse_parallels(listed or finish or found.parallel)
    marks = marks_kept(tuple(filter(None, (*found.marks, beside_it["grade"], star))))
    extra = (*marks, *_kept(price or beside_it["amount"], note))
    return ListCard(found.subject, found.team or beside_it["code"], runs, extra)


def _kept(price: str, note: str) -> Extra:
    pairs = ((PRICE, price), ("note", note))
    return tuple(pair for pair in pairs if pair[1])


_EMPHATIC = re.compile(r"\s+!{2,}$")  # `Ada Marsh !!`, which a collector still wants


def _without_remark(rest: str, form: CardForm) -> tuple[str, str]:
    """A card without what its owner says of the copy, or what else a few cards have behind them,
    and that."""
    bare, remark = split_remark(rest)
    if not remark and form.remarks:
        bare, remark = remark_behind(rest)
    return (rest, "") if names_parallel(remark) else (bare, remark)


def _without_rarity(found: Beside, form: CardForm) -> tuple[Beside, str]:
    """A card without how rare it is in place of the team, and that."""
    is_one = len(found.team) <= _LONGEST_LETTER or is_rarity(found.team)
    return (found._replace(team=""), found.team) if form.rarities and is_one else (found, "")


def _turned(found: Beside, form: CardForm) -> Beside:
    """A card whose team stands first."""
    if form.team_first and found.team:
        return found._replace(subject=found.team, team=found.subject)
    return found


def _of_rest(rest: str, form: CardForm) -> Beside:
    if form.reversed and "," in rest:
        return _tidied(of_reversed(rest))
    if form.style and "\t" not in rest:
        return _tidied(beside(rest, True, form.style, ""))
    found = split_behind(rest.strip(), not form.ends)
    subject, team = _parted(found.subject, form)
    inner, outer = split_behind(subject.strip()), split_behind(team.strip())
    marks = (*inner.marks, *outer.marks, *found.marks)
    parallel = found.parallel or inner.parallel or outer.parallel
    return _tidied(Beside(inner.subject, outer.subject, marks, parallel))


# `Ada Marsh, Jr., Harbor Gulls`
_COMMA = re.compile(r",(?!\s*(?:Jr|Sr|II|III|IV)\b)")


def _parted(text: str, form: CardForm) -> tuple[str, str]:
    """A name and the team behind a tab or a comma, or at its end."""
    if "\t" in text:
        name, _, team = text.partition("\t")
        return name, team
    if form.ends:
        return split_end(text, form.ends)
    comma = _COMMA.search(text) if form.commas else None
    return (text[: comma.start()], text[comma.end() :]) if comma else (text, "")


def _tidied(found: Beside) -> Beside:
    subject, team = " ".join(found.subject.split()), " ".join(found.team.split())
    return found._replace(subject=subject, team=team)


def told_of(form: CardForm, cards: Sequence[Line]) -> Iterator[str]:
    """What is read as the team or kept as a note, where other things stand so too."""
    if form.ends:
        yield from _ends_told(form, cards)
    elif not form.rarities and (said := _team_told(form, cards)):
        yield said
    if form.tail:
        shown = form.tail.strip().replace(",", "comma")
        yield f"what stands behind the second {shown} comes again, so it is kept as a note"
    if form.finishes_bare:
        yield from _finish_told(cards)


def _finish_told(cards: Sequence[Line]) -> Iterator[str]:
    """The first parallel without a print run behind a name, which could be a name as well."""
    for name, finish in map(split_finish, rests_of(cards)):
        if finish:
            shown = f"'{printable(finish, 30)}' behind '{printable(name, 40)}'"
            yield f"{shown} is read as a parallel; check whether it is one"
            return


def _team_told(form: CardForm, cards: Sequence[Line]) -> str:
    if form.style and form.style not in SURE_STYLES:
        return f"what stands {WHERE[form.style]} is read apart from the names, as the team"
    if form.team_first:
        return "what stands before the names comes again, so it is read as the team"
    if "code" in form.splits:
        return "short forms before the names come again, so they are read as the team"
    return "" if form.style else team_behind_word(rests_of(cards))


def _ends_told(form: CardForm, cards: Sequence[Line]) -> Iterator[str]:
    shown = printable(min(form.ends), 40)
    yield f"what comes again at the ends of lines is read as the team ('{shown}')"
    # a name and a team that stands on one line alone
    left = (rest for rest in rests_of(cards) if not split_end(rest, form.ends)[1])
    if alone := next((rest for rest in left if len(rest.split()) > 3), ""):
        yield f"'{printable(alone, 40)}' may have its team behind it; it is kept in the name"
