"""Folding and query expressions, and what a search finds on the site."""

import sqlite3

import pytest

from catalog.publish.search import fold, query

FOLDED = {
    "Žofie Đurđević": "zofie durdevic",
    "Ødegård": "odegard",
    "Straße STRASSE": "strasse strasse",
    "Łąka": "laka",
    "Æon œuvre Þór Ísafjörður": "aeon oeuvre thor isafjordur",
    "İstanbul ISPARTA ısparta": "istanbul isparta isparta",
    "Ἀθῆναι": "αθηναι",
    "ΟΔΟΣ": "οδοσ",
    "Việt Nam": "viet nam",
    "ｆｕｌｌ": "full",
}


@pytest.mark.parametrize(("text", "folded"), FOLDED.items())
def test_fold(text: str, folded: str) -> None:
    assert fold(text) == folded
    assert fold(folded) == folded


def test_unspaced_writing_is_parted_into_characters() -> None:
    assert fold("写真館の窓").split() == list("写真館の窓")
    assert fold("한글").split() == ["한", "글"]


def test_query_quotes_every_word() -> None:
    assert query("Ødeg P-0001") == '"odeg"* AND "p 0001"*'
    assert query('" OR * NEAR( ^ :') == '"or"* AND "near"*'
    assert query("—  ’ ") == ""


def test_a_word_that_goes_on_in_few_ways_is_written_out() -> None:
    words = ["low", "p", "water", "waters", *(f"x{number:03d}" for number in range(41)), "y"]
    assert query("LOW wat", words) == '"low" AND ("water" OR "waters")'
    assert query("p-wat y none", words) == '("p water" OR "p waters") AND "y" AND "none"*'
    assert query("x x00", words) == '"x"* AND (' + " OR ".join(f'"x00{digit}"' for digit in range(10)) + ")"


def test_written_out_or_not_the_same_is_found(public_copy) -> None:  # type: ignore[no-untyped-def]
    from catalog.publish.reading import PublicCopy
    from catalog.publish.search import FIND

    copy = PublicCopy(public_copy)
    typed = {word[:length] for word in copy.words for length in (1, 2, 3, len(word))}
    for text in [*sorted(typed), "evap fros", "P-0000 evap", "3/25", "真館"]:
        written, begun = (copy.rows(FIND, query(text, words), 1_000) for words in (copy.words, ()))
        assert written == begun and written, text


ODD = ['"', "'", 'a"b', "(", "NEAR(a b)", "a*", "-a", "code:x", "^a", "a AND", "NOT", "+", "\0", "𞤀𞤁", "🖼", "a" * 5000,
       "a " * 500, "p-", "ـ", "क्ष"]  # fmt: skip


@pytest.mark.parametrize("typed", ODD)
def test_no_query_raises(typed: str) -> None:
    connection = sqlite3.connect(":memory:")
    connection.execute("CREATE VIRTUAL TABLE search USING fts5(words)")
    expression = query(typed)
    if expression:
        assert connection.execute("SELECT * FROM search WHERE search MATCH ?", [expression]).fetchall() == []


@pytest.mark.parametrize(("typed", "path"), [
    ("odegard", "/N/N-0006"), ("ØDEGÅRD", "/N/N-0006"), ("strasse", "/E/E-0003"), ("laka", "/N/N-0011"),
    ("αθηναι", "/N/2019-LM-14B"), ("真館", "/N/2019-LM-14B"), ("evap fros", "/N/N-0001"), ("P-000001", "/P/P-000001"),
    ("p-0000", "/P/P-000001"), ("p1", "/P/P-000001"), ("e 3", "/E/E-0003"), ("2019-lm-14B", "/N/2019-LM-14B"),
    ("d'arc", "/N/N-0003"), ("d’Arc", "/N/N-0003"), ("salt works", "/S/salt-works"), ("3/25", "/P/P-000004"),
])  # fmt: skip
def test_search_finds(ask, typed: str, path: str) -> None:  # type: ignore[no-untyped-def]
    answer = ask("/search", params={"q": typed})
    assert answer.status_code == 200
    assert f'href="{path}"' in answer.text


@pytest.mark.parametrize("typed", ["qqqzzz", "'; DROP TABLE print; --", "写写写", "evap nosuchword", "*"])
def test_nonsense_finds_nothing(ask, typed: str) -> None:  # type: ignore[no-untyped-def]
    answer = ask("/search", params={"q": typed})
    assert answer.status_code == 200
    assert 'href="/N/' not in answer.text and 'href="/P/' not in answer.text
    assert "Nothing was found" in answer.text


def test_search_is_capped(ask) -> None:  # type: ignore[no-untyped-def]
    from catalog.publish.search import MOST_RESULTS

    assert ask("/search", params={"q": "e n p 0 1 2"}).status_code == 200
    assert ask("/search", params={"q": "p"}).text.count('class="words"') <= MOST_RESULTS
