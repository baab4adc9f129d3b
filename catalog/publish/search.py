"""Searching: words folded alike on both sides, and what a person typed made into a safe expression."""

import re
import unicodedata
from bisect import bisect_left
from collections.abc import Sequence
from itertools import takewhile

# Letters that no Unicode decomposition takes apart; a person without that keyboard types the right-hand side.
PLAIN_LETTERS = str.maketrans(
    {"ø": "o", "ł": "l", "đ": "d", "ð": "d", "ħ": "h", "ŧ": "t", "ß": "ss", "æ": "ae", "œ": "oe", "þ": "th", "ı": "i"}
)
# Han, kana and Hangul syllables: written without spaces, so each character has to stand as a word of its own.
UNSPACED = re.compile("([\u3040-\u30ff\u3400-\u4dbf\u4e00-\u9fff\uac00-\ud7a3\uf900-\ufaff\U00020000-\U0003134f])")
WORD = re.compile(r"[^\W_]+")

LONGEST_QUERY = 200  # characters read of what was typed; nobody looks for more
MOST_CHUNKS = 12  # words read of what was typed: each costs one walk through the index
MOST_ENDINGS = 40  # words written out for one that may go on; beyond that the index has to gather them itself
MOST_RESULTS = 60

WORDS_TABLE = "CREATE VIRTUAL TABLE temp.word USING fts5vocab(main, search, row)"
WORDS = "SELECT term FROM temp.word"
FIND = "SELECT code, kind, title, line FROM search WHERE search MATCH ? ORDER BY rowid LIMIT ?"


def fold(text: str) -> str:
    """Text as it is indexed and looked for: no case, no accents, plain letters, single CJK characters.

    >>> fold("Žofie Đurđević, Ødegård, Straße")
    'zofie durdevic, odegard, strasse'
    """
    if text.isascii():
        return text.lower()
    parted = unicodedata.normalize("NFKD", unicodedata.normalize("NFKD", text).casefold()).translate(PLAIN_LETTERS)
    bare = "".join(letter for letter in parted if unicodedata.category(letter) != "Mn")
    # Composing again brings Hangul back from single sounds to syllables.
    return UNSPACED.sub(r" \1 ", unicodedata.normalize("NFC", bare))


def query(text: str, words: Sequence[str] = ()) -> str:
    """The FTS5 expression for what a person typed; empty when it holds no letter and no figure.

    Each chunk between spaces is one quoted phrase whose last word may go on ("P-0000" finds P-000001), and all
    chunks must be found. Everything is quoted, so no sign that a person can type is read as an operator. `words` are
    all words of the index in order: a few that go on are written out, for the index leaps along whole words and
    has to gather those of a beginning one by one.

    >>> query("Ødeg P-0001")
    '"odeg"* AND "p 0001"*'
    >>> query("Low wat", ["low", "water", "waters"])
    '"low" AND ("water" OR "waters")'
    """
    chunks = [WORD.findall(fold(chunk)) for chunk in text[:LONGEST_QUERY].split()[:MOST_CHUNKS]]
    return " AND ".join(_phrase(chunk, words) for chunk in chunks if chunk)


def _phrase(chunk: list[str], words: Sequence[str]) -> str:
    start = bisect_left(words, chunk[-1])
    on = takewhile(lambda word: word.startswith(chunk[-1]), words[start : start + MOST_ENDINGS + 1])
    found = [f'"{" ".join([*chunk[:-1], word])}"' for word in on]
    if not 0 < len(found) <= MOST_ENDINGS:
        return f'"{" ".join(chunk)}"*'
    return found[0] if len(found) == 1 else f"({' OR '.join(found)})"
