"""A lot as one HTML page that needs nothing else: pictures, tags, counts, findings, how much of
each set is there.

By the HTML Living Standard. Its text is in `page.html`, `page.css` and `page.js`. Nothing but this
page's own style and script, by their digests, and pictures that lie in it or beside it can take
effect (W3C, Content Security Policy Level 3). Without the script, which filters the cards and shows
one large, all are shown."""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.lot.fields import CardInLot, told_note
from tagger.core.model.counted import counted
from tagger.core.model.money import price_amount, price_text
from tagger.core.model.tags import Mark, State
from tagger.core.model.text import words
from tagger.exchange.shown.chart import SetProgress, chart
from tagger.exchange.shown.html_parts import Html, HtmlParts, joined

if TYPE_CHECKING:
    from tagger.core.audit.findings import Finding

_OF_PRICES = "A price is the seller's own or a checklist's: an estimate, not an offer."
CAUTIONS = (
    "A condition seen on a scan is an estimate, not a professional grade.",
    "Size and centering measured on a scan are an estimate too, not a professional grade.",
    _OF_PRICES,
    "Check the card itself before you describe it.",
)
_LONGEST = 2000  # characters of one text
_LABELS = (
    ("Set", "set"), ("Number", "number"), ("Team", "team"), ("Parallel", "parallel"),
    ("Serial number", "serial"),
    ("Condition (estimate)", "condition"), ("Place", "place"),
)  # fmt: skip
_NOTHING = Html("")
INLINE, BESIDE = "data:", "'self' file:"
"""Where the pictures of a page are: in it, or in files beside it (CSP Level 3, 2.3.1)."""


class PagePicture(NamedTuple):
    """A picture: its address, and its width and height in pixels."""

    source: str
    size: tuple[int, int]


Sides = dict[str, PagePicture]
"""By side, `front` and `back`."""


def inline(jpeg: bytes, size: tuple[int, int]) -> PagePicture:
    """A JPEG file that lies in the page itself (RFC 2397)."""
    # Base64 has no sign that HTML minds, and escaping would look at each of its characters.
    return PagePicture(
        Html(f"data:image/jpeg;base64,{base64.b64encode(jpeg).decode('ascii')}"), size
    )


@dataclass(frozen=True)
class LotSummary:
    """What a page says of a lot beside its cards. `findings` is None where they were not looked
    for; `prices`: they are shown; `images` is INLINE or BESIDE."""

    lot: str
    cards: int
    tagged: int
    set_aside: int
    gone: int
    sets: Sequence[SetProgress] = ()
    findings: Sequence[Finding] | None = None
    prices: bool = False
    images: str = INLINE


def write_page(
    summary: LotSummary, cards: Iterable[tuple[CardInLot, Sides]], write: Callable[[bytes], object]
) -> None:
    """Write the page; cards are taken and written one by one, with their pictures."""
    # Never the whole page at once: the pictures of a large lot lie in it.
    for part in _page(summary, cards):
        write(part.encode("utf-8"))


def _page(summary: LotSummary, cards: Iterable[tuple[CardInLot, Sides]]) -> Iterator[Html]:
    fill = _parts().fill
    yield _top(summary)
    yield _counts(summary)
    yield _sets(summary.sets)
    yield fill("cards begin", price_filter=fill("price filter") if summary.prices else _NOTHING)
    problems = {one.position for one in summary.findings or ()}
    for card, sides in cards:
        yield _card(card, sides, summary.prices, card.position in problems)
    yield fill("cards end")
    yield _findings(summary)
    said = CAUTIONS if summary.prices else [one for one in CAUTIONS if one != _OF_PRICES]
    cautions = joined(fill("caution", sentence=sentence) for sentence in said)
    yield fill("bottom", cautions=cautions, script=_file("page.js"))


@cache
def _parts() -> HtmlParts:
    return HtmlParts("page.html", _LONGEST)


@cache
def _file(name: str) -> Html:
    # The element's text begins with a line's end and has the digest of exactly this text.
    text = resources.files(__package__ or "").joinpath(name).read_text(encoding="utf-8")
    return Html(f"\n{text}")


def _digest(text: str) -> str:
    return base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()


def _top(summary: LotSummary) -> Html:
    fill = _parts().fill
    style, script = _file("page.css"), _file("page.js")
    return fill(
        "top",
        lot=summary.lot,
        cards=counted(summary.cards, "card"),
        style=style,
        images=Html(summary.images),
        # Whatever text may yet slip in as markup: no other style or script takes effect.
        style_digest=_digest(style),
        script_digest=_digest(script),
        links_before=fill("link to sets") if summary.sets else _NOTHING,
        links_after=_link_to_findings(summary.findings),
    )


def _link_to_findings(findings: Sequence[Finding] | None) -> Html:
    if findings is None:
        return _NOTHING
    return _parts().fill("link to findings", count=len(findings))


def _counts(summary: LotSummary) -> Html:
    fill = _parts().fill
    counts = (
        ("cards", summary.cards),
        ("tagged", summary.tagged),
        ("set aside", summary.set_aside),
        ("untagged", summary.cards - summary.tagged - summary.set_aside),
        ("sold or pulled", summary.gone),
    )
    items = joined(fill("count", name=name, count=count) for name, count in counts)
    return fill("counts", counts=items)


def _sets(sets: Sequence[SetProgress]) -> Html:
    if not sets:
        return _NOTHING
    fill = _parts().fill
    rows = joined(
        fill("set", name=one.name or "no set", copies=one.copies, words=one.words) for one in sets
    )
    return fill("sets", chart=chart(sets), sets=rows)


def _findings(summary: LotSummary) -> Html:
    if summary.findings is None:
        return _NOTHING
    fill = _parts().fill
    if not summary.findings:
        return fill("findings", findings=fill("no findings"))
    rows = joined(
        fill(
            "finding",
            card=_link(one.position, summary.cards),
            kind=one.kind,
            detail=one.detail,
            remedy=one.remedy,
        )
        for one in summary.findings
    )
    return fill("findings", findings=fill("findings table", findings=rows))


def _link(position: int, cards: int) -> Html:
    # A finding about what stands before the first card or behind the last has no card to go to.
    if not 1 <= position <= cards:
        return _NOTHING
    return _parts().fill("link to card", position=position)


def _card(card: CardInLot, sides: Sides, prices: bool, problem: bool) -> Html:
    fill = _parts().fill
    name = _name(card.mark)
    pictures = joined(_side(side, card.position, name, sides) for side in ("front", "back"))
    items = joined(
        fill("told item", label=label, value=value)
        for label, value in _told(card.mark, prices)
        if value
    )
    told = fill("told", items=items) if items else _NOTHING
    typed = " ".join(
        _typed(card.mark.tags.subject, [value for _, value in _told(card.mark, prices)])
    )
    amount = price_amount(card.mark.tags) if prices else None
    return fill(
        "card",
        position=card.position,
        name=name,
        set=card.mark.tags.set,
        review=" ".join(_review(card.mark, problem)),
        price=_NOTHING if amount is None else _in_tag("price", amount=f"{amount:f}"),
        words=_in_tag("words", words=typed) if typed else _NOTHING,
        sides=pictures,
        told=told,
    )


def _in_tag(part: str, **values: object) -> Html:
    # stands in the middle of a tag
    return Html(" " + _parts().fill(part, **values).strip())


def _typed(name: str, values: Sequence[str]) -> Iterator[str]:
    """The words that a card is found by here as in every filter, as far as its text has them
    otherwise: `soren` for Søren, `oneil` for O'Neil."""
    shown = " ".join((name, *values)).lower()
    # a surname is typed in one as well; of other texts each piece is by itself
    pieces = (name, *(piece for value in values for piece in value.split()))
    found = (word for piece in pieces for word in words(piece))
    yield from dict.fromkeys(word for word in found if word not in shown)


def _review(mark: Mark, problem: bool) -> Iterator[str]:
    """The words by which the page's own filter finds a card."""
    if mark.state is State.SET_ASIDE:
        yield "aside"
    if mark.state is State.UNTAGGED:
        yield "untagged"
    elif not mark.tags.listed:
        yield "unlisted"
    if problem:
        yield "problem"
    if mark.gone:
        yield "gone"


def _name(mark: Mark) -> str:
    if mark.state is not State.TAGGED:
        return str(mark.state)
    number = f"#{mark.tags.number}" if mark.tags.number else ""
    return " ".join(part for part in (number, mark.tags.subject) if part)


def _told(mark: Mark, prices: bool) -> Iterator[tuple[str, str]]:
    """(label, value) of all that is said of a card; empty values are left out of the page."""
    tags = mark.tags
    for label, field in _LABELS:
        value = getattr(tags, field)
        if field == "parallel" and mark.state is State.TAGGED:
            value = tags.parallel_name
        yield label, value
    if prices:
        yield "Price (estimate)", price_text(tags)
    yield "Note", told_note(mark)
    yield "Status", mark.gone
    yield "Checklist", "" if tags.listed else "unlisted"


def _side(side: str, position: int, name: str, sides: Sides) -> Html:
    if side not in sides:
        return _parts().fill("no picture", side=side)
    source, (width, height) = sides[side]
    return _parts().fill(
        "picture",
        side=side.capitalize(),
        position=position,
        name=name,
        width=width,
        height=height,
        source=source,
    )
