"""Canonical facts and signatures: published vectors, statements that must be refused, and a second library."""

import base64
import hashlib
import hmac
import json

import pytest
import rfc8785
from cryptography.hazmat.primitives import serialization
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from catalog import signing
from catalog.signing import BadSignatureError, NotCanonicalError, UnknownKeyError, UnreadableError

# RFC 8037, appendix A: key, thumbprint (A.3), signature (A.4).
D = "nWGxne_9WmC6hEr0kuwsxERJxWl7MmkZcDusAxyuf2A"
X = "11qYAYKxCrfVS_7TyWQHOg7hcvPapiMlrwIaaPcHURo"
THUMBPRINT = "kPrK_qmxVWaYVA9wwBF6Iuo3vVzz7TxHCTwXBygrS4k"
PAYLOAD = b"Example of Ed25519 signing"
A4 = (
    "eyJhbGciOiJFZERTQSJ9.RXhhbXBsZSBvZiBFZDI1NTE5IHNpZ25pbmc.hgyY0il_MGCjP0JzlnLWG1PPOt7-09PGcvMg3AIbQR6dWbhij"
    "cNR4ki4iylGjg5BhVsPt9g7sVvpAr_MuM0KAg"
)
# The same under the name of RFC 9864, section 2.2; made once with two libraries that agree.
FULLY_NAMED = (
    "eyJhbGciOiJFZDI1NTE5In0.RXhhbXBsZSBvZiBFZDI1NTE5IHNpZ25pbmc.UxhIYLHGg39NVCLpQAVD_UcfOmnGSCzLFZoXYkLiIb"
    "FccmOb_qObsgjzLKsfJw-4NlccUgvYrEHrRbNV0HcZAQ"
)
KEYS = {THUMBPRINT: X}

# Test files of the author of RFC 8785: name, value, bytes and SHA-256 of the canonical form.
CANONICAL = {
    "arrays": (
        [56, {"d": True, "10": None, "1": []}],
        32,
        "099601b171cafed97c333f8878d68e7f8c8f795412adb34b2fdcf0e7c7beac42",
    ),
    "french": (
        {
            "peach": "This sorting order",
            "péché": "is wrong according to French",
            "pêche": "but canonicalization MUST",
            "sin": "ignore locale",
        },
        130,
        "d99d0ebdcb0033cb858cfa830ae46bc0fb3309413b271f1da828c89901a27ed5",
    ),
    "structures": (
        {
            "1": {"f": {"f": "hi", "F": 5}, "\n": 56},
            "10": {},
            "": "empty",
            "a": {},
            "111": [{"e": "yes", "E": "no"}],
            "A": {},
        },
        98,
        "605f65004ec2db7692522a0852c22f1c989e036d547e88963d1a3143cf3195d5",
    ),
    "weird": (
        {
            "\u20ac": "Euro Sign",
            "\r": "Carriage Return",
            "\n": "Newline",
            "1": "One",
            "\x80": "Control\x7f",
            "\U0001f602": "Smiley",
            "ö": "Latin Small Letter O With Diaeresis",
            "\ufb33": "Hebrew Letter Dalet With Dagesh",
            "</script>": "Browser Challenge",
        },
        214,
        "6af595a9aa80110b964b4de3f82a05fa6ae7423005019bacfa2620dddc4e94d1",
    ),
    # made here, once, from RFC 8785 and checked with two libraries
    "certificate": (
        {
            "artist": "A. Example",
            "certificate_id": "C-2026-0001",
            "edition": {"denominator": 25, "numerator": 3, "size_label": "40 x 50 cm"},
            "medium": "gelatin silver print",
            "negative": "N-1998-014",
            "printed": "2026-03",
            "sheet_mm": [508, 406],
            "title": "Étude No. 3",
        },
        243,
        "0cf3969e41d90a24f7b1bcd3fc6652e8ef9839d97654bc45d9898cd1bb26d13c",
    ),
}
# The file "values" has fractions. They are refused here on purpose, so the library alone is held to it.
VALUES = {
    "numbers": [333333333.33333329, 1e30, 4.50, 2e-3, 0.000000000000000000000000001],
    "string": "\u20ac$\u000f\u000aA'\u0042\u0022\u005c\\\"/",
    "literals": [None, True, False],
}
VALUES_DIGEST = "2d5e01a318d0f0879ab568c4be289c8b1f64ef8921a53c6277d5e069978baacb"  # 118 bytes
UNNORMALISED = "0d99aad92a125196ff887876643fd3206786a84ddce2cee52ba4ad256d2381d3"  # of the file "unicode", 30 bytes


def pem_of(d: str) -> bytes:
    key = Ed25519PrivateKey.from_private_bytes(base64.urlsafe_b64decode(d + "="))
    return key.private_bytes(
        serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
    )


PEM = pem_of(D)


def b64(data: bytes | str) -> str:
    return base64.urlsafe_b64encode(data.encode() if isinstance(data, str) else data).rstrip(b"=").decode()


def made(header: str | bytes, payload: bytes = PAYLOAD, pem: bytes = PEM) -> str:
    """A statement with any header, truly signed."""
    signed = f"{b64(header)}.{b64(payload)}"
    key = serialization.load_pem_private_key(pem, None)
    assert isinstance(key, Ed25519PrivateKey)
    return f"{signed}.{b64(key.sign(signed.encode()))}"


@pytest.mark.parametrize("name", CANONICAL)
def test_canonical_form(name):
    value, length, digest = CANONICAL[name]
    written = rfc8785.dumps(value)
    assert (len(written), signing.fingerprint(written)) == (length, digest)
    # U+FB33 is composed anew as two signs (Unicode, composition exclusions), all else is composed already.
    assert (signing.canonical(value) == written) == (name != "weird")


def test_fractions_are_written_by_the_library_and_refused_by_us():
    written = rfc8785.dumps(VALUES)
    assert b"[333333333.3333333,1e+30,4.5,0.002,1e-27]" in written
    assert (len(written), signing.fingerprint(written)) == (118, VALUES_DIGEST)
    with pytest.raises(NotCanonicalError):
        signing.canonical(VALUES)


@pytest.mark.filterwarnings("ignore:EdDSA is deprecated")
def test_the_longest_statement_of_the_vectors_agrees_with_a_second_library():
    from joserfc import jws
    from joserfc.jwk import OKPKey

    value, length, digest = CANONICAL["certificate"]
    payload = signing.canonical(value)
    assert (len(payload), signing.fingerprint(payload)) == (length, digest)
    header = f'{{"alg":"EdDSA","kid":"{THUMBPRINT}","typ":"JOSE"}}'
    statement = made(header, payload)
    assert len(statement) == 519  # made here once: the square of a certificate must hold as much
    assert signing.verify(statement, KEYS) == payload
    key = OKPKey.import_key({"kty": "OKP", "crv": "Ed25519", "x": X, "d": D})
    assert key.thumbprint() == THUMBPRINT
    assert jws.deserialize_compact(statement, key, algorithms=["EdDSA"]).payload == payload
    theirs = jws.serialize_compact(json.loads(header), payload, key, algorithms=["EdDSA"])
    assert theirs == statement


def test_text_is_composed_before_it_is_signed():
    loose = {"Unnormalized Unicode": "A\u030a"}
    assert hashlib.sha256(rfc8785.dumps(loose)).hexdigest() == UNNORMALISED
    assert signing.canonical(loose) == signing.canonical({"Unnormalized Unicode": "\u00c5"}) != rfc8785.dumps(loose)


@pytest.mark.parametrize(
    "value", [1.5, 0.0, float("nan"), 2**53, -(2**53), b"x", {1: "x"}, {"a\u0301": 1, "\u00e1": 2}, "\ud800", object()]
)
def test_what_has_no_one_form_is_refused(value):
    with pytest.raises(NotCanonicalError):
        signing.canonical({"value": value})


def test_the_largest_whole_number():
    assert signing.canonical([2**53 - 1]) == b"[9007199254740991]"


def test_published_signatures():
    assert signing.thumbprint(X) == THUMBPRINT
    assert signing.public_half(PEM) == X
    assert signing.verify(A4, KEYS) == PAYLOAD
    assert signing.verify(FULLY_NAMED, KEYS) == PAYLOAD
    assert signing.sign(PEM, PAYLOAD, "") == FULLY_NAMED


def test_header_names_algorithm_and_key():
    header = base64.urlsafe_b64decode(signing.sign(PEM, PAYLOAD, THUMBPRINT).split(".")[0] + "==")
    assert json.loads(header) == {"alg": "Ed25519", "kid": THUMBPRINT}


def test_a_second_library_agrees():
    from joserfc import jws
    from joserfc.jwk import OKPKey

    pem, x = signing.new_key()
    kid = signing.thumbprint(x)
    key = OKPKey.import_key({"kty": "OKP", "crv": "Ed25519", "x": x})
    assert key.thumbprint() == kid
    found = jws.deserialize_compact(signing.sign(pem, "Größe".encode(), kid), key, algorithms=["Ed25519"])
    assert found.payload.decode() == "Größe"
    private = OKPKey.import_key(pem)
    theirs = jws.serialize_compact({"alg": "Ed25519", "kid": kid}, b"facts", private, algorithms=["Ed25519"])
    assert signing.verify(theirs, {kid: x}) == b"facts"


def changed_last(jws: str) -> str:
    """The same bytes, written with other bits in the last sign, which a loose reader would not see."""
    signs = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_"
    return jws[:-1] + signs[signs.index(jws[-1]) ^ 1]


GOOD = made(json.dumps({"alg": "Ed25519", "kid": THUMBPRINT}))
HEAD, BODY, SIGNATURE = GOOD.split(".")
OTHER_PEM, OTHER_X = signing.new_key()
HS256 = b64('{"alg":"HS256"}') + "." + BODY
HS256 += "." + b64(hmac.digest(base64.urlsafe_b64decode(X + "="), HS256.encode(), "sha256"))

REFUSED = {
    "payload flipped": (f"{HEAD}.{b64(b'example' + PAYLOAD[7:])}.{SIGNATURE}", BadSignatureError),
    "signature of another": (f"{HEAD}.{BODY}.{A4.split('.')[2]}", BadSignatureError),
    "signature short": (f"{HEAD}.{BODY}.{b64(b'x' * 63)}", BadSignatureError),
    "signature empty": (f"{HEAD}.{BODY}.", BadSignatureError),
    "wrong key under our name": (
        made(json.dumps({"alg": "Ed25519", "kid": THUMBPRINT}), pem=OTHER_PEM),
        BadSignatureError,
    ),
    "another key": (signing.sign(OTHER_PEM, PAYLOAD, signing.thumbprint(OTHER_X)), UnknownKeyError),
    "key inside the header": (
        made(
            json.dumps(
                {
                    "alg": "Ed25519",
                    "kid": signing.thumbprint(OTHER_X),
                    "jwk": {"kty": "OKP", "crv": "Ed25519", "x": OTHER_X},
                }
            ),
            pem=OTHER_PEM,
        ),
        UnknownKeyError,
    ),
    "key inside, none named": (
        made(json.dumps({"alg": "Ed25519", "jwk": {"kty": "OKP", "crv": "Ed25519", "x": OTHER_X}}), pem=OTHER_PEM),
        BadSignatureError,
    ),
    "alg none": (b64('{"alg":"none"}') + f".{BODY}.", UnreadableError),
    "alg None, signed": (made('{"alg":"None"}'), UnreadableError),
    "HS256 with the public key": (HS256, UnreadableError),
    "alg missing": (made("{}"), UnreadableError),
    "alg a list": (made('{"alg":["Ed25519"]}'), UnreadableError),
    "kid a number": (made('{"alg":"Ed25519","kid":1}'), UnreadableError),
    "alg twice": (made('{"alg":"none","alg":"Ed25519"}'), UnreadableError),
    "crit": (made('{"alg":"Ed25519","crit":["b64"],"b64":false}'), UnreadableError),
    "header no object": (made('["alg"]'), UnreadableError),
    "header no JSON": (made("{alg}"), UnreadableError),
    "header not UTF-8": (made(b'{"alg":"Ed25519","kid":"\xff"}'), UnreadableError),
    "header deep": (made("[" * 100_000), UnreadableError),
    "payload not UTF-8": (made('{"alg":"Ed25519"}', b"\xff\xfe"), UnreadableError),
    "four parts": (GOOD + ".", UnreadableError),
    "two parts": (f"{HEAD}.{BODY}", UnreadableError),
    "padding": (GOOD + "==", UnreadableError),
    "padded payload": (f"{HEAD}.{BODY}=.{SIGNATURE}", UnreadableError),
    "blank": (f"{HEAD}. {BODY}.{SIGNATURE}", UnreadableError),
    "line end": (GOOD + "\n", UnreadableError),
    "other alphabet": (f"{HEAD}.{BODY}.{'+/' + SIGNATURE[2:]}", UnreadableError),
    "loose last sign": (changed_last(GOOD), UnreadableError),
    "one sign": ("A.A.A", UnreadableError),
    "nothing": ("", UnreadableError),
    "not ASCII": ("ä.ö.ü", UnreadableError),
}


@pytest.mark.parametrize("name", REFUSED)
def test_refused(name):
    jws, error = REFUSED[name]
    with pytest.raises(error) as refusal:
        signing.verify(jws, KEYS)
    assert type(refusal.value) is error
    assert refusal.value.sentence.endswith((".", "FILE."))


def test_no_keys_at_hand():
    with pytest.raises(UnknownKeyError):
        signing.verify(A4, {})


@pytest.mark.parametrize(
    "text",
    [
        X,
        f" {X}\n",
        json.dumps({"kty": "OKP", "crv": "Ed25519", "x": X, "kid": "lies"}),
        json.dumps({"keys": [{"kty": "OKP", "crv": "Ed25519", "x": X}]}),
    ],
)
def test_public_keys_are_read(text):
    assert signing.read_public(text) == KEYS


@pytest.mark.parametrize(
    "text",
    [
        "",
        "x",
        X[:-1],
        X + "=",
        "{}",
        '{"keys":[]}',
        json.dumps({"kty": "OKP", "crv": "X25519", "x": X}),
        '{"kty":"OKP","crv":"Ed25519","x":5}',
        "[1]",
        "{",
        '{"keys":5}',
    ],
)
def test_other_text_is_no_key(text):
    with pytest.raises(signing.KeyUnreadableError):
        signing.read_public(text)


def test_what_is_claimed_is_read_and_nothing_more():
    assert signing.claimed(GOOD) == PAYLOAD == signing.claimed(f"{HEAD}.{BODY}.{'A' * 86}")
    with pytest.raises(UnreadableError):
        signing.claimed("x")


def test_groups_of_four():
    assert signing.grouped("0123456789ab") == "0123 4567 89ab"
