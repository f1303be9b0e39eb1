"""Typed lines in the ways that people put number, name and team on them, made into the usual one:
the number first, then the name. Lines keep their numbers."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Sequence
from itertools import groupby, pairwise
from typing import TYPE_CHECKING

from tagger.core.checklist.raw.mails import is_mail_head, subject_of_mail, without_stamp
from tagger.core.checklist.raw.notes import is_page_foot
from tagger.core.checklist.raw.odds import is_odds
from tagger.core.checklist.raw.purposes import says_owned
from tagger.core.checklist.raw.usual_line import CHANGES, NUMBERED, without_totals
from tagger.core.checklist.raw.wrapped import paragraphs_parted

if TYPE_CHECKING:
    from tagger.core.checklist.lines import Line

_RULE = re.compile(r"^\W{3,}$")
_SURE_COPIES = re.compile(r"[(\[](?:[x×]\s?[0-9]{1,2}|[0-9]{1,2}\s?[x×])[)\]]$")
# headings of Markdown; `# exported on Monday` is a remark, `# 23 Ada Marsh` a card
_OUTLINED = re.compile(
    r"^#{1,6}\s+(?=[^\W\d_a-z])|^#{2,6}\s+(?=[^\W\d_]|(?:19|20)[0-9]{2}(?:\s|$))"
)
_TICKS = "✓✔☑✗✘☒✅❌ \t"
_IN_BRACKETS = re.compile(
    r"^[(\[]\s*#?(?P<number>(?:[A-Z]{1,4}-?)?[0-9]{1,4}[a-z]?)\s*[)\]]\s+"
    r"(?!#?(?:[A-Z]{1,4}-?)?[0-9]+[a-z]?[\s.):,])(?=\S)"
)
_REMARK = re.compile(r"\s+//\s+[a-z].*$")  # `Fire // Ice` is a name
_AROUND = re.compile(r"^(?P<mark>~~|\*\*|__|\*|_|\"(?=[^\"]+\"$))(?P<text>\S.*\S)(?P=mark)$")
_POINT_AND_DASH = re.compile(r"^(?P<number>[0-9]{1,4})\.[-–]\s*(?=[^\W\d_])")  # `12.- Ada Marsh`
_WIDE = re.compile(r"\s+")
# headings in Japanese: `【レギュラーカード】`
_IN_SIGNS = re.compile(r"^[【《〈](?P<text>[^【】《》〈〉]+)[】》〉]$")
# `--- 1987 Harbor Light ---`
_DECORATED = re.compile(
    r"^(?:[*=#~|+]\s+(?=.*\s[*=#~|+]$)|[-=~_+•·]{2,}|\*{2,})\s*"
    r"(?P<text>[^\W_].*?)\s*(?:\s[*=#~|+]|[-=~_+•·]{2,}|\*{2,})$"
)
_SEVERAL = re.compile(r"^\W*#?(?:[A-Z]{1,4}-?)?(?P<number>[0-9]{1,4})[.):]?\s+[^\W\d_].*$")
_MARK_FIRST = re.compile(
    r"^[(\[*]?(?P<mark>SP|SSP|RC|ERR|COR|UER)[)\]*:]?\s+(?P<rest>[0-9]{1,4}\W.*\w.*)$"
)
_BULLET = re.compile(r"^(?:[•·‣▪◦►>+]|\*(?!\*)|[-–—](?=\s))\s*")
_NUMBERED_NAME = re.compile(
    r"^\W*+(?:[A-Z]{1,4}-?)?[0-9]{1,4}[a-z]?(?=[^\w\s]*+\s)\W++[^\W\d_][^,]*+$"
)
_NUMBER_ALONE = re.compile(r"^#?(?:[A-Z]{1,4}-?)?[0-9]{1,4}[a-z]?[.)]?$")
_MOST = 0.6


def usual_lines(filled: Sequence[Line]) -> list[Line]:
    """Lines with something on them, without those that only rule a page off."""
    kept = [(line, text) for line, text in filled if not _is_of_page(text)]
    lines = [(line, _plain(text).rstrip(_TICKS)) for line, text in _without_bullets(kept)]
    lines = _ranges_behind(_stars_behind([(line, _marked(text)) for line, text in lines]))
    lines = _with_teams_below(_continued(paragraphs_parted(lines)))
    lines = _one_card_each(_one_line_each(_zipped(lines)))
    lines = [(line, _SURE_COPIES.sub("", _REMARK.sub("", text)).rstrip()) for line, text in lines]
    lines = without_totals(_without_states(lines))
    for change in CHANGES:
        lines = _changed(lines, change)
    return lines


# `+ = vorhanden, o = fehlt`, `m = mis ik nog`: what its owner notes behind a card
_STATE_SAID = re.compile(
    r"(?<![^\s:,;(])(?P<mark>[^\W\d_]|[+\-–~?!%o])\s*=\s*(?P<said>[^\W\d_]+(?:\s[^\W\d_]+){0,3})"
)


def _without_states(lines: list[Line]) -> list[Line]:
    """The cards without the marks behind them that a line explains as what the owner has."""
    told = (match for _, text in lines for match in _STATE_SAID.finditer(text))
    marks = {match["mark"] for match in told if says_owned(match["said"])}
    if not marks:
        return lines
    behind = re.compile(rf"\s+[(\[]?(?:{'|'.join(map(re.escape, sorted(marks)))})[)\]]?$")
    return [
        (line, behind.sub("", text) if any(map(str.isdigit, text)) else text)
        for line, text in lines
    ]


def _marked(text: str) -> str:
    """`SP 23 Ada Marsh`: the mark goes behind the name."""
    match = _MARK_FIRST.match(text)
    return f"{match['rest']} {match['mark']}" if match else text


_RANGE_FIRST = re.compile(
    r"^\W*(?P<prefix>[A-Z]{0,4}-?)(?P<first>[0-9]{1,4})\s*(?:[-–—]|to|through|thru|bis)\s*#?"
    r"(?P=prefix)(?P<last>[0-9]{1,4})(?:[.:)]|\s+[-–—:])?\s+(?P<name>[^\W\d_].*)$"
)
_FIRST_NUMBER = re.compile(r"^\W*(?P<number>(?:[A-Z]{1,4}-?)?[0-9]{1,4})[a-z]?\b")


def _ranges_behind(lines: list[Line]) -> list[Line]:
    """`15-20 Rookies`, above the card 15: the heading with its numbers behind it, as `15 Rookies`
    would be a card."""
    made = list(lines)
    for at, (line, text) in enumerate(lines):
        match = _RANGE_FIRST.match(text)
        if match is None or int(match["first"]) >= int(match["last"]):
            continue
        below = [one[1] for one in lines[at + 1 : at + 4]]
        firsts = (f"{match['prefix']}{match['first']}", match["first"])
        if any((one := _FIRST_NUMBER.match(text)) and one["number"] in firsts for text in below):
            numbers = f"{firsts[0]}-{match['prefix']}{match['last']}"
            made[at] = line, f"{match['name'].rstrip(' :')} ({numbers})"
    return made


_STARRED = re.compile(
    r"^(?P<star>[*†‡§]{1,3})\s?"
    r"(?P<number>(?!(?:1[89]|20)[0-9]{2}\b)#?(?:[A-Z]{1,4}-?)?[0-9]{1,4}[a-z]?)(?=\W)"
)


def _stars_behind(lines: list[Line]) -> list[Line]:
    """`*23 Ada Marsh` among others without the star: behind the number, it is no bullet."""
    starred = sum(_STARRED.match(text) is not None for _, text in lines)
    if starred * 2 > sum(NUMBERED.match(text) is not None for _, text in lines):
        return lines
    return [(line, _STARRED.sub(r"\g<number>\g<star>", text)) for line, text in lines]


def _is_of_page(text: str) -> bool:
    return _RULE.match(text) is not None or is_page_foot(text) or is_mail_head(text)


# `**23** Ada Marsh`, `*Harbor Gulls*` within a line
_EMPHASIZED = re.compile(
    r"(?<![\w*])(?P<mark>\*\*|__|\*)(?=[^\s*])(?P<text>[^*]+?)(?P=mark)(?![\w*])"
)
# digits with a circle around them
_CIRCLED = {
    chr(first + at): str(start + at)
    for first, start, count in ((0x2460, 1, 20), (0x3251, 21, 15), (0x32B1, 36, 15))
    for at in range(count)
}


def _plain(text: str) -> str:
    """A line without pictures in front of it and marks of emphasis around it."""
    if text[:1] in _CIRCLED:
        return f"{_CIRCLED[text[0]]} {text[1:].lstrip()}"
    text = subject_of_mail(without_stamp(_OUTLINED.sub("", text)))
    if "*" in text or "__" in text:
        text = _EMPHASIZED.sub(r"\g<text>", text)
    text = text.replace("~~", "")  # struck out, as what its owner has by now
    text = _without_point_and_dash(text)
    # a letter or a digit is all that nearly each line begins with
    if text[:1].isalnum() or text[:1] in "©®":
        return text
    text = _without_pictures(text)
    text = _IN_BRACKETS.sub(r"\g<number> ", text)
    match = _IN_SIGNS.match(text) or _DECORATED.match(text) or _AROUND.match(text)
    return _WIDE.sub(" ", match["text"]) if match else text


def _without_point_and_dash(text: str) -> str:
    if ".-" not in text and ".–" not in text:
        return text  # nearly each line
    return _POINT_AND_DASH.sub(r"\g<number> ", text)


def _without_pictures(text: str) -> str:
    at = 0
    while at < len(text) and unicodedata.category(text[at]) in ("So", "Sk", "Cf", "Mn", "Zs"):
        at += 1
    return text[at:] if at < len(text) else text


_BREAKS_OFF = re.compile(r":\s+#?[0-9][^:]*,$")  # `1987 Harbor Light: 14 Marsh, 27 Finn,`


def _goes_on_with(above: str, text: str) -> bool:
    """Whether a line goes on with the one above it, that a comma breaks off: with a word of its
    card, or with further cards behind the name of their set."""
    if text[:1].isdigit():
        return _BREAKS_OFF.search(above) is not None
    return above.endswith(",") and bool(NUMBERED.match(above)) and text[:1].isalpha()


def _continued(lines: list[Line]) -> list[Line]:
    """The lines with those put behind the one above that this one breaks off with a comma."""
    made: list[Line] = []
    for line, text in lines:
        above = made[-1][1] if made else ""
        # how often a part is found, below its heading
        if _goes_on_with(above, text) or (is_odds(text) and above and not NUMBERED.match(above)):
            made[-1] = made[-1][0], f"{above} {text}"
        else:
            made.append((line, text))
    return made


def _changed(lines: list[Line], change: Callable[[str], str]) -> list[Line]:
    """The lines changed, where most of them can be; `A` parts a list by its letters."""
    made = [(line, change(text)) for line, text in lines]
    hit = sum(one != two for one, two in zip(made, lines, strict=True))
    all_lines = sum(len(text) > 1 for _, text in lines)
    return made if hit >= 2 and hit >= _MOST * all_lines else lines


def _without_bullets(lines: list[Line]) -> list[Line]:
    """The headings of an outline without the marks in front of them, which the cards have too."""
    bullets = sum(_BULLET.match(text) is not None for _, text in lines)
    if bullets * 10 < len(lines) * 9:
        return lines
    return [(line, text if NUMBERED.match(text) else _BULLET.sub("", text)) for line, text in lines]


def _with_teams_below(lines: list[Line]) -> list[Line]:
    """The lines with the teams behind the cards that they stand below, where nearly each card has a
    line below it, and few words come again in these."""
    at_cards = {at for at, (_, text) in enumerate(lines) if _NUMBERED_NAME.match(text)}
    below = {at for at in at_cards if at + 1 < len(lines) and at + 1 not in at_cards}
    teams = [lines[at + 1][1] for at in below]
    if len(below) * 10 < len(at_cards) * 9 or not _come_again(teams):
        return lines
    return _joined_below(lines, below)


def _joined_below(lines: Sequence[Line], above: set[int]) -> list[Line]:
    """The lines with each below one of some behind that."""
    joined = {at: (lines[at][0], f"{lines[at][1]}, {lines[at + 1][1]}") for at in above}
    return [joined.get(at, line) for at, line in enumerate(lines) if at - 1 not in above]


def _come_again(names: Sequence[str]) -> bool:
    return len(names) > 3 and len(set(names)) * 2 <= len(names)


def _zipped(lines: list[Line]) -> list[Line]:
    """The lines with the numbers of a block before the names of as many lines below it, as pages in
    columns are copied: all numbers, then all names, maybe then all teams."""
    alone = [_NUMBER_ALONE.match(text) is not None for _, text in lines]
    if sum(alone) < _FEWEST_ALONE or alone.index(True) > _MOST_ABOVE:
        return lines
    first = alone.index(True)
    count = [*alone[first:], False].index(False)
    below = lines[first + count :]
    blocks, left = divmod(len(below), count)
    if count < _FEWEST_ALONE or left or blocks not in (1, 2) or sum(alone) > count:
        return lines
    made = [
        (line, f"{text} {', '.join(one for _, one in below[at::count])}")
        for at, (line, text) in enumerate(lines[first : first + count])
    ]
    return [*lines[:first], *made]


_FEWEST_ALONE = 4  # numbers that stand alone
_MOST_ABOVE = 12  # lines above them


def _one_line_each(lines: list[Line]) -> list[Line]:
    """The lines of each card as one, where number, name and team stand below each other."""
    starts = [at for at, (_, text) in enumerate(lines) if _NUMBER_ALONE.match(text)]
    heights = {two - one for one, two in pairwise([*starts, len(lines)])}
    if len(starts) < 3 or len(heights) != 1 or not 2 <= min(heights) <= 3:
        return lines
    height = heights.pop()
    cards = [lines[at : at + height] for at in starts]
    made = [
        (card[0][0], f"{card[0][1]} {', '.join(text for _, text in card[1:])}") for card in cards
    ]
    return [*lines[: starts[0]], *made]


def _one_card_each(lines: list[Line]) -> list[Line]:
    """The lines with those parted that have several cards one behind the other, numbered on."""
    parted = [(line, cards_in(text)) for line, text in lines]
    several = [parts for _, parts in parted if len(parts) > 1]
    if len(several) > 1 and all(parts[0].endswith(":") for parts in several):
        return _spread(parted)
    return _spread(parted) if several and _are_most(several, parted) else lines


def _are_most(several: Sequence[list[str]], parted: Sequence[tuple[int, list[str]]]) -> bool:
    """Whether most lines with cards have several, all numbered on; headings stand between."""
    numbered = sum(len(parts) > 1 or parts[0][:1].isdigit() for _, parts in parted)
    return len(several) >= _MOST * (numbered - 1) and _go_on(parted)


def _spread(parted: Sequence[tuple[int, list[str]]]) -> list[Line]:
    whole = [_without_stop(parts) if len(parts) > 1 else parts for _, parts in parted]
    return [(line, part) for (line, _), parts in zip(parted, whole, strict=True) for part in parts]


def _without_stop(parts: list[str]) -> list[str]:
    """The cards of a sentence without the full stop behind the last of them."""
    last = parts[-1]
    # `Jr.` and initials have a point of their own
    stops = sum(part.endswith(".") for part in parts)
    is_stop = last.endswith(".") and stops == 1 and len(last.split()[-1]) > 4
    return [*parts[:-1], last[:-1]] if is_stop else parts


def cards_in(text: str) -> list[str]:
    """The cards on a line, `1987 Harbor Light: 14 Marsh, 27 Finn`, behind their label if it has
    one; the line alone where it has not several."""
    label, colon, cards = text.rpartition(": ")
    parts = [part.strip() for part in re.split(r"[,;]", cards) if part.strip()]
    if len(parts) > 1 and all(map(_SEVERAL.match, parts)):
        return [f"{label}:", *parts] if colon else parts
    return [text]


def _go_on(parted: Sequence[tuple[int, list[str]]]) -> bool:
    """Whether all cards of lines that follow each other are numbered upwards: `12 Lee Gold, 1860
    Gulls` are a card and its team."""
    blocks = groupby((parts for _, parts in parted), key=lambda parts: len(parts) > 1)
    for are_several, block in blocks:
        matches = [_SEVERAL.match(part) for parts in block for part in parts if are_several]
        numbers = [int(match["number"]) for match in matches if match]
        if any(one >= two for one, two in pairwise(numbers)):
            return False
    return True
