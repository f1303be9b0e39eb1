"""The panel beside the cards: what Enter would do, the other readings, what is carried. It is laid
out by blocks: each has its forms, from the full one to the least, and what is worth least gives way
first (greedy degradation by priority). No rule lives here."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import IntEnum

from rich.style import Style
from rich.text import Text

from tagger.core.matching.candidate import Candidate
from tagger.core.model.series import series_of
from tagger.core.model.tags import BASE, State, Tags
from tagger.core.model.text import printable
from tagger.core.session.proposal import Deed, Proposal
from tagger.core.session.recognition import THE_SCAN
from tagger.core.session.session import Session
from tagger.ui import theme
from tagger.ui.desk import big_digits
from tagger.ui.keys import Action, Keymap
from tagger.ui.wording import cut, joined, spread, wrapped

HINT = " number, name, parallel, 12/99, condition – in any order"
Lines = Sequence[Text]


class Worth(IntEnum):
    """What a block is worth where not all fit: the least gives way first."""

    CARRIED = 1  # the dealer set it, and knows it
    NUMBER = 2  # the large figures say once more what the name's line says
    ALWAYS = 3


@dataclass(frozen=True, slots=True)
class Block:
    """Lines that stand together, in their forms; the last form is the least that is shown."""

    forms: tuple[Lines, ...]
    worth: Worth = Worth.ALWAYS


def fit(blocks: Sequence[Block], height: int) -> list[Lines]:
    """The form of each block with which all fit into so many lines, each as full as can be; the
    least of all where they never do."""
    form = [0] * len(blocks)

    def over() -> bool:
        return sum(len(block.forms[at]) for block, at in zip(blocks, form, strict=True)) > height

    for place in sorted(range(len(blocks)), key=lambda place: blocks[place].worth):
        while over() and form[place] < len(blocks[place].forms) - 1:
            form[place] += 1
    return [block.forms[at] for block, at in zip(blocks, form, strict=True)]


def panel(
    session: Session, proposal: Proposal, keys: Keymap, width: int, height: int
) -> list[Text]:
    """What Enter would do, the other readings, and what is carried."""
    card = session.view.card
    tagged = None
    if card is not None and card.mark.state is State.TAGGED:
        tagged = card.mark.tags
    blocks = [*_deed(proposal, tagged, keys, width), _carried(session, width)]
    *deed, carried = fit(blocks, height)
    lines = [line for block in deed for line in block]
    # Other readings take what is left: they are asked for by a key, and come by one.
    others = _others(proposal, width, height - len(lines) - len(carried) - 1)
    return [*lines, *others, *carried][:height]


def _deed(proposal: Proposal, tagged: Tags | None, keys: Keymap, width: int) -> list[Block]:
    """What Enter does, and to what. `tagged`: what the card in front is tagged as."""
    candidate = proposal.candidate
    style = theme.RUST if proposal.deed is Deed.REFUSE else theme.BRASS
    head = Text(f"{keys.shown(Action.TAKE)} {proposal.deed}", style)
    if tagged is not None and proposal.deed in (Deed.KEEP, Deed.CHANGE):
        return _own_card(proposal, tagged, head, width)
    if candidate is not None:
        return [
            _title(proposal, candidate, head, width),
            _number(proposal, candidate, width),
            _name(candidate.tags, width),
            _variant(candidate),
            _warnings(proposal, width),
            _where(proposal, candidate),
            _problem(candidate, width),
        ]
    if proposal.deed is Deed.KEEP:
        head.append(" the card as it is")
        why = wrapped(proposal.why, width, theme.BRIGHT)
        return [Block(([head],)), _gap(), Block((why,)), _warnings(proposal, width)]
    return [Block(([head],)), _gap(), Block((wrapped(proposal.why, width, theme.PLAIN),))]


def _own_card(proposal: Proposal, tags: Tags, head: Text, width: int) -> list[Block]:
    """The card as it is tagged, and what would change of it."""
    head.append(" this card" if proposal.deed is Deed.CHANGE else " it as it is")
    as_it_is = Candidate(tags, 1.0)
    lines = [_line(f"{field}: {was} → {new}", theme.BRASS) for field, was, new in proposal.changes]
    return [
        Block(([head],)),
        _number(proposal, as_it_is, width),
        _name(tags, width),
        _variant(as_it_is),
        Block(
            ([line for one in lines for line in wrapped(one.plain.strip(), width, theme.BRASS)],)
        ),
        _warnings(proposal, width),
        _where(proposal, as_it_is, place=True),
    ]


def _below_title(second: Lines, large: Lines) -> Block:
    """The line below the title and the large figures: first the line goes, then the figures, and
    then it is there again."""
    return Block(([*second, *large], large, second), Worth.NUMBER)


def _gap() -> Block:
    return _below_title([Text()], [])


def _title(proposal: Proposal, candidate: Candidate, head: Text, width: int) -> Block:
    if proposal.deed is not Deed.WAIT:
        head = spread(head, _sureness(candidate), width)
    return Block(([head],))


def _sureness(candidate: Candidate) -> Text:
    """How sure the reading is; by what it was found, where nothing was typed."""
    # Nothing was typed: it is what comes next, or what the scan looks like, and so it is called.
    if not candidate.reasons:
        return Text("likely next ", theme.SEA)
    word, meaning = candidate.reasons[0]
    if word == THE_SCAN:
        return Text(f"{printable(meaning)} ", theme.SEA)
    if candidate.sure:
        return Text("sure ", theme.SEA)
    return Text(f"unsure {candidate.confidence:.0%} ", theme.RUST)


def _number(proposal: Proposal, candidate: Candidate, width: int) -> Block:
    rows = big_digits.large(candidate.tags.number, width - 2)
    large = [Text(f" {row}", theme.BRIGHT) for row in rows]
    if proposal.deed is Deed.WAIT:
        return _below_title([_line(proposal.why, theme.RUST)], large)
    return _below_title([Text()], large)


def _name(tags: Tags, width: int) -> Block:
    # In capitals: it is read from a chair's distance, like the figures.
    number = f"#{tags.number}" if tags.number else ""
    return Block((wrapped(joined(number, tags.subject.upper()), width, theme.BRIGHT),))


def _variant(candidate: Candidate) -> Block:
    tags, told = candidate.tags, candidate.tags.parallel_name
    # Without a number the print run stands there: it is asked for on the card itself.
    if candidate.run is not None:
        told += f" {tags.serial or f'/{candidate.run}'}"
    elif tags.serial:
        told += f" {tags.serial}"
    line = _line(told, theme.BRIGHT if tags.parallel else theme.PLAIN)
    condition = tags.condition or "no condition"
    line.append(f" · {condition}", theme.PLAIN if tags.condition else theme.DIM)
    return Block(([line],))


def _warnings(proposal: Proposal, width: int) -> Block:
    return Block(([line for one in proposal.warnings for line in wrapped(one, width, theme.RUST)],))


def _where(proposal: Proposal, candidate: Candidate, place: bool = False) -> Block:
    """Set, team and note, the place where that is asked for, and what else there is to say."""
    tags = candidate.tags
    said = tags.set, series_of(tags.extra), "" if tags.listed else "unlisted"
    lines = [_line(joined(*said, between=" · "), theme.PLAIN)]
    if tags.team:
        lines.append(_line(tags.team, theme.DIM))
    if place and tags.place:
        lines.append(_line(f"place: {tags.place}", theme.PLAIN))
    if tags.note:
        lines.append(_line(f"note: {tags.note}", theme.DIM))
    if proposal.note:
        lines.append(_line(proposal.note, theme.PLAIN))
    return Block((lines,))


def _problem(candidate: Candidate, width: int) -> Block:
    # What keeps Enter from taking it is all that counts; only then what is still missing.
    if candidate.problem:
        return Block((wrapped(f"{candidate.problem}.", width, theme.RUST),))
    if candidate.run is not None and not candidate.tags.serial:
        said = f"serial number not typed (12/{candidate.run})"
        return Block(([_line(said, theme.RUST)],))
    return Block(([],))


def _line(text: str, style: Style) -> Text:
    return Text(f" {printable(text)}", style)


def _others(proposal: Proposal, width: int, room: int) -> list[Text]:
    """The readings of the hint, so many lines with the gap before them at most, the chosen one in
    view; nothing where there is no other one."""
    if proposal.candidate is None or len(proposal.candidates) < 2 or room < 2:
        return []
    chosen = proposal.candidate.tags
    # One more is seen below the chosen one: the key goes on to something.
    last = len(proposal.candidates) - room + 1
    first = max(0, min(proposal.choice - room + 3, last))
    shown = enumerate(proposal.candidates[first : first + room - 1], start=first)
    readings = [_reading(one, chosen, at == proposal.choice, width) for at, one in shown]
    return [Text(), Text("or", theme.BRASS), *readings]


def _reading(candidate: Candidate, chosen: Tags, meant: bool, width: int) -> Text:
    tags = candidate.tags
    number = f"#{tags.number}" if tags.number else "–"
    mark, weak, strong = "  ", theme.DIM, theme.PLAIN
    if meant:
        mark, weak, strong = "▸ ", theme.BRIGHT, theme.BRIGHT
    line = Text(mark, theme.BRASS)
    line.append(f"{printable(number, 10):<6}", weak)
    line.append(f" {printable(tags.subject, 40)}", strong)
    # the plain card of no list needs no word but that
    if tags.listed or tags.variant != BASE:
        line.append(f" {printable(tags.variant, 24)}", theme.DIM)
    if not tags.listed:
        line.append(" unlisted", theme.RUST)
    # So is a series: cards of one number differ by it.
    if series := series_of(tags.extra):
        line.append(f" {printable(series, 24)}", theme.SEA)
    # A set that differs is what tells two readings apart; the same one would only fill the line.
    if tags.set != chosen.set:
        line.append(f" · {printable(tags.set, 40)}", theme.SEA)
    return cut(line, width - 1)


def _carried(session: Session, width: int) -> Block:
    """What is carried: a line each, or in as few lines as it takes."""
    stretch = session.view.cursor.carried.stretch
    head = "for the next cards"
    if stretch:
        head = f"for the next {stretch.left} cards" if stretch.left > 1 else "for the next card"
    pairs = [
        Text(f" {name} ", theme.DIM).append(printable(value), theme.SEA)
        for name, value in session.view.cursor.carried.pairs
    ]
    full, brief = _a_line_each(head, pairs, width), _briefly(head, pairs, width)
    gap = Text()
    return Block(([gap, *full], [gap, *brief], brief), Worth.CARRIED)


def _a_line_each(head: str, pairs: Sequence[Text], width: int) -> Lines:
    shown = pairs or [Text(" nothing yet", theme.DIM)]
    return [Text(head, theme.BRASS), *(cut(line.copy(), width - 1) for line in shown)]


def _briefly(head: str, pairs: Sequence[Text], width: int) -> Lines:
    lines = [Text(head, theme.BRASS)]
    for pair in pairs:
        if lines[-1].cell_len + pair.cell_len + 2 > width:
            lines.append(Text())
        elif pair is not pairs[0]:
            lines[-1].append(" ·", theme.DIM)
        lines[-1].append_text(pair)
    if not pairs:
        lines[-1].append(" nothing yet", theme.DIM)
    return [cut(line, width - 1) for line in lines]
