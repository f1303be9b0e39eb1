"""Lines of mails and pages that say who wrote and when, and nothing of cards."""

from __future__ import annotations

import re

from tagger.core.checklist.named.months import month_of
from tagger.core.model.text import fold

# who wrote a mail, to whom and when, in the languages of lists; and a day that is written out
_MAIL_HEAD = re.compile(
    r"^(?:from|to|cc|sent|date|subject|von|an|gesendet|datum|betreff|de|à|a|envoyé|objet|para|"
    r"enviado|fecha|asunto|da|inviato|oggetto|van|aan|verzonden|onderwerp)\s?:\s",
    re.IGNORECASE,
)
_DAY = re.compile(
    r"^(?:[^\W\d_]+,?\s+(?:den\s+)?|le\s+)?(?:[0-9]{1,2}(?:\.|er|st|nd|rd|th)?\s+(?:de\s+)?"
    r"(?P<month>[^\W\d_]{3,10})\.?|(?P<first>[^\W\d_]{3,10})\.?\s+[0-9]{1,2}(?:st|nd|rd|th)?),?\s+"
    r"(?:de\s+)?(?:19|20)[0-9]{2}(?:[\s,]+(?:at|um|à|om)?\s*[0-9]{1,2}[:.h][0-9]{2}.*)?$"
)


_LONGEST = 300  # characters of a sentence that are looked at


# `what I have left over from the 1987 Harbor Light set, all clean`
_SET_SAID = re.compile(
    r"\s(?P<name>(?:1[89]|20)[0-9]{2}(?:[-/][0-9]{2,4})?(?:\s+[A-ZÀ-Þ&][\w.'’&-]*)+)\s+"
    r"(?:set|series|cards|serie|collection|sammlung|cartes|cartas|kaarten|karten|figurine)\b"
)


# `mes doubles de la série Port de Brume 1987`, `Album "Port de Brume 1987"`
_SET_CALLED = re.compile(
    r"(?:^|\s)(?:the|la|le|l['’]|el|die|der|de|den|il)?\s?\b(?i:s[ée]rie|series|set|album|"
    r"collection|collezione|colecci[oó]n|sammlung|reeks)\s+[\"«“„]?\s?"
    r"(?P<name>[A-ZÀ-Þ][^,:;()\"»”“]{2,50}?\s(?:1[89]|20)[0-9]{2}(?:[-/][0-9]{2,4})?)(?![0-9])"
)


def set_said(text: str) -> str:
    """The set that a sentence names by its year and calls so; empty where it names none."""
    text = text[:_LONGEST]
    match = _SET_SAID.search(text) or _SET_CALLED.search(text)
    return match["name"] if match else ""


# `What's in 2010 Harbor Light?`
_SET_WITHIN = re.compile(
    r"(?<![0-9/.-])(?P<name>(?:1[89]|20)[0-9]{2}(?:[-/][0-9]{2,4})?(?:\s+[A-ZÀ-Þ&][\w.'’&-]*)+)"
)


def set_within(text: str) -> str:
    """A year in a sentence and the words with capitals right behind it, or before it; empty where
    it has none."""
    text = text[:_LONGEST]
    match = _SET_WITHIN.search(text) or _SET_BEFORE.search(text) or _SET_QUOTED.search(text)
    # `1987 Harbor Light. Postage is extra`
    return _SENTENCE.split(match["name"])[0].rstrip(".") if match else ""


# `here are the cards of "Night Games"`
_SET_QUOTED = re.compile(r"[\"«“„]\s*(?P<name>[A-ZÀ-Þ][^\"«»“”„]{3,60}?)\s*[\"»”“]")
_SENTENCE = re.compile(r"(?<=[a-z]{3})[.!]\s+(?=[A-Z])")


_SET_BEFORE = re.compile(
    r"(?<!\w)(?P<name>(?:[A-ZÀ-Þ][\w'’&-]*\s+)+(?:1[89]|20)[0-9]{2}(?:[-/][0-9]{2,4})?)(?![0-9])"
)


def is_mail_head(text: str) -> bool:
    """Whether a line is of the head of a mail, or a day that is written out: it names no set."""
    is_head = _MAIL_HEAD.match(text) is not None and subject_of_mail(text) == text
    return is_head or is_day(text)


def is_day(text: str) -> bool:
    """Whether a line is a day with its month in letters: `Sunday, 14 March 2010`."""
    match = _DAY.match(fold(text))
    return match is not None and month_of(match["month"] or match["first"]) > 0


_SUBJECT = re.compile(
    r"^(?:subject|betreff|objet|asunto|oggetto|onderwerp)\s?:\s+(?:(?:re|fwd?|aw|wg|rv|tr)\s?:\s+)*"
    r"(?P<said>.*(?<![0-9])(?:1[89]|20)[0-9]{2}(?![0-9]).*)$",
    re.IGNORECASE,
)


def subject_of_mail(text: str) -> str:
    """What the subject line of a mail says, where it has a year; another line as it is."""
    match = _SUBJECT.match(text)
    return match["said"] if match else text


# `[03.05.22, 18:05] Renzo: `, before what someone wrote
_STAMP = re.compile(
    r"^\[?[0-9]{1,2}[./-][0-9]{1,2}[./-][0-9]{2,4},?\s+[0-9]{1,2}:[0-9]{2}(?::[0-9]{2})?"
    r"(?:\s?[AaPp][Mm])?\]?\s*(?:[-–]\s*)?[^:\d\]]{1,30}:\s+"
)


def without_stamp(text: str) -> str:
    """A line of a chat without when it was written, and by whom."""
    return _STAMP.sub("", text)
