"""Composed text: `{set} #{number} {subject}{ · parallel}{ /run}`.

In braces stands a field, with signs and spaces around it; the whole brace part goes when the field
is empty. Where the text around it has letters or digits, `<` and `>` mark the field: `{ numbered to
<run>}`. `{{` and `}}` are braces."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import NamedTuple

_MARKED = re.compile(r"([^<>]*)<([^<>]+)>([^<>]*)")


class TemplatePart(NamedTuple):
    """A field with the text before and after it, or text alone (`before`) where `field` is
    empty."""

    before: str
    field: str = ""
    after: str = ""


@dataclass(frozen=True)
class Template:
    """Composed text taken apart."""

    parts: tuple[TemplatePart, ...]

    @property
    def fields(self) -> tuple[str, ...]:
        """The fields that are used, each once."""
        return tuple(dict.fromkeys(part.field for part in self.parts if part.field))

    @property
    def alone(self) -> str:
        """The field, where it is one field and nothing else; empty otherwise."""
        only = self.parts[0] if len(self.parts) == 1 else TemplatePart("")
        return "" if only.before or only.after else only.field

    def fill(self, values: Mapping[str, str], without: Collection[str] = ()) -> str:
        """The text with the fields' values in it. Fields in `without` count as empty. What is
        composed has no space at its ends and no two in a row; a field that stands alone is given as
        it is."""
        if self.alone:
            return "" if self.alone in without else values[self.alone]
        out = []
        for before, field, after in self.parts:
            if not field:
                out.append(before)
            elif field not in without and (value := values[field]):
                out.append(f"{before}{value}{after}")
        return " ".join("".join(out).split())


def parse_template(text: str) -> Template:
    """Take composed text apart. Raises ValueError with what is wrong, as the end of a sentence."""
    parts: list[TemplatePart] = []
    said, at = "", 0
    while at < len(text):
        char = text[at]
        if text[at : at + 2] in ("{{", "}}"):
            said += char
            at += 2
        elif char == "}":
            raise ValueError("a '}' closes no brace; a brace itself is written '}}'")
        elif char == "{":
            if said:
                parts.append(TemplatePart(said))
            end = text.find("}", at)
            inner = text[at + 1 : end if end >= 0 else len(text)]
            if end < 0 or "{" in inner:
                raise ValueError(
                    f"'{{{inner.partition('{')[0]}' is not closed; a brace itself is written '{{{{'"
                )
            parts.append(_part(inner))
            said, at = "", end + 1
        else:
            said += char
            at += 1
    if said:
        parts.append(TemplatePart(said))
    return Template(tuple(parts))


def _part(said: str) -> TemplatePart:
    if marked := _MARKED.fullmatch(said):
        before, field, after = marked.groups()
        if field.strip():
            return TemplatePart(before, field.strip(), after)
    letters = [at for at, char in enumerate(said) if char.isalnum()]
    if not letters:
        raise ValueError(f"'{{{said}}}' names no field")
    first, last = letters[0], letters[-1] + 1
    return TemplatePart(said[:first], said[first:last], said[last:])
