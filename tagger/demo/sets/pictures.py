"""The picture on a card: one or two players before their scene, the same for every copy of the
card."""

from __future__ import annotations

import random
from collections.abc import Sequence
from typing import TYPE_CHECKING

from PIL import Image

from tagger.demo.people.bearing import Bearing
from tagger.demo.people.clubs import Team, team_named
from tagger.demo.people.figure import POSES, draw_player
from tagger.demo.sets.scenery import SCENES, Scene

if TYPE_CHECKING:
    from tagger.demo.sets.scenario import ListedCard


def people(row: ListedCard) -> list[tuple[str, Team]]:
    """The players on a card with their clubs; two where the subject is of two."""
    subjects, clubs = row.subject.split(" / "), row.team.split(" / ")
    return [(name, team_named(clubs[min(i, len(clubs) - 1)])) for i, name in enumerate(subjects)]


def backdrop(
    row: ListedCard, size: tuple[int, int], scenes: Sequence[Scene] = SCENES
) -> Image.Image:
    """The scene of a card, ``size`` pixels of the drawing; it is out of focus, so half as fine is
    enough."""
    rng = random.Random(f"scene of {row.set} {row.number}")
    # Rounded up: drawn out again it must not be a pixel short.
    coarse = (-(-size[0] // 2), -(-size[1] // 2))
    return rng.choice(scenes)(coarse, rng, team_named(row.team)).resize(
        size, Image.Resampling.BILINEAR
    )


# How far a pose moves the body off the middle, in units, so that what it holds fits on.
_LEAN = {"cast": -0.35, "catch": -0.35, "shouldered": -0.25}


def put_players(
    picture: Image.Image,
    row: ListedCard,
    centre: tuple[float, float],
    unit: float,
    *,
    poses: Sequence[str] = POSES,
    room: float,
) -> None:
    """Paint a card's players on a picture.

    ``centre`` is the middle of the face, ``unit`` half the height of a head and ``room`` the width
    for the players, all in pixels of the picture."""
    # By the card alone: every copy of it shows the same picture.
    rng = random.Random(f"pose of {row.set} {row.number}")
    cast, (x, y) = people(row), centre
    if len(cast) == 1:
        subject, team = cast[0]
        pose = rng.choice(list(poses))
        bearing = Bearing(
            x + _LEAN.get(pose, 0.0) * unit + rng.uniform(-0.12, 0.12) * unit,
            y,
            unit * rng.uniform(0.96, 1.05),
            rng.uniform(-0.85, 0.85),
            rng.uniform(-3, 3),
        )
        draw_player(picture, bearing, subject, team, pose, rng)
        return
    # Two stand closer and smaller, turned to each other, the second in front and a little higher;
    # with their arms down, since there is no room for a pose.
    small = unit * 0.8
    for i, (subject, team) in enumerate(cast):
        beside = x + (i - 0.5) * min(room * 0.46, small * 3.3)
        place = (beside, y + (0.34 - 0.3 * i) * unit)
        bearing = Bearing(*place, small, 0.5 - i, rng.uniform(-3, 3))
        draw_player(picture, bearing, subject, team, "bust", rng)


def portrait(
    row: ListedCard,
    size: tuple[int, int],
    *,
    poses: Sequence[str] = POSES,
    scenes: Sequence[Scene] = SCENES,
    close: float = 1.0,
) -> Image.Image:
    """A card's scene with its players; ``close`` above 1 comes nearer."""
    picture = backdrop(row, size, scenes)
    unit = 0.13 * size[1] * close
    put_players(
        picture, row, (size[0] / 2, 0.2 * size[1] + unit * 1.05), unit, poses=poses, room=size[0]
    )
    return picture
