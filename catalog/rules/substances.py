"""Substances: what the names of baths and steps say of cyanide and of what must not meet it.

Only words are read, so a name that hides its content is not seen. Where a name leaves it open, the answer is the one
that warns: a stop bath is an acid unless it is nothing but water, a fixer beside cyanide may be acid unless its name
says that it is not. Which words name what: common practice, no source.
"""

import re
from functools import lru_cache

from catalog.records.steps import Step

_CYANIDE_WORDS = r"[cz]yan(?:id|ur|kali|wasserstoff)|cianur|prussi(?:c|que)|blausäure"
# Ferri- and ferrocyanides and sulphocyanides (thiocyanates) are other things, and warned of elsewhere if at all.
CYANIDE = re.compile(
    rf"(?<!ferri)(?<!ferro)(?<!sulpho)(?<!sulfo)(?<!thio)(?:{_CYANIDE_WORDS})"
    r"|(?<![^\W\d_])(?:k|na|k?ag|h)[\W_]*c[\W_]*n(?![^\W\d_])"  # KCN3%, NaCN, K.C.N.
    r"|\b[cz]yan\b(?!\W*(?:blue|colou?r|dye|filter|ink|toner))"  # pot. cyan., but no colour
)
JOINED = re.compile(r"(ferri|ferro|sulpho|sulfo|thio)[\s-]+(?=[cz]yan|cian)")
_ACID_WORDS = (
    r"\b[aá]cid|\bacét|\bacetic|\baceto\b|\bcitri[cq]|vinegar|vinaigre|\bvinagre|essig|\bsauer|\bsaur|säure"
    r"|\b(?:nitric|tartaric|oxalic|formic|muriatic|hydrochloric|phosphoric|sul(?:f|ph)uric|sul(?:f|ph)amic)\b"
    r"|\bharden|\bhärt|\bdurciss|\bbi-?sul(?:f|ph)|\b(?:meta|pyro|di)-?(?:bi-?)?sul(?:f|ph)it"
    r"|\balum\b|\balaun|\balun\b|\ballume\b|\balumbre\b"
)
ACID = re.compile(rf"{_ACID_WORDS}|\bhcl\b|\bhno3?\b|\bh2so4\b|\bph\W{{0,3}}[0-6](?!\d)")
IODINE = re.compile(r"\biodi[nd]|\biode\b|\biodur|\bjod(?!ier)|\byod[ou]|\blugol")
OXIDISER = re.compile(
    r"bleach|bleich|blanchi|hypochlor|\bjavel|\bchlorine|\bchlorkalk|permangan|dichromat|bichromat|persul(?:f|ph)"
    r"|\bperoxid|\bperoxyd|\bferric chlor|\biron\W+chlor|\bcopper|\bcupri|\bkupfer|\bcuivre|oxidi[sz]er"
)
METAL = re.compile(r"selen|sélén|\bgold(?!en)|\bauri[cq]|\bauro")
NO_ACID = re.compile(r"\balkalin|\balkalisch|\balcalin|\bneutral|\bacid[\s-]*free|\bsäurefrei|\bnon?[\s-]acid")
PLAIN_FIXER = re.compile(r"\bplain\b|\bhypo|thiosul|fixiernatron")
# What is said not to be there is not there: “no cyanide”, “cyanide-free”, “ohne Säure”, “säurefrei”.
_SAID = rf"[^\W\d_]*(?:{_CYANIDE_WORDS}|{_ACID_WORDS}|\bkcn\b|\biodine\b)[^\W\d_]*"
NOT_THERE = re.compile(
    rf"\b(?:no|not|non|without|ohne|kein|keine|keinem|sans|senza|sin)[\s-]+(?:potassium\s+)?{_SAID}"
    rf"|{_SAID}[\s-]?(?:free|frei)\b"
)
_MEANT_FOR = re.compile(r"\b(?:for|before|after|to|für|vor|zu|pour|avant)\s+(?:an?\s+|the\s+)?\w+")
_WATERS = frozenset(("water", "wasser", "leitungswasser", "eau", "acqua", "agua"))
_WATER_WORDS = _WATERS | frozenset((
    "plain", "tap", "running", "still", "clean", "clear", "fresh", "pure", "cold", "cool", "warm", "lukewarm", "rain",
    "distilled", "deionised", "deionized", "demineralised", "demineralized", "filtered", "dest", "only", "just", "bath",
    "stop", "rinse",
))  # fmt: skip
SULFIDE = ("sulfid", "sulphid", "sulfure", "sepia", "thiocarbamid", "thiourea", "polysul", "schwefelleber",
           "liver of sul")  # fmt: skip


@lru_cache(maxsize=4_096)
def is_cyanide(text: str) -> bool:
    """Whether words name a cyanide, as a fixer: “potassium cyanide”, “KCN 3%”, but no ferricyanide."""
    return bool(CYANIDE.search(_there(text)))


def only_water(text: str) -> bool:
    """Whether a name is nothing but water: “water”, “cold tap water”, but not “stop bath 1+19 in water”."""
    words = re.findall(r"[^\W\d_]+", text.casefold())
    return not re.search(r"\d\s*[+:]|%", text) and bool(_WATERS & set(words)) and _WATER_WORDS.issuperset(words)


def substance(step: Step, plate: bool) -> str:
    """What of this matters in a step: "cyanide", "acid", "iodine", "oxidiser", "metal", "fixer" (may be acid) or "".

    The developer of a collodion plate and the redeveloper hold acid in this trade, as does a stop bath, unless their
    name says otherwise.
    """
    name = step.bath_text.casefold()
    whole = name if step.kind in ("wash", "rinse") else " ".join([name, *map(str, step.details.values())]).casefold()
    there = _there(whole)
    if is_cyanide(whole):
        return "cyanide"
    if step.kind == "iodine" or (step.kind not in ("collodion", "sensitize") and IODINE.search(_there(name))):
        return "iodine"
    if ACID.search(there):
        return "acid"
    if OXIDISER.search(there):
        return "oxidiser"
    if METAL.search(there):
        return "metal"
    return _unnamed(step.kind, name, plate)


def _unnamed(kind: str, name: str, plate: bool) -> str:
    """What a step is by its kind, where no word of its bath names a substance."""
    if NO_ACID.search(_MEANT_FOR.sub("", name)) or (kind == "stop" and only_water(name)):
        return ""
    if kind in ("stop", "redevelop") or (kind == "develop" and plate):
        return "acid"
    return "fixer" if kind == "fix" and not PLAIN_FIXER.search(name) else ""


def _there(text: str) -> str:
    """The words without what is said not to be there, and with double words joined."""
    return NOT_THERE.sub(" ", JOINED.sub(r"\1", text.casefold()))
