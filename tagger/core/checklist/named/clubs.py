"""Words that clubs are called by."""

from __future__ import annotations

import re

from tagger.core.model.text import fold

# letters before a place, and words behind one (common practice, no source)
_LETTERS = frozenset(
    ["fc", "sv", "sc", "tsv", "vfb", "vfl", "vfr", "fsv", "ssv", "tus", "tsg", "spvgg", "bsc", "bv",
     "afc", "cf", "cd", "ud", "sd", "rcd", "ac", "as", "ss", "us", "ssc", "acf", "rc", "aj", "ogc",
     "rkc", "vv", "sk", "fk", "nk", "if", "bk", "hc", "ehc", "esv", "ec", "bc"]
)  # fmt: skip
_WORDS = frozenset(
    ["united", "city", "town", "rovers", "wanderers", "athletic", "albion", "rangers",
     "eintracht", "fortuna", "arminia", "viktoria", "concordia", "atletico", "deportivo",
     "sporting", "racing", "olympique", "stade", "dynamo", "dinamo", "lokomotiv", "virtus"]
)  # fmt: skip


# what an album has of a team beside its players (common practice, no source)
_OF_TEAM = frozenset(
    ["badge", "team badge", "club badge", "crest", "emblem", "logo", "team logo", "team photo",
     "team picture", "squad photo", "squad", "stadium", "wappen", "vereinswappen",
     "mannschaftsbild", "mannschaft", "mannschaftsfoto", "stadion", "ecusson", "blason",
     "photo d'equipe", "equipe", "stade", "escudo", "equipo", "foto de equipo", "scudetto",
     "stemma", "squadra", "foto di squadra", "embleem", "clublogo", "elftalfoto", "teamfoto",
     "elftal", "alineacion", "plantilla", "formacion", "emblema", "equipa", "plantel", "escut",
     "formazione", "rosa", "line-up", "lineup", "team line-up", "club crest", "klubbmarke",
     "lagbild", "emblem & stadium", "blason du club", "ecusson du club", "escudo del club",
     "エンブレム", "集合写真"]
)  # fmt: skip


def is_of_team(subject: str) -> bool:
    """Whether a subject is what an album has of each team beside its players: `Badge`."""
    return fold(subject).strip() in _OF_TEAM


def is_club(text: str) -> bool:
    """Whether a name has a word of several that clubs are called by: `FC Harbor`."""
    # `C.D. Harbor` is written without points as well
    said = re.findall(r"[^\W\d_]+", _POINTED.sub("", text))
    if len(said) < 2:
        return False
    return any(word.isupper() and fold(word) in _LETTERS for word in said) or any(
        fold(word) in _WORDS or word in ("VfB", "VfL", "VfR", "TuS", "SpVgg") for word in said
    )


_POINTED = re.compile(r"(?<=\b[A-Z])\.(?=[A-Z]\b|\s)")


# `1. FC Harbor`, a club and no card
_FIRST_CLUB = re.compile(r"^1\.\s?(?:FC|FSV|SC|SV|FFC|CfR|TSV)\s+[^\W\d_]{2}")


def is_first_club(text: str) -> bool:
    """Whether the number before a name may be that of a club: `1. FC Harbor`."""
    return _FIRST_CLUB.match(text) is not None
