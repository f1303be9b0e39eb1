"""Names of picture files: composed by a template, safe on every usual file system, no two alike."""

from __future__ import annotations

import re
import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st
from support.tabled import lot_of

from tagger.core.lot.fields import cards, further_columns, run_of_serial
from tagger.core.model.tags import Tags
from tagger.errors import UsageError
from tagger.exchange.shown.picture_names import DEFAULT, PictureNames, safe_name


def names(template: str, *tags: Tags, joined: bool = False) -> list[str]:
    """The names of all pictures of cards with these tags, in feeding order."""
    lot = lot_of(*tags)
    maker = PictureNames(template, further_columns(lot), lot.cards, "box 12", run_of_serial)
    return [
        maker.file(card, side)
        for card in cards(lot)
        for side in (("",) if joined else ("front", "back"))
    ]


ADA = Tags(
    set="1987 Harbor Light", number="23", subject="Ada Marsh", parallel="Gold", serial="12/99"
)


def test_without_a_template_names_sort_as_the_cards_were_fed():
    assert names(DEFAULT, ADA, Tags()) == [
        "0001-front.jpg",
        "0001-back.jpg",
        "0002-front.jpg",
        "0002-back.jpg",
    ]
    assert names(DEFAULT, ADA, joined=True) == ["0001.jpg"]


def test_a_name_is_composed_as_a_layout_s_text_is():
    assert names("{set} {#number} {subject}{ -parallel}{ of <print run>}", ADA, joined=True) == [
        "1987 Harbor Light #23 Ada Marsh -Gold of 99.jpg"
    ]
    assert names("{side}s {lot} {number}", ADA) == ["fronts box 12 23.jpg", "backs box 12 23.jpg"]
    priced = Tags(number="7", extra=(("Shelf Mark", "Q 1"),))
    assert names("{number} {shelf mark}", priced, joined=True) == ["7 Q 1.jpg"]


def test_names_that_are_the_same_get_the_position_and_come_out_the_same_again():
    said = names("{number} {subject}", ADA, ADA, ADA)
    assert said == names("{number} {subject}", ADA, ADA, ADA)
    assert said[::2] == [
        "23 Ada Marsh-front.jpg",
        "23 Ada Marsh-0002-front.jpg",
        "23 Ada Marsh-0003-front.jpg",
    ]


def test_names_that_only_some_file_systems_tell_apart_are_the_same():
    """Case, and the ways to write an accent (Unicode, UAX #15)."""
    said = names(
        "{subject}",
        *(
            Tags(subject=name)
            for name in ("Zoë Torlund", "ZOË TORLUND", "Zoe\u0308 Torlund", "ﬁn", "FIN")
        ),
    )
    folded = [unicodedata.normalize("NFKC", name).casefold() for name in said]
    assert len(set(folded)) == len(said) == 10


def test_a_name_that_was_made_up_for_a_double_can_be_another_card_s():
    tags = [
        Tags(subject=subject)
        for subject in ("x", "x-0012", *(f"x-0012-{n}" for n in range(2, 11)), "x")
    ]
    said = names("{subject}", *tags, joined=True)
    assert said[-1] == "x-0012-11.jpg"
    assert len(set(said)) == 12


def test_a_card_without_the_fields_of_the_template_still_has_a_name():
    assert names("{set} {number}", Tags(), Tags(), joined=True) == ["card.jpg", "card-0002.jpg"]


def test_a_double_of_an_empty_name_never_ends_in_a_space():
    assert not [name for name in names("{set}", Tags(), Tags()) if " ." in name or " -" in name]


HOSTILE = ("../../etc/passwd", "/etc/passwd", "..", ".", "", " ", ".hidden", "-rf", "~",
"a/b\\c:d*e?f\"g<h>i|j",
           "a\0b", "a\nb\x1b[2J", "con", "NUL.txt", "lpt1", "COM¹", "x" * 5000, "Ж" * 300,
           "\u202egpj.exe", "\udcff",
           "end. .", "lot.json", ".tagger-pictures", "🂡" * 90)  # fmt: skip


def safe(name: str) -> None:
    """POSIX, NAME_MAX; Microsoft, "Naming Files, Paths, and Namespaces"; no leading sign that a
    shell would heed."""
    stem = name.removesuffix(".jpg")
    assert name.endswith(".jpg")
    assert 0 < len(name.encode()) <= 255
    assert not re.search(r'[<>:"/\\|?*\x00-\x1f\x7f]', name)
    assert name[0] not in ".-~ "
    assert stem[-1] not in " ."
    assert not re.fullmatch(r"(?i)(con|prn|aux|nul|com[0-9¹²³]|lpt[0-9¹²³])", name.split(".")[0])
    assert not any(
        unicodedata.category(char) in ("Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp") for char in name
    )


@pytest.mark.parametrize("value", HOSTILE)
@pytest.mark.parametrize("joined", [False, True])
def test_no_value_of_a_tag_makes_a_name_that_is_not_safe(value, joined):
    for name in names("{subject}", *(Tags(subject=value),) * 3, joined=joined):
        safe(name)


@given(st.text(max_size=300))
def test_any_text_makes_a_safe_name(text):
    safe(f"{safe_name(text)}.jpg")


@given(
    st.lists(
        st.sampled_from(["a", "A", "a-0002", "a-0003", "A-0003-2", "á", "a\u0301", "", "."]),
        max_size=8,
    )
)
def test_no_two_names_are_alike(subjects):
    said = names("{subject}", *(Tags(subject=subject) for subject in subjects))
    assert len({unicodedata.normalize("NFKC", name).casefold() for name in said}) == 2 * len(
        subjects
    )


@pytest.mark.parametrize(("template", "said"), [
    ("{subjekt}", r"--name \{subjekt\}: 'subjekt' is not a field; did you mean subject\?"),
    ("{number", r"--name \{number: '\{number' is not closed"),
    ("{}", r"--name \{\}: '\{\}' names no field"),
])  # fmt: skip
def test_a_template_that_is_none_is_told_in_one_sentence(template, said):
    with pytest.raises(UsageError, match=said):
        names(template, ADA)
