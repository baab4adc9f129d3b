"""Short words of lists, in English, French and German: yes and no, fates, changes of hands, readings of a drop."""

import re
import unicodedata

from catalog.vocabulary import PROOF_KINDS

YES = frozenset(["yes", "y", "true", "x", "✓", "✔", "1", "oui", "vrai", "ja", "j", "wahr"])
NO = frozenset(["no", "n", "false", "0", "-", "–", "—", "non", "faux", "nein", "falsch", "none"])
SIGNED = frozenset(["signed", "signé", "signée", "signe", "signee", "signiert", "sign.", "sig.", "signed."])
UNSIGNED = frozenset(
    ["unsigned", "not signed", "non signé", "non signée", "non signe", "unsigniert", "nicht signiert", "ohne signatur"]
)
UNKNOWN = frozenset(["unknown", "?", "not known", "inconnu", "inconnue", "unbekannt", "unknown party"])
OWN = frozenset(
    ["studio", "the studio", "artist", "the artist", "self", "own", "us", "archive", "l'artiste", "artiste", "atelier"]
    + ["künstler", "künstlerin", "archiv", "selbst"]
)
FATES = {
    **dict.fromkeys(("destroyed", "torn up", "détruit", "détruite", "vernichtet", "zerstört"), "destroyed"),
    **dict.fromkeys(("lost", "missing", "perdu", "perdue", "verloren", "verschollen"), "lost"),
    **dict.fromkeys(("stolen", "volé", "volée", "gestohlen"), "stolen"),
    **dict.fromkeys(("living", "exists", "kept", "here", "existe", "existiert", "vorhanden"), "living"),
    **dict.fromkeys(("available", "in stock", "in studio", "disponible", "verfügbar", "auf lager"), "living"),
}
WAYS = {
    **dict.fromkeys(("sale", "sold", "bought", "purchase", "vente", "vendu", "achat", "verkauf", "verkauft"), "sale"),
    **dict.fromkeys(("gift", "given", "donation", "don", "cadeau", "geschenk", "schenkung"), "gift"),
    **dict.fromkeys(("bequest", "legs", "vermächtnis"), "bequest"),
    **dict.fromkeys(("exchange", "swap", "trade", "échange", "tausch"), "exchange"),
}
# “given to Eva”, “Geschenk an Eva”: how a print went and to whom, in the column of owners.
GIVEN_TO = {
    re.compile(r"(?:(?:was |is )?(?:given(?: away)?|presented)|(?:a )?(?:gift|present|donation))\s+(?:to|for)\s+(?=\S)",
               re.IGNORECASE): "gift",
    re.compile(r"(?:als\s+)?(?:geschenk|geschenkt|verschenkt|schenkung)\s+(?:an|für)\s+(?=\S)", re.IGNORECASE): "gift",
    re.compile(r"(?:offert|offerte|donné|donnée|don|cadeau)\s+(?:à|pour)\s+(?=\S)", re.IGNORECASE): "gift",
    re.compile(r"(?:sold|verkauft|vendu|vendue)\s+(?:to|an|à)\s+(?=\S)", re.IGNORECASE): "sale",
    re.compile(r"(?:swapped|exchanged|traded|getauscht|échangé)\s+(?:with|mit|avec)\s+(?=\S)",
               re.IGNORECASE): "exchange",
}  # fmt: skip
# Words of which a remark is made, and no name.
REMARKS = frozenset(
    ["given", "gave", "gift", "sold", "paid", "see", "ask", "asked", "maybe", "perhaps", "probably", "returned", "not"]
    + ["was", "is", "has", "bought", "lent", "verkauft", "geschenk", "geschenkt", "verschenkt", "bezahlt", "siehe"]
    + ["vielleicht", "wohl", "fragen", "zurück", "verliehen", "nicht", "vendu", "vendue", "offert", "cadeau", "voir"]
    + ["peut-être", "rendu", "prêté", "acheté", "payé"]
)
LONGEST_NAME = 8  # words
TRIALS = {
    **dict.fromkeys(("work", "work print", "trial", "test print", "épreuve de travail", "arbeitsabzug"), "work"),
    **dict.fromkeys(("reference", "reference print", "tirage de référence", "referenzabzug"), "reference"),
    **dict.fromkeys(("unique", "unique print", "pièce unique", "unikat"), "unique"),
    **dict.fromkeys(("open", "open edition", "édition ouverte", "offene auflage", "offen"), "open"),
    **dict.fromkeys(("unnumbered", "not numbered", "undesignated", "not designated", "not yet designated"), ""),
    **dict.fromkeys(("unsigned", "non numéroté", "unnummeriert", "nicht nummeriert", "none", "-", "s/n", "o. nr."), ""),
}
NUMBERED = frozenset(["numbered", "numéroté", "numérotée", "nummeriert"])  # as a kind: the number says it all
OPEN_SIZES = frozenset(
    ["open", "open edition", "unlimited", "not limited", "ouverte", "édition ouverte", "illimité", "illimitée"]
    + ["offen", "offene auflage", "unlimitiert", "unlimitierte auflage"]
)
QUESTIONS = {
    **dict.fromkeys(("hypo", "fixer", "thiosulfate", "thiosulphate", "thiosulfat", "hyposulfite", "fixateur"), "hypo"),
    **dict.fromkeys(("residual hypo", "residual fixer", "fixiersalz", "fixierer", "restfixierer"), "hypo"),
    **dict.fromkeys(("silver", "residual silver", "argent", "silber", "restsilber", "sulfide"), "silver"),
}
# What is seen is named, not what it means: “ok” and “passed” are a judgement, and no reading.
READINGS = {
    **dict.fromkeys(("none", "no stain", "nothing", "clear", "no color", "no colour", "colourless"), "none"),
    **dict.fromkeys(("aucune", "aucun", "aucune tache", "rien", "incolore", "keine", "kein fleck", "nichts"), "none"),
    **dict.fromkeys(("farblos", "klar", "clean", "sauber", "propre", "clair", "not visible", "invisible"), "none"),
    **dict.fromkeys(("nothing visible", "no trace", "no staining", "no discoloration", "no discolouration"), "none"),
    **dict.fromkeys(("pas de tache", "sans tache", "aucune coloration", "nicht sichtbar", "unsichtbar"), "none"),
    **dict.fromkeys(("nichts sichtbar", "keiner", "keine spur", "keine verfärbung", "keine färbung"), "none"),
    **dict.fromkeys(("just visible", "barely visible", "hardly visible", "faint", "trace", "traces"), "just visible"),
    **dict.fromkeys(("à peine visible", "a peine visible", "faible trace"), "just visible"),
    **dict.fromkeys(("tout juste visible", "just about visible", "barely", "kaum"), "just visible"),
    **dict.fromkeys(("kaum sichtbar", "gerade sichtbar", "gerade noch sichtbar", "spur", "spuren"), "just visible"),
    **dict.fromkeys(("beige", "pale tan", "cream", "crème", "hellbeige"), "beige"),
    **dict.fromkeys(("yellow-brown", "yellow brown", "yellowish brown", "jaune-brun", "brun-jaune"), "yellow-brown"),
    **dict.fromkeys(("brun jaune", "jaune brun", "gelbbraun", "gelb-braun"), "yellow-brown"),
}
METHODS = {
    **dict.fromkeys(("acid silver nitrate drop", "hypo test", "silver nitrate"), "acid silver nitrate drop"),
    **dict.fromkeys(("silver nitrate drop", "nitrate d'argent", "silbernitrat"), "acid silver nitrate drop"),
    **dict.fromkeys(("sulfide drop", "sulphide drop", "sodium sulfide", "sulfure", "natriumsulfid"), "sulfide drop"),
    **dict.fromkeys(("methylene blue", "bleu de méthylène", "methylenblau"), "methylene blue"),
    **dict.fromkeys(("iodine-amylose", "iodine amylose", "iode-amylose", "iod-amylose"), "iodine-amylose"),
    **dict.fromkeys(("silver densitometric", "densitometric", "densitométrique"), "silver densitometric"),
    **dict.fromkeys(("iodine titration", "titrage à l'iode", "iodometrie"), "iodine titration"),
    **dict.fromkeys(("laboratory", "lab", "laboratoire", "labor"), "laboratory"),
}
PROOF_WORDS = {
    **dict.fromkeys(("artist proof", "artists proof", "artist's proof", "épreuve d'artiste", "ea", "pa"), "AP"),
    **dict.fromkeys(("künstlerexemplar", "künstlerabzug", "ap"), "AP"),
    **dict.fromkeys(("printer proof", "printers proof", "printer's proof", "pp", "druckerexemplar"), "PP"),
    **dict.fromkeys(("hors commerce", "hc"), "HC"),
    **dict.fromkeys(("bon à tirer", "bon a tirer", "bat"), "BAT"),
    **dict.fromkeys(("exhibition copy", "exhibition copie", "exhibition print", "ec", "ausstellungsexemplar"), "EC"),
    **dict.fromkeys(("exemplaire d'exposition",), "EC"),
    **dict.fromkeys(("cancellation proof", "cp"), "CP"),
}
SIZE = re.compile(
    r"(?:limited\s+)?(?:(?:ed|éd)(?:ition|\.|n\.?)?|auflage|aufl\.?|tirage|limited\s+to)?\s*(?:of|de|von|à|:|/|=)?\s*"
    r"([0-9]{1,9})\s*(?:prints?|copies|numbered|numérotés|exemplaires?|ex\.?|exemplare|stück|nummeriert)?",
    re.IGNORECASE,
)
COUNTED = re.compile(r"([0-9]{1,6})\s*(?:x|×)?\s*(.+)|(.+?)\s*(?::|=)?\s*([0-9]{1,6})")


def folded(text: str) -> str:
    """Words for looking up: one blank between them, in lower case, straight apostrophes."""
    return " ".join(unicodedata.normalize("NFC", text).replace("’", "'").split()).casefold()


def is_yes(text: str) -> bool:
    """Whether a cell says yes."""
    return folded(text) in YES


def is_no(text: str) -> bool:
    """Whether a cell says no."""
    return folded(text) in NO


def given_to(text: str) -> tuple[str, str]:
    """The name and the way in such as “given to Eva” (Eva, gift); the text itself and "" where it says no way."""
    for pattern, way in GIVEN_TO.items():
        found = pattern.match(text)
        if found:
            return text[found.end() :].strip(), way
    return text, ""


def is_remark(text: str) -> bool:
    """Whether a cell for a name reads like a remark or a formula."""
    said = folded(text).replace(",", " ").replace(".", " ").split()
    strange = not text[:1].isalnum() or "?" in text.rstrip("? ") or "=" in text or "|" in text
    return strange or len(said) > LONGEST_NAME or bool(REMARKS.intersection(said))


def proof_kind(text: str) -> str:
    """The kind of proof that words name in the singular or plural, with or without points; "" for others."""
    word = folded(text)
    bare = word.replace(".", "").replace("/", "")
    for form in (word, bare, bare.removesuffix("s"), bare.removesuffix("e")):
        if form in PROOF_WORDS:
            return PROOF_WORDS[form]
    # “artist's proofs”, “épreuves d'artiste”, “bons à tirer”: each word in the singular.
    return SINGULAR_PROOFS.get(_singular(bare), "")


def _singular(text: str) -> str:
    return " ".join(part.removesuffix("s") for part in text.split())


SINGULAR_PROOFS = {_singular(known): kind for known, kind in PROOF_WORDS.items()}


def read_proofs(text: str) -> dict[str, int] | None:
    """Counts of proofs: “2 AP, 1 PP”, “+ 3 AP”, “AP: 5”; {} for none, None where any of it is not understood."""
    if not text or is_no(text):
        return {}
    found: dict[str, int] = {}
    for part in re.split(r"[,;+&]|\s(?:and|et|und|plus)\s", text):
        if not part.strip():
            continue
        counted = COUNTED.fullmatch(part.strip())
        kind = proof_kind((counted[2] or counted[3]) if counted else part)
        count = int(counted[1] or counted[4]) if counted else 1
        if kind not in PROOF_KINDS or kind in found:
            return None
        if count:
            found[kind] = count
    return found


def read_edition_size(text: str) -> tuple[int | None, dict[str, int]] | None:
    """The size and the proofs in one text: “25”, “ed. of 25 + 3 AP”, “open” (None); None where not understood."""
    head, *rest = re.split(r"[,;+&]|\s(?:and|et|und|plus)\s", text.strip(), maxsplit=1)
    proofs = read_proofs(rest[0]) if rest else {}
    if proofs is None:
        return None
    if folded(head) in OPEN_SIZES:
        return None, proofs
    size = SIZE.fullmatch(head.strip())
    return (int(size[1]), proofs) if size else None
