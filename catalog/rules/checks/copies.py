"""Whether the history is still the one that copies hold; copies that a service made; how long no backup was made."""

import re
import sqlite3
from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path

from catalog.records import settings
from catalog.rules.checks.findings import Finding, Subject, day
from catalog.store import backup_log, copies, synced
from catalog.store.backup_log import Went
from catalog.store.connection import DATABASE
from catalog.store.copies import Compared, Link
from catalog.store.restoring import SET_ASIDE

KEY = re.compile(r"[A-Za-z0-9_-]{16}")
PICTURES = "SELECT path FROM picture"
SEAL = "SELECT id FROM journal_seal WHERE digest = ?"
SEALS_AFTER = "SELECT count(*), min(sealed) FROM journal_seal WHERE id > ?"


def copies_agree(subject: Subject) -> Iterator[Finding]:
    """Copies that were named, and every copy of this catalog that lies beside or below it."""
    named = {path.resolve() for path in subject.against}
    for path in subject.against:
        try:
            yield from _told(path.name, copies.compare(subject.connection, path))
        except copies.NotACopyError as problem:
            yield Finding("error", "", problem.sentence)
    for path in copies.beneath(subject.folder, DATABASE):
        if path.resolve() in named:
            continue
        name = path.relative_to(subject.folder).as_posix()
        try:
            compared = copies.compare(subject.connection, path)
        except copies.NotACopyError as problem:
            yield Finding("note", "", problem.sentence)
            continue
        if SET_ASIDE.fullmatch(name.partition("/")[0]):
            yield from _restored(name, compared)
        else:
            yield from _told(name, compared)
            if not compared.ahead and not copies.KEPT_BEFORE_MIGRATION.fullmatch(name):
                yield Finding("note", "", _older(name, compared))


def doubled_files(subject: Subject) -> Iterator[Finding]:
    """A second settings.toml, picture or key under a longer name, as a service makes of two states of one file."""
    folder = subject.folder
    recorded = {str(row[0]) for row in subject.connection.execute(PICTURES)}
    stems = {Path(path).stem for path in recorded}
    for path in sorted(folder.glob("settings*.toml*")):
        if path.name != "settings.toml":
            yield _double(path.name, "settings.toml is the one that counts")
    for path in sorted((folder / "keys").glob("*")):
        if KEY.match(path.name) and not path.name.startswith(".") and path.name != f"{path.name[:16]}.pem":
            yield _double(f"keys/{path.name}", f"keys/{path.name[:16]}.pem is the one that signs")
    for path in sorted((folder / "pictures").glob("*")):
        stem = next((end for end in _beginnings(path.stem) if end in stems), "")
        if stem and path.name not in recorded:
            yield _double(f"pictures/{path.name}", f"recorded is the picture {stem}")


def kept_in_step(subject: Subject) -> Iterator[Finding]:
    """Whether the folder is on a network drive, or by its name kept in step by a service."""
    for sentence in synced.sentences(subject.folder):
        yield Finding("note", "", sentence[0].upper() + sentence[1:])


def backed_up(subject: Subject) -> Iterator[Finding]:
    """Work that is in no backup that was proved, for longer than the setting backup-after-days says."""
    went = backup_log.read(subject.folder)
    last, newest = _last_backup(subject.connection, went)
    count, oldest = subject.connection.execute(SEALS_AFTER, (last,)).fetchone()
    most = timedelta(days=int(settings.value(subject.connection, "backup-after-days")))
    if not count or not oldest or subject.today - datetime.fromisoformat(oldest) <= most:
        return
    known = f"the last one known here is of {day(newest.made[:10])}" if newest else "none is known here"
    yield Finding(
        "note",
        "",
        f"{_count(count)}, the first of {day(oldest[:10])}, {'is' if count == 1 else 'are'} in no backup: {known}. "
        f"Make one on another disk: tirage backup{'' if went else ' DIR'}",
    )


def _last_backup(connection: sqlite3.Connection, noted: list[Went]) -> tuple[int, Went | None]:
    """The last seal of this history that a noted backup goes up to, and that backup; 0 and None for none.

    One of what was here before an older one was restored ends in a seal that is here no more.
    """
    last, newest = 0, None
    for went in noted:
        row = connection.execute(SEAL, (went.seal,)).fetchone()
        if row and row[0] >= last:
            last, newest = row[0], went
    return last, newest


def _told(name: str, compared: Compared) -> Iterator[Finding]:
    """What a copy says that is bad news: it holds what is not here."""
    if compared.parted:
        yield Finding(
            "error",
            "",
            f"This catalog and {name} parted after {_count(compared.common)}. Only there: "
            f"{_list(compared.their_commands, compared.ahead)}. Only here: "
            f"{_list(compared.our_commands, compared.behind)}. Either two machines worked at once: choose one of the "
            f"two, enter into it by hand what only the other has, and keep the other in another place. Or the history "
            f"was rewritten since {name} was kept: ask who can vouch for either, and bring back the true one.",
        )
    elif compared.is_ahead and compared.their_link is not None:
        count = compared.ahead
        yield Finding(
            "error",
            "",
            f"{name} is newer than this catalog: {count} of its commands {'is' if count == 1 else 'are'} missing here: "
            f"{_list(compared.their_commands, count)}. An older state was put back here, or commands were cut off: "
            f"work on from the newer one.",
        )


def _restored(name: str, compared: Compared) -> Iterator[Finding]:
    if compared.ahead:
        yield Finding(
            "note",
            "",
            f"{name} was set aside when a backup was restored, with {_count(compared.ahead)} not here: "
            f"{_list(compared.their_commands, compared.ahead)}. Keep it until what it holds is settled.",
        )


def _older(name: str, compared: Compared) -> str:
    state = f"an older copy, {_count(compared.behind)} behind" if compared.behind else "a copy just like this catalog"
    return f"{name} is {state}; nothing in it is missing here. It can go, or be kept in another place."


def _double(name: str, counts: str) -> Finding:
    return Finding(
        "note",
        "",
        f"{name} looks like a second state of one file, as a service makes of two; {counts}. Compare them, and move "
        f"the one that is not wanted away.",
    )


def _beginnings(stem: str) -> Iterator[str]:
    """What comes before each sign that may begin what a service puts after a name, the longest first."""
    for place in range(len(stem) - 1, 0, -1):
        if stem[place] in " (.~_-[":
            yield stem[:place]


def _list(links: tuple[Link, ...], count: int) -> str:
    more = count - len(links)
    return "; ".join(map(_link, links)) + (f"; and {more} more" if more else "")


def _count(commands: int) -> str:
    return f"{commands} command{'' if commands == 1 else 's'}"


def _link(link: Link) -> str:
    return f"“{link.command}” of {link.sealed[:10]}, {link.sealed[11:16]}"
