"""A process whose words are likely misspelled: “wet colodion”, “cyanotpe”."""

import difflib
import re
from functools import lru_cache

from catalog.exchange.free_text import process_words as words_of
from catalog.exchange.free_text.processes import read_process

SHORTEST = 5  # letters of a word that can be told misspelled
ALIKE = 0.85  # of difflib's ratio; derived here: “photography” is no “photogram”
_WORD = re.compile(rf"[^\W\d_]{{{SHORTEST},}}")
_KNOWN = sorted(
    {
        word
        for value, _, pattern in (*words_of.NEGATIVES, *words_of.PRINTS)
        for word in _WORD.findall(f"{value} {pattern} ")
    }
    | set(_WORD.findall(" ".join(words_of.SHORT)))
)
_KEPT = words_of.FILLING | words_of.TURNING | set(_KNOWN)


@lru_cache(maxsize=4096)
def likely_process(text: str) -> str:
    """The process that a text names once words nearly known are taken for those; "" where none is, or none is near."""
    mended = _WORD.sub(lambda match: _near(match[0].lower()), text)
    if mended == text or mended.lower() == text.lower():
        return ""
    found = read_process(mended)
    return "" if found.why_not else found.process


def _near(word: str) -> str:
    return next(iter([] if word in _KEPT else difflib.get_close_matches(word, _KNOWN, 1, ALIKE)), word)
