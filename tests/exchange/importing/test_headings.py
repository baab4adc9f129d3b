"""Headings in three languages, matched whatever their case, accents, punctuation and number."""

import pytest

from catalog.exchange.importing.headings import match, unit_of, words
from catalog.exchange.importing.importers import NOUNS, importer
from catalog.exchange.importing.mapping import guessed
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


# The headings that matter in the open data of museums -> fields; what else these lists have is kept as notes.
# Carnegie Museum of Art, Tate, The Metropolitan Museum of Art, The Museum of Modern Art: their collection files on
# GitHub, 2014 to 2024; the National Gallery of Art and the Art Institute of Chicago: from memory, not confirmed.
MUSEUMS = {
    "carnegie": {"id": "", "accession_number": "code", "title": "title", "creation_date": "made", "medium": "process",
                 "creation_date_earliest": "", "creation_date_latest": "", "physical_location": ""},
    "tate": {"id": "", "accession_number": "code", "title": "title", "dateText": "made", "year": "",
             "medium": "process", "dimensions": "size", "width": "width", "height": "height", "inscription": "mark"},
    "met": {"Object Number": "code", "Object ID": "", "Title": "title", "Object Date": "made",
            "Object Begin Date": "", "Object End Date": "", "Medium": "process", "Dimensions": "size"},
    "moma": {"AccessionNumber": "code", "ObjectID": "", "Title": "title", "Date": "made", "BeginDate": "",
             "EndDate": "", "Medium": "process", "Dimensions": "size", "Height (cm)": "height", "Width (cm)": "width"},
    "washington": {"accessionnum": "code", "title": "title", "displaydate": "made", "medium": "process"},
    "chicago": {"id": "", "title": "title", "date_display": "made", "dimensions": "size"},
}  # fmt: skip


@pytest.mark.parametrize("museum", MUSEUMS)
def test_headings_of_museums(museum: str) -> None:
    wanted = MUSEUMS[museum]
    found = guessed(list(wanted), Negatives.fields).columns
    if "code" not in wanted.values():
        assert found.pop("id") == "code"
        wanted = {heading: field for heading, field in wanted.items() if heading != "id"}
    assert found == wanted


# Headings that may both say when: a person is asked, by refusing the second.
ASKED = [("Date", "Created"), ("Date", "Year"), ("Date", "Creation date"), ("Taken", "Year"), ("Object date", "Date")]


@pytest.mark.parametrize("pair", ASKED)
def test_two_columns_of_one_field_are_both_taken_for_it(pair: tuple[str, str]) -> None:
    assert set(guessed(pair, Negatives.fields).columns.values()) == {"made"}


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


# heading -> the unit of its column, and the field of a negative
UNITS = {
    "width_in": ("in", "width"), "size in inches": ("in", "size"), "Maße in Zentimetern": ("cm", "size"),
    "Size in the album": ("", ""), "Size (in/cm)": ("", "size"), "Size (in mm)": ("mm", "size"),
    "SizeInCm": ("cm", "size"), "H in x W in": ("in", "size"), "Hauteur en cm": ("cm", "height"),
    "Height (cm) (2)": ("cm", "height"), "Weight_kg": ("kg", "weight"), "Gewicht in Gramm": ("g", "weight"),
    "Weight (oz)": ("oz", "weight"), "Höhe (m)": ("m", "height"), "Height (feet)": ("ft", "height"),
    "Date (dd/mm/yyyy)": ("", "made"), "M. Nr": ("m", ""),
}  # fmt: skip


@pytest.mark.parametrize("heading", UNITS)
def test_a_heading_says_the_unit_of_its_column(heading: str) -> None:
    field = match([heading], Negatives.fields)[0].field
    assert (unit_of(heading), field) == UNITS[heading]


@pytest.mark.parametrize("heading", ["#", "?", "—", "*", "(cm)", "[x]", "", "()"])
def test_a_heading_without_a_word_is_a_note(heading: str) -> None:
    assert match([heading, "Title"], Negatives.fields)[0].field == ""


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
