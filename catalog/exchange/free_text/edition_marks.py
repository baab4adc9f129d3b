"""Marks of prints and editions as people wrote them: "3/25", "AP II/V", "ed. of 25", "épreuve d'artiste"."""

import re
from functools import lru_cache
from typing import NamedTuple

from catalog.errors import TirageError
from catalog.marks import from_roman

LONGEST = 200
HIGHEST = 9_999  # above it stands a spreadsheet's count of days rather than a print
_MONTH = (r"(?:jan|feb|f[ée]v|m[aä]r|apr|avr|ma[iy]|jun|juin|jul|juil|aug|ao[ûu]|sep|o[ck]t|nov|de[cz]|d[ée]c)"
          r"[a-zûéä]*\.?")  # fmt: skip
_DATE = re.compile(
    rf"\d{{4}}-\d\d-\d\d(?:[T ]00:00(?::00)?)?|\d{{1,2}}\.\d{{1,2}}\.\d{{2,4}}|\d{{1,2}}/\d{{1,2}}/\d{{2,4}}"
    rf"|\d{{1,2}}[. -]{{1,2}}{_MONTH}(?:[ -]\d{{2,4}})?|{_MONTH}[ -]\d{{1,4}}",
    re.IGNORECASE,
)
_FRACTION = re.compile(r"0[.,]\d+")
# Terms of the trade in three languages. Common practice, no source; the kinds are those of `catalog.vocabulary`.
_KINDS = (
    ("AP", r"a\.? ?/?p\.?|e\.? ?/?a\.?|p\.? ?/?a\.?|(?:épreuves?|epreuves?) d['’]artiste|artiste épreuve"
           r"|artist['’]?s?['’]? proofs?|k[üu]nstler(?:exemplar|abzug|abz[üu]ge?|exemplare|druck)"),
    ("PP", r"p\.? ?/?p\.?|printer['’]?s?['’]? proofs?|drucker(?:exemplar|abzug)|(?:épreuve|exemplaire) d['’]imprimeur"),
    ("HC", r"h\.? ?/?c\.?|hors[- ]commerce"),
    ("BAT", r"b\.? ?a\.? ?t\.?|bons? [àa] tirer|gut zum druck"),
    ("EC", r"e\.? ?c\.?|exhibition (?:copy|print|proof)|ausstellungs(?:exemplar|kopie|abzug|print)"
           r"|(?:exemplaire|tirage|épreuve) d['’]exposition"),
    ("CP", r"c\.? ?p\.?|cancell?ation proof|annullierungsabzug|épreuve d['’]annulation"),
    ("work", r"work(?:ing)? (?:print|proof)|trial proof|t\.? ?p\.?|test print|arbeits(?:abzug|print)"
             r"|probe(?:abzug|druck)?|épreuve d['’](?:essai|état)|(?:épreuve|tirage) de travail"),
    ("reference", r"reference (?:print|copy)|referenz(?:abzug|print)|(?:épreuve|tirage) de référence"),
    ("unique", r"unique(?: print| piece| work)?|unikat|einzelst[üu]ck|(?:pièce|exemplaire|épreuve|tirage) unique"),
    ("open", r"open(?: edition)?|unlimited(?: edition)?|unlimitiert(?:e auflage)?|(?:offene|unbegrenzte) auflage"
             r"|(?:tirage|édition) (?:illimitée?|ouverte?|non limitée?)"),
    ("unnumbered", r"unnumbered|not numbered|unnummeriert|nicht nummeriert|non numérotée?"),
)  # fmt: skip
_OF = r"\s*(?:[/⁄∕]|\bout of\b|\bof\b|\bfrom\b|\bvon\b|\baus\b|\bsur\b|\bde\b)\s*"
_NUMBER = r"(?P<number>\d{1,5}|[ivx]+|\?)"
_COUNT = r"(?P<of>\d{1,5}|[ivx]+)"
_EDITION = r"(?:limited )?(?:edition|edit|ed|éd|édition|auflage|aufl|tirage)\.?:?"
_NUMBER_SIGN = r"(?:no|nr|number|numéro|nummer|num|n°|nº|#|print|copy|exemplar|exemplaire|ex)\.?\s*"
_PATTERNS = tuple(
    (name, re.compile(pattern, re.IGNORECASE))
    for name, pattern in (
        ("run", rf"(?:{_EDITION}\s*)?(?:{_NUMBER_SIGN})?{_NUMBER}{_OF}{_COUNT}"),
        ("run", rf"{_EDITION}\s*(?:of|von|de|à)\s*{_COUNT}(?:\s*,\s*(?:{_NUMBER_SIGN})?|\s{_NUMBER_SIGN}){_NUMBER}"),
        ("size", rf"{_EDITION}\s*(?:(?:of|von|de|à|size)\s*)?{_COUNT}"
                 r"(?:\s*(?:copies|prints|exemplaires?|exemplare|ex\.?|stück|épreuves))?"),
        ("numbered", rf"(?:{_NUMBER_SIGN}){_NUMBER}"),
        ("bare", r"(?P<number>\d{1,5})"),
    )
)  # fmt: skip
_PROOFS = tuple(
    (kind, re.compile(rf"(?:{pattern})(?:[\s.:(-]*(?:{_NUMBER_SIGN})?{_NUMBER}(?:{_OF}{_COUNT})?)?", re.IGNORECASE),
     re.compile(rf"{_NUMBER}(?:{_OF}{_COUNT})?\s+(?:{pattern})", re.IGNORECASE))
    for kind, pattern in _KINDS
)  # fmt: skip
_NO_NUMBER = ("BAT", "work", "reference", "unique", "open", "unnumbered")
# Remarks about a mark that do not change it; each is named in a doubt.
_REMARK = re.compile(
    r"(?<!not )(?<!nicht )(?<!non )\b"
    r"(?:signed(?: by the artist)?|unsigned|dated|titled|annotated|inscribed|numbered|signiert|datiert|nummeriert|"
    r"betitelt|signée?|datée?|numérotée?|titrée?|in pencil|verso|recto)\b\.?", re.IGNORECASE)  # fmt: skip
_PLUS = re.compile(
    r"\s*\(?\s*(?:\+|\bplus\b|\band\b|\bet\b|\bund\b|,)\s*(?P<rest>\d{1,3}\s*(?P<kind>[^\d].*))", re.IGNORECASE
)


class MarkReading(NamedTuple):
    """What a mark says: the kind, the number of this print, and of how many.

    `kind` is "numbered", a proof of `catalog.vocabulary.PROOF_KINDS` (AP, PP, HC, BAT, EC, CP), "work", "reference",
    "unique", "open", or "" where nothing was read. `number` is None where only the size of an edition is told
    ("ed. of 25") or the proof bears none. `of` is the count that stands with it, None where none does. `numerals` is
    "arabic" or "roman", as written. `doubts` are sentences; `why_not` says why nothing was read, else "".
    """

    kind: str
    number: int | None
    of: int | None
    numerals: str
    doubts: tuple[str, ...]
    why_not: str


class NoMarkError(TirageError):
    """A text that is no mark this program understands; the sentence says why."""


@lru_cache(maxsize=16_384)
def read_mark(text: str) -> MarkReading:
    """Read the mark of a print in English, French or German. Never raises."""
    typed = " ".join(text.split()).strip(" \"“”„«»'’`")
    typed = typed[1:-1].strip() if typed[:1] + typed[-1:] in ("()", "[]") else typed
    try:
        return _read(typed)
    except NoMarkError as problem:
        return MarkReading("", None, None, "arabic", (), problem.sentence)


def _read(typed: str) -> MarkReading:
    if not typed or len(typed) > LONGEST:
        raise NoMarkError("Nothing is written here." if not typed else f"“{typed[:40]}…” is too long for a mark.")
    _refuse_what_a_spreadsheet_made(typed)
    doubts: list[str] = []
    kept = typed
    added = _PLUS.search(kept)
    if added and any(one.fullmatch(f"{added['kind'].strip(' .)').removesuffix('s')} 1") for _, one, _ in _PROOFS):
        doubts.append(f"“{added['rest'].strip(' )')}” is not kept.")
        kept = kept[: added.start()]
        kept = f"edition of {kept}" if kept.isdigit() else kept  # “25 + 5 AP”
    for remark in _REMARK.findall(kept):
        doubts.append(f"“{remark.rstrip('.')}” is not kept.")
    if doubts:
        kept = " ".join(_REMARK.sub(" ", kept).split())
        kept = re.sub(r"^(?:and|und|et|[,.;:]|\s)+|(?:and|und|et|[,.;:\"“”]|\s)+$", "", kept).strip('"“”,.;: ')
    kept = re.sub(r"(?i)^(\d{1,2})(?:st|nd|rd|th)\b", r"\1", kept).removesuffix(")")
    for read in (_proof, _run):
        if result := read(kept):
            return result._replace(doubts=(*result.doubts, *dict.fromkeys(doubts)))
    raise NoMarkError(f"“{typed}” is not understood as the mark of a print.")


def _refuse_what_a_spreadsheet_made(typed: str) -> None:
    if _DATE.fullmatch(typed):
        raise NoMarkError(
            f"“{typed}” is a date: a spreadsheet makes dates of marks such as 3/25. Show the column as text there, and "
            "type the mark again."
        )
    if _FRACTION.fullmatch(typed):
        raise NoMarkError(f"“{typed}” is a fraction worked out: a spreadsheet divided the mark. Type it again as text.")


def _proof(kept: str) -> MarkReading | None:
    for kind, before, after in _PROOFS:
        found = before.fullmatch(kept) or after.fullmatch(kept)
        if found is None:
            continue
        if found["number"] and kind in _NO_NUMBER[1:]:
            return None
        if kind == "unnumbered":
            said = f"“{kept}” was read as an open edition; it may be an unnumbered print of a limited one."
            return MarkReading("open", None, None, "arabic", (said,), "")
        return _numbers(kind, found["number"], found["of"], kept)
    return None


def _run(kept: str) -> MarkReading | None:
    for name, pattern in _PATTERNS:
        found = pattern.fullmatch(kept)
        if found is None:
            continue
        parts = found.groupdict()
        reading = _numbers("numbered", parts.get("number"), parts.get("of"), kept)
        if reading.numerals == "roman":
            raise NoMarkError(
                f"“{kept}” is in Roman numerals, which are those of proofs; it does not say of which kind."
            )
        if name == "size" and not re.search(r"(?i)\b(?:of|von|de|à|size|limited)\b|:", kept):
            return reading._replace(
                doubts=(f"“{kept}” was read as the size of the edition, not the number of this print.",)
            )
        if name == "bare":
            return reading._replace(
                doubts=(f"“{kept}” was read as the number of this print, not the size of its edition.",)
            )
        return reading
    return None


def _numbers(kind: str, number: str | None, of: str | None, kept: str) -> MarkReading:
    given = [part for part in (number, of) if part and part != "?"]
    roman = [not part.isdigit() for part in given]
    if any(roman) and not all(roman):
        raise NoMarkError(f"“{kept}” mixes Roman and Arabic numerals.")
    values = [from_roman(part) if is_roman else int(part) for part, is_roman in zip(given, roman, strict=True)]
    if any(not value or value > HIGHEST for value in values):
        raise NoMarkError(f"“{kept}” has a number that no print bears.")
    count = values.pop() if of else None
    own = values.pop() if values else None
    if own and count and own > count:
        raise NoMarkError(f"“{kept}” has a number above its count.")
    doubts = (f"The number of this print is not known; “{kept}” tells the count only.",) * (number == "?")
    return MarkReading(kind, own, count, "roman" if any(roman) else "arabic", doubts, "")
