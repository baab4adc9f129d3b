"""Keys that sign: who signs for whom, what ends them, and what plain SQL cannot do to them."""

import datetime
import sqlite3

import pytest

from catalog import locked_keys, signing
from catalog.dates import moment
from catalog.errors import NotUnderstood
from catalog.events import Event
from catalog.records import artist_keys, catalogs, private_keys
from catalog.records.private_keys import KeyRing
from catalog.store import connection as store

NOW = datetime.datetime(2026, 5, 3, 15, 40, tzinfo=datetime.UTC)


def at(day):
    return Event(moment(day, None, NOW), "studio", "")


@pytest.fixture
def folder(tmp_path):
    return tmp_path / "catalog"


@pytest.fixture
def connection(folder):
    made = store.create(folder)
    catalogs.begin(made, "Mara Example", "1971", "", "", "Saltmere", "2026-01-01")
    private_keys.begin(made, folder, "2026-01-01")
    return made


def renewed(connection, folder, day="2026-02-01", holder="artist", **more):
    return private_keys.renew(connection, at(day), KeyRing(folder), holder, **more)


def died(connection, day="2026-03-01"):
    connection.execute("UPDATE party SET died = ?, died_latest = ? WHERE kind = 'artist'", (day, day))


def test_the_old_key_signs_for_the_new_one_and_ends(connection, folder):
    first = artist_keys.signing_key(connection, "artist")
    second = renewed(connection, folder)
    assert second.follows == first.thumbprint and second.since == "2026-02-01" and not second.why
    assert artist_keys.signing_key(connection, "artist") == second
    ended = artist_keys.newest(connection, "artist") and artist_keys.all_keys(connection)[0]
    assert ended.ended == "2026-02-01" and second.thumbprint[:8] in ended.ended_why
    assert list(artist_keys.public_keys(connection)) == [first.thumbprint, second.thumbprint], "kept for ever"
    statement = signing.verify(second.succession, {first.thumbprint: first.x})
    expected = {
        "format": "succession of a key, 1",
        "key": second.thumbprint,
        "x": second.x,
        "holder": "artist",
        "since": "2026-02-01",
        "follows": first.thumbprint,
    }
    assert statement == signing.canonical(expected)
    third = renewed(connection, folder, "2026-03-01")
    assert [key.id for key in artist_keys.lineage(connection, third.thumbprint)] == [first.id, second.id, third.id]
    assert artist_keys.succession_problems(connection) == []


def test_a_second_library_reads_a_succession(connection, folder):
    from joserfc import jws
    from joserfc.jwk import OKPKey

    first = artist_keys.signing_key(connection, "artist")
    second = renewed(connection, folder)
    key = OKPKey.import_key({"kty": "OKP", "crv": "Ed25519", "x": first.x})
    found = jws.deserialize_compact(second.succession, key, algorithms=["Ed25519"])
    assert second.x.encode() in found.payload and found.headers()["kid"] == first.thumbprint


def test_a_lost_key_signs_nothing_and_the_new_one_says_so(connection, folder):
    first = artist_keys.signing_key(connection, "artist")
    private_keys.path_of(folder, first.thumbprint).unlink()
    with pytest.raises(private_keys.NoKeyError) as refusal:
        renewed(connection, folder)
    assert "--lost" in refusal.value.sentence
    assert len(artist_keys.all_keys(connection)) == 1
    second = renewed(connection, folder, why="the disk failed", lost=True)
    assert (second.follows, second.succession, second.why) == (first.thumbprint, "", "the disk failed")
    assert "the disk failed" in artist_keys.all_keys(connection)[0].ended_why
    assert "No other key signed for this one: the disk failed" in artist_keys.standing_alone(second, first=False)
    assert artist_keys.succession_problems(connection) == [], "told on the sheet; nothing is broken"


def test_the_estates_key_in_the_artists_life(connection, folder):
    artist = artist_keys.signing_key(connection, "artist")
    estate = renewed(connection, folder, holder="estate")
    assert estate.holder == "estate" and estate.follows == artist.thumbprint and estate.succession
    assert artist_keys.signing_key(connection, "artist") == artist, "the artist's key goes on"
    later = renewed(connection, folder, "2026-04-01", holder="estate")
    assert later.follows == estate.thumbprint and artist_keys.signing_key(connection, "estate") == later
    assert artist_keys.succession_problems(connection) == []


def test_after_the_death_the_artists_key_signs_for_nobody(connection, folder):
    died(connection)
    with pytest.raises(artist_keys.AfterDeathError) as refusal:
        renewed(connection, folder, "2026-04-01")
    assert "key renew --estate" in refusal.value.sentence
    estate = renewed(connection, folder, "2026-04-01", holder="estate")
    assert (estate.follows, estate.succession) == ("", "") and "after Mara Example died" in estate.why
    assert artist_keys.standing_alone(estate, first=False)
    assert renewed(connection, folder, "2026-05-01", holder="estate").succession
    assert artist_keys.succession_problems(connection) == []


def test_a_catalog_begun_for_a_dead_artist_has_the_estates_key(tmp_path):
    made = store.create(tmp_path / "late")
    catalogs.begin(made, "Mara Example", "1901", "1970", "1970-12-31", "Saltmere", "2026-01-01")
    assert private_keys.begin(made, tmp_path / "late", "2026-01-01").holder == "estate"


def test_an_ended_key(connection, folder):
    artist = artist_keys.signing_key(connection, "artist")
    ended = artist_keys.end(connection, at("2026-02-01"), artist, "it was copied")
    assert (ended.ended, ended.ended_why) == ("2026-02-01", "it was copied")
    with pytest.raises(private_keys.KeyEndedError) as refusal:
        KeyRing(folder).signing(connection, "artist")
    assert "it was copied" in refusal.value.sentence
    with pytest.raises(artist_keys.NoSuchKeyError):
        artist_keys.end(connection, at("2026-02-02"), ended, "again")
    with pytest.raises(NotUnderstood) as needed:
        renewed(connection, folder, "2026-03-01")
    assert "it was copied" in needed.value.sentence and len(artist_keys.all_keys(connection)) == 1
    after = renewed(connection, folder, "2026-03-01", why="a new machine")
    assert (after.succession, after.why, after.follows) == ("", "a new machine", ended.thumbprint)


def test_a_key_is_found_by_holder_or_first_signs(connection, folder):
    artist = artist_keys.signing_key(connection, "artist")
    assert artist_keys.named(connection, "artist") == artist == artist_keys.named(connection, artist.thumbprint[:4])
    for text in ("estate", "", "????"):
        with pytest.raises(artist_keys.NoSuchKeyError):
            artist_keys.named(connection, text)


def test_a_key_is_read_and_unlocked_once(connection, folder):
    artist = artist_keys.signing_key(connection, "artist")
    private_keys.protect(folder, artist, lambda name: "", "six salted words in a row")
    asked = []

    def ask(name):
        asked.append(name)
        return "six salted words in a row"

    ring = KeyRing(folder, ask)
    assert ring.signing(connection, "artist") is ring.signing(connection, "artist")
    assert asked == [f"keys/{artist.thumbprint[:16]}.pem"]
    with pytest.raises(private_keys.PassphraseNeededError):
        KeyRing(folder).signing(connection, "artist")
    with pytest.raises(locked_keys.WrongPassphraseError):
        KeyRing(folder, lambda name: "another").signing(connection, "artist")
    path = private_keys.path_of(folder, artist.thumbprint)
    before = path.read_bytes()
    with pytest.raises(locked_keys.WrongPassphraseError):
        private_keys.protect(folder, artist, lambda name: "another", "a new one, long enough")
    assert path.read_bytes() == before and path.stat().st_mode & 0o777 == 0o600
    private_keys.protect(folder, artist, ask, "")
    assert private_keys.is_protected(folder, artist) is False and list(path.parent.iterdir()) == [path]
    assert KeyRing(folder).signing(connection, "artist").thumbprint == artist.thumbprint


def test_a_broken_word_is_told(connection, folder):
    first = artist_keys.signing_key(connection, "artist")
    second = renewed(connection, folder)
    jwk = second.jwk
    assert artist_keys.succeeds(jwk, {first.thumbprint: first.x})
    other = signing.new_key()[1]
    wrong = (
        ({**jwk, "x": other}, {first.thumbprint: first.x}),
        ({**jwk, "succession": second.succession[:-4] + "AAAA"}, {first.thumbprint: first.x}),
        (jwk, {signing.thumbprint(other): other}),
        (jwk, {}),
        ({**jwk, "succession": None}, {first.thumbprint: first.x}),
        ({}, {first.thumbprint: first.x}),
    )
    assert not any(artist_keys.succeeds(one, keys) for one, keys in wrong)
    _force(connection, "UPDATE artist_key SET since = '2020-01-01' WHERE id = ?", (second.id,))
    assert "does not hold" in artist_keys.succession_problems(connection)[0]
    assert second._replace(succession="").jwk.keys() == {"kty", "crv", "x", "kid", "holder", "since"}


def _force(connection, sql, values):
    """Change what the guards keep, as a forger with the file would: every trigger of the table is dropped first."""
    names = connection.execute("SELECT name FROM sqlite_master WHERE type = 'trigger' AND tbl_name = 'artist_key'")
    for (name,) in names.fetchall():
        connection.execute(f"DROP TRIGGER {name}")
    connection.execute(sql, values)


PLAIN_SQL = {
    "a word from nobody": "INSERT INTO artist_key (thumbprint, x, since, succession) VALUES ('t', 'x', '', 'a.b.c')",
    "no word and no reason": "INSERT INTO artist_key (thumbprint, x, since, follows) VALUES ('t', 'x', '2026', 1)",
    "another beginning": "UPDATE artist_key SET since = '2020'",
    "a key taken away": "DELETE FROM artist_key",
    "an end taken away": "DELETE FROM artist_key_end",
    "a second end": """INSERT INTO artist_key_end (key, why, happened, earliest, latest, by)
        VALUES (1, 'x', '2026', '2026-01-01', '2026-12-31', 'x')""",
}


@pytest.mark.parametrize("name", PLAIN_SQL)
def test_plain_sql_is_refused(connection, folder, name):
    renewed(connection, folder)
    with pytest.raises(sqlite3.IntegrityError):
        connection.execute(PLAIN_SQL[name])


def test_an_ended_key_vouches_only_for_what_came_before_its_end(connection, folder):
    first = artist_keys.signing_key(connection, "artist")
    second = renewed(connection, folder)
    keys, ended = {first.thumbprint: first.x}, artist_keys.ends(connection)
    assert (
        list(ended) == [first.thumbprint]
        and artist_keys.all_keys(connection)[0].jwk["ended"] == ended[first.thumbprint]
    )
    assert artist_keys.succeeds(second.jwk, keys, ended), "signed on its last day"
    pem = private_keys.path_of(folder, first.thumbprint).read_bytes()
    other, x = signing.new_key()
    for day, holds in ((ended[first.thumbprint], True), ("2031-01-01", False)):
        statement = artist_keys.succession_statement(x, "artist", day, first.thumbprint)
        stolen = {"x": x, "succession": signing.sign(pem, statement, first.thumbprint)}
        assert artist_keys.succeeds(stolen, keys, ended) is holds
    by_another = artist_keys.succession_statement(x, "artist", "2026-01-01", first.thumbprint)
    glued = {"x": x, "succession": signing.sign(other, by_another, signing.thumbprint(x))}
    assert not artist_keys.succeeds(glued, {**keys, signing.thumbprint(x): x}), "signed by the one it speaks for"


def test_thumbprints_are_worked_out_when_keys_are_read(connection, folder):
    first = artist_keys.signing_key(connection, "artist")
    x = signing.new_key()[1]
    _force(connection, "UPDATE artist_key SET x = ? WHERE id = ?", (x, first.id))
    assert artist_keys.public_keys(connection) == {signing.thumbprint(x): x}
