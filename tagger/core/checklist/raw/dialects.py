"""Dialects that nearly no program writes, made into the usual one; lines stay as they are."""

from __future__ import annotations

import csv
import io
import re

_LOOKED_AT = 60  # lines
_HEAD = 1 << 15  # characters
_SINGLE = re.compile(r"^'(?:[^']|'')*'(?:(?P<mark>[,;\t|])'(?:[^']|'')*')+\s*$")
_WIKI_BEGINS = re.compile(r"^\{\|", re.MULTILINE)
_WIKI_STYLE = re.compile(r"^[^|\[\]{}]*=\s*\"[^\"]*\"\s*\|(?!\|)")


def usual_dialect(text: str) -> str:
    """The text with `"` where cells stand between `'`, and with the tables of a wiki as lines of
    cells."""
    if text.startswith("'") and (mark := _single_quoted(text)):
        return _with_usual_quotes(text, mark)
    if _WIKI_BEGINS.search(text[:_HEAD]):
        return _without_wiki(text)
    return _without_tex(text) if _TEX_BEGINS.search(text[:_HEAD]) else text


_TEX_BEGINS = re.compile(r"\\begin\s*\{(?:tabular|longtable|array|table)")
_TEX_TITLE = re.compile(
    r"\\(?:(?:sub)*section|chapter|title|caption|text(?:bf|it)|emph)\*?\{([^{}]*)\}"
)
_TEX_COMMAND = re.compile(r"\\(?:begin|end)\s*\{[^{}]*\}(?:\{[^{}]*\})*|\\[a-z]+\*?")
_TEX_END = re.compile(r"\\\\(?:\[[^\[\]]*\])?")


def _without_tex(text: str) -> str:
    """Rows of a table of TeX as lines with tabs; what commands name stays."""
    text = _TEX_END.sub("", _TEX_TITLE.sub(r"\1", text).replace("\\&", "\0"))
    lines = _TEX_COMMAND.sub("", text).split("\n")
    return "\n".join(re.sub(r"\s*&\s*", "\t", line).replace("\0", "&") for line in lines)


def _single_quoted(text: str) -> str:
    """The mark between the cells of a text in which all cells stand between `'`; else empty."""
    lines = [line for line in text.split("\n", _LOOKED_AT)[:_LOOKED_AT] if line.strip()]
    matches = [match for line in lines if (match := _SINGLE.match(line))]
    return matches[0]["mark"] if matches and len(matches) * 10 >= len(lines) * 9 else ""


def _with_usual_quotes(text: str, mark: str) -> str:
    out = io.StringIO()
    writer = csv.writer(out, delimiter=mark, lineterminator="\n")
    try:
        rows = csv.reader(io.StringIO(text), delimiter=mark, quotechar="'", strict=True)
        writer.writerows(rows)
    except csv.Error:
        return text
    return out.getvalue()


def _without_wiki(text: str) -> str:
    """Rows of a wiki's table as lines with tabs; the line of a row is that of its last cell."""
    made: list[str] = []
    for line in text.split("\n"):
        bare = line.strip()
        if bare.startswith(("{|", "|}", "|-")):
            made.append("")
        elif bare.startswith("|+"):
            made.append(bare[2:].strip())
        elif bare[:1] in ("|", "!"):
            _add_cells(made, _cells(bare))
        else:
            made.append(line)
    return "\n".join(made)


def _add_cells(made: list[str], cells: str) -> None:
    """Let cells follow those on the line above, which are of the same row."""
    if made and "\t" in made[-1]:
        made.append(f"{made[-1]}{cells}")
        made[-2] = ""
    else:
        made.append(cells)


def _cells(line: str) -> str:
    parts = re.split(r"\|\||!!", line[1:])
    return "".join(f"{_WIKI_STYLE.sub('', part).strip()}\t" for part in parts)
