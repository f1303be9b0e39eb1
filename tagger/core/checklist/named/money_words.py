"""Signs and words of money in headings."""

from __future__ import annotations

import re
from unicodedata import normalize

MONEY = re.compile(
    r"(?:\b[a-z]{1,2}(?=\$))?[$€£¥₤₩₱₹₺₽円]|\b(?:usd|eur|euros?|gbp|jpy|cad|aud|chf)\b",
    re.IGNORECASE,
)
UNITS_BEHIND = re.compile(r"[(\[]\s*[$€£¥]\s*[)\]]")
# in headings alone: in cells these are other measures
CURRENCY = re.compile(
    r"\b(?:us|kc|czk|zl|pln|kr|sek|nok|dkk|ft|huf|руб|грн|lei|ron|din|kn|円|元|원)\b\.?|[円元원]"
)
# words that say how sure a price is; with a sign of money they are a heading: `est. €`
ABOUT = frozenset(
    ["est", "estimate", "estimated", "ca", "circa", "about", "approx", "approximate", "gesch",
     "geschatzt", "geschatzter", "geschatzte", "etwa", "environ", "estime", "estimee", "aprox",
     "aproximado", "estimado", "stimato", "stimata", "ongeveer", "geschat", "guide", "in", "en",
     "raw", "ungraded", "market", "asking", "book", "list", "retail", "current", "avg", "average",
     "max", "maximum", "maximal", "massimo", "maximo", "top", "limit", "cat", "catalogue",
     "catalog", "katalog",
     "ttc", "ht", "vat", "incl", "inkl", "mwst", "brutto", "iva", "btw",
     "trade", "bk", "nm", "ex", "vg", "mt", "mint",
     "推定", "参考", "each", "apiece", "per", "piece", "je", "pro", "stuck"]
)  # fmt: skip


def says_money(text: str) -> bool:
    """Whether a text has a sign of money."""
    return MONEY.search(normalize("NFKC", text)) is not None


def says_currency(name: str) -> bool:
    """Whether a heading has a sign of money, or a word for a currency."""
    return says_money(name) or CURRENCY.search(normalize("NFKC", name).casefold()) is not None
