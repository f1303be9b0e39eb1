"""Lines that say what their maker has a list for: duplicates, wants, cards for sale."""

from __future__ import annotations

import re

from tagger.core.model.text import fold

_PURPOSES = frozenset(
    ["duplicates", "dupes", "doubles", "dups", "trade", "trades", "trading", "sale", "wants",
     "want", "wanted", "needs", "need", "needed", "haves", "have", "missing", "wantlist",
     "tradelist", "haben", "suche", "biete", "tausch", "doppelte", "fehlend", "fehlende",
     "fehlliste", "verkauf", "echange", "cherche", "manquantes", "manque", "cambio",
     "ancora", "cerco", "dubbel", "doppelt", "twice", "repes", "fehlen", "suchen",
     "zoek", "recherche", "busco", "repetidas", "repetidos", "faltan", "faltas", "venta", "doppie",
     "doppioni", "mancanti", "mancano", "scambio", "vendita", "dubbele", "gezocht", "ruil",
     "ruilen", "swaps", "got", "iso", "ft", "fs", "wtt", "wtb", "wts",
     "log", "pulls", "tracker", "logbuch", "registro", "journal",
     "ventes", "vendite", "verkaufe"]
)  # fmt: skip
_PURPOSE_LITTLE = frozenset(
    ["for", "my", "our", "list", "cards", "card", "the", "up", "zum", "zu", "ich", "meine", "liste",
     "karten", "je", "mi", "mir", "heb", "ik", "van", "ho", "habe", "j", "ai", "tengo",
     "queste", "questi", "estos", "estas", "ces", "diese", "deze", "figurine", "figurines",
     "cromos", "plaatjes", "bilder", "carte", "cartes", "cartas", "sticker", "stickers",
     "il", "nog", "pour", "a", "en", "de", "para", "me", "in", "per", "te", "voor", "i", "and",
     "or", "und", "et", "y", "e", "still", "what", "which", "that", "all", "noch", "was",
     "some", "of", "mine", "left", "only", "these", "que", "qui", "che", "so", "far", "bisher",
     "already", "hits", "hit", "pull", "sales", "rainbow", "break", "breaks", "case"]
)  # fmt: skip


_ASIDE = re.compile(r"\([^()]*\)")


def is_purpose(text: str) -> bool:
    """Whether a line says what its maker has the list for: `Duplicates for trade`, `I need`."""
    said = set(re.findall(r"[^\W\d_]+", fold(_ASIDE.sub("", text))))
    return not said.isdisjoint(_PURPOSES) and said <= _PURPOSES | _PURPOSE_LITTLE


# what the owner of a list has, or lacks, beside the words of its purposes
_OWNED = frozenset(
    ["own", "owned", "mine", "collected", "collection", "album", "binder", "habe", "hab",
     "vorhanden", "sammlung", "possede", "possedee", "eue", "tengo", "tenho", "tenemos",
     "coleccion", "posseduto", "posseduta", "ce", "celo", "ho", "collezione", "heb", "aanwezig",
     "verzameling", "bezit", "所持", "持っている", "fehlt", "doppel", "manquante", "falta",
     "repetida", "repetido", "doppio", "doppia", "manca", "mancante", "mis", "ontbreekt", "har",
     "saknas", "dubblett", "swap", "double", "ai", "had"]
)  # fmt: skip


def says_owned(text: str) -> bool:
    """Whether a text says that an owner has something, or lacks it: `got it`, `in my binder`."""
    said = set(re.findall(r"[^\W\d_]+", fold(text)))
    return not said.isdisjoint(_PURPOSES | _OWNED)


_OWNERS = re.compile(
    r"\W*(?:my|our|mes|nos|meine?|unsere|mijn|mis|le mie|i miei|mina|mine|as minhas|os meus)\b"
)


def is_owners(text: str) -> bool:
    """Whether a title says whose cards they are: `My dog cards`."""
    return _OWNERS.match(fold(text)) is not None


# where cards are kept (common practice, no source)
PLACES = (
    r"(?:shoe ?box|box|binder|page|row|tray|case|tab|album|stock|inventory|ordner|seite|blatt|"
    r"karton|kiste|kasten|bo[iî]te|classeur|caja|carpeta|scatola|raccoglitore|doos|map)"
)
_PLACE = re.compile(rf"{PLACES}\s*(?:[0-9]{{1,3}}|[a-z])?")


# what was done with the cards there
_SINCE = re.compile(
    r"\s*[-–—:,(]\s*(?:counted|checked|sorted|updated|done|as of|from|since|stand|gezahlt|gepruft|"
    r"compte|contad[oa]|contat[oa]|geteld)\b[^()]*\)?$"
)


def is_place(text: str) -> bool:
    """Whether a name is that of a place where cards are, and of no set: `Box 2`, `Box 2 - counted
    12 Jan`."""
    return _PLACE.fullmatch(_SINCE.sub("", fold(text).strip())) is not None


_NAME = r"(?P<name>(?:[^\W\d_a-zà-ÿ][\w.'’-]*\s+){1,3}?[^\W\d_a-zà-ÿ][\w.'’-]*?)"
_COLLECTION = (
    r"(?i:collection|pc|super ?collection|sammlung|kartensammlung|colecci[oó]n|collezione|"
    r"verzameling|cole[cç][aã]o)"
)
_OF_ONE = (
    re.compile(
        rf"^\W*(?:(?i:my|our|the)\s+)?{_NAME}(?:['’]s?)?\s+"
        r"(?i:(?:player|personal|card|complete|full|master)\s+)*"
        rf"{_COLLECTION}\W*$"
    ),
    re.compile(
        rf"^\W*(?i:(?:my|meine|mijn|la mia|mi|ma|minha)\s+)?{_COLLECTION}\s+"
        rf"(?i:(?:von|of|de|di|van|do|da)\s+)?{_NAME}\W*$"
    ),
    re.compile(
        r"^\W*(?i:player|subject|athlete|spieler|joueur|jugador|giocatore|speler)\s*:\s+"
        rf"{_NAME}\W*$"
    ),
)
# what collections are of that is nobody
_KINDS = frozenset(
    ["baseball", "football", "basketball", "hockey", "soccer", "card", "cards", "karten", "vintage",
     "rookie", "complete", "master", "trading", "sports", "sport", "personal", "family", "estate",
     "main", "stock", "all", "old", "new", "non"]
)  # fmt: skip


def one_collected(text: str) -> str:
    """The person whose cards alone a list has, as its title says: `Ada Marsh Collection`, `Player:
    Ada Marsh`; empty where it says none."""
    if any(map(str.isdigit, text)):
        return ""
    name = next((match["name"] for one in _OF_ONE if (match := one.match(text))), "")
    return name if _KINDS.isdisjoint(fold(name).split()) else ""
