"""Verifying a certificate on the command line: its file, its statement, or a picture of its square."""

import sys
from pathlib import Path
from typing import Any

import click

from catalog.cli.desk import Desk
from catalog.cli.options import Operand, command, output_options
from catalog.errors import TirageError
from catalog.records import artist_keys, certificates

FILE = Operand("file", "--file", "FILE", "a PDF, a statement (file, text or address), a picture of the square, or -")


class FileNotReadError(TirageError):
    """A file that cannot be opened."""

    def __init__(self, file: str, reason: str) -> None:
        super().__init__(f"{file[:120]} could not be read ({reason}); expected a file that is there. Look at its name.")


class KeyNotTypedError(TirageError):
    """A key that is neither a file nor what a paper has in print."""

    def __init__(self, text: str) -> None:
        super().__init__(
            f"“{text[:60]}” is no file that is there and no key; expected a file with the public key, or the 43 signs "
            f"that the paper has in print as public key or thumbprint. Blanks do not count, capitals do: type it again."
        )


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
    from catalog.documents.verification import verify

    data, name = _given(file)
    keys, typed = _keys(key) if key else ({}, "")
    if desk.find() is None:
        verdict = verify(data, keys, None, typed)
    else:
        with desk.reading() as connection:
            ours = artist_keys.public_keys(connection)
            if typed in ours:
                keys = {typed: ours[typed]}
            keys = keys or ours
            known = (lambda code: certificates.coded(connection, code)) if ours.keys() & keys.keys() else None
            verdict = verify(data, keys, known, typed)
    if desk.output:
        lines = " ".join(line.strip() for line in verdict.lines)
        desk.show([{"file": name, "status": verdict.status, "certificate": verdict.code, "lines": lines}])
    else:
        about = f" ({verdict.code})" if verdict.code else ""
        desk.say("\n".join([f"{name}{about}: {verdict.status}", *(f"  {line}" for line in verdict.lines)]))
    return 0 if verdict.is_valid else 1


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


def _keys(text: str) -> tuple[dict[str, str], str]:
    """Public keys of a file, or of what was typed from a paper, and that without its blanks."""
    from catalog import signing
    from catalog.documents.verification import typed_keys

    path = Path(text)
    if _is_file(path):
        content = _read(path).decode("utf-8", "replace")
        found: Any = typed_keys(content)
        return found or (signing.read_public(content), "")
    found = typed_keys(text)
    if found is None:
        raise KeyNotTypedError(text)
    return found


def _is_file(path: Path) -> bool:
    try:
        return path.is_file()
    except (OSError, ValueError):  # longer than any file's name
        return False


def _read(path: Path) -> bytes:
    try:
        return path.read_bytes()
    except (OSError, ValueError) as problem:
        raise FileNotReadError(str(path), getattr(problem, "strerror", "") or "no access") from None
