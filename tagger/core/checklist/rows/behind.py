"""What stands in the cell of a subject beside it: a team, marks such as `RC`, a print run, in front
of it a number, or the set as well."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import NamedTuple

from tagger.core.checklist.named.finishes import is_finish
from tagger.core.checklist.named.positions import POSITION_BEHIND
from tagger.core.checklist.numbers_read import NUMBERED_NAME
from tagger.core.checklist.raw.notes import is_share
from tagger.core.checklist.raw.print_runs import split_run
from tagger.core.checklist.raw.years import whole_year
from tagger.core.model.text import printable

# Marks that lists put behind names (common practice, no source). In a list of capitals the second
# kind could be names.
_SURE = r"RC|R\.C\.|XRC|FRC|SP|SSP|UER"
_MARK = (
    rf"{_SURE}|CL|SSSP|ERR|COR|DP|VAR|AU|AUTO|MEM|JSY|M[Gg][Rr]\.?|MG|AS|IA|LL|TL|HL|HOR|HOF|FDP"
)
_LAST_MARKS = re.compile(
    rf"^(?P<name>.*?\S)(?:\s+|\s*,\s*)[(\[]?(?P<marks>(?:{_MARK})(?:[\s,/+&]+(?:{_MARK}))*)[)\]]?$"
)
# how good a copy is, in brackets of its own
_STATE = re.compile(
    r"^(?P<name>.*[)\]])\s*[(\[](?P<marks>M|MT|NM|NM-MT|NMMT|EX|EX-MT|EXMT|VG|VG-EX|VGEX|GD|G|FR|F|PR|P)[)\]]$"
)
_BARE_STATE = re.compile(
    r"^(?P<name>.*\S)\s+(?P<mark>(?:NR?M|EX|VG|MINT)(?:[-/ ]?(?:MT|MINT|EX|NM))?\+?|NM/M)$"
)
_LAST_SURE = re.compile(
    rf"^(?P<name>.*?\S)\s+[(\[]?(?P<marks>(?:{_SURE})(?:[\s,/]+(?:{_SURE}))*)[)\]]?$"
)
_STARS = "*†‡§"  # a note below says what they mean
ROOKIES = frozenset(["RC", "R.C.", "XRC", "FRC"])
_RUN_SIGN = re.compile(
    r"/\s?[0-9]|#'?d\b|\b(?:numbered|serial|limited)\b|\b1 of 1\b", re.IGNORECASE
)

_BRACKETS = re.compile(r"^(?P<name>[^()\[\]]*[^()\[\]\s])\s*[(\[](?P<team>[^()\[\]]+)[)\]]$")
_DASH = re.compile(r"^(?P<name>.*?\S)(?:\s+(?:[-–—=~@|»]|[-=]>|→)\s+|—)(?P<team>\S.*)$")
_SLASH = re.compile(r"^(?P<name>[^/]*[^/\s])\s+/\s+(?P<team>[^/\s][^/]*)$")
_TIGHT = re.compile(r"^(?P<name>[^–-]*[^\s–-])[–-](?P<team>[^\s–-][^–-]*)$")
_COLON = re.compile(r"^(?P<name>[^:]+):(?:\s+|(?=[^\W\d_]))(?P<team>[^:]+)$")
_SEMICOLON = re.compile(r"^(?P<name>[^;]+[^;\s])\s*;\s+(?P<team>[^;]+)$")
# a name that is turned round has one word before the comma
_COMMA = re.compile(r"^(?P<name>[^,\s]+\s[^,]*[^,\s]),\s+(?P<team>[^,]+)$")
TEAM_STYLES = {
    "brackets": _BRACKETS,
    "dash": _DASH,
    "slash": _SLASH,
    "tight": _TIGHT,
    "colon": _COLON,
    "semicolon": _SEMICOLON,
    "comma": _COMMA,
}
SURE_STYLES = frozenset(["brackets", "dash"])  # behind the others may stand a part of the name
# in these what stands behind need not come again; behind a semicolon it is told
ANY_TEAMS = SURE_STYLES | {"semicolon"}

POSITION = "position"  # in the place of a style: no team, but where a player stands in the field


# `Marsh of the Gulls`: told and not parted, since names are made so as well
_WORD = re.compile(r"^(?P<name>.*?\S)\s+(?:of|from|for|with|von|vom)\s+(?P<team>\S.*)$")
WHERE = {
    "brackets": "in brackets",
    "dash": "behind a dash",
    "slash": "behind a slash",
    "tight": "behind a dash",
    "colon": "behind a colon",
    "semicolon": "behind a semicolon",
    "comma": "behind a comma",
}


def team_behind_word(names: Sequence[str]) -> str:
    """What is to be told where most of some names have a team behind a word; else empty."""
    teams = [match["team"] for match in map(_WORD.match, names) if match]
    teams = [team for team in teams if not team[0].isdigit()]  # `1 of 3`
    if len(teams) <= 0.6 * len(names) or not are_teams(teams):
        return ""
    return f"'{printable(teams[0], 30)}' may be a team; it is kept in the subject"


def are_teams(names: Sequence[str]) -> bool:
    """Whether what stands behind a slash is teams, which come again, and not a second name."""
    return len(names) > 3 and len(set(names)) * 2 <= len(names)


def _are_beside_names(teams: Sequence[str], names: Sequence[str]) -> bool:
    """Whether teams come again a little, and the names before them never do."""
    few = len(names) > 7 and len(set(teams)) * 10 <= len(teams) * 7
    return few and len(set(names)) == len(names)


_YEAR = r"(?:(?:1[89]|20)[0-9]{2}(?:[-/][0-9]{2,4})?|['’][0-9]{2}(?:[-/][0-9]{2})?)"
_LISTING = re.compile(
    rf"^(?P<set>{_YEAR}\s.*?\S)\s+(?:#|no\.?\s|card\s)\s*(?P<number>[^\s,;]+)"
    r"[\s,;–—-]+(?P<rest>\S.*)$",
    re.IGNORECASE,
)
_LISTING_LAST = re.compile(
    rf"^(?P<rest>[^#0-9]*?\S)[\s,;–—-]+(?P<set>{_YEAR}\s.*?\S)\s+#(?P<number>\S+)$"
)
_NUMBERED_LAST = re.compile(
    r"^(?P<rest>[^\W\d_][^()\d#]*?)\s*(?:\(\s*(?:#|no\.?\s|nr\.?\s)?|#)(?P<number>[0-9]{1,4}[a-z]?)\)?$",
    re.IGNORECASE,
)
_AROUND = " -–—,:"
JOINED_STYLES = {
    "listing": _LISTING,
    "listing last": _LISTING_LAST,
    "numbered": NUMBERED_NAME,
    "numbered last": _NUMBERED_LAST,
}


LISTINGS = ("listing", "listing last")


def listed_apart(text: str, style: str) -> tuple[str, str]:
    """The set and the card in `1987 Harbor Light #23 Ada Marsh`, in one of LISTINGS; no set where
    a text is something else."""
    match = JOINED_STYLES[style].match(text)
    if match is None:
        return "", text
    return whole_year(
        match["set"].rstrip(_AROUND)
    ), f"{match['number']} {match['rest'].strip(_AROUND)}"


class Beside(NamedTuple):
    """A subject, and what stood in its cell beside it; `parallel`: with its print run, `Gold /50`,
    or the run alone, `/50`."""

    subject: str
    team: str = ""
    marks: tuple[str, ...] = ()
    parallel: str = ""
    number: str = ""
    set: str = ""


def split_marks(text: str) -> tuple[str, tuple[str, ...]]:
    """A subject without the marks behind it, and these."""
    if not text[-1:].isupper() and text[-1:] not in ".)]":
        return _split_word(text)
    match = (_LAST_SURE if text.isupper() else _LAST_MARKS).match(text) or _STATE.match(text)
    if match is None:
        return _split_word(text)
    return match["name"].rstrip(" ,-–—"), tuple(re.split(r"[\s,/+&]+", match["marks"]))


_WORDS = re.compile(
    r"^(?P<name>.*\S)\s*(?:\s[-–—]\s|,\s|[(\[（])(?P<word>rookie(?: card)?|recrue|neuling|"
    r"novato|esordiente|ルーキー|short print|error|corrected)[)\]）]?$",
    re.IGNORECASE,
)
_MARK_OF = {
    **dict.fromkeys(
        ("rookie", "rookie card", "recrue", "neuling", "novato", "esordiente", "ルーキー"), "RC"
    ),
    "short print": "SP",
    "error": "ERR",
}


def _split_word(text: str) -> tuple[str, tuple[str, ...]]:
    """`Ada Marsh - Rookie`: a mark that is written out."""
    match = _WORDS.match(text) if text[-1:] in "ertdgoERTDGOー)]）" else None
    if match is None:
        return text, ()
    return match["name"], (_MARK_OF.get(match["word"].lower(), "COR"),)


def split_behind(text: str, states: bool = True) -> Beside:
    """A subject without the marks and the print run behind it, in whatever order these stand.
    `states`: whether the state of a copy is a mark as well, `Ada Marsh NM`."""
    if text and text[-1] in _STARS:
        bare = text.rstrip(_STARS).rstrip()
        if bare and bare[0] not in _STARS:
            found = split_behind(bare, states)
            return found._replace(marks=(*found.marks, text[len(bare) :].strip()))
    text, state = _split_state(text) if states else (text, ())
    subject, marks = split_marks(text)
    parallel = ""
    if _RUN_SIGN.search(subject):
        subject, parallel = _split_parallel(subject)
        subject, more = split_marks(subject)
        marks = (*more, *marks)
    return Beside(subject, "", (*marks, *state), parallel)


def _split_state(text: str) -> tuple[str, tuple[str, ...]]:
    # in a list of capitals it could be a name
    match = _BARE_STATE.match(text) if text[-1:] in "MTXGT+" and not text.isupper() else None
    return (match["name"], (match["mark"],)) if match else (text, ())


# `Ada Marsh (Gold /25)`, `Ada Marsh [Printing Plate 1/1]`
_HELD = re.compile(r"^(?P<rest>.*[^\s(\[])\s*[(\[](?P<held>[^()\[\]]+)[)\]]$")


def _split_parallel(text: str) -> tuple[str, str]:
    """A subject without the print run behind it and the parallel that this is of, and these."""
    held = _HELD.match(text)
    name, run = split_run(held["held"]) if held else ("", 0)
    if held and run and name[:1].isalpha():
        return held["rest"], f"{name} /{run}"
    subject, run = split_run(text)
    if not run:
        return subject, ""
    subject, finish = split_finish(subject.rstrip(" -–—,"))
    return subject, f"{finish} /{run}".strip()


_FINISH_HELD = re.compile(
    r"^(?P<rest>.*\S)\s+[(\[](?P<finish>[^\W\d_]+(?:[\s-][^\W\d_]+){0,2})[)\]]$"
)


def split_finish_held(text: str) -> tuple[str, str]:
    """`Ada Marsh (gold)` without the parallel in brackets, and that: each of its words is one of
    those that parallels are called by."""
    match = _FINISH_HELD.match(text) if text[-1:] in ")]" else None
    if match is None or not are_finishes(match["finish"]):
        return text, ""
    return match["rest"], match["finish"]


def are_finishes(text: str) -> bool:
    """Whether each word of a text is one that parallels are called by; `Die-Cut` is one."""
    return all(map(is_finish, text.split()))


def split_finish(text: str) -> tuple[str, str]:
    """`Ada Marsh Gold`, before a print run: the name, and the words of a parallel behind it; `Ada
    Gold` is a name."""
    words = text.split()
    at = len(words)
    while at > 2 and is_finish(words[at - 1]) and words[at - 1][:1].isupper():
        at -= 1
    return " ".join(words[:at]).rstrip(" -–—,"), " ".join(words[at:])


def team_style(rests: Sequence[str]) -> str:
    """How most of some texts put the team behind the subject; empty for the usual comma."""
    commas = sum("\t" in rest or _has_comma(rest) for rest in rests)
    if len(rests) < 3 or commas * 4 > len(rests):
        return ""
    return next((style for style in TEAM_STYLES if _is_style_of(style, rests)), "")


def _is_style_of(style: str, rests: Sequence[str]) -> bool:
    matches = [match for match in map(TEAM_STYLES[style].match, rests) if match]
    # `(3)` counts copies, `(1 of 3)` parts of a picture
    matches = [match for match in matches if not _counts(match["team"])]
    if len(matches) <= 0.6 * len(rests):
        return False
    teams, names = ([match[side] for match in matches] for side in ("team", "name"))
    return style in ANY_TEAMS or _are_apart(teams, names)


def _counts(text: str) -> bool:
    return is_share(text) or not any(map(str.isalpha, text))


def _are_apart(teams: Sequence[str], names: Sequence[str]) -> bool:
    """Whether teams stand on one side of a mark and names on the other."""
    return are_teams(teams) or are_teams(names) or _are_beside_names(teams, names)


def _has_comma(rest: str) -> bool:
    """Whether a comma may stand before a team: `Marsh, Ada – Harbor Gulls` has it in the name."""
    match = TEAM_STYLES["dash"].match(rest)
    return "," in (match["team"] if match else rest)


def split_team(subject: str, style: str) -> tuple[str, str]:
    """A subject and the team behind it, in one of TEAM_STYLES; no team where it has none."""
    match = TEAM_STYLES[style].match(subject) if style else None
    return (match["name"], match["team"].strip()) if match else (subject, "")


def beside(text: str, behind: bool, team: str, joined: str) -> Beside:
    """The parts of a subject's cell. `behind`: whether marks and runs stand behind subjects;
    `team`, `joined`: the styles in which a team (or POSITION) or a number stand there, empty for
    none."""
    number = named = ""
    if joined and (match := JOINED_STYLES[joined].match(text)):
        text, number = match["rest"], match["number"]
        named = whole_year((match.groupdict().get("set") or "").rstrip(_AROUND))
    found = _without_finish_held(split_behind(text), team) if behind else Beside(text)
    if team == POSITION:
        return _with_position(found)
    subject, club = split_team(found.subject, team)
    if not behind or not club:
        return found._replace(subject=subject, team=club, number=number, set=named)
    inner, outer = split_behind(subject), split_behind(club)
    return Beside(
        inner.subject,
        outer.subject,
        (*inner.marks, *outer.marks, *found.marks),
        found.parallel or inner.parallel or outer.parallel,
        number,
        named,
    )


def _without_finish_held(found: Beside, team: str) -> Beside:
    """A subject without a parallel in brackets, where no teams stand so."""
    if team == "brackets" or found.parallel:
        return found
    subject, finish = split_finish_held(found.subject)
    return found._replace(subject=subject, parallel=finish)


def _with_position(found: Beside) -> Beside:
    """A subject without the position in the field behind it, which is a mark."""
    match = POSITION_BEHIND.match(found.subject)
    if match is None:
        return found
    return found._replace(subject=match["name"], marks=(*found.marks, match["position"]))


def marks_kept(marks: tuple[str, ...]) -> tuple[tuple[str, str], ...]:
    """Marks as further columns."""
    rookie = " ".join("RC" if mark == "R.C." else mark for mark in marks if mark in ROOKIES)
    others = " ".join(mark for mark in marks if mark not in ROOKIES)
    return tuple(pair for pair in (("rookie", rookie), ("marks", others)) if pair[1])


_BRACKETED = re.compile(r"^(?P<name>[^()\[\]]+?)\s*[(\[](?P<held>[^()\[\]]+)[)\]]$")


def bracketed(text: str) -> tuple[str, str]:
    """A name without what stands in brackets behind it, and that; empty where nothing does."""
    match = _BRACKETED.match(text) if text[-1:] in (")", "]") else None
    return (match["name"], match["held"]) if match else (text, "")
