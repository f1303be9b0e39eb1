"""What a person looks like: always the same for the same name, from one set to the next."""

from __future__ import annotations

import random
from dataclasses import dataclass

from tagger.demo.art.brush import Colour

_SKINS: tuple[Colour, ...] = (
    (246, 214, 188), (236, 194, 160), (224, 176, 138), (206, 152, 112), (176, 120, 82), (142, 92,
    62), (108, 68, 48),
    (240, 202, 176),
)  # fmt: skip
_HAIRS: tuple[Colour, ...] = (
    (38, 28, 26), (66, 42, 30), (104, 66, 38), (150, 98, 52), (206, 162, 92), (168, 74, 36), (28,
    26, 32), (82, 56, 44),
)  # fmt: skip
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
class Features:
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


def looks_of(name: str) -> Features:
    """The looks of the person of that name."""
    rng = random.Random(f"looks of {name}")
    woman = name.split()[0] in _WOMEN
    tone = rng.randrange(len(_SKINS))
    hair = rng.choice(_HAIRS if tone not in (4, 5, 6) else _HAIRS[:2] + _HAIRS[-2:])
    if rng.random() < 0.07:
        hair = _GREY
    beard = "" if woman else rng.choice(("", "", "", "stubble", "moustache", "full"))
    return Features(
        skin=_SKINS[tone],
        hair=hair,
        eyes=rng.choice(_EYES if tone < 3 else _EYES[:1] + _EYES[3:]),
        style=rng.choice(_LONG if woman else _SHORT),
        beard=beard,
        glasses=rng.random() < 0.12,
        jaw=rng.uniform(0.82, 0.94) if woman else rng.uniform(0.95, 1.18),
        breadth=rng.uniform(0.93, 1.04),
        brow=rng.uniform(0.7, 0.95) if woman else rng.uniform(0.95, 1.3),
        mouth=rng.uniform(0.85, 1.15),
        shoulders=rng.uniform(0.84, 0.92) if woman else rng.uniform(0.97, 1.06),
    )
