"""Lists that were typed, pasted or copied from a page."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from support.hobby.world import MAKERS, Card, Made, Maker, World, bare, making, plain, without
from support.hobby.writers import typed

_PROSE = {
    "dot_dash_rc": "{number}. {subject} – {team} (RC)",
    "hash_comma": "#{number} {subject}, {team}",
    "hash_name_team_dash": "#{number} - {subject} - {team}",
    "bracket_slash": "{number}) {subject} / {team}",
    "name_first": "{subject} #{number} ({team})",
    "dashes": "{number} - {subject} - {team}",
    "checkbox": "[ ] {number} {subject} - {team}",
    "box_sign": "☐ {number} {subject}, {team}",
    "underscores": "___ {number} {subject}, {team}",
    "bullet": "- {number} {subject}, {team}",
    "star_bullet": "* #{number}: {subject} ({team})",
    "colon": "{number}: {subject} ({team})",
    "card_word": "Card {number}: {subject}, {team}",
    "no_word": "No. {number} {subject} ({team})",
    "quoted_mail": "> {number} {subject}, {team}",
    "tab_typed": "{number}\t{subject}\t{team}",
    "em_dash": "{number}—{subject}—{team}",
    "underlined_mark": "{number} {subject} [{team}]",
    "price_at_end": "{number} {subject}, {team} ........ ${price}",
    "ordered_page": "    {number}. {subject}, {team}",
    "padded": "{number:>03} {subject}, {team}",
}


def _line(shape: str, card: Card) -> str:
    return shape.format(
        number=plain(card.number),
        subject=plain(card.subject),
        team=plain(card.team),
        price=plain(card.price),
    )


def _prose(shape: str, name: str) -> Maker:
    def made(w: World) -> Made:
        cards = w.cards(18)
        if "{price}" not in shape:
            cards = without(cards, price="")
        lines = [plain(cards[0].set), *[_line(shape, card) for card in cards]]
        if ":>03" in shape:
            cards = [
                replace(card, number=(f"{plain(card.number):>03}", plain(card.number)))
                for card in cards
            ]
        return Made(f"{name}.txt", typed(lines), tuple(cards))

    return made


for _name, _shape in _PROSE.items():
    MAKERS[f"typed_{_name}"] = _prose(_shape, _name)


def _text(lines: Sequence[str], cards: Sequence[Card], **how: str) -> Made:
    return Made("pasted.txt", typed(lines, **how), tuple(cards))


def _each(cards: Sequence[Card], shape: Callable[[Card], str]) -> list[str]:
    return [shape(card) for card in cards]


@making
def typed_rookies_marked_sometimes(w: World) -> Made:
    cards = without(w.cards(18), price="")
    lines = [_line("{number}. {subject} – {team}", card) for card in cards]
    for at in (2, 7, 11):
        lines[at] += " (RC)"
    return _text([plain(cards[0].set), "", *lines], cards)


@making
def typed_in_columns(w: World) -> Made:
    """Three columns on a typed page."""
    cards = bare(w.cards(24))
    rows = [
        "".join(
            f"{plain(cards[at + 8 * part].number):>3} {plain(cards[at + 8 * part].subject):<28}"
            for part in range(3)
        )
        for at in range(8)
    ]
    return _text([plain(cards[0].set), "", *[row.rstrip() for row in rows]], cards)


@making
def typed_fixed_widths(w: World) -> Made:
    cards = without(w.cards(14), price="")
    head = f"{'No.':<6}{'Player':<26}{'Team':<24}"
    lines = [
        f"{plain(c.number):<6}{plain(c.subject):<26}{plain(c.team):<24}".rstrip() for c in cards
    ]
    return _text([plain(cards[0].set), "", head.rstrip(), "-" * 56, *lines], cards)


@making
def typed_many_in_a_line(w: World) -> Made:
    cards = bare(w.cards(20))
    pieces = [f"{plain(c.number)} {plain(c.subject)}" for c in cards]
    lines = [", ".join(pieces[at : at + 5]) + "," for at in range(0, 20, 5)]
    return _text([plain(cards[0].set), *lines], cards)


@making
def typed_sections_with_ranges(w: World) -> Made:
    name = "1988 Lantern Hill"
    base = without(w.cards(10, name), price="")
    late = without(w.cards(6, name, start=11), price="", subset="Captains")
    lines = [
        name,
        "",
        "Base (1-10)",
        *_each(base, lambda c: _line("{number} {subject}, {team}", c)),
        "",
    ]
    lines += ["Captains (11-16)", *_each(late, lambda c: _line("{number} {subject}, {team}", c))]
    return _text(lines, [*without(base, subset=("", "Base")), *late])


@making
def typed_two_sets(w: World) -> Made:
    one, two = (
        without(w.cards(8, "1971 Tidewater"), price=""),
        without(w.cards(8, "1972 Tidewater"), price=""),
    )
    lines: list[str] = []
    for part in (one, two):
        lines += [
            plain(part[0].set),
            "=" * 14,
            *_each(part, lambda c: _line("{number} {subject}, {team}", c)),
            "",
        ]
    return _text(lines, [*one, *two])


@making
def typed_markdown_table(w: World) -> Made:
    cards = w.cards(12)
    rows = [_line("| {number} | {subject} | {team} | {price} |", card) for card in cards]
    return _text(
        [
            f"# {cards[0].set}",
            "",
            "| No. | Player | Team | Price |",
            "|----:|:-------|------|------:|",
            *rows,
        ],
        cards,
    )


@making
def typed_wiki_table(w: World) -> Made:
    cards = without(w.cards(12), price="")
    rows = [
        line
        for c in cards
        for line in ("|-", f"| {plain(c.number)} || {plain(c.subject)} || {plain(c.team)}")
    ]
    lines = ['{| class="wikitable"', f"|+ {cards[0].set}", "! No. !! Player !! Team", *rows, "|}"]
    return replace(_text(lines, cards), tells=("wiki", "{|"))


@making
def typed_forum_codes(w: World) -> Made:
    cards = without(w.cards(12), price="")
    rows = [_line("[*]{number} {subject}, {team}", card) for card in cards]
    return _text([f"[b]{cards[0].set}[/b]", "[list]", *rows, "[/list]"], cards)


@making
def typed_entities(w: World) -> Made:
    cards = [replace(card, team="Rook &amp; Otter") for card in without(w.cards(12), price="")]
    lines = [
        plain(cards[0].set),
        *_each(cards, lambda c: _line("{number}&nbsp;{subject}, {team}", c)),
    ]
    return _text(lines, without(cards, team="Rook & Otter"))


@making
def typed_web_spaces(w: World) -> Made:
    cards = without(w.cards(12), price="")
    lines = [
        plain(cards[0].set),
        *_each(cards, lambda c: _line("{number}\u00a0\u200b{subject},\u202f{team}\u00ad", c)),
    ]
    return _text(lines, cards)


@making
def typed_old_mac_line_ends(w: World) -> Made:
    cards = without(w.cards(12), price="")
    return _text(
        [plain(cards[0].set), *_each(cards, lambda c: _line("{number} {subject}, {team}", c))],
        cards,
        end="\r",
    )


@making
def typed_with_intro(w: World) -> Made:
    cards = without(w.cards(12, "1979 Amber Coast"), price="")
    lines = [
        "Hi all,",
        "here is my list of the 1979 set, 12 cards, as promised.",
        "",
        "1979 Amber Coast",
        "",
    ]
    lines += [
        *_each(cards, lambda c: _line("{number} {subject}, {team}", c)),
        "",
        "Regards,",
        "O. from the forum",
    ]
    return _text(lines, cards)


@making
def typed_year_in_brackets(w: World) -> Made:
    cards = without(w.cards(12, "1979 Amber Coast"), price="")
    lines = ["Amber Coast (1979)", *_each(cards, lambda c: _line("{number} {subject}, {team}", c))]
    return _text(lines, without(cards, set=("1979 Amber Coast", "Amber Coast (1979)")))


@making
def typed_variation_letters(w: World) -> Made:
    cards = without(w.cards(10), price="")
    cards = [*cards[:4], replace(cards[4], number="5a"), replace(cards[4], number="5b"), *cards[5:]]
    return _text(
        [plain(cards[0].set), *_each(cards, lambda c: _line("{number} {subject}, {team}", c))],
        cards,
    )


@making
def typed_prefixed(w: World) -> Made:
    cards = [replace(c, number=f"TS-{c.number}") for c in without(w.cards(10), price="")]
    return _text(
        [plain(cards[0].set), *_each(cards, lambda c: _line("{number} {subject}, {team}", c))],
        cards,
    )


@making
def typed_parallels_line(w: World) -> Made:
    cards = without(w.cards(10), price="", parallels=("Gold /50", "Silver /99", "Black /1"))  # type: ignore[arg-type]
    top = [plain(cards[0].set), "Parallels: Gold (/50), Silver (/99), Black (1/1)", ""]
    return _text([*top, *_each(cards, lambda c: _line("{number} {subject}, {team}", c))], cards)


@making
def typed_names_with_numbers(w: World) -> Made:
    """Names that begin with figures: the card's number stands first."""
    names = [
        "7 Brothers",
        "3rd Regiment March",
        "1812 Harbor Fire",
        "100 Lanterns",
        "42nd Street Corner",
        "The 9 Mile Run",
    ]
    cards = [Card("1955 Old Orchard", str(at), name) for at, name in enumerate(names, 1)]
    return _text(
        ["1955 Old Orchard", *_each(cards, lambda c: f"{plain(c.number)} {plain(c.subject)}")],
        cards,
    )


@making
def typed_without_set(w: World) -> Made:
    cards = without(w.cards(12, "1979 Amber Coast"), price="")
    lines = _each(cards, lambda c: _line("{number} {subject}, {team}", c))
    return Made("1979 Amber Coast.txt", typed(lines), tuple(cards))


@making
def typed_numbers_of_many(w: World) -> Made:
    cards = without(w.cards(12), price="")
    lines = _each(cards, lambda c: _line("{number} of 12 {subject}, {team}", c))
    cards = [
        replace(c, number=(plain(c.number), f"{c.number} of 12", f"{c.number}/12")) for c in cards
    ]
    return _text([plain(cards[0].set), *lines], cards)
