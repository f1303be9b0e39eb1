"""Lines of a plain list whose numbers are letters, stand in a row behind the name of a set, or are
not there: found out by the lines among themselves, and marked as LIST_LINE has it."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import pairwise, takewhile
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.checklist.above.facts import labelled
from tagger.core.checklist.raw.notes import is_comment, is_note, is_share, is_total, names_list
from tagger.core.checklist.raw.prices import split_price
from tagger.core.checklist.raw.purposes import is_purpose
from tagger.core.checklist.raw.typed_lines import cards_in
from tagger.core.checklist.raw.years import has_year
from tagger.core.checklist.rows.behind import TEAM_STYLES, split_behind
from tagger.core.checklist.rows.list_lines import FOUND, LIST_LINE
from tagger.core.checklist.titles import names_part, names_part_by_word

if TYPE_CHECKING:
    from tagger.core.checklist.lines import Line

_FEWEST = 4
_BULLETS = " •·*‣▪◦►>-–—"
_LOOKED_AT = 400  # lines
_MOST_WORDS = 6  # of a name without a team


class Found(NamedTuple):
    """The lines, and what is to be told of the first of those that are cards: its line, and why."""

    lines: list[Line]
    line: int = 0
    told: str = ""


def numbers_found(filled: Sequence[Line]) -> Found:
    """The lines with the numbers marked that only other lines show to be numbers."""
    lines = [(line, text.replace(FOUND, "")) for line, text in filled]
    if are_wants([text for _, text in lines[:_LOOKED_AT]]):
        return _wanted(lines)
    lines = _prefixed(_lettered(_without_outline(lines)))
    cards = sum(LIST_LINE.match(text) is not None for _, text in lines if not has_year(text))
    if cards * 10 > len(lines):
        return _unnumbered_parts(lines)
    if found := _paragraphs(lines):
        return found
    return _unnumbered(lines) if len(lines) >= _FEWEST else Found(lines)


def _unnumbered_parts(lines: list[Line]) -> Found:
    """The lines with those marked as cards that stand below a heading such as `Autographs` without
    a number, each a name."""
    made, first = list(lines), 0
    for at in range(1, len(lines)):
        block = _block_below(lines, at)
        if len(block) < _FEWEST or not all(_is_unnumbered(lines[n][1]) for n in block):
            continue
        for n in block:
            made[n] = lines[n][0], _marked("", lines[n][1].lstrip(_BULLETS))
        first = first or lines[block[0]][0]
    told = "names below a heading have no number; each is read as a card"
    return Found(made, first, told) if first else Found(made)


def _block_below(lines: Sequence[Line], at: int) -> list[int]:
    """The lines right below a heading that has a word of the trade for parts, behind a blank line,
    up to the next blank one."""
    line, text = lines[at]
    if line - lines[at - 1][0] < 2 or LIST_LINE.match(text) or not names_part_by_word(text):
        return []
    # a blank line may part it from these
    gap = min(lines[at + 1][0] - line, 2) if at + 1 < len(lines) else 0
    below = takewhile(lambda n: lines[n][0] == line + gap + n - at - 1, range(at + 1, len(lines)))
    return list(below)


def _is_unnumbered(text: str) -> bool:
    bare = _bare(text.lstrip(_BULLETS))
    style = _team_mark(bare)
    name = TEAM_STYLES[style].match(bare) if style else None
    return LIST_LINE.match(text) is None and _is_name(name["name"] if name else bare)


def _names_in(text: str) -> list[str]:
    """The names in a sentence of nothing else, behind `Harbor Gulls:` at most; a label as its own
    first text. Empty where a text is something else."""
    label, colon, behind = text.partition(": ")
    names = re.split(r",\s+(?:and\s+)?|;\s+|\s+(?:and|und|et|y)\s+", (behind or label).rstrip(". "))
    if len(names) < _FEWEST or not all(map(_is_name, names)):
        return []
    return [f"{label}:", *names] if colon else names


def _paragraphs(lines: Sequence[Line]) -> Found | None:
    """The lines with each name of a sentence on its own, where no line has a number; None where
    there is no such sentence."""
    parted = [(line, _names_in(text) or [text]) for line, text in lines]
    with_names = [line for line, texts in parted if len(texts) > 1]
    if not with_names:
        return None
    made = [
        (line, text if len(texts) == 1 or text.endswith(":") else _marked("", text))
        for line, texts in parted
        for text in texts
    ]
    return Found(made, with_names[0], _NAMES_TOLD)


_NAMES_TOLD = "no card has a number; names with commas between are read as a card each"


def _marked(number: str, rest: str) -> str:
    return f"{FOUND}{number}{FOUND}{rest}"


_LETTER = re.compile(
    r"^\W*(?P<letter>[A-Z]|[IVX]{1,5})(?:[.):]\s*|\s+[-–—=]\s+|\t)(?P<rest>[^\W\d_].*)$"
)
_ROMANS = ("I", "II", "III", "IV", "V", "VI", "VII", "VIII", "IX", "X", "XI", "XII", "XIII", "XIV",
           "XV", "XVI", "XVII", "XVIII", "XIX", "XX")  # fmt: skip
_LETTERS = tuple(map(chr, range(ord("A"), ord("Z") + 1)))


def _lettered(lines: list[Line]) -> list[Line]:
    """`A. Ada Marsh`, `B. Bo Finn`, and so on from A, or from I: cards numbered by letters."""
    made = list(lines)
    for signs in (_LETTERS, _ROMANS):
        for run in _runs(lines, signs):
            for at in run:
                match = _LETTER.match(lines[at][1])
                assert match is not None
                made[at] = lines[at][0], _marked(match["letter"], match["rest"])
    return made


def _without_outline(lines: list[Line]) -> list[Line]:
    """`I. Base` and `II. Inserts` with cards between: headings without what counts them."""
    found = {at: match for at, (_, text) in enumerate(lines) if (match := _LETTER.match(text))}
    letters = tuple(match["letter"] for match in found.values())
    places = list(found)
    apart = all(two - one > 1 for one, two in pairwise(places))
    counted = letters in (_LETTERS[: len(letters)], _ROMANS[: len(letters)])
    if len(found) < 2 or not (apart and counted):
        return lines
    return [
        (line, found[at]["rest"] if at in found else text) for at, (line, text) in enumerate(lines)
    ]


_PREFIXED = re.compile(
    r"^\W*(?P<number>[A-Z]{1,4}\s[0-9]{1,4}[a-z]?)[.):]?\s+(?P<rest>[^\W\d_].*)$"
)


def _prefixed(lines: list[Line]) -> list[Line]:
    """`TC 12 Ada Marsh`: cards whose numbers have a blank behind their prefix, several of one
    prefix."""
    matches = [_PREFIXED.match(text) for _, text in lines]
    times = Counter(match["number"].split()[0] for match in matches if match)
    return [
        (line, _marked(match["number"], match["rest"]))
        if match and times[match["number"].split()[0]] >= _FEWEST
        else (line, text)
        for match, (line, text) in zip(matches, lines, strict=True)
    ]


def _runs(lines: Sequence[Line], signs: Sequence[str]) -> Iterator[list[int]]:
    """The lines that follow one another as some signs do, from the first sign on."""
    run: list[int] = []
    for at, (_, text) in enumerate(lines):
        match = _LETTER.match(text)
        if match is None or len(run) >= len(signs) or match["letter"] != signs[len(run)]:
            if len(run) >= _FEWEST:
                yield run
            run = [at] if match is not None and match["letter"] == signs[0] else []
        else:
            run.append(at)
    if len(run) >= _FEWEST:
        yield run


_ONE = re.compile(r"#?(?:[A-Z]{1,3}-?)?[0-9]{1,4}[a-z]?(?:[-–][0-9]{1,4})?")
_BETWEEN = frozenset(["-", "–", "to", "bis", "and", "und", "et", "y", "&", "+", "#"])
_APART = re.compile(r"[\s,;:]+")


def _numbers_behind(text: str) -> tuple[str, list[str]]:
    """The label of a line, and the words behind it where these are three numbers or more and what
    stands between numbers; else none."""
    words = [word for word in _APART.split(text.rstrip(" .;,")) if word]
    at = len(words)
    while at and (words[at - 1] in _BETWEEN or _ONE.fullmatch(words[at - 1])):
        at -= 1
    while at < len(words) and words[at] in _BETWEEN:
        at += 1
    numbers = words[at:]
    several = sum(word not in _BETWEEN for word in numbers) > 2
    return (" ".join(words[:at]), numbers) if several else (text, [])


_SPAN = re.compile(r"^(?P<first>[0-9]{1,4})\s*(?:[-–]|to|bis)\s*(?P<last>[0-9]{1,4})$")
_MOST_SPANNED = 500  # cards


def are_wants(lines: Sequence[str]) -> bool:
    """Whether lines are numbers alone, several in a row, at most behind the name of their set or
    what they are for: what a collector still needs."""
    parted = [_numbers_behind(text) for text in lines if any(map(str.isdigit, text))]
    labels = [label for label, numbers in parted if numbers]
    rest = len(parted) - len(labels)
    return bool(labels) and rest <= len(labels) + 1 and all(map(_may_be_wanted, labels))


def _may_be_wanted(label: str) -> bool:
    """Whether numbers may be those of cards that are wanted: `Ada Marsh 3, 17, 40` is an index."""
    return not label or has_year(label) or is_purpose(label) or names_part(label)


def _wanted(lines: Sequence[Line]) -> Found:
    made: list[Line] = []
    first = 0
    for line, text in lines:
        label, numbers = _numbers_behind(text)
        if not numbers:
            made += [(line, part) for part in cards_in(text)]
            continue
        if label and not is_purpose(label):
            made.append((line, label))
        made += [(line, _marked(number, FOUND)) for number in _each(" ".join(numbers))]
        first = first or line
    return Found(made, first, "the cards have numbers and no names; they are found by number only")


def _each(numbers: str) -> Iterator[str]:
    """`3, 7, 12-15` one by one."""
    closed = re.sub(r"\s*(?:[-–]|\bto\b|\bbis\b)\s*(?=[0-9])", "-", numbers)
    for one in re.findall(r"[^\s,;&+#]+", closed):
        span = _SPAN.match(one)
        if span is None or not 0 < int(span["last"]) - int(span["first"]) <= _MOST_SPANNED:
            if any(map(str.isdigit, one)):
                yield one
            continue
        yield from map(str, range(int(span["first"]), int(span["last"]) + 1))


def _unnumbered(lines: list[Line]) -> Found:
    """The lines that are cards by their form, where no line has a number."""
    cards = _cards_by_form(lines)
    if len(cards) < _FEWEST:
        return Found(lines)
    made = list(lines)
    for at in cards:
        made[at] = lines[at][0], _marked("", lines[at][1].lstrip(_BULLETS))
    told = f"no line has a number; {len(cards)} lines are read as cards, found by their names"
    return Found(made, lines[cards[0]][0], told)


def _cards_by_form(lines: Sequence[Line]) -> list[int]:
    """Where the cards are, by the teams behind most names, or by nearly all lines being names."""
    texts = {at: _bare(lines[at][1]) for at in range(len(lines)) if _may_be_card(lines, at)}
    with_team = [at for at, text in texts.items() if _team_mark(text)]
    if len(with_team) * 10 >= len(texts) * 6:
        return with_team
    names = [at for at, text in texts.items() if _is_name(text)]
    return names if len(names) * 10 >= len(lines) * 7 else []


def _may_be_card(lines: Sequence[Line], at: int) -> bool:
    text = lines[at][1]
    if any(test(text) for test in _NO_CARDS) or text.rstrip().endswith((":", "!", "?")):
        return False
    # `number: 1`
    return not (labelled(text)[0] or is_total([text]) or _is_heading(lines, at))


_NO_CARDS = (is_note, is_comment, is_purpose, is_share, names_list, has_year)


def _is_heading(lines: Sequence[Line], at: int) -> bool:
    """Whether a line stands apart as headings do: first of all, or before a blank line and behind
    one; or has a word of the trade for parts behind a blank line."""
    after = at == 0 or lines[at][0] - lines[at - 1][0] > 1
    before = at + 1 < len(lines) and lines[at + 1][0] - lines[at][0] > 1
    return after and (before or names_part(lines[at][1]))


def _bare(text: str) -> str:
    return split_behind(split_price(text)[0]).subject


def _team_mark(text: str) -> str:
    """How a team may stand behind the name of a line; empty where none does."""
    return next((style for style, pattern in TEAM_STYLES.items() if pattern.match(text)), "")


def _is_name(text: str) -> bool:
    words = re.findall(r"[^\s,]+", text)
    if not 1 < len(words) <= _MOST_WORDS or any(map(str.isdigit, text)):
        return False
    capitals = [word for word in words if word[:1].isupper()]
    return len(capitals) * 2 > len(words)
