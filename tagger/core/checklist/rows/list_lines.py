"""The lines of a plain list by their look: cards, and what stands above these: the title, the names
of columns, what pages and programs put there."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from itertools import chain, takewhile

from tagger.core.checklist.above.in_brackets import without_also
from tagger.core.checklist.headings.meaning import heading_words, meaning_of
from tagger.core.checklist.lines import MAX_LINE, Line
from tagger.core.checklist.named.finishes import is_finish
from tagger.core.checklist.named.months import without_month_of_year
from tagger.core.checklist.raw.base_set import is_base_set
from tagger.core.checklist.raw.counts import count_said
from tagger.core.checklist.raw.mails import set_said, set_within
from tagger.core.checklist.raw.notes import (
    is_comment,
    is_greeting,
    is_imprint,
    is_note,
    is_total,
    names_list,
)
from tagger.core.checklist.raw.prices import said_behind_price, split_price
from tagger.core.checklist.raw.print_runs import split_run
from tagger.core.checklist.raw.purposes import is_owners, is_purpose
from tagger.core.checklist.raw.title_names import is_called, title_name, without_state
from tagger.core.checklist.raw.years import has_year, is_year
from tagger.core.checklist.rows.behind import (
    LISTINGS,
    TEAM_STYLES,
    Beside,
    listed_apart,
    split_behind,
    split_team,
)
from tagger.core.checklist.rows.remarks import split_remark
from tagger.core.checklist.titles import quoted

_BOX = r"\[[ xX✓✔_]{0,2}\]|\([ xX_]{0,2}\)|[☐☑☒□■▢✓✔✗✘]|_{2,}"
# around what was found out to be the number of a line, by the lines around it
FOUND = "\x02"
LIST_LINE = re.compile(
    rf"^\s*(?:(?:[•·*‣▪◦►>]|{_BOX})\s*|[-–—](?:\s+|(?=[0-9])))*(?:no\.?\s+|nr\.?\s+|n[°º]\.?\s*)?#?\s*{FOUND}?"
    r"(?P<number>[^\W_]*[0-9][^\s,;:—]*?|[A-Z]{1,4}-[A-Z0-9]{1,5}|(?<=#)[A-Z](?=\s)|NNO(?=\s)"
    rf"|(?<={FOUND})[^{FOUND}]*)(?P<star>[*†‡§]*)(?:{FOUND}|"
    r"\s*(?:\.[-–]|\.+\)?|[):,;—]|[–=](?=[^\W\d_]{2}))\s*|\s+(?:[-–—=~|:]|[-=]>|→|/(?=\s+[^\W\d_]))\s+|\s+)(?P<rest>\S.*)$"
)
YEAR_NUMBER = re.compile(r"^(1[89]|20)[0-9]{2}(-[0-9]{2,4})?(?:年度?)?$")
_COMMA = re.compile(r"^(?P<name>[^,]+),\s*(?P<team>[^,]+)$")
_MOST_ABOVE = 12  # lines among which the one is that names the set


_GAP = re.compile(r"\s{3,}")


def closed_up(text: str) -> str:
    """A line without gaps, which could be parted in very many ways: two spaces, or a tab."""
    return _GAP.sub(lambda match: "\t" if "\t" in match[0] else "  ", text.strip())


def gaps_as_tabs(filled: list[Line]) -> list[Line]:
    """The lines with a tab for each gap, where most cards have one between name and team."""
    rests = [match["rest"] for _, text in filled[:400] if (match := LIST_LINE.match(text))]
    if len(rests) < 3 or sum(bool(_WIDE.search(rest)) for rest in rests) * 10 < len(rests) * 6:
        return filled
    return [(line, _WIDE.sub("\t", text)) for line, text in filled]


_WIDE = re.compile(r"(?<=[\w.'’)]) {2,}(?=\w)")


def is_title(filled: Sequence[Line]) -> bool:
    """Whether the first filled line names the set: no card line, or one that starts with a year."""
    first = LIST_LINE.match(filled[0][1])
    if first is None:
        return True
    if not YEAR_NUMBER.match(first["number"]) or not may_name_set(filled, 0):
        return False
    # `1987 Harbor` above `1987 Ada Marsh` is a card numbered 1987, above `1 Ada Marsh` a set
    return not any(is_numbered_as_year(text, first["number"]) for _, text in filled[1:2])


def may_name_set(filled: Sequence[Line], at: int) -> bool:
    """Whether a line that begins with a year may be a name of a set: without a comma, as before
    teams, or between blank lines."""
    if "," not in title_name(filled[at][1]):
        return True
    before = at == 0 or filled[at][0] - filled[at - 1][0] > 1
    return before and at + 1 < len(filled) and filled[at + 1][0] - filled[at][0] > 1


def named_by_title(text: str, filled: list[Line], stem: str) -> tuple[str, list[Line]]:
    """The set that the first line names, and the lines from that on; the name may stand on a line
    of its own below its year."""
    # `Card list:` names nothing
    name = " ".join((_name_said(text) or stem).split())[:MAX_LINE]
    if len(filled) < 3:
        return name, filled
    below = filled[1][1]
    if is_year(name) and is_base_set(below):
        return f"{name} {stem}", filled
    if is_year(name) and is_title(filled[1:]):
        return f"{name} {title_name(below)}", filled[1:]
    if is_year(below) and not has_year(name):
        return f"{below.strip()} {name}", filled[1:]
    return name, filled


def _name_said(text: str) -> str:
    """The set that a title, or a sentence above the cards, names; empty where it names none."""
    if is_greeting(text):
        return ""
    within = set_within(text) if is_note(text) or text[:1].islower() else ""
    return set_said(text) or within or title_name(text)


def is_numbered_as_year(text: str, other: str) -> bool:
    """Whether a card's number looks like a year, and is another one than that of a line beside it:
    of two lines with the same year none is a card."""
    match = LIST_LINE.match(text)
    if match is None or match["number"] == other:
        return False
    return YEAR_NUMBER.match(match["number"]) is not None


def title_among(filled: Sequence[Line]) -> int:
    """Which of the lines above the cards names the set: the first with a year, else the first that
    is not what pages and programs put there."""
    above = list(takewhile(lambda at: is_title(filled[at:]), range(min(len(filled), _MOST_ABOVE))))
    said = [at for at in above if not names_nothing(filled[at][1])]
    said.sort(key=lambda at: (is_owners(filled[at][1]), not is_called(filled[at][1])))
    with_year = [at for at in said if _names_with_year(filled[at][1])]
    # `here is what I have of Harbor Light 1987` above the name alone
    with_year.sort(key=lambda at: filled[at][1][:1].islower())
    left = [(at, filled[at][1]) for at in above if at not in said]
    named = (at for names in _NAMES_SET for at, text in left if names(text))
    return next(chain(with_year, named, said), 0)


def _names_with_year(text: str) -> bool:
    return has_year(without_month_of_year(text)) and not is_year(text)


def _begins_with_year(text: str) -> bool:
    # `1987 Harbor Light complete. Ask for more.`
    return YEAR_NUMBER.match(text.partition(" ")[0]) is not None


def _has_set_within(text: str) -> bool:
    return bool(set_within(text)) and not is_imprint(text)


# what a line that speaks to the reader may name the set by, the surest first
_NAMES_SET: tuple[Callable[[str], object], ...] = (_begins_with_year, set_said, _has_set_within)


def names_nothing(text: str) -> bool:
    """Whether a line is of its page or its maker, and not of the cards."""
    text = without_state(text)
    # `here is the list of my cards:`
    leads_in = text[:1].islower() and text.rstrip().endswith(":") and not has_year(text)
    if leads_in or names_list(text) or is_purpose(text):
        return True
    # with its counts behind it a name may be as long as a note
    name = title_name(text) if count_said(text) and has_year(text) else text
    return is_note(name) or is_comment(text) or is_total([text])


def unused(lines: Iterable[Line]) -> list[str]:
    """What is said of lines above the cards that say nothing of these."""
    return [f"line {line}: {quoted([text])}, above the cards, is not used" for line, text in lines]


def sets_above(filled: Sequence[Line]) -> list[Line]:
    """The lines with each set on a line of its own, where the cards of it have it in front of them
    or behind."""
    for style in LISTINGS:
        parts = [listed_apart(text, style) for _, text in filled]
        if len(parts) < 3 or sum(bool(named) for named, _ in parts) * 10 < len(parts) * 8:
            continue
        made, above = list[Line](), ""
        for (line, text), (named, card) in zip(filled, parts, strict=True):
            if named and named != above:
                made.append((line, named))
                above = named
            made.append((line, card if named else text))
        return made
    return list(filled)


def without_names(filled: Sequence[Line]) -> tuple[list[Line], list[Line]]:
    """The lines without those that name columns, on one line or each on its own; and these."""
    named = {at for at, (_, text) in enumerate(filled) if _names_columns(text)}
    for at, (_, text) in enumerate(filled):
        below = filled[at + 1][1] if at + 1 < len(filled) else ""
        two = {_column(text), _column(below)}
        if "" not in two and len(two) == 2:
            named |= {at, at + 1}
    kept = [line for at, line in enumerate(filled) if at not in named]
    return kept, [filled[at] for at in sorted(named)]


def names_teams(names: Iterable[Line]) -> bool:
    """Whether lines that name columns name one of teams."""
    return any(_column(word) == "team" for _, text in names for word in heading_words(text))


_LONGEST_NAMES = 60  # characters


def _names_columns(text: str) -> bool:
    """Whether each word of a line is the name of a column: `No. Player (Team)`."""
    if len(text) > _LONGEST_NAMES or any(map(str.isdigit, text)):
        return False
    meant = list(map(_column, heading_words(text)))
    several = {"number", "subject", "team"} & set(meant)
    return "" not in meant and len(several) > 1


def _column(text: str) -> str:
    """What a text is as the name of a column, if it can be none but one of a card's own."""
    words = heading_words(text)
    meaning = meaning_of(text)[0] if len(words) == 1 else ""
    return meaning if meaning in ("number", "subject", "team", "price", "run") else ""


def rests_of(filled: Sequence[Line]) -> list[str]:
    """What stands behind the numbers of the first lines, without marks, runs and prices."""
    matches = [match for _, text in filled[:400] if (match := LIST_LINE.match(text))]
    bare = (split_remark(_without_price(match["rest"]))[0] for match in matches)
    bare = (split_listed(rest)[0] for rest in bare)
    # whether states of copies stand there is found out by all lines
    return [split_behind(rest, states=False).subject for rest in bare]


def _without_price(rest: str) -> str:
    bare, price = split_price(said_behind_price(rest)[0])
    # `.25` is one of the amounts without a sign, if others have `3.00`
    return rest if price.startswith(".") else bare


def is_team_first(style: str, filled: Sequence[Line]) -> bool:
    """Whether teams, which come again and again, stand before the names."""
    pattern = TEAM_STYLES.get(style, _COMMA)
    rests = [match["rest"] for _, text in filled[:400] if (match := LIST_LINE.match(text))]
    pairs = [(match["name"], match["team"]) for rest in rests if (match := pattern.match(rest))]
    if len(pairs) < 6 or len(pairs) * 10 < len(rests) * 9:
        return False
    firsts, seconds = (len(set(some)) for some in zip(*pairs, strict=True))
    return firsts * 2 <= len(pairs) and seconds * 10 >= len(pairs) * 8


def split_tail(rest: str, mark: str) -> tuple[str, str]:
    """`Ada Marsh, Harbor Gulls, GK` without what stands behind the second mark, and this."""
    parts = rest.split(mark) if mark else []
    if len(parts) != 3:
        return rest, ""
    return mark.join(parts[:2]), parts[2].strip()


def tail_mark(rests: Sequence[str]) -> str:
    """The mark in most texts behind whose second place one of a few short words stands: a position,
    say; empty for none."""
    return next((mark for mark in _TAIL_MARKS if _has_tail(rests, mark)), "")


_TAIL_MARKS = (",", " / ", " - ", " – ", " | ", "; ")


def _has_tail(rests: Sequence[str], mark: str) -> bool:
    tails = [tail for rest in rests if (tail := split_tail(rest, mark)[1])]
    if len(tails) < 3 or len(tails) * 10 < len(rests) * 6 or max(map(len, tails)) > _LONGEST_TAIL:
        return False
    return len(set(tails)) * 3 <= len(tails)


_LISTED = re.compile(r"^(?P<rest>.*\S)\s*[(\[](?P<listed>[^()\[\]]*[^\W\d_][^()\[\]]*)[)\]]$")


def split_listed(rest: str) -> tuple[str, str]:
    """`Ada Marsh, Gulls (Gold /50, Red /10)` without the parallels in brackets behind it, and
    these."""
    match = _LISTED.match(rest) if rest[-1:] in ")]" else None
    if match is None:
        return rest, ""
    each = [part.strip() for part in _BETWEEN.split(without_also(match["listed"]))]
    return (match["rest"], "; ".join(each)) if _are_listed(each, match["listed"]) else (rest, "")


def _are_listed(each: Sequence[str], said: str) -> bool:
    """Whether what stands in brackets lists parallels: several, one with a run, behind `also`."""
    if not all(is_finish(part) and part[:1].isalpha() for part in each):
        return False
    return len(each) > 1 or without_also(said) != said or split_run(each[0])[1] > 0


_BETWEEN = re.compile(r"[,;]|\s(?:and|und|et|y|e|en)\s")
_LONGEST_TAIL = 12  # characters


def one_a_line(filled: list[Line]) -> list[Line]:
    """The lines with those apart that stand beside each other, as columns of a page do."""
    parts = [_side_by_side(text) for _, text in filled]
    several = sum(len(some) > 1 for some in parts)
    if several * 2 < len(filled):
        return filled
    if columns := _headed_columns(filled, parts):
        return columns
    return [(line, part) for (line, _), some in zip(filled, parts, strict=True) for part in some]


def _headed_columns(filled: Sequence[Line], parts: Sequence[Sequence[str]]) -> list[Line]:
    """The lines of each column below its heading, where all cards stand in columns below one line
    of headings, as in an album; none where it is not so."""
    first = next(at for at, some in enumerate(parts) if len(some) > 1)
    heads = filled[first - 1][1].split("\t") if first else []
    if len(heads) < 2 or any(map(LIST_LINE.match, heads)) or not all(map(str.strip, heads)):
        return []
    rows = [(line, text.split("\t")) for line, text in filled[first:]]
    if any(len(cells) > len(heads) for _, cells in rows):
        return []
    made = list(filled[: first - 1])
    for at, head in enumerate(heads):
        cards = [(line, cells[at]) for line, cells in rows if at < len(cells) and cells[at].strip()]
        made += [(filled[first - 1][0], head), *cards]
    return made


def _side_by_side(text: str) -> list[str]:
    for mark in "\t;":
        parts = [part for part in text.split(mark) if part.strip()]
        # `1987 Harbor Light: 1 Ada Marsh` looks like a card itself
        if titled := _with_title(parts):
            return titled
        if len(parts) > 1 and all(map(_is_card, parts)):
            return parts
    return [text]


_TITLED = re.compile(r"^(?P<title>[^:]*[^\W\d_][^:]*?)(?::|\s[-–—])\s+(?P<card>\S.*)$")
_FEWEST_BESIDE = 3  # cards on the line of their title


def _with_title(parts: Sequence[str]) -> list[str]:
    """The parts of `1987 Harbor Light: 1 Ada Marsh; 2 Bo Fen; 3 Cy Reed.` with the title apart;
    none where a line is something else."""
    match = _TITLED.match(parts[0].strip()) if len(parts) >= _FEWEST_BESIDE else None
    if match is None or not all(map(_is_card, [match["card"], *parts[1:]])):
        return []
    return [match["title"], match["card"], *parts[1:-1], parts[-1].rstrip(" .")]


def _is_card(text: str) -> bool:
    match = LIST_LINE.match(text)
    return match is not None and any(map(str.isalpha, match["rest"]))


_LAST_FIRST = re.compile(
    r"^(?P<last>(?:[^\W\d_]{1,3}['’]?\s)*[^,\s]+(?:\s(?:Jr|Sr|I{2,3}|IV)\.?)?),\s*"
    r"(?P<first>[^,]+?)\s*(?:,\s*(?P<team>.+))?$",
    re.IGNORECASE,
)


def are_reversed(rests: Sequence[str]) -> bool:
    """Whether the comma stands within most names (`Marsh, Ada`), and not before a team: what
    follows it hardly comes again, or a team follows that."""
    matches = [match for match in map(_LAST_FIRST.match, rests) if match]
    if len(matches) < 6 or len(matches) * 10 < len(rests) * 7:
        return False
    firsts = {of_reversed(match[0]).subject for match in matches}
    has_teams = sum(bool(match["team"]) for match in matches) * 10 >= len(matches) * 8
    behind = {match["first"] for match in matches}
    return len(firsts) * 10 >= len(matches) * 8 and (has_teams or len(behind) * 2 > len(matches))


def of_reversed(rest: str) -> Beside:
    """A card whose subject has a comma in it, with the team in brackets, or behind a dash or a
    second comma."""
    found = split_behind(rest.strip())
    for style in ("brackets", "dash"):
        name, team = split_team(found.subject, style)
        if team:
            return found._replace(subject=name, team=team)
    match = _LAST_FIRST.match(found.subject)
    if match is None:
        return found
    return found._replace(subject=f"{match['last']}, {match['first']}", team=match["team"] or "")
