"""The desk in words: what each line says, from the facts of the session. No rule lives here."""

from __future__ import annotations

from collections.abc import Sequence

from rich.cells import cell_len
from rich.text import Text

from tagger.core.matching.candidate import Candidate
from tagger.core.model.arrangement import Card
from tagger.core.model.tags import State, Tags
from tagger.core.model.text import printable
from tagger.core.session.proposal import Deed, Proposal
from tagger.core.session.recognition import THE_SCAN
from tagger.core.session.session import Session
from tagger.ui import theme
from tagger.ui.desk import big_digits
from tagger.ui.hint_line import HintLine
from tagger.ui.keys import COMMANDS, Keymap, key_name
from tagger.ui.wording import wrapped


def status(session: Session, lot: str, width: int, findings: str = "") -> Text:
    """The top line: lot, position, progress, what the feeder got wrong, pace."""
    counts = session.counts()
    place = (
        "end of the lot" if session.at_end else f"card {session.desk.position} of {counts.cards}"
    )
    done = f"{counts.tagged} tagged"
    if counts.set_aside:
        done += f" · {counts.set_aside} set aside"
    found = f" · {findings} " if findings else ""
    pace = ""
    per_minute = session.pace.per_minute()
    if per_minute is not None:
        pace = f"{per_minute:.1f} a minute"
        left = ""
        if counts.untagged:
            left = f" · {max(1, round(session.pace.minutes_left(counts.untagged) or 0))} min left"
        keys = session.sitting().keys_a_card()
        told = f" · {keys:.1f} keys a card" if keys is not None else ""
        needed = (
            len(place)
            + len(done)
            + len(found)
            + len(pace + told + left)
            + 12
            + min(len(lot), 24)
            + 6
        )
        pace += f"{told if needed <= width else ''}{left}"
    fixed = len(place) + len(done) + len(found) + len(pace) + (26 if session.looking else 12)
    bar = max(0, min(24, width - fixed - min(len(lot), 24)))
    name = printable(lot, max(8, width - fixed - bar))
    line = (
        Text()
        .append(" LOOKING ONLY " if session.looking else "", theme.WARN)
        .append(f" {name}  ", theme.BAR_DIM)
    )
    line.append(place, theme.BAR_BRIGHT)
    line.append(
        " " + _bar(counts.tagged + counts.set_aside, counts.cards, bar) + " ", theme.BAR_DIM
    )
    line.append(done, theme.BAR).append(found, theme.BAR_BRIGHT)
    return spread(line, Text(f"{pace} ", theme.BAR_DIM), width)


def _bar(done: int, total: int, width: int) -> str:
    if width < 4:
        return ""
    full = round(done / total * width) if total else 0
    return "━" * full + "┄" * (width - full)


def spread(left: Text, right: Text, width: int) -> Text:
    room = width - left.cell_len - right.cell_len
    if room < 1:
        return left
    return left.append(" " * room).append_text(right)


def panel(
    session: Session, proposal: Proposal, keys: Keymap, width: int, height: int
) -> list[Text]:
    """What Enter would do, the other readings, and what is carried."""
    carried = [Text(), *_carried(session, width)]
    lines = _deed(proposal, keys, width)
    if len(lines) + len(carried) > height:
        carried = _carried_briefly(session, width)
        lines, carried = _spaced(lines, carried, height)
    if len(lines) + len(carried) > height:
        lines = _deed(proposal, keys, width, large=False)
    others = _others(proposal, width, max(0, height - len(lines) - len(carried) - 1))
    if others:
        lines += [Text(), *others]
    return [*lines, *carried][:height]


def _spaced(lines: list[Text], carried: list[Text], height: int) -> tuple[list[Text], list[Text]]:
    """With an empty line before what is carried, and the one below the first line, as far as there
    is room."""
    if len(lines) + len(carried) < height:
        return lines, [Text(), *carried]
    return (lines if len(lines) + len(carried) == height else [lines[0], *lines[2:]]), carried


def _deed(proposal: Proposal, keys: Keymap, width: int, large: bool = True) -> list[Text]:
    candidate = proposal.candidate
    style = theme.RUST if proposal.deed is Deed.REFUSE else theme.BRASS
    head = Text(f"{keys.shown('take')} {proposal.deed}", style)
    warned = [line for one in proposal.warnings for line in wrapped(one, width, theme.RUST)]
    if candidate is None:
        if proposal.deed is Deed.KEEP:
            why = wrapped(proposal.why, width, theme.BRIGHT)
            return [head.append(" this card's tags and goes on"), Text(), *why, *warned]
        return [head, Text(), *wrapped(proposal.why, width, theme.PLAIN)]
    sure = (
        Text("sure ", theme.SEA)
        if candidate.sure
        else Text(f"unsure {candidate.confidence:.0%} ", theme.RUST)
    )
    if not candidate.reasons:
        sure = Text("likely next ", theme.SEA)
    elif candidate.reasons[0][0] == THE_SCAN:
        sure = Text(f"{printable(candidate.reasons[0][1])} ", theme.SEA)
    if proposal.deed is Deed.WAIT:
        lines = [head, _said(proposal.why, theme.RUST)]
    else:
        lines = [spread(head, sure, width), Text()]
    tags = candidate.tags
    if large:
        lines += [Text(f" {row}", theme.BRIGHT) for row in big_digits.large(tags.number, width - 2)]
    lines += wrapped(
        " ".join(
            part
            for part in (f"#{tags.number}" if tags.number else "", tags.subject.upper())
            if part
        ),
        width,
        theme.BRIGHT,
    )
    variant = tags.parallel_name
    if candidate.run is not None:
        variant += f" {tags.serial or f'/{candidate.run}'}"
    lines.append(
        _said(variant, theme.BRIGHT if tags.parallel else theme.PLAIN).append(
            f" · {tags.condition or 'no condition'}", theme.PLAIN if tags.condition else theme.DIM
        )
    )
    lines += warned
    lines.append(_said(tags.set, theme.PLAIN))
    if tags.team:
        lines.append(_said(tags.team, theme.DIM))
    if tags.note:
        lines.append(_said(f"note: {tags.note}", theme.DIM))
    if proposal.note:
        lines.append(_said(proposal.note, theme.PLAIN))
    if candidate.problem:
        lines += wrapped(f"{candidate.problem}.", width, theme.RUST)
    elif candidate.run is not None and not tags.serial:
        lines.append(_said(f"serial number not typed (12/{candidate.run})", theme.RUST))
    return lines


def _said(text: str, style: object) -> Text:
    return Text(f" {printable(text)}", style)  # type: ignore[arg-type]


def _others(proposal: Proposal, width: int, room: int) -> list[Text]:
    if proposal.candidate is None or len(proposal.candidates) < 2 or room < 2:
        return []
    chosen = proposal.candidate.tags
    lines = [Text("or", theme.BRASS)]
    first = max(0, min(proposal.choice - room + 3, len(proposal.candidates) - room + 1))
    for index, candidate in enumerate(proposal.candidates[first : first + room - 1], start=first):
        lines.append(_reading(candidate, chosen, index == proposal.choice, width))
    return lines


def _reading(candidate: Candidate, chosen: Tags, meant: bool, width: int) -> Text:
    tags = candidate.tags
    number = f"#{tags.number}" if tags.number else "–"
    kind = tags.variant
    line = Text("▸ " if meant else "  ", theme.BRASS)
    line.append(f"{printable(number, 10):<6}", theme.BRIGHT if meant else theme.DIM)
    line.append(f" {printable(tags.subject, 40)}", theme.BRIGHT if meant else theme.PLAIN)
    line.append(f" {printable(kind, 24)}", theme.DIM)
    if tags.set != chosen.set:
        line.append(f" · {printable(tags.set, 40)}", theme.SEA)
    line.truncate(width - 1, overflow="ellipsis")
    return line


def _head_of_carried(session: Session) -> str:
    stretch = session.desk.carried.stretch
    return f"carried · {stretch.left} more" if stretch else "carried"


def _carried(session: Session, width: int) -> list[Text]:
    lines = [Text(_head_of_carried(session), theme.BRASS)]
    pairs = session.desk.carried.pairs
    for name, value in pairs:
        line = Text(f" {name} ", theme.DIM).append(printable(value), theme.SEA)
        line.truncate(width - 1, overflow="ellipsis")
        lines.append(line)
    if not pairs:
        lines.append(Text(" nothing yet", theme.DIM))
    return lines


def _carried_briefly(session: Session, width: int) -> list[Text]:
    """What is carried in as few lines as it takes."""
    lines = [Text(_head_of_carried(session), theme.BRASS)]
    pairs = session.desk.carried.pairs
    for name, value in pairs:
        part = Text(f" {name} ", theme.DIM).append(printable(value), theme.SEA)
        if lines[-1].cell_len + part.cell_len + 2 > width:
            lines.append(Text())
        elif len(lines) > 1 or lines[-1].cell_len > len(_head_of_carried(session)):
            lines[-1].append(" ·", theme.DIM)
        lines[-1].append_text(part)
    if not pairs:
        lines[-1].append(" nothing yet", theme.DIM)
    for line in lines:
        line.truncate(width - 1, overflow="ellipsis")
    return lines


def was_and_last(session: Session, keys: Keymap, width: int) -> Text:
    """What the card is tagged with now, and the last change with its way back."""
    card = session.card
    mark = card.mark if card is not None else None
    left = Text(" was: " if mark is not None else "", theme.DIM)
    if mark is not None:
        left.append(
            printable(mark.brief(), 60),
            theme.PLAIN if mark.state is not State.UNTAGGED else theme.DIM,
        )
    change = session.last_change()
    right = Text()
    if change:
        undo = f" · {keys.shown('undo')} undoes "
        right = Text("last: ", theme.DIM).append(
            printable(change, max(12, width - left.cell_len - len(undo) - 10)), theme.PLAIN
        )
        right.append(undo, theme.DIM)
    return spread(left, right, width)


HINT = " number, name, parallel, 12/99, condition – in any order"


def hint(line: HintLine, width: int, prompt: str = " ▸ ", empty: str = HINT) -> Text:
    """The typed line with its cursor; `empty` stands there as long as nothing is typed."""
    room = max(8, width - 2 - cell_len(prompt))
    start = max(0, line.cursor - room + 1)
    shown = line.text[start : start + room]
    at = line.cursor - start
    text = Text(prompt, theme.BAR_BRIGHT)
    text.append(shown[:at], theme.BAR)
    text.append(shown[at : at + 1] or " ", theme.CURSOR)
    text.append(shown[at + 1 :], theme.BAR)
    if not line.text:
        text.append(empty, theme.BAR_DIM)
    return text


def key_line(
    session: Session,
    proposal: Proposal,
    typed: str,
    keys: Keymap,
    width: int,
    among: Sequence[tuple[str, str]] = (),
) -> Text:
    """The keys that are useful now; `among` are those of a list that is gone through, with their
    words."""
    if among:
        return keys_among(among, keys, width)
    wanted = useful(session, proposal, typed)
    labels = {command.id: command.label for command in COMMANDS} | (
        {"take": "keep"} if proposal.deed is Deed.KEEP else {}
    )
    return keys_shown([(keys.shown(id), labels[id]) for id in wanted if keys.keys[id]], width)


def useful(session: Session, proposal: Proposal, typed: str) -> list[str]:
    """The commands that are useful now, by id, the most useful first; `typed` is the hint."""
    if session.at_end:
        wanted = ["previous_card", "next_untagged", "review", "undo", "help", "leave"]
    elif proposal.deed is Deed.KEEP:
        wanted = [
            "take",
            "previous_card",
            "next_untagged",
            "review",
            "clear",
            "undo",
            "help",
            "leave",
        ]
    elif typed:
        again = ["again"] if session.repeats(typed) else []
        wanted = ["take", *again, "reading_down", "unlisted", "carry", "set_aside", "drop", "help"]
    else:
        wanted = [
            "take",
            "again",
            "set_aside",
            "flip",
            "undo",
            "overview",
            "next_untagged",
            "loupe_side",
            "help",
            "leave",
        ]
    if proposal.deed in (Deed.NOTHING, Deed.REFUSE, Deed.WAIT):
        wanted = [id for id in wanted if id != "take"]
    return wanted


def keys_among(among: Sequence[tuple[str, str]], keys: Keymap, width: int) -> Text:
    """The keys of a list that is gone through: commands, or keys that mean this only there, with
    their words."""
    return keys_shown(
        [(keys.shown(id) if id in keys.keys else key_name(id), words) for id, words in among], width
    )


def keys_shown(wanted: Sequence[tuple[str, str]], width: int) -> Text:
    """Keys and their words: the first and the last two always, those between as far as there is
    room."""
    line = Text(" ", theme.DIM)
    length = {pair: cell_len(" ".join(pair)) + 3 for pair in wanted}
    kept = {wanted[0], *wanted[-2:]} if wanted else set()
    for pair in wanted:
        if sum(length[other] for other in kept | {pair}) <= width + 1:
            kept.add(pair)
    for key, words in (pair for pair in wanted if pair in kept):
        if line.cell_len > 1:
            line.append(" · ", theme.DIM)
        line.append(key, theme.BRASS).append(f" {words}", theme.DIM)
    return line


def shown_sides(card: Card | None) -> Sequence[tuple[str, str | None]]:
    """(side, scan name or None) for both sides of a card."""
    return (("front", card.front if card else None), ("back", card.back if card else None))
