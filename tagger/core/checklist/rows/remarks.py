"""What stands behind names and is no part of them: what the owner says of a copy, `(bent)`; and
behind those of a few cards a remark in small letters, `(no cap)`, `[captain]`, ` - in place of the
one above`."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence

from tagger.core.checklist.named.finishes import is_finish

_BEHIND = re.compile(
    r"^(?P<rest>.*[^\s,;:–—-])\s*(?:(?<=\s)[(\[](?P<held>[^()\[\]A-ZÀ-Þ0-9]*[a-zà-ÿ][^()\[\]A-ZÀ-Þ0-9]*)[)\]]"
    r"|(?<=\s)(?:--|[-–—])\s+(?P<said>[a-zà-ÿ][^A-ZÀ-Þ0-9()\[\]]*))$"
)
_LONGEST = 300  # characters of a name with its remark
_SHARE = 4  # one of so many cards at most has a remark
# what is part of a name, or names a variation of the card
_OF_NAME = re.compile(
    r"(?:jr|sr|junior|senior|père|fils|the\s.*|der\s.*|la\s.*|el\s.*|il\s.*|var(?:\.|iation|iante?)?:.*)\.?"
)


# `(my favourite)`, `(got 2)`, `(a bit bent)`, `- sharp!`, `-- whatever stands in small letters`
_REMARKED = (
    r"my|mine|favou?rite|got|have|need(?:ed)?|wanted|spares?|swaps?|doubles?|upgrade|sharp|bent|"
    r"off[- ]?cent(?:er|re)d?|miscut|trimmed|tape|writing|wear|soft|"
    r"torn|creases?|creased|corners?|edges?|damaged|damage|stained|stain|worn|scratched|missing|"
    r"doppelt|doppel|fehlt|knick|geknickt|eselsohr|doppi[oa]|mancante?|manca|rovinat[oa]|"
    r"repe(?:tid[oa])?|falta|me falta|rot[oa]|dubbel|mist|ontbreekt|beschadigd|manquante?|manque|"
    r"ab[iî]m[ée]e?|double|pli[ée]e?"
)
_OWNERS = re.compile(
    rf"^(?P<rest>.*\S)\s+(?:\((?P<held>[^()A-Z]*\b(?:{_REMARKED})\b[^()A-Z]*)\)"
    rf"|(?:[-–—;]|<-+|←)\s+(?P<apart>[^()A-Z]*\b(?:{_REMARKED})\b[^()A-Z]*)"
    r"|--+\s+(?P<said>[a-zà-ÿ][^A-Z]*))$"
)


def split_remark(rest: str) -> tuple[str, str]:
    """A card without what its owner says of the copy in brackets or behind a dash, and that."""
    # a list in small letters has names that are written so
    match = _OWNERS.match(rest) if not rest.islower() else None
    if match is None:
        return rest, ""
    return match["rest"], match["held"] or match["apart"] or match["said"]


def remark_behind(text: str) -> tuple[str, str]:
    """A name without the remark behind it, and that; empty where it has none."""
    may_be = len(text) < _LONGEST and (text[-1:].islower() or text[-1:] in ")].!")
    match = _BEHIND.match(text) if may_be else None
    said = (match["held"] or match["said"]).strip() if match else ""
    if match is None or _OF_NAME.fullmatch(said):
        return text, ""
    return match["rest"].rstrip(), said


def names_parallel(said: str) -> bool:
    """Whether a remark is the name of a parallel: `(gold foil)`, not `[name in red]`."""
    return bool(said) and all(map(is_finish, said.split()))


def are_remarks(cards: Sequence[tuple[str, str]]) -> bool:
    """Whether few enough of some cards, number and text each, have a remark for it to be no part of
    the names, and no two of one number would be alike without theirs."""
    parted = [remark_behind(text) for _, text in cards]
    bare = [(number, rest) for (number, _), (rest, _) in zip(cards, parted, strict=True)]
    times = Counter(bare)
    alike = any(times[one] > 1 for one, (_, said) in zip(bare, parted, strict=True) if said)
    return not alike and are_few(sum(bool(said) for _, said in parted), len(cards))


def are_few(remarks: int, cards: int) -> bool:
    """Whether so many remarks are few enough for what they are, and some."""
    return 0 < remarks * _SHARE <= cards
