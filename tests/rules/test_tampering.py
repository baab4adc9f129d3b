"""What a forger can do to the file, and what the checks say of each; and what they cannot say, told as plainly."""

import os
import random
import shutil
import sqlite3
from pathlib import Path

import pytest

from catalog.cli.main import run
from catalog.rules.checks import Finding, check
from catalog.store import journal

LINES = (
    ["negative", "add", "Pond", "--state", "ready", "--made", "2026-01-02"],
    ["party", "add", "B. Buyer", "--mail", "b@example.org"],
    ["edition", "declare", "n1", "25", "--ap", "1", "--price", "900EUR", "--on", "2026-03-01"],
    ["print", "make", "e1", "5", "--on", "2026-03-02"],
    ["sign", "1-4", "--on", "2026-03-03", "--anyway", "testing"],
    ["sell", "1", "B. Buyer", "900EUR", "--on", "2026-03-04", "--anyway", "testing"],
    ["paid", "1", "--on", "2026-03-05"],
    ["consign", "4", "A Gallery", "--on", "2026-03-05", "--anyway", "testing"],
    ["certificate", "issue", "2", "--on", "2026-03-06", "--anyway", "testing"],
    ["party", "add", "C. Other"],
)


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    os.environ["TIRAGE_BY"] = "tester"
    folder = tmp_path_factory.mktemp("tampering") / "catalog"
    assert run(["init", str(folder), "--artist", "A. Maker", "--on", "2026-01-01"]) == 0
    for given in LINES:
        assert run(["--catalog", str(folder), *given]) == 0, given
    return folder


@pytest.fixture
def folder(built: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(built, tmp_path / "catalog"))


def opened(folder: Path) -> sqlite3.Connection:
    """The file as a forger opens it: any program, foreign keys off."""
    connection = sqlite3.connect(folder / "catalog.db", isolation_level=None)
    connection.row_factory = sqlite3.Row
    return connection


def errors(folder: Path, *against: Path) -> list[Finding]:
    connection = opened(folder)
    try:
        return [one for one in check(connection, folder, against=against) if one.severity == "error"]
    finally:
        connection.close()


def told(folder: Path, *against: Path) -> str:
    return "\n".join(f"{one.code}: {one.sentence}" for one in errors(folder, *against))


def without_triggers(connection: sqlite3.Connection, *statements: str) -> None:
    """Run statements with every trigger dropped, and put each back as it was."""
    triggers = connection.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'").fetchall()
    connection.execute("BEGIN")
    for name, _ in triggers:
        connection.execute(f"DROP TRIGGER {name}")
    for statement in statements:
        connection.execute(statement)
    for _, sql in triggers:
        connection.execute(sql)
    connection.execute("COMMIT")


def rewrite_chain(connection: sqlite3.Connection) -> None:
    """What a forger with this program's source does last: every digest anew, so that the chain proves."""
    before, updates = journal.START_DIGEST, []
    for row in connection.execute("SELECT * FROM journal_seal ORDER BY id").fetchall():
        link = journal.Seal(*row)
        rows = connection.execute(journal.ROWS_BETWEEN, (link.first, link.last)).fetchall()
        head = (link.first, link.last, link.sealed, link.by, link.command, link.why, link.touched, link.undoes)
        before = journal.digest(before, head, rows)
        updates.append(f"UPDATE journal_seal SET digest = '{before}' WHERE id = {link.id}")
    without_triggers(connection, *updates)
    assert journal.prove(connection) == []


PRINT = "(SELECT id FROM code WHERE code = 'P-00000{}')"
BUYER = "(SELECT id FROM party WHERE name = 'B. Buyer')"
SOLD = f"item = {PRINT.format(1)} AND kind = 'sale'"
A_PRICE = f"UPDATE transfer SET price = 100 WHERE {SOLD}"
A_PRICE_IN_THE_JOURNAL = """UPDATE journal SET after = json_set(after, '$.price', 100)
    WHERE tbl = 'transfer' AND json_extract(after, '$.kind') = 'sale'"""
A_PRINT = """INSERT INTO print (id, negative, edition, made, earliest, latest, kind, number, replaces)
    SELECT 900, negative, edition, made, earliest, latest, kind, number, {} FROM print WHERE number = 3"""
ITS_CODE = (
    "INSERT INTO code VALUES (900, 'P-000900', 'print', 900)",
    "INSERT INTO item VALUES (900, 'print')",
)

# What is done with every trigger dropped and put back -> what is said of it.
ALTERED = {
    "a row": ([f"UPDATE print SET note = 'x' WHERE id = {PRINT.format(3)}"], ["P-000003", "note is “x”"]),
    "a price": ([A_PRICE], ["In transfer the row", "(P-000001)", "price is 100, the journal has 90000"]),
    "a buyer": (
        [f"UPDATE transfer SET to_party = 1 WHERE {SOLD}"],
        ["(P-000001)", "to_party is 1", "owner and custodian noted for P-000001 disagree with"],
    ),
    "a sale removed": (
        [
            "UPDATE standing SET owner = 1, custodian = 1, title_transfer = NULL, custody_transfer = NULL",
            f"DELETE FROM transfer WHERE {SOLD}",
        ],
        ["In transfer the row", "was removed without the journal", "price 90000", "P-000001", "names a transfer"],
    ),
    "a sale written": (
        [
            """INSERT INTO transfer (item, sequence, kind, from_party, to_party, title, custody, happened, earliest,
            latest, by) SELECT id, 1, 'sale', 1, 2, 1, 1, '2026-03-04', '2026-03-04', '2026-03-04', 'x' FROM print
            WHERE number = 3"""
        ],
        ["(P-000003) was written without the journal", "kind “sale”", "custodian noted for P-000003 disagree with"],
    ),
    "a second 3/25 as a replacement of nothing": (
        [*ITS_CODE, A_PRINT.format("900")],
        ["(P-000900) was written without the journal", "number 3 of E-0001 is borne by P-000003, P-000900"],
    ),
    "a print taken over": (
        [f"UPDATE print SET number = 9 WHERE id = {PRINT.format(3)}"],
        ["number is 9, the journal has 3", "number 3 of E-0001 is given, and no print bears it"],
    ),
    "a number given free": (
        ["UPDATE edition_number SET standing = 'free' WHERE number = 3"],
        ["edition_number", "E-0001", "standing is “free”, the journal has “given”"],
    ),
    "a size": (["UPDATE edition SET size = 50"], ["E-0001", "size is 50, the journal has 25"]),
    "an owner": (
        [f"UPDATE standing SET owner = {BUYER} WHERE item = {PRINT.format(3)}"],
        ["owner is", "owner noted for P-000003 disagrees"],
    ),
    "a date of making": (["UPDATE negative SET made = '1926'"], ["N-0001", "made is “1926”"]),
    "a broken plate made whole": (["UPDATE negative SET state = 'curing'"], ["state noted for N-0001 disagrees"]),
    "a cancelled edition": (["UPDATE edition SET state = 'cancelled'"], ["state noted for E-0001 disagrees"]),
    "an address": (["UPDATE party_contact SET value = 'x'"], ["party_contact", "value is “x”"]),
    "a code": (["UPDATE code SET code = 'P-000077' WHERE code = 'P-000003'"], ["code is “P-000077”"]),
    "a journal entry": ([A_PRICE, A_PRICE_IN_THE_JOURNAL], ["“sell”", "altered after it was sealed"]),
    "a journal entry removed": (["DELETE FROM journal WHERE id = 20"], ["are not whole"]),
    "a seal removed": (["DELETE FROM journal_seal WHERE id = 3"], ["altered after it was sealed"]),
    "who did it": (["UPDATE journal_seal SET by = 'x' WHERE id = 4"], ["altered after it was sealed"]),
    "a guard held open": (["INSERT INTO undoing VALUES (1)"], ["left open"]),
    "a certificate's facts": (
        ["UPDATE certificate SET facts = replace(facts, 'Pond', 'Lake')"],
        ["C-0001 for P-000002 was altered", "its facts are not those that were signed"],
    ),
    "a certificate's facts made unreadable": (
        ["UPDATE certificate SET facts = 'x'"],
        ["its facts are not those that were signed"],
    ),
    "a certificate's signature": (
        ["UPDATE certificate SET jws = substr(jws, 1, length(jws) - 6) || 'AAAAAA'"],
        ["its signature is not one by its key"],
    ),
    "a certificate's private facts": (
        ["UPDATE certificate SET private_facts = replace(private_facts, 'price', 'prise')"],
        ["its private facts are not those whose digest was signed"],
    ),
    "a certificate's square": (
        ["UPDATE certificate SET slip = substr(slip, 1, length(slip) - 4) || 'AAAA'"],
        ["the short statement in its square is not signed"],
    ),
    "a certificate moved to another print": (
        [f"UPDATE certificate SET print = {PRINT.format(3)}"],
        ["what was signed is about P-000002"],
    ),
    "a public key": (
        ["UPDATE artist_key SET x = '11qYAYKxCrfVS_7TyWQHOg7hcvPapiMlrwIaaPcHURo'"],  # RFC 8037, appendix A.2
        ["has not the thumbprint", "its signature is not one by its key"],
    ),
}  # fmt: skip


def test_nothing_is_said_of_a_catalog_nobody_touched(folder: Path) -> None:
    assert told(folder) == ""
    without_triggers(opened(folder))
    assert told(folder) == ""


@pytest.mark.parametrize("what", ALTERED)
def test_with_the_triggers_put_back_it_is_told(folder: Path, what: str) -> None:
    statements, words = ALTERED[what]
    without_triggers(opened(folder), *statements)
    said = told(folder)
    for word in words:
        assert word in said
    assert "is missing" not in said and "was altered: another program" not in said  # the schema is whole
    assert run(["--catalog", str(folder), "check"]) == 1


SCHEMA = {
    "a guard dropped": ("DROP TRIGGER guard_delete_transfer", "trigger guard_delete_transfer is missing"),
    "a rule dropped": ("DROP TRIGGER print_designated_update", "trigger print_designated_update is missing"),
    "the journal of a table dropped": ("DROP TRIGGER journal_update_print", "trigger journal_update_print is missing"),
    "an index dropped": ("DROP INDEX print_number", "index print_number is missing"),
    "a column added": ("ALTER TABLE print ADD COLUMN extra TEXT", "table print was altered"),
    "a table added": ("CREATE TABLE extra (id INTEGER)", "table extra was added"),
    "a trigger added": (
        "CREATE TRIGGER extra AFTER INSERT ON journal_seal BEGIN SELECT 1; END",
        "trigger extra was added",
    ),
    "a view added": ("CREATE VIEW extra AS SELECT 1", "view extra was added"),
}


@pytest.mark.parametrize("what", SCHEMA)
def test_a_changed_schema_is_told(folder: Path, what: str) -> None:
    statement, words = SCHEMA[what]
    opened(folder).execute(statement)
    assert words in told(folder)


EVIL = "AFTER INSERT ON place BEGIN UPDATE edition SET title = 'FORGED' || title; END"


def test_a_trigger_that_bears_the_name_of_an_index(folder: Path) -> None:
    connection = opened(folder)
    index = connection.execute("SELECT sql FROM sqlite_master WHERE name = 'step_item_item'").fetchone()[0]
    connection.execute("DROP INDEX step_item_item")
    connection.execute(f"CREATE TRIGGER step_item_item {EVIL}")
    connection.execute(index)
    connection.close()
    assert "trigger step_item_item was added" in told(folder)


@pytest.mark.parametrize("name", ["sqlite_evil", "sqlite_autoindex_place_1", "sqlite_stat1", "print_number"])
def test_a_trigger_written_into_the_schema_itself(folder: Path, name: str) -> None:
    connection = opened(folder)
    connection.execute("PRAGMA writable_schema = ON")
    connection.execute(
        "INSERT INTO sqlite_master (type, name, tbl_name, rootpage, sql) VALUES ('trigger', ?, 'place', 0, ?)",
        (name, f"CREATE TRIGGER {name} {EVIL}"),
    )
    version = connection.execute("PRAGMA schema_version").fetchone()[0]
    connection.execute(f"PRAGMA schema_version = {version + 1}")
    connection.close()
    assert f"trigger {name} was added" in told(folder)


def test_what_analyze_keeps_is_no_finding(folder: Path) -> None:
    connection = opened(folder)
    connection.execute("ANALYZE")
    connection.close()
    assert told(folder) == ""


def test_what_a_forger_wrote_does_not_steer_the_terminal(folder: Path) -> None:
    without_triggers(opened(folder), "UPDATE edition SET title = 'x' || char(27) || '[2J' || char(10) || char(0x202e)")
    said = told(folder)
    assert "title is “x<U+001B>[2J<U+000A><U+202E>”" in said and "\x1b" not in said and "\u202e" not in said


def test_bytes_that_are_no_text_are_told_by_table_and_row(folder: Path) -> None:
    connection = opened(folder)
    identity = connection.execute("SELECT id FROM edition").fetchone()[0]
    without_triggers(connection, "UPDATE edition SET title = CAST(x'ff41' AS TEXT)")
    connection.close()
    said = told(folder)
    assert f"In edition the row {identity} holds bytes in title that are no text" in said and "decode" not in said


def test_a_second_number_with_its_index_dropped(folder: Path) -> None:
    connection = opened(folder)
    connection.execute("DROP INDEX print_number")
    without_triggers(connection, *ITS_CODE, A_PRINT.format("NULL"))
    with pytest.raises(sqlite3.IntegrityError):
        connection.execute("CREATE UNIQUE INDEX print_number ON print(edition, kind, number) WHERE replaces IS NULL")
    said = told(folder)
    assert "index print_number is missing" in said and "is borne by P-000003, P-000900" in said


def forge_a_price(folder: Path) -> None:
    """A row, its journal entry and the whole chain after it: nothing in the file disagrees with anything else."""
    connection = opened(folder)
    without_triggers(connection, A_PRICE, A_PRICE_IN_THE_JOURNAL)
    rewrite_chain(connection)
    connection.close()


def test_a_rewritten_chain_is_told_by_a_certificate_issued_after(folder: Path) -> None:
    forge_a_price(folder)
    said = told(folder)
    assert "The history was rewritten after C-0001 was issued" in said and "not in the chain" in said


def test_a_rewritten_chain_with_its_certificates_named_anew_fails_at_their_signatures(folder: Path) -> None:
    seal = opened(folder).execute("SELECT digest FROM journal_seal WHERE command = 'consign'").fetchone()[0]
    forge_a_price(folder)
    connection = opened(folder)
    anew = connection.execute("SELECT digest FROM journal_seal WHERE command = 'consign'").fetchone()[0]
    assert anew != seal
    without_triggers(
        connection,
        f"UPDATE certificate SET facts = replace(facts, '{seal}', '{anew}')",
        f"UPDATE journal SET after = replace(after, '{seal}', '{anew}')",
    )
    rewrite_chain(connection)
    assert "its facts are not those that were signed" in told(folder)


@pytest.fixture
def uncertified(folder: Path) -> Path:
    """The same with no certificate: nobody outside holds a seal of it."""
    new = folder.parent / "uncertified"
    assert run(["init", str(new), "--artist", "A. Maker", "--on", "2026-01-01"]) == 0
    for given in LINES:
        if given[0] != "certificate":
            assert run(["--catalog", str(new), *given]) == 0, given
    return new


def test_a_rewritten_chain_is_told_by_a_copy(uncertified: Path, tmp_path: Path) -> None:
    kept = shutil.copy(uncertified / "catalog.db", tmp_path / "kept.db")
    assert told(uncertified, Path(kept)) == ""
    forge_a_price(uncertified)
    said = told(uncertified, Path(kept))
    assert "the history was rewritten since kept.db was kept" in said and "“sell” of" in said
    shutil.copy(kept, uncertified / "an old copy.db")  # beside the catalog it is found by itself
    assert "rewritten since an old copy.db was kept" in told(uncertified)
    assert run(["--catalog", str(uncertified), "check", "--against", str(kept)]) == 1


def test_what_cannot_be_told(uncertified: Path) -> None:
    """Row, journal and chain rewritten by who knows how, and no certificate and no copy anywhere: nothing shows it."""
    forge_a_price(uncertified)
    assert told(uncertified) == ""


def test_an_older_state_put_back_is_told_by_a_newer_copy_alone(folder: Path, tmp_path: Path) -> None:
    old = shutil.copy(folder / "catalog.db", tmp_path / "old.db")
    for given in (["party", "add", "D. Another"], ["paper", "add", "warm", "a warm paper"]):
        assert run(["--catalog", str(folder), *given]) == 0
    newer = shutil.copy(folder / "catalog.db", tmp_path / "newer.db")
    shutil.copy(old, folder / "catalog.db")
    assert told(folder) == "" and told(folder, Path(old)) == ""
    said = told(folder, Path(newer))
    assert "newer.db is newer than this catalog" in said and "2 of its commands are missing" in said
    assert "“party add”" in said


def test_copies_are_only_read_and_what_is_none_is_said(folder: Path, tmp_path: Path) -> None:
    kept = Path(shutil.copy(folder / "catalog.db", tmp_path / "kept.db"))
    before = kept.read_bytes()
    kept.chmod(0o444)
    assert told(folder, kept) == "" and kept.read_bytes() == before
    assert sorted(path.name for path in tmp_path.iterdir()) == ["catalog", "kept.db"]
    other = tmp_path / "other"
    assert run(["init", str(other), "--artist", "Somebody Else", "--on", "2026-02-02"]) == 0
    assert "another catalog, of Somebody Else, begun 20" in told(folder, other / "catalog.db")
    assert "there is no such file" in told(folder, tmp_path / "nothing.db")
    (tmp_path / "text.db").write_text("not a database at all")
    assert "another program wrote it" in told(folder, tmp_path / "text.db")
    damaged = tmp_path / "damaged.db"
    damaged.write_bytes(before[:8192] + bytes(len(before) - 8192))
    assert "damaged.db says nothing of this catalog" in told(folder, damaged)
    shutil.copy(other / "catalog.db", folder / "somebody else's.db")
    (folder / "notes.db").write_text("something of the user's")
    assert told(folder) == ""  # what only lies beside is nobody's fault


def dump(path: Path) -> list[str]:
    connection = sqlite3.connect(path)
    try:
        return list(connection.iterdump())
    finally:
        connection.close()


def test_a_flipped_bit_is_told_unless_nothing_is_kept_there(folder: Path) -> None:
    """A bit anywhere in the file: the checks say something, or every row and every definition is as it was."""
    path = folder / "catalog.db"
    whole, kept, chance = path.read_bytes(), dump(path), random.Random(3)
    silent = 0
    for _ in range(24):
        place = chance.randrange(100, len(whole))
        flipped = bytearray(whole)
        flipped[place] ^= 1 << chance.randrange(8)
        path.write_bytes(flipped)
        try:
            found = errors(folder)
        except sqlite3.DatabaseError:
            continue  # so damaged that it does not open, which every command says
        if not found:
            assert dump(path) == kept, place
            silent += 1
    assert silent < 18
    path.write_bytes(whole)
    assert told(folder) == ""


def test_a_bit_of_a_title_is_told_by_its_row(folder: Path) -> None:
    path = folder / "catalog.db"
    page = path.read_bytes()
    for place in (at for at in range(len(page)) if page[at : at + 4] == b"Pond"):
        path.write_bytes(page[:place] + b"Bond" + page[place + 4 :])
        assert errors(folder), place
