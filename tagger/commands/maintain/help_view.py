"""How a help page is drawn in a terminal: rich's Markdown, with headings at the left and examples
as they stand."""

from __future__ import annotations

import io
import re
from typing import ClassVar

from rich.console import Console, ConsoleOptions, RenderResult
from rich.markdown import CodeBlock, Heading, Markdown, MarkdownElement
from rich.text import Text
from rich.theme import Theme

# No colours of our own: the terminal's may be dark or light.
_THEME = Theme(
    {
        "markdown.h1": "bold underline",
        "markdown.h2": "bold",
        "markdown.code": "bold",
        "markdown.table.header": "bold",
        "markdown.table.border": "dim",
        "markdown.item.bullet": "none",
    },
    inherit=True,
)
INDENT = 4  # columns of an example
_EMPTY = re.compile(r"^(?:\x1b\[[0-9;]*m|\s)+$")  # nothing but styles


class _LeftHeading(Heading):
    """A heading at the left; rich centres them, the first in a box."""

    def __rich_console__(self, console: Console, options: ConsoleOptions) -> RenderResult:
        if self.tag != "h1":
            yield Text()
        self.text.justify = "left"
        yield self.text


class _Example(CodeBlock):
    """Lines to type or to copy. They are not coloured, so that a terminal's colours stay."""

    def __rich_console__(self, console: Console, options: ConsoleOptions) -> RenderResult:
        for line in str(self.text).rstrip("\n").split("\n"):
            yield Text(" " * INDENT + line, no_wrap=True, overflow="ignore")


class _Page(Markdown):
    elements: ClassVar[dict[str, type[MarkdownElement]]] = {
        **Markdown.elements,
        "heading_open": _LeftHeading,
        "fence": _Example,
        "code_block": _Example,
    }


def drawn(text: str, width: int, styled: bool) -> str:
    """A page in Markdown as lines of at most `width` columns, with the terminal's styles or plain.
    Lines of an example are not broken."""
    into = io.StringIO()
    console = Console(
        file=into,
        width=width,
        force_terminal=styled,
        color_system="standard" if styled else None,
        theme=_THEME,
        # It would colour numbers and paths in the middle of a sentence.
        highlight=False,
        legacy_windows=False,
    )
    with console.capture() as captured:
        # Not cropped: of a command that is cut a reader cannot copy the rest.
        console.print(_Page(text, hyperlinks=False), soft_wrap=False, crop=False)
    # rich fills lines with blanks up to the width, which would be copied as well.
    lines = (_EMPTY.sub("", line.rstrip()) for line in captured.get().splitlines())
    # rich leaves two empty lines around a table, and the screen is small
    return re.sub(r"\n{3,}", "\n\n", "\n".join(lines).strip("\n")) + "\n"
