"""Searching: words folded alike on both sides, and what a person typed made into a safe expression."""

import re
import unicodedata

# Letters that no Unicode decomposition takes apart; a person without that keyboard types the right-hand side.
PLAIN_LETTERS = str.maketrans(
    {"ø": "o", "ł": "l", "đ": "d", "ð": "d", "ħ": "h", "ŧ": "t", "ß": "ss", "æ": "ae", "œ": "oe", "þ": "th", "ı": "i"}
)
# Han, kana and Hangul syllables: written without spaces, so each character has to stand as a word of its own.
UNSPACED = re.compile("([\u3040-\u30ff\u3400-\u4dbf\u4e00-\u9fff\uac00-\ud7a3\uf900-\ufaff\U00020000-\U0003134f])")
WORD = re.compile(r"[^\W_]+")

LONGEST_QUERY = 200  # characters read of what was typed; nobody looks for more
MOST_CHUNKS = 12  # words read of what was typed: each costs one walk through the index
MOST_RESULTS = 60

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


def query(text: str) -> str:
    """The FTS5 expression for what a person typed; empty when it holds no letter and no figure.

    Each chunk between spaces is one quoted phrase whose last word may go on ("P-0000" finds P-000001), and all
    chunks must be found. Everything is quoted, so no sign that a person can type is read as an operator.

    >>> query("Ødeg P-0001")
    '"odeg"* AND "p 0001"*'
    """
    phrases = []
    for chunk in text[:LONGEST_QUERY].split()[:MOST_CHUNKS]:
        words = WORD.findall(fold(chunk))
        if words:
            phrases.append(f'"{" ".join(words)}"*')
    return " AND ".join(phrases)
