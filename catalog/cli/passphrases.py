"""Passphrases: asked for where nobody sees them, before anything is begun, or read from a file; never an argument."""

import sys
from collections.abc import Callable
from typing import TYPE_CHECKING, Any, TypeVar

import click

from catalog.errors import TirageError
from catalog.whole_files import read_plain

if TYPE_CHECKING:
    from catalog.cli.desk import Desk
    from catalog.records.private_keys import Ask, KeyRing

Function = TypeVar("Function", bound=Callable[..., Any])
VARIABLE = "TIRAGE_PASSPHRASE_FILE"
LARGEST = 65536  # bytes of a file with a passphrase


class PassphraseFileError(TirageError):
    """A file that should hold a passphrase and does not."""

    def __init__(self, file: str, reason: str) -> None:
        super().__init__(
            f"No passphrase could be read from {file} ({reason}); expected one line of text in UTF-8. "
            f"Look at the file and its name."
        )


class NotAskedError(TirageError):
    """A new passphrase, and nobody to ask for it."""

    def __init__(self) -> None:
        super().__init__(
            "There is no terminal to ask for a passphrase at; expected it in a file. "
            "Name the file with --passphrase-file FILE."
        )


def passphrase_option(function: Function) -> Function:
    """--passphrase-file, for every command that signs."""
    return click.option(
        "--passphrase-file",
        "passphrase_file",
        metavar="FILE",
        envvar=VARIABLE,
        help=f"Holds the key's passphrase, if it has one (else {VARIABLE}, else asked).",
    )(function)


def read_passphrase(file: str) -> str:
    """The passphrase in a file: its first line. Raises PassphraseFileError."""
    try:
        lines = read_plain(file, LARGEST, pipes=True).decode().splitlines()
    except UnicodeDecodeError:
        raise PassphraseFileError(file, "it is no text") from None
    except (OSError, ValueError) as problem:
        raise PassphraseFileError(file, getattr(problem, "strerror", None) or "no access") from None
    if not lines or not lines[0]:
        raise PassphraseFileError(file, "its first line is empty")
    return lines[0]


def asker(file: str | None) -> "Ask":
    """What gives the passphrase of a key file when it is under one. Raises PassphraseNeededError when it is used."""

    def ask(name: str) -> str:
        from catalog.records.private_keys import PassphraseNeededError

        if file:
            return read_passphrase(file)
        if not sys.stdin.isatty():
            raise PassphraseNeededError(name)
        return str(click.prompt(f"Passphrase of {name}", hide_input=True, err=True))

    return ask


def key_ring(desk: "Desk", file: str | None) -> "KeyRing":
    """The private keys of a command, each unlocked once."""
    import os

    from catalog.records.private_keys import KeyRing

    return KeyRing(desk.folder, asker(file or os.environ.get(VARIABLE)))


def new_passphrase(file: str | None) -> str:
    """A new passphrase, from a file or typed twice. Raises NotAskedError, PassphraseFileError."""
    if file:
        return read_passphrase(file)
    if not sys.stdin.isatty():
        raise NotAskedError
    return str(click.prompt("New passphrase", hide_input=True, confirmation_prompt="The same again", err=True))
