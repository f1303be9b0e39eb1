"""A lot as one HTML page that needs nothing else: pictures, tags, counts, findings, how much of
each set is there.

By the HTML Living Standard. All that comes from files is escaped; and nothing but this page's own
style and script, by their digests, and pictures that lie in it can take effect (W3C, Content
Security Policy Level 3)."""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from html import escape

from tagger.core.audit.findings import Finding
from tagger.core.lot.fields import CardInLot, told_note
from tagger.core.model.money import price_text
from tagger.core.model.tags import State
from tagger.core.model.text import printable
from tagger.exchange.shown.chart import SetProgress, chart
from tagger.exchange.shown.page_look import SCRIPT, STYLE

CAUTIONS = (
    "A condition seen on a scan is an estimate and no professional grade.",
    "Size and centering measured on a scan are an estimate and no professional grade either.",
    "A price is what a checklist says of the card: an estimate and no offer.",
    "Check the card itself before you describe it.",
)
_LONGEST = 2000  # characters of one text
_TOLD = (
    ("Set", "set"), ("Number", "number"), ("Team", "team"), ("Parallel", "parallel"),
    ("Serial number", "serial"),
    ("Condition (estimate)", "condition"), ("Place", "place"),
)  # fmt: skip
Sides = dict[str, tuple[bytes, tuple[int, int]]]
"""By side, `front` and `back`: a JPEG file, and its width and height in pixels."""


@dataclass(frozen=True)
class LotSummary:
    """What a page says of a lot beside its cards. `findings` is None where they were not looked
    for."""

    lot: str
    cards: int
    tagged: int
    set_aside: int
    gone: int
    sets: Sequence[SetProgress] = ()
    findings: Sequence[Finding] | None = None


def write_page(
    told: LotSummary, cards: Iterable[tuple[CardInLot, Sides]], write: Callable[[bytes], object]
) -> None:
    """Write the page; cards are taken and written one by one, with their pictures."""

    def put(text: str) -> None:
        write(text.encode("utf-8"))

    put(_head(told))
    put(_counts(told) + _sets(told.sets))
    put(
        '<section aria-labelledby="cards"><h2 id="cards">Cards</h2>\n'
        '<form id="filter" role="search" hidden><p><label for="words">Show cards with these '
        "words</label><br>"
        '<input id="words" type="search" autocomplete="off"> <output id="said" '
        'for="words"></output></p></form>\n'
        '<ol class="cards">\n'
    )
    for card, sides in cards:
        put(_card(card, sides))
    put(f"</ol></section>\n{_findings(told)}</main>\n")
    items = "".join(f"<p>{_said(sentence)}</p>" for sentence in CAUTIONS)
    put(f"<footer>{items}</footer>\n<script>{SCRIPT}</script>\n</body>\n</html>\n")


def _said(text: str) -> str:
    return escape(printable(text, _LONGEST), quote=True)


def _digest(text: str) -> str:
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"


def _head(told: LotSummary) -> str:
    rules = (
        f"default-src 'none'; img-src data:; style-src {_digest(STYLE)}; script-src "
        f"{_digest(SCRIPT)}"
    )
    found = ""
    if told.findings is not None:
        found = f'<li><a href="#found">What the feeder got wrong ({len(told.findings)})</a></li>'
    sets = '<li><a href="#sets">Sets</a></li>' if told.sets else ""
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{rules}; base-uri \'none\'; '
        "form-action 'none'\">\n"
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n<meta '
        'name="referrer" '
        f'content="no-referrer">\n<title>{_said(told.lot)}: {_cards_in_words(told.cards)}</title>\n'
        f"<style>{STYLE}</style>\n</head>\n<body>\n"
        '<a class="skip" href="#cards">Skip to the '
        f"cards</a>\n<header><h1><bdi>{_said(told.lot)}</bdi></h1>\n"
        '<nav aria-label="On this page"><ul><li><a href="#counts">Counts</a></li>'
        f'{sets}<li><a href="#cards">Cards</a></li>{found}</ul></nav></header>\n<main>\n'
    )


def _counts(told: LotSummary) -> str:
    counts = (
        ("cards", told.cards),
        ("tagged", told.tagged),
        ("set aside", told.set_aside),
        ("untagged", told.cards - told.tagged - told.set_aside),
        ("sold or pulled", told.gone),
    )
    rows = "".join(f"<div><dt>{name}</dt><dd>{count}</dd></div>" for name, count in counts)
    return (
        '<section aria-labelledby="counts"><h2 id="counts">Counts</h2><dl '
        f'class="counts">{rows}</dl></section>\n'
    )


def _cards_in_words(count: int) -> str:
    return f"{count} card{'' if count == 1 else 's'}"


def _sets(sets: Sequence[SetProgress]) -> str:
    if not sets:
        return ""
    rows = "".join(
        f'<tr><th scope="row"><bdi>{_said(one.name or "no set")}</bdi></th><td '
        f'class="n">{one.copies}</td>'
        f'<td class="words">{_said(one.words)}</td></tr>'
        for one in sets
    )
    return (
        '<section aria-labelledby="sets"><h2 id="sets">How much of each set is here</h2>\n'
        f'<div class="both">{chart(sets)}<table><caption>{_COUNTED}</caption><thead><tr><th '
        'scope="col">Set</th>'
        '<th scope="col" class="n">Cards here</th><th scope="col">Base cards</th></tr></thead>'
        f"<tbody>{rows}</tbody></table></div></section>\n"
    )


_COUNTED = (
    "Base cards of the checklist that are here, each counted once; not those that were "
    "sold or pulled."
)


def _findings(told: LotSummary) -> str:
    if told.findings is None:
        return ""
    rows = "".join(
        "<tr><td "
        f'class="n">{_link(one.position, told.cards)}</td><td><b>{_said(str(one.kind))}</b>: '
        f"{_said(one.detail)}.</td><td>{_said(one.remedy)}</td></tr>"
        for one in told.findings
    )
    head = (
        '<th scope="col" class="n">Card</th><th scope="col">What was found</th><th '
        'scope="col">What to do</th>'
    )
    table = f"<table><thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table>"
    said = table if told.findings else "<p>Nothing was found wrong.</p>"
    return (
        '<section aria-labelledby="found"><h2 id="found">What the feeder got '
        f"wrong</h2>{said}</section>\n"
    )


def _link(position: int, cards: int) -> str:
    return f'<a href="#card-{position}">{position}</a>' if 1 <= position <= cards else ""


def _card(card: CardInLot, sides: Sides) -> str:
    mark, tags = card.mark, card.mark.tags
    name = " ".join(
        part for part in (f"#{tags.number}" if tags.number else "", tags.subject) if part
    )
    if mark.state is not State.TAGGED:
        name = str(mark.state)
    pictures = "".join(
        _picture(side, card.position, name, *sides[side])
        if side in sides
        else f'<p class="none">no {side}</p>'
        for side in ("front", "back")
    )
    price, _ = price_text(tags.extra, tags.parallel)
    told = [(label, getattr(tags, key)) for label, key in _TOLD]
    if mark.state is State.TAGGED:
        told = [
            (label, tags.parallel_name) if label == "Parallel" else (label, value)
            for label, value in told
        ]
    told += [("Price (estimate)", price), ("Note", told_note(mark)), ("Left", mark.gone)]
    told += [("Checklist", "" if tags.listed else "in none")]
    items = "".join(f"<dt>{label}</dt><dd>{_said(value)}</dd>" for label, value in told if value)
    return (
        f'<li id="card-{card.position}"><h3>Card {card.position}: <bdi>{_said(name)}</bdi></h3>'
        f'<div class="sides">{pictures}</div>{f"<dl>{items}</dl>" if items else ""}</li>\n'
    )


def _picture(side: str, position: int, name: str, data: bytes, size: tuple[int, int]) -> str:
    wide, high = size
    return (
        f'<img alt="{side.capitalize()} of card {position}, {_said(name)}" width="{wide}" '
        f'height="{high}" '
        'loading="lazy" decoding="async" '
        f'src="data:image/jpeg;base64,{base64.b64encode(data).decode("ascii")}">'
    )
