"""A player: shirt, arms, gaff and ball, with a head on top."""

from __future__ import annotations

import random
from dataclasses import replace
from typing import TYPE_CHECKING

from PIL import Image

from tagger.demo.people.arms import draw_arms
from tagger.demo.people.bearing import Bearing, Canvas
from tagger.demo.people.faces import looks_of
from tagger.demo.people.hair import draw_hair_behind
from tagger.demo.people.head import draw_head
from tagger.demo.people.shirts import draw_letters, draw_neck, draw_shirt

if TYPE_CHECKING:
    from tagger.demo.people.clubs import Team

POSES = ("bust", "shouldered", "cast", "catch", "folded")

HATS = ("", "", "knit", "peak", "peak", "band")


def draw_player(
    picture: Image.Image,
    bearing: Bearing,
    subject: str,
    team: Team,
    pose: str,
    rng: random.Random,
) -> None:
    """Paint a player on an RGB picture, from the hat down to below the picture's edge.

    ``pose`` is one of `POSES`; the hat is chosen by ``rng``."""
    looks = looks_of(subject)
    hat = rng.choice(HATS)
    # By the name alone: a person has the same shirt number on every card.
    shirt_number = str(random.Random(f"shirt of {subject}").randint(1, 29))
    lean = 6 if pose == "cast" else rng.uniform(-4, 4)
    body, head = (
        Canvas(picture, bearing),
        Canvas(picture, replace(bearing, tilt=bearing.tilt + lean)),
    )
    draw_hair_behind(head, looks)
    draw_shirt(body, looks, team)
    # A cast hides the chest behind an arm, folded arms leave room for the letters only.
    if pose == "folded":
        draw_letters(body, team, team.letters, (0.5, 2.5), 0.5)
    elif pose != "cast":
        draw_letters(body, team, shirt_number, (0.0, 3.05), 1.15)
    draw_neck(body, looks, team)
    draw_head(head, looks, team, hat, rng)
    draw_arms(body, looks, team, pose)
