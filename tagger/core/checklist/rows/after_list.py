"""What shows only when all lines were read."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping, Sequence
from itertools import chain
from typing import TYPE_CHECKING

from tagger.core.checklist.named.positions import positions_among
from tagger.core.checklist.parallels import parse_parallels
from tagger.core.checklist.rows.behind import bracketed
from tagger.core.checklist.rows.remarks import are_few, names_parallel, remark_behind
from tagger.core.model.tags import series_of
from tagger.core.model.text import fold

if TYPE_CHECKING:
    from tagger.core.checklist.columns import Rows


def teams_behind_subjects(rows: Rows, first: int) -> None:
    """Take teams in brackets from behind subjects, where other cards have that team by a heading:
    `Ada Marsh (FC Harbor)` among the special cards below the clubs."""
    teams = {rows.teams.values[id] for id in set(rows.teams.of[first:])} - {""}
    for row in range(first, len(rows)) if teams else ():
        name, held = bracketed(rows.subjects[row])
        if held in teams and not rows.teams[row]:
            rows.subjects.of[row] = rows.subjects.id(name)
            rows.teams.of[row] = rows.teams.id(held)


def positions_for_teams(rows: Rows, first: int) -> None:
    """Take positions in the field from where teams are, from a first row on, and keep them."""
    places = positions_among(rows.teams.values[id] for id in set(rows.teams.of[first:]))
    for row in range(first, len(rows)) if places else ():
        if (place := rows.teams[row]) in places:
            rows.teams.of[row] = rows.teams.id("")
            rows.add_note(row, place)


def names_with_dashes(rows: Rows, first: int, mark: str) -> None:
    """Put together names with a mark in them, as teams stand behind, in parts of a list where most
    cards have no such mark and no other part has any of these teams: `Harbor - Ember Point`."""
    parts: dict[str, list[int]] = {}
    for row in range(first, len(rows)):
        parts.setdefault(series_of(rows.extras[row]), []).append(row)
    counts = Counter(rows.teams[row] for row in range(first, len(rows)))
    for of in parts.values():
        with_team = [row for row in of if rows.teams[row]]
        own = Counter(rows.teams[row] for row in with_team)
        # some teams are of other parts, and none of these
        others = counts.total() > counts[""] + own.total()
        if others and len(with_team) * 2 <= len(of) and own.items() <= counts.items():
            _put_together(rows, with_team, mark)


def _put_together(rows: Rows, some: Sequence[int], mark: str) -> None:
    for row in some:
        rows.subjects.of[row] = rows.subjects.id(f"{rows.subjects[row]}{mark}{rows.teams[row]}")
        rows.teams.of[row] = rows.teams.id("")


def notes_behind_teams(rows: Rows, first: int) -> None:
    """Take notes in brackets from behind teams that other cards, from a first row on, have without
    one: `Harbor Gulls (throwback uniform)`."""
    teams = {rows.teams.values[id] for id in set(rows.teams.of[first:])}
    for row in range(first, len(rows)):
        name, held = bracketed(rows.teams[row])
        if held and name in teams:
            rows.teams.of[row] = rows.teams.id(name)
            rows.add_note(row, held)


# kana in brackets behind a name with a letter that is none
_READING = re.compile(
    r"^(?P<name>[^()]*[\u4e00-\u9fff][^()]*?)\s?\((?P<reading>[\u3041-\u30ff\s・]+)\)$"
)


def readings_apart(rows: Rows) -> None:
    """Take the readings from behind the names, where most names have one; they stay other ways to
    write these."""
    subjects = rows.subjects
    found = {
        id: match
        for id, value in enumerate(subjects.values)
        if value.endswith(")") and (match := _READING.match(value))
    }
    if len(found) * 2 <= len(set(subjects.of)):
        return
    names = {id: subjects.id(match["name"]) for id, match in found.items()}
    for id, match in found.items():
        rows.also(names[id], match["reading"].strip())
    for row, id in enumerate(subjects.of):
        subjects.of[row] = names.get(id, id)


# words of a print, that no name has in brackets (common practice, no source)
_OF_PRINT = re.compile(
    r"\b(?:art|arte|foil|holo|stamped|error|errore|fehler\w*|erreur|corrected|corretto|korrigiert|"
    r"variations?|variante?|reprint|nachdruck|no|with|without|mit|ohne|avec|sans|con|senza|sin|met|"
    r"zonder|med|utan|background|hintergrund|fond|sfondo|fondo|achtergrond|border|rand|bordo|back|"
    r"front|name|caption|photo|foto|reversed|misspell\w*|spell\w*)\b",
    re.IGNORECASE,
)


def remarks_apart(rows: Rows) -> None:
    """Take remarks from behind subjects; they are kept as notes: those in small letters where few
    of a list have one, and any behind twins, cards whose numbers differ in a letter. What tells
    cards of one name apart otherwise, `Robin (female)`, stays in these."""
    # hardly a list has any, and then no row is looked at
    if not any(subject[-1:] in (")", "]") for subject in rows.subjects.values):
        return
    for row in _twins(rows):
        _keep(rows, row, *bracketed(rows.subjects[row]))
    parted = _parted(rows)
    if not are_few(len(parted), len(set(rows.subjects.of))):
        return
    others = _numbers_of(rows, parted)
    for row, id in enumerate(rows.subjects.of):
        bare, said = parted.get(id, ("", ""))
        if said and _is_remark(rows.numbers[row], said, others[bare]):
            _keep(rows, row, bare, said)


def _twins(rows: Rows) -> list[int]:
    """The cards with something in brackets behind their names by which they differ from others of
    their set and name, and whose numbers differ from these in a letter: `8A Ada Marsh (facing
    left)`, `8B Ada Marsh (facing right)`."""
    numbers = list(map(_stem, rows.numbers.values))
    found: dict[tuple[int, str, str], list[int]] = {}
    for row, id in enumerate(rows.numbers.of):
        if numbers[id] != rows.numbers.values[id]:
            name = fold(bracketed(rows.subjects[row])[0])
            found.setdefault((rows.sets.of[row], numbers[id], name), []).append(row)
    several = (same for same in found.values() if len({rows.subjects[row] for row in same}) > 1)
    return [row for row in chain.from_iterable(several) if bracketed(rows.subjects[row])[1]]


def _is_remark(number: str, said: str, others: Mapping[str, int]) -> bool:
    """Whether what stands behind a name tells nothing apart, of the cards of that name by their
    numbers: not two of one number, nor two of different numbers but by a word of their print."""
    if others[number] > 1 and number:
        return False
    return len({*map(_stem, others)}) == 1 or _OF_PRINT.search(said) is not None


def _parted(rows: Rows) -> dict[int, tuple[str, str]]:
    """By their places the names with a remark in brackets, without it, and that."""
    names = ((id, rows.subjects.values[id]) for id in set(rows.subjects.of))
    held = {id: remark_behind(text) for id, text in names if text[-1:] in (")", "]")}
    return {id: part for id, part in held.items() if part[1]}


def _keep(rows: Rows, row: int, bare: str, said: str) -> None:
    """Keep a remark as a note of its card, or as the parallel that it names, and not as part of the
    name."""
    rows.subjects.of[row] = rows.subjects.id(bare)
    if not names_parallel(said):
        rows.add_note(row, said)
        return
    had = rows.parallels[row]
    rows.add_parallels(row, tuple(one for one in parse_parallels(said) if one not in had))


def _numbers_of(rows: Rows, parted: Mapping[int, tuple[str, str]]) -> Mapping[str, Counter[str]]:
    """For each name that some cards have with a remark the numbers of all that have it."""
    numbers: dict[str, Counter[str]] = {bare: Counter() for bare, _ in parted.values()}
    for row, id in enumerate(rows.subjects.of):
        bare = parted[id][0] if id in parted else rows.subjects.values[id]
        if bare in numbers:
            numbers[bare][rows.numbers[row]] += 1
    return numbers


_LETTERED = re.compile(r"^(?P<stem>[A-Z-]*[0-9]+)(?:\W?[A-Za-z]|\s*(?:bis|ter))$")


def _stem(number: str) -> str:
    """A number without the letter that tells its cards apart."""
    match = _LETTERED.match(number)
    return match["stem"] if match else number
