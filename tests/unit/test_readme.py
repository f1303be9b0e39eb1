"""The README tells in a minute what the program is, and how to try it. Its examples, links and
commands are held against the program in `commands/test_help_pages.py`."""

from __future__ import annotations

import re
from pathlib import Path

from tagger.services.guide.help_pages import TOPICS

TOP = Path(__file__).parents[2]
README = (TOP / "README.md").read_text(encoding="utf-8")
LONGEST = 170  # lines
HEADINGS = (
    "Try it",
    "Install",
    "Your first lot",
    "Hints",
    "Scan problems",
    "Export and import",
    "Find and stock",
    "Safety",
    "Help pages",
    "When it is not the tool",
    "Cautions",
    "Platforms",
)


def section(heading: str) -> str:
    return README.partition(f"\n## {heading}\n")[2].partition("\n## ")[0]


def test_it_is_short() -> None:
    assert len(README.splitlines()) <= LONGEST
    prose = [line for line in README.splitlines() if not line.startswith(("|", "!"))]
    assert max(map(len, prose)) <= 120


def test_the_job_is_the_first_paragraph() -> None:
    title, job, *_ = README.split("\n\n")
    assert title == "# tagger"
    assert len(job.splitlines()) <= 5
    assert {"dealer", "scanner", "inventory", "checklist"} <= set(re.findall(r"\w+", job))


def test_its_parts_come_in_the_order_in_which_they_are_asked_for() -> None:
    assert tuple(re.findall(r"^## (.+)$", README, re.MULTILINE)) == HEADINGS
    head = README.partition("\n## ")[0]
    assert head.index("recording.gif") < head.index("\n- ")
    assert len(re.findall(r"^- ", head, re.MULTILINE)) == 8


def test_it_names_the_command_that_tests_it() -> None:
    lines = section("Try it").splitlines()
    for command in ("demo/run", "tests/run"):
        assert any(line.split()[:1] == [command] for line in lines)
        assert (TOP / command).is_file()


def test_it_is_not_installed_by_its_bare_name() -> None:
    said = re.findall(r"(?:pip|pipx|uv tool) install '?([^'\s]+)", README)
    assert said
    assert all(what.startswith(".") for what in said)


def test_every_help_page_is_linked_from_its_table() -> None:
    linked = re.findall(r"\]\(tagger/help/(\w+)\.md\)", section("Help pages"))
    assert sorted(linked) == sorted(TOPICS)


def test_its_pictures_are_those_that_one_command_makes() -> None:
    shown = re.findall(r"!\[[^\]]+\]\(demo/([^)]+)\)", README)
    made = (TOP / "demo" / "recording.py").read_text(encoding="utf-8")
    assert len(shown) == 3
    assert all(f'"{name}"' in made for name in shown)
    assert (TOP / "demo" / "recording.gif").stat().st_size <= 1_500_000


def test_the_cautions_are_kept() -> None:
    said = section("Cautions")
    for words in ("estimate", "sheet feeder", "Check the card itself", "not tax advice"):
        assert words in said
