"""The numbers that a web page shows before the items of a list, and that its text does not have."""

from __future__ import annotations

import re
from itertools import count

from tagger.core.checklist.raw.web.tables import is_page

_LIST = re.compile(r"<ol\b(?P<attrs>[^<>]*)>(?P<items>(?:(?!</?[ou]l\b).)*)</ol>", re.I | re.S)
_ITEM = re.compile(r"(?P<tag><li\b[^<>]*>)\s*(?P<tags>(?:<[^<>]*>\s*)*)(?P<text>[^<>]*)", re.I)
_START = re.compile(r"\bstart\s*=\s*[\"']?(?P<first>[0-9]{1,5})", re.IGNORECASE)
_FEWEST = 3  # items
# what a page counts that is no card: the way to it, its parts, what its readers say
_OF_PAGE = re.compile(r"crumb|menu|nav|toc|comment|reversed|reference|footnote", re.IGNORECASE)
_INNER_LINK = re.compile(r"<a\b[^<>]*href\s*=\s*[\"']?#", re.IGNORECASE)


def with_item_numbers(page: str) -> str:
    """A page with the numbers in the text of its numbered lists, unless the items begin with
    numbers of their own."""
    return _LIST.sub(_numbered, page) if "<ol" in page or "<OL" in page else page


TOLD = "the numbers are those that a page shows before the items of its lists"


def are_numbers_shown(page: str) -> bool:
    """Whether the numbers of the cards on a page are those of its lists."""
    return not is_page(page) and with_item_numbers(page) != page


def _numbered(match: re.Match[str]) -> str:
    items = match["items"]
    texts = [item["text"] for item in _ITEM.finditer(items)]
    own = sum(any(map(str.isdigit, text.split(" ")[0])) for text in texts) * 2 > len(texts)
    if own or len(texts) < _FEWEST or _OF_PAGE.search(match["attrs"]) or _INNER_LINK.search(items):
        return match[0]
    first = _START.search(match["attrs"])
    numbers = count(int(first["first"]) if first else 1)

    def with_number(item: re.Match[str]) -> str:
        return f"{item['tag']}{next(numbers)}. {item['tags']}{item['text']}"

    return _ITEM.sub(with_number, items)
