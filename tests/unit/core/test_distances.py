"""How far a slip of the finger is from the word that was meant: the optimal string alignment
distance.

It counts letters that are too many, missing, wrong, or changed over with their neighbour, and edits
no part of a word twice. Levenshtein's distance has no changed neighbours; the unrestricted distance
of Damerau and Levenshtein may edit what it has changed over. Each check names its source. A source
that could not be looked at again is given from memory."""

from __future__ import annotations

from itertools import product

import pytest
import textdistance
from hypothesis import given
from hypothesis import strategies as st
from rapidfuzz.distance import OSA
from support.plain_words import edits_between

from tagger.core.checklist.checklist import Checklist
from tagger.core.index.index import Index
from tagger.core.index.vocabulary import Beginnings
from tagger.core.lot.carried import Carried
from tagger.core.matching.matcher import Matcher
from tagger.core.matching.priors.context import Context
from tagger.core.model.tags import Row

RESTRICTED = textdistance.DamerauLevenshtein(restricted=True, external=False)
UNRESTRICTED = textdistance.DamerauLevenshtein(restricted=False, external=False)
LEVENSHTEIN = textdistance.Levenshtein(external=False)


def distance(typed: str, word: str) -> int | None:
    """The edits from `typed` to the whole of `word` as slips are looked for; None where they are
    more than both are long, or where the word is too short to be looked for."""
    if typed == word:
        return 0
    found = Beginnings([word]).near(typed, len(typed) + len(word), limit=1000)
    return next((edits for beginning, edits in found if beginning == word), None)


def test_the_four_single_errors() -> None:
    """Damerau, 'A technique for computer detection and correction of spelling errors', CACM 7(3),
    1964, abstract: one error is 'a wrong, missing or extra letter or a single transposition'."""
    word = "marlow"
    wrong = {word[:at] + "x" + word[at + 1 :] for at in range(6)}
    missing = {word[:at] + word[at + 1 :] for at in range(6)}
    extra = {word[:at] + "x" + word[at:] for at in range(7)}
    changed_over = {word[:at] + word[at + 1] + word[at] + word[at + 2 :] for at in range(5)}
    assert {distance(typed, word) for typed in wrong | missing | extra | changed_over} == {1}


@pytest.mark.parametrize("meant", ["actress", "cress", "caress", "access", "across", "acres"])
def test_every_candidate_for_one_misspelling_is_one_error_away(meant: str) -> None:
    """Kernighan, Church and Gale, 'A spelling correction program based on a noisy channel model',
    COLING 1990: the candidates for 'acress' by Damerau's four errors (from memory)."""
    assert distance("acress", meant) == 1


@pytest.mark.parametrize(
    ("typed", "word", "edits"),
    [
        # Navarro, 'A guided tour to approximate string matching', 2001, figure (from memory)
        (
            "survey",
            "surgery",
            2,
        ),
        # Ukkonen, 'Algorithms for approximate string matching', 1985, figure (from memory)
        (
            "avery",
            "garvey",
            3,
        ),
        # Jurafsky and Martin, 'Speech and Language Processing' (from memory)
        (
            "intention",
            "execution",
            5,
        ),
        ("kitten", "sitting", 3),  # the usual textbook example (from memory)
        ("saturday", "sunday", 3),  # the same
    ],
)
def test_without_changed_neighbours_it_is_the_distance_of_levenshtein(
    typed: str, word: str, edits: int
) -> None:
    assert distance(typed, word) == distance(word, typed) == edits == LEVENSHTEIN(typed, word)


@pytest.mark.parametrize(
    ("typed", "word", "restricted", "unrestricted", "levenshtein"),
    [
        # van der Loo, 'The stringdist package for approximate string matching', The R Journal 6(1),
        # 2014, and the examples of the package: `ca` to `abc` by "osa" and by "dl" (the numbers
        # from memory).
        ("ca", "abc", 3, 2, 3),
        # The documentation of `textdistance`: BA to ACB is 2 where the same letter may be touched
        # twice.
        ("ba", "acb", 3, 2, 3),
        # The documentation of the R package `comparator`: `plauge` to `plague` is not what
        # Levenshtein gives.
        ("plauge", "plague", 1, 1, 2),
        ("marhs", "marsh", 1, 1, 2),
        ("mrahs", "marsh", 2, 2, 3),
    ],
)
def test_it_is_neither_of_its_two_neighbours(
    typed: str, word: str, restricted: int, unrestricted: int, levenshtein: int
) -> None:
    """Boytsov, 'Indexing methods for approximate dictionary searching', ACM JEA 16, 2011, defines
    the restricted distance: no substring is edited more than once (from memory)."""
    assert distance(typed, word) == RESTRICTED(typed, word) == restricted
    assert UNRESTRICTED(typed, word) == unrestricted
    assert LEVENSHTEIN(typed, word) == levenshtein


def test_it_is_no_metric() -> None:
    """Boytsov 2011 (from memory): the restricted distance breaks the triangle inequality, the
    unrestricted does not."""
    assert (distance("ab", "ba"), distance("ba", "bca"), distance("ab", "bca")) == (1, 1, 3)
    assert UNRESTRICTED("ab", "bca") == 2


def test_all_short_words_by_the_recurrence() -> None:
    """Wagner and Fischer, 'The string-to-string correction problem', JACM 21(1), 1974: the table of
    the distances of all beginnings; Lowrance and Wagner 1975 for the further step with two letters
    changed over (from memory). All pairs of words of two to four letters of three."""
    every = ["".join(letters) for size in (2, 3, 4) for letters in product("abc", repeat=size)]
    beside = {"restricted": 0, "levenshtein": 0}
    for typed in every:
        found = dict(Beginnings(every).near(typed, 8, limit=100_000))
        assert found == {word: edits_between(typed, word) for word in every if word != typed}
        beside["restricted"] += sum(
            edits > UNRESTRICTED(typed, word) for word, edits in found.items()
        )
        beside["levenshtein"] += sum(
            edits < LEVENSHTEIN(typed, word) for word, edits in found.items()
        )
    assert beside["restricted"] > 0
    assert beside["levenshtein"] > 0


@pytest.mark.parametrize("size", [6, 8, 9])
def test_no_one_slip_leads_from_code_word_to_code_word(size: int) -> None:
    """Levenshtein, 'Binary codes capable of correcting deletions, insertions, and reversals', 1966:
    binary words whose places of ones add up to the same, modulo twice their length, can be told
    apart after one deletion, insertion or reversal (from memory). Two neighbours changed over alter
    that sum by one, so no one slip does either."""
    for rest in range(2 * size):
        every = map("".join, product("01", repeat=size))
        code = [
            word
            for word in every
            if sum(at for at, c in enumerate(word, 1) if c == "1") % (2 * size) == rest
        ]
        for word in code:
            near = Beginnings(sorted(code)).near(word, 1, limit=1000)
            assert [other for other, _ in near if other in code] == []
            assert all(LEVENSHTEIN(word, other) > 2 for other in code if other != word)


@given(st.text("abcde", min_size=1, max_size=9), st.text("abcde", min_size=2, max_size=9))
def test_it_is_what_another_library_counts(typed: str, word: str) -> None:
    """`textdistance` (MIT), its own code in plain Python. The unrestricted distance is never more
    and Levenshtein's never less; the restricted and the unrestricted agree on what is one edit."""
    edits = distance(typed, word)
    assert edits == RESTRICTED(typed, word) == RESTRICTED(word, typed) == edits_between(typed, word)
    assert UNRESTRICTED(typed, word) <= edits <= LEVENSHTEIN(typed, word)
    assert (edits <= 1) == (UNRESTRICTED(typed, word) <= 1)


@given(
    st.lists(st.text("abcd", min_size=1, max_size=7), min_size=1, max_size=12, unique=True),
    st.text("abcd", min_size=3, max_size=7),
    st.integers(1, 2),
)
def test_slips_are_all_beginnings_within_reach_nearest_first(
    known: list[str], typed: str, edits: int
) -> None:
    found = Beginnings(sorted(known)).near(typed, edits, limit=1000)
    lengths = range(max(2, len(typed) - edits), len(typed) + edits + 1)
    near = {word[:length] for word in known for length in lengths if len(word) >= length}
    expected = {(b, OSA.distance(typed, b)) for b in near if 0 < OSA.distance(typed, b) <= edits}
    assert set(found) == expected
    assert [distance for _, distance in found] == sorted(distance for _, distance in found)


HERE, THERE = "1987 Harbor Light", "1985 Mill Pond"
NAMES = {
    HERE: ("Cy Tarn", "Cy Vosk", "Cy Belden", "Cy Lundby", "Cy Marlin"),
    THERE: ("Ed Wirth", "Ed Hulme", "Ed Quist"),
}
MATCHER = Matcher(
    Index(
        Checklist([Row(set, str(n), name) for set in NAMES for n, name in enumerate(NAMES[set], 1)])
    )
)


@pytest.mark.parametrize(
    ("hint", "subject"),
    [
        # Four letters forgive one edit: two neighbours changed over are one, and two by
        # Levenshtein's distance.
        ("tran", "Cy Tarn"),
        ("atrn", "Cy Tarn"),
        ("vsok", "Cy Vosk"),
        # Five letters and more forgive two: twice two neighbours, which are three or four by
        # Levenshtein's distance.
        ("bledne", "Cy Belden"),
        ("ulndyb", "Cy Lundby"),
        # The same in a set that neither the lot nor the hint points to.
        ("writh", "Ed Wirth"),
        ("whrit", "Ed Wirth"),
        ("uhlem", "Ed Hulme"),
        ("qusit", "Ed Quist"),
    ],
)
def test_neighbours_changed_over_find_the_card(hint: str, subject: str) -> None:
    best = MATCHER.rank(hint, Context(Carried().put("set", HERE)))[0]
    assert (best.tags.subject, best.reasons) == (subject, ((hint, "subject, mistyped"),))


@pytest.mark.parametrize(
    "hint",
    [
        "tnra",  # two edits to `tarn`, and four letters forgive one
        "bndlee",  # three to `belden`
        "mlain",  # two to `marlin` if l and a, once changed over, could have r put between them
    ],
)
def test_what_is_further_off_does_not(hint: str) -> None:
    assert MATCHER.rank(hint, Context(Carried().put("set", HERE))) == []
