"""The help pages: Markdown files that come with the program, by topic."""

from __future__ import annotations

import re
from importlib import resources

# In the order in which somebody new needs them.
TOPICS = (
    "start", "hints", "keys", "overview", "review", "scans", "fixes", "dividers", "checklists",
    "export", "layouts", "import", "find", "stock", "stations", "reading", "settings", "files",
    "recovery", "terminals",
)  # fmt: skip

# The page that tells about a command, with all its options.
PAGE_OF = {
    "open": "start", "status": "start", "lots": "start", "demo": "start", "completion": "start",
    "help": "start", "match": "hints", "read": "reading", "audit": "scans", "measure": "scans",
    "fix": "fixes", "checklist": "checklists", "export": "export", "sheet": "export",
    "page": "export", "labels": "export", "dividers": "dividers",
    "import": "import", "find": "find", "sets": "find", "value": "find", "sold": "stock",
    "pick": "stock", "stock": "stock", "move": "stock", "cost": "stock", "sales": "stock",
    "hub": "stations", "repair": "recovery", "show": "terminals", "preview-test": "terminals",
}  # fmt: skip

_LINK = re.compile(r"\[([^\]]+)\]\(([a-z]+)\.md\)")


def page_text(topic: str) -> str:
    """A page as Markdown. `topic` is one of TOPICS."""
    page = resources.files("tagger") / "help" / f"{topic}.md"
    return page.read_text(encoding="utf-8")


def page_title(topic: str) -> str:
    """What a page is about, in one line: what stands behind the topic in its heading."""
    heading = page_text(topic).partition("\n")[0]
    return heading.partition(": ")[2]


def without_links(text: str) -> str:
    """A page for a reader that follows no links: another page is named by the command for it."""
    return _LINK.sub(r"\1 (`tagger help \2`)", text)


def topic_of(word: str) -> str:
    """The topic that a word names, itself or by a command; empty where it names none."""
    if word in TOPICS:
        return word
    return PAGE_OF.get(word, "")
