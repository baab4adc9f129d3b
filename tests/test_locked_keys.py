"""Private keys under a passphrase: opened by the library's own reader, and by nobody without it."""

import base64

import pytest
from cryptography.hazmat.primitives.serialization import load_pem_private_key

from catalog import signing
from catalog.locked_keys import ROUNDS, WeakPassphraseError, WrongPassphraseError, is_locked, lock, unlock

PASSPHRASE = "five salt pans at low wäter"


def test_a_locked_key_opens_anywhere_and_is_the_same():
    pem, x = signing.new_key()
    locked = lock(pem, PASSPHRASE)
    assert is_locked(locked) and not is_locked(pem) and b"PRIVATE KEY" in locked
    assert load_pem_private_key(locked, PASSPHRASE.encode()).public_key().public_bytes_raw() == signing.decode(x)
    assert unlock(locked, PASSPHRASE, "keys/x.pem") == pem
    assert lock(pem, PASSPHRASE) != locked, "another salt each time"
    assert all(len(line) <= 64 for line in locked.splitlines())


def test_the_passphrase_counts_as_it_is_composed():
    pem, _ = signing.new_key()
    assert unlock(lock(pem, "wa\u0308ter and salt"), "w\u00e4ter and salt", "x") == pem


def test_wrong_and_weak():
    pem, _ = signing.new_key()
    locked = lock(pem, PASSPHRASE)
    for wrong in ("five salt pans at low water", PASSPHRASE + " ", ""):
        with pytest.raises(WrongPassphraseError) as refusal:
            unlock(locked, wrong, "keys/x.pem")
        assert "keys/x.pem" in refusal.value.sentence and PASSPHRASE not in refusal.value.sentence
    with pytest.raises(WeakPassphraseError):
        lock(pem, "1234567")
    with pytest.raises(signing.KeyUnreadableError):
        signing.public_half(locked)


def test_guessing_is_made_slow():
    # 600,000 rounds of PBKDF2 with HMAC-SHA-256: our choice; the usual advice, from memory, not confirmed.
    assert ROUNDS == 600_000
    der = base64.b64decode(b"".join(lock(signing.new_key()[0], PASSPHRASE).splitlines()[1:-1]))
    assert b"\x02\x03" + ROUNDS.to_bytes(3, "big") in der
