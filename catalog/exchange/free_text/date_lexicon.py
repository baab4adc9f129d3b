"""The words of dates in English, French and German, each with the one thing it says.

Sources: ordinary usage of the three languages; old and shortened spellings as they stand on plates and in museum
lists (“7br” for September, “Aoust”, “Merz”). Words that two languages use differently are left out.
"""

import re

# One letter says what a token is; dates are then read by the shape of a text, such as "NMY" for “3 May 1843”.
YEAR, DECADE, SHORT_DECADE, MONTH, ROMAN_MONTH, SEASON = "Y", "D", "E", "M", "R", "S"
NUMBER, DOTTED, ORDINAL, THREE_DIGITS, YEAR_AND_TWO, DAY = "N", "K", "O", "3", "I", "J"
SHORT_DAY, MONTH_AND_YEAR = "j", "i"
CENTURY, PART, FRACTION, LAST = "C", "P", "F", "l"
ABOUT, UNCERTAIN, COMMON_ERA = "Q", "U", "H"
BEFORE, AFTER, NOT_AFTER, NOT_BEFORE, UNTIL, SINCE, FROM, ONWARDS = "B", "A", "b", "a", "u", "s", "f", "o"
TO, SLASH, BETWEEN, AND, OR, COMMA, LATER, EARLIER = "T", "/", "W", "&", "|", ",", "L", "e"
PRINTED, MADE, SHOWN, PERIOD, SHORTLY, ONE_OF, ALL_OF, YEARS = "Z", "G", "X", "p", "h", "1", "*", "n"
PRINTED_LATER, VINTAGE = "V", "v"

_MONTHS = (
    "january jan january. janvier janv januar jän jänner jenner",
    "february feb febr february février févr fév fevrier fevr fev februar feber hornung",
    "march mar mars mrz marz märz maerz merz mär",
    "april apr aprill avril avr avrl avrill",
    "may mai",
    "june jun juin juni juny juno",
    "july jul juillet juil juill juli july julj",
    "august aug août aout aoust aost augst aust",
    "september sept sep septembre septb septbr septembr septemb",
    "october oct octobre oktober okt octob octobr octbr octb",
    "november nov novembre novb novbr novembr novemb",
    "december dec décembre déc decembre dezember dez decbr decembr dezbr decemb",
)
_SEASONS = {
    "21": "spring frühjahr frühling fruehjahr fruehling printemps",
    "22": "summer sommer été",
    "23": "autumn fall herbst automne",
    "24": "winter hiver",
}
_ORDINALS = (
    "first erste erster ersten erstes premier première premiere",
    "second zweite zweiter zweiten zweites deuxième seconde",
    "third dritte dritter dritten drittes troisième", "fourth vierte vierter vierten viertes quatrième",
    "fifth", "sixth", "seventh", "eighth", "ninth", "tenth", "eleventh", "twelfth", "thirteenth", "fourteenth",
    "fifteenth", "sixteenth", "seventeenth siebzehnten dix-septième", "eighteenth achtzehnten dix-huitième",
    "nineteenth neunzehnten dix-neuvième", "twentieth zwanzigsten vingtième",
)  # fmt: skip
_PARTS = {
    "early": "early beginning anfang beginn début debut frühes frühe",
    "mid": "mid middle mitte milieu",
    "late": "late end ende fin spätes späte",
}
_SAME = {
    ABOUT: "c ca circa cca zirka about around approximately approx roughly etwa gegen ungefähr um vers environ env",
    UNCERTAIN: "probably prob possibly poss perhaps maybe likely presumably vermutlich wohl vielleicht wahrscheinlich "
    "probablement peut-être possiblement",
    BEFORE: "before bef vor avant pre ante",
    AFTER: "after aft nach après apres post",
    NOT_AFTER: "by spätestens",
    NOT_BEFORE: "frühestens",
    UNTIL: "until till",
    SINCE: "since ab seit depuis",
    FROM: "from",
    ONWARDS: "onwards onward on an",
    TO: "to bis through thru à au",
    BETWEEN: "between betw bet zwischen entre",
    AND: "and und et",
    OR: "or oder ou",
    LATER: "orlater",
    EARLIER: "orearlier",
    CENTURY: "century centuries cent siècle siecle siècles jahrhundert jahrhunderts jahrhunderte jh jhdt jht jhd jhs",
    LAST: "last letzte letzter letztes letzten dernier dernière",
    PRINTED: "printed print prt positiv reprinted reprint tirage tiré abzug neuabzug abgezogen gedruckt",
    MADE: "image negative neg négatif negatif negativ made taken created photographed aufgenommen aufnahme aufg "
    "fotografiert photographiert photographié exposed cliché",
    SHOWN: "exhibited published publié publiée exposé ausgestellt erschienen veröffentlicht",
    PERIOD: "period dynasty dynastie",
    COMMON_ERA: "ce ad",
    SHORTLY: "shortly soon kurz peu",
}
# Said of a date without changing it: articles, prepositions, days of the week, “dated”.
_FILLING = (
    "the of le la les l d du de des der die den dem das dn am im in en year jahr jahre jahres jahren année dated "
    "datiert dat daté datée datable date anno ao domini this von vom aus dans monday tuesday wednesday thursday friday "
    "saturday sunday montag dienstag mittwoch donnerstag freitag samstag sonnabend sonntag lundi mardi mercredi jeudi "
    "vendredi samedi dimanche"
)
_FRACTIONS = {2: "half hälfte haelfte moitié moitie", 3: "third drittel tiers", 4: "quarter viertel quart"}


def _words() -> dict[str, tuple[str, str]]:
    found: dict[str, tuple[str, str]] = {}
    for place, names in enumerate(_ORDINALS, 1):
        found |= dict.fromkeys(names.split(), (ORDINAL, str(place)))
    for place, names in enumerate(_MONTHS, 1):
        found |= dict.fromkeys(names.split(), (MONTH, f"{place:02d}"))
    for code, names in _SEASONS.items():
        found |= dict.fromkeys(names.split(), (SEASON, code))
    for part, names in _PARTS.items():
        found |= dict.fromkeys(names.split(), (PART, part))
    for parts, names in _FRACTIONS.items():
        found |= dict.fromkeys(names.split(), (FRACTION, str(parts)))
    found["third"] = (ORDINAL, "3")  # an ordinal far oftener; “first third” is told by what stands before it
    for kind, names in _SAME.items():
        found |= dict.fromkeys(names.split(), (kind, ""))
    return found | dict.fromkeys(_FILLING.split(), ("", ""))


WORDS = _words()
# Two and more words that say one thing, replaced by one of the words above before anything else is read.
PHRASES = tuple(
    (re.compile(pattern, re.IGNORECASE), word)
    for pattern, word in (
        (r"\bone of\b", " oneof "),
        (r"\ball of\b", " allof "),
        (r"\bc\. ?a\.", " ca "),
        (r"\bprior to\b", " before "),
        (r"\b(?:[io]n or before|before or in)\b", " spätestens "),
        (r"\b(?:[io]n or after|after or in)\b", " frühestens "),
        (r"\b[io]n or (?:around|about)\b", " ca "),
        (r"\bu\. (?=\w)", " und "),
        (r",\s*(and|or|und|oder|et|ou)\b", r" \1"),
        (r"\b(?:no|not) (?:earlier than|before)\b|\bnicht vor\b|\bpas avant\b|\bau plus tôt\b", " frühestens "),
        (r"\b(?:no|not) (?:later than|after)\b|\bnicht nach\b|\bpas après\b|\bau plus tard\b", " spätestens "),
        (r"\bup to\b|\bjusqu['’]?(?:en|à|au)\b", " until "),
        (r"\bà partir d[eu]\b", " since "),
        (r"\b(?:or|and) later\b|\b(?:or|and) after$|\b(?:oder|und) später\b|\bou (?:plus tard|après)\b", " orlater "),
        (r"\bor earlier\b|\bor before$|\boder früher\b|\bou (?:plus tôt|avant)\b", " orearlier "),
        (r"\bA\. ?D\. ?N\.|\bA\. ?D\.|\bC\. ?E\.|\bA°\.?|\bAnno Domini\b|\bA\. ?o\.|\bn\. ?Chr\.", " ad "),
        (r"\b(?:later|modern|spätere[rn]?) (?:prints?|Abz[uü]ge?)\b|\bAbzug später\b", " laterprint "),
        (r"\btirage (?:postérieur|ultérieur|tardif|moderne)\b|\bprinted (?:later|afterwards)\b|\bspäter(?:er)? Abzug\b"
         r"|\bspäter abgezogen\b|\btiré(?:e)? plus tard\b", " laterprint "),
        (r"\bdatable to\b|\bdated to\b|\bmade in\b|\bprinted in\b", lambda found: found[0].rsplit(" ", 1)[0]),
        (r"\bmid-(?= ?to\b)", "mid "),
        (r"\b([12])\. ?H\. ", r"\1. Hälfte "),
        (r"\bvintage(?: prints?)?\b|\btirages? d['’]époque\b", " vintage "),
        (r"\bprise de vue\b", " made "),
        (r"\bfrom (?:an? |the )?(?:original )?(\d{4}) negative\b", r", negative \1"),
        # “25-Mar-1953”, “9/VI/1953”, “9.vi.1953”: signs between numbers and a month
        (r"(?<=\d)([-/])([^\W\d_]{3,})\1(?=\d)", r" \2 "),
        (r"\b(\d{1,2})([-/. ])([ivx]+)\2(?=\d{4})", lambda found: f"{found[1]} {found[3].upper()} "),
        (r"(?<=\d{4})--+(?=\d)", "-"),
        # “1950-60s”, “1920/30er Jahre”: both are decades
        (r"(?<!\d)(\d{3}0)([-–/])(?=['’]?\d0(?:['’]?s|er)\b)", r"\1s\2"),
        # A Roman ordinal of a century, its word left out or cut short: “fin XIXe”, “19e s.”
        (r"\b(X[IVX]*)(e|ème|eme)\b(?!\s*(?:s\b|si[èe]cle))", r"\1\2 siècle"),
        (r"(?<=\d|[IVX])(e|ème|eme) s\b", r"\1 siècle"),
        (r"\b[^\W\d_]+ (period|dynasty)\b", r"\1"),
        (r"\b(mid|early|late|pre|post)[-–](?=\d|[a-z])", r"\1 "),
        (r"(?<=\d)\s*[-–]er\b", "er"),
        (r"(?<=\der)-(?=Jahre)", " "),
        (r"\b[dl]['’](?=[^\W\d_])", ""),
    )
)  # fmt: skip
WORDS |= {
    "années": (YEARS, ""), "vintage": (VINTAGE, ""), "oneof": (ONE_OF, ""), "allof": (ALL_OF, ""),
    "laterprint": (PRINTED_LATER, ""),
}  # fmt: skip
_UNDATED = (
    "nd sd oj od undated undatiert unknown unbekannt inconnu inconnue none na notdated nodate dateunknown unknowndate "
    "ohnejahr ohnedatum ohnedatierung sansdate keineangabe ka nondaté nondatée nichtdatiert undat datumunbekannt "
    "dateinconnue"
)
UNDATED = frozenset(_UNDATED.split())
