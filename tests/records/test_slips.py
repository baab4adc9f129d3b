"""The slip: its one form, its length, what is shortened, and what is refused."""

import base64
import hashlib
import json
import unicodedata

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalog import signing
from catalog.records import slips
from catalog.signing import BadSignatureError, UnknownKeyError, UnreadableError

PEM, X = signing.new_key()
THUMBPRINT = signing.thumbprint(X)
KEYS = {THUMBPRINT: X}
FACTS = {
    "artist": {"name": "Mara Example", "life": "1971–"},
    "certificate": "C-0001",
    "issued": "2026-05-03",
    "negative": {"made": "2025-11-02"},
    "print": {"code": "P-000001", "designation": "1/25", "made": "2026-02"},
    "title": "Low water, Étude",
}
WHOLE = signing.canonical(FACTS)


def slip(**changes):
    return slips.signed({**FACTS, **changes}, WHOLE, PEM, THUMBPRINT)


def resigned(payload, header='{"alg":"Ed25519"}', pem=PEM):
    """Any payload truly signed under any header."""
    from cryptography.hazmat.primitives.serialization import load_pem_private_key

    signed = f"{signing.encode(header.encode())}.{signing.encode(payload)}"
    return f"{signed}.{signing.encode(load_pem_private_key(pem, None).sign(signed.encode()))}"


def payload_of(jws):
    return json.loads(signing.claimed(jws))


def test_its_one_form():
    head, body, _ = slip().split(".")
    assert base64.urlsafe_b64decode(head + "=") == b'{"alg":"Ed25519"}'
    digest = base64.urlsafe_b64encode(hashlib.sha256(WHOLE).digest()).rstrip(b"=").decode()
    assert len(digest) == 43
    expected = {
        "artist": "Mara Example",
        "certificate": "C-0001",
        "designation": "1/25",
        "facts": digest,
        "issued": "2026-05-03",
        "key": THUMBPRINT[:8],
        "negative": "2025-11-02",
        "print": "P-000001",
        "printed": "2026-02",
        "slip": 1,
        "title": "Low water, Étude",
    }
    assert signing.decode(body) == signing.canonical(expected)
    read = slips.read(slip(), KEYS)
    assert (read.artist, read.title, read.facts, read.negative) == (
        "Mara Example",
        "Low water, Étude",
        digest,
        "2025-11-02",
    )


def test_a_second_library_reads_it():
    from joserfc import jws
    from joserfc.jwk import OKPKey

    found = jws.deserialize_compact(
        slip(), OKPKey.import_key({"kty": "OKP", "crv": "Ed25519", "x": X}), algorithms=["Ed25519"]
    )
    assert json.loads(found.payload)["print"] == "P-000001"


def test_what_the_facts_do_not_state_is_empty():
    read = slips.read(slips.signed({"certificate": "C-0002"}, b"{}", PEM, THUMBPRINT), KEYS)
    assert (read.certificate, read.artist, read.negative, read.designation) == ("C-0002", "", "", "")


@settings(max_examples=120, deadline=None)
@given(st.text(st.characters(exclude_categories=["Cs"]), max_size=300), st.text(max_size=300), st.booleans())
def test_no_slip_is_longer_than_its_square(title, artist, long_codes):
    assume = unicodedata.normalize("NFC", title), unicodedata.normalize("NFC", artist)
    found = {"code": "2019-LM-14b.aaaaaaaaaaaa", "designation": "AP XVIII/XXV", "made": "1998-03~/1999-12?"}
    made = slip(title=title, artist={"name": artist}, print=found if long_codes else FACTS["print"])
    assert len(made) <= slips.LONGEST
    read = slips.read(made, KEYS)
    for said, whole in ((read.title, assume[0]), (read.artist, assume[1])):
        assert said == whole or (said.endswith("…") and whole.startswith(said[:-1]))
    if read.artist != assume[1]:
        assert len(read.title) <= 2, "the title gives way first"


# A cut would part what one sees as one sign: a letter and its marks, a family of joined signs.
@pytest.mark.parametrize("sign", ["x\u0323\u0302", "👩\u200d👩\u200d👧", "❤\ufe0f", "ཀྱི"])
def test_never_cut_inside_a_character(sign):
    read = slips.read(slip(title=sign * 90), KEYS)
    assert read.title.endswith("…")
    cut = read.title[:-1]
    whole = unicodedata.normalize("NFC", sign)
    assert cut and cut == whole * (len(cut) // len(whole))


GOOD = slip()
OTHER_PEM, OTHER_X = signing.new_key()


def changed(**members):
    return resigned(signing.canonical({**payload_of(GOOD), **members}))


REFUSED = {
    "alg none": (signing.encode(b'{"alg":"none"}') + "." + GOOD.split(".")[1] + ".", UnreadableError),
    "older name of the algorithm": (resigned(signing.claimed(GOOD), '{"alg":"EdDSA"}'), UnreadableError),
    "key named in the header": (
        resigned(signing.claimed(GOOD), json.dumps({"alg": "Ed25519", "kid": THUMBPRINT})),
        UnreadableError,
    ),
    "one byte flipped": (
        GOOD.replace(GOOD.split(".")[1], signing.encode(signing.claimed(GOOD).replace(b"1/25", b"2/25"))),
        BadSignatureError,
    ),
    "another's key": (resigned(signing.claimed(GOOD), pem=OTHER_PEM), BadSignatureError),
    "names another key": (changed(key="AAAAAAAA"), UnknownKeyError),
    "one member more": (changed(buyer="x"), UnreadableError),
    "version 2": (changed(slip=2), UnreadableError),
    "version yes": (changed(slip=True), UnreadableError),
    "a number for a text": (changed(title=5), UnreadableError),
    "a key of no length": (changed(key=""), UnreadableError),
    "loosely written": (resigned(json.dumps(payload_of(GOOD)).encode()), UnreadableError),
    "title not composed": (
        resigned(signing.claimed(GOOD).replace("É".encode(), "E\u0301".encode())),
        UnreadableError,
    ),
    "not UTF-8": (resigned(b"\xff\xfe"), UnreadableError),
    "a member twice": (resigned(signing.claimed(GOOD).replace(b"{", b'{"artist":"x",', 1)), UnreadableError),
    "extra point": (GOOD + ".", UnreadableError),
    "padding": (GOOD + "=", UnreadableError),
    "the full facts": (signing.sign(PEM, WHOLE, THUMBPRINT), UnreadableError),
}


@pytest.mark.parametrize("name", REFUSED)
def test_refused(name):
    jws, error = REFUSED[name]
    with pytest.raises(error) as refusal:
        slips.read(jws, KEYS)
    assert type(refusal.value) is error


def test_no_key_at_hand():
    with pytest.raises(UnknownKeyError):
        slips.read(GOOD, {})
    assert slips.is_slip(GOOD) and not slips.is_slip(signing.sign(PEM, WHOLE, THUMBPRINT))


def test_what_leaves_no_room_is_refused():
    with pytest.raises(slips.SlipTooLongError):
        slip(print={"code": "P" * 200, "designation": "1/25", "made": ""})
