"""What pasting and other programs leave in a text, removed; lines stay the lines they are."""

from __future__ import annotations

import html
import re
from collections.abc import Sequence

from tagger.core.checklist.raw.dialects import usual_dialect
from tagger.core.checklist.raw.web.items import with_item_numbers
from tagger.core.checklist.raw.web.tables import is_page, without_frames

_INVISIBLE = "\u200b\u200e\u200f\u2060\ufeff\u00ad"
_FORUM = re.compile(
    r"\[/?(?:b|i|u|s|list|\*|url|color|size|font|quote|code|spoiler|center)(?:=[^\]\n]*)?\]",
    re.IGNORECASE,
)
_PAGE = re.compile(r"</?(?:li|ul|ol|p|br|b|i|strong|em|span|h[1-6])\b[^<>\n]*>", re.IGNORECASE)
_LINK = re.compile(r"\[\[(?:[^\[\]|\n]*\|)?([^\[\]|\n]+)\]\]")  # of a wiki
_PAGE_LINK = re.compile(r"\[([^\[\]\n]+)\]\((?:https?:|/|#)[^()\s]*\)")  # of Markdown
_EMPHASIS = re.compile(r"'{2,5}(?=[^'\s])([^'\n]+?)'{2,5}")
_ENTITY = re.compile(r"&(?:amp|quot|apos|nbsp|[a-z]{3,6}|#[0-9]{1,5}|#x[0-9a-f]{1,4});", re.I)
_QUOTED = re.compile(r"^(?:>[ \t]?)+", re.MULTILINE)  # of a post that is answered
_WHOLE = re.compile(r'"(?:[^"]|"")*"')
# digits and signs as wide as Japanese letters: brackets, commas, slashes
_WIDE = re.compile("[\uff03\uff08-\uff0f\uff10-\uff1a\uff1b\u3000]")
_NARROW = {0xFEE0 + sign: chr(sign) for sign in (*range(0x30, 0x3C), *b"#(),-./")}
_WIDE_SPACE = 0x3000
_SPACES = dict.fromkeys(range(0x2001, 0x2004), "  ")  # as wide as a gap between columns
_CELL_BEGINS = re.compile(r'(?:^|[,;\t|])"', re.MULTILINE)
_MARKS = ",;\t|"
_LOOKED_AT = 60  # lines
_HEAD = 1 << 15  # characters


def cleaned(text: str) -> str:
    """The text without what cannot be seen, without the marks of forums and pages, and with the
    quotation marks that RFC 4180 has."""
    text = without_frames(_without_signs(text)).removesuffix("\x1a")
    return _unwrapped(text) if text.startswith('"') else usual_dialect(text)


def _without_signs(text: str) -> str:
    if not text.isascii():
        # each by itself: that one is not there is found out far faster than that none of six is
        for sign in _INVISIBLE:
            text = text.replace(sign, "")
        text = text.translate(_SPACES)
        if _WIDE.search(text[:_HEAD]):
            text = _narrow(text)
    text = _without_tags(text)
    if "&" in text:
        text = _ENTITY.sub(_unescaped, text)
    if ">" in text[:_HEAD] and _is_answered(text[:_HEAD]):
        text = _QUOTED.sub("", text)
    # one sign is looked for much faster than two
    if "\\" in text and '\\"' in text:
        # in a cell without quotation marks around it, a mark is one mark
        text = text.replace('\\"', '""' if _CELL_BEGINS.search(text) else '"')
    return text


def _narrow(text: str) -> str:
    gap = "\t" if _is_parted_wide(text[:_HEAD]) else " "
    return text.translate({**_NARROW, _WIDE_SPACE: gap})


def _is_parted_wide(head: str) -> bool:
    """Whether spaces as wide as letters part the columns of most lines, and nothing else does."""
    lines = [line.strip() for line in head.split("\n")[:_LOOKED_AT] if line.strip()]
    wide = [line for line in lines if chr(_WIDE_SPACE) in line and not set(line) & set(_MARKS)]
    return len(wide) > 2 and len(wide) * 10 >= len(lines) * 6


def _is_answered(head: str) -> bool:
    """Whether most lines have the mark of a post that is answered."""
    lines = [line for line in head.split("\n") if line.strip()]
    return sum(line.startswith(">") for line in lines) * 2 > len(lines)


def _without_tags(text: str) -> str:
    if "[" in text and ("[/" in text or "[*]" in text):
        text = _FORUM.sub("", text)
    # headings above the tables of a page are read with these
    if "<" in text and _PAGE.search(text) and not is_page(text):
        text = _PAGE.sub("", _with_lines(text))
    # one sign is looked for much faster than two
    return _without_links(text) if "[" in text else text


_BREAK = re.compile(r"<br\b[^<>\n]*>(?=(?:[^\S\n]|<[^<>\n]*>){0,8}[^\s<])", re.IGNORECASE)
_BLOCK = re.compile(r"(?<!\n)(?=<(?:li|p|br|h[1-6]|div|dt|ul|ol)\b[^<>\n]*>)", re.IGNORECASE)
_LARGEST_PAGE = 1 << 20  # characters
_WHOLE_PAGE = re.compile(r"\s*<(?:!doctype\s+html|html)\b", re.IGNORECASE)
_HIDDEN = ("head", "script", "style")
_ANY_TAG = re.compile(r"</?[a-z][^<>\n]*>|<!doctype[^<>\n]*>", re.IGNORECASE)


def _with_lines(page: str) -> str:
    """A page with a line of its own for each paragraph or item, where several stand on one."""
    if any(len(_BLOCK.findall(line)) > 2 for line in page.split("\n", _LOOKED_AT)[:_LOOKED_AT]):
        page = _BLOCK.sub("\n", page)
    if len(page) > _LARGEST_PAGE:
        return page
    page = with_item_numbers(page)
    if not _WHOLE_PAGE.match(page):
        return page
    page = _BREAK.sub("\n", page)
    for tag in _HIDDEN:
        page = _without_element(page, tag)
    return _ANY_TAG.sub("", page)


def _without_element(page: str, tag: str) -> str:
    """A page without what stands in the elements of a name, as nobody sees that."""
    kept, at, small = [], 0, page.lower()
    while (begin := small.find(f"<{tag}", at)) >= 0 and (end := small.find(f"</{tag}", begin)) >= 0:
        kept.append(page[at:begin])
        at = end
    return "".join([*kept, page[at:]])


def _without_links(text: str) -> str:
    if "[[" in text:
        text = _EMPHASIS.sub(r"\1", _LINK.sub(r"\1", text))
    return _PAGE_LINK.sub(r"\1", text) if "](" in text else text


def _unescaped(match: re.Match[str]) -> str:
    found = html.unescape(match[0])
    # a line's end would move all lines below
    return " " if found in "\n\r\v\f" else found


def _unwrapped(text: str) -> str:
    """The lines without the quotation marks that hold all of each as one cell."""
    lines = text.split("\n")
    if _are_apart([line.rstrip("\r") for line in lines[:_LOOKED_AT] if line.strip()]):
        return "\n".join(_BETWEEN.sub('"\t"', line) for line in lines)
    if not _are_wrapped([line.rstrip("\r") for line in lines[:_LOOKED_AT] if line.strip()]):
        return text
    return "\n".join(map(_unwrapped_line, lines))


_APART = re.compile(r'"[^"]*"(?: +"[^"]*")+ *')
_BETWEEN = re.compile(r'" +"')


def _are_apart(lines: Sequence[str]) -> bool:
    """Whether cells in quotation marks have nothing but spaces between them."""
    apart = sum(_APART.fullmatch(line) is not None for line in lines)
    return apart > 2 and apart * 10 >= len(lines) * 8


def _are_wrapped(lines: Sequence[str]) -> bool:
    whole = [line for line in lines if _WHOLE.fullmatch(line)]
    if len(lines) < 2 or len(whole) * 10 < len(lines) * 9 or whole[0] != lines[0]:
        return False
    return any(sum(mark in line for line in whole) * 10 >= len(whole) * 8 for mark in _MARKS)


def _unwrapped_line(line: str) -> str:
    bare = line.rstrip("\r")
    return bare[1:-1].replace('""', '"') if _WHOLE.fullmatch(bare) else line
