"""Words for how negatives and prints were made, in English, French and German, as words of this catalog."""

import re
from functools import lru_cache
from typing import NamedTuple

from catalog.exchange.free_text import process_words as words_of

LONGEST = 300


class ProcessReading(NamedTuple):
    """What a text says of how a thing was made, in English words; each "" where nothing was said.

    `process` ("wet-collodion negative", "gelatin silver print"), `support` ("glass", "film", "paper"), `base` of the
    paper ("fibre", "resin-coated"), `toning` ("selenium", "gold"; several joined by " and "), `mount` ("on card").
    `language` is "en", "fr" or "de", "" where the words do not tell. `rest` are words that were not understood, in
    their order. `doubts` are sentences; `why_not` says why no process was read, else "".
    """

    process: str
    support: str
    base: str
    toning: str
    mount: str
    language: str
    doubts: tuple[str, ...]
    why_not: str
    rest: tuple[str, ...]


class _Taken(NamedTuple):
    """What a list of words found in a text: the values in their order, the languages, and the text left over."""

    values: tuple[str, ...]
    languages: tuple[str, ...]
    left: str


def _compiled(lines: tuple[tuple[str, str, str], ...]) -> tuple[tuple[str, str, re.Pattern[str]], ...]:
    return tuple(
        (value, tongue, re.compile(rf"(?<![^\W_])(?:{pattern})(?![^\W_])")) for value, tongue, pattern in lines
    )


_NEGATIVE = re.compile(r"(?i)\bn[eé]g(?:ati[fv]|\.)|negativ")
_PRINT = re.compile(r"(?i)\bprints?\b|\btirages?\b|\bépreuves?\b|abz(?:ug|üge)\b")
_ON_GLASS = re.compile(r"(?i)glass|verre|glas|plaque|platte|plate")
_FROM_NEGATIVE = _compiled(tuple(("negative", "", pattern) for pattern in words_of.FROM_NEGATIVE))
_MOUNTS, _TONINGS, _BASES = _compiled(words_of.MOUNTS), _compiled(words_of.TONINGS), _compiled(words_of.BASES)
_PROCESSES = _compiled(words_of.NEGATIVES + words_of.PRINTS)
_SUPPORTS = _compiled(words_of.SUPPORTS)


@lru_cache(maxsize=16_384)
def read_process(text: str) -> ProcessReading:
    """Read process words. Never raises; where words are left over, the process is told with a doubt that names them."""
    typed = " ".join(text.split())
    if not typed or len(typed) > LONGEST:
        why = "Nothing is written here." if not typed else f"“{typed[:40]}…” is too long for a process."
        return ProcessReading("", "", "", "", "", "", (), why, ())
    left = typed.lower()
    sources = _take(_FROM_NEGATIVE, left)
    mounts = _take(_MOUNTS, sources.left)
    tonings = _take(_TONINGS, mounts.left)
    bases = _take(_BASES, tonings.left)
    processes = _take(_PROCESSES, bases.left)
    supports = _take(_SUPPORTS, processes.left)
    tongues = [
        tongue for taken in (mounts, tonings, bases, processes, supports) for tongue in taken.languages if tongue
    ]
    words = [word for word in re.findall(r"[^\W_]+(?:[-'’][^\W_]+)*", supports.left) if word not in words_of.FILLING]
    kept = ProcessReading(
        "",
        _first(supports),
        _first(bases),
        _joined(tonings.values),
        _first(mounts),
        _language(tongues),
        (),
        "",
        tuple(words),
    )
    short = words_of.SHORT.get(" ".join(words), "")
    on_paper = not ({*supports.values} - {"paper"} or _NEGATIVE.search(typed) or _ON_GLASS.search(typed))
    if short and on_paper and not processes.values:
        return kept._replace(process=short, doubts=(f"“{typed}” was read as {short}.",), rest=())
    return _judged(kept, typed, processes, sources, [mounts, bases, supports])


def _take(lines: tuple[tuple[str, str, re.Pattern[str]], ...], text: str) -> _Taken:
    found: list[tuple[int, str, str]] = []
    for value, tongue, pattern in lines:
        for match in pattern.finditer(text):
            found.append((match.start(), value, tongue))
        text = pattern.sub(lambda match: "\x00" * len(match[0]), text)
    found.sort()
    values = tuple(dict.fromkeys(value for _, value, _ in found))
    return _Taken(values, tuple(tongue for _, _, tongue in found), text.replace("\x00", " "))


def _first(taken: _Taken) -> str:
    return taken.values[0] if len(taken.values) == 1 else ""


def _joined(tonings: tuple[str, ...]) -> str:
    named = [toning for toning in tonings if toning != "toned"]
    return " and ".join(named) or ("toned" if tonings else "")


def _language(tongues: list[str]) -> str:
    return tongues[0] if len(set(tongues)) == 1 else ""


def _judged(
    kept: ProcessReading, typed: str, processes: _Taken, sources: _Taken, others: list[_Taken]
) -> ProcessReading:
    """The reading with its process, or the sentence that says why none was read, and with what casts doubt."""
    doubts = [
        f"“{typed}” names several: {', '.join(taken.values)}; none is kept."
        for taken in others
        if len(taken.values) > 1
    ]
    if sources.values:
        doubts.append("The words on the negative it is from are not kept.")
    if "?" in typed:
        doubts.append("“?” is not kept.")
    if kept.rest:
        doubts.append(f"Not understood: {', '.join(kept.rest)}.")
    process = processes.values[0] if processes.values else ""
    is_negative = process.endswith("negative")
    if is_negative and "collodion" in process and not _NEGATIVE.search(typed):
        doubts.append(f"“{typed}” says neither negative nor positive; it was read as a negative.")
    turning = [word for word in kept.rest if word in words_of.TURNING]
    if len(processes.values) > 1:
        why = f"“{typed}” names several processes: {', '.join(processes.values)}."
    elif turning:
        why = f"“{turning[0]}” in “{typed}” may turn the meaning; no process was read."
    elif not process:
        why = f"“{typed}” names no process that is known here."
    elif (_PRINT if is_negative else _NEGATIVE).search(processes.left):
        why = f"“{typed}” names a negative and a print; write them in two fields."
    else:
        return kept._replace(process=process, support=kept.support or _support(process, typed), doubts=tuple(doubts))
    return kept._replace(doubts=tuple(doubts), why_not=why)


def _support(process: str, typed: str) -> str:
    """What a process lies on where its own words say so: a dry plate is glass, an albumen print is paper."""
    if process in ("gelatin dry-plate negative", "ambrotype"):
        return "glass"
    if process.endswith("negative") and _ON_GLASS.search(typed):
        return "glass"
    return "paper" if process in ("albumen print", "salted paper print", "paper negative") else ""
