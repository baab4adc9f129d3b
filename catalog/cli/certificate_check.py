"""Verifying a certificate on the command line: its file, its statement, or a picture of its square."""

import re
import sqlite3
import sys
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

import click

from catalog.cli.desk import Desk
from catalog.cli.options import Operand, command, output_options
from catalog.errors import TirageError
from catalog.plain_text import shown
from catalog.records import artist_keys, certificates

if TYPE_CHECKING:
    from catalog.documents.verification import Verdict

FILE = Operand("file", "--file", "FILE", "a PDF, a statement (file, text or address), a picture of the square, or -")
KEY_SIGNS = 43  # base64url of the 32 bytes of a key, and of a thumbprint
SHORTEST, LONGEST = 36, 50  # what is taken for a key with a slip in it
BASE64URL = re.compile(r"[A-Za-z0-9_-]")
CODE = re.compile(r"[Cc]-?[0-9]{1,12}")
PLAIN_NAME = re.compile(r"[\w. -]+")


class FileNotReadError(TirageError):
    """A file that cannot be opened."""

    def __init__(self, file: str, reason: str) -> None:
        code = CODE.fullmatch(file.strip())
        told = f"What the catalog has of it: tirage certificate show {file.strip()}" if code else "Look at its name."
        super().__init__(f"“{file[:120]}” could not be read ({reason}); expected a file that is there. {told}")


class KeyNotTypedError(TirageError):
    """A key that is neither a file nor what a paper has in print."""

    def __init__(self, text: str) -> None:
        signs = "".join(text.split())
        wrong = next((place for place, sign in enumerate(signs) if not BASE64URL.fullmatch(sign)), None)
        if not SHORTEST <= len(signs) <= LONGEST:
            what = f"“{text[:60]}” is no file that is there and no key"
        elif wrong is not None:
            what = f"“{signs[wrong]}”, sign {wrong + 1} of what was typed, cannot stand in a key"
        elif len(signs) != KEY_SIGNS:
            count = abs(KEY_SIGNS - len(signs))
            what = f"What was typed has {len(signs)} signs, {count} too {'few' if len(signs) < KEY_SIGNS else 'many'}"
        else:
            what = f"What was typed ends in “{signs[-1]}”, and no key does"
        super().__init__(
            f"{what}; expected a file with the public key, or the {KEY_SIGNS} signs that the paper has in print as "
            f"public key or thumbprint: letters, figures, - and _. Blanks do not count, capitals do: type it again."
        )


class KeyFileError(TirageError):
    """A file that was given for a public key and holds none."""

    def __init__(self, name: str, content: bytes) -> None:
        what = "holds no public key"
        if content.startswith(b"%PDF-"):
            what = "is a PDF and no public key"
        elif b"PRIVATE KEY-----" in content:
            what = "holds a private key, which is for nobody but its owner, and no public one"
        super().__init__(
            f"{name} {what}; expected what tirage key show --json writes, or a text of nothing but the {KEY_SIGNS} "
            f"signs. Ask the studio for its public keys, or type the key from the key sheet."
        )


class Given(NamedTuple):
    """The keys a verification goes by: thumbprint -> x, their last days, what was typed, and where they are from."""

    keys: dict[str, str]
    ends: dict[str, str]
    typed: str
    source: str


@command("verify", FILE)
@click.option("--key", metavar="KEY", help="The studio's public key: a file, or 43 signs typed from the paper.")
@output_options
def verify_command(desk: Desk, file: str, key: str | None) -> int:
    """Check a certificate: is it as it was issued, and does it still stand?

    \b
    tirage certificate verify certificate-C-0001.pdf
    tirage certificate verify certificate-C-0001.pdf --key studio-key.json
    tirage certificate verify square.jpg --key "11qY AYKx CrfV S_7T ..."
    tirage certificate verify "https://example.org/C#eyJhbGci..."
    """
    data, name = _given(file)
    given = _keys(key) if key else None
    verdict, told = _verified(desk, data, given)
    lines = [shown(line) for line in (*verdict.lines, *told)]
    code = shown(verdict.code)
    if desk.output:
        words = " ".join(line.strip() for line in lines)
        desk.show([{"file": shown(name), "status": verdict.status, "certificate": code, "lines": words}])
    else:
        about = f" ({code})" if code else ""
        desk.say("\n".join([f"{_quoted(name)}{about}: {verdict.status}", *(f"  {line}" for line in lines)]))
    return 0 if verdict.is_valid else 1


def _verified(desk: Desk, data: bytes, given: Given | None) -> tuple["Verdict", list[str]]:
    """What a file proves, and lines that say by which key and which catalog. A typed key is never looked up in one."""
    from catalog.documents.scan import ScanNotPossibleError
    from catalog.documents.verification import verify

    folder = desk.find()
    if folder is None:
        given = given or Given({}, {}, "", "")
        verdict = verify(data, given.keys, None, given.typed, given.ends)
        return verdict, _by_key(verdict, given)
    where = f"the catalog in {folder}"
    try:
        with desk.reading() as connection:
            ours, ended = artist_keys.public_keys(connection), artist_keys.ends(connection)
            used = given or Given(ours, {}, "", f"of {where}")
            known = lambda code: certificates.coded(connection, code)  # noqa: E731
            # What the catalog knows of a key's end counts beside what the file of keys says: the earlier day.
            ends = used.ends | {one: min(day, used.ends.get(one, day)) for one, day in ended.items()}
            verdict = verify(data, used.keys, known, used.typed, ends, ours)
            since = _since(connection, verdict) if verdict.key in ours else []
    except (TirageError, sqlite3.Error, ValueError, TypeError, AttributeError) as problem:
        if given is None or isinstance(problem, ScanNotPossibleError):
            raise
        verdict = verify(data, given.keys, None, given.typed, given.ends)
        return verdict, [*_by_key(verdict, given), f"{where[0].upper()}{where[1:]} cannot be read and was not asked."]
    asked = [f"What became of it was asked of {where}."] if verdict.key and verdict.key in ours else []
    return verdict, [*since, *_by_key(verdict, used), *asked]


def _since(connection: sqlite3.Connection, verdict: "Verdict") -> list[str]:
    """Where the records say otherwise by now than a certificate that stands: the paper was right on its day."""
    from catalog.rules.checks.drift import contradicted

    issued = certificates.coded(connection, verdict.code) if verdict.is_valid else None
    if issued is None:
        return []
    state = ["its print was destroyed"] if _is_destroyed(connection, issued.print_id) else []
    said = [*contradicted(connection, issued), *state]
    return [f"The records say otherwise since: {'; '.join(said)} (tirage check)."] if said else []


def _is_destroyed(connection: sqlite3.Connection, print_id: int) -> bool:
    from catalog.records import prints

    return prints.read(connection, print_id).state == "destroyed"


def _by_key(verdict: "Verdict", given: Given) -> list[str]:
    """By which key something was checked and where that is from; where it was typed, that it be made sure of."""
    key = verdict.key[:8]
    if not key:
        return [f"Looked at with the key {given.source}."] if verdict.status == "altered" and given.source else []
    ours = "catalog in" in given.source  # a catalog may have come with the file
    sure = (
        "That counts for something only if it is the studio's own catalog."
        if ours
        else "Make sure that it is the studio's: by its key sheet, or by somebody who is not the seller."
    )
    if verdict.key in given.keys:
        line = f"Checked with the key {key} {given.source}."
    elif verdict.key == given.typed:
        line = f"Checked with the key {key} that the file carries and whose thumbprint you typed."
    else:
        line = f"Checked with the key {key}, for which the key {given.source} vouches."
    return [f"{line} {sure}"]


def _given(text: str) -> tuple[bytes, str]:
    """What is to be verified, and what to call it: a file, standard input, or the statement itself as text."""
    if text == "-":
        return sys.stdin.buffer.read(), "standard input"
    path = Path(text)
    if _is_file(path):
        return _read(path), path.name
    if "#" in text or text.count(".") == 2 and len(text) > 100 or text[:8].lower().startswith(("http://", "https://")):
        return text.encode(), "the statement"
    return _read(path), path.name


def _keys(text: str) -> Given:
    """Public keys of a file, or of what was typed from a paper. Raises KeyFileError, KeyNotTypedError."""
    from catalog import signing
    from catalog.documents.verification import typed_keys

    path = Path(text)
    if not _is_file(path):
        found = typed_keys(text)
        if found is None:
            raise KeyNotTypedError(text)
        return Given(found[0], {}, found[1], "that you typed")
    data = _read(path)
    content, source = data.decode("utf-8", "replace"), f"in {path.name}"
    found = typed_keys(content)
    if found is not None:
        return Given(found[0], {}, found[1], source)
    try:
        return Given(signing.read_public(content), signing.read_ends(content), "", source)
    except signing.KeyUnreadableError:
        raise KeyFileError(path.name, data) from None


def _quoted(name: str) -> str:
    """A file's name, in quotes where it could be taken for what is said of it."""
    return name if PLAIN_NAME.fullmatch(name) else f"“{shown(name)}”"


def _is_file(path: Path) -> bool:
    try:
        return path.is_file()
    except (OSError, ValueError):  # longer than any file's name
        return False


def _read(path: Path) -> bytes:
    from catalog.documents.verification import LARGEST
    from catalog.whole_files import read_plain

    try:
        return read_plain(path, LARGEST)
    except (OSError, ValueError) as problem:
        raise FileNotReadError(str(path), getattr(problem, "strerror", "") or "no access") from None
