"""Headings in three languages, matched whatever their case, accents, punctuation and number."""

import pytest

from catalog.exchange.importing.headings import match, words
from catalog.exchange.importing.importers import NOUNS, importer
from catalog.exchange.importing.negatives import Negatives
from catalog.exchange.importing.parties import Parties

# heading -> field of a negative; the words are common practice, no source
NEGATIVES = {
    "Title": "title", "TITLES": "title", "Titre": "title", "Titel": "title", "Bildtitel": "title",
    "Inv.-Nr.": "code", "N° d'inventaire": "code", "Numéro": "code", "Plattennummer": "code", "No.": "code",
    "Date": "made", "Dates": "made", "DATE_TAKEN": "made", "Datum (TT.MM.JJJJ)": "made", "Année": "made",
    "Size (in)": "size", "Größe": "size", "Groesse": "", "Grosse": "size", "Format in cm": "size", "Dimensions": "size",
    "Maße (B x H)": "size", "L x H (cm)": "size", "Height cm": "height", "Breite (mm)": "width",
    "Technique": "process", "Verfahren": "process", "Procédé": "process", "Träger": "support",
    "Remarks": "note", "Bemerkungen": "note", "Remarques": "note", "Storage location": "place", "Standort": "place",
    "Boîte": "place", "Lieu de prise de vue": "where", "Aufnahmeort": "where", "Zustand": "state", "État": "state",
    "Alte Nr.": "", "Käufer": "", "Price": "",
}  # fmt: skip


@pytest.mark.parametrize("heading", NEGATIVES)
def test_a_heading_is_taken_for_its_field(heading: str) -> None:
    assert match([heading], Negatives.fields)[0].field == NEGATIVES[heading]


# heading -> unit, width first, day first
HINTS = {
    "Size (cm)": ("cm", None, None), "Format in inches": ("in", None, None), "Maße B x H": ("", True, None),
    "Height x Width (mm)": ("mm", False, None), "Largeur × hauteur": ("", True, None),
    "Date (dd/mm/yyyy)": ("", None, True), "Date (mm/dd/yyyy)": ("", None, False),
    "Datum (TT.MM.JJJJ)": ("", None, True),
}  # fmt: skip


@pytest.mark.parametrize("heading", HINTS)
def test_a_heading_says_what_its_cells_mean(heading: str) -> None:
    found = match([heading], Negatives.fields)[0]
    assert (found.unit, found.width_first, found.day_first) == HINTS[heading]


def test_words_are_bare() -> None:
    assert words("Lieux de prise-de-VUE") == words("lieu de prise de vue")
    assert words("heightCm") == ("height", "cm")


def test_parties() -> None:
    headings = ["Name", "E-Mail", "Tél.", "Adresse", "Ville", "Pays", "Geburtsdatum", "Prénom", "Nachname"]
    fields = [one.field for one in match(headings, Parties.fields)]
    assert fields == ["name", "mail", "telephone", "address", "place", "country", "born", "first name", "last name"]


@pytest.mark.parametrize("noun", NOUNS)
def test_no_two_fields_share_a_heading(noun: str) -> None:
    seen: dict[tuple[str, ...], str] = {}
    for field in importer(noun).fields:
        for name in (field.name, *field.names):
            assert seen.setdefault(words(name), field.name) == field.name, name
