"""The emulator's short way shows what pyte's own way shows."""

from __future__ import annotations

import pyte
from hypothesis import given, settings
from hypothesis import strategies as st
from support import emulator

COLUMNS, LINES = 12, 5

NUMBERS = (0, 1, 2, 5, 7, 22, 31, 38, 48, 97, 107, 255, 99999)
numbers = st.lists(st.sampled_from(NUMBERS), max_size=6).map(lambda n: ";".join(map(str, n)))
pieces = st.one_of(
    st.text("ab▀▄█🬋é\u0301\u200b山 ", max_size=14),
    st.builds("\x1b[{}{}".format, numbers, st.sampled_from("mHKJ")),
    st.sampled_from(
        ("\x1b[38;2;1;2;3m", "\x1b[48;5;7m", "\x1b[mx", "\x1b[;H", "\x1b[4h", "\x1b[4l")
    ),
    st.sampled_from(("\r", "\n", "\x1b[2J", "\x1b[?7l", "\x1b[?7h", "\x1b7", "\x1b8", "\x9b3H")),
    st.sampled_from(("\x0e", "\x0f", "\x1b(0", "\x1b(B", "\x1b[3", "\x1b", "\x1b[1@", "\x1b[2P")),
)


def fed(stream: pyte.ByteStream, data: bytes) -> type[Exception] | None:
    """What pyte raises for a sequence that it does not know; the rest of the screen stands."""
    try:
        stream.feed(data)
    except Exception as error:
        return type(error)
    return None


@settings(deadline=None, max_examples=300)
@given(st.lists(pieces, max_size=30), st.integers(1, 7))
def test_the_short_way_shows_what_the_long_one_shows(pieces, size):
    plain, ours = pyte.Screen(COLUMNS, LINES), emulator.Screen(COLUMNS, LINES)
    one, other = pyte.ByteStream(plain), emulator.ByteStream(ours)
    data = "".join(pieces).encode()
    for at in range(0, len(data), size):
        part = data[at : at + size]
        assert fed(other, part) == fed(one, part)
        assert ours.buffer == plain.buffer
        assert (ours.cursor.x, ours.cursor.y, ours.cursor.attrs) == (
            plain.cursor.x, plain.cursor.y, plain.cursor.attrs,
        )  # fmt: skip
    assert ours.display == plain.display


def test_what_is_shown_follows_what_comes():
    screen = emulator.Screen(COLUMNS, LINES)
    stream = emulator.ByteStream(screen)
    stream.feed(b"one")
    assert screen.display[0].strip() == "one"
    stream.feed(b" two")
    assert screen.display[0].strip() == "one two"
    screen.resize(LINES, 5)
    assert screen.display[0] == "one t"
