"""A paste is text, whatever bytes it has and however it is cut into pieces on its way."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from tagger.ui.terminal.paste_guard import END, MOST, START, PasteGuard, TextPart

PIECES = st.lists(
    st.sampled_from(["2", "ab", "\r", "\n", "\x1b", "\x1b[", "\x1b[20", "\x1b[200", "\x03", "\x9b"])
)


def in_pieces(text: str, cuts: list[int]) -> list[TextPart]:
    guard, found, start = PasteGuard(), list[TextPart](), 0
    for cut in sorted({*(cut % (len(text) + 1) for cut in cuts), len(text)}):
        found += guard.parts(text[start:cut])
        start = cut
    return found


@given(PIECES, st.lists(st.integers(0, 500), max_size=20))
def test_a_paste_comes_as_one_text_without_control_characters(pieces, cuts):
    pasted = "".join(pieces)
    parts = in_pieces(f"12{START}{pasted}{END}34", cuts)
    assert [part.text for part in parts if part.pasted] == [
        "".join(char for char in pasted if char in "\r\n" or char.isprintable())
    ]
    before = "".join(part.text for part in parts[: [p.pasted for p in parts].index(True)])
    # a part of the marker may have been given as typed, and never what was pasted
    assert before.startswith("12")
    assert START.startswith(before[2:])
    assert "".join(part.text for part in parts if not part.pasted).endswith("34")


@given(PIECES, st.lists(st.integers(0, 500), max_size=20))
def test_what_is_typed_is_given_as_it_comes(pieces, cuts):
    typed = "".join(pieces)
    assert "".join(part.text for part in in_pieces(typed, cuts)) == typed


def test_a_long_paste_is_cut():
    parts = list(PasteGuard().parts(START + "x" * 3 * MOST + END))
    assert [len(part.text) for part in parts if part.pasted] == [MOST]
