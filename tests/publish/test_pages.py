"""Every page answers, says what the copy holds, and escapes it; codes lead to one address."""

import re
import sqlite3
from html.parser import HTMLParser
from pathlib import Path

import pytest

from catalog.rules.claims import GRADES_MEAN
from tests.publish.public_sample import FINGERPRINT, OTHER_FINGERPRINT

PAGES = ["/", "/about", "/search", "/N", "/E", "/P", "/C", "/S/salt-works", "/S/rooms", "/style.css", "/check.js",
         "/favicon.svg"]  # fmt: skip


def all_pages(public_copy: Path) -> list[str]:
    connection = sqlite3.connect(public_copy / "public.db")
    found = list(PAGES)
    for letter, table in (("N", "negative"), ("E", "edition"), ("P", "print"), ("C", "certificate")):
        found += [f"/{letter}/{code.upper()}" for (code,) in connection.execute(f"SELECT code FROM {table}")]
    found += [f"/picture/{file}" for pair in connection.execute("SELECT file, small FROM picture") for file in pair]
    connection.close()
    return found


class Links(HTMLParser):
    """Collects addresses, and elements that a page of ours never has."""

    def __init__(self) -> None:
        super().__init__()
        self.addresses: set[str] = set()
        self.foreign: list[str] = []
        self.pictures_without_alt = 0
        self.scripts = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        self.addresses.update(value for key in ("href", "src") if (value := given.get(key)))
        acts = "style" in given or any(key.startswith("on") for key in given)
        ours = given == {"src": "/check.js", "defer": None}
        if acts or (tag == "script" and not ours) or tag in ("style", "iframe", "object"):
            self.foreign.append(tag)
        self.scripts += tag == "script"
        self.pictures_without_alt += tag == "img" and "alt" not in given


def test_every_page_answers_and_every_link_leads_somewhere(ask, public_copy: Path) -> None:  # type: ignore[no-untyped-def]
    addresses: set[str] = set()
    for path in all_pages(public_copy):
        answer = ask(path)
        assert answer.status_code == 200, path
        if answer.headers["content-type"].startswith("text/html"):
            links = Links()
            links.feed(answer.text)
            assert not links.foreign, path
            assert not links.pictures_without_alt, path
            # Only where a square is checked may anything run, and nothing may be sent from there either.
            assert links.scripts == ("script-src 'self'" in answer.headers["content-security-policy"]), path
            assert links.scripts == (path == "/C" or path.startswith("/C/")), path
            assert "connect-src" not in answer.headers["content-security-policy"], path
            assert '<html lang="en">' in answer.text and answer.text.count("<h1") == 1, path
            addresses |= links.addresses
    for address in addresses:
        if address.startswith("https://example.org"):
            address = address.removeprefix("https://example.org")
        if not address.startswith("#"):
            assert ask(address).status_code == 200, address


@pytest.mark.parametrize(("typed", "canonical"), [
    ("/p/p-1", "/P/P-000001"), ("/P/P-1", "/P/P-000001"), ("/P/p-000001", "/P/P-000001"), ("/P/1", "/P/P-000001"),
    ("/p/P-000001", "/P/P-000001"), ("/P/P-000001/", "/P/P-000001"), ("/P/P-0000000001", "/P/P-000001"),
    ("/n/n1", "/N/N-0001"), ("/e/e-1", "/E/E-0001"), ("/c/c-3", "/C/C-0003"),
    ("/N/2019-lm-14b", "/N/2019-LM-14B"), ("/N/2019-LM-14b", "/N/2019-LM-14B"),
    ("/p/2019-lm-14b-1", "/P/2019-LM-14B-1"), ("/s/Salt-Works", "/S/salt-works"), ("/S/salt-works/", "/S/salt-works"),
    ("/n", "/N"), ("/E/", "/E"), ("/c?certificate=C-0001", "/C?certificate=C-0001"),
])  # fmt: skip
def test_one_canonical_address(ask, typed: str, canonical: str) -> None:  # type: ignore[no-untyped-def]
    answer = ask(typed)
    assert (answer.status_code, answer.headers["location"]) == (301, canonical)
    assert ask(canonical).status_code == 200


def test_text_is_escaped(ask) -> None:  # type: ignore[no-untyped-def]
    for path in ("/N/N-0007", "/E/E-0005", "/P/P-000012", "/", "/search?q=alert", "/P"):
        text = ask(path).text
        assert "<script" not in text and "&lt;script&gt;" in text, path
    assert "<b>" not in ask("/search", params={"q": '"><b>x'}).text
    assert "<b>" not in ask("/C", params={"certificate": '"><b>x', "fingerprint": '"><b>'}).text


def test_print_page_says_what_is_recorded(ask) -> None:  # type: ignore[no-untyped-def]
    text = ask("/P/P-000001").text
    for words in ("1/25", "Evaporation pond, first frost", "signed verso in pencil", "spot-tested", "no stain seen",
                  "slot washer, 60 min", "C-0003", "superseded by C-0003"):  # fmt: skip
        assert words in text
    assert "toning: gold instead of selenium" in ask("/P/P-000004").text
    assert 'href="/P/P-000004"' in ask("/P/P-000003").text
    assert 'href="/P/P-000003"' in ask("/P/P-000004").text
    assert "No step is recorded" in ask("/P/P-000009").text


def test_print_page_says_every_doubt_and_claim_beside_its_answer(ask) -> None:  # type: ignore[no-untyped-def]
    text = ask("/P/P-000001").text
    for words in (
        "<strong>Mind:</strong> Fixer B-0004 was past the capacity set for it when this was fixed.",
        "<strong>Mind:</strong> Tested before a later wet step.",
        "Of silver it may be said that it was fixed and washed as recorded; it is not shown to be clean",
        "selenium 1+19, 2 min. Selenium-toned; how far the silver was converted was not tested.",
    ):
        assert words in text
    assert text.index("Hypo left") < text.index("past the capacity") < text.index("Silver left")


def test_terms_agree_with_what_grades_mean(ask) -> None:  # type: ignore[no-untyped-def]
    text = re.sub(r"\s+", " ", ask("/about").text)
    assert all(f"<dt>{grade}</dt>" in text for grade in GRADES_MEAN)
    assert "Nothing was tested" not in text and "margin" not in text and "handbook" not in text


def test_map_of_numbers(ask) -> None:  # type: ignore[no-untyped-def]
    text = ask("/E/E-0001").text
    cells = re.findall(r'<(a|span) class="cell ([a-z-]+)"[^>]*(?:title|aria-label)="([^"]+)"', text)
    assert len(cells) == 30
    assert ("a", "placed", "3/25, placed") in cells
    assert ("a", "destroyed", "4/25, destroyed") in cells
    assert ("span", "void", "8/25, void") in cells
    assert {kind for _tag, kind, _words in cells} == {
        "placed", "available", "destroyed", "lost", "kept", "reserved", "void", "not-yet-printed"}  # fmt: skip
    assert "it has no last number" in ask("/E/E-0002").text


def test_what_is_said_of_an_edition_is_printed_with_it(ask) -> None:  # type: ignore[no-untyped-def]
    first, second, closed = (ask(f"/E/E-{number:04d}").text for number in (1, 2, 3))
    assert "the sheet is 24 × 30.5 cm" in first and "Erratum, 6 May 2026" in first
    assert "6 of 25 numbers given, 6 signed" in first and "7 signed and numbered over 2 editions" in first
    for page in (first, second):  # the disclosure stands with both editions
        assert "Also printed on matt paper as E-0001" in page and "Other editions of this image" in page
    assert "Closed early at 5 (3 May 2026)." in closed and "AP II/II, void" in closed
    assert re.search(r'<span class="number">II</span>', closed)
    assert "its negative was marked" in ask("/E/E-0005").text and "its negative was marked" in ask("/P/P-000012").text
    assert "negative 1998, printed 2026 (later print)" in ask("/P/P-000001").text
    assert "the key of the artist" in ask("/C/C-0003").text


CHECKS = [
    ("C-0003", FINGERPRINT, ["This number and fingerprint agree with the record", "is valid", "whole fingerprint"]),
    ("c3", "3F9A01C7", ["This number and fingerprint agree with the record", "first 8 characters"]),
    ("C-0003", "3f9a-01c7-b2", ["agree with the record"]),
    ("C-0003", "3f9a 01c8", ["The fingerprint differs from the record"]),
    ("C-0003", "", ["was not compared", "is valid"]),
    ("C-0003", "3f9a", ["too little of the fingerprint (4 characters)"]),
    ("C-0003", "not hex!", ["is not a fingerprint"]),
    ("C-0003", "a" * 65, ["is not a fingerprint"]),
    ("C-0001", OTHER_FINGERPRINT, ["agree with the record", "superseded by C-0003"]),
    ("C-0002", "0b5e77d1", ["agree with the record", "This certificate is revoked"]),
    ("C-0009", FINGERPRINT, ["There is no such certificate"]),
    ("P-000001", "", ["There is no such certificate"]),
    ("' OR 1=1 --", "", ["There is no such certificate"]),
]


@pytest.mark.parametrize(("number", "fingerprint", "sentences"), CHECKS)
def test_certificate_check(ask, number: str, fingerprint: str, sentences: list[str]) -> None:  # type: ignore[no-untyped-def]
    answer = ask("/C", params={"certificate": number, "fingerprint": fingerprint})
    assert answer.status_code == 200 and answer.headers["cache-control"] == "no-cache"
    for sentence in sentences:
        assert sentence in answer.text
    if "agree with the record" not in sentences[0] and "agree with the record" not in " ".join(sentences):
        assert "agree with the record" not in answer.text


def test_no_claim_beyond_the_records(ask, public_copy: Path) -> None:  # type: ignore[no-untyped-def]
    for path in all_pages(public_copy):
        if not path.startswith(("/picture", "/style", "/check.js", "/favicon")):
            text = re.sub(r"<[^>]+>", " ", ask(path).text).lower().replace("does not make the print archival", "")
            assert not re.search(r"\barchival\b|meets iso|guarantee|permanent\b|non-commercial", text), path


def test_a_bad_count_is_taken_as_none(ask) -> None:  # type: ignore[no-untyped-def]
    for after in ("-1", "x", "9" * 30, "²", "1e3", ""):
        assert ask("/N", params={"after": after}).text == ask("/N").text
    assert ask("/P?after=999999").status_code == 200
