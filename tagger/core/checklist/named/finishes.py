"""Words that parallels are called by."""

from __future__ import annotations

import re

from tagger.core.model.text import fold

# Words of the names of parallels: a column with one of them and crosses below is one parallel.
FINISHES = frozenset(
    [
        "gold", "silver", "bronze", "copper", "platinum", "black", "red", "blue", "green",
        "refraction", "refractions", "xfractor", "superfractor", "vinyl", "ripple", "swirl",
        "speckle", "bordered", "holographic", "iridescent", "metallic",
        "orange", "purple", "violet", "pink", "white", "yellow", "teal", "aqua", "turquoise",
        "brown", "grey", "gray", "rainbow", "ruby", "sapphire", "emerald", "amber", "pearl",
        "diamond", "refractor", "refractors", "foil", "foils", "holo", "holofoil", "hologram",
        "chrome", "wave", "shimmer", "ice", "mosaic", "sparkle", "glitter", "parallel",
        "parallels", "proof", "proofs",
        "plate", "plates", "negative", "sepia", "hyper", "camo", "mini",
        "minis", "canvas", "lava", "neon", "velvet", "matte", "glossy", "diecut", "cut", "wood",
        "marble", "crackle", "prism", "prismatic", "lamp", "midnight", "silber", "kupfer",
        "schwarz", "rot", "blau", "grun", "lila", "rosa", "weiss", "gelb", "braun", "folie",
        "argent", "noir", "rouge", "bleu", "vert", "blanc", "jaune", "oro", "plata", "negro",
        "rojo", "azul", "verde", "blanco", "amarillo", "argento", "nero", "rosso", "blu", "bianco",
        "giallo", "goud", "zilver", "zwart", "rood", "blauw", "groen", "wit", "geel", "ゴールド",
        "emeraude", "saphir", "rubis", "cuivre", "esmeralda", "zafiro", "morado", "naranja",
        "smeraldo", "zaffiro", "viola", "paars", "oranje", "smaragd", "rubin", "turkis", "platin",
        "brillant", "brillante", "brillantes", "glanz", "glitzer", "shiny", "borderless", "etched",
        "fullart", "altart", "extendedart",
        "シルバー", "ブラック", "レッド", "ブルー", "グリーン", "パープル", "オレンジ", "ホロ",
        "ホイル", "箔押し", "金", "銀", "赤", "青",
    ]
)  # fmt: skip
_FOLDED_FINISHES = frozenset(map(fold, FINISHES))


def is_finish(heading: str) -> bool:
    """Whether a heading has a word that parallels are called by, or a print run."""
    words = re.findall(r"[^\W_]+", fold(heading))
    if words == ["or"]:  # gold in French; among other words it is an English one
        return True
    if not _FOLDED_FINISHES.isdisjoint([*words, "".join(words)]):  # `Full Art`
        return True
    return re.search(r"(?<![0-9])/\s*[0-9]+\b", heading) is not None
