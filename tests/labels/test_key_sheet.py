"""Key sheets: keys in print and as squares that read, and nobody signs a page without a key."""

import json
from io import BytesIO

import pypdf
import pypdfium2
import pytest
import zxingcpp

from labels.key_sheet import KeyEntry, KeySheetContent, key_sheet
from labels.sheet import Section

# RFC 8037, appendix A: the key and its thumbprint.
X = "11qYAYKxCrfVS_7TyWQHOg7hcvPapiMlrwIaaPcHURo"
THUMBPRINT = "kPrK_qmxVWaYVA9wwBF6Iuo3vVzz7TxHCTwXBygrS4k"
JWK = json.dumps({"crv": "Ed25519", "kty": "OKP", "x": X}, separators=(",", ":"))


def content(keys: int) -> KeySheetContent:
    entry = KeyEntry(
        "Key 1, the artist’s", "since 3 May 2026", X, THUMBPRINT, JWK, ("Ended: lost.",), "Word", "abc_" * 130
    )
    return KeySheetContent(
        "Key sheet",
        "Žofie Đurđević",
        "The keys that sign",
        "As of today.",
        (entry,) * keys,
        (Section("Checking", ("One.", "Two.")),),
        (("These are the keys.", ("Signature", "Place and date")), ("Received.", ("Name", "Place and date"))),
        "https://example.org/C",
    )


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("keys", [1, 2, 7])
def test_every_key_is_in_print_and_in_a_square(keys: int, paper: str) -> None:
    pdf = key_sheet(content(keys), paper)
    assert pdf == key_sheet(content(keys), paper)
    read = []
    for page in pypdfium2.PdfDocument(pdf):
        found = zxingcpp.read_barcodes(page.render(scale=150 / 72, grayscale=True).to_pil())
        read += [code.text for code in found]
    assert read == [JWK] * keys
    texts = ["".join(page.extract_text().split()) for page in pypdf.PdfReader(BytesIO(pdf)).pages]
    assert sum(text.count(X) for text in texts) == keys == sum(text.count(THUMBPRINT) for text in texts)
    signed = next(number for number, text in enumerate(texts) if "Thesearethekeys." in text)
    assert keys > 3 or X in texts[signed]
    assert "Received." in texts[signed], "both hands on one page"
