"""Composed text: `{set} #{number} {subject}{ · parallel}{ /print run}`.

In braces stands a field, with signs and spaces around it; the whole brace part goes when the field
is empty. Where the text around it has letters or digits, `<` and `>` mark the field: `{ numbered to
<print run>}`. Behind a colon stands how a value is written: `{position:04d}`. `{{` and `}}` are
braces."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import NamedTuple

from tagger.exchange.layout.value_format import field_and_spec, formatted

# Doubled braces first: they are none of a field.
_PIECE = re.compile(r"\{\{|\}\}|\{(?P<inner>[^{}]*)\}|[{}]|[^{}]+")
_MARKED = re.compile(r"([^<>]*)<([^<>]+)>([^<>]*)")


class TemplatePart(NamedTuple):
    """A field with the text before and after it, or text alone (`before`) where `field` is empty;
    `spec` is how the value is written (see `formatted`)."""

    before: str
    field: str = ""
    after: str = ""
    spec: str = ""


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
        """The field, where it is one field as it is and nothing else; empty otherwise."""
        return "" if any(part.spec for part in self.parts) else self.single

    @property
    def single(self) -> str:
        """The field, where it is one field and nothing else, however it is written."""
        match self.parts:
            case (TemplatePart(before="", field=field, after=""),):
                return field
        return ""

    def fill(self, values: Mapping[str, str], without: Collection[str] = ()) -> str:
        """The text with the fields' values in it. Fields in `without` count as empty. What is
        composed has no space at its ends and no two in a row; a field that stands alone is given as
        it is."""
        # Its own spaces are part of the value, which is compared when the table comes back.
        if self.alone:
            return "" if self.alone in without else values[self.alone]
        # The braces' own signs go with an empty field, so that no lone ` · ` is left.
        out = []
        for before, field, after, spec in self.parts:
            if not field:
                out.append(before)
            elif field not in without and (value := values[field]):
                out.append(f"{before}{formatted(value, spec) if spec else value}{after}")
        return " ".join("".join(out).split())


def parse_template(text: str) -> Template:
    """Take composed text apart. Raises ValueError with what is wrong, as the end of a sentence."""
    parts: list[TemplatePart] = []
    plain = ""
    for found in _PIECE.finditer(text):
        inner = found["inner"]
        if inner is None:
            plain += _plain(found[0], text[found.start() :])
            continue
        if plain:
            parts.append(TemplatePart(plain))
        parts.append(_part(inner))
        plain = ""
    if plain:
        parts.append(TemplatePart(plain))
    return Template(tuple(parts))


def _plain(piece: str, rest: str) -> str:
    """A piece of text without a field. Raises ValueError where it is a brace alone; `rest` is the
    text from there on."""
    if piece == "}":
        raise ValueError("a '}' without a '{'; write '}}' for a brace itself")
    if piece == "{":
        opened = rest[1:].partition("}")[0].partition("{")[0]
        raise ValueError(f"'{{{opened}' is not closed; a brace itself is written '{{{{'")
    return piece[0] if piece in ("{{", "}}") else piece


def _part(inner: str) -> TemplatePart:
    if marked := _MARKED.fullmatch(inner):
        before, field, after = marked.groups()
        if field.strip():
            return _with_spec(before, field.strip(), after)
    letters = [at for at, char in enumerate(inner) if char.isalnum()]
    if not letters:
        raise ValueError(f"'{{{inner}}}' names no field")
    first, last = letters[0], letters[-1] + 1
    return _with_spec(inner[:first], inner[first:last], inner[last:])


def _with_spec(before: str, text: str, after: str) -> TemplatePart:
    field, spec = field_and_spec(text)
    return TemplatePart(before, field, after, spec)
