"""Backs of the second press: what stands on all of them, and twelve places for the number."""

from __future__ import annotations

import random
from collections.abc import Callable

from PIL import Image, ImageDraw

from bench.reading.press.look import Look
from bench.reading.press.sheet import BLACK, HIGH, WHITE, WIDE, fitted, ink_for, paragraph, slanted
from bench.reading.press.typefaces import face
from tagger.core.model.tags import Row

_SAID = (
    "Opened the year with {a} points in {b} games and never looked down the table again.",
    "Works as a {c} between seasons and keeps {d} pigeons behind the house.",
    "Was traded for {other} on the last day of June and scored {a} times before the snow.",
    "Holds the club record of {b} in a row, set on a wet Thursday before {a}00 people.",
    "Learned the game from an uncle who had played {d} seasons in the valley league.",
    "The coach calls it the finest left side he has seen in {d} years.",
)
_TRADE = ("baker", "surveyor", "cooper", "typesetter", "gardener")


class Back:
    """A back while it is drawn: `top` and `low` bound what is still empty."""

    def __init__(
        self, look: Look, row: Row, rng: random.Random, wide: int = WIDE, high: int = HIGH
    ):
        self.look, self.row, self.rng, self.wide, self.high = look, row, rng, wide, high
        self.side = Image.new("RGB", (wide, high), look.paper)
        self.draw = ImageDraw.Draw(self.side)
        self.top, self.low = 60.0, high - 60.0

    def rights(self, after: str = "", y: float | None = None) -> None:
        """The line of the year and the maker."""
        brand = "" if self.look.has_logo else f"{self.look.own.brand} · "
        line = f"© {self.look.own.year} {brand}{self.look.own.maker}{after}"
        at = (self.wide / 2, self.low if y is None else y)
        self.draw.text(
            at,
            line,
            font=fitted(line, self.look.text, 30, self.wide - 240),
            fill=BLACK,
            anchor="mm",
        )
        self.low -= 46

    def heading(self, left: float = 60, wide: float = 560, caps: bool = False) -> None:
        """The name, and the team below it."""
        name = self.row.subject.upper() if caps else self.row.subject
        self.draw.text(
            (left, self.top), name, font=fitted(name, self.look.bold, 62, wide), fill=self.look.main
        )
        self.draw.text(
            (left, self.top + 78),
            self.row.team,
            font=fitted(self.row.team, self.look.text, 40, wide),
            fill=BLACK,
        )
        self.top += 150

    def prose(self, lines: int, last: str = "") -> None:
        """What is told of the subject."""
        other = self.rng.choice(self.look.own.rows).subject
        said = " ".join(
            one.format(
                a=self.rng.randint(3, 99),
                b=self.rng.randint(3, 160),
                c=self.rng.choice(_TRADE),
                d=self.rng.randint(2, 30),
                other=other,
            )
            for one in self.rng.sample(_SAID, 3)
        )
        font = face(self.look.text, 34)
        self.top = 16 + paragraph(
            self.draw, (60, self.top), said, font, BLACK, self.wide - 120, lines
        )
        if last:
            self.draw.text((60, self.top - 10), last, font=font, fill=BLACK)
            self.top += 40

    def table(self, lines: int) -> None:
        """Figures by season."""
        font = face(self.look.text, 30)
        step = (self.wide - 120) / 6
        for line in range(lines):
            year = self.look.own.year - lines + line
            cells = ("YEAR", "CLUB", "GP", "G", "A", "PTS")
            if line:
                cells = (
                    str(year),
                    self.row.team[:5].upper(),
                    *(str(self.rng.randint(0, 120)) for _ in range(4)),
                )
            for at, cell in enumerate(cells):
                self.draw.text((60 + at * step, self.top), cell, font=font, fill=BLACK)
            self.top += 42


def _top_right(back: Back, number: str) -> None:
    back.draw.text(
        (back.wide - 60, 70),
        number,
        font=face(back.look.bold, 90),
        fill=back.look.main,
        anchor="ra",
    )
    back.heading()
    back.table(7)
    back.prose(7)
    back.rights()


def _low_left(back: Back, number: str) -> None:
    back.heading(wide=760, caps=True)
    back.prose(6)
    back.table(5)
    back.draw.text(
        (60, back.low - 60), f"No. {number}", font=face(back.look.text, 46), fill=BLACK, anchor="lm"
    )
    back.rights()


def _circle(back: Back, number: str) -> None:
    back.draw.ellipse((50, 50, 210, 210), fill=back.look.main)
    back.draw.text(
        (130, 130),
        number,
        font=fitted(number, back.look.bold, 74, 120),
        fill=ink_for(back.look.main),
        anchor="mm",
    )
    back.heading(left=240)
    back.top = 250
    back.table(8)
    back.prose(6)
    back.rights()


def _banner(back: Back, number: str) -> None:
    middle = back.wide / 2
    back.draw.polygon(
        [
            (middle - 170, 50),
            (middle + 170, 50),
            (middle + 130, 95),
            (middle + 170, 140),
            (middle - 170, 140),
            (middle - 130, 95),
        ],
        fill=back.look.second,
        outline=BLACK,
    )
    back.draw.text(
        (middle, 95),
        number,
        font=face(back.look.bold, 60),
        fill=ink_for(back.look.second),
        anchor="mm",
    )
    back.top = 180
    back.heading(wide=760)
    back.prose(8)
    back.table(6)
    back.rights()


def _rim(back: Back, number: str) -> None:
    slanted(
        back.side, (back.wide - 55, 230), f"No. {number}", face(back.look.bold, 46), BLACK, None, 90
    )
    back.heading(wide=640)
    back.wide -= 90
    back.table(6)
    back.prose(8)
    back.wide += 90
    back.rights()


def _boxed(back: Back, number: str) -> None:
    font = face(back.look.bold, 56)
    wide = font.getlength(number) + 50
    back.draw.rectangle(
        (back.wide - 60 - wide, back.low - 100, back.wide - 60, back.low - 10),
        outline=back.look.main,
        width=6,
    )
    back.draw.text(
        (back.wide - 60 - wide / 2, back.low - 55),
        number,
        font=font,
        fill=back.look.main,
        anchor="mm",
    )
    back.heading(wide=760)
    back.prose(7)
    back.table(6)
    back.rights(y=back.low + 20)


def _of_all(back: Back, number: str) -> None:
    said = f"{number} of {back.look.of}" if number.isdigit() else f"Card {number}"
    back.draw.text(
        (back.wide / 2, back.low - 70), said, font=face(back.look.bold, 46), fill=BLACK, anchor="mm"
    )
    back.draw.rectangle((0, 0, back.wide, 200), fill=back.look.main)
    name = back.row.subject
    back.draw.text(
        (back.wide / 2, 100),
        name,
        font=fitted(name, back.look.bold, 76, 760),
        fill=ink_for(back.look.main),
        anchor="mm",
    )
    back.top = 240
    back.prose(6)
    back.table(6)
    back.rights()


def _last_line(back: Back, number: str) -> None:
    back.heading(wide=760)
    back.table(6)
    back.prose(8)
    back.rights(after=f"  ·  {number}")


def _in_heading(back: Back, number: str) -> None:
    back.draw.rectangle((40, 40, back.wide - 40, 150), fill=back.look.main)
    said = f"#{number}   {back.row.subject.upper()}"
    back.draw.text(
        (70, 95),
        said,
        font=fitted(said, back.look.bold, 62, back.wide - 150),
        fill=WHITE,
        anchor="lm",
    )
    back.top = 180
    back.draw.text(
        (60, back.top),
        f"{back.row.team}  ·  {back.look.own.brand}",
        font=face(back.look.text, 38),
        fill=BLACK,
    )
    back.top += 70
    back.prose(8)
    back.table(8)
    back.rights()


def _diamond(back: Back, number: str) -> None:
    x, y = back.wide - 140, 140
    back.draw.polygon(
        [(x, y - 105), (x + 105, y), (x, y + 105), (x - 105, y)],
        fill=back.look.second,
        outline=BLACK,
    )
    back.draw.text(
        (x, y),
        number,
        font=fitted(number, back.look.bold, 60, 120),
        fill=ink_for(back.look.second),
        anchor="mm",
    )
    back.heading(wide=540)
    back.top = 270
    back.prose(7)
    back.rights()


def _prose_end(back: Back, number: str) -> None:
    back.heading(wide=760)
    back.prose(9, last=f"{back.look.own.brand} card number {number}.")
    back.table(5)
    back.rights()


def _vintage(back: Back, number: str) -> None:
    back.draw.rectangle((30, 30, back.wide - 30, back.high - 30), outline=back.look.main, width=10)
    back.top = 80
    back.draw.text((70, back.top), number, font=face(back.look.text, 70), fill=back.look.main)
    back.draw.text(
        (back.wide - 70, back.top + 8),
        back.row.subject,
        font=fitted(back.row.subject, back.look.text, 60, 480),
        fill=BLACK,
        anchor="ra",
    )
    back.top = 200
    back.low -= 20
    back.prose(10)
    back.rights()


BACKS: tuple[Callable[[Back, str], None], ...] = (
    _top_right,
    _low_left,
    _circle,
    _banner,
    _rim,
    _boxed,
    _of_all,
    _last_line,
    _in_heading,
    _diamond,
    _prose_end,
    _vintage,
)


def back_of(look: Look, form: int, row: Row, rng: random.Random) -> Image.Image:
    """A card's back; each seventh set's is printed sideways."""
    if look.art % 7 == 5:
        back = Back(look, row, rng, HIGH, WIDE)
        BACKS[form % len(BACKS)](back, row.number)
        return back.side.transpose(Image.Transpose.ROTATE_90)
    back = Back(look, row, rng)
    BACKS[form % len(BACKS)](back, row.number)
    return back.side
