"""The manual page: the commands as argparse has them and the help pages, in roff's macros `man`
(man(7), groff_man(7))."""

from __future__ import annotations

import argparse
from collections.abc import Iterator, Sequence

from markdown_it import MarkdownIt
from markdown_it.token import Token

from tagger import __version__
from tagger.services.help_pages import TOPICS, page_text, page_title, without_links

SUMMARY = "tag scanned trading cards by keyboard"

Grammar = dict[str, argparse.ArgumentParser]


def man_page(top: argparse.ArgumentParser) -> str:
    """The manual page of a command line with all its commands."""
    lines = [
        f'.TH TAGGER 1 "" "tagger {__version__}" "User Commands"',
        ".SH NAME",
        f"tagger \\- {SUMMARY}",
        ".SH SYNOPSIS",
        "\\fBtagger\\fR \\fICOMMAND\\fR ...",
        ".SH COMMANDS",
    ]
    for verb, parser in _commands(top).items():
        lines += _command(verb, parser)
    markdown = MarkdownIt("commonmark").enable("table")
    for topic in TOPICS:
        lines += [".SH " + _quoted(f"{topic}: {page_title(topic)}".upper())]
        # the heading of the page is the one above
        body = without_links(page_text(topic)).partition("\n")[2]
        lines += _roff(markdown.parse(body))
    return "\n".join(lines) + "\n"


def _commands(top: argparse.ArgumentParser) -> Grammar:
    """By verb, in their order. argparse keeps them in an action of its own."""
    found: Grammar = {}
    for action in top._actions:
        if isinstance(action, argparse._SubParsersAction):
            found.update(action.choices)
    return found


def _command(verb: str, parser: argparse.ArgumentParser) -> Iterator[str]:
    yield ".SS " + _quoted(f"tagger {verb}")
    yield _plain(parser.description or "")
    for action in parser._actions:
        if action.help is argparse.SUPPRESS or "--help" in action.option_strings:
            continue
        yield ".TP"
        yield "\\fB" + _plain(_signature(action)) + "\\fR"
        yield _plain(_expanded(parser, action))


def _signature(action: argparse.Action) -> str:
    """`--to FILE`, or the name of what is given without an option."""
    name = action.metavar or (action.dest.upper() if action.nargs != 0 else "")
    shown = name if isinstance(name, str) else " ".join(name)
    return " ".join(part for part in (", ".join(action.option_strings), shown) if part)


def _expanded(parser: argparse.ArgumentParser, action: argparse.Action) -> str:
    """The help with its `%(default)s` filled in, as argparse itself shows it."""
    return parser._get_formatter()._expand_help(action) if action.help else ""


def _roff(tokens: Sequence[Token]) -> Iterator[str]:
    """Markdown's blocks as paragraphs, headings, lists and examples. A table has an entry for each
    row, since a terminal of 80 columns has no room for its columns."""
    cells: list[str] = []
    heading = in_cells = in_item = in_head = False
    for token in tokens:
        match token.type:
            case "heading_open":
                heading = True
            case "heading_close":
                heading = False
            case "thead_open":
                in_head = True
            case "thead_close":
                in_head = False
            case "tr_open":
                cells, in_cells = [], True
            case "tr_close":
                in_cells = False
                if not in_head:
                    yield from _row(cells)
            case "list_item_open":
                in_item = True
                yield '.IP "\\(bu" 2'
            case "list_item_close":
                in_item = False
            case "inline" if in_cells:
                cells.append(_inline(token))
            case "inline" if heading:
                yield ".SS " + _quoted(token.content)
            case "inline":
                if not in_item:
                    yield ".PP"
                yield _inline(token)
            case "fence" | "code_block":
                yield from (".PP", ".RS 4", ".nf", *map(_plain, token.content.splitlines()))
                yield from (".fi", ".RE")


def _row(cells: Sequence[str]) -> Iterator[str]:
    first, *rest = cells
    yield ".TP"
    yield first
    yield "; ".join(cell for cell in rest if cell)


def _inline(token: Token) -> str:
    """A run of text: code is bold, what is stressed is underlined."""
    fonts = {"em_open": "\\fI", "em_close": "\\fR", "strong_open": "\\fB", "strong_close": "\\fR"}
    parts: list[str] = []
    for child in token.children or ():
        if child.type == "code_inline":
            parts.append(f"\\fB{_escaped(child.content)}\\fR")
        elif child.type == "softbreak":
            parts.append(" ")
        else:
            parts.append(fonts.get(child.type) or _escaped(child.content))
    return _guarded("".join(parts))


def _plain(text: str) -> str:
    return _guarded(_escaped(text))


def _escaped(text: str) -> str:
    """A backslash begins an escape, and a bare hyphen may be typeset as a dash that cannot be
    copied into a shell. Other letters go by their code points: roff itself reads Latin-1."""
    plain = text.replace("\\", "\\e").replace("-", "\\-")
    return "".join(char if char.isascii() else f"\\[u{ord(char):04X}]" for char in plain)


def _guarded(line: str) -> str:
    """A line that begins with one of these would be read as a request."""
    return f"\\&{line}" if line[:1] in (".", "'") else line


def _quoted(text: str) -> str:
    return '"' + _escaped(text).replace('"', "\\(dq") + '"'
