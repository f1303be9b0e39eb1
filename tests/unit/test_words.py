"""What the program says, it says as a dealer would: the habits that made its sentences hard to read
are refused, each with what to say in its place."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

TOP = Path(__file__).parents[2]

HABITS = {
    r"(?<!there) (is|are) no (?!longer)": "say 'is not a …', or 'unknown … X'",
    r"; without it\b": "say '(default …)'",
    r"\bthat lies\b": "say 'sideways' or 'landscape'; cards are in a place",
    r"\bmend(s|ed|ing)?\b": "say fix",
    r"\b(take|takes|took|taken|taking)\b( \w+){0,3} back\b": "say import, undo or return",
    r"\btaken again\b": "say 'accepted again'",
    r"\bslips? of the finger\b": "say typos",
    r"\blooking only\b": "say read-only",
    r"\blook (whether|closely|again|which)\b": "say check, or zoom",
    r"\bbeing looked at\b": "say what is done: checking, splitting",
    r"\b(error|card) of its own\b": "say 'crashed', or 'as typed'",
    r"\bis there (any|memory)\b": "make it a statement",
    r"\bstretch(es)?\b": "say next=, range or segment",
    r"\bnot taken\b": "say 'not accepted', or 'not imported'",
    r"\breading before\b|\bnext reading\b": "say match",
    r"\bchanges? places\b|\bchanging places\b": "say swap",
    r"\bwrong way round\b": "say swapped",
    r"'(without|bring|levels)\b": "the fixes are called 'no', 'restore', 'brighten'",
    r"\bas they are: ": "say unchanged",
    r"\bmoves? on\b": "say shifts by one",
    r"\bin question\b": "say 'to review'",
    r"\bthere again\b": "say returned",
    r"\bover (every|all) lines?\b": "say connection",
    r"\bnothing .*\bthat a key can do\b": "say 'no automatic fix'",
    r"\bno way to\b": "say 'unknown …'",
    r"\bat most so many\b": "say 'at most N (default …)'",
    r"\bneeds your eye\b": "say 'needs your attention'",
    r"\bdearest\b": "say 'most valuable'",
    r"\bfeeder got wrong\b": "say 'scan problems'",
    r"\blies in\b": "say 'is in', or 'location'",
    r"\bleft out\b": "say skipped, or not counted",
    r"\bname so\b": "say 'use one of these extensions'",
}


def prose(path: Path) -> Iterator[tuple[int, str]]:
    """Each text of a module that has more than a word, docstrings apart, with its line; what is put
    into it stands as `{}`."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    passed = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
    for node in ast.walk(tree):
        text = ""
        if isinstance(node, ast.JoinedStr):
            passed |= {id(part) for part in node.values}
            text = "".join(map(written, node.values))
        elif isinstance(node, ast.Constant) and id(node) not in passed:
            text = written(node)
        if " " in text.strip():
            yield node.lineno, text


def written(part: ast.expr) -> str:
    """What a part of a text says by itself."""
    if not isinstance(part, ast.Constant):
        return "{}"
    return part.value if isinstance(part.value, str) else ""


def refused(text: str) -> list[str]:
    """What to say in the place of each habit in a text."""
    return [instead for habit, instead in HABITS.items() if re.search(habit, text, re.IGNORECASE)]


def modules() -> list[Path]:
    """The program's modules; the demo draws cards and says nothing of them."""
    return [path for path in sorted((TOP / "tagger").rglob("*.py")) if "demo" not in path.parts]


def complaints(path: Path) -> list[str]:
    """What is wrong with the words of a module."""
    return [
        f"{path.relative_to(TOP)}:{line}: {text!r}: {', '.join(said)}"
        for line, text in prose(path)
        if (said := refused(text))
    ]


def test_nothing_is_said_as_a_dealer_would_not():
    found = [one for path in modules() for one in complaints(path)]
    assert found == [], "\n".join(found)


def shown_files() -> list[Path]:
    """The texts that are packaged beside the modules: help pages, layouts, parts of the page."""
    kinds = (".md", ".toml", ".html", ".svg", ".js", ".json")
    return [path for path in sorted((TOP / "tagger").rglob("*")) if path.suffix in kinds]


def test_no_packaged_text_has_such_a_habit() -> None:
    files = shown_files()
    assert {path.suffix for path in files} >= {".md", ".toml", ".html", ".svg"}
    found = [
        f"{path.relative_to(TOP)}:{number}: {line!r}: {', '.join(said)}"
        for path in files
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1)
        if (said := refused(line))
    ]
    assert found == [], "\n".join(found)


@pytest.mark.parametrize(
    ("text", "well"),
    [
        ("'{}' is no condition of the scale", False),
        ("There is no card 9; the lot has 6.", True),
        ("mend all findings", False),
        ("recommended", True),
        ("2 differences taken back", False),
        ("Undo takes all of it back", False),
        ("turn the back", True),
        ("the feeder stretched the scan", True),
    ],
)
def test_a_habit_is_known_when_it_is_met(text: str, well: bool) -> None:
    assert (refused(text) == []) is well
