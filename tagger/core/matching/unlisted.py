"""A hint taken as a card of its own, for cards that no checklist has."""

from __future__ import annotations

from tagger.core.lot.carried import Carried
from tagger.core.matching.hint import Hint
from tagger.core.model.condition import Scale
from tagger.core.model.numbers import parse_serial
from tagger.core.model.tags import Tags, kept_parallel
from tagger.errors import Refused


def unlisted_tags(hint: Hint, carried: Carried, scale: Scale) -> Tags:
    """Tags as the hint spells them, in the carried set: one number, one serial number, one
    condition, `p=` for the parallel; every other word belongs to the subject.

    Raises Refused where the hint names neither a number nor a subject, or a serial number above its
    print run."""
    number, serial, team = "", "", ""
    condition, parallel, set_name = (
        carried.get("condition"),
        carried.get("parallel"),
        carried.get("set"),
    )
    subject: list[str] = []
    pinned: dict[str, list[str]] = {"parallel": [], "team": [], "set": []}
    for before, token in zip((None, *hint.tokens), hint.tokens, strict=False):
        if before is not None and before.pin and before.raw == token.raw:
            continue  # the second word of `s=harbor_light`
        raw = (
            token.raw.partition("=")[2] if token.pin and "=" in token.raw else token.raw.lstrip("#")
        )
        said = parse_serial(token.text)
        graded = scale.read(token.text)
        if token.pin in pinned:
            pinned[token.pin].extend(raw.replace("_", " ").split())
        elif token.pin == "serial" or (not token.pin and said):
            serial = _serial(token.text, said)
        elif token.pin == "condition" or (not token.pin and graded and graded[1]):
            condition = graded[0] if graded else raw
        elif token.pin == "number" or (
            not token.pin and not number and any(c.isdigit() for c in token.text)
        ):
            number = raw
        elif token.pin == "subject":
            subject.extend(raw.replace("_", " ").split())
        else:
            subject.append(raw)
    if pinned["parallel"]:
        parallel = _spelled(pinned["parallel"])
    elif any(token.pin == "parallel" for token in hint.tokens):
        parallel = ""
    team, set_name = _spelled(pinned["team"]) or team, _spelled(pinned["set"]) or set_name
    if not number and not subject:
        raise Refused("Type at least a number or a name for a card that is not in the checklist.")
    return Tags(
        set_name, number, _spelled(subject), team, kept_parallel(parallel),
        serial, condition,
        carried.get("place") if hint.place is None else hint.place,
        carried.get("note") if hint.note is None else hint.note,
        listed=False,
    )  # fmt: skip


def _spelled(parts: list[str]) -> str:
    """Words as a name: those typed all in small letters get a capital."""
    return " ".join(part[:1].upper() + part[1:] if part.islower() else part for part in parts)


def _serial(text: str, said: tuple[int | None, int | None] | None) -> str:
    if said and said[0] is not None and said[1] is not None and not 0 < said[0] <= said[1]:
        raise Refused(
            f"Not taken: {said[0]} is above the print run of {said[1]}."
            if said[0]
            else "Not taken: there is no number 0."
        )
    return text if said is None or said[0] is not None else ""
