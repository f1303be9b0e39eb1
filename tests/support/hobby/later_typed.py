"""A second round of lists, written after the reader was changed: typed and printed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from support.hobby.later_tables import later
from support.hobby.world import LATER, Card, Made, Maker, World, bare, plain, without
from support.hobby.writers import typed

_SHAPES = {
    "number_last_comma": "{subject}, {team}, {number}",
    "number_last_dash": "{subject} ({team}) - {number}",
    "last_name_first": "{number} – {last}, {first} – {team}",
    "emoji_have": "✅ {number} {subject}, {team}",
    "star_emoji": "⭐ {number} {subject} ({team})",
    "struck": "~~{number} {subject}, {team}~~",
    "bracket_comma": "{number}), {subject}, {team}",
    "dot_leaders_team": "{number}. {subject} ............ {team}",
    "price_in_front": "{number} {subject}, {team} - $ {price}",
    "price_euro": "{number} {subject}, {team} {price} €",
    "price_brackets": "{number} {subject}, {team} (${price})",
    "count_in_front": "2x {number} {subject}, {team}",
    "semicolons": "{number}; {subject}; {team}",
    "equals": "{number} = {subject} = {team}",
    "arrows": "{number} -> {subject} ({team})",
    "capitals": "{number} {upper}, {team}",
    "at_team": "{number} {subject} @ {team}",
    "hash_behind_dash": "{team} - {subject} - #{number}",
}


def _text(
    name: str, lines: Sequence[str], cards: Sequence[Card], tells: tuple[str, ...] = ()
) -> Made:
    return Made(f"{name}.txt", typed(lines), tuple(cards), tells)


def _line(shape: str, card: Card) -> str:
    first, last = plain(card.subject).split(" ", 1)
    known = {"first": first, "last": last, "upper": plain(card.subject).upper()}
    return shape.format(
        **known,
        number=plain(card.number),
        subject=plain(card.subject),
        team=plain(card.team),
        price=plain(card.price),
    )


def _shape(name: str, shape: str) -> Maker:
    def made(w: World) -> Made:
        cards = w.cards(15)
        if "{price}" not in shape:
            cards = without(cards, price="")
        lines = [plain(cards[0].set), *[_line(shape, card) for card in cards]]
        if "{last}" in shape:
            cards = [
                replace(
                    c,
                    subject=(plain(c.subject), ", ".join(reversed(plain(c.subject).split(" ", 1)))),
                )
                for c in cards
            ]
        if "{upper}" in shape:
            cards = [
                replace(c, subject=(plain(c.subject).upper(), plain(c.subject))) for c in cards
            ]
        return _text(name, lines, cards)

    return made


for _name, _each in _SHAPES.items():
    LATER[f"typed_{_name}"] = _shape(_name, _each)


@later
def typed_three_lines_a_card(w: World) -> Made:
    """Copied from a page that has number, name and team below each other."""
    cards = without(w.cards(9), price="")
    lines = [
        plain(cards[0].set),
        *[line for c in cards for line in (plain(c.number), plain(c.subject), plain(c.team))],
    ]
    return _text("lines", lines, cards)


@later
def typed_blocks_of_facts(w: World) -> Made:
    cards = without(w.cards(9), price="")
    lines = [plain(cards[0].set), ""]
    for c in cards:
        lines += [f"Card: {c.number}", f"Player: {c.subject}", f"Team: {c.team}", ""]
    return _text("blocks", lines, cards)


@later
def typed_parallels_below_cards(w: World) -> Made:
    cards = without(w.cards(8), price="")
    lines = [plain(cards[0].set)]
    for at, c in enumerate(cards):
        lines.append(f"{c.number} {c.subject}, {c.team}")
        lines += ["    - Gold /50", "    - Silver"] if at % 2 else []
    cards = [
        replace(c, parallels=("Gold /50", "Silver")) if at % 2 else c for at, c in enumerate(cards)
    ]
    return _text("below", lines, cards)


@later
def printed_by_database(w: World) -> Made:
    cards = without(w.cards(8), price="")
    rule = "+----+----------------------+------------------------+"
    rows = [
        f"| {plain(c.number):>2} | {plain(c.subject):<20} | {plain(c.team):<22} |" for c in cards
    ]
    lines = [
        rule,
        "| no | name                 | team                   |",
        rule,
        *rows,
        rule,
        "8 rows in set (0.00 sec)",
    ]
    return _text("1990 Tidewater", lines, without(cards, set="1990 Tidewater"))


@later
def printed_by_other_database(w: World) -> Made:
    cards = without(w.cards(8), price="")
    rows = [f" {plain(c.number):>2} | {plain(c.subject):<20} | {plain(c.team):<20}" for c in cards]
    lines = [
        " no | name                 | team                ",
        "----+----------------------+----------------------",
        *rows,
        "(8 rows)",
    ]
    return _text("1990 Tidewater", lines, without(cards, set="1990 Tidewater"))


@later
def table_of_an_outline(w: World) -> Made:
    cards = without(w.cards(8, "1990 Tidewater"), price="")
    rows = [f"| {c.number} | {c.subject} | {c.team} |" for c in cards]
    return _text(
        "outline",
        ["* 1990 Tidewater", "| No. | Player | Team |", "|-----+--------+------|", *rows],
        cards,
    )


@later
def table_with_rules_of_signs(w: World) -> Made:
    cards = without(w.cards(8, "1990 Tidewater"), price="")
    rule = f"{'=' * 4}  {'=' * 22}  {'=' * 22}"
    rows = [
        f"{plain(c.number):<4}  {plain(c.subject):<22}  {plain(c.team):<22}".rstrip() for c in cards
    ]
    return _text(
        "rst",
        ["1990 Tidewater", "", rule, f"{'No.':<4}  {'Player':<22}  Team", rule, *rows, rule],
        cards,
    )


@later
def typed_dos_end(w: World) -> Made:
    cards = without(w.cards(8, "1990 Tidewater"), price="")
    lines = ["1990 Tidewater", *[_line("{number} {subject}, {team}", c) for c in cards]]
    return Made("dos.txt", typed(lines, end="\r\n") + b"\x1a", tuple(cards))


@later
def typed_mixed_ends(w: World) -> Made:
    cards = without(w.cards(8, "1990 Tidewater"), price="")
    lines = ["1990 Tidewater", *[_line("{number} {subject}, {team}", c) for c in cards]]
    data = "".join(line + ("\r\n", "\n", "\r")[at % 3] for at, line in enumerate(lines)).encode()
    return Made("mixed.txt", data, tuple(cards))


@later
def typed_key_of_teams(w: World) -> Made:
    cards = without(w.cards(8, "1990 Tidewater"), price="", team="HH")
    lines = [
        "1990 Tidewater",
        "",
        "HH = Harbor Herons",
        "",
        *[_line("{number} {subject} (HH)", c) for c in cards],
    ]
    return _text("key", lines, without(cards, team=("HH", "Harbor Herons")))


@later
def typed_missing_range(w: World) -> Made:
    """A want list by its numbers alone."""
    cards = [Card("1990 Tidewater", str(at), "") for at in (3, 7, 11, 12, 13, 20)]
    return _text("want", ["1990 Tidewater", "Need: 3, 7, 11-13, 20"], cards, tells=("line", "card"))


@later
def typed_title_with_range(w: World) -> Made:
    cards = without(w.cards(20, "1990 Tidewater"), price="")
    lines = [
        "Checklist of the 1990 Tidewater set (nos. 1-20)",
        *[_line("{number} {subject}, {team}", c) for c in cards],
    ]
    return _text(
        "title",
        lines,
        without(cards, set=("1990 Tidewater", "1990 Tidewater set", "the 1990 Tidewater set")),
    )


@later
def typed_json_lines(w: World) -> Made:
    cards = without(w.cards(8, "1990 Tidewater"), price="")
    lines = [f'{{"no": {c.number}, "name": "{c.subject}", "team": "{c.team}"}}' for c in cards]
    return _text("1990 Tidewater", lines, cards, tells=("line", "column"))


@later
def typed_subsets_with_colons(w: World) -> Made:
    name = "1990 Tidewater"
    base = without(w.cards(8, name), price="")
    stars = [
        replace(c, number=f"S{c.number}")
        for c in without(w.cards(5, name), price="", subset="Night Stars")
    ]
    shape = "{number} {subject}, {team}"
    lines = [
        name,
        "BASE SET:",
        *[_line(shape, c) for c in base],
        "NIGHT STARS:",
        *[_line(shape, c) for c in stars],
    ]
    return _text(
        "subsets",
        lines,
        [
            *without(base, subset=("", "BASE SET")),
            *without(stars, subset=("NIGHT STARS", "Night Stars")),
        ],
    )


@later
def typed_bare_names(w: World) -> Made:
    """No numbers at all: a card a line."""
    cards = without(bare(w.cards(12, "1990 Tidewater")), number="")
    return _text(
        "bare", ["1990 Tidewater", *[plain(c.subject) for c in cards]], cards, tells=("number",)
    )
