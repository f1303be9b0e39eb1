"""The values of a table that came back, as the lot keeps them: checked, and put into a card's mark.

What is wrong with one is a ValueError, whose text is the end of a sentence."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from tagger.core.model.column_names import PRICE
from tagger.core.model.copies import of_another_run
from tagger.core.model.money import TAKEN_OFF, is_price_column, not_a_price, price_column
from tagger.core.model.numbers import parse_serial
from tagger.core.model.suggestions import meant
from tagger.core.model.tags import Mark, State, Tags, is_base, kept_parallel
from tagger.core.model.text import fold, printable
from tagger.core.model.trade import STATES
from tagger.exchange.spreadsheet_coercion import is_date

if TYPE_CHECKING:
    from tagger.core.lot.fields import Field
    from tagger.core.model.condition import Scale
    from tagger.core.model.tags import Row

LONGEST = 4000  # characters of a value
_KIND = ("set", "number", "subject", "parallel")  # what a card is by its checklist


@dataclass(frozen=True)
class ValueRules:
    """What values are held against: the scale of conditions, what gives a card's row of the
    checklists, None where they do not have it, and what gives its mark as an export shows it, with
    the price that its list has now."""

    scale: Scale
    listed_row: Callable[[Tags], Row | None]
    priced: Callable[[Mark], Mark] = lambda mark: mark


def changed_mark(mark: Mark, given: Sequence[tuple[Field, str]], rules: ValueRules) -> Mark:
    """The mark with the values that were given. Raises ValueError with what is wrong."""
    if not given:
        return mark
    texts, further = _by_kind(given, rules)
    wanted = texts.pop("state", "")
    reason, texts = _parted_note(mark, texts)
    if wanted:
        _check_plain(mark)
    tags = replace(mark.tags, **texts)  # type: ignore[arg-type]
    state = _state(mark.state, wanted, bool(tags.number or tags.subject))
    if wanted and state is not State.SET_ASIDE:
        reason = ""
    # What a card is was changed, so a checklist may have it now, or no more.
    if any(name in texts for name in _KIND):
        tags = _as_listed(mark.tags, tags, texts, rules)
    elif "serial" in texts and tags.listed:
        _check_run(tags, rules.listed_row(tags))
    shown = rules.priced(replace(mark, tags=tags)).tags
    tags = replace(tags, extra=_extra(tags, shown, further))
    return replace(mark, state=state, tags=tags, reason=reason)


def _check_plain(mark: Mark) -> None:
    """Raises ValueError where a card was sold, listed or so, which a table does not change."""
    if mark.standing != mark.state:
        raise ValueError(
            f"the card is marked as {mark.standing}; use `tagger sold` to change that, and leave "
            "the state unchanged here"
        )


def _as_listed(before: Tags, tags: Tags, texts: Mapping[str, str], rules: ValueRules) -> Tags:
    """The tags, with these texts put into them, as the card's row has them: its set, number and
    name are spelled as there; of another row it has the further columns, the price among them, and
    the team unless that was given. Raises ValueError where it has a serial number of another print
    run."""
    row, was = _row_meant(tags, texts, rules), rules.listed_row(before)
    if row is None:
        # what was said of another card is not true of this one
        return replace(tags, listed=False, extra=tags.extra if was is None else ())
    tags = _spelled_as(row, tags, texts, is_another=row != was)
    parallel = row.parallel(tags.parallel)
    if parallel is None:
        return replace(tags, listed=False)
    tags = replace(tags, parallel=kept_parallel(parallel.name))
    # who made it a card of its own, beside the list, has said that the list does not have it
    if not before.listed and of_another_run(tags.serial, parallel):
        return replace(tags, listed=False)
    _check_run(tags, row)
    return replace(tags, listed=True)


def _spelled_as(row: Row, tags: Tags, texts: Mapping[str, str], is_another: bool) -> Tags:
    """Tags in the words of their row; of another one than before with all that it says."""
    named = {"set": row.set, "number": row.number, "subject": row.subject}
    if not is_another:
        return tags.saying({name: text for name, text in named.items() if name in texts})
    team = tags.team if "team" in texts else row.team or tags.team
    return replace(tags.saying(named), team=team, extra=row.extra)


def _row_meant(tags: Tags, texts: Mapping[str, str], rules: ValueRules) -> Row | None:
    """A card's row of the checklists, None where they do not have it. Where only its set was put
    right, its number stands for it there: the name may have come from the wrong set's list."""
    row = rules.listed_row(tags)
    if row is None and "set" in texts and "subject" not in texts:
        return rules.listed_row(replace(tags, subject=""))
    return row


def _check_run(tags: Tags, row: Row | None) -> None:
    """Raises ValueError where no card of this row and parallel has the serial number."""
    parallel = None if row is None else row.parallel(tags.parallel)
    if parallel is None or not of_another_run(tags.serial, parallel):
        return
    what = f"{printable(tags.parallel_name, 60)} of this card is "
    what += "not numbered" if parallel.run is None else f"numbered to {parallel.run}"
    raise ValueError(
        f"{what} in the checklist, and the serial number is '{printable(tags.serial, 60)}'; "
        "correct one of the two"
    )


def _by_kind(
    given: Sequence[tuple[Field, str]], rules: ValueRules
) -> tuple[dict[str, str], list[tuple[Field, str]]]:
    """(the card's own values by name, those of further columns), checked. Raises ValueError."""
    texts: dict[str, str] = {}
    further: list[tuple[Field, str]] = []
    for field, value in given:
        _check_text(field, value)
        if field.own:
            texts[PRICE] = _checked(PRICE, value, rules)
        # an emptied price is the list's as well: what the table shows is what the card costs
        if field.source and not (field.own and value):
            further.append((field, value))
        if not field.source:
            texts[field.name] = _checked(field.name, value, rules)
    return texts, further


def _extra(
    tags: Tags, shown: Tags, further: Sequence[tuple[Field, str]]
) -> tuple[tuple[str, str], ...]:
    """The further columns of a card, which is `shown` with the price that its list has now. Raises
    ValueError where one is its price and has none."""
    # A price is that of the parallel which the row says now.
    said = {field.column(shown): value for field, value in further}
    # the list is asked for its price each time, so that it is kept that this one was taken off
    said |= {name: TAKEN_OFF for name in said if is_price_column(name) and not said[name]}
    extra = dict(tags.extra) | said
    column = price_column(tuple(extra.items()), tags.parallel)
    if column in said and (why := not_a_price(extra[column].strip())):
        raise ValueError(why)
    # An empty cell takes the checklist's value away, as if the list had none.
    return tuple(pair for pair in extra.items() if pair[1])


def _parted_note(mark: Mark, texts: dict[str, str]) -> tuple[str, dict[str, str]]:
    """(the reason, the texts) of a card; a table has the reason and the note of one that is set
    aside as one text."""
    if "note" not in texts or mark.state is not State.SET_ASIDE:
        return mark.reason, texts
    reason, note = _split_note(mark.reason, texts["note"])
    return reason, {**texts, "note": note}


def _check_text(field: Field, value: str) -> None:
    if len(value) > LONGEST or not value.isprintable():
        raise ValueError(
            f"{field.name} is too long, or has a character that cannot be shown; type it again"
        )


def _state(before: State, wanted: str, named: bool) -> State:
    """The state of a card that has a number or a subject, or has not. Raises ValueError where it
    cannot be."""
    state = State(wanted) if wanted else before
    # Whoever fills in a card need not know of the state's column, too.
    if not wanted and before is State.UNTAGGED and named:
        return State.TAGGED
    _check_state(before, state, named)
    return state


def _check_state(before: State, state: State, named: bool) -> None:
    # One mistake in a column would empty many cards, and no table says which were meant.
    if state is State.UNTAGGED:
        raise ValueError(_UNTAGGED if before is State.UNTAGGED else _REMOVED)
    if state is State.TAGGED and not named:
        raise ValueError("a tagged card needs a number or a subject; fill one in")


_UNTAGGED = "the card is untagged; give it a number or a subject, or leave the row unchanged"
_REMOVED = (
    "a table cannot remove a card's tags; do it in tagger, and leave the state unchanged here"
)


def _checked(name: str, value: str, rules: ValueRules) -> str:
    """A value as the lot keeps it. Raises ValueError where it can be none."""
    check = _CHECKS.get(name)
    # An empty cell takes a value away; only a card without a state there is not.
    if check is None or (not value and name != "state"):
        return value
    return check(value, rules)


def _number(value: str, rules: ValueRules) -> str:
    if is_date(value):
        raise ValueError(
            f"the number '{printable(value, 60)}' is a date; format the column as text in "
            "the spreadsheet and type it again"
        )
    return value


def _parallel(value: str, rules: ValueRules) -> str:
    if is_base(value):
        return ""
    return value


def _condition(value: str, rules: ValueRules) -> str:
    read = rules.scale.read(fold(value))
    if read is None:
        names = [*(step.name for step in rules.scale.steps), "no other"]
        near = meant(value, names).rstrip(".?")
        raise ValueError(f"unknown condition '{printable(value, 60)}'{near}")
    return read[0]


def _serial(value: str, rules: ValueRules) -> str:
    number, run = parse_serial(value) or (None, None)
    if number is None or run is None:
        raise ValueError(
            f"'{printable(value, 60)}' is not a serial number; write it as on the card, such as "
            "12/99"
        )
    if not 0 < number <= run:
        raise ValueError(
            f"the serial number '{printable(value, 60)}' is higher than its print run, or 0; "
            "check the card"
        )
    return value


def _price(value: str, rules: ValueRules) -> str:
    if why := not_a_price(value):
        raise ValueError(why)
    return value


def _state_name(value: str, rules: ValueRules) -> str:
    if fold(value) in STATES:
        raise ValueError(
            f"a table cannot mark a card as {fold(value)}; use `tagger sold`, and leave the state "
            "unchanged here"
        )
    if fold(value) not in tuple(State):
        near = meant(value, tuple(State)).rstrip(".?")
        raise ValueError(f"unknown state '{printable(value, 60)}'{near}")
    return fold(value)


_CHECKS: Mapping[str, Callable[[str, ValueRules], str]] = {
    "number": _number,
    "parallel": _parallel,
    "condition": _condition,
    "serial": _serial,
    PRICE: _price,
    "state": _state_name,
}


def _split_note(reason: str, text: str) -> tuple[str, str]:
    """(reason, note) of what a table has as the note of a card that was set aside: the reason comes
    first."""
    if text == reason or text.startswith(f"{reason}; "):
        return reason, text[len(reason) + 2 :]
    # The reason was edited, too: it is as many parts of the text as it was before.
    parts = text.split("; ")
    count = reason.count("; ") + 1 if reason else 0
    return "; ".join(parts[:count]), "; ".join(parts[count:])
