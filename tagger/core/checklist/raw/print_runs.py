"""Print runs as lists write them: `/99`, `#'d to 1,000`, `limited to 99 copies`, `1 of 1`."""

from __future__ import annotations

import re


def _number(name: str) -> str:
    return rf"(?P<{name}>[0-9]{{1,3}}(?:[,.' ][0-9]{{3}}){{1,3}}|[0-9]{{1,7}})"


# that copies are numbered, or few
_NUMBERED = (
    r"numbered|limited|(?:durch)?nummeriert|limitiert|num[ée]rot[ée]e?s?|limit[ée]e?s?|"
    r"numerad[oa]s?|limitad[oa]s?|numerat[aeio]|limitat[aeio]|genummerd|gelimiteerd"
)
# words around a print run
_BEFORE = (
    rf"(?:\b(?:(?:{_NUMBERED})(?:\s+(?:auf|bis|zu|à|au|a|en|op|tot))?|"
    r"serial(?:ly)?|sequentially|print\s*run|ltd|only|nr|no|sn|ser|max|"
    r"of|out|de|von|van|sur|su|di|to|out of|edition of|run of|all|each|every|alle|je|jeweils|tous|"
    r"toutes|todas|todos|tutte|tutti|allemaal)\b\.?|(?:#\s?'?|')d\b|#|限定)"
)
_AFTER = (
    r"(?:\s*(?:copies|made|cards|pieces|pcs|exist|produced|produziert|stück|ex\.?|exemplare|"
    r"exemplaires|exemplaren|esemplari|ejemplares|copias|copie|pezzi|stuks|枚(?:限定)?))"
)
_START, _END = r"(?:^|[\s(（\[,:–—-])", r"\s*[)）\]]?$"
_NO_YEAR = r"(?!(?:19|20)[0-9]{2}\b)"
# What stands behind a parallel's name: `/99`, `(#'d to 99)`, `99 copies`, `[99]`, `- 99`, `SN99`.
_BEHIND = re.compile(
    "|".join(
        (
            rf"(?:{_START}|#|(?<=[^\W\d_]))\s*(?:{_BEFORE}\s*)*(?:(?<![^\W_])[x0]{{1,5}})?/\s*"
            rf"{_number('slash')}{_AFTER}?{_END}",
            rf"{_START}(?:{_BEFORE}\s*)+{_number('worded')}{_AFTER}?{_END}",
            rf"{_START}\s*{_number('made')}{_AFTER}{_END}",
            rf"\s*[(\[]\s*{_NO_YEAR}{_number('held')}{_END}",
            rf"\s+[–—-]\s*{_NO_YEAR}{_number('dashed')}$",
            rf"\bSN{_number('short')}$",
        )
    ),
    re.IGNORECASE,
)
_ONCE_BEHIND = re.compile(
    r"(?:^|[\s(\[–—-])(?:#?\s*(?<![0-9])1\s*/\s*1|1 (?:of|von|sur|de|di|van) 1|"
    r"one[ -]of[ -]one)\s*[)\]]?$",
    re.IGNORECASE,
)
# `Gold /50 (hobby)`: the name goes on behind the run
_WITHIN = re.compile(rf"\s#?/\s?{_number('run')}(?=\s+[(\[–—-])", re.IGNORECASE)
_ALONE = re.compile(
    rf"^(?:{_BEFORE}\s*)*[x0]*\s*/?\s*{_number('run')}(?:\.0)?{_AFTER}?$", re.IGNORECASE
)
_ONCE = re.compile(r"^#?(?:1\s*/\s*1|1\s*of\s*1|one[ -]of[ -]one)$", re.IGNORECASE)
_NEW_YEAR = re.compile(
    r"^(?:[0-9]{4}-01-01(?:[T ][0-9:.]+)?|0?1[-. ]{1,2}(?:jan|ene|gen|janv)\.?|jan[- ]0?1)$",
    re.IGNORECASE,
)
_AROUND = " #-–—:,([（"
_LONGEST = 400  # characters of a text with a print run


def split_run(text: str) -> tuple[str, int]:
    """A text without the print run in it, and the run; 0 where it has none."""
    if len(text) > _LONGEST:
        return " ".join(text.split()), 0
    if match := _ONCE_BEHIND.search(text):
        return text[: match.start()].strip(_AROUND), 1
    if match := _BEHIND.search(text):
        return text[: match.start()].strip(_AROUND), _whole(next(filter(None, match.groups())))
    if match := _WITHIN.search(text):
        return f"{text[: match.start()]}{text[match.end() :]}", _whole(match["run"])
    return " ".join(text.split()), 0


def run_number(text: str) -> int:
    """The print run that a text is, 0 where it is none: `/99`, `#'d to 1,000`, `1 of 1`."""
    text = text.strip()
    if not text:
        return 0
    if _ONCE.match(text) or is_dated_once(text):
        return 1
    match = _ALONE.match(text)
    return _whole(match["run"]) if match else 0


# what a heading calls a print run
RUN_WORD = re.compile(
    rf"#\s?'?d\b|\b(?:serial(?:ly)?|{_NUMBERED}|print\s*run|copies|auflage|tirage|"
    r"tirada|tiratura|oplage)\b",
    re.IGNORECASE,
)
_RUN_SAID = re.compile(rf"(?:{RUN_WORD.pattern})[^0-9]{{0,20}}(?P<run>[0-9]{{1,5}})", re.IGNORECASE)


def run_said(text: str) -> int:
    """The print run that a heading says in words, 0 where it says none."""
    match = _RUN_SAID.search(text)
    return int(match["run"]) if match else 0


_COPY = re.compile(r"^#?\s*(?P<copy>[0-9]{1,5})\s*/\s*(?P<run>[0-9]{1,5})$")


def run_of_copy(text: str) -> int:
    """The print run behind the serial number of one copy, `12/99`, 0 where a text is none."""
    match = _COPY.match(text.strip())
    return int(match["run"]) if match and 0 < int(match["copy"]) <= int(match["run"]) else 0


def is_once(text: str) -> bool:
    """Whether a text says that there is one copy, by itself or with the slash of a run."""
    text = text.strip()
    if _ONCE.match(text) or is_dated_once(text):
        return True
    return "/" in text and run_number(text) == 1


def is_dated_once(text: str) -> bool:
    """Whether a text is what a spreadsheet makes of `1/1`: the first of January."""
    return _NEW_YEAR.match(text.strip()) is not None


def _whole(digits: str) -> int:
    return int(re.sub(r"[,.' ]", "", digits))
