"""What a person looks like: always the same for the same name, from one set to the next."""

from __future__ import annotations

import random
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tagger.demo.art.brush import Colour

_SKINS: tuple[Colour, ...] = (
    (246, 214, 188), (236, 194, 160), (224, 176, 138), (206, 152, 112), (176, 120, 82),
    (142, 92, 62), (108, 68, 48), (240, 202, 176),
)  # fmt: skip
_HAIRS: tuple[Colour, ...] = (
    (38, 28, 26), (66, 42, 30), (104, 66, 38), (150, 98, 52), (206, 162, 92), (168, 74, 36),
    (28, 26, 32), (82, 56, 44),
)  # fmt: skip
_DEEP = (4, 5, 6)  # skins with which hair is dark
_GREY: Colour = (142, 138, 136)
_EYES: tuple[Colour, ...] = ((64, 42, 28), (74, 96, 58), (64, 104, 140), (92, 72, 44))
_WOMEN = frozenset((
    "Ada", "Alma", "Beatrix", "Birdie", "Briony", "Calla", "Cosima", "Dagny", "Delphine", "Edda",
    "Elspeth", "Esme", "Fenna", "Flora", "Greta", "Hattie", "Hester", "Ilse", "Imogen", "Ione",
    "Jessamy", "Juno", "Leonie", "Lotte", "Mabel", "Marit", "Merle", "Mina", "Odile", "Orla",
    "Paloma", "Petra", "Ragna", "Sabine", "Signe", "Sunniva", "Tabitha", "Thora", "Ursula",
    "Vesna", "Wanda", "Wilhelmina", "Xanthe", "Zelda", "Nora", "Effie", "Zofia", "Marta", "Ines",
    "Opal", "Tess", "Noor", "Ana", "Léa", "Marcia", "Ida", "Kaya", "Tova", "Zuzanna", "Chloé",
    "Vera", "Scarlet", "Ruby", "Fay", "Núria", "Åse", "Mika",
))  # fmt: skip
_SHORT = ("cropped", "parted", "swept", "curls", "thin", "round")
_LONG = ("long", "bob", "bun", "tail", "curls", "braids", "round")


@dataclass(frozen=True)
class FaceFeatures:
    """A face: colours, the style of hair and beard, and proportions (1 is usual)."""

    skin: Colour
    hair: Colour
    eyes: Colour
    style: str
    beard: str  # "", "stubble", "moustache" or "full"
    glasses: bool
    jaw: float
    breadth: float
    brow: float
    mouth: float
    shoulders: float


@dataclass(frozen=True)
class _Build:
    """What women and men differ in: the styles of hair, whether there are beards, and the ranges of
    the proportions."""

    styles: tuple[str, ...]
    beards: tuple[str, ...]
    jaw: tuple[float, float]
    brow: tuple[float, float]
    shoulders: tuple[float, float]


_WOMAN = _Build(_LONG, (), (0.82, 0.94), (0.7, 0.95), (0.84, 0.92))
_MAN = _Build(
    _SHORT,
    ("", "", "", "stubble", "moustache", "full"),
    (0.95, 1.18),
    (0.95, 1.3),
    (0.97, 1.06),
)


def looks_of(name: str) -> FaceFeatures:
    """The looks of the person of that name."""
    # By the name alone, and drawn in a fixed order: a person has the same face in every set.
    rng = random.Random(f"looks of {name}")
    build = _WOMAN if name.split()[0] in _WOMEN else _MAN
    tone = rng.randrange(len(_SKINS))
    hair = rng.choice(_dark(_HAIRS) if tone in _DEEP else _HAIRS)
    if rng.random() < 0.07:
        hair = _GREY
    return FaceFeatures(
        skin=_SKINS[tone],
        hair=hair,
        beard=rng.choice(build.beards) if build.beards else "",
        # Green and blue eyes with the three lightest skins only.
        eyes=rng.choice(_EYES if tone < 3 else _EYES[:1] + _EYES[3:]),
        style=rng.choice(build.styles),
        glasses=rng.random() < 0.12,
        jaw=rng.uniform(*build.jaw),
        breadth=rng.uniform(0.93, 1.04),
        brow=rng.uniform(*build.brow),
        mouth=rng.uniform(0.85, 1.15),
        shoulders=rng.uniform(*build.shoulders),
    )


def _dark(hairs: tuple[Colour, ...]) -> tuple[Colour, ...]:
    return hairs[:2] + hairs[-2:]
