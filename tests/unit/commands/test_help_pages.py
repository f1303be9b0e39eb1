"""The help pages and the README say what the program does: each key, option, field and example is
held against it. And `tagger help` shows them."""

from __future__ import annotations

import argparse
import re
import shlex
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from tagger.cli import main
from tagger.commands.grammar import VERBS, parser
from tagger.commands.maintain import help as command
from tagger.config import load_settings
from tagger.core.fixes.parser import WORDS
from tagger.core.lot.fields import FIELDS
from tagger.core.matching.hint import HINT_FIELDS, parse_hint
from tagger.core.model.column_names import PRICE
from tagger.core.model.condition import DEFAULT_SCALE
from tagger.core.model.reasons import USUAL
from tagger.exchange.layout.layout import OF_THE_EXPORT, read_layout
from tagger.services.guide.help_pages import PAGE_OF, TOPICS, page_text, page_title
from tagger.ui.find.keys import FindAction
from tagger.ui.keys import Action, key_name

# What the pages say already and the program does not yet: as the pages have it, and as the program
# has it today (empty: not at all). Whoever renames one takes its line out; a test sees to that.
PENDING = {}

TOP = Path(__file__).parents[3]
FOLDER = TOP / "tagger" / "help"
DOCUMENTS = (TOP / "README.md", *(FOLDER / f"{topic}.md" for topic in TOPICS))
GRAMMAR = parser()
WIDEST = 80  # columns of a screen that shows an example as it stands


def today(said: str) -> str:
    """A word of the pages as the program has it."""
    return PENDING.get(said, said)


def commands() -> dict[str, argparse.ArgumentParser]:
    """The program's commands by verb."""
    found: dict[str, argparse.ArgumentParser] = {}
    for action in GRAMMAR._actions:
        if isinstance(action, argparse._SubParsersAction):
            found.update(action.choices)
    return found


def options(verb: str) -> set[str]:
    """The options of a command, by its verb as the program has it."""
    strings = {string for one in commands()[verb]._actions for string in one.option_strings}
    return strings - {"-h", "--help", "--quiet"}


def tables(text: str) -> Iterator[list[tuple[str, ...]]]:
    """The tables of a page, each by its rows without the head."""
    for block in re.findall(r"(?:^\|.*\n?)+", text, re.MULTILINE):
        rows = [tuple(c.strip() for c in row.strip("|").split("|")) for row in block.splitlines()]
        yield rows[2:]


def section(text: str, heading: str) -> str:
    return text.partition(f"\n## {heading}\n")[2].partition("\n## ")[0]


def coded(cell: str) -> list[str]:
    """What stands between backquotes."""
    return re.findall(r"`([^`]+)`", cell)


def fenced(text: str) -> list[str]:
    return re.findall(r"^```toml\n(.*?)^```$", text, re.MULTILINE | re.DOTALL)


def command_lines(text: str) -> Iterator[str]:
    """Each `tagger …` of an example, without its comment and what the shell does with it."""
    for line in text.splitlines():
        if line.startswith("    tagger "):
            yield re.split("  #| [|>] ", line.strip())[0].strip()


def as_today(line: str) -> list[str]:
    """A command line's words with the names that the program has."""
    _, verb, *words = shlex.split(line)
    return [today(verb), *(today(f"{verb} {w}").removeprefix(f"{verb} ") for w in words)]


def parsed(words: list[str]) -> object:
    """The exit status of reading a command line: some options print and end at once."""
    try:
        GRAMMAR.parse_args(words)
    except SystemExit as end:
        return end.code
    return 0


# What is pending is pending


def is_there(said: str) -> bool:
    """Whether the program has what is named in PENDING."""
    verb, _, option = said.partition(" ")
    match verb, option:
        case "label", id:
            shown = next(row[1] for row in next(tables(page_text("keys"))) if f"`{id}`" in row)
            return shown == next(c.label for c in Action if c.id == id)
        case _, option if option.startswith("--"):
            return verb in commands() and option in options(verb)
        case _, "":
            return verb in VERBS
    return said in dict(WORDS)


@pytest.mark.parametrize("said", PENDING)
def test_what_is_pending_is_not_there_yet(said: str) -> None:
    assert not is_there(said), f"{said} is there: take it out of PENDING"


# The pages


def test_each_topic_has_a_page_and_each_page_is_a_topic() -> None:
    assert sorted(path.stem for path in FOLDER.iterdir()) == sorted(TOPICS)
    for topic in TOPICS:
        assert page_text(topic).startswith(f"# {topic.capitalize()}: ")
        assert page_title(topic)


def test_each_key_stands_on_its_page() -> None:
    declared = [
        (", ".join(map(key_name, c.keys)), c.id, PENDING.get(f"label {c.id}", c.label))
        for c in Action
    ]
    rows = next(tables(page_text("keys")))
    labels = {c.id: c.label for c in Action}
    shown = [
        (
            key,
            id.strip("`"),
            labels[id.strip("`")] if f"label {id.strip('`')}" in PENDING else label,
        )
        for key, label, _, id in rows
    ]
    assert shown == declared


def test_each_key_of_the_find_screen_stands_on_its_page() -> None:
    declared = [(", ".join(map(key_name, c.keys)), c.label) for c in FindAction]
    rows = next(tables(section(page_text("find"), "The search screen")))
    assert [(key, label) for key, label, *_ in rows] == declared


def test_each_command_has_a_page() -> None:
    assert {today(verb) for verb in PAGE_OF} - {""} == set(VERBS)


@pytest.mark.parametrize("verb", [verb for verb in PAGE_OF if today(verb)])
def test_each_option_stands_on_the_page_of_its_command(verb: str) -> None:
    renamed = {old: said.split()[1] for said, old in PENDING.items() if said.startswith(f"{verb} ")}
    page = page_text(PAGE_OF[verb])
    for option in options(today(verb)) - {"--state"}:
        assert re.search(rf"`(tagger [^`]*)?{renamed.get(option, option)}\b", page), option


def test_which_commands_have_a_place_for_tags_is_said() -> None:
    page = " ".join(page_text("recovery").split())
    said = re.search(r"Commands about one lot \((.*?)\)", page)
    assert said is not None
    have = {verb for verb in commands() if "--state" in options(verb)}
    assert {today(verb) for verb in coded(said[1])} | {"open"} == have


def test_each_field_of_a_hint_stands_on_its_page() -> None:
    rows = next(tables(section(page_text("hints"), "Name a field")))
    assert [coded(row[0])[0] for row in rows] == [f"{field.word}=" for field in HINT_FIELDS]
    for row, field in zip(rows, HINT_FIELDS, strict=True):
        hint = parse_hint(f"{field.word}=x")
        if field.to_the_end or field.tag == PRICE:
            assert getattr(hint, field.tag) == "x"
        else:
            assert [token.pin for token in hint.tokens] == [field.tag]
        assert f"{field.word}=" in row[2]


def test_each_fix_stands_on_its_page() -> None:
    rows = next(tables(page_text("fixes")))
    assert [today(coded(row[0])[0]) for row in rows] == [words for words, _ in WORDS]


def test_each_field_of_a_layout_stands_on_its_page() -> None:
    rows = next(tables(section(page_text("layouts"), "Fields")))
    named = [today(field) for row in rows for field in coded(row[0])]
    assert set(named) == {*FIELDS, *OF_THE_EXPORT}


def test_the_scale_and_the_reasons_are_those_of_the_program() -> None:
    rows = next(tables(section(page_text("hints"), "Conditions")))
    assert [(name, tuple(coded(short))) for name, short in rows] == list(DEFAULT_SCALE)
    said = section(page_text("review"), "Reasons")
    assert all(f"`{short}` {reason}" in " ".join(said.split()) for short, reason in USUAL.items())


# Pages and README


@pytest.mark.parametrize("path", DOCUMENTS, ids=lambda path: path.name)
def test_each_link_leads_somewhere(path: Path) -> None:
    links = re.findall(r"\]\(([^)]+)\)", path.read_text(encoding="utf-8"))
    for link in links:
        assert (path.parent / link.partition("#")[0]).exists(), link
    if path.name != "README.md":
        assert all(re.fullmatch(r"[a-z]+\.md", link) for link in links)


@pytest.mark.parametrize("path", DOCUMENTS, ids=lambda path: path.name)
def test_each_command_line_is_one(path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for line in command_lines(path.read_text(encoding="utf-8")):
        words = as_today(line)
        if words[0]:
            status = parsed(words)
            assert status == 0, f"{line}\n{capsys.readouterr().err}"


@pytest.mark.parametrize("path", DOCUMENTS, ids=lambda path: path.name)
def test_each_command_that_is_named_is_one(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    for named in re.findall(r"`tagger ([^`\s]+)([^`]*)`", " ".join(text.split())):
        verb, rest = named
        assert verb in {*VERBS, *PENDING, "COMMAND"}, verb
        for option in re.findall(r"--[a-z-]+", rest) if today(verb) in VERBS else ():
            assert today(f"{verb} {option}").removeprefix(f"{verb} ") in options(today(verb))


@pytest.mark.parametrize("path", DOCUMENTS, ids=lambda path: path.name)
def test_each_example_is_read(path: Path, tmp_path: Path) -> None:
    for example in fenced(path.read_text(encoding="utf-8")):
        if "[[column]]" in example:
            layout = read_layout(example.encode(), "x")
            assert layout.fields(())
        else:
            file = tmp_path / "config.toml"
            file.write_text(example, encoding="utf-8")
            assert load_settings(file)


def test_the_example_of_settings_has_every_table() -> None:
    (example,) = fenced(page_text("settings"))
    assert set(re.findall(r"^\[(\w+)", example, re.MULTILINE)) == {
        "keys",
        "conditions",
        "reasons",
        "preview",
        "reading",
        "value",
        "orders",
        "columns",
        "lists",
        "hub",
        "exports",
    }


@pytest.mark.parametrize("path", DOCUMENTS[1:], ids=lambda path: path.name)
def test_an_example_fits_the_smallest_screen(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    indented = [line for line in text.splitlines() if line.startswith("    ")]
    in_fences = ["    " + line for block in fenced(text) for line in block.splitlines()]
    assert [line for line in (*indented, *in_fences) if len(line) > WIDEST] == []


# The command


def said(capsys: pytest.CaptureFixture[str], *words: str, status: int = 0) -> tuple[str, str]:
    assert main(["help", *words]) == status
    read = capsys.readouterr()
    return read.out, read.err


def test_help_lists_every_topic(capsys: pytest.CaptureFixture[str]) -> None:
    out, _ = said(capsys)
    assert [line.split()[0] for line in out.splitlines()[: len(TOPICS)]] == list(TOPICS)


@pytest.mark.parametrize("topic", TOPICS)
def test_a_page_is_plain_text_where_no_terminal_reads_it(
    topic: str, capsys: pytest.CaptureFixture[str]
) -> None:
    out, err = said(capsys, topic)
    assert err == ""
    assert "\x1b" not in out
    assert out.startswith(f"{topic.capitalize()}: ")
    assert max(map(len, out.splitlines())) <= WIDEST
    assert "\n\n\n" not in out
    assert "```" not in out
    assert "](" not in out


def test_a_command_leads_to_its_page(capsys: pytest.CaptureFixture[str]) -> None:
    assert said(capsys, "audit") == said(capsys, "scans")


def test_an_unknown_topic_names_the_nearest(capsys: pytest.CaptureFixture[str]) -> None:
    assert said(capsys, "hnts", status=2)[1].endswith("did you mean hints?\n")
    assert "tagger help lists all" in said(capsys, "qqq", status=2)[1]
    assert "--man" in said(capsys, "hints", "--man", status=2)[1]


class _Terminal:
    """Standard output that is a terminal."""

    encoding = "utf-8"

    def __init__(self) -> None:
        self.text = ""

    def write(self, text: str) -> None:
        self.text += text

    def flush(self) -> None:
        pass

    def isatty(self) -> bool:
        return True


@pytest.mark.parametrize(
    ("lines", "pager", "paged"),
    [(20, "tee", True), (2000, "tee", False), (20, "", False), (20, "no-such-pager", False)],
)
def test_a_page_longer_than_the_screen_goes_through_the_pager(
    lines: int, pager: str, paged: bool, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    shown, terminal = tmp_path / "shown", _Terminal()
    monkeypatch.setenv("PAGER", f"tee {shown}" if pager == "tee" else pager)
    monkeypatch.setenv("COLUMNS", "100")
    monkeypatch.setenv("LINES", str(lines))
    monkeypatch.setattr(sys, "stdout", terminal)
    assert main(["help", "hints"]) == 0
    assert shown.exists() is paged
    text = shown.read_text() if paged else terminal.text
    assert "\x1b[1" in text  # bold, as a terminal has it
    assert "Name a field" in text
    assert "\n\n\n" not in re.sub(r"\x1b\[[0-9;]*m|[ \t]", "", text)


def test_the_manual_page_has_every_command_and_every_page(
    capsys: pytest.CaptureFixture[str],
) -> None:
    out, _ = said(capsys, "--man")
    lines = out.splitlines()
    assert lines[0].startswith(".TH TAGGER 1")
    for verb in VERBS:
        assert f'.SS "tagger {verb}"'.replace("-", "\\-") in lines
        for option in options(verb):
            assert option.replace("-", "\\-") in out
    for topic in TOPICS:
        assert any(line.startswith(f'.SH "{topic.upper()}: ') for line in lines)
    known = {".TH", ".SH", ".SS", ".PP", ".TP", ".IP", ".RS", ".RE", ".nf", ".fi"}
    requests = {line.split()[0] for line in lines if line.startswith((".", "'"))}
    assert requests <= known
    assert out.isascii()


def test_help_loads_no_screen_and_no_pixels() -> None:
    code = (
        "import sys; from tagger.cli import main; main(['help']); "
        "print([name for name in ('textual', 'rich', 'PIL', 'numpy', 'markdown_it') "
        "if name in sys.modules])"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=TOP
    )
    assert done.stdout.splitlines()[-1] == "[]"


def test_the_pages_are_packed() -> None:
    assert '"tagger" = ["help/*.md", "schemas/*.json"]' in (TOP / "pyproject.toml").read_text(
        encoding="utf-8"
    )
    assert command.COMMAND.name == "help"
