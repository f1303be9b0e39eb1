"""Bytes and values changed at random, each case by its own number, so that a find can be made
again."""

from __future__ import annotations

import json
import random
import struct
import zlib
from copy import deepcopy
from typing import Any

NUMBERS = (0, 1, 2, 0x7F, 0x80, 0xFF, 0x100, 0x3FFF, 0x7FFF, 0xFFFF, 0x7FFFFFFF, 0xFFFFFFFF)
WORDS = (
    "", " ", "0", "-1", "nan", "NaN", "1e999", "9" * 400, "=1+1", "\x1b[2J", "\0", "\u202e",
    "[bold]", "{position}", "a" * 3000, "true", "../..", "é\u0301", "\ud83c\udf0a", "\t", "None",
)  # fmt: skip
VALUES: tuple[Any, ...] = (
    None, True, False, 0, -1, 1, 2**31, 2**63, 2**64, 10**30, 0.5, 1e308, float("inf"),
    float("nan"), [], {}, [[]], {"a": {}}, *WORDS,
)  # fmt: skip


def source(kind: str, case: int) -> random.Random:
    """The chance of one case."""
    return random.Random(f"{kind} {case}")


def mutated(data: bytes, chance: random.Random, head: int = 0) -> bytes:
    """One to four changes; half of them within the first `head` bytes where that is given."""
    out = bytearray(data)
    for _ in range(chance.randint(1, 4)):
        if not out:
            break
        most = len(out)
        if head and chance.random() < 0.5:
            most = min(head, most)
        _CHANGES[chance.randrange(len(_CHANGES))](out, chance.randrange(most), chance)
    return bytes(out)


def _bit(out: bytearray, at: int, chance: random.Random) -> None:
    out[at] ^= 1 << chance.randrange(8)


def _byte(out: bytearray, at: int, chance: random.Random) -> None:
    out[at] = chance.choice((0, 1, 0x7F, 0x80, 0xFE, 0xFF, chance.randrange(256)))


def _number(out: bytearray, at: int, chance: random.Random) -> None:
    form = chance.choice(("<H", ">H", "<I", ">I"))
    size = struct.calcsize(form)
    out[at : at + size] = struct.pack(form, chance.choice(NUMBERS) & (1 << 8 * size) - 1)


def _cut(out: bytearray, at: int, chance: random.Random) -> None:
    del out[at : at + chance.choice((1, 2, 7, 300, len(out)))]


def _again(out: bytearray, at: int, chance: random.Random) -> None:
    part = out[at : at + chance.choice((1, 4, 60, 900))]
    there = chance.randrange(len(out))
    out[there:there] = part


def _noise(out: bytearray, at: int, chance: random.Random) -> None:
    out[at : at + chance.choice((3, 40, 400))] = chance.randbytes(chance.choice((3, 40, 400)))


_CHANGES = (_bit, _bit, _byte, _number, _number, _cut, _again, _noise)


def with_checksums(data: bytes) -> bytes:
    """A PNG whose chunks' checksums are right again, as far as it has chunks."""
    out, at = bytearray(data), 8
    while at + 12 <= len(out):
        (length,) = struct.unpack_from(">I", out, at)
        if at + 12 + length > len(out):
            break
        struct.pack_into(">I", out, at + 8 + length, zlib.crc32(out[at + 4 : at + 8 + length]))
        at += 12 + length
    return bytes(out)


def mutated_value(value: Any, chance: random.Random) -> Any:
    """A document of JSON with one or two values replaced, taken away or doubled."""
    document = json.loads(json.dumps(value))
    for _ in range(chance.randint(1, 2)):
        document = _changed(document, chance)
    return document


def _changed(value: Any, chance: random.Random) -> Any:
    if isinstance(value, dict) and value and chance.random() < 0.85:
        key = chance.choice(list(value))
        doing = chance.random()
        if doing < 0.15:
            del value[key]
        elif doing < 0.25:
            value[chance.choice(WORDS)] = value.pop(key)
        else:
            value[key] = _changed(value[key], chance)
        return value
    if isinstance(value, list) and value and chance.random() < 0.85:
        at = chance.randrange(len(value))
        doing = chance.random()
        if doing < 0.15:
            del value[at]
        elif doing < 0.25:
            value.insert(at, value[chance.randrange(len(value))])
        else:
            value[at] = _changed(value[at], chance)
        return value
    return deepcopy(chance.choice(VALUES))


def mutated_text(text: str, chance: random.Random) -> bytes:
    """Lines of a text taken away, doubled or changed in one word; sometimes in its bytes."""
    if chance.random() < 0.3:
        return mutated(text.encode(), chance)
    lines = text.splitlines()
    for _ in range(chance.randint(1, 3)):
        at = chance.randrange(len(lines))
        doing = chance.random()
        if doing < 0.15 and len(lines) > 1:
            del lines[at]
        elif doing < 0.3:
            lines.insert(at, lines[chance.randrange(len(lines))])
        else:
            lines[at] = _word_changed(lines[at], chance)
    return "\n".join(lines).encode("utf-8", "surrogatepass")


def _word_changed(line: str, chance: random.Random) -> str:
    marks = [at for at, char in enumerate(line) if char in ' =,;"[]{}.|']
    ends = [0, *marks, len(line)]
    at = chance.randrange(len(ends) - 1)
    start = ends[at] + (at > 0)
    return line[:start] + chance.choice(WORDS) + line[ends[at + 1] :]
