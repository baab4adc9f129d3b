"""Corrections in sentences: what a field is called there, and what stands in it for a person to read."""

from catalog.dates import parse_date

DATES = ("made", "mixed", "signed")
# field as typed -> what it is called in a sentence, where that is another word
NOUNS = {
    "made": "date",
    "made-where": "place",
    "signed": "date of signing",
    "mixed": "date of mixing",
    "printed-by": "printer",
    "supervised-by": "supervisor",
    "image": "image size",
    "sheet": "sheet size",
    "seconds": "duration",
    "celsius": "temperature",
    "until": "end",
    "their-number": "other side's number",
}


def noun(field: str) -> str:
    """What a field is called in a sentence."""
    return NOUNS.get(field, field)


def quoted(text: str) -> str:
    """A value between quotation marks; of an empty one, the word for it."""
    return f"“{text}”" if text else "nothing"


def said(field: str, text: str) -> str:
    """What stands in a field, for a person to read: a date in English, everything else as it is."""
    return parse_date(text).text() if field in DATES and text else text
