"""The trade words of the catalog, used everywhere alike."""

from catalog.marks import numeral

NEGATIVE_STATES = (
    "in process",
    "drying",
    "varnished",
    "curing",
    "ready",
    "retired",
    "cancelled",
    "broken",
    "destroyed",
    "lost",
    "deposited",
)
GONE_STATES = ("cancelled", "broken", "destroyed")  # such a negative makes no new prints

PROOF_KINDS = {
    "AP": "artist's proof",
    "PP": "printer's proof",
    "HC": "hors commerce",
    "BAT": "bon à tirer",
    "EC": "exhibition copy",
    "CP": "cancellation proof",
}
PROOF_PLURALS = {
    "AP": "artist's proofs",
    "PP": "printer's proofs",
    "HC": "hors-commerce proofs",
    "BAT": "bons à tirer",
    "EC": "exhibition copies",
    "CP": "cancellation proofs",
}
TRIAL_KINDS = ("work", "reference")

BATH_KINDS = (
    "collodion",
    "silver bath",
    "developer",
    "stop",
    "fixer",
    "iodine",
    "redeveloper",
    "wash aid",
    "toner",
    "wetting agent",
    "varnish",
)
WASHER_KINDS = ("tray", "siphon", "slots")
STEP_KINDS = (
    "clean glass",
    "albumen sub",
    "collodion",
    "sensitize",
    "expose",
    "develop",
    "stop",
    "fix",
    "rinse",
    "iodine",
    "redevelop",
    "wash aid",
    "tone",
    "wash",
    "wetting agent",
    "dry",
    "flatten",
    "varnish",
    "cure",
    "spot",
)
# Wet steps, from fixing on, decide what is left in the sheet; the chemical ones call for a wash after them.
WET_STEPS = frozenset({"fix", "rinse", "wash aid", "tone", "wash", "develop", "stop", "iodine", "redevelop"})
CHEMICAL_STEPS = frozenset({"fix", "wash aid", "tone", "develop", "stop", "iodine", "redevelop"})
BATH_OF_STEP = {
    "fix": "fixer",
    "tone": "toner",
    "wash aid": "wash aid",
    "develop": "developer",
    "stop": "stop",
    "iodine": "iodine",
    "redevelop": "redeveloper",
    "collodion": "collodion",
    "sensitize": "silver bath",
    "wetting agent": "wetting agent",
    "varnish": "varnish",
}

READINGS = ("none", "just visible", "beige", "yellow-brown")
QUESTIONS = ("hypo", "silver")
DROP_METHODS = {"hypo": "acid silver nitrate drop", "silver": "sulfide drop"}
QUANTITATIVE_METHODS = ("methylene blue", "iodine-amylose", "silver densitometric", "iodine titration", "laboratory")
METHODS_OF = {"hypo": QUANTITATIVE_METHODS, "silver": ("laboratory",)}  # all the others measure thiosulfate
EXTRACT_METHODS = frozenset({"iodine titration"})  # of what came out: nothing follows of what stayed in the sheet

GRADES = ("measured", "spot-tested", "by proven routine", "recorded", "unrecorded", "failed")  # best first

CONTACT_KINDS = ("address", "mail", "telephone")
PARTY_KINDS = ("artist", "printer", "collector", "gallery", "institution", "other")
DEALER_KINDS = ("gallery",)  # in round brackets in a provenance
PLACE_KINDS = ("building", "room", "rack", "cabinet", "shelf", "drawer", "box", "slot")


EDITION_FATES = ("kept", "retired", "marked", "broken", "destroyed", "deposited")  # of the negative of a cancelled one
NUMERALS = ("arabic", "roman")


def designation(
    kind: str | None, number: int | None, size: int | None, proofs: int | None, numerals: str = "arabic"
) -> str:
    """What a print is, as written on it: “3/25”, “AP 1/3”, “AP I/III”, “BAT”, “work print”, “not yet designated”.

    `numerals` are those of the edition's proofs; the numbered run is Arabic always.
    """
    if kind is None:
        return "not yet designated"
    if kind == "numbered":
        return f"{number}/{size}"
    if kind in PROOF_KINDS:
        if proofs == 1 or number is None:
            return kind
        return f"{kind} {numeral(number, numerals)}" + (f"/{numeral(proofs, numerals)}" if proofs else "")
    return {"open": "open edition", "work": "work print", "reference": "reference print", "unique": "unique print"}[
        kind
    ]


def number_label(kind: str, number: int, numerals: str = "arabic") -> str:
    """One number of an edition without its count: “3”, “AP 2”, “AP II”."""
    return str(number) if kind == "numbered" else f"{kind} {numeral(number, numerals)}"
