"""Names of parties: when one is likely another that is there already, misspelled or spelled in another way."""

import unicodedata
from collections.abc import Iterable

# Words of a legal form, titles and small words, which do not tell one name from another; common practice, no source.
LEGAL = frozenset((
    "ltd", "limited", "llc", "llp", "inc", "incorporated", "corp", "co", "company", "plc", "gmbh", "ag", "kg", "ohg",
    "ug", "ev", "eg", "mbh", "sarl", "sas", "sa", "eurl", "sprl", "bv", "nv", "srl", "spa", "oy", "ab", "as", "aps",
    "the", "and", "et", "und", "mr", "mrs", "ms", "dr", "prof", "m", "mme", "mlle", "herr", "frau",
))  # fmt: skip
SAME = {"galerie": "gallery", "galleria": "gallery", "gal": "gallery", "musee": "museum", "museo": "museum"}
LEFT_OUT = "gallery"  # of the name of one: “Nordlicht” for “Galerie Nordlicht”
SHORT = 5  # letters of a first word in which one other letter makes another name: Anna and Anne


def misspelled(typed: str, known: str) -> bool:
    """Whether a name is likely a slip for a known one: its words in another order, or a letter or two amiss.

    Other initials are other people, and so are short first words that differ by a letter.
    """
    ours, theirs = _words(typed), _words(known)
    if sorted(ours) == sorted(theirs):
        return True
    if not ours or [word[0] for word in ours] != [word[0] for word in theirs]:
        return False
    first, other = ours[0], theirs[0]
    if first != other and len(first) == len(other) and len(first) <= SHORT:
        return False
    amiss = [distance(one, two) for one, two in zip(ours, theirs, strict=True)]
    allowed = [2 if len(word) > SHORT + 2 else 1 if len(word) > 2 else 0 for word in theirs]
    return sum(amiss) <= 2 and all(got <= most for got, most in zip(amiss, allowed, strict=True))


def distance(one: str, other: str) -> int:
    """How many letters differ, are missing, too many or changed with their neighbour (optimal string alignment)."""
    rows = [list(range(len(other) + 1))]
    for i, letter in enumerate(one, 1):
        row = [i]
        for j, theirs in enumerate(other, 1):
            best = min(rows[-1][j] + 1, row[-1] + 1, rows[-1][j - 1] + (letter != theirs))
            if i > 1 and j > 1 and letter == other[j - 2] and one[i - 2] == theirs:
                best = min(best, rows[-2][j - 2] + 1)
            row.append(best)
        rows.append(row)
    return rows[-1][-1]


def _words(name: str) -> list[str]:
    return [word for word in name.casefold().replace(".", " ").replace(",", " ").split() if word]


class Near:
    """Names that are there, to be asked for one that is likely the same in another spelling.

    The same are names whose words are the same in any order, or the same letters in a row without “gallery” (Galerie
    Nord-Licht, Nordlicht), one with a place behind a comma and the one without, and slips as `misspelled` has them.
    """

    def __init__(self, names: Iterable[str]) -> None:
        self.alike: dict[tuple[str, ...], str] = {}
        self.by_initials: dict[tuple[str, ...], list[str]] = {}
        self.heads: dict[tuple[str, ...], str] = {}
        for name in names:
            self.add(name)

    def add(self, name: str) -> None:
        """A name more."""
        for key in _keys(name):
            self.alike.setdefault(key, name)
        for key in _keys(_head(name)):
            self.heads.setdefault(key, name)
        self.by_initials.setdefault(_initials(plain_words(name)), []).append(name)

    def find(self, name: str) -> str:
        """A name that is likely the same, "" where there is none."""
        for known, said in ((self.alike, name), (self.heads, name), (self.alike, _head(name))):
            for key in _keys(said):
                if key in known:
                    return known[key]
        words = plain_words(name)
        plain = " ".join(words)
        others = self.by_initials.get(_initials(words), ())
        return next((other for other in others if misspelled(plain, " ".join(plain_words(other)))), "")


def plain_words(name: str) -> list[str]:
    """The words that tell a name from others: without case, accents, punctuation and legal forms."""
    folded = unicodedata.normalize("NFKD", name.casefold())
    signs = "".join(sign for sign in folded if not unicodedata.combining(sign))
    for letter, plain in (("æ", "ae"), ("œ", "oe"), ("ø", "o"), ("ł", "l"), ("đ", "d"), ("'", ""), ("’", "")):
        signs = signs.replace(letter, plain)
    said = "".join(
        sign if sign.isalnum() else " " for sign in signs.replace(".", "" if _abbreviated(name) else " ")
    ).split()
    return [SAME.get(word, word) for word in said if word not in LEGAL] or said


def _keys(name: str) -> list[tuple[str, ...]]:
    words = plain_words(name)
    bare = "".join(word for word in words if word != LEFT_OUT)
    return [tuple(sorted(words)), (bare,)] if bare else [tuple(sorted(words))] if words else []


def _head(name: str) -> str:
    """What stands before a comma, where that is a name by itself; "" for “Example, Anna”."""
    head, comma, _ = name.partition(",")
    return head if comma and len(plain_words(head)) > 1 else ""


def _abbreviated(name: str) -> bool:
    """Whether points part single letters, as in S.A.R.L., and not words."""
    return any(len(part) > 3 and part.count(".") >= 2 for part in name.split())


def _initials(said: list[str]) -> tuple[str, ...]:
    return tuple(word[0] for word in said)
