"""Process words in three languages, as words of this catalog."""

import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalog.exchange.free_text.processes import read_process

WET, DRY, SILVER = "wet-collodion negative", "gelatin dry-plate negative", "gelatin silver print"

# Text -> process, support, base, toning, mount, language; without a doubt. First block: open data (CC0) of the
# Metropolitan Museum of Art, the Williams College Museum of Art and the Historisches Museum Frankfurt, captions of the
# fonds Trutat (Muséum de Toulouse) as single facts. Second: customary terms, common practice, no source.
READ = [
    ("Gelatin silver print", SILVER, "", "", "", "", "en"), ("gelatin-silver print", SILVER, "", "", "", "", "en"),
    ("Papier; auf Karton aufgezogen; Albuminabzug", "albumen print", "paper", "", "", "on card", "de"),
    ("Papier; auf Papier aufgezogen; getont; Albuminabzug", "albumen print", "paper", "", "toned", "on paper", "de"),
    ("Papier; Silbergelatineabzug", SILVER, "paper", "", "", "", "de"),
    ("plaque négative au gélatino-bromure d'argent", DRY, "glass", "", "", "", "fr"),
    ("plaque négative stéréoscopique au collodion humide", WET, "glass", "", "", "", "fr"),
    ("plaque négative au collodion au tanin", "dry-collodion negative", "glass", "", "", "", "fr"),
    ("Épreuve sur papier albuminé", "albumen print", "paper", "", "", "", "fr"),
    ("Kohledruck", "carbon print", "", "", "", "", "de"),
    ("wet-collodion negative", WET, "", "", "", "", "en"),
    ("Wet plate collodion glass negative", WET, "glass", "", "", "", "en"),
    ("négatif sur verre au collodion humide", WET, "glass", "", "", "", "fr"),
    ("Nasses Kollodium-Negativ", WET, "", "", "", "", "de"), ("gelatin dry plate", DRY, "glass", "", "", "", "en"),
    ("Trockenplatte", DRY, "glass", "", "", "", "de"),
    ("négatif sur verre au gélatino-bromure", DRY, "glass", "", "", "", "fr"),
    ("Gelatine-Trockenplatte", DRY, "glass", "", "", "", "de"),
    ("gelatin silver negative on film", "gelatin silver negative", "film", "", "", "", "en"),
    ("Gelatinesilberabzug", SILVER, "", "", "", "", "de"), ("Bromsilberdruck", SILVER, "", "", "", "", "de"),
    ("tirage argentique", SILVER, "", "", "", "", "fr"), ("épreuve gélatino-argentique", SILVER, "", "", "", "", "fr"),
    ("Selenium-toned gelatin silver print", SILVER, "", "", "selenium", "", "en"),
    ("gelatin silver print, gold toned, fibre-based", SILVER, "", "fibre", "gold", "", "en"),
    ("tirage argentique sur papier baryté, viré au sélénium", SILVER, "", "fibre", "selenium", "", "fr"),
    ("selengetonter Silbergelatineabzug auf Barytpapier", SILVER, "", "fibre", "selenium", "", "de"),
    ("gelatin silver print on RC paper", SILVER, "", "resin-coated", "", "", "en"),
    ("gold-toned albumen print mounted on card", "albumen print", "paper", "", "gold", "on card", "en"),
    ("tirage à l'albumine, viré à l'or, monté sur carton", "albumen print", "paper", "", "gold", "on card", "fr"),
    ("salted paper print", "salted paper print", "paper", "", "", "", "en"),
    ("papier salé", "salted paper print", "paper", "", "", "", "fr"),
    ("Salzpapierabzug", "salted paper print", "paper", "", "", "", "de"),
    ("cyanotype", "cyanotype", "", "", "", "", ""),
    ("Cyanotypie", "cyanotype", "", "", "", "", "de"), ("platinum print", "platinum print", "", "", "", "", "en"),
    ("Platindruck", "platinum print", "", "", "", "", "de"), ("tirage platine", "platinum print", "", "", "", "", "fr"),
    ("platinum/palladium print", "platinum-palladium print", "", "", "", "", "en"),
    ("gomme bichromatée", "gum bichromate print", "", "", "", "", "fr"),
    ("ambrotype", "ambrotype", "glass", "", "", "", ""), ("silver gelatine print", SILVER, "", "", "", "", "en"),
    ("Pt/Pd", "platinum-palladium print", "", "", "", "", "en"),
    ("gelatin silver print on fiber paper", SILVER, "", "fibre", "", "", "en"),
    ("gelatin silver print, sepia and selenium toned", SILVER, "", "", "sepia and selenium", "", "en"),
]  # fmt: skip

DOUBTFUL = [
    ("Gelatin silver print, printed 1983", SILVER, "printed, 1983"),
    ("Albuminabzug?", "albumen print", "“?” is not kept"),
    ("Albumen silver print from glass negative", "albumen print", "negative it is from"),
    ("Papier; koloriert; Albuminabzug", "albumen print", "koloriert"),
    ("albumen", "albumen print", "read as albumen print"),
    ("Silbergelatine, selengetont", SILVER, "read as"), ("gelatin silver RC print", SILVER, "read as"),
    ("collodion humide", WET, "neither negative nor positive"),
    ("wet plate collodion", WET, "neither negative nor positive"),
    ("Nasse Kollodiumplatte", WET, "neither negative nor positive"),
    ("Papier; Passepartout-Karton; auf Karton aufgezogen; Albuminabzug", "albumen print", "names several"),
]  # fmt: skip

NOT_READ = [
    ("Photograph", "no process"), ("Glass plate negatives", "no process"),
    ("black and white: safety film", "no process"),
    ("Cyanotypes; gelatin silver prints", "several processes"),
    ("Silver Gelatin Print, Glass Plate Negative", "a negative and a print"),
    ("Photo-reproduction of a gelatin silver print from 1926.", "may turn"), ("not a gelatin silver print", "may turn"),
    ("cyanotype or platinum print", "several processes"), ("Mixed media", "may turn"),
    ("color lithograph on paper", "no process"), ("gum over platinum", "may turn"), ("albumen plate", "no process"),
    ("carbon on glass", "no process"), ("gelatin silver on film", "no process"),
    ("gelatin silver print after a daguerreotype", "several processes"), ("", "Nothing"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "process", "support", "base", "toning", "mount", "language"), READ)
def test_processes_are_read(
    text: str, process: str, support: str, base: str, toning: str, mount: str, language: str
) -> None:
    assert read_process(text) == (process, support, base, toning, mount, language, (), "", ())


@pytest.mark.parametrize(("text", "process", "doubt"), DOUBTFUL)
def test_what_is_left_over_or_chosen_is_told(text: str, process: str, doubt: str) -> None:
    reading = read_process(text)
    assert (reading.process, reading.why_not) == (process, "")
    assert any(doubt in said for said in reading.doubts), reading.doubts


@pytest.mark.parametrize(("text", "reason"), NOT_READ)
def test_what_is_not_understood_gives_no_process(text: str, reason: str) -> None:
    reading = read_process(text)
    assert reading.process == ""
    assert reason in reading.why_not


def test_glass_is_kept_without_a_process() -> None:
    assert read_process("Négatif sur verre").support == "glass"
    assert read_process("Négatif souple (film)").support == "film"


def test_two_tonings_are_both_kept() -> None:
    assert read_process("selenium-toned and gold-toned gelatin silver print").toning == "selenium and gold"
    assert read_process("selenium- and gold-toned gelatin silver print").toning == "selenium and gold"


@given(st.text(max_size=60))
@settings(max_examples=300)
def test_any_text_is_a_process_or_none(text: str) -> None:
    reading = read_process(text)
    assert bool(reading.why_not) == (reading.process == "")


@pytest.mark.parametrize(
    "sign", ["a", " ", "-", "glass ", "on ", "plaque ", "négative ", "(", "sur verre ", "collodion "]
)
def test_ten_thousand_signs_take_no_more_than_a_moment(sign: str) -> None:
    started = time.perf_counter()
    read_process(sign * 10_000)
    read_process((sign * 300)[:300])
    assert time.perf_counter() - started < 1
