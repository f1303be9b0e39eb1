"""Typed lines in the ways that people put number, name and team on them, made into the usual one:
the number first, then the name. Lines keep their numbers."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Sequence
from itertools import pairwise
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tagger.core.checklist.lines import Line

_RULE = re.compile(r"^\W{3,}$")
# the date and the number of a page, below its cards
_PAGE_FOOT = re.compile(r"^[\W\d]*(?<!\d)\d{1,4}([./-])\d{1,2}\1\d{2,4}(?!\d)[\W\d]*$")
_OF = re.compile(
    r"^(?P<begin>\W*)(?P<number>[0-9]{1,4})\s+(?:of|von|de|di|van)\s+(?P<of>[0-9]{1,4})\b"
)
_LABELLED = re.compile(
    r"^(?P<begin>\W*)(?:cards?|karte|carte|carta|kaart|cromo|no|nr|n[°º]|num|number|№)\b[.:]?\s*#?"
    r"(?=[A-Z]{0,4}-?[0-9])",
    re.IGNORECASE,
)
_COPIES = re.compile(r"^[0-9]{1,2}\s?[x×]\s+(?=#?[A-Z]{0,4}-?[0-9])", re.IGNORECASE)
_COPIES_BEHIND = re.compile(r"(?<!\w)[(\[]?\b(?:[x×]\s?[0-9]{1,2}|[0-9]{1,2}\s?[x×])\b[)\]]?$")
_COUNT_BEHIND = re.compile(r"(?<=\S)\s+[(\[][0-9]{1,2}[)\]]$")
_ODDS = re.compile(
    r"^[(\[]?\s*(?:odds:?\s*)?(?:one|1)\s*(?::|in|per)\s*[0-9]{1,6}"
    r"(?:\s+(?:hobby|retail|blaster))?(?:\s+(?:packs?|boxes|cases?))?\s*[)\]]?$",
    re.IGNORECASE,
)
_SURE_COPIES = re.compile(r"[(\[](?:[x×]\s?[0-9]{1,2}|[0-9]{1,2}\s?[x×])[)\]]$")
# headings of Markdown; `# exported on Monday` is a remark, `# 23 Ada Marsh` a card
_OUTLINED = re.compile(r"^#{1,6}\s+(?=[^\W\d_a-z])|^#{2,6}\s+(?=[^\W\d_]|(?:19|20)[0-9]{2}\s)")
_TICKS = "✓✔☑✗✘☒✅❌ \t"
_IN_BRACKETS = re.compile(
    r"^[(\[]\s*#?(?P<number>(?:[A-Z]{1,4}-?)?[0-9]{1,4}[a-z]?)\s*[)\]]\s+(?=\S)"
)
_NUMBERED = re.compile(r"^\W*(?:[A-Z]{1,4}-?)?[0-9]{1,4}[a-z]?\b")
_NUMBER_BEHIND = re.compile(
    r"^(?P<name>[^\W\d_][^#()\d]*?)[\s,–—-]*(?:[(\[]\s*#?|#|\b(?:no|nr)\b\.?\s?)"
    r"(?P<number>[A-Z]{0,4}-?[0-9]{1,4}[a-z]?)[)\]]?(?P<rest>\s*(?:[-–—,(\[/].*)?)$",
    re.IGNORECASE,
)
_NUMBER_LAST = re.compile(
    r"^(?P<name>[^\W\d_][^\d]*?)(?:\s*[-–—]\s*|[\s.…]+)#?(?P<number>[0-9]{1,4}[a-z]?)(?P<rest>)$"
)
_COUNT = re.compile(r"^[0-9]{1,4}[.):]\s+(?=#[0-9])")
_REMARK = re.compile(r"\s+//\s+[a-z].*$")  # `Fire // Ice` is a name
_AROUND = re.compile(r"^(?P<mark>~~|\*\*|__|\*|_)(?P<text>\S.*\S)(?P=mark)$")
_SEVERAL = re.compile(r"^\W*#?(?P<number>[0-9]{1,4})[.):]?\s+[^\W\d_].*$")
_MARK_FIRST = re.compile(
    r"^[(\[*]?(?P<mark>SP|SSP|RC|ERR|COR|UER)[)\]*:]?\s+(?P<rest>[0-9]{1,4}\W.*\w.*)$"
)
_BULLET = re.compile(r"^(?:[•·*‣▪◦►>+]|[-–—](?=\s))\s*")
_NUMBERED_NAME = re.compile(r"^\W*(?:[A-Z]{1,4}-?)?[0-9]{1,4}[a-z]?\W*\s\W*[^\W\d_][^,]*$")
_NUMBER_ALONE = re.compile(r"^#?(?:[A-Z]{1,4}-?)?[0-9]{1,4}[a-z]?[.)]?$")
_MOST = 0.6


def usual_lines(filled: Sequence[Line]) -> list[Line]:
    """Lines with something on them, without those that only rule a page off."""
    kept = [(line, text) for line, text in filled if not _is_of_page(text)]
    lines = [(line, _plain(text).rstrip(_TICKS)) for line, text in _without_bullets(kept)]
    lines = _with_teams_below(_continued([(line, _marked(text)) for line, text in lines]))
    lines = _one_card_each(_one_line_each(lines))
    lines = [(line, _SURE_COPIES.sub("", _REMARK.sub("", text)).rstrip()) for line, text in lines]
    for change in (
        _without_copies,
        _without_counts_behind,
        _without_count,
        _without_total,
        _without_label,
        _number_first,
        _number_last,
    ):
        lines = _changed(lines, change)
    return lines


def _marked(text: str) -> str:
    """`SP 23 Ada Marsh`: the mark goes behind the name."""
    match = _MARK_FIRST.match(text)
    return f"{match['rest']} {match['mark']}" if match else text


def _is_of_page(text: str) -> bool:
    return _RULE.match(text) is not None or _PAGE_FOOT.match(text) is not None


def _plain(text: str) -> str:
    """A line without pictures in front of it and marks of emphasis around it."""
    text = _OUTLINED.sub("", text)
    # a letter or a digit is all that nearly each line begins with
    if text[:1].isalnum() or text[:1] in "©®":
        return text
    at = 0
    while at < len(text) and unicodedata.category(text[at]) in ("So", "Sk", "Cf", "Mn", "Zs"):
        at += 1
    text = text[at:] if at < len(text) else text
    text = _IN_BRACKETS.sub(r"\g<number> ", text)
    match = _AROUND.match(text)
    return match["text"] if match else text


def _continued(lines: list[Line]) -> list[Line]:
    """The lines with those put behind the one above that this one breaks off with a comma."""
    made: list[Line] = []
    for line, text in lines:
        above = made[-1][1] if made else ""
        goes_on = above.endswith(",") and _NUMBERED.match(above) and text[:1].isalpha()
        # how often a part is found, below its heading
        if goes_on or (_ODDS.match(text) and above and not _NUMBERED.match(above)):
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


def _without_copies(text: str) -> str:
    """`2x 23 Ada Marsh`, `23 Ada Marsh (x2)`: how many the owner has is left away."""
    return _COPIES_BEHIND.sub("", _COPIES.sub("", text)).rstrip()


def _without_counts_behind(text: str) -> str:
    """`23 Ada Marsh (3)`: how many the owner has is left away."""
    return _COUNT_BEHIND.sub("", text) if _NUMBERED.match(text) else text


def _without_count(text: str) -> str:
    """`1. #23 Ada Marsh`: what counts the lines is left away."""
    return _COUNT.sub("", text)


def _without_total(text: str) -> str:
    """`1 of 50 Ada Marsh`: what counts all cards is left away."""
    match = _OF.match(text)
    if match is None or int(match["number"]) > int(match["of"]):
        return text
    return f"{match['begin']}{match['number']}{text[match.end() :]}"


def _without_label(text: str) -> str:
    return _LABELLED.sub(r"\g<begin>", text)


def _number_first(text: str) -> str:
    """`Ada Marsh #23 (Harbor Gulls)`"""
    return _turned(_NUMBER_BEHIND.match(text), text)


def _number_last(text: str) -> str:
    """`Ada Marsh (Harbor Gulls) - 23`"""
    return _turned(_NUMBER_LAST.match(text), text)


def _turned(match: re.Match[str] | None, text: str) -> str:
    return f"{match['number']} {match['name'].strip()}{match['rest']}" if match else text


def _without_bullets(lines: list[Line]) -> list[Line]:
    """The headings of an outline without the marks in front of them, which the cards have too."""
    bullets = sum(_BULLET.match(text) is not None for _, text in lines)
    if bullets * 10 < len(lines) * 9:
        return lines
    return [
        (line, text if _NUMBERED.match(text) else _BULLET.sub("", text)) for line, text in lines
    ]


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
    parted = [(line, _cards_in(text)) for line, text in lines]
    several = [parts for _, parts in parted if len(parts) > 1]
    if len(several) > 1 and all(parts[0].endswith(":") for parts in several):
        return _spread(parted)
    if not several or len(several) < _MOST * (len(lines) - 1) or not _go_on(several):
        return lines
    return _spread(parted)


def _spread(parted: Sequence[tuple[int, list[str]]]) -> list[Line]:
    return [(line, part) for line, parts in parted for part in parts]


def _cards_in(text: str) -> list[str]:
    label, colon, cards = text.rpartition(": ")
    parts = [part.strip() for part in re.split(r"[,;]", cards) if part.strip()]
    if len(parts) > 1 and all(map(_SEVERAL.match, parts)):
        return [f"{label}:", *parts] if colon else parts
    return [text]


def _go_on(several: Sequence[Sequence[str]]) -> bool:
    """Whether all cards are numbered upwards: `12 Lee Gold, 1860 Gulls` are a card and its team."""
    matches = [_SEVERAL.match(part) for parts in several for part in parts]
    numbers = [int(match["number"]) for match in matches if match]
    return all(one < two for one, two in pairwise(numbers))
