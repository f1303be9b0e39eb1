"""The manual page: the commands as argparse has them and the help pages, in roff's macros `man`
(man(7), groff_man(7))."""

from __future__ import annotations

import argparse
from collections.abc import Iterator, Sequence

from markdown_it import MarkdownIt
from markdown_it.token import Token

from tagger import __version__
from tagger.services.guide.help_pages import TOPICS, page_text, page_title, without_links

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
        lines += _RoffWriter().write(markdown.parse(body))
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
        # Each command has --help, so it says nothing about any of them.
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


class _RoffWriter:
    """Markdown's blocks as paragraphs, headings, lists and examples. A table has an entry for each
    row, since a terminal of 80 columns has no room for its columns."""

    def __init__(self) -> None:
        self.lines: list[str] = []
        self._within: list[str] = []  # the blocks that are open, without `_open`
        self._cells: list[str] = []

    def write(self, tokens: Sequence[Token]) -> list[str]:
        """The lines of these blocks."""
        for token in tokens:
            block, _, edge = token.type.rpartition("_")
            if edge == "open":
                self._within.append(block)
            elif edge == "close":
                self._within.pop()
            self._write(token)
        return self.lines

    def _write(self, token: Token) -> None:
        match token.type:
            case "tr_open":
                self._cells = []
            # The heads of columns say nothing where each row is an entry of its own.
            case "tr_close" if "thead" not in self._within:
                first, *rest = self._cells
                self.lines += [".TP", first, "; ".join(filter(None, rest))]
            case "list_item_open":
                self.lines.append('.IP "\\(bu" 2')
            case "inline":
                self._text(token)
            case "fence" | "code_block":
                example = map(_plain, token.content.splitlines())
                self.lines += [".PP", ".RS 4", ".nf", *example, ".fi", ".RE"]

    def _text(self, token: Token) -> None:
        if "tr" in self._within:
            self._cells.append(_inline(token))
        elif "heading" in self._within:
            self.lines.append(".SS " + _quoted(token.content))
        elif "list_item" in self._within:
            self.lines.append(_inline(token))
        else:
            self.lines += [".PP", _inline(token)]


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
