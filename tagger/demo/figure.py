"""A player: shirt, arms, gaff and ball, with a head on top."""

from __future__ import annotations

import random
from dataclasses import replace

from PIL import Image

from tagger.demo.arms import draw_arms
from tagger.demo.hair import draw_hair_behind
from tagger.demo.head import draw_head
from tagger.demo.looks import looks_of
from tagger.demo.scenario import Team
from tagger.demo.shirts import draw_letters, draw_neck, draw_shirt
from tagger.demo.stand import Bearing

POSES = ("bust", "shouldered", "cast", "catch", "folded")

HATS = ("", "", "knit", "peak", "peak", "band")


def draw_player(
    picture: Image.Image,
    stand: Bearing,
    subject: str,
    team: Team,
    pose: str,
    rng: random.Random,
    *,
    hat: str | None = None,
) -> None:
    """Paint a player on an RGB picture, from the hat down to below the picture's edge.

    ``pose`` is one of `POSES`; ``hat`` is as for `tagger.demo.head.draw_head`, chosen by ``rng``
    when None."""
    looks = looks_of(subject)
    hat = rng.choice(HATS) if hat is None else hat
    shirt_number = str(random.Random(f"shirt of {subject}").randint(1, 29))
    held = replace(stand, tilt=stand.tilt + (6 if pose == "cast" else rng.uniform(-4, 4)))
    draw_hair_behind(picture, held, looks)
    draw_shirt(picture, stand, looks, team)
    if pose == "folded":
        draw_letters(picture, stand, team, team.letters, (0.5, 2.5), 0.5)
    elif pose != "cast":
        draw_letters(picture, stand, team, shirt_number, (0.0, 3.05), 1.15)
    draw_neck(picture, stand, looks, team)
    draw_head(picture, held, looks, team, hat, rng)
    draw_arms(picture, stand, looks, team, pose)
