"""Words that cards of games are parted by."""

from __future__ import annotations

import re

from tagger.core.model.text import fold

# How often a card is found (common practice, no source).
_RARITIES = frozenset(
    ["common", "uncommon", "rare", "mythic", "legendary", "epic", "super", "ultra", "secret",
     "special", "promo", "holo", "foil", "hyper", "double", "starter", "gewohnlich",
     "ungewohnlich", "selten", "commune", "rara", "raro", "comun", "infrequente",
     "commons", "uncommons", "rares", "mythics", "legendaries", "epics", "communes", "peu",
     "courantes", "legendaire", "legendaires", "epique", "epiques", "mythiques", "haufige",
     "gewohnliche", "ungewohnliche", "seltene", "legendare", "epische", "mythische", "comunes",
     "infrecuentes", "raras", "raros", "legendarias", "legendarios", "epicas", "miticas",
     "comuni", "non", "rari", "rare", "leggendarie", "leggendari", "epiche", "mitiche", "gewone",
     "ongewone", "zeldzame", "legendarische", "gewoon", "ongewoon", "zeldzaam"]
)  # fmt: skip


def is_rarity(text: str) -> bool:
    """Whether a text says how rare a card is: `Ultra Rare`, `C`."""
    said = re.findall(r"[^\W_]+", fold(text))
    return len(text) == 1 or (bool(said) and set(said) <= _RARITIES)
