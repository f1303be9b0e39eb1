"""The name in a title, without what else titles say: how many cards, what state the list is in, how
often a part is found."""

from __future__ import annotations

import re

from tagger.core.checklist.named.list_words import in_prose
from tagger.core.checklist.raw.base_set import without_base_set
from tagger.core.checklist.raw.counts import COUNT_PART, count_said
from tagger.core.checklist.raw.odds import ODDS, ODDS_HELD
from tagger.core.checklist.raw.purposes import PLACES, is_purpose
from tagger.core.checklist.raw.years import YEAR, has_year
from tagger.core.model.text import SMALL_WORDS, fold

_SET_OF = r"[(\[]?(?:an? )?(?:complete |full )?(?:set|series|serie|satz) (?:of|von|de|di|van)"
_LISTED = re.compile(
    r"[\s,;:–—-]*\b(?:(?:full|complete|master|official|base|final|preliminary|updated|revised)?\s*"
    r"(?:card\s*)?check\s*list[e]?|(?:both|all) series|"
    r"(?:full |complete |master )?(?:card|set) list|buy ?list|買取(?:メモ|リスト|表|価格表)?|"
    r"trading card game|trading cards?|"
    r"(?:(?:winter|summer|spring|fall|autumn|annual|monthly) )?price (?:guide|list)|"
    r"(?:parallels?|print run|insert|odds|card|set) (?:guide|overview)|"
    r"preisliste|prijslijst|liste (?:de|des) prix|lista (?:de )?precios|listino(?: prezzi)?|"
    r"master set|complete set(?: of)?|(?:rainbow )?(?:tracker|want ?list|wants|needs)|"
    r"(?:in )?alphabetical(?: order| list)?|alphabetically|sorted by (?:name|number)|"
    r"alphabetisch|(?:ordre |liste )?alphab[ée]tique|alfab[ée]tic[oa]|"
    r"by team|team sets?|team (?:set )?list|"
    r"(?:index(?: of)?|list of|all(?: the)?) (?:players|names|subjects|cards)|"
    r"kartenliste|gesamtliste|gesamtübersicht|komplettliste|show copy|"
    r"(?:master|full|complete|komplette|vollständige|complete|volledige|intera) "
    r"(?:list|liste|lijst|lista)|liste compl[eè]te|lista completa|print runs|"
    r"(?:liste|lista|lijst|elenco|relaci[oó]n)"
    r"(?: (?:de|des|der|di|delle|van) (?:cromos|cartes|cartas|karten|figurine|carte|kaarten|"
    r"plaatjes|bilder))?|(?:所持|手持ち)?(?:カード|チェック)?(?:リスト|一覧表?)"
    r"|(?:欲しい(?:もの|物)|ほしいもの|探しもの|探し物|不足|未所持|交換用?|在庫)(?:の)?(?:リスト|一覧表?))\b\s*$",
    re.IGNORECASE,
)
_BARE_COUNT = re.compile(
    r"\s*(?:\((?!(?:1[89]|20)[0-9]{2}\))(?P<count>[0-9]{1,4})\)|\s/\s+(?P<of>[0-9]{1,4})"
    rf"|[\s,;:–—-]+{_SET_OF} (?P<all>[0-9]{{1,4}})[)\]]?)\s*$",
    re.IGNORECASE,
)
_LISTED_BEFORE = re.compile(
    r"^\W*(?:(?:my|our|meine?|mes|ma|mi|mijn|la mia|a minha)\s+(?:card )?"
    r"(?:check\s*list|list[ea]?|lijst|collection|sammlung|collezione|colecci[oó]n|verzameling|cole[cç][aã]o)\s+"
    r"(?:(?:of|de|des|der|di|van|von)\s+)?(?=(?-i:[A-ZÀ-Þ0-9«\"]))"
    r"|check\s*list\s*(?:[:–—-]|(?:of|for)\b(?:\s+the\b)?)|(?:my|our|mein[e]?)\b"
    r"|(?:my|our|meine?|mine?|mitt?|mina|mijn|mes|mis|le mie|i miei|as minhas|os meus|moje)\s"
    r"[^:\d]{1,30}:"
    r"|(?:kartenliste|setliste|check\s*list[ea]?)\s+(?=(?:1[89]|20)[0-9]{2}\b)|(?:kartenliste|liste|lista|lijst|elenco|relaci[oó]n|inventario|inventaire|inventar|list|"
    r"want\s?list)\b[^:\d]{0,30}:"
    r"|(?:liste|lista|lijst|elenco)\s+(?:de|des|der|di|delle|van)\s+(?:cromos|cartes|cartas|karten|"
    r"figurine|carte|kaarten|plaatjes|bilder)\s*[-–—:]\s*"
    r"|(?:check\s*list|list|liste|lista|lijst|elenco)\s+(?:of|van|von|de|der|des|di)\s+"
    r"(?=(?-i:[A-ZÀ-Þ0-9«]))"
    r"|(?:verkaufs|preis|such|tausch|fehl|karten|set|manco|bestands)?list[ea]\s+(?=\D*(?:1[89]|20)[0-9]{2}\b)"
    r"|(?:verkoop|prijs|kaarten)?lijst\s+(?=\D*(?:1[89]|20)[0-9]{2}\b)"
    r"|(?:sammlung|bestand|inventar|verzameling)\s+(?=(?-i:[A-ZÀ-Þ0-9«])\D*(?:1[89]|20)[0-9]{2}\b)"
    r"|(?:manquante?s|faltantes|mancanti|doppioni|repetid[ao]s|fehlende|doppelte|doublons|"
    r"ontbrekend|dubbelen)\s+(?=(?-i:[A-ZÀ-Þ0-9«])\D*(?:1[89]|20)[0-9]{2}\b))\s*",
    re.IGNORECASE,
)
# `Re: [List] `, `For sale: loose cards `, `Cards that I still need of `
_LEADS = re.compile(
    r"^\W*(?:re:\s*|\[[^\[\]]{2,20}\]\s+(?=\S)"
    r"|(?:te koop|for sale|zu verkaufen|à vendre|en venta|vendesi|in vendita|wts|wtb|wanted|"
    r"gezocht|gesucht|suche|biete|cherche|busco|cerco)\s*:\s*"
    r"|(?:losse kaarten|einzelkarten|single cards|loose cards|cartes au détail)\s+"
    r"(?=(?-i:[A-ZÀ-Þ0-9]))"
    r"|(?:cromos|figurine|cartes|karten|kaarten|cards|stickers|plaatjes)\s+"
    r"(?:que me faltan|che mi mancano|qui me manquent|die mir fehlen|die ik mis|i (?:still )?need)"
    r"\s+(?:del|de la|de|della|dei|di|du|des|von|aus|van|from|of|for)\s+(?:the\s+|het\s+)?)+",
    re.IGNORECASE,
)
_MEMO = re.compile(r"\s*(?:(?:自分用)?メモ|自分用)$")
_TAIL = re.compile(r"\s*(?:[–—:,|-]\s|\()\s*(?P<tail>[^–—:,|()\d-]+?)\)?\s*$")
_ALL_NUMBERS = re.compile(
    r"\s*[(\[](?:cards?|nos?|nrs?|numbers|#|karten)?[.\s#]*[0-9]{1,3}\s*(?:[-–—]|to|bis)\s*#?[0-9]{1,4}[)\]]\s*$",
    re.IGNORECASE,
)
# `(complete)`, `v2`: what state the list is in
_STATE = re.compile(
    r"\s*(?:[(\[](?:complete|incomplete|final|draft|wip|partial|updated|komplett|vollständig|"
    r"completa?|completo|compleet|(?:as of|updated|stand|last updated)\b[^()\[\]]*)[)\]]|"
    r"[,;]\s*(?:as of|updated|stand|stato al|état au|situatie)\b[^,;()]*|"
    r"\bv(?:er)?\.?\s?[0-9]+(?:\.[0-9]+)?)\s*$",
    re.IGNORECASE,
)
_BASE_SET = re.compile(r"(?<=[^\W\d_])\s+base set$", re.IGNORECASE)
_BY_TEAM = re.compile(
    r"\b(?:by (?:team|club)|team sets?|team (?:check)?lists?|nach (?:verein|team)|par equipe)\b"
)
_BRACKETED = re.compile(r"\[[^\[\]]*\]|<[^<>]*>|\{[^{}]*\}|\([^()]*\)")
_SAVED = r"\((?:[0-9]{1,2}|unicode|utf-?8|csv|export|final|new|old|neu|alt)\)"
_COPY = re.compile(rf"\s*(?:{_SAVED}|-?\s*\b(?:copy|kopie|copie|copia)\b(?:\s*\([0-9]+\))?)$", re.I)


def is_by_team(text: str) -> bool:
    """Whether a title says that the headings below it are teams."""
    return _BY_TEAM.search(fold(text)) is not None


def cards_said(text: str) -> int:
    """How many cards a title says that there are, 0 where it does not."""
    bare = _BARE_COUNT.search(text.rstrip(" :"))
    return count_said(text) or (int(next(filter(None, bare.groups()))) if bare else 0)


_PER_BOX = re.compile(
    r"(?:\s*[-–—:,;(]\s*(?:an? average of |about )?(?:one|two|three|four|[0-9]{1,2})\s+(?:card\s+)?"
    r"(?:per|in every|in each|every|pro|par|por)\s[^-–—(]{2,30}"
    r"|\s+[-–—]\s+team (?:check)?lists?(?: for \w+)?"
    r"|\s+[-–—]\s+[0-9]{1,3}\s+(?:hobby |retail )?(?:cases?|boxe?s?|packs?)\b[^-–—(]{0,30}"
    r")+$",
    re.IGNORECASE,
)


# `(need 14)`
_WANTS_BEHIND = re.compile(
    r"\s*[(\[](?:still )?(?:needs?|wants?|have|missing|fehlen|suche|mancano|faltan|manquent)\b"
    r"[^()\[\]]*[)\]]$",
    re.IGNORECASE,
)
# ` – album de 24 images (Harbor Chocolates)`
_ALBUM_OF = re.compile(
    r"\s*[–—-]\s*(?:album|set|s[ée]rie|series|collection|raccolta|colecci[oó]n)\s+"
    r"(?:de|of|di|von|van)\s+[0-9]{1,4}\s+[^\W\d_]+\s*(?:\([^()]*\))?$",
    re.IGNORECASE,
)
_PAGE_BEHIND = re.compile(
    r"\s*[(\[,;:|–—-]?\s*\b(?:page|seite|pagina|página|p[aá]g\.?|p\.|s\.)\s*[0-9]{1,3}"
    r"(?:\s*(?:of|/|von|de|di|van|sur)\s*[0-9]{1,3})?\s*[)\]]?\s*$",
    re.IGNORECASE,
)


def without_page(text: str) -> str:
    """A title without the number of its page behind it, if anything else is left."""
    return _cut(_PAGE_BEHIND, text)


def without_state(text: str) -> str:
    """A title without the number of its page, and without `(as of March)`, behind it, if anything
    else is left."""
    return _cut(_STATE, without_page(text))


def title_name(text: str) -> str:
    """The name in a title: without `(220 cards)`, `(220)`, `(1:12)` and `checklist`."""
    # a run of spaces could be parted in very many ways
    text = _SENTENCE.split(_RULED.sub("", " ".join(text.split())))[0]
    text = _cut(_GOES_ON, _cut(_LEADS, _cut(_MEMO, text)))
    for behind in (_ALBUM_OF, _WANTS_BEHIND, _PER_BOX, _PAGE_BEHIND, ODDS_HELD):
        text = _cut(behind, text)
    text = _cut(ODDS, _cut(_SAID_BEFORE, text).rstrip(" :"))
    text = _CALLED.sub(r"\g<name>", _ANNOUNCED.sub("", text))
    text = without_remark(in_prose(text))
    text = _MAKER_HELD.sub(r"(\g<year>)", _cut(_MADE_BY, text))
    name = _ALL_NUMBERS.sub("", _STATE.sub("", _LISTED_BEFORE.sub("", _without_purpose(text))))
    name = _cut(_PARALLELS_BEHIND, _EDIT.sub("", name))
    name = without_base_set(_BARE_COUNT.sub("", COUNT_PART.sub("", name)))
    name = _cut(_OPEN, name)
    # `Album « Harbor Light » (220 cards)`
    return " ".join(_without_words_of_lists(_CALLED.sub(r"\g<name>", name)).split())


def _cut(pattern: re.Pattern[str], text: str) -> str:
    """A text without what a pattern finds in it, or as it is if that is all of it."""
    return pattern.sub("", text) or text


def _without_words_of_lists(name: str) -> str:
    """A name without words such as `trading cards checklist` behind it."""
    before = ""
    while name != before:
        name = _AND_MORE.sub("", name)
        before, name = name, _LISTED.sub("", name).strip(" :;,-–—#*=_|~•«»")
        name = _without_words_before_held(name)
        if name != before:  # `Base set checklist`
            name = _cut(_BASE_SET, name)
        if _BRACKETED.fullmatch(name):
            name = name[1:-1]
        name = _cut(ODDS, name)
    return name


def _without_words_before_held(name: str) -> str:
    """`Harbor Light card list (2nd printing)`: the name without the words of lists, where brackets
    behind these tell it from others."""
    match = _HELD_BEHIND.match(name)
    if match is None:
        return name
    bare = _LISTED.sub("", match["name"])
    is_list = _LIST.search(match["name"][len(bare) :]) is not None
    return f"{bare} {match['held']}" if bare and is_list else name


_LIST = re.compile(r"list|lijst|elenco|リスト|一覧", re.IGNORECASE)


_HELD_BEHIND = re.compile(r"^(?P<name>[^()]*[^()\s])\s*(?P<held>\([^()]+\))$")
# `Insert « Night Games »`, `Album « Harbor Light 1987 »`
_CALLED = re.compile(
    r"^(?i:album|sammelalbum|collection|colecci[oó]n|collezione|sammlung|s[ée]rie|set|inserts?|"
    r"subset|sub-?series|sous-s[ée]rie|sub-?serie|teilserie|sottoserie|deelserie|"
    r"インサート(?:カード)?)\s*[«“„\"「『]\s*(?P<name>[^«»“”„\"「」『』]+?)\s*[»”“\"」』]$"
)


def is_called(text: str) -> bool:
    """Whether a line says what a set is called: `Série « Harbor Light » - 24 chromos`."""
    return _CALLED.match(COUNT_PART.sub("", text).strip()) is not None


# `Night Games (autographs`, of which the count of cards is gone
_OPEN = re.compile(r"\s*[(\[][^()\[\]]*$")
# what is sold, behind the name of a set with its year
_SINGLES = re.compile(r"(?<=\S)\s+(?-i:singles|commons)$")
# `HARBOR ANNOUNCES 1987 HARBOR LIGHT`, as makers begin what they send out
_SHOWS = (
    r"(?:announces?|announced|presents?|introduces?|unveils?|releases?|launches|reveals?|"
    r"stellt vor|pr[ée]sente|annonce|presenta|anuncia|annuncia|presenteert)"
)
_ANNOUNCED = re.compile(rf"(?i)^[^:]{{2,60}}?\s{_SHOWS}\s+(?=(?:1[89]|20)[0-9]{{2}}\b)")
_ALL = r"(?:all |alle |toutes? (?:les )?|tutti i |todos los )?"
# `Card list[edit]`, as wikis have it
_EDIT = re.compile(
    r"\s*\[(?:edit|bearbeiten|modifier|editar|modifica|bewerken|編集)[^\[\]]*\]$", re.IGNORECASE
)
# the cards of a list of parallels, apart from the name of the set
_PARALLELS_BEHIND = re.compile(
    rf"(?i)\s*[–—:|-]\s+{_ALL}(?:parallels?|parall[eè]les?|parallelen|paralel[ao]s|paralleli)$"
)
# who made the list, behind the name of the set
_MADE_BY = re.compile(
    r"[\s,;–—(-]*\b(?:made|compiled|typed|written|put together|gemaakt|samengesteld|erstellt|"
    r"zusammengestellt|compilée?|établie?|faite?|hecha|elaborada|creata|compilata)"
    r"\s+(?:by|door|von|par|por|da)\b.*$"
    r"|\s+(?:list|liste|lista|lijst|elenco)\s+(?:by|door|von|par|por|di)\b.*$",
    re.IGNORECASE,
)
# `Birds of the Marsh (Tidemark Press, 1958)`
_MAKER_HELD = re.compile(rf"\([^(),;0-9]{{2,40}}[,;]\s*(?P<year>{YEAR.pattern})\)")
# `BASE SET (CONT.)`, at the head of the next page
_HELD = r"[(\[](?:cont\w*|segue|suite|forts\w*|vervolg|sigue)[.']?d?\.?[)\]]"
_GOES_ON = re.compile(rf"[\s,–—-]*(?:\b(?:continued|cont'd|cont\.)|{_HELD})$", re.IGNORECASE)
# `--- Night Games (1:8) ---`
_RULED = re.compile(r"^[=*~_#–—-]{2,}\s*|\s*[=*~_#–—-]{2,}$")
_REMARK = re.compile(r"^(?P<name>\S.*?)(?:\s+[-–—]|[:;,])\s+(?P<remark>(?![A-Z\d])[^A-Z]+)$")


_INCLUDING = re.compile(r"(?<=\S)\s+(?:incl|inkl|including|inklusive)\b\.?\s[^A-Z\d]*$")
_LONGEST = 300  # characters of a title
_LOWER = re.compile(r"\s*[(\[](?:[^()\[\]A-Z\d]|\bI\b)*[a-z],?\s(?:[^()\[\]A-Z\d]|\bI\b)*[)\]]$")
# `(or $25 for all of them)`
_ASKED = re.compile(r"\s*[(\[][^()\[\]A-Z]*(?:[$€£]\s?[0-9]|[0-9]\s?[$€£])[^()\[\]A-Z]*[)\]]$")
# `, prices in EUR, good till Sunday`
_PRICED = re.compile(
    r"\s*[,;(–—-]\s*(?:all )?(?:prices?|values?|preise?|prix|precios|prezzi|prijzen)\b"
    r"\s+(?:in|are|as of|from|per|stand|en|au|al)\b.*$",
    re.IGNORECASE,
)


def without_remark(text: str) -> str:
    """`1987 Harbor Light - singles, shop copy`: what stands apart behind a name with capitals, in
    several words without any, is left away, as is `(in order of names)`."""
    if len(text) > _LONGEST:
        return text
    for pattern in (_LOWER, _INCLUDING, _ASKED, _PRICED, _OF_LIST, _STATES):
        text = _cut(pattern, text)
    if (said := _TALKED.match(text)) and _is_talk(said):
        return _before_talk(said)
    match = _REMARK.match(text)
    if match is None or not match["remark"].islower() or has_year(match["remark"]):
        return text
    if len(match["remark"].split()) < 2:
        return text
    return match["name"] if any(map(str.isupper, match["name"])) else text


# ` - Preisliste Stand Juni 24, Versand extra`
_OF_LIST = re.compile(
    r"\s+[-–—]\s+(?:signatures?|autographs?|auto|signers?|relics?|memorabilia|inserts?) list$|"
    r"\s+[-–—]\s+(?:(?:autogramm|unterschriften|handtekeningen|signaturen)list?e?|"
    r"liste d(?:es |['’])(?:autographes|signatures)|lista de (?:aut[oó]grafos|firmas))$|"
    r"(?<=[0-9]{4})\s+[-–—]\s+(?:preisliste|bestandsliste|fehlliste|suchliste|checkliste|stand|prijslijst|"
    r"price ?list|check ?list|want ?list|list|liste des? prix|liste|lista de precios|lista|listino|"
    r"inventory|inventar)\b.*$",
    re.IGNORECASE,
)
# ` - Nummern sind Mannschaft und Karte`: a sentence
_STATES = re.compile(
    r"(?<=[0-9]{4})\s+[-–—]\s+\S+\s+(?:sind|ist|are|is|son|es|sono|è|zijn|sont|est)\s.*$"
)
# ` – which card is there in Gold?`, `(regional, 20 of 60 known)`: words in small letters, and what
# stands behind them
_TALKED = re.compile(
    r"^(?P<name>\S.*?)(?:(?P<dash>\s+[-–—]\s+)|[;,]\s+|\s+[(\[])"
    r"(?P<talk>(?P<first>[^\W\d_A-ZÀ-Þ][^\W\d_]*)[\s,]\s*[^\W_].*)$"
)
_YEAR_LAST = re.compile(rf"[,(]\s*(?P<year>{YEAR.pattern})\)?$")
_OF_PART = re.compile(
    r"(?:series?|s[ée]ries?|update|traded|part|parte|partie|teil|deel|vol|volume|editions?|set|"
    r"autographs?|relics?|inserts?|rookies?|base|promos?|parallels?)"
)


def _is_talk(said: re.Match[str]) -> bool:
    """Whether what stands apart behind a name, in small letters at first, speaks of the list."""
    first = said["first"]
    if (
        not first.islower()
        or first in SMALL_WORDS
        or any(map(_OF_PART.fullmatch, said["talk"].split()))
    ):
        return False
    if not any(map(str.isupper, said["name"])):
        return False
    if has_year(said["name"]):
        return True
    # without a year before it a comma may be one of the name, and the name may stand behind a dash
    years = has_year(_YEAR_LAST.sub("", said["talk"]))
    return bool(said["dash"]) and not years


def _before_talk(said: re.Match[str]) -> str:
    """`Birds of the Marsh – an album of a tea maker, 1958`: the name, with the year."""
    year = None if has_year(said["name"]) else _YEAR_LAST.search(said["talk"])
    return f"{year['year']} {said['name']}" if year else said["name"]


# `checklist and details`, behind the name of a set
_AND_MORE = re.compile(r"(?<=[^\W_])\s+check\s*lists?\s*(?:,|and\b|&|\+)\s*\D*$", re.IGNORECASE)
# `This month: 1987 Harbor Light`
_SAID_BEFORE = re.compile(
    rf"^(?:(?:[^\W\d_]+\s){{0,2}}{PLACES}(?:\s+\S{{1,4}})?(?=\s*[-–—:])"
    r"|(?:(?:case|box) )?break\s*#?\s?[0-9]*(?=\s*[-–—:])"
    r"|official check\s*list(?=\s)|[^\W\d_]+(?:\s(?-i:[a-z])[^\W\d_]*){1,4}(?=:))"
    r"\s*(?:[-–—:]\s+|\s)(?=(?:1[89]|20)[0-9]{2}\b)",
    re.IGNORECASE,
)
_SENTENCE = re.compile(
    r"(?<=[a-z]{3})[.!]\s+(?=[A-Z])|(?<=\b(?:19|20)[0-9]{2})[.!]\s+|(?<=[A-Z]{4})[.!]\s+(?=[a-z])"
)


def _without_purpose(text: str) -> str:
    """A title without what its maker has the list for: ` - what I still need`."""
    before, colon, behind = text.partition(":")
    if colon and behind.strip() and is_purpose(before):
        return behind.strip()
    before, dash, behind = text.partition(" - ")
    if dash and has_year(behind) and is_purpose(before):
        return behind.strip()
    text = _without_last_words(text)
    match = _TAIL.search(text)
    if match is None or match.start() == 0 or not is_purpose(match["tail"]):
        return text
    return text[: match.start()]


def _without_last_words(text: str) -> str:
    """`1987 Harbor Light duplicates for trade`: the words at the end that say a purpose are left
    away, where a year and a name are left."""
    if has_year(text):
        text = _SINGLES.sub("", text)
    words = text.split()
    for count in range(min(4, len(words) - 2), 0, -1):
        if is_purpose(" ".join(words[-count:])) and has_year(" ".join(words[:-count])):
            return " ".join(words[:-count])
    return text


def file_title(stem: str) -> str:
    """The set that a file's name says: `1987_Harbor_Light_checklist` is `1987 Harbor Light`. What
    names no year is left as it is."""
    text = stem if " " in stem else stem.replace("_", " ")
    name = title_name(_COPY.sub("", text))
    return name if has_year(name) else stem
