"""A divider as it is asked for (`set=1987 Harbor Light parallel=Gold condition=nm at=box 3`), made
exact by the checklists: nothing on a divider is left to be guessed when it is scanned."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from tagger.core.dividers.divider import BLANK, FIELDS, LONGEST, Divider, DividerKind, payload_text
from tagger.core.model.tags import BASE, is_base
from tagger.core.model.text import fold, has_parts, printable
from tagger.errors import UsageError

if TYPE_CHECKING:
    from tagger.core.model.condition import Scale

_FIELD = re.compile(r"(?:^|\s)(set|parallel|condition|place|at)=", re.IGNORECASE)
_BLANK = {fold(kind): kind for kind in BLANK}
_SHORT = {"end": DividerKind.END, "aside": DividerKind.ASIDE, "box": DividerKind.BOX}
# Names in one message: about what a window of 24 lines can show of a list that has hundreds.
MOST_NAMED = 12


@dataclass(frozen=True)
class Listed:
    """What the checklists have: the sets, and the parallels of a set. No sets: there is no
    checklist, and all is meant as it is typed."""

    sets: Sequence[str]
    parallels: Callable[[str], Iterable[str]]


def read_request(text: str, listed: Listed, scale: Scale) -> Divider:
    """The divider that is asked for. Raises UsageError where something is unknown or fits more than
    one, with all of them named."""
    words = fold(" ".join(text.split()))
    # The whole request only, so that `set=The End` is a set.
    if kind := _BLANK.get(words) or _SHORT.get(words):
        return Divider(kind=kind)
    parts = _FIELD.split(text)
    # Text before the first field is refused and not guessed to be the set: a divider speaks for
    # hundreds of cards.
    if parts[0].strip() or len(parts) == 1:
        unclear = printable(parts[0].strip() or text, 40)
        raise UsageError(
            f"'{unclear}' is not a field of a divider. Type set=…, parallel=…, condition=… or "
            "at=…, or one of: " + ", ".join(_BLANK.values()) + "."
        )
    said = {
        "place" if name.lower() == "at" else name.lower(): " ".join(value.split())
        for name, value in zip(parts[1::2], parts[2::2], strict=True)
    }
    return made_exact(said, listed, scale)


def made_exact(said: Mapping[str, str], listed: Listed, scale: Scale) -> Divider:
    """The divider with these fields, each by its whole name. Raises UsageError."""
    name, parallel, condition, place = (printable(said.get(one, ""), LONGEST) for one in FIELDS)
    given = Divider(name, parallel, condition, place)
    exact = replace(
        given,
        set=_set(given.set, listed),
        condition=_condition(given.condition, scale),
    )
    # After the set: which parallels there are hangs on that.
    exact = replace(exact, parallel=_parallel(exact, listed))
    if not exact.words:
        raise UsageError("A divider needs a set, a parallel, a condition or a place.")
    # In bytes, as the code holds them: a name in kanji has three a character.
    if (long := len(payload_text(exact, "F").encode())) > LONGEST:
        raise UsageError(
            f"The divider {exact.title} is too long for its code ({long} of {LONGEST} "
            "characters); shorten its place."
        )
    return exact


def _set(typed: str, listed: Listed) -> str:
    if not typed or not listed.sets:
        return typed
    return _one(typed, listed.sets, "set", "the checklists have", has_parts)


def _parallel(divider: Divider, listed: Listed) -> str:
    typed = divider.parallel
    if not typed:
        return ""
    if is_base(typed):
        return BASE
    if not listed.sets:
        return typed
    sets, where = listed.sets, "the checklists have"
    if divider.set:
        sets, where = [divider.set], f"{divider.set} has"
    return _one(typed, _parallels_of(sets, listed), "parallel", where, _has_words)


def _parallels_of(sets: Sequence[str], listed: Listed) -> list[str]:
    """The parallels of some sets, each once."""
    known = dict.fromkeys(name for one in sets for name in listed.parallels(one))
    return [name for name in known if not is_base(name)]


def _condition(typed: str, scale: Scale) -> str:
    if not typed:
        return ""
    words = fold(typed).split()
    # `near mint` before `mint`, but only where all words are of it: what is left over is not of a
    # condition.
    several = scale.read_several(words)
    if several is not None and several[1] == len(words):
        return several[0]
    one = scale.read("".join(words))
    if one is None:
        known = ", ".join(step.name for step in scale.steps)
        raise UsageError(f"Unknown condition '{printable(typed, 40)}'. Use one of: {known}.")
    return one.name


def _one(
    typed: str, known: Sequence[str], what: str, where: str, fits: Callable[[str, str], bool]
) -> str:
    """The one name that is meant: a whole one goes before those that what is typed fits."""
    # Else `Gold` would be asked about wherever a `Gold Foil` is listed.
    near = [name for name in known if fold(name) == fold(typed)] or [
        name for name in known if fits(name, typed)
    ]
    if len(near) == 1:
        return near[0]
    shown = printable(typed, 60)
    named = ", ".join(printable(name, 60) for name in (near or known)[:MOST_NAMED])
    if near:
        raise UsageError(f"'{shown}' fits {len(near)} {what}s: {named}. Type more of the name.")
    raise UsageError(f"Unknown {what} '{shown}'; {where}: {named or f'no {what}'}.")


def _has_words(name: str, typed: str) -> bool:
    """Whether each typed word begins a word of the name."""
    words = fold(name).split()
    return all(any(word.startswith(one) for word in words) for one in fold(typed).split())
